//! What a climate asks of wet surfaces: of tops in the light that the leaves let through, and of walls, which feel the air alone.

use super::light_curve::light_so_far;
use super::load::{Load, Potential, Uses};
use super::running_sum::RunningSum;
use crate::physics::wet_surface::{by_air, by_light, cm_per_second, under_leaves};
use crate::scenario::{Climate, ClimateLog, Crop, DAY_S, Demand, Light, LogRow, TypicalDay};

/// Leaf area index of a crop that says nothing of its leaves (judgement: a full canopy).
const FULL_CANOPY: f64 = 3.0;

/// Leaves above a lane's root zone: those that its use is computed from, or the crop's full canopy.
#[must_use]
pub fn leaves(demand: &Demand, crop: &Crop) -> f64 {
    let own = if let Demand::Climate { leaf_area_index, .. } = demand { *leaf_area_index } else { None };
    own.or(crop.canopy.map(|canopy| canopy.leaf_area_index)).unwrap_or(FULL_CANOPY)
}

/// What a climate asks of wet surfaces over time.
#[derive(Clone, Debug, PartialEq)]
pub struct Drying {
    /// Share of it that reaches a top under the leaves.
    shaded: f64,
    asks: Asks,
}

#[derive(Clone, Debug, PartialEq)]
enum Asks {
    /// The same day over and over.
    Daily(Daily),
    /// As logged: of an open surface, and of one out of the light, cm.
    Logged { open: RunningSum, dark: RunningSum },
}

/// A day that repeats.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Daily {
    light: Light,
    /// cm that a day's light asks for.
    by_light: f64,
    /// cm/s that the air asks for while it is light, and while it is dark.
    by_day: f64,
    by_night: f64,
}

impl Drying {
    /// Of a climate over leaves (leaf area index, ≥ 0).
    #[must_use]
    pub fn new(climate: &Climate, light: Light, lai: f64) -> Self {
        let asks = match climate {
            Climate::Typical(day) => Asks::Daily(Daily::new(day, light)),
            Climate::Log(log) => Asks::logged(log),
        };
        Self { shaded: under_leaves(lai), asks }
    }

    /// Between two times, s since the first midnight.
    #[must_use]
    pub fn between(&self, from_s: f64, to_s: f64) -> Potential {
        let (open, dark) = match &self.asks {
            Asks::Daily(day) => {
                let [from, to] = [from_s, to_s].map(|t| day.up_to(t));
                (to.0 - from.0, to.1 - from.1)
            }
            Asks::Logged { open, dark } => (open.up_to(to_s) - open.up_to(from_s), dark.up_to(to_s) - dark.up_to(from_s)),
        };
        Potential { top: self.shaded * open.max(0.0), wall: dark.max(0.0) }
    }
}

impl Asks {
    fn logged(log: &ClimateLog) -> Self {
        let dark = |row: &LogRow| cm_per_second(by_air(row.air().deficit(), row.air().celsius));
        let open = |row: &LogRow| dark(row) + cm_per_second(by_light(row.shortwave(), row.air().celsius));
        Self::Logged { open: RunningSum::of(log, open), dark: RunningSum::of(log, dark) }
    }
}

impl Daily {
    fn new(day: &TypicalDay, light: Light) -> Self {
        let air = |air: &crate::scenario::Air| cm_per_second(by_air(air.deficit(), air.celsius));
        // It is linear in the light: a day's light as one second's gives its sum.
        let by_light = cm_per_second(by_light(day.shortwave_mj(&light) * 1e6, day.by_day.celsius));
        Self { light, by_light, by_day: air(&day.by_day), by_night: air(&day.by_night) }
    }

    /// cm of an open surface, and of one out of the light, from the first midnight on.
    fn up_to(&self, t_s: f64) -> (f64, f64) {
        let day = (t_s / DAY_S).floor();
        let within = t_s - day * DAY_S;
        let lit = (within - self.light.on.seconds()).clamp(0.0, self.light.seconds());
        let a_day = self.by_day * self.light.seconds() + self.by_night * (DAY_S - self.light.seconds());
        let dark = day * a_day + self.by_day * lit + self.by_night * (within - lit);
        (dark + self.by_light * (day + light_so_far(&self.light, within)), dark)
    }
}

/// A use under a climate, which also dries what is open.
pub struct UnderClimate<U> {
    /// What plants use.
    pub uses: U,
    /// What surfaces are asked for.
    pub drying: Drying,
}

impl<U: Uses> Load for UnderClimate<U> {
    fn transpiration_ml(&self, from_s: f64, to_s: f64) -> f64 {
        self.uses.ml(from_s, to_s)
    }

    fn evaporation_cm(&self, from_s: f64, to_s: f64) -> Potential {
        self.drying.between(from_s, to_s)
    }

    fn next_bend(&self, t_s: f64) -> Option<f64> {
        self.uses.bend(t_s)
    }
}
