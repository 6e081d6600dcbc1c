//! What the finder tells of flood tables is so, over random tables with coincidences drawn: figures of every day of the round, sentences, files, and
//! what is out of reach. `SLAKELINE_FLOOD_TABLES=1000` draws as many.

use fastrand::Rng;
use rayon::prelude::*;
use slakeline::engine::run::{LOOK_AHEAD_DAYS, LaneRun, Settled, Workshop};
use slakeline::figures::{Measured, misses_against};
use slakeline::scenario::presets::Library;
use slakeline::scenario::{Clock, Demand, Event, Give, OnDays, Scenario, Targets, file};
use slakeline::studies::finder::{Asked, Budget, Figure, Found, Hardware, Lean, Waiting, find, words};
use slakeline::units::Units;

use crate::benches;
use crate::finder_claims::{aims, beyond, pick};

/// A bench of a seed whose container stands on flood tables: low and small.
fn low(seed: u64, library: &Library) -> Scenario {
    let fits = |bench: &Scenario| {
        let container = &bench.lanes[0].container;
        container.height_cm() <= 17.0 && container.volume_per_plant_ml() <= 4000.0
    };
    (0..).map(|k| benches::bench(seed + 1000 * k, library)).find(fits).unwrap()
}

/// A table of a seed with aims, and what is asked of it; now and then two lanes.
fn table(seed: u64, library: &Library) -> (Scenario, Asked) {
    let mut rng = Rng::with_seed(seed);
    let mut bench = low(seed, library);
    let minutes = pick(&mut rng, &[2, 10, 45]);
    let depth_cm = pick(&mut rng, &[0.5, 2.0, 4.0]);
    let flood =
        |hour: u32| Event { start: Clock::hm(hour, 0), seconds: 60 * minutes, give: Give::Flood { depth_cm }, ec: None, days: OnDays::ALL };
    let count = pick(&mut rng, &[1_u32, 2, 4]);
    bench.valves[0].schedule = (0..count).map(|k| flood(8 + 2 * k)).collect();
    bench.valves[0].rules.clear();
    if rng.u8(..8) == 0 {
        let mut second = low(seed + 777, library).lanes.remove(0);
        second.dose = pick(&mut rng, &[1.0, 1.3]);
        bench.lanes.push(second);
    }
    for lane in &mut bench.lanes {
        // A plant that such a container can serve.
        let litres_per_day = pick(&mut rng, &[0.08, 0.2, 0.4]) * 1e-3 * lane.container.volume_per_plant_ml();
        lane.demand = Demand::Measured { litres_per_day, steady_share: 0.08 };
        lane.targets = if rng.u8(..4) == 0 { aims(&mut rng) } else { within_reach(&mut rng) };
    }
    bench.feed.ec = pick(&mut rng, &[0.0, 1.0, 1.4, 1.8, 2.4]);
    let usual = Asked::within_the_light(&bench);
    let hardware = Hardware {
        timer_step_s: pick(&mut rng, &[60, 300, 900]),
        shortest_s: pick(&mut rng, &[1, 120, 1800]),
        emitter_l_per_h: pick(&mut rng, &[None, None, Some(2.0)]),
        most_events: pick(&mut rng, &[1, 2, 5, 12]),
        ..Hardware::default()
    };
    let asked = Asked {
        hardware,
        feed_too: rng.u8(..4) == 0,
        rinse_ec: pick(&mut rng, &[None, Some(0.0), Some(0.4), Some(0.4), Some(bench.feed.ec)]),
        rinse_every: pick(&mut rng, &[None, None, Some(1), Some(2), Some(7)]),
        lean: Lean::Balanced,
        ..usual
    };
    (bench, asked)
}

/// Aims that a flood table may well meet.
fn within_reach(rng: &mut Rng) -> Targets {
    Targets {
        root_zone_ec: Some(pick(rng, &[(0.6, 2.8), (1.6, 3.4), (1.2, 4.5)])),
        lowest_air: (rng.u8(..3) > 0).then(|| pick(rng, &[0.05, 0.1, 0.15])),
        ..Targets::default()
    }
}

/// Days run by which what settles has nearly always been found: so long a schedule of the grid is given to meet the aims.
const SOON: u32 = 60;

/// Each lane's days of the round that repeats itself; `None` where one stopped.
fn round(bench: &Scenario, library: &Library, days: u32) -> Option<Vec<(Settled, Vec<Measured>)>> {
    let ready = Workshop::default().ready(bench, library).unwrap();
    let of_day = |lane: usize, run: &LaneRun, day: usize| Measured::of(bench, &bench.lanes[lane], run, day);
    let lanes = ready.settled_rounds(of_day, days, &|| true)?;
    lanes.into_iter().map(|(when, days)| Some((when, days.into_iter().collect::<Option<Vec<Measured>>>()?))).collect()
}

