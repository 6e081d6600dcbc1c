//! Aims fit the bench: what is said to be out of reach is, by running it otherwise, and a band of water is one that the container holds and
//! the roots can live in. A lean is told where there is one.

#![allow(clippy::unwrap_used)] // helpers of tests stop at what fails, as tests do

mod common {
    pub mod benches;
    pub mod stressed;
}

use common::{benches, stressed};
use fastrand::Rng;
use rayon::prelude::*;
use slakeline::engine::column::capacity::at_rest;
use slakeline::engine::run::{LaneRun, Workshop};
use slakeline::figures::aims::{From, Unfit};
use slakeline::figures::{Aim, day_figures};
use slakeline::physics::hydraulics::Main;
use slakeline::projection::LaneReport;
use slakeline::scenario::presets::Library;
use slakeline::scenario::{CropChoice, DAY_S, Demand, Event, Lane, Scenario, StartWater, Targets, resolve};

/// A bench of a seed with targets as one comes to have them: those of a stage of its crop or of a preset, for whatever container.
fn aimed(seed: u64, library: &Library) -> Scenario {
    let mut rng = Rng::with_seed(seed ^ 0xA1_35);
    let mut scenario = if rng.bool() { benches::bench(seed, library) } else { stressed::bench(seed, library) };
    let crop = resolve::crop(&scenario.lanes[0].crop, library).unwrap();
    scenario.lanes[0].targets = match rng.u8(..8) {
        0 => Targets::default(),
        1..=3 => library.targets[rng.usize(..library.targets.len())].targets,
        _ => crop.stages.get(rng.usize(..crop.stages.len().max(1))).map_or(Targets::default(), |s| s.targets),
    };
    scenario
}

fn run(scenario: &Scenario, library: &Library) -> LaneRun {
    Workshop::default().ready(scenario, library).unwrap().for_its_days().remove(0).run(scenario.days)
}

struct Case {
    scenario: Scenario,
    run: LaneRun,
    report: LaneReport,
}

impl Case {
    fn lane(&self) -> &Lane {
        &self.scenario.lanes[0]
    }
}

fn cases(count: u64, library: &Library) -> Vec<Case> {
    let case = |seed| {
        let scenario = aimed(seed, library);
        let run = run(&scenario, library);
        let report = LaneReport::of(&scenario, &scenario.lanes[0], &run, 1).unwrap();
        Case { scenario, run, report }
    };
    (1..=count).into_par_iter().map(case).collect()
}

#[test]
fn no_share_of_drain_is_aimed_for_where_water_comes_from_below() {
    let library = Library::shipped();
    let (mut floods, mut drips) = (0, 0);
    for c in cases(160, &library).iter().filter(|c| c.lane().targets.drain_percent.is_some()) {
        let flooded = c.scenario.schedule.iter().any(|e| e.give.is_flood());
        let aim = c.report.aims.drain_percent;
        assert_eq!(flooded, matches!(aim, Aim::Unfit(_, Unfit::Floods)), "{aim:?}");
        assert_eq!(!flooded, aim.band() == c.lane().targets.drain_percent, "{aim:?}");
        if flooded { floods += 1 } else { drips += 1 }
    }
    assert!(floods >= 10 && drips >= 30, "{floods} and {drips} are too few to tell anything");
}

/// The same bench with the longest night that growers keep: what is given is given between three and a half hours after light and four hours
/// before dark.
fn long_night(scenario: &Scenario) -> Scenario {
    let mut scenario = scenario.clone();
    let (on, off) = (scenario.light.on.seconds() + 3.5 * 3600.0, scenario.light.off.seconds() - 4.0 * 3600.0);
    let inside = |e: &Event| e.start_s() >= on && e.end_s() <= off;
    let (kept, gone): (Vec<Event>, Vec<Event>) = scenario.schedule.iter().partition(|e| inside(e));
    let (all, left): (f64, f64) = (gone.iter().filter_map(Event::ml).sum(), kept.iter().filter_map(Event::ml).sum());
    scenario.lanes[0].dose *= if left > 0.0 { (all + left) / left } else { 1.0 };
    scenario.schedule = kept;
    scenario
}

