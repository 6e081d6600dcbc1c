//! How much light has fallen: what a light sum is counted by.

use crate::engine::demand::light_curve::light_so_far;
use crate::engine::demand::running_sum::RunningSum;
use crate::physics::light::Source;
use crate::scenario::{Climate, DAY_S, Light, LightLevel, LightSum, Scenario};

/// J/cm² in a MJ/m².
const JOULES_PER_CM2: f64 = 100.0;

/// Light above the canopy, summed from the first midnight on.
#[derive(Clone, Debug)]
pub struct LightClock {
    /// Mol/m² of photons in a MJ/m² of shortwave radiation.
    moles_per_mj: f64,
    fall: Fall,
}

#[derive(Clone, Debug)]
enum Fall {
    /// Every day the same: MJ/m² a day.
    Daily(Light, f64),
    /// As logged, MJ/m².
    Logged(RunningSum),
}

impl LightClock {
    /// The light of a scenario's climate; `None` without one.
    #[must_use]
    pub fn of(scenario: &Scenario) -> Option<Self> {
        Some(match scenario.climate.as_ref()? {
            Climate::Typical(day) => {
                let source = match day.level {
                    LightLevel::Sun { .. } => Source::Sun,
                    LightLevel::Lamps { lamp, .. } => lamp.source(),
                };
                let fall = Fall::Daily(scenario.light, day.shortwave_mj(&scenario.light));
                Self { moles_per_mj: source.ppfd(1.0), fall }
            }
            Climate::Log(log) => {
                let source = log.lamp.map_or(Source::Sun, crate::scenario::Lamp::source);
                let fall = Fall::Logged(RunningSum::of(log, |row| row.shortwave() * 1e-6));
                Self { moles_per_mj: source.ppfd(1.0), fall }
            }
        })
    }

    /// MJ/m² of shortwave radiation up to a time, s since the first midnight.
    #[must_use]
    pub fn megajoules(&self, t_s: f64) -> f64 {
        match &self.fall {
            Fall::Daily(light, each) => {
                let day = (t_s / DAY_S).floor();
                each * (day + light_so_far(light, t_s - day * DAY_S))
            }
            Fall::Logged(sum) => sum.up_to(t_s),
        }
    }

    /// Photons up to a time, mol/m².
    #[must_use]
    pub fn moles(&self, t_s: f64) -> f64 {
        self.megajoules(t_s) * self.moles_per_mj
    }

    /// Whether every day is like the first.
    #[must_use]
    pub fn repeats_daily(&self) -> bool {
        matches!(self.fall, Fall::Daily(..))
    }

    /// MJ/m² of shortwave radiation in a light sum.
    #[must_use]
    pub fn megajoules_in(&self, sum: LightSum) -> f64 {
        match sum {
            LightSum::Joules(amount) => amount / JOULES_PER_CM2,
            LightSum::Moles(amount) => amount / self.moles_per_mj,
        }
    }

    /// When the light from the first midnight on reaches a sum (MJ/m²), between two times; `None` if it does not.
    #[must_use]
    pub fn when(&self, reached: f64, from_s: f64, to_s: f64) -> Option<f64> {
        // What rounding takes from a sum is not missing.
        let reached = reached * (1.0 - 1e-12);
        if self.megajoules(to_s) < reached {
            return None;
        }
        let (mut low, mut high) = (from_s, to_s);
        while high - low > 1e-4 {
            let middle = 0.5 * (low + high);
            if self.megajoules(middle) < reached {
                low = middle;
            } else {
                high = middle;
            }
        }
        Some(high)
    }
}
