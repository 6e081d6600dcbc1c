//! How long the studies take. Run with `cargo bench --bench studies`, or with the names of some of them: `cargo bench --bench studies -- grace
//! flush`; `--rounds N` for other than three.
//!
//! Medians of rounds, each as a share of the time it may take on two cores, and in days of the first demo's first lane run one after the other on one
//! core, timed beside it in the same round: what else the machine does counts for both, so that numbers of one machine can be held against those of
//! another. Nothing is asserted: it is a measure, not a test.

use std::sync::Mutex;
use std::time::Instant;

use slakeline::engine::run::{Ready, Workshop};
use slakeline::scenario::presets::{self, Library};
use slakeline::scenario::{DAY_S, Lane, Scenario};
use slakeline::studies::finder::{self, Budget, Found, Waiting};
use slakeline::studies::flush::{PLAIN_WATER_EC, Rinse, flush};
use slakeline::studies::grace::grace;
use slakeline::studies::spread::{Ask, spread};
use slakeline::studies::{choose, finder::Asked};

/// Rounds where none are asked for.
const ROUNDS: usize = 3;
/// Days of one lane that a round is held against.
const DAYS: u32 = 60;
/// Media and volumes of the choice.
const MEDIA: usize = 7;
/// Root-zone EC that a flush is to come down to, mS/cm.
const FLUSHED_TO: f64 = 2.0;
/// The most memory that a spread may take above the bench, MB.
const SPREAD_MB: f64 = 150.0;

/// What a round of a study took: each part by name, s, and what it may take.
type Taken = Vec<(String, f64, f64)>;

/// A study, by the name that it is asked for.
struct Study {
    name: &'static str,
    round: fn(&Library) -> Taken,
}

const STUDIES: [Study; 8] = [
    Study { name: "finder-one", round: |library| finder_of("one lane", &lanes(1), 3.0, library) },
    Study { name: "finder-three", round: |library| finder_of("three lanes on one valve", &lanes(3), 8.0, library) },
    Study { name: "finder-tank", round: |library| finder_of("a lane on a tank with returned drain", &tank(), 8.0, library) },
    Study { name: "draft", round: draft },
    Study { name: "grace", round: graces },
    Study { name: "flush", round: flushes },
    Study { name: "spread", round: spreads },
    Study { name: "choice", round: choice },
];

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).filter(|a| a != "--bench").collect();
    let rounds = arguments.iter().position(|a| a == "--rounds").and_then(|i| arguments.get(i + 1)?.parse().ok()).unwrap_or(ROUNDS).max(1);
    let wanted: Vec<&Study> = STUDIES.iter().filter(|s| arguments.iter().any(|a| a == s.name)).collect();
    let wanted = if wanted.is_empty() { STUDIES.iter().collect() } else { wanted };
    let library = Library::shipped();
    println!("Medians of {rounds} rounds; in days of one lane on one core:");
    for study in wanted {
        let mut told: Vec<(String, f64, Vec<[f64; 2]>)> = Vec::new();
        for _ in 0..rounds {
            let day = one_day(&library);
            for (i, (part, seconds, allowed)) in (study.round)(&library).into_iter().enumerate() {
                if told.len() <= i {
                    told.push((part, allowed, Vec::new()));
                }
                told[i].2.push([seconds, seconds / day]);
            }
        }
        for (part, allowed, taken) in told {
            let [seconds, days] = [0, 1].map(|k| median(taken.iter().map(|t| t[k]).collect()));
            println!("  {part}: {seconds:.2} s = {:.2} of the {allowed} s it may take; {days:.0} days", seconds / allowed);
        }
    }
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}

fn timed<T>(what: impl FnOnce() -> T) -> (T, f64) {
    let begun = Instant::now();
    let done = what();
    (done, begun.elapsed().as_secs_f64())
}

/// A day of one lane on one core, s.
fn one_day(library: &Library) -> f64 {
    let ready: Vec<Ready> = Workshop::default().ready(&lanes(1), library).expect("the demo is valid").for_its_days();
    let ((), seconds) = timed(|| {
        let mut simulation = ready[0].simulation();
        simulation.advance_to(f64::from(DAYS) * DAY_S, |_| {}).expect("the days converge");
    });
    seconds / f64::from(DAYS)
}

/// The first demo with so many lanes on its valve: block on slab, a large pot, and the block on its slab with use and dose of its own.
fn lanes(count: usize) -> Scenario {
    let mut scenario = presets::demos().swap_remove(0).1;
    let third = Lane { name: "Third".to_owned(), dose: 0.9, plants: 20, ..scenario.lanes[0].clone() };
    scenario.lanes.push(third);
    scenario.lanes.truncate(count);
    scenario
}

