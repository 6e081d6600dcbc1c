//! The answer: setup, schedules and figures of up to four benches.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

use rayon::prelude::*;
use serde::Serialize;

use super::differences::Difference;
use super::last_day::last_day;
use super::places::places;
use super::schedules::{PlanComparison, plans};
use super::setup::setup;
use crate::engine::column::BuildError;
use crate::engine::run::Workshop;
use crate::engine::run::feedback::Until;
use crate::figures::{Measured, verdicts};
use crate::scenario::presets::Library;
use crate::scenario::{Problem, Scenario};
use crate::studies::told::{self, FIGURES, Told};

/// How many benches can be held side by side.
pub const FILES: (usize, usize) = (2, 4);

/// Benches side by side.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Comparison {
    /// What each is called.
    pub files: Vec<String>,
    /// Days of each; figures are of its last.
    pub days: Vec<u32>,
    /// Whether each was run: of one that was given up before its end there are no figures.
    pub ran: Vec<bool>,
    /// What differs in the setup.
    pub setup: Vec<Difference>,
    /// What differs in the schedules.
    pub schedule: Vec<PlanComparison>,
    /// Units of the figures.
    pub units: BTreeMap<&'static str, &'static str>,
    /// The lanes.
    pub lanes: Vec<LaneComparison>,
}

/// A lane in each bench.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LaneComparison {
    /// Its name in each; `None` where a bench has no such lane.
    pub names: Vec<Option<String>>,
    /// Figures of the last day in each; `None` where there is none.
    pub figures: BTreeMap<&'static str, Vec<Option<f64>>>,
    /// What its aims make of them, in words; empty without an aim.
    pub words: BTreeMap<&'static str, Vec<Option<&'static str>>>,
    /// Why its run cannot be relied on, where that is so.
    pub failed: Vec<Option<String>>,
}

/// Why benches cannot be held side by side.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Unlike {
    /// Too few or too many.
    #[error("{0}")]
    Count(Problem),
    /// One of them cannot be built.
    #[error("{file}: {cause}")]
    Build {
        /// Which.
        file: String,
        /// Why.
        cause: BuildError,
    },
}

/// What a lane's last day came to.
struct Day {
    figures: Option<[f64; told::COUNT]>,
    words: BTreeMap<&'static str, &'static str>,
    failed: Option<String>,
}

/// Who waits for a comparison.
pub struct Waiting<'a> {
    /// Asked before each day of each run whether to go on.
    pub go_on: &'a (dyn Fn() -> bool + Sync),
    /// Told the share (0–1) that is done.
    pub progress: &'a (dyn Fn(f64) + Sync),
    /// Told what there is: what differs before anything is run, then after each bench.
    pub so_far: &'a (dyn Fn(Comparison) + Sync),
}

/// Days of each lane of a bench; `None` where it was not run to its end.
type Days = Vec<Option<Vec<Day>>>;

/// Holds benches side by side, each with what it is called; each is run for its own days, several at a time. What was given up on the way has no
/// figures.
///
/// # Errors
/// [`Unlike`] when there are fewer or more than [`FILES`], or when one cannot be built.
pub fn compare(benches: &[(String, Arc<Scenario>)], library: &Library, waiting: &Waiting<'_>) -> Result<Comparison, Unlike> {
    let (low, high) = FILES;
    if !(low..=high).contains(&benches.len()) {
        return Err(Unlike::Count(Problem {
            field: "FILE".to_owned(),
            value: format!("given {} times", benches.len()),
            allowed: format!("{low} to {high} times"),
            why: "a comparison needs two benches, and more than four cannot be read side by side".to_owned(),
        }));
    }
    let scenarios: Vec<&Scenario> = benches.iter().map(|(_, s)| &**s).collect();
    let rows = places(&scenarios);
    let blank = Comparison {
        files: benches.iter().map(|(file, _)| file.clone()).collect(),
        days: scenarios.iter().map(|s| s.days).collect(),
        ran: vec![false; benches.len()],
        setup: setup(&scenarios, &rows, library),
        schedule: plans(&scenarios),
        units: FIGURES.iter().map(|f| (f.key, f.unit)).collect(),
        lanes: Vec::new(),
    };
    let told = |days: &Days| blank.with(&scenarios, &rows, days);
    let found: Mutex<Days> = Mutex::new(benches.iter().map(|_| None).collect());
    let so_far = || found.lock().unwrap_or_else(PoisonError::into_inner);
    (waiting.so_far)(told(&so_far()));
    let (all, done) = (scenarios.iter().map(|s| s.lanes.len() * s.days as usize).sum::<usize>(), AtomicUsize::new(0));
    let next_day = || {
        #[allow(clippy::cast_precision_loss)]
        (waiting.progress)(done.fetch_add(1, Ordering::Relaxed) as f64 / all.max(1) as f64);
        (waiting.go_on)()
    };
    benches.par_iter().enumerate().try_for_each(|(i, (file, scenario))| -> Result<(), Unlike> {
        let build = |cause| Unlike::Build { file: file.clone(), cause };
        let Some(last) = last_days(scenario, library, (waiting.go_on, &next_day)).map_err(build)? else { return Ok(()) };
        let mut found = so_far();
        found[i] = Some(last);
        (waiting.so_far)(told(&found));
        Ok(())
    })?;
    let found = so_far();
    Ok(told(&found))
}

