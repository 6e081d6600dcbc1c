//! `slakeline compare`: scenarios side by side.

use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::answers::Documents;
use super::failure::Failure;
use super::output::is_standard;
use super::progress::Tenths;
use super::{input, interrupt};
use crate::scenario::file::printable;
use crate::sheet::answers::Answer;
use crate::sheet::answers::tables::given;
use crate::studies::compare::differences::text;
use crate::studies::compare::schedules::PlanComparison;
use crate::studies::compare::{Comparison, Difference, LaneComparison, Unlike, Waiting, compare};
use crate::studies::told::FIGURES;

/// What is held side by side and where the answer goes.
#[derive(Clone, Debug, clap::Args)]
pub struct Arguments {
    /// Scenario files, 2 to 4; one of them may be - for standard input
    #[arg(value_name = "FILE", required = true)]
    files: Vec<PathBuf>,
    #[command(flatten)]
    documents: Documents,
}

/// Runs the command.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let files: Vec<&Path> = arguments.files.iter().map(PathBuf::as_path).collect();
    arguments.documents.apart(&files, &[])?;
    if arguments.files.iter().filter(|f| is_standard(f)).count() > 1 {
        return Err(Failure::input("standard input is given more than once", "It can be read once; give the other scenarios as files."));
    }
    let library = input::library();
    let mut benches = Vec::with_capacity(arguments.files.len());
    for file in &arguments.files {
        benches.push((file.display().to_string(), Arc::new(input::load(file, &library)?)));
    }
    interrupt::watch();
    let progress = Tenths::default();
    let waiting = Waiting { go_on: &interrupt::go_on, progress: &|share| progress.at(share), so_far: &|_| () };
    let found = compare(&benches, &library, &waiting).map_err(unlike)?;
    arguments.documents.write(&Answer::Compare(&found), None, |out| table(out, &found))?;
    let missing = found.ran.iter().filter(|ran| !**ran).count();
    if missing > 0 {
        let cause = format!("the comparison was given up; the figures of {missing} of {} scenarios are missing", found.files.len());
        return Err(Failure::failed(cause, "Let it run to its end for all of them."));
    }
    failure(&found).map_or(Ok(()), Err)
}

fn unlike(why: Unlike) -> Failure {
    match why {
        Unlike::Count(problem) => Failure::input(problem.to_string(), "Name 2 to 4 scenario files."),
        Unlike::Build { file, cause } => {
            Failure::input(format!("{file}: {cause}"), "Correct the lane named; `slakeline check FILE` lists every problem.")
        }
    }
}

/// The first lane whose run cannot be relied on.
fn failure(found: &Comparison) -> Option<Failure> {
    let failed = |lane: &LaneComparison| lane.failed.iter().zip(&found.files).find_map(|(why, file)| Some((file.clone(), why.clone()?)));
    let (file, why) = found.lanes.iter().find_map(failed)?;
    Some(Failure::failed(format!("{file}: {why}"), "Do not rely on the figures of that lane; the rest stands."))
}

/// Width of a label, and of a value.
const LABEL: usize = 52;
const CELL: usize = 24;

/// The answer as it is read in a terminal.
fn table(out: &mut dyn Write, found: &Comparison) -> io::Result<()> {
    for (letter, (file, days)) in letters().zip(found.files.iter().zip(&found.days)) {
        writeln!(out, "{letter}  {}, day {days}", printable(file, 80))?;
    }
    writeln!(out)?;
    if found.setup.is_empty() {
        writeln!(out, "Setup: the same.")?;
    } else {
        writeln!(out, "{}", row("Setup", found.files.len(), |i| letters().nth(i).unwrap_or('?').to_string()))?;
        differences(out, &found.setup)?;
    }
    writeln!(out)?;
    if found.schedule.is_empty() {
        writeln!(out, "Schedule: the same.")?;
    }
    for plan in &found.schedule {
        plans(out, plan)?;
    }
    for lane in &found.lanes {
        writeln!(out)?;
        figures(out, lane)?;
    }
    writeln!(out, "\nA projection to think with, not a controller.")
}

fn letters() -> impl Iterator<Item = char> {
    'A'..='Z'
}

fn differences(out: &mut dyn Write, found: &[Difference]) -> io::Result<()> {
    for difference in found {
        writeln!(out, "{}", row(&format!("  {}", difference.field), difference.values.len(), |i| text(&difference.values[i])))?;
    }
    Ok(())
}

fn plans(out: &mut dyn Write, plan: &PlanComparison) -> io::Result<()> {
    let count = plan.plans.len();
    let at = |clock: Option<crate::scenario::Clock>| clock.map_or_else(|| "-".to_owned(), |c| c.to_string());
    let head = format!("Schedule of valve {} from day {} on", plan.valve, plan.from_day);
    writeln!(out, "{}", row(&head, count, |i| letters().nth(i).unwrap_or('?').to_string()))?;
    writeln!(out, "{}", row("  events of a day", count, |i| plan.plans[i].events.to_string()))?;
    writeln!(out, "{}", row("  dripped in a day, mL per plant", count, |i| format!("{:.0}", plan.plans[i].drip_ml)))?;
    writeln!(out, "{}", row("  first", count, |i| at(plan.plans[i].first)))?;
    writeln!(out, "{}", row("  last", count, |i| at(plan.plans[i].last)))?;
    for event in &plan.events {
        writeln!(out, "{}", row(&format!("  at {}", event.start), count, |i| event.events[i].map_or_else(|| "-".to_owned(), given)))?;
    }
    differences(out, &plan.rules)
}

fn figures(out: &mut dyn Write, lane: &LaneComparison) -> io::Result<()> {
    let count = lane.names.len();
    writeln!(out, "{}", row("Lane", count, |i| lane.names[i].clone().unwrap_or_else(|| "-".to_owned())))?;
    for figure in &FIGURES {
        let Some(values) = lane.figures.get(figure.key).filter(|v| v.iter().any(Option::is_some)) else { continue };
        let label = format!("  {}, {}", figure.key.replace('_', " "), figure.unit.split([',', '(']).next().unwrap_or_default().trim_end());
        writeln!(out, "{}", row(&label, count, |i| values[i].map_or_else(|| "-".to_owned(), number)))?;
    }
    for (aim, words) in &lane.words {
        writeln!(out, "{}", row(&format!("  aim: {}", aim.replace('_', " ")), count, |i| words[i].unwrap_or("-").to_owned()))?;
    }
    Ok(())
}

/// A value with about four digits.
fn number(value: f64) -> String {
    let decimals = if value.abs() >= 100.0 {
        0
    } else if value.abs() >= 10.0 {
        1
    } else {
        3
    };
    format!("{value:.decimals$}")
}

fn row(label: &str, count: usize, cell: impl Fn(usize) -> String) -> String {
    let cells: String = (0..count).map(|i| format!(" {:CELL$}", printable(&cell(i), CELL - 1))).collect();
    format!("{:LABEL$}{cells}", printable(label, LABEL - 1)).trim_end().to_owned()
}
