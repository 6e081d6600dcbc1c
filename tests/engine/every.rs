//! Events that come every so many days: on those days and no others, whatever else calls for water; and a round of days that repeats itself.

use crate::run_in::config;
use crate::{common, scenarios};
use proptest::prelude::*;
use slakeline::engine::run::feedback::Until;
use slakeline::engine::run::{LOOK_AHEAD_DAYS, LaneRun, Settled, Workshop, run};
use slakeline::engine::supply::timetable::Timetable;
use slakeline::figures::{DayFigures, day_figures};
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::*;

/// The same, told day by day: a schedule of its own for each day, all of whose events come every day.
fn spelled_out(scenario: &Scenario) -> Scenario {
    let mut out = scenario.clone();
    for (index, valve) in out.valves.iter_mut().enumerate() {
        let of = |day: usize| {
            let plan = scenario.plan_on(index, day);
            let mut events = scenario.events(plan).to_vec();
            events.retain(|e| day % e.days.every as usize == e.days.from as usize - 1);
            events.iter_mut().for_each(|e| e.days = OnDays::ALL);
            (events, scenario.rules(plan).to_vec())
        };
        (valve.schedule, valve.rules) = of(0);
        valve.changes = (1..=scenario.days as usize)
            .map(|day| {
                let (schedule, rules) = of(day);
                PlanChange { from_day: day as u32 + 1, schedule, rules }
            })
            .collect();
    }
    out
}

/// Samples and books are the same bits.
fn same(a: &LaneRun, b: &LaneRun) -> bool {
    a.series.samples == b.series.samples && a.midnights == b.midnights
}

/// A bench of some days, each event of which comes as often as may be; now and then a second valve, a tank or a pump.
fn bench() -> impl Strategy<Value = Scenario> {
    let one = prop_oneof![scenarios::scenario(), scenarios::coincidence()];
    let every = proptest::collection::vec((1_u32..=4, 0_u32..4), 12);
    (one, every, 3_u32..9, any::<[bool; 4]>()).prop_map(|(mut scenario, every, days, [twice, tank, pump, change])| {
        scenario.days = days;
        scenario.lanes[0].start.run_in_days = None;
        for (event, (every, from)) in scenario.valves[0].schedule.iter_mut().zip(&every) {
            event.days = OnDays { every: *every, from: from % every + 1 };
        }
        if twice {
            let mut twin = Lane { name: "twin".to_owned(), probe: None, valve: 1, ..scenario.lanes[0].clone() };
            twin.dose *= 0.7;
            scenario.lanes.push(twin);
            let schedule = scenario.valves[0].schedule.iter().rev().step_by(2).copied().collect();
            scenario.valves.push(Valve { name: "Valve 2".to_owned(), ..Valve::only(schedule) });
        }
        if tank {
            scenario.tank =
                Some(Tank { litres: 20.0, start_ec: None, refill: Refill::Feed, filled: Filled::At(Clock::hm(3, 0)), drain_returns: true });
        }
        if pump {
            scenario.pump = Some(Pump { litres_per_hour: 3.0 });
        }
        if change {
            let plan = scenario.change_from(0, 2);
            if let Some(first) = scenario.events_mut(plan).and_then(|events| events.first_mut()) {
                first.days = OnDays { every: 2, from: 2 };
            }
        }
        scenario.sort_schedule();
        scenario
    })
}

proptest! {
    #![proptest_config(config())]

    /// What comes every so many days is what a schedule of its own for each day gives, to the bit.
    #[test]
    fn what_comes_now_and_then_is_a_schedule_for_each_day(scenario in bench()) {
        let library = Library::shipped();
        prop_assume!(scenario.validate(&library).is_empty());
        let spelled = spelled_out(&scenario);
        prop_assert!(spelled.validate(&library).is_empty(), "{:?}", spelled.validate(&library));
        let runs = [&scenario, &spelled].map(|s| run(&common::ready(s), s.days));
        for (a, b) in runs[0].lanes.iter().zip(&runs[1].lanes) {
            prop_assert!(same(a, b), "{}", file::to_text(&scenario).unwrap_or_default());
        }
    }
}

/// A pot on a flood table, rinsed from above every third day.
fn table(every: u32, from: u32) -> Scenario {
    let mut scenario = demos().swap_remove(10).1;
    scenario.lanes.truncate(1);
    scenario.valves.truncate(1);
    let rinse = scenario.valves[0].schedule.iter_mut().find(|e| !e.give.is_flood()).unwrap();
    rinse.days = OnDays { every, from };
    scenario
}

