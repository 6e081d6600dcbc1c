//! Where the sun stands and what it sends: extraterrestrial, clear-sky and net radiation. References: only checks use them.
//!
//! Source: Allen, Pereira, Raes & Smith (1998), FAO Irrigation and Drainage Paper 56, chapter 3; equation numbers are its own.
//! Angles in radians, radiation in MJ/m² per day or per hour, `day_of_year` 1–366, latitudes north positive.

use std::f64::consts::{PI, TAU};

/// Solar constant, MJ/m²/min.
const SOLAR: f64 = 0.0820;
/// Stefan–Boltzmann constant, MJ/K⁴/m²/day.
const BOLTZMANN: f64 = 4.903e-9;
/// Kelvin at 0 °C, as the paper rounds it.
const KELVIN: f64 = 273.16;

/// Inverse relative distance of the earth to the sun (equation 23) and declination (equation 24).
fn season(day_of_year: f64) -> (f64, f64) {
    let angle = TAU / 365.0 * day_of_year;
    (1.0 + 0.033 * angle.cos(), 0.409 * (angle - 1.39).sin())
}

/// Hour angle of sunset (equation 25); 0 where the sun does not rise, π where it does not set.
fn sunset(latitude: f64, declination: f64) -> f64 {
    (-latitude.tan() * declination.tan()).clamp(-1.0, 1.0).acos()
}

/// Extraterrestrial radiation of a day, MJ/m² (equation 21).
///
/// ```
/// // FAO-56 example 8: 20° S on 3 September, 32.2 MJ/m²
/// let ra = slakeline::physics::sun::extraterrestrial_day((-20.0_f64).to_radians(), 246.0);
/// assert!((ra - 32.2).abs() < 0.05);
/// ```
#[must_use]
pub fn extraterrestrial_day(latitude: f64, day_of_year: f64) -> f64 {
    let (distance, declination) = season(day_of_year);
    let set = sunset(latitude, declination);
    let sum = set * latitude.sin() * declination.sin() + latitude.cos() * declination.cos() * set.sin();
    24.0 * 60.0 / PI * SOLAR * distance * sum
}

/// Hours of daylight (equation 34).
///
/// ```
/// // FAO-56 example 9: 20° S on 3 September, 11.7 h
/// let hours = slakeline::physics::sun::daylight_hours((-20.0_f64).to_radians(), 246.0);
/// assert!((hours - 11.7).abs() < 0.05);
/// ```
#[must_use]
pub fn daylight_hours(latitude: f64, day_of_year: f64) -> f64 {
    24.0 / PI * sunset(latitude, season(day_of_year).1)
}

/// Extraterrestrial radiation of a stretch of time, MJ/m² (equation 28): `midpoint` is its middle in hours of standard clock time,
/// `hours` its length, `east_of_zone` how many degrees the place lies east of its time zone's middle.
///
/// ```
/// // the hours of a day sum to the day (example 8: 32.2 MJ/m²)
/// use slakeline::physics::sun::extraterrestrial;
/// let latitude = (-20.0_f64).to_radians();
/// let day: f64 = (0..24).map(|h| extraterrestrial(latitude, 246.0, 0.0, f64::from(h) + 0.5, 1.0)).sum();
/// assert!((day - 32.2).abs() < 0.1);
/// ```
#[must_use]
pub fn extraterrestrial(latitude: f64, day_of_year: f64, east_of_zone: f64, midpoint: f64, hours: f64) -> f64 {
    let (distance, declination) = season(day_of_year);
    // Equations 31 to 33: clock against sun.
    let b = TAU * (day_of_year - 81.0) / 364.0;
    let correction = 0.1645 * (2.0 * b).sin() - 0.1255 * b.cos() - 0.025 * b.sin();
    let angle = PI / 12.0 * (midpoint + 0.06667 * east_of_zone + correction - 12.0);
    let set = sunset(latitude, declination);
    let half = PI * hours / 24.0;
    let (from, to) = ((angle - half).clamp(-set, set), (angle + half).clamp(-set, set));
    let sum = (to - from) * latitude.sin() * declination.sin() + latitude.cos() * declination.cos() * (to.sin() - from.sin());
    12.0 * 60.0 / PI * SOLAR * distance * sum.max(0.0)
}

/// Solar radiation of a day, MJ/m², from hours of bright sunshine out of hours of daylight (equation 35, its default shares).
///
/// ```
/// // FAO-56 example 10: 7.1 of 10.9 h, 25.1 MJ/m² outside the air
/// let solar = slakeline::physics::sun::from_sunshine(25.1, 7.1, 10.9);
/// assert!((solar - 14.45).abs() < 0.01);
/// ```
#[must_use]
pub fn from_sunshine(extraterrestrial: f64, sunshine_hours: f64, daylight_hours: f64) -> f64 {
    (0.25 + 0.5 * sunshine_hours / daylight_hours) * extraterrestrial
}

/// Solar radiation under a clear sky, in the unit of the extraterrestrial (equation 37).
///
/// ```
/// // FAO-56 example 11: 25.1 MJ/m² at the sea, 18.8 MJ/m²
/// assert!((slakeline::physics::sun::clear_sky(25.1, 0.0) - 18.8).abs() < 0.05);
/// ```
#[must_use]
pub fn clear_sky(extraterrestrial: f64, elevation_m: f64) -> f64 {
    (0.75 + 2e-5 * elevation_m) * extraterrestrial
}

/// Net shortwave radiation of the reference crop, albedo 0.23 (equation 38).
///
/// ```
/// // FAO-56 example 12: 11.1 of 14.5 MJ/m², as the paper rounds it
/// assert!((slakeline::physics::sun::net_shortwave(14.5) - 11.165).abs() < 1e-9);
/// ```
#[must_use]
pub fn net_shortwave(solar: f64) -> f64 {
    0.77 * solar
}

/// Net outgoing longwave radiation of a day, MJ/m² (equation 39): extremes of temperature in °C, vapour pressure in kPa, and solar
/// radiation as a share of that under a clear sky (0–1).
///
/// ```
/// // FAO-56 example 11: 19.1 to 25.1 °C, 2.1 kPa, 14.5 of 18.8 MJ/m²: 3.5 MJ/m²
/// let net = slakeline::physics::sun::net_longwave_day(19.1, 25.1, 2.1, 14.5 / 18.8);
/// assert!((net - 3.5).abs() < 0.05);
/// ```
#[must_use]
pub fn net_longwave_day(t_min: f64, t_max: f64, vapour_pressure: f64, clearness: f64) -> f64 {
    let warmth = 0.5 * ((t_max + KELVIN).powi(4) + (t_min + KELVIN).powi(4));
    BOLTZMANN * warmth * (0.34 - 0.14 * vapour_pressure.sqrt()) * (1.35 * clearness.min(1.0) - 0.35)
}

/// The same of an hour at one temperature, MJ/m².
///
/// ```
/// // FAO-56 example 19: 38 °C, 3.445 kPa, 0.923 of a clear sky: 0.137 MJ/m²
/// let net = slakeline::physics::sun::net_longwave_hour(38.0, 3.445, 0.923);
/// assert!((net - 0.137).abs() < 0.001);
/// ```
#[must_use]
pub fn net_longwave_hour(celsius: f64, vapour_pressure: f64, clearness: f64) -> f64 {
    net_longwave_day(celsius, celsius, vapour_pressure, clearness) / 24.0
}
