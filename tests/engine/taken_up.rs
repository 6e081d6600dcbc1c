//! A run taken up again goes on to the bit as if it had never stopped: from any checkpoint, to more days, and with other events from where
//! they differ. On random benches with rules, tanks, several lanes and plans, and where values meet.

/// A scenario as it would be saved.
fn text(scenario: &Scenario) -> String {
    file::to_text(scenario).unwrap_or_else(|e| e.to_string())
}

use crate::{common, other_valves, scenarios};
use std::cell::Cell;
use std::sync::Arc;

use proptest::option;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed};
use slakeline::edits::valves;
use slakeline::engine::run::{Checkpoint, EachDay, Keep, LaneRun, Midnights, Often, OpenBench, OpenRun, Ready, Recorder, Workshop, run};
use slakeline::engine::run::{series::Series, simulation::Simulation};
use slakeline::figures::day_figures;
use slakeline::scenario::presets::Library;
use slakeline::scenario::*;

fn config() -> Config {
    let mut config = Config { failure_persistence: None, max_shrink_iters: 100, max_global_rejects: 100_000, ..Config::default() };
    if std::env::var_os("PROPTEST_CASES").is_none() {
        config.cases = 48;
        config.rng_seed = RngSeed::Fixed(1);
    }
    config
}

/// Two lanes of another dose, some days, now and then another plan from the second day on, and half the time a valve for each lane.
fn bench() -> impl Strategy<Value = Scenario> {
    let one = prop_oneof![scenarios::scenario(), scenarios::coincidence()];
    let valves = (option::of(other_valves::other_valve()), option::weighted(0.3, other_valves::pump_share()));
    let twins = (prop_oneof![Just(1.0), Just(0.5), 0.3..2.0], prop_oneof![Just(None), Just(Some(1)), Just(Some(2))]);
    let days_and_twin = (1_u32..4, twins, any::<bool>());
    (one, days_and_twin, valves).prop_map(|(mut scenario, (days, (dose, run_in_days), other_plan), (valve, pump))| {
        scenario.days = days;
        let mut twin = Lane { name: "twin".to_owned(), dose: scenario.lanes[0].dose * dose, probe: None, ..scenario.lanes[0].clone() };
        twin.start.run_in_days = twin.start.run_in_days.and(run_in_days);
        scenario.lanes.push(twin);
        if other_plan {
            let from = scenario.valves[0].schedule.len() / 2;
            scenario.valves[0].changes = vec![PlanChange {
                from_day: 2,
                schedule: scenario.valves[0].schedule[from..].to_vec(),
                rules: scenario.valves[0].rules.clone(),
            }];
        }
        if let Some(valve) = valve {
            valve.onto(&mut scenario, 1);
        }
        if let Some(share) = pump {
            other_valves::limit_pump(&mut scenario, share);
        }
        scenario
    })
}

/// A change of one event, by numbers drawn: which plan and event, what is done, and where to.
fn edited(scenario: &Scenario, [plan, which, what, place]: [usize; 4]) -> Scenario {
    let mut out = scenario.clone();
    let plans = out.plans();
    let events = out.events_mut(plans[plan % plans.len()]).unwrap();
    if events.is_empty() {
        events.push(Event::drip(Clock::from_seconds((60 * place % 80_000) as u32), 60, 50.0));
        return out;
    }
    let (last, which) = (events.len() - 1, which % events.len());
    let other = events[place % events.len()];
    let seconds = events[which].seconds;
    let at = |s: f64| Clock::from_seconds(s.max(0.0) as u32);
    match what % 11 {
        // Onto another's end, or so that it ends where another begins.
        0 => events[which].start = at(other.end_s()),
        1 => events[which].start = at(other.start_s() - f64::from(seconds)),
        // To the first instant of the day and to the last.
        2 => events[which].start = Clock::MIDNIGHT,
        3 => events[which].start = at(DAY_S - f64::from(seconds)),
        4 => drop(events.remove(which)),
        5 => drop(events.remove(0)),
        6 => drop(events.remove(last)),
        7 => events[which].seconds = seconds + 1,
        8 => events[which].ec = Some(0.5 * (place % 9) as f64),
        9 => {
            events[which].give = match events[which].give {
                Give::Drip { ml } => Give::Drip { ml: 1.5 * ml },
                Give::Flood { depth_cm } => Give::Flood { depth_cm: 0.5 * depth_cm },
            }
        }
        _ => events[which].start = at(events[which].start_s() + 60.0 * (place % 30) as f64 - 900.0),
    }
    out.sort_schedule();
    out
}