/// The demo whose drain comes back into a tank.
fn tank() -> Scenario {
    let returns = |s: &Scenario| s.tank.is_some_and(|tank| tank.drain_returns);
    presets::demos().into_iter().map(|d| d.1).find(returns).expect("there is a demo with a tank")
}

/// A search, and how soon it has a first proposal.
fn finder_of(what: &str, scenario: &Scenario, allowed: f64, library: &Library) -> Taken {
    let begun = Instant::now();
    let seen = Mutex::new(None);
    let first = |_: Found| {
        seen.lock().expect("nobody panics").get_or_insert_with(|| begun.elapsed().as_secs_f64());
    };
    let asked = Asked::within_the_light(scenario);
    let found = finder::find(scenario, library, &asked, &Budget::WHOLE, Waiting { first: &first, ..Waiting::NOBODY });
    let whole = begun.elapsed().as_secs_f64();
    let found = found.expect("it can be searched").expect("nobody gives it up");
    let first = seen.lock().expect("nobody panics").unwrap_or(whole);
    let end = if found.meets_all() { "meets all".to_owned() } else { format!("misses, cost {:.4}", found.cost) };
    let what = format!("finder, {what} ({} settled runs, {end})", found.settled);
    vec![(format!("{what}: first proposal"), first, 0.5), (what, whole, allowed)]
}

fn draft(library: &Library) -> Taken {
    let scenario = lanes(1);
    let (drafted, seconds) = timed(|| finder::draft(&scenario, 0, library, &|| true));
    drafted.expect("it can be drafted").expect("nobody gives it up");
    vec![("draft, one lane".to_owned(), seconds, 3.0)]
}

/// 24 starts, three lanes and four faults: all that there are without a tank.
fn graces(library: &Library) -> Taken {
    let scenario = lanes(3);
    let (found, seconds) = timed(|| grace(&scenario, library, &|| true));
    let found = found.expect("it runs").expect("nobody gives it up");
    let runs: usize = found.iter().map(|lane| lane.grace.len()).sum();
    vec![(format!("grace, {} lanes, {runs} runs", found.len()), seconds, 0.5)]
}

fn flushes(library: &Library) -> Taken {
    let scenario = lanes(2);
    let (done, seconds) = timed(|| flush(&scenario, library, Rinse { to: FLUSHED_TO, with: PLAIN_WATER_EC }, &|| true));
    let done = done.expect("it runs");
    vec![(format!("flush, {} lanes", done.len()), seconds, 0.3)]
}

/// A thousand members of the first demo for three days.
fn spreads(library: &Library) -> Taken {
    let scenario = Scenario { days: 3, ..lanes(1) };
    let before = resident(true);
    let (found, seconds) = timed(|| spread(&scenario, library, &Ask::default(), &|| true, &|_, _| ()));
    let found = found.expect("it runs");
    let taken = resident(false).zip(before).map(|(most, before)| most - before);
    let memory = taken.map_or_else(String::new, |mb| format!(", {mb:.0} of {SPREAD_MB} MB above the bench"));
    vec![(format!("spread, {} members, {} failed{memory}", found.ran, found.failed), seconds, 2.0)]
}

/// Memory, MB: what is held now, with the mark of the most set back to it, or the most held since; `None` where the system does not tell.
fn resident(now: bool) -> Option<f64> {
    let line = if now { "VmRSS:" } else { "VmHWM:" };
    if now {
        std::fs::write("/proc/self/clear_refs", "5").ok()?;
    }
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|l| l.starts_with(line))?;
    Some(line.split_whitespace().nth(1)?.parse::<f64>().ok()? / 1024.0)
}

/// Seven media in eight volumes, and how soon there is a first.
fn choice(library: &Library) -> Taken {
    let scenario = lanes(1);
    let media: Vec<String> = library.media.iter().take(MEDIA).map(|m| m.name.clone()).collect();
    let asked = choose::Asked { media, ..choose::Asked::of(&scenario, 0) };
    let begun = Instant::now();
    let seen = Mutex::new(None);
    let done = |_: &choose::Point| {
        seen.lock().expect("nobody panics").get_or_insert_with(|| begun.elapsed().as_secs_f64());
    };
    let (points, whole) = timed(|| choose::choose(&scenario, library, &asked, &|| true, &done));
    let points = points.expect("it can be asked");
    let first = seen.lock().expect("nobody panics").unwrap_or(whole);
    let met = points.iter().filter(|p| p.met).count();
    let what = format!("choice, {} root zones, {met} meet all", points.len());
    vec![(format!("{what}: first point"), first, 0.5), (what, whole, 20.0)]
}
