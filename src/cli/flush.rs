//! `slakeline flush`: what it takes to rinse salt out of a root zone.

use std::io::{self, Write};
use std::path::PathBuf;

use super::answers::Documents;
use super::failure::Failure;
use super::{input, interrupt};
use crate::sheet::answers::Answer;
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
    #[command(flatten)]
    documents: Documents,
}

/// Runs the command.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let rinse = Rinse { to: arguments.to, with: arguments.rinse };
    if let Some(problem) = rinse.problems().first() {
        return Err(Failure::problem(problem));
    }
    arguments.documents.apart(&[&arguments.file], &[])?;
    let library = input::library();
    let scenario = input::load(&arguments.file, &library)?;
    interrupt::watch();
    let lanes = flush(&scenario, &library, rinse, &interrupt::go_on)?;
    arguments.documents.write(&Answer::Flush(rinse, &lanes), None, |out| table(out, &lanes, rinse))?;
    if lanes.len() < scenario.lanes.len() {
        let cause = format!("the flush was given up; {} of {} lanes are missing", scenario.lanes.len() - lanes.len(), scenario.lanes.len());
        return Err(Failure::failed(cause, "Let it run to its end for all of them."));
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
