//! What a canopy transpires in a given climate.
//!
//! Form: Baille, Baille & Laury (1994, Scientia Horticulturae 59): a part that follows the light caught and a part that follows the
//! dryness of the air. The crops' coefficients are judgement, chosen so that the share of the light that goes into transpiration
//! lies within the 0.5–0.87 of Hanan (1998, ch. 5); take the result as ±30 % until it is scaled to a measured daily use.

/// Latent heat of vaporisation, MJ/kg (FAO-56, at about 20 °C).
pub const LATENT_HEAT: f64 = 2.45;
/// Leaf area index above which further leaves no longer add to the part that follows the air (judgement).
const LEAVES_THAT_FEEL_THE_AIR: f64 = 4.0;

/// How a crop answers light and air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Response {
    /// Share of the caught shortwave radiation that goes into transpiration, 0–1.
    pub light_share: f64,
    /// Extinction coefficient, 0–2 per leaf area index.
    pub extinction: f64,
    /// W/m² per kPa of vapour pressure deficit and unit of leaf area index, by day.
    pub air_by_day: f64,
    /// The same by night.
    pub air_by_night: f64,
}

impl Response {
    /// Latent heat flux of a canopy, W per m² of floor, with `shortwave` in W/m² above it, vapour pressure deficit `vpd` in kPa
    /// (both ≥ 0), leaf area index `lai` (0–10), by day or by night.
    ///
    /// ```
    /// use slakeline::physics::canopy::Response;
    /// // a tomato canopy of leaf area index 3 in 300 W/m² and 1 kPa: 0.5·(1 − e^−2.1)·300 + 25·3·1 (closed form)
    /// let tomato = Response { light_share: 0.5, extinction: 0.7, air_by_day: 25.0, air_by_night: 9.0 };
    /// assert!((tomato.latent_heat(300.0, 1.0, 3.0, true) - 206.63).abs() < 0.01);
    /// ```
    #[must_use]
    pub fn latent_heat(&self, shortwave: f64, vpd: f64, lai: f64, by_day: bool) -> f64 {
        let caught = 1.0 - (-self.extinction * lai).exp();
        let air = if by_day { self.air_by_day } else { self.air_by_night };
        self.light_share * caught * shortwave + air * lai.min(LEAVES_THAT_FEEL_THE_AIR) * vpd
    }
}

/// Millilitres per second and plant of a latent heat flux (W/m² of floor) with `plants_per_m2` (> 0) plants.
///
/// ```
/// // a litre weighs a kilogram: 245 W/m² on 2 plants a m² is 0.05 mL/s for each
/// let ml = slakeline::physics::canopy::ml_per_second(245.0, 2.0);
/// assert!((ml - 0.05).abs() < 1e-12);
/// ```
#[must_use]
pub fn ml_per_second(latent_heat: f64, plants_per_m2: f64) -> f64 {
    // 1 W/m² = 1e-6 MJ/m²/s; a kilogram of water is 1000 mL.
    latent_heat * 1e-3 / (LATENT_HEAT * plants_per_m2)
}
