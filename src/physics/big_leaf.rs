//! A second opinion on a canopy's transpiration: one big leaf with a resistance inside and outside. A reference: only checks use it.
//!
//! Source: Stanghellini (1987), Transpiration of greenhouse crops (from memory):
//! λE = (ε·Rn + 2·LAI·ρ·cp·VPD/(γ·re)) / (1 + ε + ri/re), ε = Δ/γ, Rn = 0.86·(1 − e^(−0.7·LAI))·G.

use super::moist_air;

/// Density of air times its heat capacity, J/m³/K (about 1.2 kg/m³ and 1,005 J/kg/K at 20 °C).
const AIR_HEAT: f64 = 1206.0;
/// Psychrometric constant at sea level, kPa/K (FAO-56 equation 8).
const GAMMA: f64 = 0.0674;

/// Resistances of a leaf, s/m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Resistances {
    /// Of the still air around the leaf; under glass 100–300 (judgement: 250).
    pub outside: f64,
    /// Of the stomata; 50–200 by day in full light, above 500 by night (judgement).
    pub inside: f64,
}

/// Latent heat flux, W per m² of floor: `shortwave` above the canopy in W/m², `vpd` in kPa, air temperature in °C, leaf area index.
///
/// ```
/// use slakeline::physics::big_leaf::{Resistances, latent_heat};
/// let by_day = Resistances { outside: 200.0, inside: 100.0 };
/// // more light, or drier air, means more transpiration
/// assert!(latent_heat(400.0, 1.0, 22.0, 3.0, by_day) > latent_heat(300.0, 1.0, 22.0, 3.0, by_day));
/// assert!(latent_heat(300.0, 1.5, 22.0, 3.0, by_day) > latent_heat(300.0, 1.0, 22.0, 3.0, by_day));
/// ```
#[must_use]
pub fn latent_heat(shortwave: f64, vpd: f64, celsius: f64, lai: f64, resistances: Resistances) -> f64 {
    let epsilon = moist_air::slope(celsius) / GAMMA;
    let net = 0.86 * (1.0 - (-0.7 * lai).exp()) * shortwave;
    let air = 2.0 * lai * AIR_HEAT * vpd / (GAMMA * resistances.outside);
    (epsilon * net + air) / (1.0 + epsilon + resistances.inside / resistances.outside)
}
