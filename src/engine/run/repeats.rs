//! When a day is as the one before it.

use std::fmt;

use serde::Serialize;

use super::simulation::Simulation;

/// Share by which a settled day may differ from the day before.
pub const SETTLED: f64 = 1e-3;

/// Whether a lane's day repeats itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Settled {
    /// From about this day on (from 1) each is as the one before: what is left to change is within 0.1 % of water and salt.
    OnDay(u32),
    /// So many days do not suffice.
    NotWithin(u32),
}

impl fmt::Display for Settled {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OnDay(day) => write!(f, "settled from about day {day} on"),
            Self::NotWithin(days) => write!(f, "not settled in {days} days"),
        }
    }
}

/// Whether a day that begins and ends with these stores of water and salt repeats itself.
#[must_use]
pub fn repeats(before: (f64, f64), after: (f64, f64)) -> bool {
    still(before.0, after.0) && still(before.1, after.1)
}

/// Whether one store is as it was.
#[must_use]
pub fn still(before: f64, after: f64) -> bool {
    (before - after).abs() <= SETTLED * before.abs().max(after.abs())
}

/// Stores of water and salt now.
#[must_use]
pub fn stores(simulation: &Simulation) -> (f64, f64) {
    (simulation.ledger().water_stored, simulation.ledger().salt_stored)
}
