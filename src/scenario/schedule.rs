//! Irrigation events, feed and light.

use serde::{Deserialize, Serialize};

use super::clock::Clock;

/// One irrigation event of the daily schedule. It begins and ends on the same day.
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
}

impl Event {
    /// A drip event.
    #[must_use]
    pub fn drip(start: Clock, minutes: u32, ml: f64) -> Self {
        Self { start, seconds: minutes * 60, give: Give::Drip { ml }, ec: None }
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
