//! Several valves on one pump: each lane gets what its valve gives, as if it stood alone; who waits for whom when the pump cannot feed both.
use crate::{common, other_valves, scenarios};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed};
use slakeline::edits::valves;
use slakeline::engine::run::{Run, Workshop, run};
use slakeline::scenario::presets::Library;
use slakeline::scenario::*;

fn config() -> Config {
    let mut config = Config { failure_persistence: None, max_shrink_iters: 100, max_global_rejects: 100_000, ..Config::default() };
    if std::env::var_os("PROPTEST_CASES").is_none() {
        config.cases = 32;
        config.rng_seed = RngSeed::Fixed(1);
    }
    config
}

fn demo() -> Scenario {
    common::read("demo/1-aubergine-two-root-zones.ron")
}

fn run_of(scenario: &Scenario) -> Run {
    run(&Workshop::default().ready(scenario, &Library::shipped()).unwrap().for_its_days(), scenario.days)
}

fn drip(start: (u32, u32), minutes: u32, ml: f64) -> Event {
    Event::drip(Clock::hm(start.0, start.1), minutes, ml)
}

/// EC of what a lane was given on its first day.
fn given_ec(run: &Run, lane: usize) -> f64 {
    let day = run.lanes[lane].day(0).unwrap();
    day.salt.applied / day.water.applied
}

/// A bench of a valve and its lanes alone.
fn alone(scenario: &Scenario, valve: usize) -> Scenario {
    let mut one = scenario.clone();
    one.lanes.retain(|l| l.valve == valve);
    one.lanes.iter_mut().for_each(|l| l.valve = 0);
    one.valves = vec![scenario.valves[valve].clone()];
    one
}

#[test]
fn a_lane_of_its_own_valve_runs_as_if_it_stood_alone() {
    let mut both = demo();
    valves::put_on_own(&mut both, 1);
    both.valves[1].schedule.iter_mut().for_each(|e| e.give = Give::Drip { ml: 90.0 });
    both.valves[1].ec = Some(1.2);
    let together = run_of(&both);
    for valve in 0..2 {
        let single = run_of(&alone(&both, valve));
        assert_eq!(together.lanes[valve].series, single.lanes[0].series);
        assert_eq!(together.lanes[valve].timetable.days(), run_timetable(&single, valve), "valve {valve}");
    }
    // The valve's own EC is what its lane gets.
    assert_eq!(together.lanes[1].timetable.events(0).len(), 11);
    assert!((given_ec(&together, 1) - 1.2).abs() < 1e-9);
}

/// The days of a single run, as those of another valve.
fn run_timetable(single: &Run, valve: usize) -> Vec<std::sync::Arc<slakeline::engine::supply::timetable::PumpDay>> {
    let of = |day: &std::sync::Arc<slakeline::engine::supply::timetable::PumpDay>| {
        let mut day = (**day).clone();
        day.plan.valve = valve;
        std::sync::Arc::new(day)
    };
    single.lanes[0].timetable.days().iter().map(of).collect()
}

#[test]
fn who_was_due_first_goes_first_and_the_other_waits() {
    let mut s = demo();
    valves::put_on_own(&mut s, 1);
    s.lanes[1].dose = 1.0;
    // 24 plants and 12: 24 · 100 mL in 5 min are 28.8 L/h, 12 · 100 mL 14.4 L/h.
    s.valves[0].schedule = vec![drip((8, 0), 5, 100.0), drip((9, 0), 5, 100.0)];
    s.valves[1].schedule = vec![drip((8, 2), 5, 100.0), drip((8, 8), 5, 100.0), drip((9, 0), 10, 100.0)];
    let starts = |s: &Scenario, valve: usize| -> Vec<String> {
        let done = run_of(s);
        done.lanes[valve].timetable.day(0).unwrap().calls.iter().map(|c| c.event.start.to_string()).collect()
    };
    // Nothing is known of the pump, or it feeds both: nobody waits.
    assert_eq!(starts(&s, 1), ["08:02", "08:08", "09:00"]);
    s.pump = Some(Pump { litres_per_hour: 28.8 + 14.4 });
    assert_eq!(starts(&s, 1), ["08:02", "08:08", "09:00"]);
    // It feeds one at a time: what is due at one instant goes in the order of the valves, and what waited puts off what follows it.
    s.pump = Some(Pump { litres_per_hour: 30.0 });
    assert_eq!(starts(&s, 0), ["08:00", "09:00"]);
    assert_eq!(starts(&s, 1), ["08:05", "08:10", "09:05"]);
    let day = |s: &Scenario| run_of(s).lanes[1].timetable.day(0).unwrap().as_ref().clone();
    assert_eq!((day(&s).waited(), day(&s).cut()), (3, 0));
    assert_eq!(day(&s).calls[0].wanted.start, Clock::hm(8, 2));
    // It is too small for either: drips are cut to what it gives in their time, and one at a time they go.
    s.pump = Some(Pump { litres_per_hour: 14.4 });
    let first = run_of(&s).lanes[0].timetable.day(0).unwrap().as_ref().clone();
    assert_eq!(first.cut(), 2);
    assert!((first.calls[0].event.ml().unwrap() - 50.0).abs() < 1e-9);
    // A flood takes the pump whole.
    s.pump = Some(Pump { litres_per_hour: 1000.0 });
    s.valves[0].schedule[0].give = Give::Flood { depth_cm: 3.0 };
    assert_eq!(starts(&s, 1), ["08:05", "08:10", "09:00"]);
    // What cannot end by midnight does not come.
    s.valves[0].schedule = vec![drip((23, 50), 10, 100.0)];
    s.valves[1].schedule = vec![drip((23, 55), 5, 100.0)];
    s.pump = Some(Pump { litres_per_hour: 15.0 });
    let late = day(&s);
    assert_eq!((late.calls.len(), late.too_late.len(), late.waited()), (0, 1, 1));
}

