//! The state a lane starts from.

use super::layers::Column;
use super::state::State;
use super::stress::air_target;
use crate::physics::hydraulics::Main;
use crate::physics::hysteresis::Path;
use crate::scenario::{Start, StartSalt, StartWater};

/// The state at the first midnight.
#[must_use]
pub fn state(column: &Column, start: &Start, feed_ec: f64) -> State {
    let n = column.len();
    let level = column.outlet_height;
    let branch = match start.water {
        StartWater::AtCapacity | StartWater::Head(_) => Main::Drying,
        StartWater::AsWetted | StartWater::Mean(_) | StartWater::Layers(_) => Main::Wetting,
    };
    let head: Vec<f64> = match &start.water {
        StartWater::AsWetted | StartWater::AtCapacity => column.layers.iter().map(|l| level - l.z).collect(),
        StartWater::Head(h) => vec![*h; n],
        StartWater::Mean(theta) => {
            let level = level_holding(column, *theta);
            column.layers.iter().map(|l| level - l.z).collect()
        }
        StartWater::Layers(theta) => (0..n)
            .map(|i| {
                let medium = column.hydraulics(i);
                -medium.suction(branch, medium.saturation_of(theta[i]))
            })
            .collect(),
    };
    let theta: Vec<f64> = (0..n)
        .map(|i| {
            let medium = column.hydraulics(i);
            let se = medium.main(branch, (-head[i]).max(0.0)).0;
            medium.theta(se) + column.solver.storage_per_cm * head[i].max(0.0)
        })
        .collect();
    let ec = match &start.salt {
        StartSalt::Feed => vec![feed_ec; n],
        StartSalt::Ec(ec) => vec![*ec; n],
        StartSalt::Layers(values) => values.clone(),
    };
    let stress = &column.crop.stress;
    let breath = (0..n)
        .map(|i| {
            let porosity = column.parts[column.layers[i].part].medium.porosity;
            air_target(stress, porosity - theta[i])
        })
        .collect();
    State { theta, head, ec, path: vec![Path::on(branch); n], breath }
}

/// Height of the zero-head level whose rest state (wetting branch) holds a mean water content: bisection.
fn level_holding(column: &Column, wanted: f64) -> f64 {
    let held = |level: f64| {
        let theta: Vec<f64> = column
            .layers
            .iter()
            .enumerate()
            .map(|(i, l)| {
                let medium = column.hydraulics(i);
                medium.theta(medium.main(Main::Wetting, (l.z - level).max(0.0)).0)
            })
            .collect();
        column.mean(&theta)
    };
    let (mut low, mut high) = (-1.0, column.height);
    while held(low) > wanted && low > -1e6 {
        low *= 4.0;
    }
    for _ in 0..200 {
        let mid = 0.5 * (low + high);
        if held(mid) > wanted {
            high = mid;
        } else {
            low = mid;
        }
    }
    0.5 * (low + high)
}
