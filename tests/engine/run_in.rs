//! A lane that is run in begins as a bench run so much longer has it then: water, salt, layers and all that they remember. On random benches
//! with rules, tanks, plans and two lanes of their own run-ins, and where values meet.

use crate::{common, scenarios};
use std::cell::Cell;

use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed};
use slakeline::engine::run::ledger::Ledger;
use slakeline::engine::run::{Keep, LaneRun, Often, OpenBench, Ready, Workshop};
use slakeline::figures::day_figures;
use slakeline::scenario::other_grid::refined;
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::*;

pub(crate) fn config() -> Config {
    let mut config = Config { failure_persistence: None, max_shrink_iters: 60, max_global_rejects: 100_000, ..Config::default() };
    if std::env::var_os("PROPTEST_CASES").is_none() {
        config.cases = 40;
        config.rng_seed = RngSeed::Fixed(1);
    }
    config
}

fn text(scenario: &Scenario) -> String {
    file::to_text(scenario).unwrap_or_else(|e| e.to_string())
}

fn is_valid(scenario: &Scenario) -> bool {
    scenario.validate(&Library::shipped()).is_empty()
}

fn lanes(scenario: &Scenario) -> Vec<Ready> {
    Workshop::default().ready(scenario, &Library::shipped()).unwrap().for_its_days()
}

fn runs(scenario: &Scenario) -> Vec<LaneRun> {
    lanes(scenario).iter().map(|lane| lane.run(scenario.days)).collect()
}

/// The same bench with other days, all lanes from rest, and the run-in that is to be found again.
fn longer(scenario: &Scenario, days: u32) -> Scenario {
    let mut out = Scenario { days, ..scenario.clone() };
    // It begins so many days before.
    for event in &mut out.valves[0].schedule {
        event.days.from = (event.days.from - 1 + scenario.run_in_days()) % event.days.every + 1;
    }
    out.lanes.iter_mut().for_each(|lane| lane.start.run_in_days = None);
    out
}

/// Two lanes, the second of another dose, each with a run-in of its own or none; no tank, no later plan, and of a log its first day.
fn bench() -> impl Strategy<Value = Scenario> {
    let one = prop_oneof![scenarios::scenario(), scenarios::coincidence()];
    let days = || prop_oneof![1 => Just(None), 2 => Just(Some(1)), 2 => (2_u32..5).prop_map(Some)];
    (one, days(), days(), any::<bool>()).prop_map(|(mut scenario, first, second, alike)| {
        (scenario.days, scenario.tank) = (1, None);
        scenario.valves[0].changes.clear();
        if let Some(Climate::Log(log)) = &mut scenario.climate {
            log.rows = log.rows.iter().copied().filter(|row| row.time_s() < DAY_S).collect();
        }
        let mut twin = Lane { name: "twin".to_owned(), dose: 0.7 * scenario.lanes[0].dose, probe: None, ..scenario.lanes[0].clone() };
        scenario.lanes[0].start.run_in_days = first;
        twin.start.run_in_days = if alike { first } else { second };
        scenario.lanes.push(twin);
        scenario
    })
}

/// How far what is stored and what passed on a day are apart at most, as a share of what was handled. A clock that is set back differs in its
/// last digits, and with them a step's length: what is asked of a step is how near two such days can be.
fn apart(found: &Ledger, whole: &Ledger) -> f64 {
    let pairs = [
        (found.water_stored, whole.water_stored),
        (found.salt_stored, whole.salt_stored),
        (found.water.applied, whole.water.applied),
        (found.water.drained(), whole.water.drained()),
        (found.water.taken_up, whole.water.taken_up),
        (found.water.evaporated, whole.water.evaporated),
        (found.salt.drained(), whole.salt.drained()),
        (found.salt.taken_up, whole.salt.taken_up),
    ];
    let handled = [found.water_stored + found.water.applied, found.salt_stored + found.salt.applied];
    let all = 1e-6 + handled[0].max(handled[1]);
    pairs.iter().map(|(a, b)| (a - b).abs() / all).fold(0.0, f64::max)
}

