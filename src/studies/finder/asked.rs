//! What is asked of the finder.

use serde::Serialize;

use super::hardware::Hardware;
use crate::engine::column::Column;
use crate::scenario::presets::Library;
use crate::scenario::{Clock, Problem, Scenario, Targets, ranges};
use crate::studies::flush::PLAIN_WATER_EC;

/// What is asked for beside the aims that the lanes carry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asked {
    /// The valve, from 0, whose lanes are looked at.
    pub valve: usize,
    /// No event begins before.
    pub first: Clock,
    /// No event begins after; later than `first`.
    pub last: Clock,
    /// What the equipment can do.
    pub hardware: Hardware,
    /// The feed's EC may be changed, too.
    pub feed_too: bool,
    /// A flood table may be rinsed from above with water of this EC, mS/cm; `None` for no rinse. Where emitters give the water it counts for
    /// nothing.
    pub rinse_ec: Option<f64>,
    /// Days from one rinse to the next, 1–14; `None` where that is looked for, too.
    pub rinse_every: Option<u32>,
    /// Which half of the dry-back range is aimed at.
    pub lean: Lean,
}

/// Which growth is leaned to: the lower half of a lane's dry-back range, all of it, or the upper half (common practice, no source).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Lean {
    /// Less dry-back.
    Vegetative,
    /// The whole range.
    #[default]
    Balanced,
    /// More dry-back.
    Generative,
}

impl Lean {
    /// A lane's aims with this lean.
    #[must_use]
    pub fn of(self, aims: &Targets) -> Targets {
        let half = |(low, high): (f64, f64)| match self {
            Self::Vegetative => (low, 0.5 * (low + high)),
            Self::Balanced => (low, high),
            Self::Generative => (0.5 * (low + high), high),
        };
        Targets { dry_back_points: aims.dry_back_points.map(half), ..*aims }
    }

    /// Starting aims for a lane that has none (common practice, no source; the bands are judgement): those of the presets for stone wool where
    /// nothing in the root zone exchanges, or else of those for coir, with this lean.
    #[must_use]
    pub fn starting(self, column: &Column, library: &Library) -> Option<Targets> {
        let exchanges = column.layers.iter().any(|l| l.held_salt > 0.0);
        let medium = if exchanges { "coir" } else { "stone wool slab" };
        let lean = match self {
            Self::Vegetative => "leaning vegetative",
            Self::Balanced => "balanced",
            Self::Generative => "leaning generative",
        };
        let name = format!("{medium}, {lean}");
        library.targets.iter().find(|t| t.name == name).map(|t| t.targets)
    }
}

/// EC of what a valve's flood table is rinsed with, mS/cm: as it is on the bench, or else plain water.
#[must_use]
pub fn usual_rinse(scenario: &Scenario, valve: usize) -> f64 {
    let rinses = scenario.valves.get(valve).and_then(|v| v.schedule.iter().find(|e| !e.give.is_flood()).and_then(|e| e.ec));
    rinses.unwrap_or(PLAIN_WATER_EC)
}

impl Asked {
    /// Anything within the light on the first valve, on equipment that can do all but what the bench's pump cannot.
    #[must_use]
    pub fn within_the_light(scenario: &Scenario) -> Self {
        let hardware = Hardware { pump_l_per_h: scenario.pump.map(|p| p.litres_per_hour), ..Hardware::default() };
        Self {
            valve: 0,
            first: scenario.light.on,
            last: scenario.light.off,
            hardware,
            feed_too: false,
            rinse_ec: Some(usual_rinse(scenario, 0)),
            rinse_every: None,
            lean: Lean::Balanced,
        }
    }

    /// What cannot be asked of a bench, each by name.
    #[must_use]
    pub fn problems(&self, scenario: &Scenario) -> Vec<Problem> {
        let mut problems = self.hardware.problems();
        if scenario.lanes_on(self.valve).next().is_none() {
            problems.push(Problem {
                field: "--valve".to_owned(),
                value: self.valve.wrapping_add(1).to_string(),
                allowed: format!("1 to {}", scenario.valves.len()),
                why: "a schedule is a valve's".to_owned(),
            });
        }
        let (low, high) = ranges::FEED_EC;
        if let Some(ec) = self.rinse_ec.filter(|ec| !(low..=high).contains(ec)) {
            problems.push(Problem {
                field: "--rinse".to_owned(),
                value: ec.to_string(),
                allowed: format!("{low} to {high} mS/cm"),
                why: "the EC of what a rinse from above is given with".to_owned(),
            });
        }
        if let Some(every) = self.rinse_every.filter(|every| !(ranges::EVERY_DAYS.0..=ranges::EVERY_DAYS.1).contains(&f64::from(*every))) {
            problems.push(Problem {
                field: "--rinse-every".to_owned(),
                value: every.to_string(),
                allowed: format!("{} to {} days", ranges::EVERY_DAYS.0, ranges::EVERY_DAYS.1),
                why: "days from one rinse from above to the next".to_owned(),
            });
        }
        if self.last <= self.first {
            problems.push(Problem {
                field: "--last".to_owned(),
                value: self.last.to_string(),
                allowed: format!("after {}", self.first),
                why: "between the first and the last event there must be time".to_owned(),
            });
        }
        problems
    }
}
