//! A lane's day as a picture: a column per few minutes, a row per few millimetres.

use eframe::egui::{Color32, ColorImage};

use crate::app::look::ramp::Ramp;
use crate::app::look::theme::Tokens;
use crate::engine::run::LaneRun;
use crate::scenario::DAY_S;
use crate::units::{self, HOUR_S, Units};

/// Columns of the picture: one per three minutes.
const COLUMNS: usize = 480;
/// Rows of the picture.
const ROWS: usize = 240;

/// What is shown by height.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Quantity {
    /// Water content, percent of volume.
    #[default]
    Water,
    /// Air content, percent of volume.
    Air,
    /// Suction.
    Suction,
    /// EC of the pore water.
    Ec,
}

impl Quantity {
    /// All, in the order of their buttons.
    pub const ALL: [Self; 4] = [Self::Water, Self::Air, Self::Suction, Self::Ec];

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Water => "Water",
            Self::Air => "Air",
            Self::Suction => "Suction",
            Self::Ec => "EC",
        }
    }

    /// Its name within a line of words.
    #[must_use]
    pub const fn phrase(self) -> &'static str {
        match self {
            Self::Water => "water",
            Self::Air => "air",
            Self::Suction => "suction",
            Self::Ec => "EC",
        }
    }

    /// What it is, for its unit.
    const fn kind(self) -> units::Quantity {
        match self {
            Self::Water | Self::Air => units::Quantity::Plain("% by volume", 1),
            Self::Suction => units::Quantity::Head,
            Self::Ec => units::Quantity::Ec,
        }
    }

    /// The unit shown.
    #[must_use]
    pub fn unit(self, units: Units) -> &'static str {
        self.kind().unit(units)
    }

    /// A line for whoever sees it for the first time.
    #[must_use]
    pub const fn explained(self) -> &'static str {
        match self {
            Self::Water => "How much of the volume is water. After an event water sinks, and the base stays wetter than the top.",
            Self::Air => "How much of the volume is air. Roots breathe it: where it stays low for long, they take up less.",
            Self::Suction => "How hard roots must pull for water. At rest it grows with the height above the outlet.",
            Self::Ec => "How salty the water in the pores is. Uptake and evaporation leave salt behind, drain carries it out.",
        }
    }

    /// Its colours, from least to most: air has its own, since a deep blue reads as water.
    #[must_use]
    pub fn ramp(self, t: &Tokens) -> &Ramp {
        if self == Self::Air { &t.air_ramp } else { &t.ramp }
    }

    /// The value shown of a layer at a sample (row of the profiles).
    #[must_use]
    pub fn value(self, run: &LaneRun, row: usize, layer: usize, units: Units) -> Option<f64> {
        let p = &run.series.profiles;
        let at = row * p.layers + layer;
        let theta = f64::from(*p.theta.get(at)?);
        let value = match self {
            Self::Water => 100.0 * theta,
            Self::Air => 100.0 * (run.column.parts.get(run.column.layers.get(layer)?.part)?.medium.porosity - theta).max(0.0),
            Self::Suction => f64::from(*p.head.get(at)?).min(0.0),
            Self::Ec => f64::from(*p.ec.get(at)?),
        };
        Some(self.kind().shown(value, units))
    }
}

/// Time of a column's middle, s since the run's start.
#[allow(clippy::cast_precision_loss)]
fn time_of(column: usize, midnight_s: f64) -> f64 {
    midnight_s + DAY_S * (column as f64 + 0.5) / COLUMNS as f64
}

/// Least and greatest value shown of a day.
#[must_use]
pub fn range(run: &LaneRun, quantity: Quantity, units: Units, midnight_s: f64) -> (f64, f64) {
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for column in 0..COLUMNS {
        let Some(row) = run.series.row(time_of(column, midnight_s)) else { continue };
        for value in (0..run.column.layers.len()).filter_map(|layer| quantity.value(run, row, layer, units)) {
            low = low.min(value);
            high = high.max(value);
        }
    }
    (low, high)
}

/// The picture of a day.
#[must_use]
pub fn picture(run: &LaneRun, quantity: Quantity, units: Units, midnight_s: f64, (low, high): (f64, f64), ramp: &Ramp) -> ColorImage {
    let layers = layer_of_rows(run);
    let mut pixels = vec![Color32::TRANSPARENT; COLUMNS * ROWS];
    for column in 0..COLUMNS {
        let Some(row) = run.series.row(time_of(column, midnight_s)) else { continue };
        for (y, layer) in layers.iter().enumerate() {
            if let (Some(value), Some(pixel)) = (quantity.value(run, row, *layer, units), pixels.get_mut(y * COLUMNS + column)) {
                *pixel = ramp.at(share(value, low, high));
            }
        }
    }
    ColorImage::new([COLUMNS, ROWS], pixels)
}

/// Where a value lies between two, 0–1.
#[must_use]
#[allow(clippy::cast_possible_truncation)]
pub fn share(value: f64, low: f64, high: f64) -> f32 {
    ((value - low) / (high - low).max(1e-9)).clamp(0.0, 1.0) as f32
}

/// The layer shown by each row, the top first.
#[allow(clippy::cast_precision_loss)]
fn layer_of_rows(run: &LaneRun) -> Vec<usize> {
    let row = |y: usize| {
        let z = run.column.height * (1.0 - (y as f64 + 0.5) / ROWS as f64);
        run.column.layers.iter().position(|l| z <= l.z + 0.5 * l.dz).unwrap_or(run.column.layers.len().saturating_sub(1))
    };
    (0..ROWS).map(row).collect()
}

/// Share of the pores' volume from which they count as nearly full.
pub const NEARLY_FULL: f64 = 0.95;

/// Height up to which, from the base, pores are nearly full, through the day as (hour, cm): the top of the perched water.
#[must_use]
pub fn perched(run: &LaneRun, midnight_s: f64) -> Vec<(f64, f64)> {
    let column = &run.column;
    let count = run.series.profiles.layers;
    let full: Vec<f64> = column.layers.iter().map(|l| column.parts.get(l.part).map_or(1.0, |p| p.medium.curve.theta_s())).collect();
    let height = |at: f64| {
        let row = run.series.row(at).map(|row| row * count);
        let theta = row.and_then(|row| run.series.profiles.theta.get(row..row + count)).unwrap_or_default();
        let mut below = (0.0, 1.0);
        for ((layer, theta), full) in column.layers.iter().zip(theta).zip(&full) {
            let share = f64::from(*theta) / full;
            if share < NEARLY_FULL {
                let x = if below.1 > share { (below.1 - NEARLY_FULL) / (below.1 - share) } else { 0.0 };
                return if below.0 > 0.0 { below.0 + (layer.z - below.0) * x } else { 0.0 };
            }
            below = (layer.z, share);
        }
        column.height
    };
    let instants = (0..COLUMNS).map(|c| time_of(c, midnight_s));
    instants.map(|at| ((at - midnight_s) / HOUR_S, height(at).clamp(0.0, column.height))).collect()
}