impl Comparison {
    /// The same with the figures that were found; `rows` are the places of each lane in the benches.
    fn with(&self, scenarios: &[&Scenario], rows: &[Vec<Option<usize>>], days: &Days) -> Self {
        let row = |places: &Vec<Option<usize>>| {
            let day = |(bench, place): (usize, &Option<usize>)| days[bench].as_ref()?.get((*place)?);
            let name = |(bench, place): (usize, &Option<usize>)| Some(scenarios[bench].lanes[(*place)?].name.clone());
            let of: Vec<Option<&Day>> = places.iter().enumerate().map(day).collect();
            lane(places.iter().enumerate().map(name).collect(), &of)
        };
        Self { ran: days.iter().map(Option::is_some).collect(), lanes: rows.iter().map(row).collect(), ..self.clone() }
    }
}

type GoOn<'a> = &'a (dyn Fn() -> bool + Sync);

/// The last day of each lane. `go_on` is asked while it is found out when the pump gives, `next_day` before each day of a lane's run.
fn last_days(scenario: &Scenario, library: &Library, (go_on, next_day): (GoOn<'_>, GoOn<'_>)) -> Result<Option<Vec<Day>>, BuildError> {
    let until = Until { days: scenario.days, settled: false };
    let Some(lanes) = Workshop::default().ready(scenario, library)?.timed(until, go_on) else { return Ok(None) };
    let mut days = Vec::with_capacity(lanes.len());
    for (ready, lane) in lanes.iter().zip(&scenario.lanes) {
        let Some(run) = last_day(ready, scenario.days, next_day) else { return Ok(None) };
        let measured = Measured::of(scenario, lane, &run, scenario.days as usize - 1);
        let words = measured.as_ref().map(|m| {
            let v = verdicts(&m.figures, &m.aims);
            let words = [v.peak, v.dry_back, v.drain, v.root_zone_ec, v.lowest_air, v.uptake_met].map(|v| v.word);
            told::AIM_KEYS.into_iter().zip(words).filter(|(_, word)| !word.is_empty()).collect()
        });
        days.push(Day {
            figures: measured.as_ref().map(|m| told::values(&Told { figures: &m.figures, hours_outside_band: m.hours_outside_band })),
            words: words.unwrap_or_default(),
            failed: run.failure().map(|why| why.to_string()),
        });
    }
    Ok(Some(days))
}

fn lane(names: Vec<Option<String>>, days: &[Option<&Day>]) -> LaneComparison {
    let figure = |i: usize| days.iter().map(|d| Some(d.as_ref()?.figures?[i]).filter(|v| v.is_finite())).collect::<Vec<_>>();
    let word = |aim: &str| days.iter().map(|d| d.as_ref()?.words.get(aim).copied()).collect::<Vec<_>>();
    let any = |values: &[Option<&'static str>]| values.iter().any(Option::is_some);
    LaneComparison {
        names,
        figures: FIGURES.iter().enumerate().map(|(i, f)| (f.key, figure(i))).collect(),
        words: told::AIM_KEYS.into_iter().map(|aim| (aim, word(aim))).filter(|(_, words)| any(words)).collect(),
        failed: days.iter().map(|d| d.as_ref()?.failed.clone()).collect(),
    }
}
