//! What a lane bears, hour by hour.

use serde::Serialize;

use super::fault::Fault;

/// Hours that are looked ahead.
pub const LOOK_AHEAD_H: f64 = 72.0;

/// What a fault at an hour leads to. Hours are counted from the fault; `None` where it does not come to that within [`LOOK_AHEAD_H`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Grace {
    /// Hour of the day at which it happens, 0–23.
    pub hour: u32,
    /// What happens.
    pub fault: Fault,
    /// Until the plant takes up no more than 90 % of what is asked of it.
    pub hours_to_90: Option<f64>,
    /// Until no more than half.
    pub hours_to_50: Option<f64>,
    /// Until next to nothing: the water within reach is used up.
    pub hours_to_dry: Option<f64>,
    /// Until the roots have less air than the crop needs.
    pub hours_to_airless: Option<f64>,
}

/// What a lane bears.
#[derive(Clone, Debug, Default, Serialize)]
pub struct LaneGrace {
    /// The lane's name.
    pub name: String,
    /// Every hour and fault that could be told, by fault, then by hour.
    pub grace: Vec<Grace>,
    /// The hour at which it may least stop getting water: the least time to 90 %. `None` where that does not come.
    pub worst_hour: Option<u32>,
    /// Runs that did not converge and are left out.
    pub failed: usize,
    /// Faults that have no meaning here, each with why.
    pub left_out: Vec<(Fault, &'static str)>,
}

impl LaneGrace {
    /// What a fault leads to, hour by hour.
    pub fn of(&self, fault: Fault) -> impl Iterator<Item = &Grace> {
        self.grace.iter().filter(move |g| g.fault == fault)
    }

    /// The worst hour of a fault, and what it leads to there.
    #[must_use]
    pub fn worst(&self, fault: Fault) -> Option<&Grace> {
        self.of(fault)
            .filter(|g| g.hours_to_90.is_some())
            .min_by(|a, b| a.hours_to_90.unwrap_or(f64::MAX).total_cmp(&b.hours_to_90.unwrap_or(f64::MAX)))
    }
}
