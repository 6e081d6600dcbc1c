//! The settled day, which is found without waiting for it, against running on until nothing changes any more.

use crate::benches;
use std::cell::Cell;

use rayon::prelude::*;
use slakeline::engine::run::feedback::Until;
use slakeline::engine::run::{EachDay, LOOK_AHEAD_DAYS, LaneRun, Ready, Recorder, Settled, Workshop};
use slakeline::figures::{DayFigures, day_figures};
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{Demand, Filled, Lane, Refill, Scenario, StartSalt, Tank, resolve};
use slakeline::studies::daily_use;

/// The lanes of a bench, as they are looked ahead of.
fn lanes(scenario: &Scenario) -> Vec<Ready> {
    let bench = Workshop::default().ready(scenario, &Library::shipped()).unwrap();
    bench.timed(Until { days: LOOK_AHEAD_DAYS, settled: true }, &|| true).unwrap()
}

/// The settled day's figures, what is told of it, and how many days were run for it.
fn found(ready: &Ready, lane: &Lane) -> (Option<DayFigures>, Settled, u32) {
    let days = Cell::new(0);
    let go_on = || {
        days.set(days.get() + 1);
        true
    };
    let (settled, run) = ready.settled_day(LOOK_AHEAD_DAYS, go_on).unwrap();
    assert!(run.failure().is_none(), "{}: {:?}", ready.name, run.failure());
    (day_figures(&run, lane, 0), settled, days.get())
}

/// Figures of each of so many days.
fn ran_on(ready: &Ready, lane: &Lane, days: u32) -> Vec<DayFigures> {
    let mut each = EachDay::of(ready, |run: &LaneRun, day| day_figures(run, lane, day));
    ready.run_with(days, &mut each, &|| true).unwrap();
    each.kept().into_iter().flatten().collect()
}

/// By how much two days differ at most, as a share; amounts as a share of what was given, what is a share itself as it is.
fn apart(a: &DayFigures, b: &DayFigures) -> f64 {
    let share = |a: f64, b: f64| (a - b).abs() / b.abs().max(1e-3);
    let given = b.applied_ml.max(1.0);
    let dry_back = |f: &DayFigures| f.dry_back.map_or(0.0, |d| d.points);
    let pairs = [
        share(a.root_zone_ec, b.root_zone_ec),
        share(a.felt_ec, b.felt_ec),
        share(a.drain_ec.unwrap_or(1.0), b.drain_ec.unwrap_or(1.0)),
        share(a.peak, b.peak),
        share(a.lowest, b.lowest),
        (a.drained_ml - b.drained_ml).abs() / given,
        (a.uptake_met - b.uptake_met).abs(),
        (a.lowest_air - b.lowest_air).abs(),
        (dry_back(a) - dry_back(b)).abs() / 100.0,
    ];
    pairs.into_iter().fold(0.0, f64::max)
}

/// A lane with a name, and the days after which nothing in it changes any more.
type Case = (String, Ready, Lane, u32);

/// A random bench whose use and evaporation are amounts a day, as much as its climate asks for: then little drains, and salt is slow.
fn drawn(seed: u64) -> Scenario {
    let mut scenario = benches::bench(seed, &Library::shipped());
    let lane = &scenario.lanes[0];
    if let Demand::Climate { .. } = lane.demand {
        let crop = resolve::crop(&lane.crop, &Library::shipped()).unwrap();
        let litres_per_day = daily_use::litres(lane, &crop, &scenario);
        scenario.lanes[0].demand = Demand::Measured { litres_per_day, steady_share: 0.08 };
    }
    scenario.climate = None;
    scenario
}

fn case(name: &str, scenario: &Scenario, at: usize, days: u32) -> Case {
    (name.to_owned(), lanes(scenario).swap_remove(at), scenario.lanes[at].clone(), days)
}

/// Water and salt of these lanes come to rest within the days given: salt in stone wool and in deep pots, drip and flood, water that asks for
/// the salt, salt at the feed's own EC from the start.
fn cases() -> Vec<Case> {
    let demo = |at: usize| demos().swap_remove(at);
    let mut all: Vec<Case> = [(0, 0, 120), (1, 1, 700), (2, 0, 150), (3, 1, 150), (4, 0, 40), (5, 1, 120), (7, 0, 120)]
        .map(|(at, lane, days)| {
            let (name, scenario) = demo(at);
            case(&name, &scenario, lane, days)
        })
        .into();
    for (seed, days) in [(1, 250), (10, 700), (18, 400), (27, 700), (28, 100), (49, 60), (53, 700), (67, 120)] {
        all.push(case(&format!("bench {seed}"), &drawn(seed), 0, days));
    }
    let mut at_the_feed = demo(0).1;
    at_the_feed.lanes[0].start.salt = StartSalt::Feed;
    all.push(case("from the feed's EC", &at_the_feed, 0, 150));
    all
}

