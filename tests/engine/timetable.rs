//! What the pump does on days that differ: other schedules from a later day on, rules that light or a probe calls for, the tank.

use crate::common::{read, ready};
use slakeline::engine::run::{LaneRun, Run, Settled, Workshop, run};
use slakeline::engine::supply::timetable::{By, frozen};
use slakeline::figures::day_figures;
use slakeline::scenario::presets::Library;
use slakeline::scenario::*;

/// The first demo: a block on a slab and a pot, three days, events of the clock.
fn demo() -> Scenario {
    read("demo/1-aubergine-two-root-zones.ron")
}

fn run_of(scenario: &Scenario) -> Run {
    run(&ready(scenario), scenario.days)
}

fn typical(level: LightLevel) -> Option<Climate> {
    let air = Air { celsius: 22.0, humidity_percent: 70.0 };
    Some(Climate::Typical(TypicalDay { name: "a day".to_owned(), source: String::new(), level, by_day: air, by_night: air }))
}

fn by_light(sum: LightSum, first: Clock, last: Clock) -> Rule {
    Rule { when: When::Light(sum), first, last, seconds: 240, give: Give::Drip { ml: 100.0 }, ec: None }
}

fn by_probe(falls_to: f64) -> Rule {
    let when = When::Dry { lane: "Block on slab".to_owned(), falls_to, pause_s: 900 };
    Rule { when, first: Clock::hm(6, 0), last: Clock::hm(19, 0), seconds: 240, give: Give::Drip { ml: 110.0 }, ec: None }
}

/// Water, salt and every sample are the same bits.
fn same(a: &LaneRun, b: &LaneRun) -> bool {
    a.series.samples == b.series.samples && a.midnights == b.midnights
}

#[test]
fn another_schedule_rules_from_its_day_on() {
    let base = demo();
    let mut changed = base.clone();
    let later = changed.change_from(0, 2);
    assert_eq!(later, Plan { valve: 0, number: 1 });
    changed.events_mut(later).unwrap()[0].give = Give::Drip { ml: 220.0 };
    let (before, after) = (run_of(&base), run_of(&changed));
    for ((a, b), lane) in before.lanes.iter().zip(&after.lanes).zip(&base.lanes) {
        assert_eq!(a.midnights[..3], b.midnights[..3], "the days before are as they were");
        assert!((b.day(2).unwrap().water.applied - lane.dose * 1950.0).abs() < 1e-9);
        assert!((a.day(2).unwrap().water.applied - lane.dose * 1850.0).abs() < 1e-9);
    }
    let figures = day_figures(&after.lanes[0], &changed.lanes[0], 1).unwrap();
    assert!(figures.dry_back.unwrap().to_s <= 2.0 * DAY_S + 8.25 * 3600.0);
    // It can be taken back, and settles only after the change.
    let settled = Workshop::default().ready(&changed, &Library::shipped()).unwrap();
    for lane in settled.for_its_days() {
        let found = lane.settle(366).unwrap();
        assert!(matches!(found, Settled::OnDay(day) if day > 3), "{found:?}");
    }
    changed.without_change(later);
    assert_eq!(changed, base);
}

#[test]
fn changes_must_follow_one_another() {
    let mut scenario = demo();
    scenario.valves[0].changes = vec![
        PlanChange { from_day: 3, schedule: Vec::new(), rules: Vec::new() },
        PlanChange { from_day: 3, schedule: Vec::new(), rules: Vec::new() },
        PlanChange { from_day: 1, schedule: vec![Event::drip(Clock::hm(23, 59), 5, 100.0)], rules: Vec::new() },
    ];
    let told: Vec<String> = scenario.validate(&Library::shipped()).iter().map(|p| p.field.clone()).collect();
    assert_eq!(told, ["valves[0].changes[1].from_day", "valves[0].changes[2].from_day", "valves[0].changes[2].schedule[0].start"]);
}