proptest! {
    #![proptest_config(config())]

    /// To the bit the state that the longer run has at that midnight; books that begin there; and, where all lanes are run in alike, days
    /// that go on as that run's do.
    #[test]
    fn a_run_in_is_a_bench_run_so_much_longer(scenario in bench()) {
        prop_assume!(is_valid(&scenario));
        let most = scenario.run_in_days();
        let whole = runs(&longer(&scenario, most + scenario.days));
        let found = runs(&scenario);
        for (i, (found, whole)) in found.iter().zip(&whole).enumerate() {
            let days = scenario.lanes[i].start.run_in_days.unwrap_or(0) as usize;
            if whole.error.is_some() || found.error.is_some() {
                continue;
            }
            let at = whole.series.samples.iter().position(|s| s.time_s == days as f64 * DAY_S).unwrap();
            let n = found.column.len();
            let (a, b) = (&found.series.profiles, &whole.series.profiles);
            prop_assert_eq!(&a.theta[..n], &b.theta[at * n..(at + 1) * n], "lane {} of {}", i, text(&scenario));
            prop_assert_eq!(&a.ec[..n], &b.ec[at * n..(at + 1) * n]);
            let (dawn, then) = (found.midnights[0], whole.midnights[days]);
            prop_assert_eq!(dawn.water_at_start.to_bits(), then.water_stored.to_bits());
            prop_assert_eq!(dawn.salt_at_start.to_bits(), then.salt_stored.to_bits());
            let nothing = Ledger { water_at_start: then.water_stored, water_stored: then.water_stored, salt_at_start: then.salt_stored,
                salt_stored: then.salt_stored, ..Ledger::default() };
            prop_assert_eq!(dawn, nothing);
            prop_assert!(found.closure().closes());
            if scenario.lanes.iter().all(|l| l.start.run_in_days == scenario.lanes[i].start.run_in_days) {
                let (day, same) = (found.day(0).unwrap(), whole.day(days).unwrap());
                let near = if scenario.floods_on(0, 0) { 1e-3 } else { 2e-5 };
                prop_assert!(apart(&day, &same) <= near, "{day:?}\n{same:?}\n{}", text(&scenario));
            }
        }
    }

    /// A tank is held as it stands at the start: its EC is given and nothing else of it matters; and the run begins with it full.
    #[test]
    fn a_tank_is_held_while_lanes_are_run_in(scenario in bench(), litres in 1.0..200.0, ec in prop_oneof![Just(None), (0.0..4.0).prop_map(Some)]) {
        let mut with = scenario.clone();
        with.tank = Some(Tank { litres, start_ec: ec, refill: Refill::Water { ec: 0.2 }, filled: Filled::Never, drain_returns: true });
        prop_assume!(is_valid(&with) && scenario.run_in_days() > 0);
        let held = ec.unwrap_or(scenario.feed.ec);
        let mut without = scenario;
        without.valves[0].schedule.iter_mut().for_each(|e| e.ec = e.ec.or(Some(held)));
        without.valves[0].rules.iter_mut().for_each(|r| r.ec = r.ec.or(Some(held)));
        let (tanked, plain) = (runs(&with), runs(&without));
        for (a, b) in tanked.iter().zip(&plain) {
            prop_assert_eq!(a.midnights[0], b.midnights[0]);
        }
        let log = tanked[0].timetable.tank.clone().unwrap();
        prop_assert!(log.points[0].time_s == 0.0 && log.points[0].litres == litres && log.points[0].ec == held);
    }
}

fn demo(at: usize) -> Scenario {
    demos().swap_remove(at).1
}

fn run_in(scenario: &mut Scenario, days: u32) {
    scenario.lanes.iter_mut().for_each(|lane| lane.start.run_in_days = Some(days));
}

/// The stores that each lane begins with.
fn begins(scenario: &Scenario) -> Vec<[f64; 2]> {
    runs(scenario).iter().map(|run| [run.midnights[0].water_stored, run.midnights[0].salt_stored]).collect()
}

#[test]
fn later_plans_and_later_days_of_a_log_are_not_run_in() {
    let mut scenario = demo(0);
    run_in(&mut scenario, 2);
    let plain = begins(&scenario);
    scenario.days = 4;
    scenario.valves[0].changes = vec![PlanChange { from_day: 2, schedule: Vec::new(), rules: Vec::new() }];
    assert_eq!(begins(&scenario), plain);
    scenario.valves[0].schedule.remove(3);
    assert_ne!(begins(&scenario), plain);
    // Under a log: by its first day, however the others are.
    let row = |day: u32, hour: u32, light: f32| LogRow(day * 86_400 + hour * 3600, light, 24.0, 60.0);
    let day = |day: u32, light: f32| [row(day, 0, 0.0), row(day, 6, light), row(day, 20, 0.0)];
    let log = |rows: &[LogRow]| Climate::Log(ClimateLog { name: "a log".to_owned(), source: String::new(), lamp: None, rows: rows.into() });
    let under = |rows: &[LogRow]| {
        let mut bench = Scenario { climate: Some(log(rows)), ..scenario.clone() };
        for lane in &mut bench.lanes {
            lane.demand = Demand::Climate { leaf_area_index: None, plants_per_m2: None, scale: 1.0 };
        }
        bench.valves[0].rules = vec![Rule {
            when: When::Light(LightSum::Joules(200.0)),
            first: Clock::hm(6, 0),
            last: Clock::hm(18, 0),
            seconds: 120,
            give: Give::Drip { ml: 50.0 },
            ec: None,
        }];
        begins(&bench)
    };
    let one = under(&day(0, 300.0));
    assert_eq!(under(&[day(0, 300.0), day(1, 900.0)].concat()), one);
    assert_ne!(under(&[day(0, 900.0), day(1, 300.0)].concat()), one);
}

