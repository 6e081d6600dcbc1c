//! A run whose books do not close is told as failed wherever it is told of: in the table and in the JSON, of its lane and of the whole.
//! Such a run is made by hand, from one that closes: the program itself is not to have one.

use std::sync::Arc;

use serde_json::Value;
use slakeline::engine::run::ledger::{CLOSES_TO, Ledger};
use slakeline::engine::run::{Run, run_scenario};
use slakeline::projection::Projection;
use slakeline::scenario::Scenario;
use slakeline::scenario::presets::{Library, demos};
use slakeline::sheet::{Export, figures_json, table};

fn demo() -> (Scenario, Run) {
    let mut scenario = demos().remove(0).1;
    scenario.days = 2;
    let run = run_scenario(&scenario, &Library::shipped()).unwrap();
    (scenario, run)
}

fn told(scenario: &Scenario, run: &Run) -> (String, Value) {
    let projection = Projection::of_run(Arc::new(scenario.clone()), run.clone());
    let export = Export { projection: &projection, settled: &[], refined: None };
    let (mut text, mut json) = (Vec::new(), Vec::new());
    table::write(&mut text, &export).unwrap();
    figures_json::write(&mut json, &export).unwrap();
    (String::from_utf8(text).unwrap(), serde_json::from_slice(&json).unwrap())
}

/// The ledger at a lane's last step.
fn last(run: &mut Run, lane: usize) -> &mut Ledger {
    &mut Arc::make_mut(&mut run.lanes[lane].series).samples.last_mut().unwrap().ledger
}

/// Whether the JSON says that the whole and each lane closed.
fn closed(json: &Value) -> (bool, Vec<bool>) {
    let of = |v: &Value| v["closed"].as_bool().unwrap();
    (of(json), json["lanes"].as_array().unwrap().iter().map(of).collect())
}

#[test]
fn what_closes_is_told_as_closed() {
    let (scenario, run) = demo();
    let (text, json) = told(&scenario, &run);
    assert!(!text.contains("FAILED") && text.contains("Closure (share of all handled): water "), "{text}");
    assert_eq!(closed(&json), (true, vec![true, true]));
}

#[test]
fn water_or_salt_that_does_not_close_marks_its_lane_and_the_whole() {
    type Spoil = fn(&mut Run);
    let cases: [(Spoil, usize, &str); 4] = [
        (|r| last(r, 0).water_stored -= 5.0, 0, "of the water is missing or too much"),
        (|r| last(r, 1).salt.outlet += 0.1, 1, "of the salt is missing or too much"),
        // Made good again by the end: it was wrong all the same.
        (|r| r.lanes[1].midnights[1].salt_stored *= 1.000_001, 1, "of the salt is missing or too much"),
        (|r| r.lanes[0].midnights[2].water_stored = f64::NAN, 0, "an unknown share of the water is missing or too much"),
    ];
    for (spoil, lane, words) in cases {
        let (scenario, mut run) = demo();
        spoil(&mut run);
        let (text, json) = told(&scenario, &run);
        let marked: Vec<&str> = text.lines().filter(|l| l.contains("FAILED")).collect();
        assert_eq!(marked.len(), 2, "{text}");
        let name = &scenario.lanes[lane].name;
        assert!(marked[0].starts_with(&format!("{name}: FAILED, ")) && marked[0].ends_with(words), "{marked:?}");
        assert!(marked[1].starts_with("FAILED: more than 1e-9 does not close."), "{marked:?}");
        let mut lanes = vec![true, true];
        lanes[lane] = false;
        assert_eq!(closed(&json), (false, lanes), "{words}");
    }
}

#[test]
fn the_limit_is_a_part_in_a_thousand_million() {
    for (share, closes) in [(0.9 * CLOSES_TO, true), (1.1 * CLOSES_TO, false)] {
        let (scenario, mut run) = demo();
        let ledger = last(&mut run, 0);
        let out = ledger.water.drained() + ledger.water.taken_up + ledger.water.evaporated;
        let handled = ledger.water_at_start + ledger.water.applied;
        ledger.water_stored = handled - out - share * handled;
        assert_eq!(closed(&told(&scenario, &run).1), (closes, vec![closes, true]), "{share:e}");
        assert_eq!(CLOSES_TO, 1e-9);
    }
}
