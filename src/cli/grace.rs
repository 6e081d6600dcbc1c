//! `slakeline grace`: how long plants go on when something about their water fails.

use std::io::{self, Write};
use std::path::PathBuf;

use super::answers::Documents;
use super::failure::Failure;
use super::{input, interrupt};
use crate::sheet::answers::Answer;
use crate::studies::grace::{Fault, Grace, LOOK_AHEAD_H, LaneGrace, grace, worst_words};

/// The bench and where the answer goes.
#[derive(Clone, Debug, clap::Args)]
#[command(after_help = "From every full hour of the bench's last day. A projection: look at the plants, and keep water at hand.")]
pub struct Arguments {
    /// Scenario file, or - for standard input
    file: PathBuf,
    #[command(flatten)]
    documents: Documents,
}

/// Runs the command.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    arguments.documents.apart(&[&arguments.file], &[])?;
    let library = input::library();
    let scenario = input::load(&arguments.file, &library)?;
    interrupt::watch();
    let lanes = grace(&scenario, &library, &interrupt::go_on)?.unwrap_or_default();
    arguments.documents.write(&Answer::Grace(&lanes), None, |out| table(out, &lanes))?;
    if !interrupt::go_on() {
        return Err(Failure::failed("the study was given up; some hours and faults are missing", "Let it run to its end for all of them."));
    }
    match lanes.iter().find(|l| l.failed > 0) {
        None => Ok(()),
        Some(lane) => Err(Failure::failed(
            format!("lane \"{}\": {} of its runs did not converge and are left out", lane.name, lane.failed),
            "The others stand. Media of your own with another curve may let all go to their end.",
        )),
    }
}

/// Per lane and fault the worst hour and what it leads to.
fn table(out: &mut dyn Write, lanes: &[LaneGrace]) -> io::Result<()> {
    for lane in lanes {
        writeln!(out, "{}: {}", lane.name, worst_words(lane))?;
        writeln!(
            out,
            "  {:<22} {:>10} {:>12} {:>12} {:>14} {:>16}",
            "fault", "worst hour", "to 90 %", "to 50 %", "water used up", "roots lack air"
        )?;
        for fault in Fault::ALL {
            if let Some((_, why)) = lane.left_out.iter().find(|(f, _)| *f == fault) {
                writeln!(out, "  {:<22} not told: {why}", fault.words())?;
                continue;
            }
            let Some(any) = lane.of(fault).next() else { continue };
            let worst = lane.worst(fault);
            let row = worst.unwrap_or(any);
            let hour = worst.map_or_else(|| "any".to_owned(), |g| format!("{:02}:00", g.hour));
            let Grace { hours_to_90, hours_to_50, hours_to_dry, hours_to_airless, .. } = *row;
            let cell = |h: Option<f64>| h.map_or_else(|| format!("over {LOOK_AHEAD_H:.0} h"), |h| format!("{h:.1} h"));
            writeln!(
                out,
                "  {:<22} {hour:>10} {:>12} {:>12} {:>14} {:>16}",
                fault.words(),
                cell(hours_to_90),
                cell(hours_to_50),
                cell(hours_to_dry),
                cell(hours_to_airless)
            )?;
        }
    }
    Ok(())
}
