//! The schedule finder: what it proposes is simulated again, and what the equipment cannot do is not proposed.

use slakeline::engine::run::{EachDay, LaneRun, Recorder, Workshop};
use slakeline::figures::day_figures;
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{Clock, Demand, Event, Give, Scenario};
use slakeline::studies::finder::{Asked, Figure, FinderError, Found, Hardware, find, words};

/// A bare block alone: it settles within days.
fn block() -> Scenario {
    let mut scenario = demos().remove(2).1;
    scenario.lanes.remove(0);
    scenario
}

fn found(scenario: &Scenario, asked: &Asked) -> Found {
    find(scenario, &Library::shipped(), asked, &|| true, &|_| ()).unwrap().unwrap()
}

/// The figures it gives are those of a run of the schedule it gives, an aim is met exactly where the figure lies within it, and a bench with
/// rules is told that it does without them.
#[test]
fn what_is_proposed_is_what_a_run_of_it_gives() {
    let scenario = block();
    let before = scenario.clone();
    let found = found(&scenario, &Asked::within_the_light(&scenario));
    assert_eq!(scenario, before);
    assert!(found.scenario.validate(&Library::shipped()).is_empty());
    let bench = Workshop::default().ready(&found.scenario, &Library::shipped()).unwrap();
    let days = bench.settled_days(&|| true).unwrap();
    for (lane, (_, run)) in found.scenario.lanes.iter().zip(&days) {
        let figures = day_figures(run, lane, 0).unwrap();
        for told in found.aims.iter().filter(|a| a.lane == lane.name) {
            let value = told.figure.value(&figures);
            assert_eq!(value, told.value, "{:?}", told.figure);
            assert_eq!(told.met, value.is_some_and(|v| (told.aim.0..=told.aim.1).contains(&v)), "{told:?}");
        }
    }
    // Running the proposal on comes to the same.
    let said = words(&found);
    for (at, lane) in found.lanes.iter().enumerate().filter(|(_, lane)| lane.repeats()) {
        let ready =
            &Workshop::default().ready(&Scenario { days: 366, ..found.scenario.clone() }, &Library::shipped()).unwrap().for_its_days()[at];
        let mut days = EachDay::of(ready, |run: &LaneRun, day| day_figures(run, &found.scenario.lanes[at], day).map(|f| f.root_zone_ec));
        ready.run_with(500, &mut days, &|| true).unwrap();
        let (now, later) = (lane.settled["root_zone_ec"].unwrap(), days.kept()[499].unwrap());
        assert!((now / later - 1.0).abs() < 2e-3, "{lane:?}: {later}");
    }
    assert_eq!(said.iter().any(|s| s.starts_with("Every aim is met")), found.aims.iter().all(|a| a.met), "{said:?}");
    assert_eq!(said.iter().any(|s| s.contains("rules")), scenario.all_rules().next().is_some() || !scenario.valves[0].changes.is_empty());
}

/// A timer of five minutes, two minutes at least, two emitters of 2 L/h, ten events, a small pump and a window of hours.
#[test]
fn the_equipment_can_give_it() {
    let scenario = block();
    let plants: f64 = scenario.lanes.iter().map(|l| f64::from(l.plants) * l.dose).sum();
    let hardware =
        Hardware { timer_step_s: 300, shortest_s: 120, emitter_l_per_h: Some(4.0), most_events: 10, pump_l_per_h: Some(3.0 * plants) };
    let asked = Asked { first: Clock::hm(9, 0), last: Clock::hm(15, 0), hardware, ..Asked::within_the_light(&scenario) };
    let found = found(&scenario, &asked);
    assert!((1..=10).contains(&found.events.len()));
    for event in &found.events {
        let Give::Drip { ml } = event.give else { panic!("{event:?}") };
        assert!(event.start >= asked.first && event.start <= asked.last && event.seconds >= 120, "{event:?}");
        assert_eq!(event.start_s() % 300.0, 0.0, "{event:?}");
        // The pump bounds what the emitter gives.
        assert!((ml / f64::from(event.seconds) - 3000.0 / 3600.0).abs() < 1e-9, "{event:?}");
    }
    assert!(found.events.windows(2).all(|w| w[0].end_s() < w[1].start_s()));
}

/// An aim that nothing can meet is told with its figure, and is not met by any of a grid of schedules either.
#[test]
fn an_aim_out_of_reach_is_told_and_truly_is() {
    let mut scenario = block();
    scenario.lanes[0].targets.root_zone_ec = Some((0.4, 0.5));
    let found = found(&scenario, &Asked::within_the_light(&scenario));
    let told = found.aims.iter().find(|a| a.figure == Figure::RootZoneEc).unwrap();
    assert!(!told.met && !found.meets_all());
    assert!(
        words(&found).iter().any(|s| s.contains("root-zone EC is") && s.contains("None of those that settled came below")),
        "{:?}",
        words(&found)
    );
    for (count, ml) in [(4, 60.0), (8, 60.0), (8, 150.0), (16, 200.0)] {
        let mut with = scenario.clone();
        with.valves[0].rules.clear();
        with.valves[0].changes.clear();
        with.valves[0].schedule = (0..count).map(|k| Event::drip(Clock::hm(8 + k / 2, 30 * (k % 2)), 5, ml)).collect();
        let days = Workshop::default().ready(&with, &Library::shipped()).unwrap().settled_days(&|| true).unwrap();
        assert!(day_figures(&days[0].1, &with.lanes[0], 0).unwrap().root_zone_ec > 0.5);
    }
}

#[test]
fn what_cannot_be_is_refused_and_a_no_ends_it() {
    let library = Library::shipped();
    let mut scenario = block();
    let asked = Asked::within_the_light(&scenario);
    assert!(find(&scenario, &library, &asked, &|| false, &|_| ()).unwrap().is_none());
    for (hardware, field) in [
        (Hardware { most_events: 0, ..Hardware::default() }, "--most-events"),
        (Hardware { timer_step_s: 0, ..Hardware::default() }, "--timer-step"),
        (Hardware { pump_l_per_h: Some(0.0), ..Hardware::default() }, "--pump"),
        (Hardware { emitter_l_per_h: Some(f64::NAN), ..Hardware::default() }, "--emitter"),
    ] {
        let refused = find(&scenario, &library, &Asked { hardware, ..asked }, &|| true, &|_| ());
        assert!(matches!(&refused, Err(FinderError::Asked(p)) if p.field == field), "{field}");
    }
    let backwards = Asked { first: asked.last, last: asked.first, ..asked };
    assert!(matches!(find(&scenario, &library, &backwards, &|| true, &|_| ()), Err(FinderError::Asked(p)) if p.field == "--last"));
    scenario.lanes[0].demand = Demand::Measured { litres_per_day: 0.0, steady_share: 0.5 };
    assert!(matches!(find(&scenario, &library, &asked, &|| true, &|_| ()), Err(FinderError::NothingUsed)));
}