#[test]
fn a_light_sum_calls_as_often_as_it_is_reached() {
    let mut scenario = demo();
    scenario.valves[0].schedule.clear();
    scenario.climate = typical(LightLevel::Sun { mj_per_m2: 15.0 });
    scenario.valves[0].rules = vec![by_light(LightSum::Joules(160.0), Clock::hm(0, 0), Clock::hm(20, 0))];
    let done = run_of(&scenario);
    let events = done.timetable().unwrap().events(1).to_vec();
    assert_eq!(events.len(), 9, "1500 J/cm² hold 160 nine times");
    // Half a sine from 06:00 to 20:00: its sum is 750·(1 − cos(π·x/14 h)) J/cm², closed form.
    for (k, event) in (1..).zip(&events) {
        let hours = 14.0 / std::f64::consts::PI * (1.0 - f64::from(k) * 160.0 / 750.0).acos();
        assert!((event.start_s() - (6.0 + hours) * 3600.0).abs() <= 1.5, "{k}: {}", event.start);
    }
    // Lamps: 700 µmol for 12 h are 30.24 mol, with ramps less at the ends but as much in all.
    scenario.light = Light { on: Clock::hm(6, 0), off: Clock::hm(18, 0), shape: LightShape::Lamps };
    scenario.climate = typical(LightLevel::Lamps { ppfd: 700.0, lamp: Lamp::Led });
    scenario.valves[0].rules = vec![by_light(LightSum::Moles(3.0), Clock::hm(0, 0), Clock::hm(18, 0))];
    assert_eq!(run_of(&scenario).timetable().unwrap().events(0).len(), 10);
    // From its first time on, to its last.
    scenario.valves[0].rules = vec![by_light(LightSum::Moles(3.0), Clock::hm(12, 0), Clock::hm(16, 0))];
    let events = run_of(&scenario).timetable().unwrap().events(0).to_vec();
    assert_eq!(events.len(), 3);
    assert!(events.iter().all(|e| e.start > Clock::hm(12, 0) && e.start <= Clock::hm(16, 0)));
}

#[test]
fn a_logged_light_calls_on_bright_days_more() {
    let mut scenario = demo();
    scenario.valves[0].schedule.clear();
    scenario.days = 2;
    // Eight hours at 500 W/m², 1440 J/cm²; the next day half of it.
    let row = |hour: u32, light: f32| LogRow(hour * 3600, light, 20.0, 70.0);
    let rows = [row(0, 0.0), row(8, 500.0), row(16, 0.0), row(32, 250.0), row(40, 0.0)];
    let log = ClimateLog { name: "two days".to_owned(), source: String::new(), lamp: None, rows: rows.into() };
    scenario.climate = Some(Climate::Log(log));
    scenario.valves[0].rules = vec![by_light(LightSum::Joules(180.0), Clock::hm(6, 0), Clock::hm(20, 0))];
    let done = run_of(&scenario);
    let timetable = done.timetable().unwrap();
    let starts = |day| timetable.events(day).iter().map(Event::start_s).collect::<Vec<_>>();
    assert_eq!(starts(0), (1..=8).map(|h| f64::from(8 + h) * 3600.0).collect::<Vec<_>>());
    assert_eq!(starts(1), [10.0, 12.0, 14.0, 16.0].map(|h| h * 3600.0));
    assert_eq!(starts(2).len(), 8, "the log begins anew");
}

#[test]
fn what_a_rule_calls_for_waits_for_the_pump() {
    let mut scenario = demo();
    scenario.climate = typical(LightLevel::Sun { mj_per_m2: 15.0 });
    scenario.valves[0].rules = vec![
        by_light(LightSum::Joules(20.0), Clock::hm(6, 0), Clock::hm(19, 50)),
        by_light(LightSum::Joules(30.0), Clock::hm(6, 0), Clock::hm(19, 50)),
    ];
    let done = run_of(&scenario);
    let day = done.timetable().unwrap().day(0).unwrap();
    assert!(day.events.windows(2).all(|w| w[0].end_s() <= w[1].start_s()), "they never overlap");
    assert!(day.events.iter().all(|e| e.end_s() <= DAY_S));
    for (i, event) in scenario.valves[0].schedule.iter().enumerate() {
        assert!(day.calls.iter().any(|c| c.by == By::Clock(i) && c.event == *event), "the clock's own events stay where they are");
    }
    assert!(day.events.len() > 60, "{}", day.events.len());
}