/// Every figure is as running on would have it, and where running on takes months it takes at least ten times as many days.
#[test]
fn the_settled_day_is_what_running_on_comes_to() {
    let rows: Vec<(String, f64, u32, u32)> = cases()
        .into_par_iter()
        .map(|(name, ready, lane, days)| {
            let (figures, settled, ran) = found(&ready, &lane);
            let Settled::OnDay(told) = settled else { panic!("{name}: {settled:?}") };
            let long = ran_on(&ready, &lane, days);
            let last = long.last().unwrap();
            // It has come to rest itself.
            assert!(apart(&long[long.len() - 20], last) < 2e-3, "{name} still moves after {days} days");
            let near = long.iter().position(|day| (day.root_zone_ec / last.root_zone_ec - 1.0).abs() < 1e-3).unwrap();
            let near = u32::try_from(near).unwrap() + 1;
            let apart = apart(&figures.unwrap(), last);
            println!("{name}: {apart:.1e} apart; {ran} days run; told day {told}, near on day {near}");
            (name, apart, ran, near)
        })
        .collect();
    for (name, apart, ran, near) in &rows {
        assert!(*apart <= 2e-3, "{name}: {apart}");
        assert!(*near < 200 || 10 * ran <= *near, "{name}: {ran} days were run where running on takes {near}");
    }
    assert!(rows.iter().filter(|row| row.3 >= 200).count() >= 4, "{rows:?}");
}

/// Salt that nothing carries away never settles; the day shown is one that running on comes to, to the bit, however often salt was tried.
#[test]
fn what_does_not_settle_is_run_on() {
    let mut scenario = demos().swap_remove(0).1;
    scenario.lanes.truncate(1);
    scenario.lanes[0].container.parts.truncate(1);
    scenario.valves[0].schedule.truncate(2);
    let ready = lanes(&scenario).remove(0);
    let days = 40;
    let (settled, run) = ready.settled_day(days, || true).unwrap();
    assert_eq!(settled, Settled::NotWithin(days));
    assert_eq!(run.day(0), ready.run(days).day(days as usize - 1));
    assert_eq!(ready.settle(days), Ok(settled));
}

/// The same where salt was put into the layers and that led nowhere: the days are run once more, from the start.
#[test]
fn what_salt_was_put_into_in_vain_is_run_on_from_the_start() {
    for (seed, scenario) in [(3, benches::bench(3, &Library::shipped())), (9, drawn(9))] {
        let ready = lanes(&scenario).remove(0);
        let (figures, settled, ran) = found(&ready, &scenario.lanes[0]);
        assert_eq!((settled, ran), (Settled::NotWithin(LOOK_AHEAD_DAYS), 2 * LOOK_AHEAD_DAYS), "bench {seed}");
        let long = ran_on(&ready, &scenario.lanes[0], LOOK_AHEAD_DAYS);
        assert!(apart(&figures.unwrap(), long.last().unwrap()) < 1e-12, "bench {seed}");
    }
}

/// Given up before any day, it finds nothing.
#[test]
fn it_can_be_given_up_before_every_day() {
    let scenario = demos().swap_remove(0).1;
    let ready = lanes(&scenario).remove(0);
    let (_, _, ran) = found(&ready, &scenario.lanes[0]);
    for stop in 0..ran {
        let left = Cell::new(stop);
        let go_on = || left.replace(left.get().saturating_sub(1)) > 0;
        assert!(ready.settled_day(LOOK_AHEAD_DAYS, go_on).is_none(), "{stop}");
    }
}

