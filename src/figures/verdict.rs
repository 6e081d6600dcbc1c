//! Figures against targets, in words: a state is never colour alone.

use serde::Serialize;

use super::day::DayFigures;
use super::marks::{SUFFERS, WELL_SERVED};
use crate::scenario::Lane;

/// What a figure is worth.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Mood {
    /// As it should be.
    Good,
    /// Worth a look.
    Attention,
    /// No target is set.
    Plain,
}

/// A figure's state in words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Verdict {
    /// The word shown.
    pub word: &'static str,
    /// What it is worth.
    pub mood: Mood,
}

impl Verdict {
    const fn good(word: &'static str) -> Self {
        Self { word, mood: Mood::Good }
    }
    const fn attention(word: &'static str) -> Self {
        Self { word, mood: Mood::Attention }
    }
    /// No target, or nothing to judge.
    pub const PLAIN: Self = Self { word: "", mood: Mood::Plain };
}

/// The states of a day's figures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Verdicts {
    /// Peak water content.
    pub peak: Verdict,
    /// Night dry-back.
    pub dry_back: Verdict,
    /// Drain fraction.
    pub drain: Verdict,
    /// Root-zone EC.
    pub root_zone_ec: Verdict,
    /// Lowest air.
    pub lowest_air: Verdict,
    /// Uptake met.
    pub uptake_met: Verdict,
}

/// Judges a day's figures against the lane's targets.
#[must_use]
pub fn verdicts(figures: &DayFigures, lane: &Lane) -> Verdicts {
    let t = &lane.targets;
    let band = |value: Option<f64>, band: Option<(f64, f64)>, words: [&'static str; 3]| match (value, band) {
        (Some(v), Some((low, _))) if v < low => Verdict::attention(words[0]),
        (Some(v), Some((_, high))) if v > high => Verdict::attention(words[2]),
        (Some(_), Some(_)) => Verdict::good(words[1]),
        _ => Verdict::PLAIN,
    };
    Verdicts {
        peak: band(Some(figures.peak), t.water_content, ["under band", "in band", "over band"]),
        dry_back: band(figures.dry_back.map(|d| d.points), t.dry_back_points, ["shallow", "in range", "deep"]),
        drain: band(figures.drain_fraction.map(|d| 100.0 * d), t.drain_percent, ["low", "in range", "high"]),
        root_zone_ec: band(Some(figures.root_zone_ec), t.root_zone_ec, ["low", "in range", "high"]),
        lowest_air: match t.lowest_air {
            Some(least) if figures.lowest_air < least => Verdict::attention("too little"),
            Some(_) => Verdict::good("enough"),
            None => Verdict::PLAIN,
        },
        uptake_met: if figures.uptake_met >= WELL_SERVED {
            Verdict::good("good")
        } else if figures.uptake_met >= SUFFERS {
            Verdict::attention("stressed")
        } else {
            Verdict::attention("suffers")
        },
    }
}