/// Floods, a rule by light and one by a probe, of every shipped bench: a day on from the longer run.
#[test]
fn every_demo_can_be_run_in() {
    for (name, mut scenario) in demos() {
        if scenario.tank.is_some() || scenario.climate.as_ref().is_some_and(|c| matches!(c, Climate::Log(_))) {
            continue;
        }
        scenario.valves.iter_mut().for_each(|valve| valve.changes.clear());
        let floods = (0..scenario.valves.len()).any(|valve| scenario.floods_on(valve, 0));
        let near = if floods { 1e-3 } else { 1e-6 };
        scenario.days = 1;
        let whole = runs(&longer(&scenario, 4));
        for days in [1, 3] {
            run_in(&mut scenario, days);
            for (found, whole) in runs(&scenario).iter().zip(&whole) {
                assert!(found.failure().is_none(), "{name}");
                let (a, b) = (found.day(0).unwrap(), whole.day(days as usize).unwrap());
                assert!(apart(&a, &b) <= near, "{name}, {days} days: {}\n{a:?}\n{b:?}", apart(&a, &b));
            }
        }
    }
}

#[test]
fn a_run_in_settles_where_rest_does() {
    for at in [0, 1] {
        let mut scenario = demo(at);
        let settled =
            |scenario: &Scenario| Workshop::default().ready(scenario, &Library::shipped()).unwrap().settled_days(&|| true).unwrap();
        let rest = settled(&scenario);
        run_in(&mut scenario, 20);
        for ((i, (_, a)), (_, b)) in settled(&scenario).iter().enumerate().zip(&rest) {
            let ec = |run: &LaneRun| day_figures(run, &scenario.lanes[i], 0).unwrap().root_zone_ec;
            assert!((ec(a) / ec(b) - 1.0).abs() < 4e-3, "{} and {}", ec(a), ec(b));
            assert!((a.midnights[0].water_stored / b.midnights[0].water_stored - 1.0).abs() < 2e-3);
        }
    }
}

/// Counts the days that a change has run in again; what is there after it is what a bench made anew has.
#[test]
fn only_what_a_change_touches_is_run_in_again() {
    let (library, mut workshop, mut open) = (Library::shipped(), Workshop::default(), OpenBench::<()>::default());
    let mut days = |scenario: &Scenario| {
        let ready = workshop.ready(scenario, &library).unwrap();
        let asked = Cell::new(0);
        let go_on = || asked.replace(asked.get() + 1) < 1000;
        let keep = Keep::all(Often::Hours);
        open = std::mem::take(&mut open).turned_to(&ready, &keep, scenario.days, &|_, _, _| (), &go_on).unwrap();
        assert!(open.on_to(scenario.days, &|_, _, _| (), &|| true));
        for (lane, whole) in open.lanes().zip(runs(scenario)) {
            assert_eq!((&lane.run().midnights, lane.run().stats), (&whole.midnights, whole.stats));
        }
        asked.get()
    };
    let mut scenario = demo(0);
    scenario.days = 2;
    scenario.lanes[0].start.run_in_days = Some(4);
    assert_eq!(days(&scenario), 4);
    scenario.lanes[1].start.run_in_days = Some(3);
    assert_eq!(days(&scenario), 3, "the other lane's is known");
    scenario.lanes.swap(0, 1);
    assert_eq!(days(&scenario), 0, "wherever it stands");
    scenario.valves[0].changes = vec![PlanChange { from_day: 2, schedule: Vec::new(), rules: Vec::new() }];
    assert_eq!(days(&scenario), 0, "a later plan has no say");
    scenario.lanes[0].targets.lowest_air = Some(0.2);
    scenario.lanes[0].name = "another name".to_owned();
    assert_eq!(days(&scenario), 0);
    scenario.lanes[0].dose = 1.5;
    assert_eq!(days(&scenario), 3);
    scenario.valves[0].schedule[0].seconds += 30;
    assert_eq!(days(&scenario), 7);
    scenario.lanes[0].start.salt = StartSalt::Ec(1.0);
    assert_eq!(days(&scenario), 3);
    scenario.lanes[0].start.run_in_days = None;
    assert_eq!(days(&scenario), 0);
    // A probe has its say for all of them: the days are found out once, then each lane goes through its own.
    scenario.lanes[1].probe = Some(Probe { height_cm: 4.0, length_cm: 3.0 });
    let when = When::Dry { lane: scenario.lanes[1].name.clone(), falls_to: 0.7, pause_s: 900 };
    scenario.valves[0].rules =
        vec![Rule { when, first: Clock::hm(7, 0), last: Clock::hm(18, 0), seconds: 300, give: Give::Drip { ml: 100.0 }, ec: None }];
    let found_out = 1 + scenario.days;
    assert_eq!(days(&scenario), 5 + 4 + found_out);
    assert_eq!(days(&scenario), 1, "only what comes after the last day is looked at");
    scenario.lanes[1].targets.lowest_air = Some(0.2);
    assert_eq!(days(&scenario), 1);
}

