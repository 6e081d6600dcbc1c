//! Moist air: saturation and actual vapour pressure, vapour pressure deficit.
//!
//! Source: Allen, Pereira, Raes & Smith (1998), FAO Irrigation and Drainage Paper 56.

/// Saturation vapour pressure, kPa, at a temperature in °C (FAO-56 equation 11). Meant for −20 to 60 °C.
///
/// ```
/// // FAO-56 table 2.3: 2.338 kPa at 20 °C
/// assert!((slakeline::physics::moist_air::saturation_vapour_pressure(20.0) - 2.338).abs() < 0.001);
/// ```
#[must_use]
pub fn saturation_vapour_pressure(celsius: f64) -> f64 {
    0.6108 * (17.27 * celsius / (celsius + 237.3)).exp()
}

/// Actual vapour pressure of a day, kPa, from the day's extremes of temperature (°C) and relative humidity (%)
/// (FAO-56 equation 17).
///
/// ```
/// // FAO-56 example 5: 18–25 °C, 82–54 %
/// let ea = slakeline::physics::moist_air::vapour_pressure_of_day(18.0, 25.0, 54.0, 82.0);
/// assert!((ea - 1.70).abs() < 0.005);
/// ```
#[must_use]
pub fn vapour_pressure_of_day(t_min: f64, t_max: f64, rh_min: f64, rh_max: f64) -> f64 {
    let at_night = saturation_vapour_pressure(t_min) * rh_max / 100.0;
    let by_day = saturation_vapour_pressure(t_max) * rh_min / 100.0;
    0.5 * (at_night + by_day)
}

/// Vapour pressure deficit, kPa, of air at a temperature (°C) and relative humidity (%).
#[must_use]
pub fn vapour_pressure_deficit(celsius: f64, relative_humidity: f64) -> f64 {
    saturation_vapour_pressure(celsius) * (1.0 - relative_humidity / 100.0)
}