fn met(figure: Figure, day: &Measured) -> bool {
    figure.aim(&day.aims).band().is_none() || figure.miss(&misses_against(&day.figures, &day.aims)) == Some(0.0)
}

fn meets_all(lanes: &[(Settled, Vec<Measured>)]) -> bool {
    let lane = |(when, days): &(Settled, Vec<Measured>)| {
        matches!(when, Settled::OnDay(_)) && days.iter().all(|day| Figure::ALL.into_iter().all(|f| met(f, day)))
    };
    lanes.iter().all(lane)
}

/// Floods and rinses that the same table can give, not made by the finder's own hand.
fn grid(asked: &Asked, bench: &Scenario) -> Vec<Vec<Event>> {
    let lowest = bench.lanes.iter().map(|l| l.container.height_cm()).fold(f64::INFINITY, f64::min);
    let litres = bench.lanes[0].container.volume_per_plant_ml();
    let step = asked.hardware.timer_step_s;
    let at = |hours: f64| {
        let s = asked.first.seconds() + 3600.0 * hours;
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        Clock::from_seconds((s as u32).div_ceil(step) * step)
    };
    let mut out = Vec::new();
    for count in [1_u32, 3] {
        for depth_cm in [1.0, 3.0] {
            for (share, every) in [(0.0, 1), (0.04, 1), (0.15, 1), (0.3, 3)] {
                let flood = |k: u32| Event {
                    start: at(2.0 + 2.5 * f64::from(k)),
                    seconds: asked.hardware.shortest_s.max(600),
                    give: Give::Flood { depth_cm },
                    ec: None,
                    days: OnDays::ALL,
                };
                let mut events: Vec<Event> = (0..count).map(flood).collect();
                let every = asked.rinse_every.unwrap_or(every);
                if let (true, Some(ec)) = (share > 0.0, asked.rinse_ec) {
                    let wanted = share * litres;
                    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
                    let opens = |l: f64| ((3.6 * wanted / l).ceil() as u32).max(asked.hardware.shortest_s);
                    // What an emitter gives hangs on how long it is open.
                    let (seconds, ml) = match asked.hardware.emitter_l_per_h {
                        Some(l) => (opens(l), l * f64::from(opens(l)) / 3.6),
                        None => (asked.hardware.shortest_s.max(300), wanted),
                    };
                    let rinse = Event { start: at(0.0), seconds, give: Give::Drip { ml }, ec: Some(ec), days: OnDays { every, from: 1 } };
                    events.insert(0, rinse);
                }
                if depth_cm < lowest && beyond(asked, bench, &events).is_none() {
                    out.push(events);
                }
            }
        }
    }
    out
}

