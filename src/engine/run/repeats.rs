//! When a day is as the one before it.

use super::simulation::Simulation;

/// Share by which a settled day may differ from the day before.
pub const SETTLED: f64 = 1e-3;

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
