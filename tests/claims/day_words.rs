//! What the sentences say of a day's drain and salt is so: an event is credited with drain that does not come without it, and what is said
//! of the root zone's EC follows the day's own balance of salt and of water.

use crate::stressed;
use fastrand::Rng;
use rayon::prelude::*;
use slakeline::engine::run::{LaneRun, Ready, Workshop};
use slakeline::figures::cause::{Day, salt_sentence};
use slakeline::projection::LaneReport;
use slakeline::scenario::presets::Library;
use slakeline::scenario::{Clock, DAY_S, Event, Give, OnDays, Scenario};
use slakeline::units::Units;

/// A lane's day, with all that is needed to run it otherwise.
struct LaneDay {
    scenario: Scenario,
    ready: Ready,
    run: LaneRun,
    report: LaneReport,
    said: String,
}

impl LaneDay {
    /// The first or second day of a bench of a seed, some of them watered by night.
    fn of(seed: u64, library: &Library) -> Self {
        let mut scenario = stressed::bench(seed, library);
        by_night(&mut Rng::with_seed(seed), &mut scenario);
        let mut ready = Workshop::default().ready(&scenario, library).unwrap().for_its_days().remove(0);
        if !seed.is_multiple_of(3) {
            let mut simulation = ready.simulation();
            simulation.advance_to(DAY_S, |_| {}).unwrap();
            ready.start = simulation.state().clone();
        }
        let run = ready.run(1);
        let report = LaneReport::of(&scenario, &scenario.lanes[0], &run, 0).unwrap();
        let said = report.causes(&scenario, &scenario.lanes[0], &run, Units::default()).join(" ");
        Self { scenario, ready, run, report, said }
    }

    /// The same day under another scenario.
    fn otherwise(&self, scenario: &Scenario, library: &Library) -> LaneRun {
        let ready = Workshop::default().ready(scenario, library).unwrap().for_its_days().remove(0);
        Ready { start: self.ready.start.clone(), ..ready }.run(1)
    }

    /// The same day with only some of its events.
    fn with(&self, events: &[Event], library: &Library) -> LaneRun {
        let mut with = self.scenario.clone();
        with.valves[0].schedule = events.to_vec();
        self.otherwise(&with, library)
    }
}

/// Some benches are watered just after midnight, late in the evening, or both.
fn by_night(rng: &mut Rng, scenario: &mut Scenario) {
    let Some(ml) = scenario.valves[0].schedule.iter().find_map(Event::ml) else { return };
    let (early, late) = (rng.u8(..3) == 0, rng.u8(..3) == 0);
    let drip = |hour, minute, times: f64| Event {
        start: Clock::hm(hour, minute),
        seconds: 600,
        give: Give::Drip { ml: times * ml },
        ec: None,
        days: OnDays::ALL,
    };
    let night = early.then(|| drip(0, 10, 0.5)).into_iter().chain(late.then(|| drip(23, 5, 3.0)));
    scenario.valves[0].schedule.extend(night.collect::<Vec<_>>());
    scenario.sort_schedule();
}

/// The root zone's own drain between two times, mL.
fn own_drain(run: &LaneRun, from_s: f64, to_s: f64) -> f64 {
    let passed = run.series.at(to_s).unwrap().ledger.since(&run.series.at(from_s).unwrap().ledger).water;
    passed.outlet + passed.overflow
}

/// Lane-days of benches drawn from a seed on.
fn days(seeds: std::ops::RangeInclusive<u64>, library: &Library) -> Vec<LaneDay> {
    seeds.into_par_iter().map(|seed| LaneDay::of(seed, library)).collect()
}

/// mL that an event must bring to drain to be said to begin it, as the figures have it.
fn enough(day: &LaneDay, event: usize) -> f64 {
    day.scenario.valves[0].schedule[event].ml().map_or(1.0, |ml| (0.05 * ml * day.scenario.lanes[0].dose).min(1.0))
}

