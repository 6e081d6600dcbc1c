//! Grace time beside plain runs of the same fault.

use slakeline::engine::run::Workshop;
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{CropChoice, DAY_S, Demand, PlanChange, Scenario, StartWater, resolve};
use slakeline::studies::grace::{Fault, Grace, grace, grace_told, worst_words};

fn told(scenario: &Scenario) -> Vec<slakeline::studies::grace::LaneGrace> {
    grace(scenario, &Library::shipped(), &|| true).unwrap().unwrap()
}

/// A bench of one day, and of that day with nothing given after an hour, on days of their own.
fn stops_at(scenario: &Scenario, hour: u32) -> Scenario {
    let mut stops = scenario.clone();
    stops.days = 4;
    let before = |e: &&slakeline::scenario::Event| e.end_s() <= f64::from(hour) * 3600.0;
    let kept = scenario.valves[0].schedule.iter().filter(before).copied().collect();
    stops.valves[0].schedule = kept;
    stops.valves[0].changes = vec![PlanChange { from_day: 2, schedule: Vec::new(), rules: Vec::new() }];
    stops
}

/// The first time after `hour` at which a step meets no more than a share, h from then.
fn plain(scenario: &Scenario, lane: usize, hour: u32, share: f64) -> Option<f64> {
    let ready = Workshop::default().ready(scenario, &Library::shipped()).unwrap().for_its_days();
    let mut simulation = ready[lane].simulation();
    let from = f64::from(hour) * 3600.0;
    simulation.advance_to(from, |_| {}).unwrap();
    let mut before = *simulation.ledger();
    let mut found = None;
    simulation
        .advance_to(from + 3.0 * DAY_S, |s| {
            let passed = s.ledger().since(&before).water;
            before = *s.ledger();
            if found.is_none() && passed.demanded > 0.0 && passed.taken_up <= share * passed.demanded {
                found = Some((s.time_s() - from) / 3600.0);
            }
        })
        .unwrap();
    found
}

/// Within one step of a plain run whose schedule ends at that hour.
/// Who waits is told a share, and is given the same answer.
#[test]
fn how_far_it_is_is_told() {
    let (bench, library) = (demos().remove(0).1, Library::shipped());
    let shares = std::sync::Mutex::new(Vec::new());
    let told = grace_told(&bench, &library, &|| true, &|share| shares.lock().unwrap().push(share)).unwrap();
    let plain = grace(&bench, &library, &|| true).unwrap();
    assert_eq!(serde_json::to_value(told).unwrap(), serde_json::to_value(plain).unwrap());
    let shares = shares.into_inner().unwrap();
    assert!(shares.len() > 24 && shares.iter().all(|s| (0.0..1.0).contains(s)), "{shares:?}");
    assert!(shares.iter().fold(0.0_f64, |a, b| a.max(*b)) > 0.95);
}

#[test]
fn a_stopped_pump_is_a_schedule_that_ends() {
    let mut scenario = demos().remove(0).1;
    scenario.days = 1;
    scenario.lanes.truncate(1);
    let lane = &told(&scenario)[0];
    for hour in [0, 7, 12, 20] {
        let grace = lane.of(Fault::PumpStops).find(|g| g.hour == hour).unwrap();
        let busy = scenario.valves[0].schedule.iter().any(|e| (e.start_s()..e.end_s()).contains(&(f64::from(hour) * 3600.0)));
        assert!(!busy, "an event lies over {hour}:00");
        let stops = stops_at(&scenario, hour);
        for (share, told) in [(0.9, grace.hours_to_90), (0.5, grace.hours_to_50)] {
            let plain = plain(&stops, 0, hour, share);
            match (plain, told) {
                (Some(plain), Some(told)) => assert!((plain - told).abs() <= 0.75, "{hour}:00, {share}: {told} beside {plain}"),
                (plain, told) => assert_eq!(plain.is_some(), told.is_some(), "{hour}:00, {share}: {told:?} beside {plain:?}"),
            }
        }
    }
}

