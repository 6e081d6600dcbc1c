//! Lean: vegetative or generative, as the sum of parts that are shown.
//!
//! Common practice, no source: growers say that drying back further, a saltier root zone, a later first event and fewer,
//! larger events lean a plant generative, and the opposite vegetative. The scales below are our judgement.

use serde::Serialize;

use super::day::DayFigures;
use crate::scenario::{Event, Lane, Light};

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
    /// The parts, always shown.
    pub parts: Vec<LeanPart>,
    /// Their mean, −1 to +1.
    pub sum: f64,
}

impl Lean {
    /// The lean in words.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self.sum {
            s if s <= -0.4 => "leans vegetative",
            s if s < -0.12 => "leans a little vegetative",
            s if s <= 0.12 => "balanced",
            s if s < 0.4 => "leans a little generative",
            _ => "leans generative",
        }
    }
}

/// The lean of a day.
#[must_use]
pub fn lean(figures: &DayFigures, lane: &Lane, schedule: &[Event], light: &Light, feed_ec: f64) -> Lean {
    let mut parts = Vec::new();
    // −1 at `low`, +1 at `high`.
    let mut part = |name, value: String, x: f64, low: f64, high: f64| {
        parts.push(LeanPart { name, value, push: ((2.0 * x - low - high) / (high - low)).clamp(-1.0, 1.0) });
    };
    if let Some(dry_back) = figures.dry_back {
        let (low, high) = lane.targets.dry_back_points.unwrap_or((4.0, 10.0));
        part("dry-back", format!("{:.1} points", dry_back.points), dry_back.points, low, high);
    }
    if feed_ec > 0.0 {
        let over = figures.root_zone_ec / feed_ec;
        part("root-zone EC over feed", format!("{over:.2} times"), over, 1.0, 1.8);
    }
    if let Some(first) = schedule.first() {
        let delay = first.start.hours() - light.on.hours();
        part("first event after lights on", format!("{delay:.1} h"), delay, 0.5, 3.5);
    }
    let given: Vec<f64> = schedule.iter().filter_map(|e| e.ml().map(|ml| ml * lane.dose)).collect();
    if !given.is_empty() {
        #[allow(clippy::cast_precision_loss)]
        let mean = given.iter().sum::<f64>() / given.len() as f64;
        let share = 100.0 * mean / lane.container.volume_per_plant_ml();
        part("event size", format!("{share:.1} % of the volume"), share, 1.5, 6.5);
    }
    #[allow(clippy::cast_precision_loss)]
    let sum = if parts.is_empty() { 0.0 } else { parts.iter().map(|p| p.push).sum::<f64>() / parts.len() as f64 };
    Lean { parts, sum }
}