fn with_probe() -> Scenario {
    let mut scenario = demo();
    scenario.days = 2;
    scenario.valves[0].schedule.truncate(3);
    scenario.lanes[0].probe = Some(Probe { height_cm: 3.75, length_cm: 5.0 });
    scenario.valves[0].rules = vec![by_probe(0.80)];
    scenario
}

#[test]
fn a_probe_calls_when_it_reads_that_dry() {
    let scenario = with_probe();
    let done = run_of(&scenario);
    let timetable = done.timetable().unwrap();
    let mut called = 0;
    for day in 0..2 {
        let calls = &timetable.day(day).unwrap().calls;
        let mut before: Option<f64> = None;
        for call in calls {
            let start = call.event.start_s();
            if call.by == By::Rule(0) {
                called += 1;
                let at = plan::on_day(day, start);
                let reading = done.lanes[0].series.at(at).unwrap().probe.unwrap();
                // It waits for the probe, or for the pause after the event before it.
                let paused = before.is_some_and(|end| (start - end - 900.0).abs() < 1.5) || start == 6.0 * 3600.0;
                assert!(reading <= 0.8005, "{reading} at {}", call.event.start);
                assert!(paused || reading >= 0.7985, "{reading} at {}", call.event.start);
            }
            assert!(before.is_none_or(|end| end <= start));
            before = Some(call.event.end_s());
        }
    }
    assert!(called >= 6, "{called}");
    let mut drier = scenario;
    drier.valves[0].rules = vec![by_probe(0.70)];
    let fewer = run_of(&drier).timetable().unwrap().day(1).unwrap().calls.iter().filter(|c| c.by == By::Rule(0)).count();
    assert!(fewer < called, "{fewer}");
}

#[test]
fn frozen_events_give_the_same_run_to_the_bit() {
    let scenario = with_probe();
    let loose = run_of(&scenario);
    let timetable = loose.timetable().unwrap();
    let mut clock = scenario.clone();
    clock.valves[0].rules.clear();
    clock.valves[0].schedule = frozen(&scenario.valves[0].schedule, timetable.day(0).unwrap());
    clock.valves[0].changes =
        vec![PlanChange { from_day: 2, schedule: frozen(&scenario.valves[0].schedule, timetable.day(1).unwrap()), rules: Vec::new() }];
    assert!(clock.valves[0].schedule.len() > scenario.valves[0].schedule.len());
    let fixed = run_of(&clock);
    for (a, b) in loose.lanes.iter().zip(&fixed.lanes) {
        assert_eq!(a.midnights, b.midnights);
    }
}

#[test]
fn a_rule_names_what_it_lacks() {
    let mut scenario = with_probe();
    scenario.lanes[0].probe = None;
    scenario.valves[0].rules.push(by_light(LightSum::Joules(100.0), Clock::hm(18, 0), Clock::hm(6, 0)));
    scenario.valves[0].rules[0].seconds = 1;
    scenario.tank = Some(Tank { litres: 0.0, start_ec: Some(99.0), refill: Refill::Water { ec: -1.0 }, ..TANK });
    scenario.lanes[1].probe = Some(Probe { height_cm: 1.0, length_cm: 5.0 });
    let told: Vec<String> = scenario.validate(&Library::shipped()).iter().map(|p| p.field.clone()).collect();
    let expected = [
        "valves[0].rules[0].seconds",
        "valves[0].rules[0].when.lane",
        "valves[0].rules[1].last",
        "valves[0].rules[1].when",
        "tank.litres",
        "tank.start_ec",
        "tank.refill.ec",
    ];
    assert_eq!(told[..7], expected);
    assert_eq!(told[7..], ["lanes[1].probe.height_cm"]);
    scenario.valves[0].rules[0].when = When::Dry { lane: "Nobody".to_owned(), falls_to: 1.5, pause_s: 99_999 };
    let told: Vec<String> = scenario.validate(&Library::shipped()).iter().map(ToString::to_string).collect();
    assert!(told.iter().any(|t| t.contains("rules[0].when.lane is \"Nobody\"; allowed: Block on slab, Round pot")), "{told:?}");
    assert!(told.iter().any(|t| t.contains("falls_to is 1.5")) && told.iter().any(|t| t.contains("pause_s is 99999")), "{told:?}");
}

