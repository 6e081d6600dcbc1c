//! Flushes beside closed forms and between their bounds.

use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{Demand, Scenario, StartSalt, StartWater};
use slakeline::studies::flush::{LaneFlush, Rinse, flush};

fn told(scenario: &Scenario, to: f64, with: f64) -> Vec<LaneFlush> {
    flush(scenario, &Library::shipped(), Rinse { to, with }, &|| true).unwrap()
}

/// A lane of the first demo that stands at capacity with one EC, at night with nothing to take up.
fn still(lane: usize, ec: f64) -> Scenario {
    let mut scenario = demos().remove(0).1;
    scenario.lanes = vec![scenario.lanes[lane].clone()];
    (scenario.days, scenario.evaporation_mm_per_day) = (1, 0.0);
    scenario.valves[0].schedule.clear();
    let lane = &mut scenario.lanes[0];
    lane.demand = Demand::Measured { litres_per_day: 0.0, steady_share: 1.0 };
    (lane.start.water, lane.start.salt) = (StartWater::AtCapacity, StartSalt::Ec(ec));
    scenario
}

/// Between what pushes all out before it and what mixes with all (closed forms), for both root zones and several aims.
#[test]
fn a_flush_lies_between_its_bounds() {
    for lane in 0..2 {
        for (start, to, with) in [(6.0, 3.0, 0.3), (6.0, 1.5, 0.3), (4.0, 3.5, 2.0), (8.0, 2.0, 1.0)] {
            let lane = told(&still(lane, start), to, with).remove(0);
            let done = &lane.from_above;
            assert!(done.reached && done.final_ec <= to && (lane.start_ec - start).abs() < 1e-6, "{lane:?}");
            let (low, high) = (lane.plug_flow_litres, lane.well_mixed_litres);
            assert!(
                low < high && low * 0.97 <= done.litres_per_plant && done.litres_per_plant <= 1.03 * high,
                "{low} {} {high}",
                done.litres_per_plant
            );
        }
    }
}

#[test]
fn what_is_low_already_needs_nothing_and_more_takes_more() {
    let lane = told(&still(0, 2.0), 2.0, 0.3).remove(0);
    assert_eq!((lane.from_above.events, lane.from_above.litres_per_plant, lane.well_mixed_litres), (0, 0.0, 0.0));
    let litres = |to: f64| told(&still(0, 6.0), to, 0.3)[0].from_above.litres_per_plant;
    assert!(litres(4.0) < litres(2.0) && litres(2.0) < litres(1.0));
}

/// A medium that exchanges takes more than one that does not (common practice, no source).
#[test]
fn a_medium_that_holds_salt_takes_more() {
    let mut scenario = still(1, 5.0);
    let holds = told(&scenario, 2.0, 0.3).remove(0);
    scenario.lanes[0].exchange = false;
    let not = told(&scenario, 2.0, 0.3).remove(0);
    assert!(holds.exchanges && !not.exchanges);
    assert!(holds.from_above.litres_per_plant > 1.1 * not.from_above.litres_per_plant, "{holds:?} {not:?}");
}

#[test]
fn what_cannot_be_is_told_by_name() {
    let problems = |to, with| Rinse { to, with }.problems();
    assert!(problems(2.0, 0.3).is_empty());
    for (to, with, field) in [(0.3, 0.3, "--to"), (0.2, 0.3, "--to"), (f64::NAN, 0.3, "--to"), (2.0, -1.0, "--rinse"), (1e9, 0.3, "--to")] {
        assert_eq!(problems(to, with).first().map(|p| p.field.clone()), Some(field.to_owned()), "{to} {with}");
    }
}
