//! Irrigation events, feed and light.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::clock::Clock;

/// One irrigation event of a schedule. It begins and ends on the same day, and comes every day or every so many.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Event {
    /// When it begins.
    pub start: Clock,
    /// How long it lasts, seconds, 5 s to 12 h.
    pub seconds: u32,
    /// What is given.
    pub give: Give,
    /// EC of this event, mS/cm, if it differs from the feed (plain water: about 0.3).
    #[serde(default)]
    pub ec: Option<f64>,
    /// On which days it comes.
    #[serde(default, skip_serializing_if = "OnDays::are_all")]
    pub days: OnDays,
}

/// The days on which an event comes: every so many, whatever plan is in force.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OnDays {
    /// Days from one to the next, 1–14; 1 is every day.
    pub every: u32,
    /// The first of them, counted from the bench's first day, 1–`every`.
    #[serde(default = "first_day")]
    pub from: u32,
}

fn first_day() -> u32 {
    1
}

impl OnDays {
    /// Every day.
    pub const ALL: Self = Self { every: 1, from: 1 };

    /// Whether that is every day.
    #[must_use]
    pub fn are_all(&self) -> bool {
        self.every <= 1
    }

    /// Whether a day, from 0, is one of them. Numbers that are out of range count as the nearest that are not.
    #[must_use]
    pub fn has(self, day: usize) -> bool {
        let (every, from) = (self.every.max(1) as usize, self.from.max(1) as usize - 1);
        day % every == from % every
    }
}

impl fmt::Display for OnDays {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.are_all() { f.write_str("every day") } else { write!(f, "every {} days, first on day {}", self.every, self.from) }
    }
}

impl Default for OnDays {
    fn default() -> Self {
        Self::ALL
    }
}

impl Event {
    /// A drip event.
    #[must_use]
    pub fn drip(start: Clock, minutes: u32, ml: f64) -> Self {
        Self { start, seconds: minutes * 60, give: Give::Drip { ml }, ec: None, days: OnDays::ALL }
    }

    /// Start, seconds after midnight.
    #[must_use]
    pub fn start_s(&self) -> f64 {
        self.start.seconds()
    }

    /// End, seconds after midnight; past 86,400 if it runs into the next day.
    #[must_use]
    pub fn end_s(&self) -> f64 {
        self.start.seconds() + f64::from(self.seconds)
    }

    /// Millilitres per plant of a drip; `None` for a flood.
    #[must_use]
    pub fn ml(&self) -> Option<f64> {
        match self.give {
            Give::Drip { ml } => Some(ml),
            Give::Flood { .. } => None,
        }
    }

    /// Millilitres per plant that a drip gives in a day, on the mean of its days; `None` for a flood.
    #[must_use]
    pub fn daily_ml(&self) -> Option<f64> {
        Some(self.ml()? / f64::from(self.days.every.max(1)))
    }
}

impl Give {
    /// Whether it comes from below.
    #[must_use]
    pub fn is_flood(self) -> bool {
        matches!(self, Self::Flood { .. })
    }
}

/// What an event gives.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Give {
    /// From above, onto the top layer.
    Drip {
        /// mL per plant, 0.1–20,000.
        ml: f64,
    },
    /// From below: the table stands flooded for the length of the event.
    Flood {
        /// Depth of the flood above the container's base, cm, 0.1–100.
        depth_cm: f64,
    },
}

/// The nutrient solution.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Feed {
    /// EC at 25 °C, mS/cm, 0–20.
    pub ec: f64,
}

/// The day's light, which shapes the demand.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Light {
    /// Lights on, or sunrise.
    pub on: Clock,
    /// Lights off, or sunset; after `on`.
    pub off: Clock,
    /// How it runs in between.
    #[serde(default)]
    pub shape: LightShape,
}

impl Light {
    /// How long it is light, s.
    #[must_use]
    pub fn seconds(&self) -> f64 {
        (self.off.seconds() - self.on.seconds()).max(0.0)
    }
}

/// How light runs through the day.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum LightShape {
    /// Half a sine wave.
    #[default]
    Sun,
    /// Even, with a quarter of an hour's ramp at either end.
    Lamps,
}
