//! Container capacity and rest states: what a column holds when nothing moves.

use super::layers::Column;
use crate::physics::hydraulics::Main;

/// Water content of every layer at rest with zero head at `level` cm above the base, on a main branch.
#[must_use]
pub fn at_rest(column: &Column, branch: Main, level: f64) -> Vec<f64> {
    let theta = |i: usize, z: f64| {
        let medium = column.hydraulics(i);
        medium.theta(medium.main(branch, (z - level).max(0.0)).0)
    };
    column
        .layers
        .iter()
        .enumerate()
        .map(|(i, layer)| {
            // Mean over the layer (three-point Gauss): what a layer holds is not what its centre says where the curve bends.
            let reach = 0.5 * layer.dz * 0.6_f64.sqrt();
            (5.0 * theta(i, layer.z - reach) + 8.0 * theta(i, layer.z) + 5.0 * theta(i, layer.z + reach)) / 18.0
        })
        .collect()
}

/// Container capacity, m³/m³: mean water content at rest with zero head at the outlet, drying branch.
#[must_use]
pub fn container_capacity(column: &Column) -> f64 {
    column.mean(&at_rest(column, Main::Drying, column.outlet_height))
}

/// Mean water content with the same pressure head (cm) everywhere, m³/m³, drying branch.
#[must_use]
pub fn at_head(column: &Column, head: f64) -> f64 {
    let theta = |i: usize| {
        let medium = column.hydraulics(i);
        medium.theta(medium.main(Main::Drying, -head).0)
    };
    column.mean(&(0..column.len()).map(theta).collect::<Vec<_>>())
}
