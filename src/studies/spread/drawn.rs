//! A member's bench: the scenario with a draw of its unknowns laid into it. What comes of a valid scenario is valid.

use super::priors::Kind;
use super::unknowns::{Unknowns, Whose};
use crate::scenario::presets::Library;
use crate::scenario::{Curve, Demand, Lane, Medium, MediumChoice, Scenario, StartWater, ranges};

/// Least flow of an emitter, as a share of the mean.
const LEAST_FLOW: f64 = 0.02;
/// How far n − 1 follows the filling (judgement).
const N_FOLLOWS: f64 = 0.5;

/// A member.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawn {
    /// The bench as the pump serves it: every emitter of a lane gives the lane's mean.
    pub scenario: Scenario,
    /// Flow of the member's own emitter in each lane, as a share of the mean.
    pub flows: Vec<f64>,
}

/// What a draw does to a medium: factors, 1 where nothing is drawn.
#[derive(Clone, Copy, Debug)]
struct Change {
    width: f64,
    conductivity: f64,
    filling: f64,
    channelling: f64,
}

/// The member of a draw: `scores` has one per unknown, in their order.
#[must_use]
pub fn drawn(scenario: &Scenario, library: &Library, unknowns: &Unknowns, scores: &[f64]) -> Drawn {
    let mut member = Drawn { scenario: scenario.clone(), flows: vec![1.0; scenario.lanes.len()] };
    let mut changes = vec![Change { width: 1.0, conductivity: 1.0, filling: 1.0, channelling: 1.0 }; unknowns.media.len()];
    let mut touched = vec![false; unknowns.media.len()];
    for (unknown, z) in unknowns.list.iter().zip(scores) {
        let by = unknown.scatter * z;
        match unknown.whose {
            Whose::Lane(i) if unknown.kind == Kind::EmitterFlow => member.flows[i] = flow(by),
            Whose::Lane(i) => scale_use(&mut member.scenario.lanes[i].demand, by.exp()),
            Whose::Medium(i) => {
                touched[i] = true;
                match unknown.kind {
                    Kind::PoreWidth => changes[i].width = by.exp(),
                    Kind::Conductivity => changes[i].conductivity = by.exp(),
                    Kind::Filling => changes[i].filling = by.exp(),
                    _ => changes[i].channelling = by.exp(),
                }
            }
        }
    }
    let media: Vec<Medium> = unknowns.media.iter().zip(&changes).map(|(medium, change)| changed(medium, change)).collect();
    for (lane, parts) in member.scenario.lanes.iter_mut().zip(&unknowns.filled_with) {
        for (part, &medium) in lane.container.parts.iter_mut().zip(parts) {
            if touched[medium] {
                part.medium = MediumChoice::Custom(Box::new(media[medium].clone()));
            }
        }
        if parts.iter().any(|&medium| touched[medium]) {
            let counts = scenario.solver.layers_of(&lane.container);
            hold_start(lane, &media, parts, &counts, library);
        }
    }
    member
}

/// Flow of an emitter that is off by a share of the mean.
#[must_use]
pub fn flow(off_by: f64) -> f64 {
    (1.0 + off_by).max(LEAST_FLOW)
}

fn scale_use(demand: &mut Demand, by: f64) {
    let within = |value: &mut f64, (low, high): ranges::Range| *value = (*value * by).clamp(low, high);
    match demand {
        Demand::Measured { litres_per_day, .. } => within(litres_per_day, ranges::LITRES_PER_DAY),
        Demand::Climate { scale, .. } => within(scale, ranges::SCALE),
    }
}

fn clamp(value: f64, (low, high): ranges::Range) -> f64 {
    value.max(low).min(high)
}

fn changed(medium: &Medium, change: &Change) -> Medium {
    let mut out = medium.clone();
    let unfilled = |pores: f64| 1.0 - (1.0 - pores) / change.filling;
    let full = |theta_s: f64, theta_r: f64| clamp(unfilled(theta_s).max(theta_r + 0.02), ranges::THETA_S);
    let ks = |ks: f64| clamp(ks * change.width * change.width * change.conductivity, ranges::KS);
    out.curve = match medium.curve {
        Curve::VanGenuchten { theta_s, theta_r, alpha_per_cm, n, ks_cm_per_day, l } => {
            let alpha = clamp(alpha_per_cm * change.width, ranges::ALPHA);
            let n = clamp(1.0 + (n - 1.0) * change.filling.powf(N_FOLLOWS), ranges::n(alpha));
            Curve::VanGenuchten { theta_s: full(theta_s, theta_r), theta_r, alpha_per_cm: alpha, n, ks_cm_per_day: ks(ks_cm_per_day), l }
        }
        Curve::Gardner { theta_s, theta_r, a_per_cm, ks_cm_per_day } => {
            let a = clamp(a_per_cm * change.width, ranges::ALPHA);
            Curve::Gardner { theta_s: full(theta_s, theta_r), theta_r, a_per_cm: a, ks_cm_per_day: ks(ks_cm_per_day) }
        }
        Curve::Haverkamp { theta_s, theta_r, alpha, beta, a, gamma, ks_cm_per_day } => Curve::Haverkamp {
            theta_s: full(theta_s, theta_r),
            theta_r,
            // Suctions a factor smaller, to the power that each stands in.
            alpha: clamp(alpha * change.width.powf(-beta), ranges::HAVERKAMP_SCALE),
            beta,
            a: clamp(a * change.width.powf(-gamma), ranges::HAVERKAMP_SCALE),
            gamma,
            ks_cm_per_day: ks(ks_cm_per_day),
        },
    };
    if out.curve.unfit_for_plants().is_some() && medium.curve.unfit_for_plants().is_none() {
        // A published problem's curve at the edge of what plants can dry keeps its shape.
        out.curve = medium.curve;
    }
    out.porosity = clamp(unfilled(medium.porosity), ranges::porosity(&out.curve));
    out.bulk_density_kg_m3 = clamp(medium.bulk_density_kg_m3 / change.filling, ranges::BULK_DENSITY);
    out.channelling = clamp(medium.channelling * change.channelling, ranges::CHANNELLING);
    out
}

/// Holds the start within what the member's media can hold: `counts` are the layers of each part.
fn hold_start(lane: &mut Lane, media: &[Medium], parts: &[usize], counts: &[usize], library: &Library) {
    let range = ranges::mean_water(lane, library);
    match &mut lane.start.water {
        StartWater::Mean(theta) => {
            if let Some(range) = range {
                *theta = clamp(*theta, range);
            }
        }
        StartWater::Layers(values) => {
            let of_layer = parts.iter().zip(counts).flat_map(|(&medium, &count)| std::iter::repeat_n(medium, count));
            for (theta, medium) in values.iter_mut().zip(of_layer) {
                *theta = clamp(*theta, ranges::layer_water(&media[medium].curve));
            }
        }
        StartWater::AsWetted | StartWater::AtCapacity | StartWater::Head(_) => {}
    }
}