/// Benches whose lanes a tank holds together, and the days after which nothing changes any more: drain that comes back to the shipped tank and to a
/// small one that is filled with water, in two lanes of which one is large; a flood table that draws from a tank; drain that goes to waste.
fn tanks() -> Vec<(&'static str, Scenario, u32)> {
    let demo = |at: usize| demos().swap_remove(at).1;
    let shipped = demos().into_iter().map(|d| d.1).find(|s| s.tank.is_some_and(|t| t.drain_returns)).unwrap();
    let tank = |litres, drain_returns, refill| Tank { litres, start_ec: None, refill, filled: Filled::Always, drain_returns };
    let with = |scenario: Scenario, tank: Tank| Scenario { tank: Some(tank), ..scenario };
    let mut floods = demos().into_iter().map(|d| d.1).find(|s| s.valves[0].schedule.iter().any(|e| e.give.is_flood())).unwrap();
    floods.lanes.truncate(1);
    vec![
        ("shipped", shipped, 900),
        ("two lanes, filled with water", with(demo(0), tank(60.0, true, Refill::Water { ec: 0.8 })), 700),
        ("to waste", with(demo(0), tank(200.0, false, Refill::Feed)), 700),
        ("floods", with(floods, tank(800.0, true, Refill::Water { ec: 0.5 })), 700),
    ]
}

/// With a tank all lanes and the tank are found together: as running on would have them, on about the day told, with a tenth of the days.
#[test]
fn with_a_tank_the_settled_day_is_what_running_on_comes_to() {
    let rows: Vec<_> = tanks()
        .into_par_iter()
        .flat_map_iter(|(name, scenario, days)| {
            let bench = Workshop::default().ready(&scenario, &Library::shipped()).unwrap();
            let ran = Cell::new(0_u32);
            let go_on = || {
                ran.set(ran.get() + 1);
                true
            };
            let found = bench.settled_days(&go_on).unwrap();
            assert_eq!(bench.settle(), found.iter().map(|(settled, _)| Ok(*settled)).collect::<Vec<_>>(), "{name}");
            let long = bench.timed(Until { days, settled: false }, &|| true).unwrap();
            let of_lane = |((lane, ready), (settled, run)): ((&Lane, &Ready), &(Settled, LaneRun))| {
                assert!(run.failure().is_none() && run.closure().closes(), "{name}: {:?}", run.failure());
                let Settled::OnDay(told) = *settled else { panic!("{name}: {settled:?}") };
                let long = ran_on(ready, lane, days);
                let last = long.last().unwrap();
                assert!(apart(&long[long.len() - 20], last) < 2e-3, "{name} still moves after {days} days");
                let near = long.iter().position(|day| (day.root_zone_ec / last.root_zone_ec - 1.0).abs() < 1e-3).unwrap();
                let apart = apart(&day_figures(run, lane, 0).unwrap(), last);
                println!("{name}, {}: {apart:.1e} apart; {} days run; told day {told}, near on day {}", lane.name, ran.get(), near + 1);
                (name, apart, ran.get(), told, u32::try_from(near).unwrap() + 1)
            };
            scenario.lanes.iter().zip(&long).zip(&found).map(of_lane).collect::<Vec<_>>()
        })
        .collect();
    for (name, apart, ran, told, near) in &rows {
        assert!(*apart <= 4e-3, "{name}: {apart}");
        assert!(
            *near < 200 || (8 * ran <= *near && (near / 2..=2 * near).contains(told)),
            "{name}: {ran} days run, told {told}, near on {near}"
        );
    }
    assert!(rows.iter().any(|row| row.4 >= 200), "{rows:?}");
}

/// Given up on any day it finds nothing; the same bits come of any number of threads.
#[test]
fn with_a_tank_it_can_be_given_up_and_threads_do_not_matter() {
    let (_, scenario, _) = tanks().swap_remove(1);
    let bench = Workshop::default().ready(&scenario, &Library::shipped()).unwrap();
    for stop in [0, 1, 9] {
        let asked = Cell::new(0);
        let go_on = || asked.replace(asked.get() + 1) < stop;
        assert!(bench.settled_days(&go_on).is_none(), "{stop}");
    }
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| Workshop::default().ready(&scenario, &Library::shipped()).unwrap().settled_days(&|| true).unwrap())
    };
    let (one, four) = (on(1), on(4));
    assert!(one.iter().zip(&four).all(|((a, run), (b, other))| a == b && run.series.samples == other.series.samples));
}

/// A tank that nobody fills runs dry: nothing is put anywhere, days are run on, and no day comes that meets a plant's demand.
#[test]
fn an_empty_tank_is_run_on() {
    let (_, mut scenario, _) = tanks().swap_remove(0);
    scenario.tank = scenario.tank.map(|tank| Tank { filled: Filled::Never, ..tank });
    let days = Workshop::default().ready(&scenario, &Library::shipped()).unwrap().settled_days(&|| true).unwrap();
    let figures = day_figures(&days[0].1, &scenario.lanes[0], 0).unwrap();
    assert!(figures.applied_ml < 1.0 && figures.uptake_met < 0.5, "{figures:?}");
}