/// A change of an event, or of lanes, days, rules or the tank.
fn rearranged(scenario: &Scenario, numbers: [usize; 4]) -> Scenario {
    let mut out = scenario.clone();
    match numbers[2] % 6 {
        0 | 1 => return edited(scenario, numbers.map(|n| n / 5)),
        2 => match numbers[0] % 5 {
            0 => out.lanes.reverse(),
            1 => out.lanes.iter_mut().skip(1).for_each(|lane| lane.dose *= 1.25),
            2 => out.lanes.truncate(1),
            3 => out.lanes[0].start.run_in_days = [None, Some(1), Some(3)][numbers[1] % 3],
            _ => out.lanes[0].start.salt = StartSalt::Ec(2.0),
        },
        3 => out.days = 1 + (numbers[1] % 4) as u32,
        4 => match numbers[0] % 4 {
            0 => valves::put_on_own(&mut out, numbers[1] % scenario.lanes.len()),
            1 => valves::put(&mut out, numbers[1] % scenario.lanes.len(), 0),
            2 => other_valves::limit_pump(&mut out, [0.5, 1.0, 1.5][numbers[3] % 3]),
            _ => out.valves[0].ec = if out.valves[0].ec.is_some() { None } else { Some(1.5) },
        },
        _ => match (&mut out.tank, numbers[3] % 4) {
            (Some(tank), 0) => tank.litres *= 0.5,
            // With the last of these nothing hangs on what happens any more.
            (Some(_), 1) => out.tank = None,
            (_, 2) => {
                out.valves[0].rules.clear();
                out.valves[0].changes.iter_mut().for_each(|change| change.rules.clear());
            }
            _ => drop(out.valves[0].changes.pop()),
        },
    }
    out
}

fn numbers() -> impl Strategy<Value = [usize; 4]> {
    [any::<u16>(), any::<u16>(), any::<u16>(), any::<u16>()].prop_map(|n| n.map(usize::from))
}

fn is_valid(scenario: &Scenario) -> bool {
    scenario.validate(&Library::shipped()).is_empty()
}

/// The lanes of two states of a bench, made ready one after the other as a window does it.
fn both(before: &Scenario, after: &Scenario) -> [Vec<Ready>; 2] {
    let (library, mut workshop) = (Library::shipped(), Workshop::default());
    [before, after].map(|s| workshop.ready(s, &library).unwrap().for_its_days())
}

/// Everything a run says, or the first thing in which two differ.
fn apart(found: &LaneRun, whole: &LaneRun) -> Result<(), String> {
    let first = |a: &Series, b: &Series| a.samples.iter().zip(&b.samples).position(|(a, b)| a != b);
    let (a, b) = (&found.series, &whole.series);
    if a != b {
        return Err(format!("{} and {} samples, first apart at {:?} of {:?}", a.samples.len(), b.samples.len(), first(a, b), whole.name));
    }
    let same = found.midnights == whole.midnights && found.stats == whole.stats && found.error == whole.error && found.name == whole.name;
    if same { Ok(()) } else { Err(format!("{:?} {:?} {:?} {:?}", found.stats, whole.stats, found.error, whole.error)) }
}

