//! `slakeline simulate`: a run as a table, a series and figures.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use rayon::prelude::*;

use super::failure::Failure;
use super::output::{self, is_standard};
use crate::engine::feedback::Until;
use crate::engine::run::{ReadyBench, Run, Workshop, run as run_lanes};
use crate::projection::Projection;
use crate::scenario::presets::Library;
use crate::scenario::{MAX_DAYS, Problem, Scenario};
use crate::sheet::{Export, figures_json, series_csv, table};

/// Days within which a day is expected to repeat itself.
const SETTLE_DAYS: u32 = 60;

/// What is run and where the results go.
#[derive(Clone, Debug, clap::Args)]
pub struct Arguments {
    /// Scenario file, or - for standard input
    file: PathBuf,
    /// Days to run, 1 to 366, instead of the scenario's own
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    days: Option<i64>,
    /// Write the series as CSV, or - for standard output
    #[arg(long, value_name = "OUT.csv")]
    series: Option<PathBuf>,
    /// Write the figures of every day as JSON, or - for standard output
    #[arg(long, value_name = "OUT.json")]
    figures: Option<PathBuf>,
}

/// Runs the command.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    check_outputs(arguments)?;
    let days = arguments.days.map(checked_days).transpose()?;
    let library = super::library();
    let mut scenario = super::load(&arguments.file, &library)?;
    if let Some(days) = days {
        scenario.days = days;
    }
    let ready = Workshop::default().ready(&scenario, &library)?;
    let run = run_lanes(&ready.for_its_days(), scenario.days);
    let quiet = [&arguments.series, &arguments.figures].into_iter().flatten().any(|p| is_standard(p));
    let settled = if quiet && arguments.figures.is_none() { Vec::new() } else { settle(&ready) };
    let projection = Projection::of_run(Arc::new(scenario), run);
    let export = Export { projection: &projection, settled: &settled };
    if let Some(path) = &arguments.series {
        output::to(path, |out| series_csv::write(out, &export))?;
    }
    if let Some(path) = &arguments.figures {
        output::to(path, |out| figures_json::write(out, &export))?;
    }
    if !quiet {
        output::to_standard(|out| table::write(out, &export))?;
    }
    Failure::of_run(&projection.run).map_or(Ok(()), Err)
}

/// Prints the day's figures of a scenario as a table.
pub fn print_table(scenario: &Scenario, library: &Library) -> Result<(), Failure> {
    let ready = Workshop::default().ready(scenario, library)?;
    let run: Run = run_lanes(&ready.for_its_days(), scenario.days);
    let settled = settle(&ready);
    let projection = Projection::of_run(Arc::new(scenario.clone()), run);
    output::to_standard(|out| table::write(out, &Export { projection: &projection, settled: &settled }))?;
    Failure::of_run(&projection.run).map_or(Ok(()), Err)
}

fn settle(ready: &ReadyBench) -> Vec<Result<crate::engine::run::Settled, crate::engine::simulation::RunError>> {
    let lanes = ready.timed(Until { days: SETTLE_DAYS, settled: true }, &|| true).unwrap_or_default();
    lanes.par_iter().map(|lane| lane.settle(SETTLE_DAYS)).collect()
}

fn checked_days(days: i64) -> Result<u32, Failure> {
    u32::try_from(days).ok().filter(|d| (1..=MAX_DAYS).contains(d)).ok_or_else(|| {
        Failure::problem(&Problem {
            field: "--days".to_owned(),
            value: days.to_string(),
            allowed: format!("1 to {MAX_DAYS}"),
            why: "a run needs a day, and a year is the most it takes".to_owned(),
        })
    })
}

/// Two results do not share a place, and none takes the place of the scenario.
fn check_outputs(arguments: &Arguments) -> Result<(), Failure> {
    let same = |a: &Path, b: &Path| match (a.canonicalize(), b.canonicalize()) {
        _ if is_standard(a) || is_standard(b) => a == b,
        (Ok(a), Ok(b)) => a == b,
        _ => a == b,
    };
    if let (Some(series), Some(figures)) = (&arguments.series, &arguments.figures)
        && same(series, figures)
    {
        let place = if is_standard(series) { "standard output".to_owned() } else { series.display().to_string() };
        return Err(Failure::input(
            format!("--series and --figures would both go to {place}"),
            "Give each a place of its own; one of them may be - for standard output.",
        ));
    }
    for (option, path) in [("--series", &arguments.series), ("--figures", &arguments.figures)] {
        if let Some(path) = path
            && !is_standard(path)
            && same(path, &arguments.file)
        {
            return Err(Failure::input(
                format!("{option} {} is the scenario itself, which it would overwrite", path.display()),
                "Give the result a name of its own.",
            ));
        }
    }
    Ok(())
}
