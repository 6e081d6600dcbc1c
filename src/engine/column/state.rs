//! What a root zone is at an instant.

use crate::physics::hysteresis::Path;

/// The state of a column, one value per layer, base first.
#[derive(Clone, Debug, PartialEq)]
pub struct State {
    /// Water content, m³/m³: the water that is there. Mass is kept by this.
    pub theta: Vec<f64>,
    /// Pressure head, cm. It belongs to a water content within the convergence tolerance of `theta`; the next step takes up
    /// what is left over, so nothing is lost or gained.
    pub head: Vec<f64>,
    /// EC of the solution, mS/cm.
    pub ec: Vec<f64>,
    /// Wetting and drying history.
    pub path: Vec<Path>,
    /// How well roots breathe after their memory, 0–1.
    pub breath: Vec<f64>,
}