/// One day in full and little of the others, with checkpoints after every so many days.
fn coarse(full: usize, checkpoints_every: usize) -> Keep {
    Keep::some(full..full + 1, 2000.0, checkpoints_every)
}

/// Checkpoints at every so many steps.
struct Now(Vec<Checkpoint>, usize, usize);

impl Recorder for Now {
    type Kept = Vec<Checkpoint>;

    fn kept(self) -> Vec<Checkpoint> {
        self.0
    }

    fn see(&mut self, now: &Simulation) {
        if self.2.is_multiple_of(self.1) {
            self.0.push(now.checkpoint());
        }
        self.2 += 1;
    }
}

proptest! {
    #![proptest_config(config())]

    /// From any checkpoint a run goes on as it did, to the bit.
    #[test]
    fn a_whole_run_is_the_run_from_any_checkpoint(scenario in bench(), every in 1_usize..90) {
        prop_assume!(is_valid(&scenario));
        for lane in Workshop::default().ready(&scenario, &Library::shipped()).unwrap().for_its_days() {
            let whole = lane.run(scenario.days);
            let mut taken = Now(Vec::new(), every, 0);
            let ended = lane.run_with(scenario.days, &mut taken, &|| true).unwrap();
            prop_assert!(ended.stats == whole.stats && ended.error == whole.error);
            // Four of them, and the last.
            let apart = taken.0.len().div_ceil(4);
            for from in taken.0.iter().rev().step_by(apart) {
                let mut rest = (Series::default(), Midnights::default());
                let ended = lane.run_from(from, scenario.days, &mut rest, &|| true).unwrap();
                let (layers, midnights) = rest.kept();
                let (at, since) = (from.time_s(), whole.series.samples.partition_point(|s| s.time_s < from.time_s()));
                prop_assert_eq!(&layers.samples, &whole.series.samples[since..], "from {} s of {}", at, text(&scenario));
                prop_assert_eq!(&layers.profiles.ec, &whole.series.profiles.ec[since * lane.column.len()..]);
                prop_assert_eq!(&midnights[..], &whole.midnights[whole.midnights.len() - midnights.len()..]);
                prop_assert!(ended.stats == whole.stats && ended.error == whole.error);
            }
        }
    }

    /// Run again from where its events changed, twice over and to other numbers of days, it is what a run from the start would be; so are the
    /// figures of days of which little else is kept, whichever day is kept in full.
    #[test]
    fn a_changed_run_is_the_whole_run(scenario in bench(), edits in (numbers(), numbers()), days in 1_u32..5, kept in 0_usize..5) {
        let (once, twice) = (edited(&scenario, edits.0), edited(&edited(&scenario, edits.0), edits.1));
        prop_assume!([&scenario, &once, &twice].into_iter().all(is_valid));
        let keep = [Keep::all(Often::Hours), Keep::all(Often::Midnights(1)), coarse(0, 1), coarse(1, 1), coarse(2, 2)][kept].clone();
        let [before, after] = both(&scenario, &once);
        let [_, last] = both(&once, &twice);
        for (i, lane) in before.iter().enumerate() {
            let figures = |run: &LaneRun, day: usize| day_figures(run, &scenario.lanes[i], day);
            let mut open = OpenRun::new(lane.clone(), keep.clone());
            prop_assert!(open.on_to(scenario.days, &figures, &|| true));
            for (ready, full) in [(&after[i], keep.full().clone()), (&last[i], 1..2)] {
                let ready = Ready { column: Arc::clone(&lane.column), load: Arc::clone(&lane.load), ..ready.clone() };
                open.turn_to(ready.clone(), full.clone());
                // Given up half way it goes on as well.
                let asked = Cell::new(0);
                open.on_to(days, &figures, &|| asked.replace(asked.get() + 1) < 2);
                prop_assert!(open.on_to(days, &figures, &|| true));
                let (all, found) = (ready.run(days), open.run());
                let mut whole = all.clone();
                if !keep.is_all() {
                    let mut fresh = OpenRun::new(ready, keep.with(full));
                    prop_assert!(fresh.on_to(days, &figures, &|| true));
                    prop_assert_eq!(open.made(), fresh.made());
                    prop_assert_eq!(open.made(), &(0..days as usize).map(|day| figures(&all, day)).collect::<Vec<_>>()[..]);
                    whole = fresh.run().clone();
                    prop_assert!(whole.series.samples.iter().all(|s| all.series.samples.contains(s)));
                    prop_assert!(whole.midnights == all.midnights && whole.stats == all.stats);
                }
                if let Err(apart) = apart(found, &whole) {
                    prop_assert!(false, "{}: {}\n{:?}\n{}\n{}", lane.name, apart, edits, text(&scenario), text(&once));
                }
            }
        }
    }

    /// A day that is put in full afterwards is as if it had been kept so from the start.
    #[test]
    fn a_day_in_full_is_the_day_of_the_whole_run(scenario in bench(), days in 2_u32..6, day in 0_usize..5, apart_by in 1_usize..4) {
        prop_assume!(is_valid(&scenario));
        let day = day % days as usize;
        for lane in Workshop::default().ready(&scenario, &Library::shipped()).unwrap().for_its_days() {
            let of = |full: usize| {
                let mut open = OpenRun::new(lane.clone(), coarse(full, apart_by));
                open.on_to(days, &|_, _| (), &|| true);
                open
            };
            let filled = of((day + 1) % days as usize).with_in_full(&(day..day + 1), &|| true).unwrap();
            if let Err(apart) = apart(filled.run(), of(day).run()) {
                prop_assert!(false, "day {}: {}\n{}", day, apart, text(&scenario));
            }
        }
    }

    /// A bench with its lanes, rules and tank, changed over and over, is what it would be from the start: every lane, every event, the tank;
    /// however much is kept, and whichever day is kept in full.
    #[test]
    fn a_changed_bench_is_the_whole_bench(scenario in bench(), edits in [numbers(), numbers(), numbers()], kept in 0_usize..4) {
        let (library, mut workshop) = (Library::shipped(), Workshop::default());
        let keep = [Keep::all(Often::Hours), Keep::all(Often::Midnights(1)), coarse(0, 1), coarse(1, 2)][kept].clone();
        let mut open = OpenBench::default();
        let mut now = scenario;
        for (turn, edit) in std::iter::once(None).chain(edits.map(Some)).enumerate() {
            let next = edit.map_or_else(|| now.clone(), |edit| rearranged(&now, edit));
            if !is_valid(&next) {
                continue;
            }
            let full = if keep.is_all() { keep.full().clone() } else { turn % 2..turn % 2 + 1 };
            let (keep, figures) = (keep.with(full), |i: usize, run: &LaneRun, day: usize| day_figures(run, &next.lanes[i], day));
            let ready = workshop.ready(&next, &library).unwrap();
            let lanes = ready.for_its_days();
            open = open.turned_to(&ready, &keep, next.days, &figures, &|| true).unwrap();
            prop_assert!(open.on_to(next.days, &figures, &|| true));
            for (i, (found, lane)) in open.lanes().zip(lanes).enumerate() {
                let mut whole = OpenRun::new(lane.clone(), keep.clone());
                prop_assert!(whole.on_to(next.days, &|run, day| figures(i, run, day), &|| true));
                if let Err(apart) = apart(found.run(), whole.run()) {
                    prop_assert!(false, "{apart}, {edit:?}\n{}\n{}", text(&now), text(&next));
                }
                prop_assert_eq!(found.made(), whole.made());
                let all = lane.run(next.days);
                prop_assert!(whole.run().midnights == all.midnights && whole.run().stats == all.stats);
                prop_assert_eq!(found.run().timetable.days(), lane.timetable.days());
                prop_assert_eq!(&found.run().timetable.tank, &lane.timetable.tank);
            }
            now = next;
        }
    }

    /// Figures of days of which nothing else is kept are those of the run that keeps every step.
    #[test]
    fn figures_alone_are_the_figures_of_every_step(scenario in bench()) {
        prop_assume!(is_valid(&scenario));
        let lanes = Workshop::default().ready(&scenario, &Library::shipped()).unwrap().for_its_days();
        for (lane, ready) in scenario.lanes.iter().zip(lanes) {
            let whole = ready.run(scenario.days);
            let figures = |run: &LaneRun, day: usize| day_figures(run, lane, day);
            let mut each = EachDay::of(&ready, figures);
            ready.run_with(scenario.days, &mut each, &|| true).unwrap();
            let made = each.kept();
            prop_assert_eq!(&made, &(0..whole.days()).map(|day| figures(&whole, day)).collect::<Vec<_>>());
            // From a checkpoint on, of the days that begin after it.
            let mut taken = Now(Vec::new(), 40, 0);
            ready.run_with(scenario.days, &mut taken, &|| true).unwrap();
            let from = &taken.0[taken.0.len() / 2];
            let mut rest = EachDay::of(&ready, figures);
            ready.run_from(from, scenario.days, &mut rest, &|| true).unwrap();
            let first = (from.time_s() / DAY_S).ceil() as usize;
            prop_assert_eq!(&rest.kept()[..], &made[first.min(made.len())..]);
        }
    }
}

