//! `slakeline simulate`: a run as a table, a series and figures.

use std::path::PathBuf;

use super::failure::Failure;
use super::output::{self, is_standard};
use crate::scenario::presets::Library;
use crate::scenario::{MAX_DAYS, Problem, Scenario};
use crate::sheet::made::Made;
use crate::sheet::{Export, figures_json, series_csv, table};
use crate::studies::exactness::exactness;

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
    /// Run it again with a quarter of the layer thickness and a tenth of the tolerance, and tell the largest differences
    #[arg(long)]
    refine: bool,
}

/// Runs the command.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    check_outputs(arguments)?;
    let days = arguments.days.map(checked_days).transpose()?;
    let library = super::input::library();
    let mut scenario = super::input::load(&arguments.file, &library)?;
    if let Some(days) = days {
        scenario.days = days;
    }
    let refined = if arguments.refine { exactness(&scenario, &library, &|| true, &|_| ())? } else { None };
    let Some(made) = Made::of(scenario, &library, tells(arguments), &|| true)? else { return Ok(()) };
    report(arguments, &Export { refined: refined.as_ref(), ..made.export() })
}

/// Whether a table or the JSON is written.
fn tells(arguments: &Arguments) -> bool {
    !takes_output(arguments) || arguments.figures.is_some()
}

/// Whether standard output is taken by a result.
fn takes_output(arguments: &Arguments) -> bool {
    [&arguments.series, &arguments.figures].into_iter().flatten().any(|p| is_standard(p))
}

/// Writes what was asked for, and then says whether the run failed.
fn report(arguments: &Arguments, export: &Export<'_>) -> Result<(), Failure> {
    if let Some(path) = &arguments.series {
        output::to(path, |out| series_csv::write(out, export))?;
    }
    if let Some(path) = &arguments.figures {
        output::to(path, |out| figures_json::write(out, export))?;
    }
    if !takes_output(arguments) {
        let elsewhere = arguments.series.is_some() || arguments.figures.is_some();
        output::to_standard_or_beside(elsewhere, |out| table::write(out, export))?;
    }
    let failure = Failure::of_run(&export.projection.run).or_else(|| Failure::of_refined(export.refined?));
    failure.map_or(Ok(()), Err)
}

/// Prints the day's figures of a scenario as a table.
pub fn print_table(scenario: &Scenario, library: &Library) -> Result<(), Failure> {
    let Some(made) = Made::of(scenario.clone(), library, true, &|| true)? else { return Ok(()) };
    output::to_standard(|out| table::write(out, &made.export()))?;
    Failure::of_run(&made.projection.run).map_or(Ok(()), Err)
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
    if arguments.refine && !tells(arguments) {
        return Err(Failure::input(
            "--refine is told in the table and in --figures, and neither is written",
            "Write the series to a file, or add --figures OUT.json.",
        ));
    }
    let results = [("--series", arguments.series.as_deref()), ("--figures", arguments.figures.as_deref())];
    output::apart(&[&arguments.file], &results)
}