fn order(g: &Grace) -> bool {
    let h = |x: Option<f64>| x.unwrap_or(f64::INFINITY);
    h(g.hours_to_90) <= h(g.hours_to_50) && h(g.hours_to_50) <= h(g.hours_to_dry)
}

/// On every demo: worse comes after bad, no other fault of the supply is worse than no water at all, and words name the worst hour.
#[test]
fn no_fault_of_the_supply_is_worse_than_none_at_all() {
    for (name, mut scenario) in demos() {
        scenario.days = scenario.days.min(2);
        for lane in told(&scenario) {
            assert_eq!(lane.of(Fault::PumpStops).count(), 24, "{name}");
            assert!(lane.grace.iter().all(order), "{name}, {}", lane.name);
            for fault in [Fault::HalfFlow, Fault::OneEventMissed, Fault::TankRunsOut] {
                for (stopped, other) in lane.of(Fault::PumpStops).zip(lane.of(fault)) {
                    let dry = |g: &Grace| g.hours_to_dry.unwrap_or(f64::INFINITY);
                    assert!(
                        dry(stopped) <= dry(other) + 0.5,
                        "{name}, {}, {fault:?} at {}: {stopped:?} {other:?}",
                        lane.name,
                        stopped.hour
                    );
                }
            }
            if let Some(hour) = lane.worst_hour {
                let words = worst_words(&lane);
                assert!(words.contains(&format!("{hour:02}:00")), "{words}");
                let least = lane.worst(Fault::PumpStops).unwrap().hours_to_90.unwrap();
                assert!(lane.of(Fault::PumpStops).all(|g| g.hours_to_90.is_none_or(|h| h >= least)));
            }
        }
    }
}

/// The same plant in the same container twice as wide: it goes on for longer, from every hour.
#[test]
fn a_larger_root_zone_bears_it_longer() {
    let mut scenario = demos().remove(0).1;
    scenario.days = 1;
    scenario.lanes.truncate(1);
    scenario.lanes[0].demand = Demand::Measured { litres_per_day: 2.0, steady_share: 0.08 };
    let small = told(&scenario).remove(0);
    let mut large = scenario.clone();
    large.lanes[0].container.parts[0].shared_by = 1;
    assert_ne!(large, scenario);
    let large = told(&large).remove(0);
    for (s, l) in small.of(Fault::PumpStops).zip(large.of(Fault::PumpStops)) {
        assert!(s.hours_to_50.unwrap_or(99.0) <= l.hours_to_50.unwrap_or(99.0), "{s:?} {l:?}");
    }
    assert!(
        small.worst(Fault::PumpStops).unwrap().hours_to_90.unwrap()
            < large.worst(Fault::PumpStops).map_or(99.0, |g| g.hours_to_90.unwrap())
    );
}

/// A clogged drain is worse where roots feel it than where they do not.
#[test]
fn a_blocked_drain_takes_the_air_and_with_it_the_uptake() {
    let library = Library::shipped();
    let mut scenario = demos().remove(0).1;
    scenario.days = 1;
    scenario.lanes.truncate(1);
    scenario.lanes[0].start.water = StartWater::AtCapacity;
    let lane = told(&scenario).remove(0);
    let blocked: Vec<&Grace> = lane.of(Fault::DrainBlocked).collect();
    assert!(blocked.iter().all(|g| g.hours_to_airless.is_some()), "{blocked:?}");
    assert!(blocked.iter().any(|g| g.hours_to_90.is_some()));
    let mut crop = resolve::crop(&scenario.lanes[0].crop, &library).unwrap();
    crop.stress.air_floor = 1.0;
    scenario.lanes[0].crop = CropChoice::Custom(Box::new(crop));
    let hardy = told(&scenario).remove(0);
    assert!(hardy.of(Fault::DrainBlocked).all(|g| g.hours_to_90.is_none()), "what does not mind the air is not kept from its water");
}

#[test]
fn a_no_at_once_gives_nothing_and_a_bench_stays_as_it_was() {
    let scenario = demos().remove(0).1;
    let before = scenario.clone();
    assert!(grace(&scenario, &Library::shipped(), &|| false).unwrap().is_none());
    assert_eq!(scenario, before);
}
