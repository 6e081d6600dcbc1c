//! The tank that the pump draws from.

use serde::{Deserialize, Serialize};

use super::clock::Clock;

/// One tank for all lanes. Events with an EC of their own are not drawn from it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tank {
    /// Litres when it is full, 1–1,000,000. It is full at the start.
    pub litres: f64,
    /// EC at the start, mS/cm; the feed's where it is left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start_ec: Option<f64>,
    /// What it is filled up with.
    #[serde(default)]
    pub refill: Refill,
    /// When it is filled up.
    #[serde(default)]
    pub filled: Filled,
    /// Whether what drains comes back into it; otherwise it goes to waste.
    #[serde(default)]
    pub drain_returns: bool,
}

/// What a tank is filled up with.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Refill {
    /// The bench's feed.
    #[default]
    Feed,
    /// Water of this EC, mS/cm.
    Water {
        /// mS/cm at 25 °C, 0–20.
        ec: f64,
    },
}

/// When a tank is filled up.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub enum Filled {
    /// Before every event.
    #[default]
    Always,
    /// Once a day.
    At(Clock),
    /// Not at all.
    Never,
}
