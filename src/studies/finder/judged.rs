//! Figures of a day against the aims.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::engine::run::{LaneRun, Settled};
use crate::figures::aims::Unfit;
use crate::figures::marks::WELL_SERVED;
use crate::figures::{Aim, Aims, DayFigures, Measured, Misses, misses_against};
use crate::scenario::{Lane, Scenario};
use crate::units::{Quantity, Units};

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

    /// Its name in files.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Peak => "peak",
            Self::DryBackPoints => "dry_back_points",
            Self::DrainPercent => "drain_percent",
            Self::RootZoneEc => "root_zone_ec",
            Self::LowestAir => "lowest_air",
            Self::UptakeMet => "uptake_met",
        }
    }

    /// What it is called.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Peak => "peak water content",
            Self::DryBackPoints => "night dry-back",
            Self::DrainPercent => "drain",
            Self::RootZoneEc => "root-zone EC",
            Self::LowestAir => "lowest air",
            Self::UptakeMet => "uptake met",
        }
    }

    /// What kind of number it is, as it is shown.
    fn quantity(self) -> Quantity {
        match self {
            Self::Peak | Self::LowestAir | Self::UptakeMet => Quantity::Share,
            Self::DryBackPoints => Quantity::Plain("points", 1),
            Self::DrainPercent => Quantity::Plain("%", 1),
            Self::RootZoneEc => Quantity::Ec,
        }
    }

    /// The unit that its numbers are shown in.
    #[must_use]
    pub fn unit(self, units: Units) -> &'static str {
        self.quantity().unit(units)
    }

    /// A number of it as it is shown, without its unit.
    #[must_use]
    pub fn number(self, value: f64, units: Units) -> String {
        let (quantity, decimals) = (self.quantity(), self.quantity().decimals(units));
        format!("{:.decimals$}", quantity.shown(value, units))
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

    /// Its aim; that the plants get what they ask for is always one.
    #[must_use]
    pub fn aim(self, aims: &Aims) -> Aim {
        match self {
            Self::Peak => aims.water_content,
            Self::DryBackPoints => aims.dry_back_points,
            Self::DrainPercent => aims.drain_percent,
            Self::RootZoneEc => aims.root_zone_ec,
            Self::LowestAir => aims.lowest_air,
            Self::UptakeMet => Aim::Band((WELL_SERVED, f64::INFINITY), crate::figures::aims::From::Container),
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
    /// From, to; null where there is no upper end.
    pub aim: (f64, f64),
    /// What it comes to, of several days that repeat themselves together on the day that is furthest from the aim; `None` where the day has no
    /// such figure.
    pub value: Option<f64>,
    /// Whether it is met.
    pub met: bool,
    /// The least and the most that it came to in this lane under the schedules that were run until they settled.
    pub reached: Option<(f64, f64)>,
}

/// A target that cannot be met in a lane, and by which nothing is judged.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct NotJudged {
    /// What is aimed at.
    pub figure: Figure,
    /// From, to.
    pub target: (f64, f64),
    /// Why.
    pub why: Unfit,
}

/// A lane's settled day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LaneSettled {
    /// The lane.
    pub lane: String,
    /// Its figures; of several days that repeat themselves together those that have an aim on the day furthest from it, the others on the last.
    pub settled: BTreeMap<&'static str, Option<f64>>,
    /// Whether and when it repeats itself.
    #[serde(skip)]
    pub when: Settled,
    /// The same in words.
    pub told: String,
    /// Its targets that do not fit it.
    pub not_judged: Vec<NotJudged>,
}

impl LaneSettled {
    /// Whether the day repeats itself.
    #[must_use]
    pub fn repeats(&self) -> bool {
        matches!(self.when, Settled::OnDay(_))
    }
}

/// A lane under a plan, judged: by each day of what repeats itself.
#[derive(Clone, Debug)]
pub(super) struct Judged {
    /// In order; at least one.
    days: Vec<JudgedDay>,
}

/// A day of it.
#[derive(Clone, Debug)]
struct JudgedDay {
    figures: DayFigures,
    aims: Aims,
    misses: Misses,
    /// The same against aims with a margin.
    within: Misses,
}

/// Margin within an aim, as a share of its width, so that what is on the edge of it on one day is still in it on the next (judgement).
const MARGIN: f64 = 0.02;
/// What a miss of the margin alone weighs beside one of the aim.
const LIGHT: f64 = 0.01;

