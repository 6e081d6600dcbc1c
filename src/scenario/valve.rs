//! Valves: who gets what. Each has a schedule of its own; pump, tank and light they share.

use serde::{Deserialize, Serialize};

use super::plan::PlanChange;
use super::rule::Rule;
use super::schedule::Event;

/// Most valves of a bench: one for each of as many lanes as there can be.
pub const MAX_VALVES: usize = 16;

/// A valve: the lanes on it get the same events.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Valve {
    /// The name growers see; no two valves share one.
    pub name: String,
    /// EC of what it gives, mS/cm, 0–20, if it differs from the bench's feed. It is then not drawn from the tank.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ec: Option<f64>,
    /// Events of every day, in order of their start; they do not overlap.
    #[serde(default)]
    pub schedule: Vec<Event>,
    /// Rules that add events to them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rules: Vec<Rule>,
    /// Other schedules from a later day on, in order of their days.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub changes: Vec<PlanChange>,
}

impl Valve {
    /// The name of the only valve of a bench.
    pub const ONLY: &'static str = "Valve 1";

    /// A valve with a schedule and nothing else, under the name of a bench's only one.
    #[must_use]
    pub fn only(schedule: Vec<Event>) -> Self {
        Self { name: Self::ONLY.to_owned(), ec: None, schedule, rules: Vec::new(), changes: Vec::new() }
    }

    /// Whether every event of every plan comes every day.
    #[must_use]
    pub fn is_daily(&self) -> bool {
        self.schedule.iter().chain(self.changes.iter().flat_map(|c| &c.schedule)).all(|e| e.days.are_all())
    }

    /// Every rule of every plan.
    pub fn all_rules(&self) -> impl Iterator<Item = &Rule> {
        self.rules.iter().chain(self.changes.iter().flat_map(|c| &c.rules))
    }

    /// The same, to be changed.
    pub fn all_rules_mut(&mut self) -> impl Iterator<Item = &mut Rule> {
        self.rules.iter_mut().chain(self.changes.iter_mut().flat_map(|c| &mut c.rules))
    }

    /// The number of the plan in force on a day, from 0.
    #[must_use]
    pub fn plan_on(&self, day: usize) -> usize {
        self.changes.iter().filter(|c| c.from_day as usize <= day + 1).count()
    }

    /// The day, from 0, on which a plan begins.
    #[must_use]
    pub fn plan_begins(&self, number: usize) -> usize {
        number.checked_sub(1).and_then(|i| self.changes.get(i)).map_or(0, |c| (c.from_day as usize).saturating_sub(1))
    }

    /// The day, from 0, on which its last plan begins.
    #[must_use]
    pub fn last_begins(&self) -> usize {
        self.plan_begins(self.changes.len())
    }
}

/// The pump that all valves share.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pump {
    /// Litres that it gives in an hour, 1–1,000,000.
    pub litres_per_hour: f64,
}

/// A lane's valve in a file is counted from 1.
pub(super) mod from_one {
    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    pub fn serialize<S: Serializer>(index: &usize, to: S) -> Result<S::Ok, S::Error> {
        (index + 1).serialize(to)
    }

    pub fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<usize, D::Error> {
        // Zero is no valve: it is told with the values that cannot be.
        usize::deserialize(from).map(|number| number.wrapping_sub(1))
    }

    #[allow(clippy::trivially_copy_pass_by_ref)] // serde asks for a reference
    pub fn is_first(index: &usize) -> bool {
        *index == 0
    }
}