/// What is told of a table and is not so, if anything; and what became of it.
fn wrong(seed: u64, library: &Library) -> (&'static str, Option<String>) {
    let (bench, asked) = table(seed, library);
    let found = match find(&bench, library, &asked, &Budget::WHOLE, Waiting::NOBODY) {
        Ok(Some(found)) => found,
        other => return ("none", Some(format!("{other:?}"))),
    };
    let said = words(&found, Units::default());
    let read = file::parse(&file::to_text(&found.scenario).unwrap()).unwrap();
    if !read.validate(library).is_empty() {
        return ("found", Some(format!("{:?}", read.validate(library))));
    }
    let events = &read.valves[0].schedule;
    if let Some(what) = beyond(&asked, &bench, events) {
        return ("found", Some(format!("the table cannot do it: {what}")));
    }
    if let Some(what) = not_asked(&asked, events) {
        return ("found", Some(format!("not asked for: {what}")));
    }
    let Some(lanes) = round(&read, library, LOOK_AHEAD_DAYS) else { return ("found", Some("it stops".to_owned())) };
    for (lane, (when, days)) in read.lanes.iter().zip(&lanes) {
        for figure in Figure::ALL {
            let told = found.aims.iter().find(|a| a.lane == lane.name && a.figure == figure);
            // A target may not fit on one day and fit on another.
            let bands: Vec<Option<(f64, f64)>> = days.iter().map(|day| figure.aim(&day.aims).band()).collect();
            let Some(told) = told else {
                if bands.iter().any(Option::is_some) {
                    return ("found", Some(format!("{figure:?} is not told; held against {bands:?}")));
                }
                continue;
            };
            // The value told is that of a day with that aim, and no day is further from its own.
            let off = |v: Option<f64>, (low, high): (f64, f64)| v.map_or(f64::INFINITY, |v| (low - v).max(v - high).max(0.0));
            let values: Vec<Option<f64>> = days.iter().map(|day| figure.value(&day.figures)).collect();
            let furthest = values.iter().zip(&bands).filter_map(|(v, band)| Some(off(*v, (*band)?))).fold(0.0, f64::max);
            let is_a_day = values.iter().zip(&bands).any(|(v, band)| *v == told.value && *band == Some(told.aim));
            if !is_a_day || off(told.value, told.aim) < furthest || told.met != days.iter().all(|day| met(figure, day)) {
                return ("found", Some(format!("{told:?} beside {values:?} in {bands:?}")));
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
    if let Some(what) = of_rinse(&found, events, &said) {
        return ("found", Some(what));
    }
    if found.meets_all() != meets_all(&lanes) || said[0].starts_with("Every aim is met") != found.aims.iter().all(|a| a.met) {
        return ("found", Some(format!("{}: {said:?}", found.meets_all())));
    }
    let by_rounds = events.iter().any(|e| !e.days.are_all());
    if found.meets_all() {
        return (if by_rounds { "met by rounds" } else { "met" }, None);
    }
    let better = grid(&asked, &bench).into_iter().find(|events| {
        let mut with = read.clone();
        with.valves[0].schedule.clone_from(events);
        if !asked.feed_too {
            with.feed = bench.feed;
        }
        round(&with, library, SOON).is_some_and(|lanes| meets_all(&lanes))
    });
    let state = if by_rounds { "missed by rounds" } else { "missed" };
    (state, better.map(|events| format!("not every aim is met, but these meet them: {events:?}; {said:?}; found {:?}", found.events)))
}

/// What of the rinse was not asked for.
fn not_asked(asked: &Asked, events: &[Event]) -> Option<String> {
    let bad = |e: &&Event| {
        if e.give.is_flood() {
            return !e.days.are_all();
        }
        asked.rinse_ec.is_none() || e.ec != asked.rinse_ec || asked.rinse_every.is_some_and(|every| every != e.days.every)
    };
    events.iter().find(bad).map(|e| format!("{e:?}")).or_else(|| {
        let rinses = events.iter().filter(|e| !e.give.is_flood()).count();
        (rinses > 1 || rinses == events.len()).then(|| format!("{rinses} rinses of {}", events.len()))
    })
}

/// What is said of a rinse that is not so.
fn of_rinse(found: &Found, events: &[Event], said: &[String]) -> Option<String> {
    let rinse = events.iter().find(|e| !e.give.is_flood());
    let told = said.iter().find(|s| s.starts_with("A rinse from above at"));
    let right = match (rinse, told) {
        (None, None) => true,
        (Some(rinse), Some(told)) => told.contains(&rinse.start.to_string()) && told.contains(&format!("floods {}:", rinse.days)),
        _ => false,
    };
    // No schedule without a rinse that was looked at has less salt than is told.
    let least = found.points.iter().filter(|p| p.events.iter().all(|e| e.give.is_flood())).map(|p| p.lanes[0].root_zone_ec);
    let least = least.fold(f64::INFINITY, f64::min);
    let said_least = said.iter().find(|s| s.starts_with(&found.lanes[0].lane) && s.contains("without a rinse from above none"));
    let least_right = said_least.is_none_or(|s| s.contains(&format!("came below {least:.2}")));
    (!right || !least_right).then(|| format!("{rinse:?} is told as {told:?}, least {least} as {said_least:?}"))
}

#[test]
fn what_the_finder_tells_of_random_flood_tables_is_so() {
    let library = Library::shipped();
    let count = std::env::var("SLAKELINE_FLOOD_TABLES").ok().and_then(|n| n.parse().ok()).unwrap_or(20_u64);
    let done: Vec<(u64, &str, Option<String>)> = (0..count)
        .into_par_iter()
        .map(|seed| {
            let (state, wrong) = wrong(seed, &library);
            (seed, state, wrong)
        })
        .collect();
    let states =
        ["met", "missed", "met by rounds", "missed by rounds", "found", "none"].map(|s| (s, done.iter().filter(|d| d.1 == s).count()));
    println!("{count} tables: {states:?}");
    let wrong: Vec<String> = done.iter().filter_map(|d| Some(format!("table {}: {}", d.0, d.2.as_ref()?))).collect();
    assert!(wrong.is_empty(), "{} of {count}: {wrong:#?}", wrong.len());
    assert!(states[0].1 > 0 && states[1].1 > 0 && states[2].1 + states[3].1 > 0, "every case comes up: {states:?}");
}
