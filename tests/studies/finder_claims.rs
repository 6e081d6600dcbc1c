//! What the finder tells is so, over random benches and equipment with coincidences drawn: sentences, figures, files, and what is out of reach.
//!
//! `SLAKELINE_FINDER_BENCHES=1000` draws as many; `SLAKELINE_FINDER_FIRST=7` begins with that one.

use fastrand::Rng;
use rayon::prelude::*;
use slakeline::engine::run::{Settled, Workshop};
use slakeline::figures::{Measured, misses_against};
use slakeline::scenario::presets::Library;
use slakeline::scenario::{Clock, Event, Give, OnDays, Scenario, Targets, file};
use slakeline::studies::StudyError;
use slakeline::studies::finder::{Asked, Budget, Figure, Found, Hardware, Lean, Waiting, find, words};
use slakeline::units::Units;

use crate::benches;

pub(crate) fn pick<T: Copy>(rng: &mut Rng, from: &[T]) -> T {
    from[rng.usize(..from.len())]
}

/// Aims as people set them, contradictory ones and such as cannot be among them.
pub(crate) fn aims(rng: &mut Rng) -> Targets {
    let maybe = |rng: &mut Rng, bands: &[(f64, f64)]| (rng.u8(..4) > 0).then(|| pick(rng, bands));
    Targets {
        water_content: maybe(rng, &[(0.5, 0.7), (0.0, 1.0), (0.2, 0.3), (0.95, 1.0)]).filter(|_| rng.bool()),
        dry_back_points: maybe(rng, &[(3.0, 7.0), (5.0, 9.0), (0.0, 2.0), (14.0, 20.0), (40.0, 60.0)]),
        drain_percent: maybe(rng, &[(10.0, 25.0), (20.0, 35.0), (0.0, 0.5), (70.0, 90.0)]),
        root_zone_ec: maybe(rng, &[(1.6, 2.8), (2.2, 3.2), (2.6, 3.4), (0.1, 0.2), (8.0, 9.0)]),
        lowest_air: (rng.u8(..3) > 0).then(|| pick(rng, &[0.0, 0.1, 0.15, 0.3, 0.9])),
    }
}

/// What is asked: usual equipment and equipment that can hardly do it.
fn asked(rng: &mut Rng, bench: &Scenario) -> Asked {
    let usual = Asked::within_the_light(bench);
    let plants: f64 = bench.lanes.iter().map(|l| f64::from(l.plants) * l.dose).sum();
    let hardware = Hardware {
        timer_step_s: pick(rng, &[1, 60, 300, 900, 3600]),
        shortest_s: pick(rng, &[1, 30, 120, 1800]),
        emitter_l_per_h: pick(rng, &[None, None, Some(1.0), Some(2.0), Some(4.0), Some(0.05)]),
        most_events: pick(rng, &[1, 2, 5, 12, 48, 1000]),
        pump_l_per_h: pick(rng, &[None, None, Some(plants), Some(0.3 * plants), Some(0.01 * plants)]),
    };
    let (first, last) = pick(
        rng,
        &[(usual.first, usual.last), (usual.first, usual.last), (Clock::hm(9, 7), Clock::hm(15, 1)), (Clock::hm(0, 0), Clock::hm(23, 59))],
    );
    let lean = pick(rng, &[Lean::Vegetative, Lean::Balanced, Lean::Generative]);
    Asked { hardware, first, last, lean, feed_too: rng.u8(..4) == 0, rinse_ec: pick(rng, &[None, Some(0.0), Some(0.3)]), ..usual }
}

/// A bench of a seed with aims; now and then two lanes on its valve.
fn bench(seed: u64, library: &Library) -> (Scenario, Asked) {
    let mut rng = Rng::with_seed(seed);
    let mut bench = benches::bench(seed, library);
    if rng.u8(..4) == 0 {
        let mut second = benches::bench(seed + 5000, library).lanes.remove(0);
        second.dose = pick(&mut rng, &[1.0, 1.3, 0.01]);
        bench.lanes.push(second);
    }
    for lane in &mut bench.lanes {
        lane.targets = if rng.u8(..6) == 0 { Targets::default() } else { aims(&mut rng) };
        lane.plants = pick(&mut rng, &[1, 24]);
    }
    if rng.u8(..12) == 0 {
        bench.feed.ec = 0.0;
    }
    let asked = asked(&mut rng, &bench);
    (bench, asked)
}