const TANK: Tank = Tank { litres: 300.0, start_ec: None, refill: Refill::Feed, filled: Filled::Always, drain_returns: false };

/// Litres of a day for all plants, by what the lanes' own ledgers say.
fn litres(scenario: &Scenario, done: &Run, day: usize, of: impl Fn(&LaneRun, usize) -> f64) -> f64 {
    scenario.lanes.iter().zip(&done.lanes).map(|(lane, run)| f64::from(lane.plants) * 1e-3 * of(run, day)).sum()
}

#[test]
fn a_tank_kept_full_of_feed_changes_nothing() {
    let base = demo();
    let tanked = Scenario { tank: Some(TANK), ..base.clone() };
    let (without, with) = (run_of(&base), run_of(&tanked));
    assert!(without.lanes.iter().zip(&with.lanes).all(|(a, b)| same(a, b)));
    let log = with.timetable().unwrap().tank.clone().unwrap();
    assert_eq!(log.days.len(), 3);
    for (day, told) in log.days.iter().enumerate() {
        let given = litres(&tanked, &with, day, |run, d| run.day(d).unwrap().water.applied);
        assert!((told.drawn - given).abs() < 1e-6 * given, "{} {given}", told.drawn);
        assert!((told.ec - 2.4).abs() < 1e-12 && told.short == 0 && told.returned == 0.0);
    }
}

#[test]
fn drain_that_returns_makes_the_feed_saltier_and_the_ledger_closes() {
    let mut scenario = Scenario { tank: Some(Tank { drain_returns: true, ..TANK }), ..demo() };
    scenario.days = 6;
    let done = run_of(&scenario);
    let timetable = done.timetable().unwrap();
    let log = timetable.tank.as_ref().unwrap();
    let mut before = 300.0;
    for (day, told) in log.days.iter().enumerate() {
        let balance = before - told.drawn + told.returned + told.refilled - told.spilled;
        assert!((balance - told.litres).abs() < 1e-9 * 300.0, "day {}: {balance} {}", day + 1, told.litres);
        before = told.litres;
        let drained = litres(&scenario, &done, day, |run, d| run.day(d).unwrap().water.drained());
        assert!((told.returned - drained).abs() < 0.02 * drained.max(1.0), "day {}: {} {drained}", day + 1, told.returned);
    }
    let ec = |day: usize| timetable.day(day).unwrap().calls[0].ec;
    assert!(ec(5) > ec(0) + 0.02, "{} {}", ec(0), ec(5));
    assert!(done.lanes.iter().all(|l| l.ledger().salt_closure() < 1e-9));
    // Filled up with water it thins instead.
    scenario.tank = Some(Tank { refill: Refill::Water { ec: 0.3 }, ..TANK });
    let thin = run_of(&scenario);
    assert!(thin.timetable().unwrap().day(5).unwrap().calls[0].ec < 2.0);
}

#[test]
fn an_empty_tank_gives_no_more() {
    let mut scenario = Scenario { tank: Some(Tank { litres: 60.0, filled: Filled::Never, ..TANK }), ..demo() };
    let done = run_of(&scenario);
    let log = done.timetable().unwrap().tank.clone().unwrap();
    let given: f64 = (0..3).map(|d| litres(&scenario, &done, d, |run, d| run.day(d).unwrap().water.applied)).sum();
    assert!((given - 60.0).abs() < 0.01, "{given}");
    assert!(log.days[0].short > 0 && log.days[2].litres < 0.01);
    // An event with an EC of its own comes from elsewhere.
    scenario.valves[0].schedule[10].ec = Some(0.3);
    let done = run_of(&scenario);
    assert_eq!(done.timetable().unwrap().events(2).len(), 1);
    // Filled up by the clock it gives again.
    scenario.tank = Some(Tank { litres: 60.0, filled: Filled::At(Clock::hm(9, 17)), ..TANK });
    let done = run_of(&scenario);
    let log = done.timetable().unwrap().tank.clone().unwrap();
    assert!(log.days.iter().all(|d| d.refilled > 5.0), "{:?}", log.days);
}

