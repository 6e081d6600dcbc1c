//! Steps and runs: landing on events, the same bits whatever the thread count, errors that keep the last good state.

use slakeline::engine::run;
use slakeline::scenario::{Event, Give, OnDays};

use crate::common::{read, ready};

const DEMO: &str = "demo/1-aubergine-two-root-zones.ron";

/// Steps land exactly (to the bit) on the start and end of every event of every day, and on every midnight.
#[test]
fn steps_land_on_events() {
    let mut scenario = read(DEMO);
    // An event at midnight's edge at either end, and one of odd seconds.
    let event =
        |start: &str, seconds, ml| Event { start: start.parse().unwrap(), seconds, give: Give::Drip { ml }, ec: None, days: OnDays::ALL };
    scenario.valves[0].schedule.insert(0, event("00:00", 61, 20.0));
    scenario.valves[0].schedule.push(event("23:58:20", 100, 20.0));
    for lane in ready(&scenario) {
        let done = lane.run(2);
        assert!(done.error.is_none());
        let times: Vec<f64> = done.series.samples.iter().map(|s| s.time_s).collect();
        assert!(times.windows(2).all(|w| w[0] < w[1]), "time runs forward");
        for day in [0.0, 86_400.0] {
            for event in &scenario.valves[0].schedule {
                for edge in [day + event.start_s(), day + event.end_s()] {
                    assert!(times.contains(&edge), "{}: no step lands on {edge} s", lane.name);
                }
            }
        }
        // No step is so short that it is only rounding before a mark.
        let shortest = times.windows(2).map(|w| w[1] - w[0]).fold(f64::INFINITY, f64::min);
        assert!(shortest > 1e-4, "{}: a step of {shortest} s", lane.name);
    }
}

/// What events give is what the ledger books, to rounding: volumes and salts of every event, whatever the steps.
#[test]
fn events_give_what_they_say() {
    let mut scenario = read(DEMO);
    scenario.valves[0].schedule[3].ec = Some(0.3);
    scenario.lanes[1].dose = 2.0;
    for (lane, ready) in scenario.lanes.iter().zip(ready(&scenario)) {
        let done = ready.run(1);
        let ledger = done.day(0).unwrap();
        let given: f64 = scenario.valves[0].schedule.iter().filter_map(|e| e.ml().map(|ml| ml * lane.dose)).sum();
        let salt: f64 = scenario.valves[0].schedule.iter().filter_map(|e| e.ml().map(|ml| ml * lane.dose * scenario.event_ec(0, e))).sum();
        assert!((ledger.water.applied / given - 1.0).abs() < 1e-12, "{} of {given} mL", ledger.water.applied);
        assert!((ledger.salt.applied / salt - 1.0).abs() < 1e-12, "{} of {salt}", ledger.salt.applied);
        assert!((ledger.water.demanded / 1600.0 - 1.0).abs() < 1e-12);
    }
}

/// The same scenario gives the same bits on 1, 2, 3 and 8 threads, and run after run.
#[test]
fn bits_do_not_depend_on_threads() {
    let mut scenario = read(DEMO);
    let (mut a, mut b) = (scenario.lanes[0].clone(), scenario.lanes[1].clone());
    (a.name, b.name) = ("third".to_owned(), "fourth".to_owned());
    (a.dose, b.dose) = (1.3, 0.7);
    scenario.lanes.extend([a, b]);
    let lanes = ready(&scenario);
    let on = |threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| run::run(&lanes, 1))
    };
    let first = on(1);
    assert!(first.lanes.iter().all(|l| l.error.is_none() && l.series.samples.len() > 50));
    for threads in [1, 2, 3, 8] {
        let again = on(threads);
        for (x, y) in first.lanes.iter().zip(&again.lanes) {
            assert_eq!(x.name, y.name);
            assert!(bits(x) == bits(y), "{} on {threads} threads", x.name);
        }
    }
    // Made ready anew, from the file on: the same again.
    let afresh = run::run(&ready(&scenario), 1);
    assert!(first.lanes.iter().zip(&afresh.lanes).all(|(x, y)| bits(x) == bits(y)));
}

/// Every number of a run, as bits.
fn bits(lane: &run::LaneRun) -> Vec<u64> {
    let samples = lane.series.samples.iter().flat_map(|s| {
        let l = &s.ledger;
        [s.time_s, s.water_content, s.air_space, s.root_air, s.suction_kpa, s.root_zone_ec, l.water.outlet, l.salt.outlet, l.salt.taken_up]
    });
    let profiles = &lane.series.profiles;
    let layers = profiles.theta.iter().chain(&profiles.head).chain(&profiles.ec).map(|&v| u64::from(v.to_bits()));
    samples.map(f64::to_bits).chain(layers).collect()
}

/// A step that cannot converge ends in an error that names time and layer, and the last good state is kept. Forced by a
/// shortest step of 1 s with a tolerance and convergence that such steps cannot meet.
#[test]
fn an_error_keeps_the_last_good_state() {
    let mut scenario = read(DEMO);
    scenario.solver.min_step_s = 1.0;
    scenario.solver.tolerance = 1e-8;
    scenario.solver.convergence = 1e-9;
    let lane = &ready(&scenario)[0];
    let mut simulation = lane.simulation();
    let error = simulation.advance_to(86_400.0, |_| {}).expect_err("1e-17 of water content is below rounding");
    assert_eq!(error.time_s, simulation.time_s());
    assert!(error.layer < lane.column.len());
    let text = error.to_string();
    assert!(text.contains(&format!("layer {}", error.layer + 1)) && text.contains("day 1") && text.contains("00:00"), "{text}");
    let state = simulation.state();
    assert!(state.theta.iter().chain(&state.head).chain(&state.ec).all(|v| v.is_finite()));
    assert!(simulation.ledger().water_closure() <= 1e-9 && simulation.ledger().salt_closure() <= 1e-9);
}
