//! `slakeline spread`: how sure the figures of a bench's last day are.

use std::io::{self, Write};
use std::path::PathBuf;
use std::sync::atomic::{AtomicUsize, Ordering};

use super::answers::Documents;
use super::failure::Failure;
use super::{input, interrupt};
use crate::scenario::file::printable;
use crate::scenario::{MAX_DAYS, Problem};
use crate::sheet::answers::Answer;
use crate::studies::spread::{Ask, LaneSpread, MEMBERS, Spread, spread};
use crate::studies::told::{AIM_KEYS, FIGURES};

/// What is asked and where the answer goes.
#[derive(Clone, Debug, clap::Args)]
#[command(
    after_help = "How far each number may be off is told with the answer. What all members share, the model itself, is no part of it."
)]
pub struct Arguments {
    /// Scenario file, or - for standard input
    file: PathBuf,
    /// Members: runs with another draw of what is not known, 10 to 10000
    #[arg(long, value_name = "N", default_value_t = 1000, allow_negative_numbers = true)]
    members: i64,
    /// The same seed draws the same members
    #[arg(long, value_name = "S", default_value_t = 1)]
    seed: u64,
    /// Days to run, 1 to 366, instead of the scenario's own; the answer is of the last
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    days: Option<i64>,
    /// Scatter of the flow of emitters of one kind, as a share of its mean, 0 to 0.3
    #[arg(long, value_name = "CV", default_value_t = Ask::default().emitter_cv, allow_negative_numbers = true)]
    emitter_cv: f64,
    /// Run all on the bench's own grid, not on a coarser one: takes twice as long
    #[arg(long)]
    own_grid: bool,
    #[command(flatten)]
    documents: Documents,
}

/// Runs the command.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let ask = asked(arguments)?;
    let days = arguments.days.map(checked_days).transpose()?;
    arguments.documents.apart(&[&arguments.file], &[])?;
    let library = input::library();
    let mut scenario = input::load(&arguments.file, &library)?;
    scenario.days = days.unwrap_or(scenario.days);
    interrupt::watch();
    let (members, told) = (ask.members as usize, AtomicUsize::new(0));
    let so_far = |done: usize, _: &dyn Fn() -> Spread| {
        // A tenth at a time.
        let tenth = 10 * done / members;
        if tenth > told.fetch_max(tenth, Ordering::Relaxed) {
            // With standard error closed there is nobody to tell.
            let _ = writeln!(io::stderr(), "{done} of {members} members");
        }
    };
    let found = spread(&scenario, &library, &ask, &interrupt::go_on, &so_far)?;
    arguments.documents.write(&Answer::Spread(&found), None, |out| table(out, &scenario.name, &found))?;
    failure(&found).map_or(Ok(()), Err)
}

