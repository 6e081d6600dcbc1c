//! The series of a run as CSV: one row per lane every five minutes and at every start and end of an event.

use std::collections::BTreeSet;
use std::io::{self, Write};

use super::Export;
use crate::engine::run::ledger::Ledger;
use crate::engine::run::series::Sample;
use crate::figures::day::uptake_met;
use crate::projection::Projection;
use crate::scenario::plan::on_day;
use crate::units::{HOUR_S, WHOLE_DAY_S};

/// The columns. Times in hours since the first midnight, contents in m³/m³, amounts in mL per plant since the start, EC in
/// mS/cm, `uptake_met` as the share of the demand since the start.
pub const COLUMNS: [&str; 13] = [
    "time_h",
    "lane",
    "water_content",
    "container_capacity",
    "air_space",
    "suction_kpa",
    "root_zone_ec",
    "applied_ml",
    "drained_ml",
    "drain_ec",
    "transpired_ml",
    "evaporated_ml",
    "uptake_met",
];

/// Seconds between rows.
const EVERY_S: u64 = 300;
/// Drain below this between two rows has no EC worth telling, mL.
const LEAST_DRAIN_ML: f64 = 1e-3;

/// Writes the series over the scenario's days, in order of time and then of lanes. A lane that stopped early ends early.
///
/// # Errors
/// What the writer says.
pub fn write(out: impl Write, export: &Export<'_>) -> io::Result<()> {
    write_rows(out, export.projection).map_err(|e| match e.into_kind() {
        csv::ErrorKind::Io(cause) => cause,
        other => io::Error::other(format!("{other:?}")),
    })
}

fn write_rows(out: impl Write, projection: &Projection) -> csv::Result<()> {
    let mut csv = csv::Writer::from_writer(out);
    csv.write_record(COLUMNS)?;
    let lanes = &projection.run.lanes;
    let mut before: Vec<Ledger> = lanes.iter().filter_map(|l| l.series.samples.first()).map(|s| s.ledger).collect();
    for second in times(projection) {
        #[allow(clippy::cast_precision_loss)]
        let time_s = second as f64;
        for (i, lane) in lanes.iter().enumerate() {
            let reached = lane.series.samples.last().map_or(0.0, |s| s.time_s);
            if time_s > reached + 1e-6 {
                continue;
            }
            if let (Some(sample), Some(before)) = (lane.series.at(time_s), before.get_mut(i)) {
                csv.write_record(row(time_s, &lane.name, projection.capacities[i], &sample, before))?;
                *before = sample.ledger;
            }
        }
    }
    csv.flush()?;
    Ok(())
}

/// The seconds at which there are rows.
fn times(projection: &Projection) -> BTreeSet<u64> {
    let days = u64::from(projection.scenario.days);
    let mut times: BTreeSet<u64> = (0..=days * u64::from(WHOLE_DAY_S) / EVERY_S).map(|k| k * EVERY_S).collect();
    let Some(timetable) = projection.run.timetable() else { return times };
    for day in 0..projection.scenario.days as usize {
        for event in timetable.events(day) {
            // Clock times are whole seconds.
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            times.extend([event.start_s(), event.end_s()].map(|edge| on_day(day, edge) as u64));
        }
    }
    times
}

fn row(time_s: f64, lane: &str, capacity: f64, sample: &Sample, before: &Ledger) -> [String; 13] {
    let water = &sample.ledger.water;
    let drained = water.drained() - before.water.drained();
    let drain_ec = if drained > LEAST_DRAIN_ML {
        format!("{:.4}", ((sample.ledger.salt.drained() - before.salt.drained()) / drained).max(0.0))
    } else {
        String::new()
    };
    [
        format!("{:.6}", time_s / HOUR_S),
        lane.to_owned(),
        format!("{:.6}", sample.water_content),
        format!("{capacity:.6}"),
        format!("{:.6}", sample.air_space),
        format!("{:.5}", sample.suction_kpa),
        format!("{:.5}", sample.root_zone_ec),
        format!("{:.4}", water.applied),
        format!("{:.4}", water.drained()),
        drain_ec,
        format!("{:.4}", water.taken_up),
        format!("{:.4}", water.evaporated),
        format!("{:.6}", uptake_met(&sample.ledger)),
    ]
}
