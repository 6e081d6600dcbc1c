//! The plant: what it takes from the root zone and what stops it.

use serde::{Deserialize, Serialize};

use super::targets::Targets;

/// A crop: uptake, stress limits and guide values. Demand stands in the lane.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Crop {
    /// The name growers see.
    pub name: String,
    /// Where the values come from.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
    /// EC that leaves with the water the roots take up, mS/cm, 0–20.
    pub uptake_ec: f64,
    /// How much more it is for each mS/cm of the root zone above `uptake_rises_above`, mS/cm per mS/cm, 0–0.5 (judgement).
    #[serde(default)]
    pub uptake_rise: f64,
    /// EC of the root zone from which it rises, mS/cm, 0–20; left out, it is `guide_root_zone_ec`. A rise needs one of them.
    #[serde(default)]
    pub uptake_rises_above: Option<f64>,
    /// What stops the roots.
    #[serde(default)]
    pub stress: Stress,
    /// Guide EC of the feed, mS/cm, if there is one.
    #[serde(default)]
    pub guide_feed_ec: Option<f64>,
    /// Guide EC of the root zone, mS/cm, if there is one.
    #[serde(default)]
    pub guide_root_zone_ec: Option<f64>,
    /// How the canopy answers light and air; without it the crop's use can only be measured.
    #[serde(default)]
    pub canopy: Option<Canopy>,
    /// Stages of growth, youngest first, at most 12.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub stages: Vec<Stage>,
}

impl Crop {
    /// EC of the root zone from which the uptake EC rises, mS/cm, where one is given.
    #[must_use]
    pub fn rises_above(&self) -> Option<f64> {
        self.uptake_rises_above.or(self.guide_root_zone_ec)
    }
}

/// How a crop's canopy answers light and air; see [`crate::physics::canopy`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Canopy {
    /// Share of the caught shortwave radiation that goes into transpiration, 0–1.
    pub light_share: f64,
    /// Extinction coefficient, per leaf area index, 0–2.
    pub extinction: f64,
    /// W/m² per kPa of deficit and unit of leaf area index, by day, 0–200.
    pub air_by_day: f64,
    /// The same by night, 0–200.
    pub air_by_night: f64,
    /// Leaf area index of a full canopy, m²/m², 0–10.
    pub leaf_area_index: f64,
    /// Plants on a square metre of floor, 0.1–500.
    pub plants_per_m2: f64,
}

/// A stage of growth: what it sets in a lane when it is chosen.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stage {
    /// The name growers see.
    pub name: String,
    /// Leaf area index, m²/m², 0–10.
    pub leaf_area_index: f64,
    /// Where the roots are.
    #[serde(default)]
    pub roots: Roots,
    /// What to aim for.
    #[serde(default)]
    pub targets: Targets,
}

/// What stops the roots: too little water, too little air, too much salt.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Stress {
    /// Pressure head where uptake begins to fall, cm, negative (judgement; Montesano et al. 2015 for the range).
    pub begins_cm: f64,
    /// Pressure head where uptake stops, cm, below `begins_cm` (judgement).
    pub stops_cm: f64,
    /// Air content from which roots breathe freely, m³/m³ (critical air content 0.10: Acta Agrophysica 2007).
    pub air_enough: f64,
    /// Air content at which the slow decline reaches its floor, m³/m³ (judgement).
    pub air_none: f64,
    /// Lowest uptake share for lack of air, 0–1 (judgement).
    pub air_floor: f64,
    /// How slowly roots feel a lack of air, hours (judgement).
    pub air_memory_h: f64,
    /// ω_c of Jarvis (1989): how far wet layers make up for others, 0.05–1; 1 is no compensation.
    pub compensation: f64,
    /// Salt response; `None` where none is published.
    pub salt: Option<SaltStress>,
}

impl Default for Stress {
    fn default() -> Self {
        Self {
            begins_cm: -60.0,
            stops_cm: -800.0,
            air_enough: 0.10,
            air_none: 0.02,
            air_floor: 0.2,
            air_memory_h: 12.0,
            compensation: 0.6,
            salt: None,
        }
    }
}

/// Maas–Hoffman salt response in the saturated-paste terms of the published tables.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SaltStress {
    /// Threshold ECe, dS/m (= mS/cm), 0–50.
    pub threshold_ece: f64,
    /// Loss per dS/m above the threshold, percent, 0–100.
    pub slope_percent: f64,
}

/// How a lane names its crop.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum CropChoice {
    /// A preset, by name.
    Preset(String),
    /// All values given here.
    Custom(Box<Crop>),
}

/// Where the roots are. Densities are per volume and are normalised to a sum of 1 over the plant's share.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Roots {
    /// The same everywhere.
    #[default]
    Uniform,
    /// Falling exponentially with depth below the top: density halves every so many cm.
    Tapering {
        /// Depth over which the density halves, cm, 0.5–500.
        halves_every_cm: f64,
    },
    /// Relative density by height: straight lines between points (height above the base in cm, density), 2–64 points.
    ByHeight(Vec<(f64, f64)>),
    /// Relative density of each layer from the base up; as many values as the column has layers.
    PerLayer(Vec<f64>),
}

/// What the plant asks for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Demand {
    /// Litres per plant and day, shaped by the day's light.
    Measured {
        /// Litres per plant and day, 0–50.
        litres_per_day: f64,
        /// Share of the day's use that falls evenly over the 24 hours, whatever the light, 0–1 (judgement: 0.08).
        #[serde(default = "default_night_share")]
        steady_share: f64,
    },
    /// What the scenario's climate makes of the crop's canopy.
    Climate {
        /// Leaf area index, m²/m², 0–10, if it is not the crop's full canopy.
        #[serde(default)]
        leaf_area_index: Option<f64>,
        /// Plants on a square metre of floor, 0.1–500, if not as the crop has it.
        #[serde(default)]
        plants_per_m2: Option<f64>,
        /// What the computed use is multiplied by to meet what was measured, 0.05–20.
        #[serde(default = "unscaled")]
        scale: f64,
    },
}

impl Demand {
    /// A use that has just been left to the climate: the crop's full canopy, not scaled yet.
    pub const COMPUTED: Self = Self::Climate { leaf_area_index: None, plants_per_m2: None, scale: 1.0 };
}

fn unscaled() -> f64 {
    1.0
}

fn default_night_share() -> f64 {
    0.08
}
