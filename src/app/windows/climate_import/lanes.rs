//! Lanes by what their use hangs on, and how many there are of a thing.

use crate::scenario::presets::Library;
use crate::scenario::{Demand, Scenario, resolve};

/// Lanes by what their use hangs on.
pub struct Lanes {
    /// Places of those that are measured and could be computed.
    pub can: Vec<usize>,
    /// Names of those that are measured and cannot.
    pub cannot: Vec<String>,
    /// How many are computed already.
    pub computed: usize,
}

impl Lanes {
    pub fn of(scenario: &Scenario, library: &Library) -> Self {
        let mut lanes = Self { can: Vec::new(), cannot: Vec::new(), computed: 0 };
        for (index, lane) in scenario.lanes.iter().enumerate() {
            match lane.demand {
                Demand::Climate { .. } => lanes.computed += 1,
                Demand::Measured { .. } if resolve::crop(&lane.crop, library).is_ok_and(|crop| crop.canopy.is_some()) => {
                    lanes.can.push(index);
                }
                Demand::Measured { .. } => lanes.cannot.push(lane.name.clone()),
            }
        }
        lanes
    }

    /// Computes the use of those that can be.
    pub fn compute(&self, scenario: &mut Scenario) {
        for &index in &self.can {
            if let Some(lane) = scenario.lanes.get_mut(index) {
                lane.demand = Demand::COMPUTED;
            }
        }
    }
}

/// A number and what it counts.
pub fn many(count: usize, one: &str) -> String {
    let digits = count.to_string();
    let mut number = String::new();
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            number.push(',');
        }
        number.push(digit);
    }
    format!("{number} {one}{}", if count == 1 { "" } else { "s" })
}
