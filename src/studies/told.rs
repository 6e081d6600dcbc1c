//! The figures and aims of a day that studies tell, each by its name.

use crate::figures::verdict::Mood;
use crate::figures::{Aims, DayFigures, verdicts};

/// A day that is told of.
pub struct Told<'a> {
    /// Its figures.
    pub figures: &'a DayFigures,
    /// Hours outside the band of water; `None` without one.
    pub hours_outside_band: Option<f64>,
}

impl std::ops::Deref for Told<'_> {
    type Target = DayFigures;

    fn deref(&self) -> &DayFigures {
        self.figures
    }
}

/// A figure of a day.
pub struct Figure {
    /// Its name in results.
    pub key: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// What it is worth.
    value: fn(&Told<'_>) -> Option<f64>,
    /// Scatter from which on it is worth asking what makes it (judgement); none where that is not asked.
    pub worth_asking: Option<f64>,
}

const fn figure(key: &'static str, unit: &'static str, value: fn(&Told<'_>) -> Option<f64>) -> Figure {
    Figure { key, unit, value, worth_asking: None }
}

const fn asked(from: f64, key: &'static str, unit: &'static str, value: fn(&Told<'_>) -> Option<f64>) -> Figure {
    Figure { key, unit, value, worth_asking: Some(from) }
}

/// How many there are.
pub const COUNT: usize = 16;

/// All that are told, units as in [`DayFigures`].
pub const FIGURES: [Figure; COUNT] = [
    figure("peak", "m3/m3", |f| Some(f.peak)),
    asked(0.001, "lowest", "m3/m3", |f| Some(f.lowest)),
    asked(0.1, "dry_back_points", "points of volume (percent)", |f| f.dry_back.map(|d| d.points)),
    figure("applied_ml", "mL per plant and day", |f| Some(f.applied_ml)),
    figure("drained_ml", "mL per plant and day", |f| Some(f.drained_ml)),
    figure("taken_up_ml", "mL per plant and day", |f| Some(f.taken_up_ml)),
    figure("evaporated_ml", "mL per plant and day", |f| Some(f.evaporated_ml)),
    asked(0.005, "drain_fraction", "share, 0 to 1", |f| f.drain_fraction),
    figure("drain_ec", "mS/cm at 25 degC", |f| f.drain_ec),
    asked(0.02, "root_zone_ec", "mS/cm at 25 degC", |f| Some(f.root_zone_ec)),
    figure("root_zone_ec_change", "mS/cm from midnight to midnight", |f| Some(f.root_zone_ec_change)),
    asked(0.001, "lowest_air", "m3/m3, root-weighted", |f| Some(f.lowest_air)),
    figure("highest_suction_kpa", "kPa", |f| Some(f.highest_suction_kpa)),
    asked(0.001, "uptake_met", "share, 0 to 1", |f| Some(f.uptake_met)),
    figure("hours_outside_band", "h", |f| f.hours_outside_band),
    figure("container_capacity", "m3/m3", |f| Some(f.container_capacity)),
];

/// The values of a day's figures, in the order of [`FIGURES`]; no number where the day has none.
#[must_use]
pub fn values(day: &Told<'_>) -> [f64; COUNT] {
    std::array::from_fn(|i| (FIGURES[i].value)(day).unwrap_or(f64::NAN))
}

/// Place of a figure among them by its name.
#[must_use]
pub fn place(key: &str) -> Option<usize> {
    FIGURES.iter().position(|f| f.key == key)
}

/// How many aims there may be.
pub const AIMS: usize = 6;

/// Names of the aims.
pub const AIM_KEYS: [&str; AIMS] = ["water_content", "dry_back_points", "drain_percent", "root_zone_ec", "lowest_air", "uptake_met"];

/// Which of them a day is held against; that the plants get what they ask for is an aim of every day.
#[must_use]
pub fn aimed(aims: &Aims) -> [bool; AIMS] {
    let set = [aims.water_content, aims.dry_back_points, aims.drain_percent, aims.root_zone_ec, aims.lowest_air];
    let [water, dry_back, drain, ec, air] = set.map(|aim| aim.band().is_some());
    [water, dry_back, drain, ec, air, true]
}

/// Which of them a day meets. A day without the figure that is aimed for does not.
#[must_use]
pub fn met(figures: &DayFigures, aims: &Aims) -> [bool; AIMS] {
    let v = verdicts(figures, aims);
    [v.peak, v.dry_back, v.drain, v.root_zone_ec, v.lowest_air, v.uptake_met].map(|v| v.mood == Mood::Good)
}
