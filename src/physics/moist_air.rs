//! Moist air: saturation and actual vapour pressure, vapour pressure deficit, slope, psychrometric constant.
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
/// A reference: only checks use it.
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
///
/// ```
/// // 25 °C and 60 %: 40 % of 3.168 kPa (FAO-56 table 2.3)
/// let deficit = slakeline::physics::moist_air::vapour_pressure_deficit(25.0, 60.0);
/// assert!((deficit - 1.267).abs() < 0.001);
/// ```
#[must_use]
pub fn vapour_pressure_deficit(celsius: f64, relative_humidity: f64) -> f64 {
    saturation_vapour_pressure(celsius) * (1.0 - relative_humidity / 100.0)
}

/// Slope of the saturation vapour pressure curve, kPa/°C, at a temperature in °C (FAO-56 equation 13). Meant for −20 to 60 °C.
///
/// ```
/// // FAO-56 table 2.4: 0.145 kPa/°C at 20 °C
/// assert!((slakeline::physics::moist_air::slope(20.0) - 0.145).abs() < 0.0005);
/// ```
#[must_use]
pub fn slope(celsius: f64) -> f64 {
    4098.0 * saturation_vapour_pressure(celsius) / (celsius + 237.3).powi(2)
}

/// Air pressure, kPa, at a height above the sea in m (FAO-56 equation 7). Meant for −400 to 5,000 m.
///
/// A reference: only checks use it.
///
/// ```
/// // FAO-56 example 2: 1,800 m, 81.8 kPa
/// assert!((slakeline::physics::moist_air::pressure(1800.0) - 81.8).abs() < 0.05);
/// ```
#[must_use]
pub fn pressure(elevation_m: f64) -> f64 {
    101.3 * ((293.0 - 0.0065 * elevation_m) / 293.0).powf(5.26)
}

/// Psychrometric constant, kPa/°C, at an air pressure in kPa (FAO-56 equation 8).
///
/// A reference: only checks use it.
///
/// ```
/// // FAO-56 example 2: 0.054 kPa/°C at 81.8 kPa
/// assert!((slakeline::physics::moist_air::psychrometric_constant(81.8) - 0.054).abs() < 0.0005);
/// ```
#[must_use]
pub fn psychrometric_constant(pressure_kpa: f64) -> f64 {
    0.665e-3 * pressure_kpa
}