#[test]
fn only_what_a_change_touches_is_run_again() {
    let scenario = common::read("demo/1-aubergine-two-root-zones.ron");
    let mut moved = scenario.clone();
    let event = moved.valves[0].schedule.iter_mut().find(|e| e.start >= Clock::hm(15, 0)).unwrap();
    let from = event.start_s();
    event.start = Clock::from_seconds(event.start.seconds() as u32 + 600);
    let [before, after] = both(&scenario, &moved);
    let nothing = |_: &LaneRun, _: usize| ();
    let mut open = OpenRun::new(before[0].clone(), Keep::all(Often::Hours));
    assert!(open.on_to(scenario.days, &nothing, &|| true));
    let (bytes, count) = (open.checkpoints().iter().map(|c| c.bytes()).sum::<usize>(), open.checkpoints().len());
    assert!(
        bytes / count < 200 * before[0].column.len() + 500,
        "{} bytes a checkpoint of {} layers",
        bytes / count,
        before[0].column.len()
    );
    // Nothing changed: nothing is lost.
    let whole = open.run().series.samples.len();
    let all = 0..usize::MAX;
    open.turn_to(before[0].clone(), all.clone());
    assert_eq!(open.run().series.samples.len(), whole);
    let there = open.turn_to(after[0].clone(), all.clone());
    assert!(there <= from && there >= from - 3.0 * 3600.0, "there up to {there} s, changed from {from} s");
    // Given up half way it goes on later.
    let asked = Cell::new(0);
    let once = || asked.replace(asked.get() + 1) < 1;
    assert!(!open.on_to(3, &nothing, &once) && open.run().days() == 1);
    assert!(open.on_to(3, &nothing, &|| true));
    assert_eq!(apart(open.run(), &after[0].run(3)), Ok(()));
    // Another lane is another run.
    assert_eq!(open.turn_to(after[1].clone(), all), 0.0);
    assert!(open.on_to(2, &nothing, &|| true));
    assert_eq!(apart(open.run(), &after[1].run(2)), Ok(()));
}