/// Of every event up to the one credited, what drains before the next one that does not drain without it, mL.
fn brought(day: &LaneDay, library: &Library) -> Vec<f64> {
    let events = &day.scenario.valves[0].schedule;
    let last = day.report.figures.drain_began_with.unwrap_or(events.len().saturating_sub(1));
    let mut before = day.with(&[], library);
    let mut brought = Vec::new();
    for k in 0..events.len().min(last + 1) {
        let with = day.with(&events[..=k], library);
        let (from, to) = (events[k].start_s(), events.get(k + 1).map_or(DAY_S, Event::start_s));
        brought.push(own_drain(&with, from, to) - own_drain(&before, from, to));
        before = with;
    }
    brought
}

#[test]
fn an_event_is_credited_with_drain_that_does_not_come_without_it() {
    let library = Library::shipped();
    let days = days(1..=240, &library);
    let judged: Vec<(&LaneDay, Vec<f64>)> =
        days.par_iter().filter(|d| !d.scenario.valves[0].schedule.is_empty()).map(|d| (d, brought(d, &library))).collect();
    let right = |(d, brought): &&(&LaneDay, Vec<f64>)| match d.report.figures.drain_began_with {
        Some(k) => brought[k] >= 0.5 * enough(d, k) && (0..k).all(|j| brought[j] < 2.0 * enough(d, j)),
        None => brought.iter().enumerate().all(|(j, ml)| *ml < 2.0 * enough(d, j)),
    };
    let wrong: Vec<String> = judged.iter().filter(|j| !right(j)).map(|(d, ml)| format!("{} {ml:.2?}", d.said)).collect();
    let credited = |k: Option<usize>| judged.iter().filter(|(d, _)| d.report.figures.drain_began_with == k).count();
    println!("{} of {} days agree with leaving events out; {wrong:#?}", judged.len() - wrong.len(), judged.len());
    assert!(50 * wrong.len() <= judged.len());
    assert!(credited(None) > 20 && credited(Some(0)) > 20 && credited(Some(1)) > 5, "too few of one kind to tell anything");
}

/// What is said of drain, beside the ledger.
#[test]
fn words_of_drain_are_what_the_ledger_has() {
    let library = Library::shipped();
    let mut seen = [0; 7];
    for d in days(1..=240, &library) {
        let (f, water) = (&d.report.figures, d.run.day(0).unwrap().water);
        let mut when = |kind: usize, words: &str, so: bool| {
            if d.said.contains(words) {
                seen[kind] += 1;
                assert!(so, "{}: {f:?}", d.said);
            }
        };
        when(0, "Nothing drained", water.drained() <= 0.001 * water.applied);
        when(1, "All that drained ran straight through", water.channelled > 0.99 * water.drained() && water.channelled > 0.0);
        when(2, "runs straight through from the", water.channelled > 0.0 && water.outlet + water.overflow > 0.0);
        when(3, "Drain began with", water.outlet + water.overflow > 0.0);
        // Whether the track of drain stands above nothing before the first event is told.
        let first = d.scenario.valves[0].schedule.first().map_or(0.0, Event::start_s);
        let left = d.run.series.at(first).unwrap().ledger.since(&d.run.series.at(0.0).unwrap().ledger).water.drained();
        when(6, "left from before drained first", left >= 0.0099 * water.applied && left >= 0.99);
        let untold = left > 0.0101 * water.applied && left > 1.01 && d.said.contains("rain began with");
        assert!(!untold || d.said.contains("left from before drained first"), "{}: {left} {f:?}", d.said);
        let (only, count) = (d.said.contains("the only event ends"), d.scenario.valves[0].schedule.len());
        assert!(only == (count == 1 && d.said.contains(" event ends ")), "{count}: {}", d.said);
        when(4, "No water is given", d.scenario.valves[0].schedule.is_empty() && water.applied == 0.0);
        when(5, "came in by flood", d.scenario.valves[0].schedule.iter().all(|e| e.give.is_flood()));
    }
    assert!(seen.iter().all(|n| *n >= 5), "{seen:?}: too few of one kind to tell anything");
}

