//! Evapotranspiration of the reference grass: an outdoor yardstick. A reference: only checks of the climate functions use it.
//!
//! Source: Allen, Pereira, Raes & Smith (1998), FAO Irrigation and Drainage Paper 56, Penman–Monteith equations 6 and 53.

use super::moist_air::{psychrometric_constant, slope};

/// Wind speed at 2 m, m/s, from one measured at another height above ground in m (> 0.1) (equation 47).
///
/// ```
/// // FAO-56 example 14: 3.2 m/s at 10 m is 2.4 m/s at 2 m
/// let wind = slakeline::physics::reference_evapotranspiration::wind_at_2_m(3.2, 10.0);
/// assert!((wind - 2.4).abs() < 0.05);
/// ```
#[must_use]
pub fn wind_at_2_m(speed: f64, height_m: f64) -> f64 {
    speed * 4.87 / (67.8 * height_m - 5.42).ln()
}

/// What the reference crop stands in over a day or an hour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weather {
    /// Mean air temperature, °C.
    pub celsius: f64,
    /// Saturation vapour pressure, kPa: of a day the mean at its extremes, of an hour that at its temperature.
    pub saturation: f64,
    /// Actual vapour pressure, kPa.
    pub vapour_pressure: f64,
    /// Net radiation, MJ/m² per day or per hour.
    pub net_radiation: f64,
    /// Heat that goes into the ground, in the same unit; of a day about 0, of an hour 0.1 of the net radiation by day and half by night.
    pub soil_heat: f64,
    /// Wind speed at 2 m, m/s.
    pub wind: f64,
    /// Air pressure, kPa.
    pub pressure: f64,
}

impl Weather {
    fn evapotranspiration(&self, aerodynamic: f64) -> f64 {
        let (delta, gamma) = (slope(self.celsius), psychrometric_constant(self.pressure));
        let deficit = self.saturation - self.vapour_pressure;
        let radiation = 0.408 * delta * (self.net_radiation - self.soil_heat);
        let air = gamma * aerodynamic / (self.celsius + 273.0) * self.wind * deficit;
        (radiation + air) / (delta + gamma * (1.0 + 0.34 * self.wind))
    }

    /// mm of a day (equation 6).
    #[must_use]
    pub fn of_day(&self) -> f64 {
        self.evapotranspiration(900.0)
    }

    /// mm of an hour (equation 53).
    #[must_use]
    pub fn of_hour(&self) -> f64 {
        self.evapotranspiration(37.0)
    }
}