/// Aims with a margin.
fn narrowed(aims: &Aims) -> Aims {
    let narrow = |aim: Aim| match aim {
        Aim::Band((low, high), from) if high.is_finite() => {
            let margin = MARGIN * (high - low);
            Aim::Band((low + margin, high - margin), from)
        }
        Aim::Band((low, high), from) => Aim::Band((low * (1.0 + MARGIN), high), from),
        other => other,
    };
    Aims {
        water_content: narrow(aims.water_content),
        dry_back_points: narrow(aims.dry_back_points),
        drain_percent: narrow(aims.drain_percent),
        root_zone_ec: narrow(aims.root_zone_ec),
        lowest_air: narrow(aims.lowest_air),
    }
}

impl JudgedDay {
    /// What a figure costs: the square of what is missed; a plant that is not served counts most, and a figure that the day does not have, or a
    /// target that only a starving plant misses, as much as one that is a band's width away. The weights are judgement.
    fn cost(&self, figure: Figure, misses: &Misses) -> f64 {
        match (figure.aim(&self.aims), figure.miss(misses)) {
            (Aim::None, _) => 0.0,
            (Aim::Unfit(_, Unfit::Starves), _) | (Aim::Band(..), None) => 1.0,
            (Aim::Unfit(..), _) => 0.0,
            (Aim::Band(..), Some(miss)) if figure == Figure::UptakeMet => 4.0 * miss * miss,
            (Aim::Band(..), Some(miss)) => miss * miss,
        }
    }
}

impl Judged {
    /// A day (from 0) of a run against the aims that fit the lane; `None` where the run did not reach its end.
    pub fn of(scenario: &Scenario, lane: &Lane, run: &LaneRun, day: usize) -> Option<Self> {
        if run.failure().is_some() {
            return None;
        }
        let Measured { figures, aims, .. } = Measured::of(scenario, lane, run, day)?;
        let (misses, within) = (misses_against(&figures, &aims), misses_against(&figures, &narrowed(&aims)));
        Some(Self { days: vec![JudgedDay { figures, aims, misses, within }] })
    }

    /// Several days together; `None` where one of them, or all, are missing.
    pub fn together(days: impl IntoIterator<Item = Option<Self>>) -> Option<Self> {
        let days: Option<Vec<Self>> = days.into_iter().collect();
        let days: Vec<JudgedDay> = days?.into_iter().flat_map(|judged| judged.days).collect();
        (!days.is_empty()).then_some(Self { days })
    }

    /// The day on which a figure costs most, the last of those.
    fn worst(&self, figure: Figure) -> &JudgedDay {
        let cost = |day: &JudgedDay| (day.cost(figure, &day.misses), day.cost(figure, &day.within));
        let last = &self.days[self.days.len() - 1];
        self.days.iter().rev().fold(last, |worst, day| if cost(day) > cost(worst) { day } else { worst })
    }

    /// A figure on the day on which it is furthest from its aim; `None` where that day has none.
    pub fn value(&self, figure: Figure) -> Option<f64> {
        figure.value(&self.worst(figure).figures)
    }

    /// How far it is from its aim on that day.
    pub fn miss(&self, figure: Figure) -> Option<f64> {
        figure.miss(&self.worst(figure).misses)
    }

    /// Its aim on that day.
    pub fn aim(&self, figure: Figure) -> Aim {
        figure.aim(&self.worst(figure).aims)
    }

    /// The figures of the last of the days.
    pub fn last_day(&self) -> &DayFigures {
        &self.days[self.days.len() - 1].figures
    }

    /// What it costs: each figure as on the day on which it costs most.
    pub fn cost(&self) -> f64 {
        Figure::ALL.into_iter().map(|figure| self.days.iter().map(|day| day.cost(figure, &day.misses)).fold(0.0, f64::max)).sum()
    }

    /// The same, and a little for what lies within its aim but on the edge of it.
    pub fn ranks(&self) -> f64 {
        let edge = |figure: Figure| self.days.iter().map(|day| day.cost(figure, &day.within)).fold(0.0, f64::max);
        self.cost() + LIGHT * Figure::ALL.into_iter().map(edge).sum::<f64>()
    }

    /// Targets that do not fit the lane.
    pub fn not_judged(&self) -> Vec<NotJudged> {
        let unfit = |figure: Figure| match self.aim(figure) {
            Aim::Unfit(target, why) => Some(NotJudged { figure, target, why }),
            _ => None,
        };
        Figure::ALL.into_iter().filter_map(unfit).collect()
    }

    /// Whether every aim is met.
    pub fn meets_all(&self) -> bool {
        self.cost() == 0.0
    }
}