/// Each lane's figures on its settled day, with whether each aim is met, and whether all are.
fn run(bench: &Scenario, library: &Library) -> Option<Vec<(Settled, Measured)>> {
    let days = Workshop::default().ready(bench, library).unwrap().settled_days(&|| true)?;
    days.iter()
        .zip(&bench.lanes)
        .map(|((when, run), lane)| run.failure().is_none().then(|| Measured::of(bench, lane, run, 0)).flatten().map(|m| (*when, m)))
        .collect()
}

fn meets_all(days: &[(Settled, Measured)]) -> bool {
    days.iter().all(|(when, m)| {
        let misses = misses_against(&m.figures, &m.aims);
        let met = |f: Figure| f.aim(&m.aims).band().is_none() || f.miss(&misses) == Some(0.0);
        matches!(when, Settled::OnDay(_)) && Figure::ALL.into_iter().all(met)
    })
}

/// What one plant gets at a dose of 1, mL/s, by emitters and pump.
fn flow(asked: &Asked, bench: &Scenario) -> f64 {
    let plants: f64 = bench.lanes.iter().map(|l| f64::from(l.plants) * l.dose).sum();
    let h = &asked.hardware;
    [h.emitter_l_per_h, h.pump_l_per_h.map(|l| l / plants)].into_iter().flatten().fold(f64::INFINITY, f64::min) / 3.6
}

/// What of the schedule the equipment asked about cannot do, if anything.
pub(crate) fn beyond(asked: &Asked, bench: &Scenario, events: &[Event]) -> Option<String> {
    let h = &asked.hardware;
    let flow = flow(asked, bench);
    if events.is_empty() || events.len() > h.most_events {
        return Some(format!("{} events", events.len()));
    }
    let bad = |e: &&Event| {
        let rate = |ml: f64| ml / f64::from(e.seconds);
        // Known emitters give what they give for as long as they are open, neither more nor less.
        let less = |ml: f64| h.emitter_l_per_h.is_some() && rate(ml) < flow * (1.0 - 1e-9);
        let flows = e.ml().is_some_and(|ml| rate(ml) > flow * (1.0 + 1e-9) || less(ml));
        e.start < asked.first || e.start > asked.last || e.seconds < h.shortest_s || e.start_s() % f64::from(h.timer_step_s) != 0.0 || flows
    };
    let apart = events.windows(2).all(|w| w[0].end_s() < w[1].start_s() + 1e-9);
    events.iter().find(bad).map(|e| format!("{e:?}")).or_else(|| (!apart).then(|| "events run into each other".to_owned()))
}

/// Schedules that the same equipment can give, spread evenly over the hours and not made by the finder's own hand.
fn grid(asked: &Asked, bench: &Scenario, found: &Found) -> Vec<Vec<Event>> {
    let h = &asked.hardware;
    let floods = found.events.iter().any(|e| e.give.is_flood());
    let given: f64 = found.events.iter().filter_map(Event::ml).sum();
    let step = f64::from(h.timer_step_s);
    let (low, high) = ((asked.first.seconds() / step).ceil() * step, (asked.last.seconds() / step).floor() * step);
    let mut out = Vec::new();
    for count in [1, 3, 8, 20_u32] {
        for by in [0.7, 1.0, 1.3, 2.0] {
            let length = high - low;
            let start = |k: u32| ((low + length * (f64::from(k) + 0.5) / f64::from(count)) / step).floor() * step;
            let event = |k: u32| {
                let ml = (given * by / f64::from(count)).max(0.1);
                let (give, seconds) = match (floods, h.emitter_l_per_h) {
                    (true, _) => (Give::Flood { depth_cm: 2.0 * by }, h.shortest_s.max(300)),
                    (false, None) => (Give::Drip { ml }, h.shortest_s.max(300)),
                    // What an emitter gives hangs on how long it is open: the time follows from the volume, and the volume from whole seconds.
                    (false, Some(_)) => {
                        let flow = flow(asked, bench);
                        let seconds = (ml / flow).round().clamp(f64::from(h.shortest_s), 43_200.0);
                        (Give::Drip { ml: flow * seconds }, seconds as u32)
                    }
                };
                Event { start: Clock::from_hours(start(k) / 3600.0), seconds, give, ec: None, days: OnDays::ALL }
            };
            let events: Vec<Event> = (0..count).map(event).collect();
            let deep = events
                .iter()
                .any(|e| matches!(e.give, Give::Flood { depth_cm } if bench.lanes.iter().any(|l| l.container.height_cm() < depth_cm)));
            if !deep && beyond(asked, bench, &events).is_none() {
                out.push(events);
            }
        }
    }
    out
}

