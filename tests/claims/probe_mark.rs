//! The mark that a new rule of a probe begins with: on random benches the rule calls on the day it was read from, at the latest.

use std::sync::Arc;

use slakeline::engine::run::Workshop;
use slakeline::engine::supply::timetable::By;
use slakeline::projection::Projection;
use slakeline::projection::probe_mark::MayCall;
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{Clock, Event, Give, Probe, Rule, Scenario, When};

use crate::benches;

const PAUSE_S: u32 = 900;
const LASTS_S: u32 = 300;

/// Whether there is an instant at which a rule may call at all.
fn has_room(events: &[Event], first: Clock, last: Clock) -> bool {
    let free = |at: f64| events.iter().all(|e| at >= e.end_s() + f64::from(PAUSE_S) || at + f64::from(LASTS_S) <= e.start_s());
    (0..288).map(|k| f64::from(k) * 300.0).any(|at| (first.seconds()..=last.seconds()).contains(&at) && free(at))
}

/// Adds the rule of a probe as the window does, by what a projection says of a day; whether it called up to that day, and its mark.
fn calls(bench: &Scenario, lane: usize, day: usize, probe: Probe, [first, last]: [Clock; 2]) -> Option<(bool, f64)> {
    let (library, mut workshop) = (Library::shipped(), Workshop::default());
    let shown = Projection::of(Arc::new(bench.clone()), &mut workshop, &library, day);
    let may = MayCall { valve: 0, window: (first.seconds(), last.seconds()), pause_s: f64::from(PAUSE_S), lasts_s: f64::from(LASTS_S) };
    let falls_to = shown.probe_mark(lane, &probe, may)?;
    let mut with = bench.clone();
    with.lanes[lane].probe = Some(probe);
    let when = When::Dry { lane: with.lanes[lane].name.clone(), falls_to, pause_s: PAUSE_S };
    with.valves[0].rules.push(Rule { when, first, last, seconds: LASTS_S, give: Give::Drip { ml: 50.0 }, ec: None });
    assert_eq!(with.validate(&library), [], "{}", bench.name);
    let after = Projection::of(Arc::new(with), &mut workshop, &library, day);
    let called = (0..=day).any(|d| after.pump_day(0, d).unwrap().calls.iter().any(|c| matches!(c.by, By::Rule(_))));
    Some((called, falls_to))
}

#[test]
fn a_new_rule_calls_on_the_day_it_was_read_from() {
    let library = Library::shipped();
    let (mut tried, mut marks) = (0, Vec::new());
    for seed in 0..40 {
        let bench = benches::bench(seed, &library);
        let height = bench.lanes[0].container.height_cm();
        // From base to top, and the whole of it.
        let length = [0.2, 1.0, 0.5][seed as usize % 3] * height;
        let probe = Probe { height_cm: [0.5 * length, 0.5 * height, height - 0.5 * length][seed as usize % 3], length_cm: length };
        for window in [[Clock::hm(7, 0), Clock::hm(18, 0)], [Clock::hm(12, 0), Clock::hm(12, 0)], [Clock::MIDNIGHT, Clock::hm(23, 55)]] {
            for day in [0, 1] {
                if !has_room(&bench.valves[0].schedule, window[0], window[1]) {
                    continue;
                }
                let Some((called, mark)) = calls(&bench, 0, day, probe, window) else { panic!("{}: no mark", bench.name) };
                assert!(called, "{}, {window:?}, day {day}: {mark} is never reached", bench.name);
                (tried, marks) = (tried + 1, [marks, vec![mark]].concat());
            }
        }
    }
    assert!(tried > 120, "{tried}");
    marks.sort_by(f64::total_cmp);
    assert!(marks[0] < 0.4 && marks[marks.len() - 1] > 0.7, "they are not all the same: {marks:?}");
}

/// Where nothing is given, where it is flooded, and where what it reads never moves.
#[test]
fn odd_days_have_a_mark_too() {
    let window = [Clock::hm(8, 0), Clock::hm(17, 0)];
    for (name, mut bench) in demos().into_iter().take(8) {
        let height = bench.lanes[0].container.height_cm();
        let probe = Probe { height_cm: 0.5 * height, length_cm: height };
        assert!(calls(&bench, 0, 0, probe, window).is_some_and(|(called, _)| called), "{name}");
        bench.valves[0].schedule.clear();
        assert!(calls(&bench, 0, 0, probe, window).is_some_and(|(called, _)| called), "{name}, nothing given");
        for lane in &mut bench.lanes {
            lane.demand = slakeline::scenario::Demand::Measured { litres_per_day: 0.0, steady_share: 0.0 };
        }
        (bench.climate, bench.evaporation_mm_per_day) = (None, 0.0);
        bench.valves[0].rules.clear();
        assert!(calls(&bench, 0, 0, probe, window).is_some_and(|(called, _)| called), "{name}, nothing used");
    }
}