/// The round found is the one that running on comes to: day by day the same figures, and a rinse on the day that has one.
#[test]
fn the_round_that_repeats_is_the_one_that_running_on_comes_to() {
    let library = Library::shipped();
    for (every, from, tank) in [(2, 2, false), (3, 1, false), (7, 4, false), (3, 2, true), (7, 1, true)] {
        let mut scenario = table(every, from);
        // So little of the drain that comes back stays in it that the salt comes to rest.
        scenario.tank = tank.then_some(Tank {
            litres: 400.0,
            start_ec: None,
            refill: Refill::Water { ec: 0.2 },
            filled: Filled::At(Clock::hm(4, 0)),
            drain_returns: true,
        });
        assert_eq!((scenario.round_days(), scenario.validate(&library).len()), (every as usize, 0));
        let ready = Workshop::default().ready(&scenario, &library).unwrap();
        let made = |_: usize, run: &LaneRun, day: usize| Some((day, day_figures(run, &scenario.lanes[0], day)?));
        let (settled, days) = ready.settled_rounds(made, LOOK_AHEAD_DAYS, &|| true).unwrap().remove(0);
        assert!(matches!(settled, Settled::OnDay(_)), "{settled:?}");
        let days: Vec<(usize, DayFigures)> = days.into_iter().map(Option::unwrap).collect();
        assert_eq!(days.len(), every as usize);
        let days_run = if tank { 728 } else { 364 };
        let long = run(&ready.timed(Until { days: days_run, settled: false }, &|| true).unwrap(), days_run);
        let mut rinsed = 0;
        for (day, found) in &days {
            // The same day of the last round.
            let same = (0..days_run as usize).rev().find(|d| d % every as usize == day % every as usize).unwrap();
            let reached = day_figures(&long.lanes[0], &scenario.lanes[0], same).unwrap();
            assert!((found.root_zone_ec / reached.root_zone_ec - 1.0).abs() < 0.01, "{} and {}", found.root_zone_ec, reached.root_zone_ec);
            assert!(
                (found.applied_ml - reached.applied_ml).abs() < 0.01 * reached.applied_ml.max(1.0),
                "{every} {from} {tank} day {day} (as {same}): {} and {}",
                found.applied_ml,
                reached.applied_ml
            );
            assert!((found.peak - reached.peak).abs() < 1e-3 && (found.uptake_met - reached.uptake_met).abs() < 1e-3);
            rinsed += usize::from(scenario.valves[0].schedule.iter().any(|e| !e.give.is_flood() && e.days.has(*day)));
        }
        assert_eq!(rinsed, 1, "one rinse in a round");
        // The day shown as settled is the last of them.
        let (_, run) = ready.settled_days(&|| true).unwrap().remove(0);
        assert_eq!(run.first_day, days[0].0);
        let shown = day_figures(&run, &scenario.lanes[0], 0).unwrap();
        assert!((shown.root_zone_ec / days[0].1.root_zone_ec - 1.0).abs() < 1e-9);
    }
}

/// A log of days and events of other days begin anew together, however long that takes; numbers out of range are refused.
#[test]
fn rounds_meet() {
    let library = Library::shipped();
    let mut scenario = table(3, 2);
    let rows = [LogRow(0, 0.0, 20.0, 70.0), LogRow(86_400 + 43_200, 400.0, 24.0, 60.0)];
    scenario.climate =
        Some(Climate::Log(ClimateLog { name: "two days".to_owned(), source: String::new(), lamp: None, rows: rows.as_slice().into() }));
    assert_eq!((scenario.log_days(), scenario.round_of_events(), scenario.round_days()), (2, 3, 6));
    let mut scenario = table(13, 2);
    let rest = scenario.valves[0].schedule.iter_mut().filter(|e| e.give.is_flood());
    for (event, every) in rest.zip([11, 14]) {
        event.days = OnDays { every, from: 1 };
    }
    // More days than are looked ahead: every event still comes on its days, and it is said that nothing repeats itself.
    assert_eq!((scenario.round_days(), scenario.validate(&library).len()), (2002, 0));
    let given = &Timetable::foreseen(&scenario)[0];
    for day in 0..370_usize {
        let of: Vec<Event> = scenario.valves[0]
            .schedule
            .iter()
            .copied()
            .filter(|e| (day + 1) % e.days.every as usize == e.days.from as usize % e.days.every as usize)
            .collect();
        assert_eq!(given.events(day), of, "{day}");
    }
    let settled = Workshop::default().ready(&scenario, &library).unwrap().settle().remove(0).unwrap();
    assert_eq!(settled, Settled::NotWithin(LOOK_AHEAD_DAYS));
    for (every, from, field) in [(0, 1, "every"), (15, 1, "every"), (2, 3, "from"), (2, 0, "from")] {
        let told = table(every, from).validate(&library);
        assert!(!told.is_empty() && told.iter().all(|p| p.field.starts_with("valves[0].schedule") && p.field.contains("days")), "{told:?}");
        assert!(told.iter().any(|p| p.field.ends_with(field)), "{told:?}");
    }
}