#[test]
fn a_tank_feeds_all_valves_but_one_with_an_ec_of_its_own() {
    let mut s = demo();
    valves::put_on_own(&mut s, 1);
    s.days = 1;
    s.tank = Some(Tank { litres: 500.0, start_ec: Some(2.0), refill: Refill::Feed, filled: Filled::Never, drain_returns: false });
    let drawn = |s: &Scenario| run_of(s).lanes[0].timetable.tank.as_ref().unwrap().days[0].drawn;
    let plants = |i: usize| f64::from(s.lanes[i].plants) * s.lanes[i].dose * 1.85;
    assert!((drawn(&s) - plants(0) - plants(1)).abs() < 1e-6, "{}", drawn(&s));
    s.valves[1].ec = Some(1.0);
    assert!((drawn(&s) - plants(0)).abs() < 1e-6, "{}", drawn(&s));
    assert!((given_ec(&run_of(&s), 1) - 1.0).abs() < 1e-9);
    // Two that begin at one instant cannot both have the last of it.
    s.valves[1].ec = None;
    s.tank.as_mut().unwrap().litres = 3.0;
    let done = run_of(&s);
    assert!(drawn(&s) <= 3.0 + 1e-9, "{}", drawn(&s));
    let given = |i: usize| f64::from(s.lanes[i].plants) * done.lanes[i].day(0).unwrap().water.applied / 1000.0;
    assert!((given(0) + given(1) - drawn(&s)).abs() < 1e-6, "{} {} {}", given(0), given(1), drawn(&s));
}

proptest! {
    #![proptest_config(config())]

    /// Benches with up to three valves, rules, a tank and a pump with a limit: no valve gives two events at once, the pump never more than it
    /// can, nothing comes earlier than it was set, what was given is what was put in, books close, and the tank loses what was drawn from it.
    #[test]
    fn benches_of_several_valves_are_sound(
        one in prop_oneof![scenarios::scenario(), scenarios::coincidence()],
        others in proptest::collection::vec(other_valves::other_valve(), 0..3),
        share in proptest::option::of(other_valves::pump_share()),
    ) {
        let mut s = one;
        for (i, valve) in others.into_iter().enumerate() {
            s.lanes.push(Lane { name: format!("lane {}", i + 2), probe: None, ..s.lanes[0].clone() });
            valve.onto(&mut s, i + 1);
        }
        if let Some(share) = share {
            other_valves::limit_pump(&mut s, share);
        }
        prop_assume!(s.validate(&Library::shipped()).is_empty());
        let done = run_of(&s);
        let mut open: Vec<(f64, f64, f64)> = Vec::new();
        for (lane, run) in s.lanes.iter().zip(&done.lanes) {
            let day = run.timetable.day(0).unwrap();
            prop_assert!(day.calls.windows(2).all(|w| w[0].event.end_s() <= w[1].event.start_s()));
            prop_assert!(day.calls.iter().all(|c| c.event.start >= c.wanted.start && c.waited == (c.event.start > c.wanted.start)));
            prop_assert!(day.calls.iter().all(|c| c.event.end_s() <= DAY_S));
            if s.pump.is_none() && s.tank.is_none() {
                prop_assert!(day.calls.iter().all(|c| c.event == c.wanted) && day.missed.is_empty());
            }
            if run.error.is_none() {
                prop_assert!(run.closure().closes());
            }
            for event in &day.events {
                let litres = event.ml().map(|ml| f64::from(lane.plants) * lane.dose * ml * 3.6 / f64::from(event.seconds));
                let most = s.pump.map_or(f64::INFINITY, |p| p.litres_per_hour);
                open.push((event.start_s(), event.end_s(), litres.unwrap_or(most)));
            }
        }
        if let Some(pump) = s.pump {
            for (start, ..) in &open {
                let now: f64 = open.iter().filter(|o| (o.0..o.1).contains(start)).map(|o| o.2).sum();
                prop_assert!(now <= pump.litres_per_hour * (1.0 + 1e-6), "{now} of {}", pump.litres_per_hour);
            }
        }
        if let Some(tank) = &done.lanes[0].timetable.tank {
            let day = &tank.days[0];
            let end = s.tank.unwrap().litres - day.drawn + day.returned + day.refilled - day.spilled;
            prop_assert!((end - day.litres).abs() < 1e-6 && day.litres >= -1e-9, "{day:?}");
        }
    }
}
