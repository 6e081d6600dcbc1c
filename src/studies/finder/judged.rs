//! Figures of a day against the aims.

use std::collections::BTreeMap;

use serde::Serialize;

use super::asked::Lean;
use crate::engine::run::{LaneRun, Settled};
use crate::figures::marks::WELL_SERVED;
use crate::figures::{DayFigures, Misses, misses};
use crate::scenario::{Lane, Targets};

/// A figure that has an aim.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Figure {
    /// Highest water content, m³/m³.
    Peak,
    /// Night dry-back, points.
    DryBackPoints,
    /// Drained share of what was given, %.
    DrainPercent,
    /// Root-zone EC, mS/cm.
    RootZoneEc,
    /// Lowest air in the root zone, m³/m³.
    LowestAir,
    /// Uptake met, 0–1.
    UptakeMet,
}

impl Figure {
    /// All of them.
    pub const ALL: [Self; 6] = [Self::Peak, Self::DryBackPoints, Self::DrainPercent, Self::RootZoneEc, Self::LowestAir, Self::UptakeMet];

    /// In words, with its unit.
    #[must_use]
    pub fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Peak => ("peak water content", "%"),
            Self::DryBackPoints => ("night dry-back", "points"),
            Self::DrainPercent => ("drain", "%"),
            Self::RootZoneEc => ("root-zone EC", "mS/cm"),
            Self::LowestAir => ("lowest air", "%"),
            Self::UptakeMet => ("uptake met", "%"),
        }
    }

    /// What a number of it is multiplied by to be told in that unit.
    #[must_use]
    pub fn scale(self) -> f64 {
        if matches!(self, Self::Peak | Self::LowestAir | Self::UptakeMet) { 100.0 } else { 1.0 }
    }

    /// Its value on a day; `None` where the day has none.
    #[must_use]
    pub fn value(self, day: &DayFigures) -> Option<f64> {
        match self {
            Self::Peak => Some(day.peak),
            Self::DryBackPoints => day.dry_back.map(|d| d.points),
            Self::DrainPercent => day.drain_fraction.map(|d| 100.0 * d),
            Self::RootZoneEc => Some(day.root_zone_ec),
            Self::LowestAir => Some(day.lowest_air),
            Self::UptakeMet => Some(day.uptake_met),
        }
    }

    /// Its aim: from, to.
    #[must_use]
    pub fn aim(self, aims: &Targets) -> Option<(f64, f64)> {
        match self {
            Self::Peak => aims.water_content,
            Self::DryBackPoints => aims.dry_back_points,
            Self::DrainPercent => aims.drain_percent,
            Self::RootZoneEc => aims.root_zone_ec,
            Self::LowestAir => aims.lowest_air.map(|least| (least, 1.0)),
            Self::UptakeMet => Some((WELL_SERVED, 1.0)),
        }
    }

    /// How far it is from its aim.
    #[must_use]
    pub fn miss(self, misses: &Misses) -> Option<f64> {
        match self {
            Self::Peak => misses.peak,
            Self::DryBackPoints => misses.dry_back,
            Self::DrainPercent => misses.drain,
            Self::RootZoneEc => misses.root_zone_ec,
            Self::LowestAir => misses.lowest_air,
            Self::UptakeMet => misses.uptake_met,
        }
    }
}

/// An aim and what the settled day comes to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AimTold {
    /// The lane.
    pub lane: String,
    /// What is aimed at.
    pub figure: Figure,
    /// From, to.
    pub aim: (f64, f64),
    /// What it comes to; `None` where the day has no such figure.
    pub value: Option<f64>,
    /// Whether it is met.
    pub met: bool,
    /// The least and the most that it came to in this lane under the schedules that were run until they settled.
    pub reached: Option<(f64, f64)>,
}

/// A lane's settled day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LaneSettled {
    /// The lane.
    pub lane: String,
    /// Its figures.
    pub settled: BTreeMap<&'static str, Option<f64>>,
    /// Whether and when it repeats itself.
    #[serde(skip)]
    pub when: Settled,
    /// The same in words.
    pub told: String,
}

impl LaneSettled {
    /// Whether the day repeats itself.
    #[must_use]
    pub fn repeats(&self) -> bool {
        matches!(self.when, Settled::OnDay(_))
    }
}

/// A day of one lane, judged.
#[derive(Clone, Debug)]
pub(super) struct Judged {
    pub figures: DayFigures,
    pub misses: Misses,
}

impl Judged {
    /// A day (from 0) of a run against the lane's aims; `None` where the run did not reach its end.
    pub fn of(run: &LaneRun, lane: &Lane, day: usize, lean: Lean) -> Option<Self> {
        let figures = crate::figures::day_figures(run, lane, day)?;
        let misses = misses(&figures, &lean.of(&lane.targets));
        Some(Self { figures, misses })
    }

    /// What it costs: squares of what is missed; a plant that is not served counts most, and a figure that the day does not have as much as one
    /// that is a band's width away. The weights are judgement.
    pub fn cost(&self, aims: &Targets) -> f64 {
        Figure::ALL
            .into_iter()
            .filter(|f| f.aim(aims).is_some())
            .map(|f| {
                let miss = f.miss(&self.misses).unwrap_or(1.0);
                let weight = if f == Figure::UptakeMet { 4.0 } else { 1.0 };
                weight * miss * miss
            })
            .sum()
    }
}
