//! Lean: vegetative or generative, as the sum of parts that are shown.
//!
//! Common practice, no source: growers say that drying back further, a saltier root zone, a later first event and fewer,
//! larger events lean a plant generative, and the opposite vegetative. The scales below are our judgement.

use serde::Serialize;

use super::aims::{Aim, Band};
use super::day::DayFigures;
use super::marks::SUFFERS;
use crate::scenario::{Event, Lane};
use crate::units::HOUR_S;

/// One part of the lean: −1 fully vegetative to +1 fully generative.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LeanPart {
    /// What it is.
    pub name: &'static str,
    /// The value judged, in words.
    pub value: String,
    /// −1 to +1.
    pub push: f64,
}

/// The lean of a day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Lean {
    /// The parts that are known.
    pub parts: Vec<LeanPart>,
    /// Their mean, −1 to +1; `None` where there is no lean to tell.
    pub sum: Option<f64>,
    /// Why there is none, in words; empty where there is one.
    pub why: &'static str,
}

impl Lean {
    /// The lean in words.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self.sum {
            None => "no lean to tell",
            Some(s) if s <= -0.4 => "leans vegetative",
            Some(s) if s < -0.12 => "leans a little vegetative",
            Some(s) if s <= 0.12 => "balanced",
            Some(s) if s < 0.4 => "leans a little generative",
            Some(_) => "leans generative",
        }
    }
}

/// What a lean is told from, besides the figures.
#[derive(Clone, Copy, Debug)]
pub struct Steered<'a> {
    /// The day's events.
    pub events: &'a [Event],
    /// When it becomes light, s from midnight; `None` where it stays dark.
    pub light_s: Option<f64>,
    /// EC of what was given, mS/cm; 0 where nothing was.
    pub feed_ec: f64,
    /// The night dry-back that is aimed for.
    pub dry_back: Aim,
}

/// Dry-back between leaf and fruit where none is aimed for, points.
const USUAL_DRY_BACK: Band = (4.0, 10.0);
/// Parts below which there is no lean to tell.
const LEAST_PARTS: usize = 2;

/// The lean of a day. None is told where nothing is given, where the plant gets too little of what it asks for, and from one part alone.
#[must_use]
pub fn lean(figures: &DayFigures, lane: &Lane, by: Steered<'_>) -> Lean {
    let parts = parts(figures, lane, by);
    let why = if by.events.is_empty() || figures.applied_ml <= 0.0 {
        "nothing is given"
    } else if figures.uptake_met < SUFFERS {
        "the plant gets too little of what it asks for"
    } else if parts.len() < LEAST_PARTS {
        "too little is known"
    } else {
        ""
    };
    #[allow(clippy::cast_precision_loss)]
    let sum = why.is_empty().then(|| parts.iter().map(|p| p.push).sum::<f64>() / parts.len() as f64);
    Lean { parts, sum, why }
}

fn parts(figures: &DayFigures, lane: &Lane, by: Steered<'_>) -> Vec<LeanPart> {
    let mut parts = Vec::new();
    // −1 at `low`, +1 at `high`.
    let mut part = |name, value: String, x: f64, (low, high): Band| {
        let width = (high - low).max(f64::MIN_POSITIVE);
        parts.push(LeanPart { name, value, push: ((2.0 * x - low - high) / width).clamp(-1.0, 1.0) });
    };
    // A container that no night dries as far as is aimed for says nothing of how it is steered.
    let between = match by.dry_back {
        Aim::Band(band, _) => Some(band),
        Aim::None => Some(USUAL_DRY_BACK),
        Aim::Unfit(..) => None,
    };
    if let Some((dry_back, band)) = figures.dry_back.zip(between) {
        part("dry-back", format!("{:.1} points", dry_back.points), dry_back.points, band);
    }
    if by.feed_ec > 0.0 {
        let over = figures.root_zone_ec / by.feed_ec;
        part("root-zone EC over feed", format!("{over:.2} times"), over, (1.0, 1.8));
    }
    if let Some((first, light_s)) = by.events.first().zip(by.light_s) {
        let delay = (first.start_s() - light_s) / HOUR_S;
        part("first event after lights on", format!("{delay:.1} h"), delay, (0.5, 3.5));
    }
    let given: Vec<f64> = by.events.iter().filter_map(|e| e.ml().map(|ml| ml * lane.dose)).collect();
    if !given.is_empty() {
        #[allow(clippy::cast_precision_loss)]
        let mean = given.iter().sum::<f64>() / given.len() as f64;
        let share = 100.0 * mean / lane.container.volume_per_plant_ml();
        part("event size", format!("{share:.1} % of the volume"), share, (1.5, 6.5));
    }
    parts
}