#[test]
fn what_is_kept_now_and_then_are_steps_of_the_run() {
    let scenario = common::read("demo/1-aubergine-two-root-zones.ron");
    let lane = &common::ready(&scenario)[1];
    let whole = lane.run(3);
    let mut open = OpenRun::new(lane.clone(), Keep::some(1..2, 1800.0, 1));
    open.on_to(3, &|_, _| (), &|| true);
    let coarse = &open.run().series;
    let of_day = |s: &Series, day: f64| s.samples.iter().filter(|s| (day * DAY_S..(day + 1.0) * DAY_S).contains(&s.time_s)).count();
    assert_eq!(of_day(coarse, 1.0), of_day(&whole.series, 1.0), "the second day is kept in full");
    assert!(2 * of_day(coarse, 0.0) < of_day(&whole.series, 0.0));
    assert!(coarse.samples.iter().all(|s| whole.series.samples.contains(s)));
    for event in lane.timetable.events(0) {
        for instant in [event.start_s(), DAY_S] {
            assert!(coarse.samples.iter().any(|s| s.time_s == instant), "{instant} s is kept");
        }
    }
    // The layers of that day, with both its midnights, and of the morning after the last.
    let rows = of_day(coarse, 1.0) + 1 + of_day(coarse, 3.0);
    assert_eq!(coarse.profiles.theta.len(), rows * lane.column.len());
    assert!(open.checkpoints().iter().map(|c| c.time_s()).eq([0.0, DAY_S, 2.0 * DAY_S, 3.0 * DAY_S]));
}

