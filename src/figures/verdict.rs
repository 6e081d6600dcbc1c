//! Figures against targets, in words: a state is never colour alone.

use serde::Serialize;

use super::aims::{Aim, Aims, Unfit};
use super::day::DayFigures;
use super::miss::misses_against;

/// What a figure is worth.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Mood {
    /// As it should be.
    Good,
    /// Worth a look.
    Attention,
    /// Nothing to hold it against.
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

/// Judges a day's figures against what is aimed for.
#[must_use]
pub fn verdicts(figures: &DayFigures, aims: &Aims) -> Verdicts {
    let missed = misses_against(figures, aims);
    let band = |by: Option<f64>, aim: Aim, words: [&'static str; 3]| match (by, aim) {
        (Some(by), _) if by < 0.0 => Verdict::attention(words[0]),
        (Some(by), _) if by > 0.0 => Verdict::attention(words[2]),
        (Some(_), _) => Verdict::good(words[1]),
        (None, Aim::Unfit(_, Unfit::Floods)) => Verdict { word: "runs back", mood: Mood::Plain },
        (None, Aim::Unfit(..)) => Verdict { word: "not judged", mood: Mood::Plain },
        (None, _) => Verdict::PLAIN,
    };
    Verdicts {
        peak: band(missed.peak, aims.water_content, ["under band", "in band", "over band"]),
        dry_back: band(missed.dry_back, aims.dry_back_points, ["shallow", "in range", "deep"]),
        drain: band(missed.drain, aims.drain_percent, ["low", "in range", "high"]),
        root_zone_ec: band(missed.root_zone_ec, aims.root_zone_ec, ["low", "in range", "high"]),
        lowest_air: band(missed.lowest_air, aims.lowest_air, ["too little", "enough", "enough"]),
        uptake_met: match missed.uptake_met {
            Some(by) if by >= 0.0 => Verdict::good("good"),
            Some(by) if by >= -1.0 => Verdict::attention("stressed"),
            _ => Verdict::attention("suffers"),
        },
    }
}
