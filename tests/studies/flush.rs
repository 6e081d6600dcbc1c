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

/// Over random benches, with roots where they are and salt as it lies: a flush lies between its bounds where nothing is taken up meanwhile,
/// and misses them by little where plants drink; where it does, that is told.
#[test]
fn a_flush_of_any_bench_lies_between_its_bounds() {
    let library = Library::shipped();
    let (mut all, mut beside, mut furthest) = ([0, 0], 0, 0.0_f64);
    for seed in 0..40 {
        for (i, still) in [false, true].into_iter().enumerate() {
            let mut scenario = crate::benches::bench(seed, &library);
            scenario.days = 1;
            if still {
                for lane in &mut scenario.lanes {
                    (lane.start.water, lane.start.salt) = (StartWater::AtCapacity, StartSalt::Ec(6.0));
                    lane.demand = Demand::Measured { litres_per_day: 0.0, steady_share: 1.0 };
                }
                scenario.valves.iter_mut().for_each(|valve| valve.schedule.clear());
            }
            for lane in flush(&scenario, &library, Rinse { to: 2.0, with: 0.3 }, &|| true).unwrap() {
                let litres = lane.from_above.litres_per_plant;
                if lane.from_above.events == 0 || !lane.from_above.reached {
                    assert_eq!(lane.beside_bounds(), None);
                    continue;
                }
                let (a, b) = (lane.plug_flow_litres, lane.well_mixed_litres);
                let off = (a.min(b) / litres - 1.0).max(litres / a.max(b) - 1.0);
                furthest = furthest.max(off);
                all[i] += 1;
                beside += usize::from(off > 0.03);
                assert!(!still || off <= 0.03, "{seed}: {litres} L beside {a} to {b}");
                assert_eq!(lane.beside_bounds().is_some(), off > 0.03, "{seed}: {litres} L, {a} to {b}");
            }
        }
    }
    assert!(all[0] >= 25 && all[1] >= 35 && beside <= 6 && furthest < 0.12, "{all:?}, {beside} beside, furthest {furthest}");
}
