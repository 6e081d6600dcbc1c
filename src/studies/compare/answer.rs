//! The answer: setup, schedules and figures of up to four benches.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::Value;

use super::differences::{Difference, differences};
use super::places::places;
use super::schedules::{PlanComparison, plans};
use crate::engine::column::BuildError;
use crate::engine::run::Workshop;
use crate::engine::run::feedback::Until;
use crate::figures::{Measured, verdicts};
use crate::scenario::presets::Library;
use crate::scenario::{Lane, Problem, Scenario};
use crate::studies::compare::last_day::last_day;
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

/// Holds benches side by side; each is run for its own days. `go_on` is asked before each day of each run; `None` when it said no.
///
/// # Errors
/// [`Unlike`] when there are fewer or more than [`FILES`], or when one cannot be built.
pub fn compare(benches: &[(String, Scenario)], library: &Library, go_on: &dyn Fn() -> bool) -> Result<Option<Comparison>, Unlike> {
    let (low, high) = FILES;
    if !(low..=high).contains(&benches.len()) {
        return Err(Unlike::Count(Problem {
            field: "FILE".to_owned(),
            value: format!("given {} times", benches.len()),
            allowed: format!("{low} to {high} times"),
            why: "a comparison needs two benches, and more than four cannot be read side by side".to_owned(),
        }));
    }
    let scenarios: Vec<&Scenario> = benches.iter().map(|(_, s)| s).collect();
    let rows = places(&scenarios);
    let mut days: Vec<Vec<Day>> = Vec::with_capacity(benches.len());
    for (file, scenario) in benches {
        let build = |cause| Unlike::Build { file: file.clone(), cause };
        let Some(last) = last_days(scenario, library, go_on).map_err(build)? else { return Ok(None) };
        days.push(last);
    }
    let row = |places: &Vec<Option<usize>>| {
        let day = |(bench, place): (usize, &Option<usize>)| Some(&days[bench][(*place)?]);
        let name = |(bench, place): (usize, &Option<usize>)| Some(scenarios[bench].lanes[(*place)?].name.clone());
        let of: Vec<Option<&Day>> = places.iter().enumerate().map(day).collect();
        lane(places.iter().enumerate().map(name).collect(), &of)
    };
    Ok(Some(Comparison {
        files: benches.iter().map(|(file, _)| file.clone()).collect(),
        days: scenarios.iter().map(|s| s.days).collect(),
        setup: setup(&scenarios, &rows),
        schedule: plans(&scenarios),
        units: FIGURES.iter().map(|f| (f.key, f.unit)).collect(),
        lanes: rows.iter().map(row).collect(),
    }))
}

/// What differs in the setup: all fields but names, notes and what the pump is told; then lane by lane.
fn setup(scenarios: &[&Scenario], rows: &[Vec<Option<usize>>]) -> Vec<Difference> {
    let whole = |s: &&Scenario| {
        let mut value = serde_json::to_value(s).unwrap_or_default();
        if let Some(fields) = value.as_object_mut() {
            for apart in ["format", "name", "note", "schedule", "rules", "changes", "lanes"] {
                fields.remove(apart);
            }
        }
        value
    };
    let mut found = Vec::new();
    let values: Vec<Value> = scenarios.iter().map(whole).collect();
    differences("", &values.iter().collect::<Vec<_>>(), &mut found);
    for places in rows {
        let lanes: Vec<Option<&Lane>> = scenarios.iter().zip(places).map(|(s, place)| s.lanes.get((*place)?)).collect();
        let Some(first) = lanes.iter().flatten().next() else { continue };
        let value = |lane: &Option<&Lane>| lane.map(|l| serde_json::to_value(l).unwrap_or_default());
        let values: Vec<Option<Value>> = lanes.iter().map(value).collect();
        let path = format!("lanes[\"{}\"]", first.name);
        if values.iter().all(Option::is_some) {
            differences(&path, &values.iter().flatten().collect::<Vec<_>>(), &mut found);
        } else {
            // A lane that a bench has not is told by its name, and not field by field.
            let name = |lane: &Option<&Lane>| lane.map_or(Value::Null, |l| Value::String(l.name.clone()));
            found.push(Difference { field: path, values: lanes.iter().map(name).collect() });
        }
    }
    found
}

fn last_days(scenario: &Scenario, library: &Library, go_on: &dyn Fn() -> bool) -> Result<Option<Vec<Day>>, BuildError> {
    let until = Until { days: scenario.days, settled: false };
    let Some(lanes) = Workshop::default().ready(scenario, library)?.timed(until, go_on) else { return Ok(None) };
    let mut days = Vec::with_capacity(lanes.len());
    for (ready, lane) in lanes.iter().zip(&scenario.lanes) {
        let Some(run) = last_day(ready, scenario.days, go_on) else { return Ok(None) };
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