/// What is told of a bench and is not so, if anything; and what became of it.
fn wrong(seed: u64, library: &Library) -> (&'static str, Option<String>) {
    let (bench, asked) = bench(seed, library);
    let found = match find(&bench, library, &asked, &Budget::COARSE, Waiting::NOBODY) {
        Ok(Some(found)) => found,
        Err(StudyError::TooLittle { gives_l, uses_l, .. }) => {
            return ("too little", (gives_l >= uses_l).then(|| format!("{gives_l} of {uses_l}")));
        }
        Err(StudyError::AllStopped) => return ("stopped", None),
        other => return ("none", Some(format!("{other:?}"))),
    };
    let said = words(&found, Units::default());
    // Written, read and simulated.
    let text = file::to_text(&found.scenario).unwrap();
    let read = file::parse(&text).unwrap();
    if !read.validate(library).is_empty() {
        return ("found", Some(format!("{:?}", read.validate(library))));
    }
    if let Some(what) = beyond(&asked, &bench, &read.valves[0].schedule) {
        return ("found", Some(format!("the equipment cannot do it: {what}")));
    }
    let mut judged = read.clone();
    // The finder judges by the leaned aims, which the lanes do not keep.
    for lane in judged.lanes.iter_mut().filter(|l| !found.starting_aims.contains(&l.name)) {
        lane.targets = asked.lean.of(&lane.targets);
    }
    judged.pump = None;
    let Some(days) = run(&judged, library) else { return ("found", Some("it stops".to_owned())) };
    for (lane, (when, m)) in judged.lanes.iter().zip(&days) {
        let misses = misses_against(&m.figures, &m.aims);
        for figure in Figure::ALL {
            let told = found.aims.iter().find(|a| a.lane == lane.name && a.figure == figure);
            let aim = figure.aim(&m.aims).band();
            if told.map(|a| a.aim) != aim {
                return ("found", Some(format!("{figure:?}: told {told:?}, held against {aim:?}")));
            }
            let Some(told) = told else { continue };
            if told.value != figure.value(&m.figures) || told.met != (figure.miss(&misses) == Some(0.0)) {
                return ("found", Some(format!("{told:?} beside {:?}", figure.value(&m.figures))));
            }
            let named = said.iter().any(|s| s.starts_with(&format!("{}: {}", lane.name, figure.name())));
            if named == told.met {
                return ("found", Some(format!("{told:?} is told: {named}")));
            }
        }
        let settled = found.lanes.iter().find(|l| l.lane == lane.name).unwrap();
        if settled.when != *when {
            return ("found", Some(format!("{:?} beside {when:?}", settled.when)));
        }
    }
    if found.meets_all() != meets_all(&days) || said[0].starts_with("Every aim is met") != found.aims.iter().all(|a| a.met) {
        return ("found", Some(format!("{}: {said:?}", found.meets_all())));
    }
    if found.meets_all() {
        return ("met", None);
    }
    // What is told to be out of reach is out of reach of other schedules of the same equipment, too.
    let better = grid(&asked, &bench, &found).into_iter().find(|events| {
        let mut with = judged.clone();
        with.valves[0].schedule.clone_from(events);
        run(&with, library).is_some_and(|days| meets_all(&days))
    });
    ("missed", better.map(|events| format!("not every aim is met, but these meet them: {events:?}; {said:?}; found {:?}", found.events)))
}

#[test]
fn what_the_finder_tells_of_random_benches_is_so() {
    let library = Library::shipped();
    let number = |name: &str| std::env::var(name).ok().and_then(|n| n.parse::<u64>().ok());
    let (count, first) = (number("SLAKELINE_FINDER_BENCHES").unwrap_or(60), number("SLAKELINE_FINDER_FIRST").unwrap_or(0));
    let done: Vec<(u64, &str, Option<String>)> = (first..first + count)
        .into_par_iter()
        .map(|seed| {
            let (state, wrong) = wrong(seed, &library);
            (seed, state, wrong)
        })
        .collect();
    let states = ["met", "missed", "too little", "stopped", "found", "none"].map(|s| (s, done.iter().filter(|d| d.1 == s).count()));
    println!("{count} benches: {states:?}");
    let wrong: Vec<String> = done.iter().filter_map(|d| Some(format!("bench {}: {}", d.0, d.2.as_ref()?))).collect();
    assert!(wrong.is_empty(), "{} of {count}: {wrong:#?}", wrong.len());
    assert!(states[0].1 * 20 > done.len() && states[1].1 * 5 > done.len() && states[2].1 > 0, "every case comes up: {states:?}");
}