#[test]
fn a_bench_with_a_tank_settles_and_one_with_a_probe_says_that_it_does_not() {
    let settled = |scenario: &Scenario, days: u32| {
        let bench = Workshop::default().ready(scenario, &Library::shipped()).unwrap();
        let until = slakeline::engine::run::feedback::Until { days, settled: true };
        assert!(bench.timed(until, &|| false).is_none(), "it can be stopped");
        let lane = bench.timed(until, &|| true).unwrap().remove(0);
        (lane.timetable.days().len(), lane.settle(days).unwrap())
    };
    let mut scenario = demo();
    scenario.lanes.truncate(1);
    scenario.tank = Some(Tank { drain_returns: true, refill: Refill::Water { ec: 0.8 }, ..TANK });
    let (days, found) = settled(&scenario, 200);
    assert!(days > 3 && days < 200, "{days}");
    assert!(matches!(found, Settled::OnDay(day) if day as usize >= days), "{found:?} {days}");
    // A probe calls a little sooner or later each day, and whole events make that a cycle of days.
    assert_eq!(settled(&with_probe(), 30).1, Settled::NotWithin(30));
}

#[test]
fn the_result_does_not_depend_on_threads() {
    let mut scenario = with_probe();
    scenario.tank = Some(Tank { drain_returns: true, ..TANK });
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| run_of(&scenario))
    };
    let (one, four) = (on(1), on(4));
    assert!(one.lanes.iter().zip(&four.lanes).all(|(a, b)| same(a, b)));
}

#[test]
fn lanes_on_one_table_flood_together_from_one_tank() {
    let mut scenario = read("demo/2-basil-flood-table.ron");
    scenario.valves[0].schedule.retain(|e| e.give.is_flood());
    for lane in &mut scenario.lanes {
        lane.dose = 1.0;
    }
    scenario.tank = Some(Tank { drain_returns: true, ..TANK });
    let done = run_of(&scenario);
    assert!(same(&done.lanes[0], &done.lanes[1]), "two like pots on one table are one");
    let log = done.timetable().unwrap().tank.clone().unwrap();
    let mut before = 300.0;
    for (day, told) in log.days.iter().enumerate() {
        let drained = litres(&scenario, &done, day, |run, d| run.day(d).unwrap().water.drained());
        let drunk = litres(&scenario, &done, day, |run, d| run.day(d).unwrap().water.applied) - drained;
        assert!((told.drawn - told.returned - drunk).abs() < 0.02 * drunk, "day {}: {told:?} {drunk}", day + 1);
        assert!((before - told.drawn + told.returned + told.refilled - told.spilled - told.litres).abs() < 1e-9 * 300.0);
        assert_eq!(told.short, 0);
        before = told.litres;
    }
    // From an almost empty tank that nobody fills there is no flood any more.
    scenario.tank = Some(Tank { litres: 2.0, filled: Filled::Never, ..TANK });
    let done = run_of(&scenario);
    assert!(done.timetable().unwrap().events(3).is_empty());
}

