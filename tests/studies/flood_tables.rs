//! Flood tables: times, depth and length of floods, and the rinse from above that carries out what they leave.

use slakeline::engine::run::Workshop;
use slakeline::figures::{DayFigures, day_figures};
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{Clock, Event, Give, OnDays, Scenario};
use slakeline::studies::finder::{AimTold, Asked, Budget, Figure, Found, Hardware, Waiting, find, words};
use slakeline::units::Units;

/// The pot of the demo that is flooded, alone and without its rinse, with a stronger feed.
fn table() -> Scenario {
    let mut scenario = demos().remove(10).1;
    scenario.lanes.truncate(1);
    scenario.valves.truncate(1);
    scenario.valves[0].schedule.retain(|e| e.give.is_flood());
    scenario.feed.ec = 1.8;
    scenario
}

fn found(scenario: &Scenario, asked: &Asked) -> Found {
    find(scenario, &Library::shipped(), asked, &Budget::WHOLE, Waiting::NOBODY).unwrap().unwrap()
}

/// The settled day under a schedule.
fn day_of(bench: &Scenario, schedule: Vec<Event>) -> DayFigures {
    let mut with = bench.clone();
    with.valves[0].schedule = schedule;
    let days = Workshop::default().ready(&with, &Library::shipped()).unwrap().settled_days(&|| true).unwrap();
    day_figures(&days[0].1, &with.lanes[0], 0).unwrap()
}

fn is_rinse(event: &&Event) -> bool {
    !event.give.is_flood()
}

/// Floods alone gather salt far above the aim, which is said; with a rinse from above it is met, or told how near it comes; and both are so.
#[test]
fn a_rinse_from_above_is_found_where_floods_gather_salt() {
    let bench = table();
    let aim = bench.lanes[0].targets.root_zone_ec.unwrap();
    let without = day_of(&bench, bench.valves[0].schedule.clone()).root_zone_ec;
    assert!(without > 2.0 * aim.1, "{without}");
    let asked = Asked { rinse_ec: Some(0.4), ..Asked::within_the_light(&bench) };
    let with = found(&bench, &asked);
    let rinses: Vec<&Event> = with.events.iter().filter(is_rinse).collect();
    assert_eq!((rinses.len(), rinses[0].ec), (1, Some(0.4)));
    let told = with.aims.iter().find(|a| a.figure == Figure::RootZoneEc).unwrap();
    assert!(told.met, "{:?} {:?}", words(&with, Units::default()), with.events);
    assert_eq!(day_of(&bench, with.events.clone()).root_zone_ec, told.value.unwrap());
    // What is told of the same table without a rinse: every such point is above, and so is a grid of floods.
    let said = words(&with, Units::default());
    assert!(said.iter().any(|s| s.starts_with("A rinse from above at") && s.contains("collect what drains")), "{said:?}");
    let least = with.points.iter().filter(|p| p.rinse_ml == Some(0.0)).map(|p| p.lanes[0].root_zone_ec).fold(f64::INFINITY, f64::min);
    assert!(
        said.iter().any(|s| s.contains(&format!("without a rinse from above none of those that settled came below {least:.2}"))),
        "{said:?}"
    );
    // Eleven floods a day do without; five do not.
    let hardware = Hardware { most_events: 5, ..Hardware::default() };
    let alone = found(&bench, &Asked { rinse_ec: None, hardware, ..asked });
    assert!(alone.events.iter().all(|e| e.give.is_flood()) && !alone.meets_all());
    // Floods so deep that they wash the salt out leave the roots too little air: no floods of a grid meet every aim either.
    for (count, depth_cm, minutes) in [(1, 1.0, 5), (1, 9.0, 30), (2, 3.0, 10), (2, 9.0, 60), (3, 2.0, 60), (5, 4.0, 15), (5, 8.0, 5)] {
        let event = |k: u32| Event {
            start: Clock::hm(7 + 2 * k, 0),
            seconds: 60 * minutes,
            give: Give::Flood { depth_cm },
            ec: None,
            days: OnDays::ALL,
        };
        let day = day_of(&bench, (0..count).map(event).collect());
        let met = |a: &AimTold| a.figure.value(&day).is_some_and(|v| (a.aim.0..=a.aim.1).contains(&v));
        assert!(!alone.aims.iter().all(met), "{count} floods of {depth_cm} cm for {minutes} min: {day:?}");
    }
}

/// What timer, hours and pot let be: no flood over the rim, nothing before or after, events apart, no more of them than there may be.
#[test]
fn floods_and_rinse_are_what_the_equipment_can_do() {
    let bench = table();
    for most_events in [1, 2, 3] {
        let hardware = Hardware { timer_step_s: 900, shortest_s: 240, most_events, ..Hardware::default() };
        let asked = Asked { first: Clock::hm(8, 10), last: Clock::hm(12, 0), hardware, ..Asked::within_the_light(&bench) };
        let found = found(&bench, &asked);
        assert!((1..=most_events).contains(&found.events.len()), "{:?}", found.events);
        for event in &found.events {
            assert!(event.start >= asked.first && event.start <= asked.last && event.seconds >= 240, "{event:?}");
            assert_eq!(event.start_s() % 900.0, 0.0, "{event:?}");
            assert!(!matches!(event.give, Give::Flood { depth_cm } if depth_cm > 0.9 * bench.lanes[0].container.height_cm()), "{event:?}");
        }
        assert!(found.events.windows(2).all(|w| w[0].end_s() + 900.0 <= w[1].start_s()), "{:?}", found.events);
        assert!(found.scenario.validate(&Library::shipped()).is_empty());
        assert!(most_events > 1 || found.events.iter().all(|e| e.give.is_flood()));
    }
}

/// An EC that a rinse cannot have is refused by name.
#[test]
fn what_a_rinse_cannot_be_is_refused() {
    let bench = table();
    for ec in [-0.1, 21.0, f64::NAN] {
        let asked = Asked { rinse_ec: Some(ec), ..Asked::within_the_light(&bench) };
        let refused = find(&bench, &Library::shipped(), &asked, &Budget::COARSE, Waiting::NOBODY);
        assert!(matches!(&refused, Err(slakeline::studies::StudyError::Asked(p)) if p.field == "--rinse"), "{ec}");
    }
}
