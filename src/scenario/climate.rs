//! The climate above the canopy: what a demand that is not measured is computed from.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::clock::DAY_S;
use super::schedule::Light;
use crate::physics::light::Source;
use crate::physics::moist_air;
use crate::units::WHOLE_DAY_S;

/// Shortwave radiation above which it is day in a log, W/m² (judgement).
pub const DAYLIGHT: f64 = 5.0;

/// The climate of a bench's days.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Climate {
    /// Every day the same.
    Typical(TypicalDay),
    /// As it was logged, day by day; it begins anew when it has run out.
    Log(ClimateLog),
}

impl Climate {
    /// The name growers see.
    #[must_use]
    pub fn name(&self) -> &str {
        match self {
            Self::Typical(day) => &day.name,
            Self::Log(log) => &log.name,
        }
    }

    /// The air at a time, seconds since the first midnight; a log that has run out begins anew.
    #[must_use]
    pub fn air(&self, t_s: f64, light: &Light) -> Option<Air> {
        match self {
            Self::Typical(day) => {
                let within = t_s.rem_euclid(DAY_S);
                let lit = light.on.seconds() <= within && within < light.off.seconds();
                Some(if lit { day.by_day } else { day.by_night })
            }
            Self::Log(log) => log.row(t_s).map(LogRow::air),
        }
    }
}

/// A day that stands for all.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TypicalDay {
    /// The name growers see.
    pub name: String,
    /// Where the values come from.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
    /// How much light falls, between the times and in the shape of the scenario's light.
    pub level: LightLevel,
    /// Air while it is light.
    pub by_day: Air,
    /// Air while it is dark.
    pub by_night: Air,
}

/// A log of the climate above the canopy.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClimateLog {
    /// The name growers see.
    pub name: String,
    /// Where it comes from.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
    /// What its light came from, where that was not the sun: photons are told by it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lamp: Option<Lamp>,
    /// Its rows in order of time, 1–200,000; each holds until the next. A scenario is copied often: they are shared.
    pub rows: Arc<[LogRow]>,
}

/// Rows that are shared are the same without a look at each: scenarios are compared often.
impl PartialEq for ClimateLog {
    fn eq(&self, other: &Self) -> bool {
        let rows = || Arc::ptr_eq(&self.rows, &other.rows) || self.rows == other.rows;
        (&self.name, &self.source, self.lamp) == (&other.name, &other.source, other.lamp) && rows()
    }
}

/// A row of a climate log.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct LogRow(
    /// Seconds since the first midnight, whole, 0–366 days.
    pub u32,
    /// Shortwave radiation above the canopy, W/m², 0–1500. Lamp light is entered as what loads a canopy as much.
    pub f32,
    /// Air temperature, °C, −10 to 60.
    pub f32,
    /// Relative humidity, percent, 0–100.
    pub f32,
);

impl LogRow {
    /// When it begins, s since the first midnight.
    #[must_use]
    pub fn time_s(&self) -> f64 {
        f64::from(self.0)
    }

    /// The same from the first midnight on.
    #[must_use]
    pub fn at_midnight(&self) -> Self {
        Self(0, self.1, self.2, self.3)
    }

    /// Shortwave radiation, W/m².
    #[must_use]
    pub fn shortwave(&self) -> f64 {
        f64::from(self.1)
    }

    /// The air.
    #[must_use]
    pub fn air(&self) -> Air {
        Air { celsius: f64::from(self.2), humidity_percent: f64::from(self.3) }
    }
}

impl ClimateLog {
    /// The row that holds at a time, seconds since the first midnight; before its first row the log is as that row.
    #[must_use]
    pub fn row(&self, t_s: f64) -> Option<&LogRow> {
        let within = t_s.rem_euclid(f64::from(self.days()) * DAY_S);
        let after = self.rows.partition_point(|row| row.time_s() <= within);
        self.rows.get(after.saturating_sub(1))
    }

    /// How many days it fills: up to the end of the day that its last row begins on.
    #[must_use]
    pub fn days(&self) -> u32 {
        self.rows.last().map_or(1, |row| row.0 / WHOLE_DAY_S + 1)
    }
}

/// How much light falls above the canopy.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum LightLevel {
    /// Sun: shortwave radiation of a day.
    Sun {
        /// MJ/m², 0–40.
        mj_per_m2: f64,
    },
    /// Lamps.
    Lamps {
        /// Photon flux while they are on, µmol/m²/s, 0–3000.
        ppfd: f64,
        /// What they are.
        lamp: Lamp,
    },
}

/// What lamps are.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Lamp {
    /// Light-emitting diodes, white-red.
    #[default]
    Led,
    /// High-pressure sodium.
    Sodium,
}

impl Lamp {
    /// The source of light it is.
    #[must_use]
    pub fn source(self) -> Source {
        match self {
            Self::Led => Source::Led,
            Self::Sodium => Source::Sodium,
        }
    }
}

/// Air of a part of the day.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Air {
    /// °C, 0–50.
    pub celsius: f64,
    /// Relative humidity, percent, 0–100.
    pub humidity_percent: f64,
}

impl Air {
    /// Vapour pressure deficit, kPa.
    #[must_use]
    pub fn deficit(&self) -> f64 {
        moist_air::vapour_pressure_deficit(self.celsius, self.humidity_percent)
    }
}

impl TypicalDay {
    /// Shortwave radiation of a day that loads a canopy, MJ/m², with lamps burning as long as `light` says.
    #[must_use]
    pub fn shortwave_mj(&self, light: &Light) -> f64 {
        match self.level {
            LightLevel::Sun { mj_per_m2 } => mj_per_m2,
            LightLevel::Lamps { ppfd, lamp } => lamp.source().shortwave(ppfd) * light.seconds() * 1e-6,
        }
    }

    /// Daily light integral, mol/m².
    #[must_use]
    pub fn daily_light_integral(&self, light: &Light) -> f64 {
        match self.level {
            LightLevel::Sun { mj_per_m2 } => Source::Sun.ppfd(mj_per_m2),
            LightLevel::Lamps { ppfd, .. } => ppfd * light.seconds() * 1e-6,
        }
    }
}

/// A climate with the light that goes with it: what a preset holds.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClimatePreset {
    /// When it is light, and how it runs.
    pub light: Light,
    /// The rest.
    pub climate: TypicalDay,
}