#[test]
fn salt_of_tank_and_root_zones_together_is_neither_made_nor_lost() {
    let mut scenario = Scenario { tank: Some(Tank { drain_returns: true, refill: Refill::Water { ec: 0.5 }, ..TANK }), ..demo() };
    scenario.days = 10;
    let done = run_of(&scenario);
    let log = done.timetable().unwrap().tank.clone().unwrap();
    let refilled: f64 = log.days.iter().map(|d| d.refilled).sum();
    let last = log.days.last().unwrap();
    // mS/cm·L: what the lanes' own ledgers say came from the tank and went back, against what the tank says of itself.
    let lanes: f64 = scenario
        .lanes
        .iter()
        .zip(&done.lanes)
        .map(|(lane, run)| {
            let ledger = run.midnights[10];
            f64::from(lane.plants) * 1e-3 * (ledger.salt.drained() - ledger.salt.applied)
        })
        .sum();
    // Before the first event the tank is full of feed: what drains until then mixes with it and runs over.
    let over = log.days[0].spilled;
    assert!(over > 0.0 && log.days[1..].iter().all(|d| d.spilled == 0.0));
    let tank = last.litres * last.ec + 2.4 * over - 300.0 * 2.4 - 0.5 * refilled;
    assert!(lanes < -300.0, "salt moved into root zones and plants: {lanes}");
    assert!((tank - lanes).abs() < 1e-4 * lanes.abs(), "tank {tank}, lanes {lanes}");
}

fn log_days(done: &Run) -> usize {
    done.timetable().unwrap().tank.as_ref().unwrap().days.len()
}

#[test]
fn a_flood_never_takes_more_than_the_tank_holds() {
    let mut scenario = read("demo/2-basil-flood-table.ron");
    scenario.valves[0].schedule.retain(|e| e.give.is_flood());
    scenario.lanes.iter_mut().for_each(|lane| lane.plants = 100);
    for litres_held in [3.0, 12.0, 40.0] {
        scenario.tank = Some(Tank { litres: litres_held, filled: Filled::At(Clock::MIDNIGHT), ..TANK });
        let done = run_of(&scenario);
        assert_eq!(log_days(&done), scenario.days as usize);
        let log = done.timetable().unwrap().tank.clone().unwrap();
        for (day, told) in log.days.iter().enumerate() {
            let given = litres(&scenario, &done, day, |run, d| run.day(d).unwrap().water.applied);
            assert!((told.drawn - given).abs() < 1e-6, "{litres_held} L, day {}: {} {given}", day + 1, told.drawn);
            assert!(told.drawn <= litres_held + 1e-9);
            let floods = done.timetable().unwrap().events(day).len();
            assert_eq!(floods + told.short as usize, 2, "{litres_held} L, day {}", day + 1);
        }
    }
}

#[test]
fn a_lane_that_stops_takes_no_water_from_the_others() {
    let mut scenario = read("demo/3-morning-start-too-late.ron");
    (scenario.solver.tolerance, scenario.solver.convergence, scenario.solver.min_step_s) = (1e-6, 1e-9, 1.0);
    let alone = run_of(&scenario);
    let stopped: Vec<f64> = alone.lanes.iter().map(|l| l.error.as_ref().map_or(f64::INFINITY, |e| e.time_s)).collect();
    assert!(stopped[0] < stopped[1], "the case tries nothing: {stopped:?}");
    scenario.tank = Some(TANK);
    let tanked = run_of(&scenario);
    for (a, b) in alone.lanes.iter().zip(&tanked.lanes) {
        assert_eq!(a.error, b.error);
        assert!(same(a, b), "full of feed a tank changes nothing");
    }
}

