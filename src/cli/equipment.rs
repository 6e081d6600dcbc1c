//! What a timer, emitters and a pump can do, and which growth is leaned to, as commands ask it.

use crate::scenario::{Clock, Scenario};
use crate::studies::finder::{Asked, Hardware, Lean};

/// What the equipment can do, and within which hours.
#[derive(Clone, Debug, clap::Args)]
pub struct Equipment {
    /// No event begins before, HH:MM
    #[arg(long, value_name = "TIME")]
    first: Option<Clock>,
    /// No event begins after, HH:MM
    #[arg(long, value_name = "TIME")]
    last: Option<Clock>,
    /// Starts stand on this grid, s
    #[arg(long, value_name = "S", default_value_t = 60)]
    timer_step: u32,
    /// Shortest time that the valve is open, s
    #[arg(long, value_name = "S", default_value_t = 30)]
    shortest: u32,
    /// What one plant's emitters give, L/h
    #[arg(long, value_name = "L/H")]
    emitter: Option<f64>,
    /// What the pump gives for all plants of the valve, L/h, instead of the bench's own pump
    #[arg(long, value_name = "L/H")]
    pump: Option<f64>,
    /// Most events a day
    #[arg(long, value_name = "N", default_value_t = 48)]
    most_events: usize,
    /// Which growth to lean to: which half of a lane's dry-back range, and which usual aims where a lane has none
    #[arg(long, value_enum, default_value_t)]
    lean: Leaning,
}

#[derive(Clone, Copy, Debug, Default, clap::ValueEnum)]
enum Leaning {
    Vegetative,
    #[default]
    Balanced,
    Generative,
}

impl Equipment {
    /// What a finder is asked for a bench.
    pub fn asked(&self, scenario: &Scenario) -> Asked {
        let usual = Asked::within_the_light(scenario);
        Asked {
            first: self.first.unwrap_or(usual.first),
            last: self.last.unwrap_or(usual.last),
            hardware: Hardware {
                timer_step_s: self.timer_step,
                shortest_s: self.shortest,
                emitter_l_per_h: self.emitter,
                most_events: self.most_events,
                pump_l_per_h: self.pump.or(usual.hardware.pump_l_per_h),
            },
            lean: match self.lean {
                Leaning::Vegetative => Lean::Vegetative,
                Leaning::Balanced => Lean::Balanced,
                Leaning::Generative => Lean::Generative,
            },
            ..usual
        }
    }
}
