//! What still air takes from a wet surface, with and without light on it.
//!
//! Form: Penman (1948, Proceedings of the Royal Society A 193:120) with the air's hold on the surface as one resistance (Monteith 1965; FAO-56
//! equation 3 with no resistance of the surface itself): λE = (ε·Rn + ρ·cp·D/(γ·ra)) / (1 + ε), ε = Δ/γ. Shading: Ritchie (1972, Water Resources
//! Research 8:1204), whose form is a share of the light that falls off with the leaves above; its coefficient here is judgement.

use super::moist_air;

/// Density of air times its heat capacity, J/m³/K (about 1.2 kg/m³ and 1,005 J/kg/K at 20 °C).
const AIR_HEAT: f64 = 1206.0;
/// Psychrometric constant at sea level, kPa/K (FAO-56 equation 8).
const GAMMA: f64 = 0.0674;
/// Share of shortwave radiation that a wet surface keeps as heat (as for leaves under glass, Stanghellini 1987, from memory).
const NET: f64 = 0.86;
/// Resistance of the still air over a surface under glass, s/m (judgement, as for leaves).
const STILL_AIR: f64 = 250.0;
/// How fast leaves above take from what a surface below them evaporates, per leaf area index (judgement).
const SHADE: f64 = 0.5;

/// Share of what the air and the light above a canopy ask of a wet surface that they ask of one under a leaf area index of `lai` (≥ 0).
///
/// ```
/// let share = slakeline::physics::wet_surface::under_leaves(3.0);
/// assert!((share - 0.2231).abs() < 1e-4, "e^−1.5 (closed form)");
/// ```
#[must_use]
pub fn under_leaves(lai: f64) -> f64 {
    (-SHADE * lai).exp()
}

/// Latent heat flux that the light asks of an open wet surface, W/m²: `shortwave` above it in W/m², at an air temperature in °C.
///
/// ```
/// // 300 W/m² at 20 °C: ε = 0.1447/0.0674, so 0.86·300·ε/(1 + ε) (closed form, slope from FAO-56 table 2.4)
/// let asked = slakeline::physics::wet_surface::by_light(300.0, 20.0);
/// assert!((asked - 176.0).abs() < 0.2);
/// ```
#[must_use]
pub fn by_light(shortwave: f64, celsius: f64) -> f64 {
    let epsilon = moist_air::slope(celsius) / GAMMA;
    NET * shortwave * epsilon / (1.0 + epsilon)
}

/// Latent heat flux that the air's deficit (kPa) asks of a wet surface in still air, W/m², at an air temperature in °C.
///
/// ```
/// // 1 kPa at 20 °C: 1206·1/(0.0674·250)/(1 + ε) = 71.57/3.147 (closed form)
/// let asked = slakeline::physics::wet_surface::by_air(1.0, 20.0);
/// assert!((asked - 22.7).abs() < 0.05);
/// ```
#[must_use]
pub fn by_air(deficit: f64, celsius: f64) -> f64 {
    let epsilon = moist_air::slope(celsius) / GAMMA;
    AIR_HEAT * deficit / (GAMMA * STILL_AIR) / (1.0 + epsilon)
}

/// Centimetres of water a second of a latent heat flux (W/m²).
///
/// ```
/// // the two of above together are 198.7 W/m²: 0.292 mm in an hour, of which 0.065 mm under a leaf area index of 3
/// use slakeline::physics::wet_surface::{by_air, by_light, cm_per_second, under_leaves};
/// let open = 3600.0 * 10.0 * cm_per_second(by_light(300.0, 20.0) + by_air(1.0, 20.0));
/// assert!((open - 0.292).abs() < 0.001 && (open * under_leaves(3.0) - 0.0652).abs() < 0.0005);
/// ```
#[must_use]
pub fn cm_per_second(latent_heat: f64) -> f64 {
    // A kilogram on a square metre is a millimetre.
    latent_heat * 1e-7 / super::canopy::LATENT_HEAT
}
