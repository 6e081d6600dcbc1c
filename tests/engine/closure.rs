//! Salt closes where values meet: root zones that start at exactly the crop's uptake EC, or are fed at it, and at the EC from which
//! that rises.

use rayon::prelude::*;
use slakeline::engine::run::Workshop;
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{CropChoice, DAY_S, Scenario, StartSalt};

/// Most that a run may miss of the water and salt it handled.
const CLOSES: f64 = 1e-9;

/// A start at which what uptake carries may as well be told by either of two lines: the crop's uptake EC or the root zone's own, or
/// the uptake EC with or without its rise.
#[derive(Clone, Copy, Debug)]
enum Meets {
    /// The root zone starts at the uptake EC, the feed is the demo's.
    Start,
    /// The feed has the uptake EC, and the root zone starts at the feed's.
    Feed,
    /// Both are set to the uptake EC.
    Both,
    /// Both are set to the EC from which the uptake EC rises.
    Rise,
}

const MEETINGS: [Meets; 4] = [Meets::Start, Meets::Feed, Meets::Both, Meets::Rise];

/// Every demo with each of its lanes under every shipped crop, at each meeting.
fn starts() -> Vec<(String, Scenario)> {
    let library = Library::shipped();
    let mut out = Vec::new();
    for (name, demo) in demos() {
        for crop in &library.crops {
            for meets in MEETINGS {
                let mut scenario = demo.clone();
                let ec = if matches!(meets, Meets::Rise) { crop.rises_above().unwrap() } else { crop.uptake_ec };
                for lane in &mut scenario.lanes {
                    lane.crop = CropChoice::Preset(crop.name.clone());
                    lane.start.salt = match meets {
                        Meets::Start | Meets::Both | Meets::Rise => StartSalt::Ec(ec),
                        Meets::Feed => StartSalt::Feed,
                    };
                }
                if !matches!(meets, Meets::Start) {
                    scenario.feed.ec = ec;
                }
                let problems = scenario.validate(&library);
                assert!(problems.is_empty(), "{name}, {}: {problems:?}", crop.name);
                out.push((format!("{name}, {}, {meets:?}", crop.name), scenario));
            }
        }
    }
    out
}

/// What every lane of a scenario missed of its water and salt on its days, and how often a salt stage did not settle.
fn missed(name: &str, scenario: &Scenario) -> Vec<(String, f64, f64, u64)> {
    let ready = Workshop::default().ready(scenario, &Library::shipped()).unwrap().for_its_days();
    ready
        .iter()
        .map(|lane| {
            let mut simulation = lane.simulation();
            let days = f64::from(scenario.days);
            simulation.advance_to(days * DAY_S, |_| {}).unwrap_or_else(|e| panic!("{name}, {}: {e}", lane.name));
            let ledger = simulation.ledger();
            (format!("{name}, {}", lane.name), ledger.water_closure(), ledger.salt_closure(), simulation.stats().salt_closed_in)
        })
        .collect()
}

/// Every shipped demo's lanes × every shipped crop × the four meetings: what comes in is what goes out and stays.
#[test]
fn salt_closes_where_start_feed_and_uptake_meet() {
    let runs: Vec<_> = starts().par_iter().flat_map(|(name, scenario)| missed(name, scenario)).collect();
    assert!(runs.len() >= 210, "{} starts", runs.len());
    let open: Vec<_> = runs.iter().filter(|run| !(run.1 <= CLOSES && run.2 <= CLOSES)).collect();
    let worst = runs.iter().fold(0.0, |worst: f64, run| worst.max(run.2));
    println!("{} starts, {} do not close, worst salt closure {worst:.3e}", runs.len(), open.len());
    assert!(open.is_empty(), "{} of {} do not close, worst {worst:.3e}: {:?}", open.len(), runs.len(), open[0]);
    let unsettled: u64 = runs.iter().map(|run| run.3).sum();
    assert_eq!(unsettled, 0, "salt stages whose layers go to and fro between two lines that carry the same");
}
