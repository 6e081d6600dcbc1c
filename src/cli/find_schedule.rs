//! `slakeline find-schedule`: a schedule that meets the aims.

use std::io::{self, Write};
use std::path::PathBuf;

use super::answers::Documents;
use super::equipment::Equipment;
use super::failure::Failure;
use super::output::{self, is_standard};
use super::{input, interrupt};
use crate::scenario::{Give, file};
use crate::sheet::answers::Answer;
use crate::studies::finder::{Asked, Budget, Found, Waiting, band, find, usual_rinse, words};
use crate::units::Units;

/// The bench, what is asked for and where the answer goes.
#[derive(Clone, Debug, clap::Args)]
#[command(
    after_help = "The aims are those of the lanes. A projection to think with: check it with probe, scale and plant before you rely on it."
)]
pub struct Arguments {
    /// Scenario file, or - for standard input
    file: PathBuf,
    /// Write the bench with the schedule found, or - for standard output
    #[arg(long, value_name = "OUT.ron")]
    save: Option<PathBuf>,
    #[command(flatten)]
    documents: Documents,
    /// The valve whose lanes are looked at, counted from 1
    #[arg(long, value_name = "N", default_value_t = 1)]
    valve: usize,
    #[command(flatten)]
    equipment: Equipment,
    /// Change the feed's EC, too
    #[arg(long)]
    feed_ec: bool,
    /// EC of the water that a flood table may be rinsed with from above [default: as on the bench, else 0.3]
    #[arg(long, value_name = "EC", conflicts_with = "no_rinse")]
    rinse: Option<f64>,
    /// Days from one rinse from above to the next [default: whatever suits best of 1, 2, 3 and 7]
    #[arg(long, value_name = "DAYS", conflicts_with = "no_rinse")]
    rinse_every: Option<u32>,
    /// Do without a rinse from above
    #[arg(long)]
    no_rinse: bool,
}

/// Runs the command.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    arguments.documents.apart(&[&arguments.file], &[("--save", arguments.save.as_deref())])?;
    let library = input::library();
    let scenario = input::load(&arguments.file, &library)?;
    let valve = arguments.valve.wrapping_sub(1);
    let rinse_ec = (!arguments.no_rinse).then(|| arguments.rinse.unwrap_or_else(|| usual_rinse(&scenario, valve)));
    let asked =
        Asked { valve, feed_too: arguments.feed_ec, rinse_ec, rinse_every: arguments.rinse_every, ..arguments.equipment.asked(&scenario) };
    interrupt::watch();
    let progress = |share: f64| {
        let _ = writeln!(io::stderr(), "{:.0} %", 100.0 * share);
    };
    let first = |found: Found| {
        let met = found.aims.iter().filter(|a| a.met).count();
        let _ = writeln!(io::stderr(), "a first schedule meets {met} of {} aims; the search goes on", found.aims.len());
    };
    let waiting = Waiting { go_on: &interrupt::go_on, progress: &progress, first: &first };
    let found = find(&scenario, &library, &asked, &Budget::WHOLE, waiting)?;
    let Some(found) = found else { return Err(given_up("before any schedule had been run until it settled")) };
    if let Some(path) = &arguments.save {
        let text = file::to_text(&found.scenario)?;
        output::to(path, |out| out.write_all(text.as_bytes()))?;
    }
    let elsewhere = arguments.save.as_deref().map(is_standard);
    arguments.documents.write(&Answer::Schedule(&found), elsewhere, |out| table(out, &found))?;
    if interrupt::go_on() { Ok(()) } else { Err(given_up("with the best found so far")) }
}

fn given_up(how: &str) -> Failure {
    Failure::failed(format!("the search was given up, {how}"), "Let it run to its end for the best it can find.")
}

fn table(out: &mut dyn Write, found: &Found) -> io::Result<()> {
    for sentence in words(found, Units::default()) {
        writeln!(out, "{sentence}")?;
    }
    writeln!(out, "feed EC {:.2} mS/cm; {} events:", found.feed_ec, found.events.len())?;
    for event in &found.events {
        let what = match event.give {
            Give::Drip { ml } => format!("{ml:.0} mL"),
            Give::Flood { depth_cm } => format!("flood {depth_cm:.1} cm"),
        };
        let ec = event.ec.map_or_else(String::new, |ec| format!(", EC {ec:.2}"));
        let days = if event.days.are_all() { String::new() } else { format!(", {}", event.days) };
        writeln!(out, "  {}  {:>5} s  {what}{ec}{days}", event.start, event.seconds)?;
    }
    for lane in &found.lanes {
        writeln!(out, "{} ({})", lane.lane, lane.told)?;
        for aim in found.aims.iter().filter(|a| a.lane == lane.lane) {
            let (what, unit) = (aim.figure.name(), aim.figure.unit(Units::default()));
            let value = aim.value.map_or_else(|| "–".to_owned(), |v| aim.figure.number(v, Units::default()));
            let state = if aim.met { "met" } else { "missed" };
            let band = band(aim.figure, aim.aim, Units::default());
            writeln!(out, "  {what:<20} {value:>7} {unit:<7} aim {band}: {state}")?;
        }
    }
    Ok(())
}
