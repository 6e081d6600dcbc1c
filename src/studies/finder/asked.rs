//! What is asked of the finder.

use serde::Serialize;

use super::hardware::Hardware;
use crate::scenario::{Clock, Problem, Scenario, Targets};

/// What is asked for beside the aims that the lanes carry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asked {
    /// No event begins before.
    pub first: Clock,
    /// No event begins after; later than `first`.
    pub last: Clock,
    /// What the equipment can do.
    pub hardware: Hardware,
    /// The feed's EC may be changed, too.
    pub feed_too: bool,
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
}

impl Asked {
    /// Anything within the light, on equipment that can do all.
    #[must_use]
    pub fn within_the_light(scenario: &Scenario) -> Self {
        Self { first: scenario.light.on, last: scenario.light.off, hardware: Hardware::default(), feed_too: false, lean: Lean::Balanced }
    }

    /// What cannot be, each by name.
    #[must_use]
    pub fn problems(&self) -> Vec<Problem> {
        let mut problems = self.hardware.problems();
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