#[test]
fn it_can_be_given_up_and_gone_on_with() {
    let mut scenario = demo(0);
    run_in(&mut scenario, 5);
    let ready = Workshop::default().ready(&scenario, &Library::shipped()).unwrap();
    let keep = Keep::all(Often::Hours);
    let asked = Cell::new(0);
    let stops = || asked.replace(asked.get() + 1) < 7;
    assert!(OpenBench::<()>::default().turned_to(&ready, &keep, 1, &|_, _, _| (), &stops).is_none());
    assert!(ready.run_in_beside(OpenBench::<()>::default().run_ins(), &|| false).is_none());
    assert!(ready.timed(slakeline::engine::run::feedback::Until { days: 1, settled: false }, &|| false).is_none());
    // By many threads it is to the bit what it is by one.
    let beside = ready.run_in_beside(OpenBench::<()>::default().run_ins(), &|| true).unwrap();
    let whole = runs(&scenario);
    for (lane, whole) in beside.for_its_days().iter().zip(&whole) {
        assert_eq!(lane.run(scenario.days).midnights, whole.midnights);
    }
}

#[test]
fn a_lane_that_stops_in_its_run_in_says_so_and_goes_no_further() {
    let (scenario, _) = crate::breaks::when_refined().expect("a bench that breaks");
    let mut broken = refined(&scenario);
    let alone = runs(&broken).remove(0).error.unwrap();
    broken.lanes[0].start.run_in_days = Some(3);
    let run = runs(&broken).remove(0);
    let error = run.error.clone().unwrap();
    assert_eq!((error.time_s, error.layer), (alone.time_s - 3.0 * DAY_S, alone.layer));
    let told = error.to_string();
    let before = 3 - (alone.time_s / DAY_S).floor() as u32;
    assert!(told.contains(&format!("of the run-in, {before} day")) && told.contains("before day 1"), "{told}");
    assert!(run.days() == 0 && run.failure().is_some());
    // However often it is taken up.
    let (library, mut workshop, mut open) = (Library::shipped(), Workshop::default(), OpenBench::<()>::default());
    for days in [1, 2, 1] {
        broken.days = days;
        let ready = workshop.ready(&broken, &library).unwrap();
        open = open.turned_to(&ready, &Keep::all(Often::Hours), days, &|_, _, _| (), &|| true).unwrap();
        open.on_to(days, &|_, _, _| (), &|| true);
        assert_eq!(open.lane(0).unwrap().run().error.as_ref(), Some(&error));
        assert_eq!(open.lane(0).unwrap().run().days(), 0);
    }
}

#[test]
fn a_file_keeps_it_and_files_without_it_begin_at_rest() {
    let mut scenario = common::read("demo/1-aubergine-two-root-zones.ron");
    assert_eq!(scenario.lanes[0].start.run_in_days, None);
    assert!(!text(&scenario).contains("run_in_days"));
    run_in(&mut scenario, 7);
    let back = file::parse(&text(&scenario)).unwrap();
    assert_eq!(back, scenario);
    for days in [0, 367] {
        run_in(&mut scenario, days);
        let problem = scenario.validate(&Library::shipped()).remove(0);
        assert_eq!((problem.field.as_str(), problem.value.as_str()), ("lanes[0].start.run_in_days", days.to_string().as_str()));
    }
}