#[test]
fn a_dry_back_that_is_said_to_be_out_of_reach_is() {
    let library = Library::shipped();
    let (mut out, mut reached, mut judged) = (0, 0, 0);
    for c in cases(320, &library) {
        let (low, most) = match c.report.aims.dry_back_points {
            Aim::Unfit((low, _), Unfit::DriesTooLittle(most)) => (low, most),
            Aim::Band(..) => {
                judged += 1;
                continue;
            }
            _ => continue,
        };
        assert!(c.report.figures.dry_back.is_none_or(|d| d.points < low), "{:?}", c.report.figures.dry_back);
        assert_eq!((c.report.verdicts.dry_back.word, most < low), ("out of reach", true));
        let night = long_night(&c.scenario);
        if night.schedule.is_empty() {
            continue;
        }
        let Some(dry_back) = day_figures(&run(&night, &library), c.lane(), 1).and_then(|f| f.dry_back) else { continue };
        out += 1;
        if dry_back.points >= low {
            reached += 1;
            println!("{low} is said to be out of reach, at most {most:.2}; a long night dries by {:.2}", dry_back.points);
        }
    }
    println!("{} of {out} are out of reach in a long night too; {judged} are judged", out - reached);
    assert!(out >= 60 && judged >= 60 && 50 * reached <= out);
}

#[test]
fn a_band_of_water_follows_wherever_container_and_air_allow_one() {
    let library = Library::shipped();
    let mut seen = [0; 3];
    for c in cases(240, &library) {
        let (aims, column) = (&c.report.aims, &c.run.column);
        let aim = aims.water_content;
        if c.lane().targets == Targets::default() {
            assert_eq!(aim, Aim::None, "who aims for nothing is not told to");
            seen[0] += 1;
            continue;
        }
        if c.lane().targets.water_content.is_some() {
            assert!(!matches!(aim, Aim::None | Aim::Band(_, From::Container)), "{aim:?}");
            seen[1] += 1;
            continue;
        }
        let capacity = column.mean(&at_rest(column, Main::Drying, column.outlet_height));
        let head = |i: usize| column.hydraulics(i).theta(column.hydraulics(i).main(Main::Drying, -column.crop.stress.begins_cm).0);
        let spent = column.mean(&(0..column.len()).map(head).collect::<Vec<_>>());
        let air = c.lane().targets.lowest_air.unwrap_or(column.crop.stress.air_enough);
        match aim.band() {
            Some((low, high)) => {
                seen[2] += 1;
                let floods = c.scenario.schedule.iter().any(|e| e.give.is_flood());
                assert!(low > spent && low < capacity && high > low, "{low} {high}, spent {spent}, capacity {capacity}");
                assert!(column.pores - high >= air - 1e-12 && (floods || high <= capacity + 0.0201), "{low} {high}");
            }
            None => assert!(capacity.min(column.pores - air) < spent + 0.04, "{spent} {capacity}: there is room for a band"),
        }
    }
    assert!(seen.iter().all(|n| *n >= 15), "{seen:?}: too few of one kind to tell anything");
}

/// What is soaked and left alone does not stay as wet as a band that the container is said not to hold.
#[test]
fn a_band_that_a_container_is_said_not_to_hold_drains_away() {
    let library = Library::shipped();
    let mut out = 0;
    for c in cases(320, &library) {
        let Aim::Unfit((low, _), Unfit::HoldsTooLittle(_)) = c.report.aims.water_content else { continue };
        out += 1;
        let mut soaked = c.scenario.clone();
        soaked.days = 1;
        soaked.schedule.clear();
        soaked.lanes[0].start.water = StartWater::Head(0.0);
        soaked.lanes[0].demand = Demand::Measured { litres_per_day: 0.0, steady_share: 0.08 };
        let end = run(&soaked, &library).series.at(DAY_S).unwrap().water_content;
        assert!(end < low, "{end} stays above {low}");
    }
    assert!(out >= 5, "{out} are too few to tell anything");
}

#[test]
fn a_lean_is_told_where_there_is_one() {
    let library = Library::shipped();
    let mut seen = [0; 4];
    for c in cases(240, &library) {
        let (f, lean) = (&c.report.figures, &c.report.lean);
        let why = [
            ("nothing is given", c.scenario.schedule.is_empty() || f.applied_ml == 0.0),
            ("the plant gets too little of what it asks for", f.uptake_met < 0.90),
            ("too little is known", lean.parts.len() < 2),
        ];
        let first = why.iter().position(|(_, so)| *so);
        seen[first.map_or(0, |i| i + 1)] += 1;
        assert_eq!((lean.sum.is_none(), lean.why), first.map_or((false, ""), |i| (true, why[i].0)));
        assert_eq!(lean.word() == "no lean to tell", lean.sum.is_none());
        if let Some(sum) = lean.sum {
            let mean = lean.parts.iter().map(|p| p.push).sum::<f64>() / lean.parts.len() as f64;
            assert!((sum - mean).abs() < 1e-12 && sum.abs() <= 1.0, "{lean:?}");
        }
    }
    assert!(seen[0] >= 50 && seen[1] >= 10 && seen[2] >= 10, "{seen:?}: too few of one kind to tell anything");
    // A crop's own values under a closed lid: nothing else can be known than its salt.
    let _ = CropChoice::Preset(String::new());
}