#[test]
fn a_log_settles_over_its_whole_round() {
    let mut scenario = demo();
    scenario.lanes.truncate(1);
    scenario.lanes[0].demand = Demand::Climate { leaf_area_index: None, plants_per_m2: None, scale: 0.7 };
    // Twelve dull days, then three bright ones.
    let row = |hour: u32| {
        let (day, hour_of_day) = (hour / 24, hour % 24);
        let light = if (6..20).contains(&hour_of_day) { if day < 12 { 150.0 } else { 420.0 } } else { 0.0 };
        LogRow(hour * 3600, light, 20.0, 70.0)
    };
    let rows: Vec<LogRow> = (0..15 * 24).map(row).collect();
    let log = ClimateLog { name: "dull, then bright".to_owned(), source: String::new(), lamp: None, rows: rows.into() };
    scenario.climate = Some(Climate::Log(log));
    let found = ready(&scenario)[0].settle(200).unwrap();
    let Settled::OnDay(day) = found else { panic!("{found:?}") };
    assert!(day >= 15, "the dull days alone are no round: {day}");
    let run = ready(&scenario)[0].run(day);
    let stored = |d: u32| run.midnights[d as usize].water_stored;
    assert!((stored(day) - stored(day - 15)).abs() <= 1e-3 * stored(day));
    // Light calls for the same on the same day of each round.
    scenario.valves[0].rules = vec![by_light(LightSum::Joules(200.0), Clock::hm(6, 0), Clock::hm(20, 0))];
    let done = run_of(&Scenario { days: 3, ..scenario.clone() });
    let timetable = done.timetable().unwrap();
    assert_eq!(timetable.events(2), timetable.events(17));
    assert_eq!(timetable.events(13), timetable.events(43));
    assert_ne!(timetable.events(2).len(), timetable.events(13).len());
}

#[test]
fn a_tank_is_filled_before_an_event_of_the_same_second() {
    let mut scenario = demo();
    let tank = Tank { refill: Refill::Water { ec: 0.4 }, start_ec: Some(4.0), litres: 70.0, ..TANK };
    // The day's first event is at 08:15, and the day takes 66.6 L.
    scenario.tank = Some(Tank { filled: Filled::At(Clock::hm(8, 15)), ..tank });
    let done = run_of(&scenario);
    let ec = |day: usize| done.timetable().unwrap().day(day).unwrap().calls[0].ec;
    assert!(ec(0) == 4.0 && ec(1) < 0.7 && ec(2) < 0.5, "{} {} {}", ec(0), ec(1), ec(2));
}

#[test]
fn rules_freeze_as_they_asked_not_as_an_empty_tank_gave() {
    let mut scenario = demo();
    scenario.valves[0].schedule.clear();
    scenario.climate = typical(LightLevel::Sun { mj_per_m2: 15.0 });
    scenario.valves[0].rules = vec![by_light(LightSum::Joules(160.0), Clock::hm(0, 0), Clock::hm(20, 0))];
    // Nine events of 3.6 L: the sixth is cut, the rest get nothing.
    scenario.tank = Some(Tank { litres: 20.0, filled: Filled::Never, ..TANK });
    let done = run_of(&scenario);
    let day = done.timetable().unwrap().day(0).unwrap();
    assert_eq!((day.events.len(), day.missed.len(), day.short), (6, 3, 4));
    let events = frozen(&scenario.valves[0].schedule, day);
    assert!(events.len() == 9 && events.iter().all(|e| e.ml() == Some(100.0)), "{events:?}");
}

#[test]
fn what_is_left_out_of_an_overfull_day_is_told() {
    let mut scenario = demo();
    scenario.days = 1;
    scenario.climate = typical(LightLevel::Sun { mj_per_m2: 40.0 });
    let mut rule = by_light(LightSum::Joules(2.0), Clock::hm(0, 0), Clock::hm(20, 0));
    rule.seconds = 5;
    scenario.valves[0].rules = vec![rule];
    let day = |scenario: &Scenario| std::sync::Arc::clone(ready(scenario)[0].timetable.day(0).unwrap());
    assert!(day(&scenario).overfull && day(&scenario).events.len() == MAX_EVENTS);
    scenario.valves[0].rules[0].when = When::Light(LightSum::Joules(10.0));
    assert!(!day(&scenario).overfull);
}

#[test]
fn a_night_before_a_day_without_events_dries_back_too() {
    let mut scenario = demo();
    let later = scenario.change_from(0, 2);
    scenario.set_events(later, Vec::new());
    let done = run_of(&scenario);
    let figures = |day| day_figures(&done.lanes[0], &scenario.lanes[0], day).unwrap();
    let night = figures(1).dry_back.unwrap();
    assert!(night.points > 1.0 && night.to_s <= 2.0 * DAY_S, "{night:?}");
    assert!(figures(2).dry_back.is_none(), "nothing was given that it could dry back from");
}
