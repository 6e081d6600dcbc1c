//! Steady flow down through one medium over another, against the exact profile of the two.

use slakeline::scenario::presets::Library;
use slakeline::scenario::{DAY_S, Demand, MediumChoice, Scenario, StartWater, Top, resolve};

use crate::common::{advance, case, require, simulation};

/// Ten centimetres of stone-wool block over a coir slab of the same area, 12 cm a day from above, nothing taken up.
fn block_over_coir() -> Scenario {
    let library = Library::shipped();
    let mut scenario = case("leaching");
    let lane = &mut scenario.lanes[0];
    lane.demand = Demand::Measured { litres_per_day: 0.0, steady_share: 1.0 };
    lane.boundaries.top = Top::FixedFlux(0.5);
    lane.start.water = StartWater::AsWetted;
    let parts = &mut lane.container.parts;
    parts.truncate(1);
    let mut above = parts[0].clone();
    for (part, name, height) in [(&mut parts[0], "coir pith", 7.5), (&mut above, "stone wool, block", 10.0)] {
        let mut medium = resolve::medium(&MediumChoice::Preset(name.to_owned()), &library).unwrap();
        // One curve both ways: the profile does not hang on how it was reached.
        (medium.hysteresis_ratio, medium.channelling) = (1.0, 0.0);
        (part.name, part.height_cm, part.medium) = (name.to_owned(), height, MediumChoice::Custom(Box::new(medium)));
    }
    parts.push(above);
    scenario.evaporation_mm_per_day = 0.0;
    scenario
}

/// With q downward the head follows dh/dz = q/K(h) − 1 from zero at the outlet, and is the same on both sides where the media touch
/// (closed form of Darcy's law; integrated here by Runge and Kutta's fourth order at 2,000 steps a part, with the curves themselves, not their
/// tables). Each part's mean water content within 0.05 point of it.
#[test]
fn a_steady_flow_through_two_media_has_the_exact_profile() {
    let scenario = block_over_coir();
    let mut simulation = simulation(&scenario);
    advance(&mut simulation, 3.0 * DAY_S);
    let column = simulation.column().clone();
    let (flux, mut head) = (12.0 / DAY_S, 0.0_f64);
    for part in &column.parts {
        let curve = &part.hydraulics;
        let saturation = |h: f64| curve.shape.saturation((-h).max(0.0)).0;
        let rise = |h: f64| flux / (curve.ks * curve.shape.conductivity(saturation(h))) - 1.0;
        let layers = part.layers.clone();
        let height: f64 = column.layers[layers.clone()].iter().map(|l| l.dz).sum();
        let (steps, mut sum) = (2000, 0.0);
        let dz = height / f64::from(steps);
        for _ in 0..steps {
            let a = rise(head);
            let b = rise(head + 0.5 * dz * a);
            let c = rise(head + 0.5 * dz * b);
            let d = rise(head + dz * c);
            let middle = head + 0.5 * dz * b;
            sum += saturation(middle);
            head += dz * (a + 2.0 * b + 2.0 * c + d) / 6.0;
        }
        let exact = curve.theta_r + (curve.theta_s - curve.theta_r) * sum / f64::from(steps);
        let whole: f64 = column.layers[layers.clone()].iter().map(|l| l.volume).sum();
        let held: f64 = layers.map(|i| simulation.state().theta[i] * column.layers[i].volume).sum();
        require("1b Two media", &format!("mean of the {}", part.name), 100.0 * (held / whole - exact).abs(), 0.05, "points");
    }
}