#[test]
fn what_probe_and_tank_make_of_days_is_found_anew_from_the_day_that_changed() {
    let mut scenario = common::read("demo/1-aubergine-two-root-zones.ron");
    scenario.days = 4;
    scenario.tank =
        Some(Tank { litres: 60.0, start_ec: None, refill: Refill::Feed, filled: Filled::At(Clock::hm(3, 0)), drain_returns: true });
    scenario.lanes[0].probe = Some(Probe { height_cm: 4.0, length_cm: 5.0 });
    let when = When::Dry { lane: scenario.lanes[0].name.clone(), falls_to: 0.75, pause_s: 900 };
    let rule = Rule { when, first: Clock::hm(7, 0), last: Clock::hm(18, 0), seconds: 300, give: Give::Drip { ml: 100.0 }, ec: None };
    scenario.valves[0].rules = vec![rule.clone()];
    scenario.valves[0].changes = vec![PlanChange { from_day: 4, schedule: scenario.valves[0].schedule.clone(), rules: vec![rule] }];
    let (library, mut workshop, asked) = (Library::shipped(), Workshop::default(), Cell::new(0));
    let (mut open, keep) = (OpenBench::default(), Keep::all(Often::Midnights(1)));
    let mut days_found_anew = |scenario: &Scenario| {
        let ready = workshop.ready(scenario, &library).unwrap();
        asked.set(0);
        let go_on = || asked.replace(asked.get() + 1) < 100;
        open = std::mem::take(&mut open).turned_to(&ready, &keep, scenario.days, &|_, _, _| (), &go_on).unwrap();
        assert!(open.on_to(scenario.days, &|_, _, _| (), &|| true));
        let whole = run(&ready.for_its_days(), scenario.days);
        for (found, whole) in open.lanes().zip(&whole.lanes) {
            assert_eq!(apart(found.run(), whole), Ok(()));
            assert_eq!(found.run().timetable.tank, whole.timetable.tank);
        }
        assert!(whole.timetable().unwrap().tank.as_ref().unwrap().days.iter().all(|d| d.returned > 0.0), "the tank matters");
        asked.get()
    };
    // Four days, and the first event of the fifth.
    assert_eq!(days_found_anew(&scenario), 5);
    assert_eq!(days_found_anew(&scenario), 1, "nothing changed");
    scenario.valves[0].changes[0].schedule.remove(2);
    assert_eq!(days_found_anew(&scenario), 2);
    scenario.days = 3;
    assert_eq!(days_found_anew(&scenario), 1);
    scenario.days = 5;
    assert_eq!(days_found_anew(&scenario), 3);
    scenario.valves[0].schedule.remove(2);
    assert_eq!(days_found_anew(&scenario), 6);
}