/// Checks what is asked for.
fn asked(arguments: &Arguments) -> Result<Ask, Failure> {
    let ask = Ask { seed: arguments.seed, emitter_cv: arguments.emitter_cv, own_grid: arguments.own_grid, ..Ask::default() };
    // What is no count at all is told as the count that it is not.
    let members = u32::try_from(arguments.members).unwrap_or(if arguments.members < 0 { 0 } else { u32::MAX });
    match (Ask { members, ..ask }).problem() {
        Some(problem) if !(i64::from(MEMBERS.0)..=i64::from(MEMBERS.1)).contains(&arguments.members) => {
            Err(Failure::problem(&Problem { value: arguments.members.to_string(), ..problem }))
        }
        Some(problem) => Err(Failure::problem(&problem)),
        None => Ok(Ask { members, ..ask }),
    }
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

/// What went wrong, if the answer is not the one asked for.
fn failure(found: &Spread) -> Option<Failure> {
    if found.ran < found.members as usize {
        let cause = format!("stopped after {} of {} members", found.ran, found.members);
        return Some(Failure::failed(cause, "What was found up to there is given; its bands are wider off than those of all members."));
    }
    let why = found.first_failure.as_ref().filter(|_| found.failed == found.ran)?;
    Some(Failure::failed(
        format!("no member ran to its end: {why}"),
        "`slakeline simulate FILE` tells where the bench as it stands stops, and what to do about it.",
    ))
}

/// Label of a row, and width of a value.
const LABEL: usize = 34;
const CELL: usize = 12;

/// The answer as it is read in a terminal.
fn table(out: &mut dyn Write, name: &str, found: &Spread) -> io::Result<()> {
    writeln!(out, "{name}")?;
    writeln!(
        out,
        "Day {}, {} members, seed {}. Each is one plant with its own emitter, in a world that may be.",
        found.days, found.ran, found.seed
    )?;
    if let Some(why) = &found.first_failure {
        writeln!(out, "{} members failed and are left out. The first: {why}", found.failed)?;
    }
    for lane in &found.lanes {
        writeln!(out)?;
        lane_table(out, lane)?;
    }
    writeln!(out)?;
    writeln!(out, "What is not known, and where eight draws in ten lie:")?;
    let mut told: Vec<&str> = Vec::new();
    for drawing in &found.unknowns {
        if told.contains(&drawing.unknown.as_str()) {
            continue;
        }
        told.push(&drawing.unknown);
        let moves: Vec<String> = drawing.moves.iter().map(|(what, how)| format!("{what} {how}")).collect();
        writeln!(out, "  {}: {} ({})", printable(&drawing.unknown, 60), moves.join(", "), drawing.provenance)?;
    }
    writeln!(out, "What all members share is not in it: the model itself. A projection to think with, not a controller.")
}

fn lane_table(out: &mut dyn Write, lane: &LaneSpread) -> io::Result<()> {
    writeln!(out, "{}", printable(&lane.name, 60))?;
    writeln!(out, "{}", row("  figure", &["as it stands", "10 % below", "half below", "90 % below"].map(str::to_owned)))?;
    for figure in &FIGURES {
        let Some(band) = lane.bands.get(figure.key) else { continue };
        let stands = lane.as_it_stands.get(figure.key).map_or_else(|| "-".to_owned(), |v| number(*v));
        let label = format!("  {}, {}", figure.key.replace('_', " "), short_unit(figure.unit));
        writeln!(out, "{}", row(&label, &[stands, number(band[0]), number(band[1]), number(band[2])]))?;
    }
    writeln!(out, "  Chance that a plant meets the aim:")?;
    for aim in AIM_KEYS {
        if let Some(chance) = lane.chance.get(aim) {
            writeln!(out, "    {:30}{:>5.0} %", aim.replace('_', " "), 100.0 * chance)?;
        }
    }
    shares(out, lane)?;
    if let (Some(dry), Some(salty), Some(low)) = (lane.driest_tenth, lane.saltiest_tenth, lane.low_quarter) {
        writeln!(out, "  Emitters alone:")?;
        for (what, t) in [("driest", dry), ("saltiest", salty)] {
            writeln!(
                out,
                "    the {what} tenth gets {:.0} % of the mean: lowest water content {:.1} % vol, root-zone EC {:.2} mS/cm, uptake met {:.1} %",
                100.0 * t.flow,
                100.0 * t.lowest,
                t.root_zone_ec,
                100.0 * t.uptake_met
            )?;
        }
        writeln!(out, "    the quarter that gets least is given {:.0} % of the mean", 100.0 * low)?;
    }
    Ok(())
}

/// Which unknowns matter, most first.
fn shares(out: &mut dyn Write, lane: &LaneSpread) -> io::Result<()> {
    if lane.shares.is_empty() {
        return writeln!(out, "  Which unknown matters most cannot be told: too few members, or nothing scatters.");
    }
    let mut sorted: Vec<_> = lane.shares.iter().collect();
    sorted.sort_by(|a, b| b.1.0.total_cmp(&a.1.0));
    let figures: Vec<String> = lane.shares_by_figure.keys().map(|k| k.replace('_', " ")).collect();
    writeln!(out, "  What makes the scatter of {}, on their mean:", figures.join(", "))?;
    for (unknown, (share, error)) in sorted {
        writeln!(out, "    {:42}{:>5.0} % ± {:.0}", printable(unknown, 41), 100.0 * share, 100.0 * error)?;
    }
    Ok(())
}

fn row(label: &str, cells: &[String; 4]) -> String {
    let cells: String = cells.iter().map(|c| format!("{c:>CELL$} ")).collect();
    format!("{label:LABEL$}{cells}").trim_end().to_owned()
}

/// A unit without what explains it.
fn short_unit(unit: &str) -> &str {
    unit.split([',', '(']).next().unwrap_or(unit).trim_end_matches(" at 25 degC").trim_end()
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