#[test]
fn words_of_salt_follow_the_days_own_balance() {
    let library = Library::shipped();
    let mut seen = [0; 8];
    let (mut helped, mut asked) = (0, 0);
    for d in days(301..=540, &library) {
        let (f, ledger) = (&d.report.figures, d.run.day(0).unwrap());
        let change = d.run.series.at(DAY_S).unwrap().root_zone_ec - d.run.series.at(0.0).unwrap().root_zone_ec;
        let (salt, water) = (&ledger.salt, &ledger.water);
        let (more_salt, more_water) =
            (salt.applied - salt.drained() - salt.taken_up, water.applied - water.drained() - water.taken_up - water.evaporated);
        let around = Day { events: &d.scenario.valves[0].schedule, short: 0, lit: Vec::new() };
        let said = salt_sentence(f, &d.scenario.lanes[0], &around, Units::default()).unwrap_or_default();
        let mut when = |kind: usize, words: &[&str], so: bool| {
            if words.iter().any(|w| said.contains(w)) {
                seen[kind] += 1;
                assert!(so, "{said}: {f:?}");
            }
        };
        when(0, &["EC rises"], change > 0.0);
        when(1, &["EC falls"], change < 0.0);
        when(2, &["more salt comes than", "bring more salt"], more_salt > 0.0);
        when(3, &["take away more salt", "takes up more salt", "none comes"], more_salt < 0.0);
        when(4, &["less water"], more_water < 0.0);
        when(5, &["more water"], more_water > 0.0);
        when(6, &["is stronger than what stands there"], more_salt > 0.0 && salt.applied / water.applied > f.root_zone_ec);
        // How much stronger it is where the roots are than in the mean.
        let [before, after] = [0, 1].map(|k| f.root_zone_ec_ends[k] * (f.water_held_ml[k] + f.held_by_medium_ml) / f.salt_held[k]);
        when(7, &["where the roots are"], if said.contains("gathers where") { after > before } else { after < before });
        if said.contains("for only") || said.contains("for nothing") {
            asked += 1;
            // With more water the EC rises less.
            let mut scenario = d.scenario.clone();
            scenario.lanes[0].dose *= 1.6;
            let run = d.otherwise(&scenario, &library);
            let (more, as_is) = (run.series.at(DAY_S).unwrap().root_zone_ec, d.run.series.at(DAY_S).unwrap().root_zone_ec);
            helped += usize::from(more < as_is);
            if more >= as_is {
                println!("{said} {as_is} -> {more}: {f:?}");
            }
        }
    }
    println!("{seen:?}; of {asked} days said to drain too little, {helped} stand weaker with more water");
    assert!(seen.iter().all(|n| *n >= 5), "{seen:?}: too few of one kind to tell anything");
    assert!(helped == asked && asked >= 5);
}

#[test]
fn what_runs_down_the_outside_is_less_where_events_take_longer() {
    let library = Library::shipped();
    let (mut told, mut less) = (0, 0);
    for d in days(1..=240, &library).iter().filter(|d| d.scenario.valves[0].schedule.iter().all(|e| !e.give.is_flood())) {
        // Poured out at once, and three times as much.
        let mut poured = d.scenario.clone();
        poured.lanes[0].dose *= 3.0;
        poured.valves[0].schedule.iter_mut().for_each(|e| e.seconds = 10);
        let hasty = d.otherwise(&poured, &library);
        let report = LaneReport::of(&poured, &poured.lanes[0], &hasty, 0).unwrap();
        let said = report.causes(&poured, &poured.lanes[0], &hasty, Units::default());
        if !said.iter().any(|s| s.contains("ran down the outside")) {
            continue;
        }
        poured.valves[0].schedule.iter_mut().for_each(|e| e.seconds = 80);
        let slower = d.otherwise(&poured, &library).day(0).unwrap().water;
        let was = hasty.day(0).unwrap().water.overflow;
        told += 1;
        less += usize::from(slower.overflow < 0.9 * was);
    }
    println!("{less} of {told} days lose less down the outside where events take longer");
    assert!(less == told && told >= 40);
}
