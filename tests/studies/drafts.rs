//! Drafts: for no container, crop and climate of the presets is a schedule drafted that breaks the lane's own aims without saying so.
//!
//! A fixed stride of all combinations is looked at; `SLAKELINE_DRAFTS=1` looks at every one.

use rayon::prelude::*;
use slakeline::edits::{fit, lanes, new_bench::new_bench};
use slakeline::engine::run::{Settled, Workshop};
use slakeline::figures::{Measured, misses_against};
use slakeline::scenario::presets::Library;
use slakeline::scenario::{Climate, CropChoice, Demand, Scenario, Start};
use slakeline::studies::StudyError;
use slakeline::studies::finder::{Draft, Figure, draft};

/// Combinations between one that is looked at and the next; prime to the number of each kind, so that every preset comes up.
const STRIDE: usize = 41;

/// A bench as *Start from a crop* sets it up.
fn bench(library: &Library, container: usize, crop: usize, climate: usize) -> Scenario {
    let (container, crop, climate) = (&library.containers[container], &library.crops[crop], &library.climates[climate]);
    let mut bench = new_bench(library);
    bench.light = climate.light;
    bench.climate = Some(Climate::Typical(climate.climate.clone()));
    bench.feed.ec = crop.guide_feed_ec.unwrap_or(bench.feed.ec);
    let lane = &mut bench.lanes[0];
    lanes::repot(lane, container);
    lane.crop = CropChoice::Preset(crop.name.clone());
    lane.start = Start::run_in();
    let stage = crop.stages.iter().find(|s| s.name == "full").or(crop.stages.last()).unwrap();
    lane.demand = Demand::Climate { leaf_area_index: Some(stage.leaf_area_index), plants_per_m2: None, scale: 1.0 };
    (lane.roots, lane.targets) = (stage.roots.clone(), stage.targets);
    fit::fit(&mut bench, library);
    bench
}

/// What is not as it is told, if anything.
fn wrong(bench: &Scenario, library: &Library, drafted: &Draft) -> Option<String> {
    let mut with = bench.clone();
    with.valves[0].schedule = drafted.events.clone();
    if !with.validate(library).is_empty() {
        return Some(format!("{:?}", with.validate(library)));
    }
    let days = Workshop::default().ready(&with, library).unwrap().settled_days(&|| true).unwrap();
    let (when, run) = &days[0];
    let measured = Measured::of(&with, &with.lanes[0], run, 0)?;
    let misses = misses_against(&measured.figures, &measured.aims);
    let repeats = matches!(when, Settled::OnDay(_));
    let missed = |f: &Figure| f.aim(&measured.aims).band().is_some() && f.miss(&misses) != Some(0.0);
    let missed: Vec<Figure> = Figure::ALL.into_iter().filter(missed).collect();
    let told = &drafted.told;
    for figure in &missed {
        let words = figure.name();
        if ![" is ", " cannot be told"].iter().any(|w| told.to_lowercase().contains(&format!("{}{w}", words.to_lowercase()))) {
            return Some(format!("{words} is missed"));
        }
    }
    if missed.is_empty() == told.contains("not every aim is met.") || !told.contains("every aim is met.") {
        return Some(format!("{missed:?} are missed"));
    }
    if !repeats && !told.contains("will go on changing") {
        return Some("its day does not repeat itself".to_owned());
    }
    (drafted.meets_all != (missed.is_empty() && repeats)).then(|| "it is taken for another".to_owned())
}

#[test]
fn no_draft_breaks_its_aims_without_saying_so() {
    let library = Library::shipped();
    let (containers, crops, climates) = (library.containers.len(), library.crops.len(), library.climates.len());
    let all = containers * crops * climates;
    let every = if std::env::var_os("SLAKELINE_DRAFTS").is_some() { 1 } else { STRIDE };
    let chosen: Vec<usize> = (0..all).step_by(every).collect();
    assert!(chosen.len() > 20);
    let one = |k: &usize| {
        let (container, crop, climate) = (k % containers, k / containers % crops, k / (containers * crops));
        let bench = bench(&library, container, crop, climate);
        // Longer than the name of a lane may be.
        let climate = &library.climates[climate].climate.name;
        let name = format!("{} in {} under {climate}", library.crops[crop].name, library.containers[container].name);
        match draft(&bench, 0, &library, &|| true) {
            Ok(Some(drafted)) => {
                let state = if drafted.meets_all { "met" } else { "missed" };
                (state, wrong(&bench, &library, &drafted).map(|why| format!("{name}: {why}; told: {}", drafted.told)), name, drafted.told)
            }
            // What cannot be drafted is said, too.
            Err(why @ (StudyError::TooLittle { .. } | StudyError::AllStopped)) => ("none", None, name, why.to_string()),
            other => ("none", Some(format!("{name}: {other:?}")), name, String::new()),
        }
    };
    let done: Vec<(&str, Option<String>, String, String)> = chosen.par_iter().map(one).collect();
    let count = |state: &str| done.iter().filter(|d| d.0 == state).count();
    println!("{} drafts: {} meet every aim, {} say what they miss, {} cannot be", done.len(), count("met"), count("missed"), count("none"));
    for (state, _, name, told) in done.iter().filter(|d| d.0 != "met") {
        println!("{state}: {name}: {told}");
    }
    let wrong: Vec<&String> = done.iter().filter_map(|d| d.1.as_ref()).collect();
    assert!(wrong.is_empty(), "{} of {}: {wrong:#?}", wrong.len(), done.len());
    assert!(count("met") > 0 && count("missed") > 0, "both are told");
}
