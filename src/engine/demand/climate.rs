//! Use computed from the climate: what the light and the air above it make of a crop's canopy.

use super::light_curve::{self, light_so_far};
use super::load::Uses;
use super::running_sum::RunningSum;
use crate::physics::canopy::{Response, ml_per_second};
use crate::scenario::climate::DAYLIGHT;
use crate::scenario::{Canopy, ClimateLog, DAY_S, Light, LogRow, TypicalDay};

/// A canopy as a lane has it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stand {
    /// How it answers light and air.
    pub response: Response,
    /// Leaf area index.
    pub leaf_area_index: f64,
    /// Plants on a square metre.
    pub plants_per_m2: f64,
    /// What the computed use is multiplied by.
    pub scale: f64,
}

impl Stand {
    /// A crop's canopy with what the lane says of it.
    #[must_use]
    pub fn new(canopy: &Canopy, leaf_area_index: Option<f64>, plants_per_m2: Option<f64>, scale: f64) -> Self {
        Self {
            response: Response {
                light_share: canopy.light_share,
                extinction: canopy.extinction,
                air_by_day: canopy.air_by_day,
                air_by_night: canopy.air_by_night,
            },
            leaf_area_index: leaf_area_index.unwrap_or(canopy.leaf_area_index),
            plants_per_m2: plants_per_m2.unwrap_or(canopy.plants_per_m2),
            scale,
        }
    }

    /// mL/s per plant in a light (W/m² of shortwave) and a deficit (kPa).
    fn flow(&self, shortwave: f64, deficit: f64, by_day: bool) -> f64 {
        self.scale * ml_per_second(self.response.latent_heat(shortwave, deficit, self.leaf_area_index, by_day), self.plants_per_m2)
    }
}

/// The same day over and over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TypicalLoad {
    light: Light,
    /// mL per plant that a day's light asks for.
    by_light: f64,
    /// mL/s per plant that the air asks for while it is light.
    by_day: f64,
    /// The same while it is dark.
    by_night: f64,
}

impl TypicalLoad {
    /// What a typical day makes of a stand.
    #[must_use]
    pub fn new(stand: &Stand, day: &TypicalDay, light: Light) -> Self {
        // The light's part is linear in the light: a day's light as one second's gives its sum.
        let by_light = stand.flow(day.shortwave_mj(&light) * 1e6, 0.0, true);
        let by_day = stand.flow(0.0, day.by_day.deficit(), true);
        let by_night = stand.flow(0.0, day.by_night.deficit(), false);
        Self { light, by_light, by_day, by_night }
    }

    /// mL per plant and day.
    #[must_use]
    pub fn ml_per_day(&self) -> f64 {
        self.by_light + self.by_day * self.light.seconds() + self.by_night * (DAY_S - self.light.seconds())
    }

    /// mL per plant from the first midnight on.
    fn cumulative(&self, t_s: f64) -> f64 {
        let day = (t_s / DAY_S).floor();
        let within = t_s - day * DAY_S;
        let lit = (within - self.light.on.seconds()).clamp(0.0, self.light.seconds());
        day * self.ml_per_day() + self.by_light * light_so_far(&self.light, within) + self.by_day * lit + self.by_night * (within - lit)
    }
}

impl Uses for TypicalLoad {
    fn ml(&self, from_s: f64, to_s: f64) -> f64 {
        (self.cumulative(to_s) - self.cumulative(from_s)).max(0.0)
    }

    fn bend(&self, t_s: f64) -> Option<f64> {
        light_curve::next_bend(&self.light, t_s)
    }
}

/// Day by day as it was logged, and from the beginning again.
#[derive(Clone, Debug, PartialEq)]
pub struct LoggedLoad {
    /// mL per plant.
    asked: RunningSum,
}

impl LoggedLoad {
    /// What a log makes of a stand.
    #[must_use]
    pub fn new(stand: &Stand, log: &ClimateLog) -> Self {
        let flow = |row: &LogRow| stand.flow(row.shortwave(), row.air().deficit(), row.shortwave() > DAYLIGHT);
        Self { asked: RunningSum::of(log, flow) }
    }

    /// Mean mL per plant and day.
    #[must_use]
    pub fn ml_per_day(&self) -> f64 {
        let (seconds, sum) = self.asked.whole();
        sum * DAY_S / seconds
    }
}

impl Uses for LoggedLoad {
    fn ml(&self, from_s: f64, to_s: f64) -> f64 {
        (self.asked.up_to(to_s) - self.asked.up_to(from_s)).max(0.0)
    }

    /// None: a step takes the mean of the rows it covers.
    fn bend(&self, _: f64) -> Option<f64> {
        None
    }
}
