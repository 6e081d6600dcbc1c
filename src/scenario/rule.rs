//! Rules: events that light or dryness calls for, instead of the clock.

use serde::{Deserialize, Serialize};

use super::clock::Clock;
use super::schedule::{Event, Give, OnDays};

/// Events that come when something is so, between two times of the day. They are ordinary events once it is known when.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rule {
    /// What calls for an event.
    pub when: When,
    /// From when on it counts, and the earliest start of an event.
    pub first: Clock,
    /// The latest start of an event.
    pub last: Clock,
    /// How long an event lasts, s, 5 s to 12 h.
    pub seconds: u32,
    /// What an event gives.
    pub give: Give,
    /// EC of its events, mS/cm, if it differs from the feed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ec: Option<f64>,
}

impl Rule {
    /// Its event at a start, s after midnight, rounded up to the second.
    #[must_use]
    pub fn event(&self, start_s: f64) -> Event {
        // A start is within a day: it fits.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let start = Clock::from_seconds((start_s - 1e-3).ceil().max(0.0) as u32);
        Event { start, seconds: self.seconds, give: self.give, ec: self.ec, days: OnDays::ALL }
    }

    /// Whether it listens to a probe, so that what it does cannot be known before the run.
    #[must_use]
    pub fn listens(&self) -> bool {
        matches!(self.when, When::Dry { .. })
    }
}

/// What calls for an event.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum When {
    /// Each time so much light has fallen above the canopy, counted from the rule's first time on.
    Light(LightSum),
    /// When the probe of a lane reads this water content or less.
    Dry {
        /// The lane whose probe is read.
        lane: String,
        /// m³/m³.
        falls_to: f64,
        /// Least time from the end of an event, of whatever kind, to the next of this rule, s.
        #[serde(default = "ten_minutes")]
        pause_s: u32,
    },
}

fn ten_minutes() -> u32 {
    600
}

/// An amount of light.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum LightSum {
    /// Shortwave radiation, J/cm².
    Joules(f64),
    /// Photons for photosynthesis, mol/m².
    Moles(f64),
}
