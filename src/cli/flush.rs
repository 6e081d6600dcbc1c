//! `slakeline flush`: what it takes to rinse salt out of a root zone.

use std::io::{self, Write};
use std::path::PathBuf;

use serde::Serialize;

use super::failure::Failure;
use super::input;
use super::output::{self, is_standard};
use crate::studies::flush::{LaneFlush, PLAIN_WATER_EC, Rinse, flush};

/// The bench, the aim and where the answer goes.
#[derive(Clone, Debug, clap::Args)]
#[command(after_help = "Drain of a flush is rich in salt: lead it where local rules allow it.")]
pub struct Arguments {
    /// Scenario file, or - for standard input
    file: PathBuf,
    /// Root-zone EC to come down to, mS/cm
    #[arg(long, value_name = "EC", allow_negative_numbers = true)]
    to: f64,
    /// EC of what is given, mS/cm
    #[arg(long, value_name = "EC", default_value_t = PLAIN_WATER_EC, allow_negative_numbers = true)]
    rinse: f64,
    /// Write the answer as JSON, or - for standard output
    #[arg(long, value_name = "OUT.json")]
    json: Option<PathBuf>,
}

/// The whole document; litres are per plant where nothing else is said.
#[derive(Serialize)]
struct Document<'a> {
    program: &'static str,
    version: &'static str,
    to_ec: f64,
    rinse_ec: f64,
    lanes: &'a [LaneFlush],
}

/// Runs the command.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let rinse = Rinse { to: arguments.to, with: arguments.rinse };
    if let Some(problem) = rinse.problems().first() {
        return Err(Failure::problem(problem));
    }
    output::apart(&[&arguments.file], &[("--json", arguments.json.as_deref())])?;
    let library = input::library();
    let scenario = input::load(&arguments.file, &library)?;
    let lanes = flush(&scenario, &library, rinse, &|| true)?;
    if let Some(path) = &arguments.json {
        let document = Document {
            program: env!("CARGO_PKG_NAME"),
            version: env!("CARGO_PKG_VERSION"),
            to_ec: rinse.to,
            rinse_ec: rinse.with,
            lanes: &lanes,
        };
        output::json(path, &document)?;
    }
    if !arguments.json.as_deref().is_some_and(is_standard) {
        output::to_standard_or_beside(arguments.json.is_some(), |out| table(out, &lanes, rinse))?;
    }
    match lanes.iter().find_map(|l| Some((l, l.stopped.as_ref()?))) {
        None => Ok(()),
        Some((lane, why)) => Err(Failure::failed(format!("lane \"{}\": {why}", lane.name), "What was reached up to there is given.")),
    }
}

fn table(out: &mut dyn Write, lanes: &[LaneFlush], rinse: Rinse) -> io::Result<()> {
    for lane in lanes {
        writeln!(out, "{}: root-zone EC {:.2}, to {:.2} with water of {:.2} mS/cm", lane.name, lane.start_ec, rinse.to, rinse.with)?;
        for (way, done) in [("from above", Some(&lane.from_above)), ("by flooding", lane.by_flooding.as_ref())] {
            let Some(done) = done else { continue };
            if done.events == 0 {
                writeln!(out, "  {way}: nothing to rinse")?;
                continue;
            }
            let reached = if done.reached { "" } else { " — not reached" };
            writeln!(
                out,
                "  {way}: {:.2} L a plant ({:.1} L for all) in {} events over {:.1} h; EC {:.2}{reached}; {:.2} L a plant drain",
                done.litres_per_plant, done.litres_for_all, done.events, done.hours, done.final_ec, done.drained_per_plant
            )?;
        }
        writeln!(out, "  bounds: {:.2} L pushed through in one piece, {:.2} L well mixed", lane.plug_flow_litres, lane.well_mixed_litres)?;
        if let Some(beside) = lane.beside_bounds() {
            writeln!(out, "  {beside}")?;
        }
        if lane.exchanges {
            writeln!(out, "  this medium holds salt beside its water, and takes more rinse for it")?;
        }
    }
    Ok(())
}
