//! `slakeline choose`: root zones of every medium and volume beside each other.

use std::io::{self, Write};
use std::path::PathBuf;
use std::sync::atomic::{AtomicUsize, Ordering};

use super::answers::Documents;
use super::equipment::Equipment;
use super::failure::Failure;
use super::{input, interrupt};
use crate::scenario::Problem;
use crate::sheet::answers::Answer;
use crate::studies::choose::{Asked, Point, choose, missed, words};
use crate::studies::finder;
use crate::units::Units;

/// The bench, what is held beside each other and where the answer goes.
#[derive(Clone, Debug, clap::Args)]
#[command(
    after_help = "Each root zone is a round pot with straight walls in the place of the lane, under the schedule found for it. A filled pot is heavy: look up what bench and floor bear."
)]
pub struct Arguments {
    /// Scenario file, or - for standard input
    file: PathBuf,
    /// The lane that gives crop, use and aims, by its name or counted from 1
    #[arg(long, value_name = "LANE", default_value = "1")]
    lane: String,
    /// A medium preset, once or more often; all of them without it
    #[arg(long, value_name = "NAME")]
    medium: Vec<String>,
    /// Litres per plant, with commas between; eight volumes by what a plant uses without it
    #[arg(long, value_name = "L,L…", value_delimiter = ',')]
    litres: Vec<f64>,
    /// Heights in cm, with commas between; as high as a cube of the volume without it
    #[arg(long, value_name = "CM,CM…", value_delimiter = ',')]
    heights: Vec<f64>,
    /// Change the feed's EC, too
    #[arg(long)]
    feed_ec: bool,
    #[command(flatten)]
    equipment: Equipment,
    #[command(flatten)]
    documents: Documents,
}

/// Runs the command.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    arguments.documents.apart(&[&arguments.file], &[])?;
    let library = input::library();
    let scenario = input::load(&arguments.file, &library)?;
    let named = scenario.lanes.iter().position(|l| l.name == arguments.lane);
    let counted = arguments.lane.parse::<usize>().ok().and_then(|n| n.checked_sub(1));
    let Some(lane) = named.or(counted) else {
        return Err(Failure::problem(&Problem {
            field: "--lane".to_owned(),
            value: arguments.lane.clone(),
            allowed: format!("a lane's name, or 1 to {}", scenario.lanes.len()),
            why: "crop, use and aims are a lane's".to_owned(),
        }));
    };
    let asked = Asked {
        lane,
        media: arguments.medium.clone(),
        litres: arguments.litres.clone(),
        heights_cm: arguments.heights.clone(),
        schedule: finder::Asked { feed_too: arguments.feed_ec, ..arguments.equipment.asked(&scenario) },
    };
    interrupt::watch();
    let (count, so_far) = (asked.zones(&scenario, &library).len(), AtomicUsize::new(0));
    let done = |point: &Point| {
        let done = so_far.fetch_add(1, Ordering::Relaxed) + 1;
        let state = if point.met { "meets every aim".to_owned() } else { missed(point) };
        // With standard error closed there is nobody to tell.
        let _ = writeln!(io::stderr(), "{done} of {count}: {} in {} L: {state}", point.medium, point.litres);
    };
    let points = choose(&scenario, &library, &asked, &interrupt::go_on, &done)?;
    let answer = Answer::Choice { lane: scenario.lanes.get(lane).map_or("", |l| &l.name), asked: count, points: &points };
    arguments.documents.write(&answer, None, |out| table(out, &points))?;
    if points.len() < count {
        let cause = format!("the study was given up; {} of {count} root zones are missing", count - points.len());
        return Err(Failure::failed(cause, "Let it run to its end for all of them."));
    }
    Ok(())
}

fn table(out: &mut dyn Write, points: &[Point]) -> io::Result<()> {
    writeln!(out, "{}", words(points, Units::default()))?;
    writeln!(
        out,
        "{:<22} {:>6} {:>7} {:>7} {:>6} {:>8} {:>9} {:>8} {:>8} {:>6} {:>7} {:>7}  aims",
        "medium", "L", "cm", "events", "feed", "grace h", "dry-back", "given L", "drain L", "EC", "swing", "kg"
    )?;
    let cell = |value: Option<f64>, decimals: usize| value.map_or_else(|| "-".to_owned(), |v| format!("{v:.decimals$}"));
    for p in points {
        let had = &p.had;
        // A pump that may stop for three days is told from a root zone that cannot be had.
        let grace = match (had.grace_h, had.events_a_day) {
            (None, Some(_)) => "over 72".to_owned(),
            (hours, _) => cell(hours, 1),
        };
        writeln!(
            out,
            "{:<22} {:>6} {:>7} {:>7} {:>6} {grace:>8} {:>9} {:>8} {:>8} {:>6} {:>7} {:>7}  {}",
            p.medium,
            p.litres,
            p.height_cm,
            had.events_a_day.map_or_else(|| "-".to_owned(), |n| n.to_string()),
            cell(had.feed_ec, 2),
            cell(had.dry_back_points, 1),
            cell(had.given_l, 2),
            cell(had.drained_l, 2),
            cell(had.ec, 2),
            cell(had.ec_swing, 2),
            cell(had.weight_kg, 1),
            if p.met { "all met".to_owned() } else { missed(p) }
        )?;
    }
    Ok(())
}
