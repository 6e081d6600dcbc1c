//! The flow of water between two layers, put together from the engine's own pieces in the order that its water step takes them: that
//! step keeps the loop over the faces to itself.
//!
//! This is the one place that has to follow when the engine's flow between layers changes. `agreement` holds it against the engine's
//! flows before anything is timed, and the run ends there when it does not meet them.
//!
//! One thing differs: the engine decides where fronts stand as a step begins, this at every look at the flows. As steps grow short the
//! two become one.

use slakeline::engine::step::between::{self, End};
use slakeline::engine::step::boundary::Flows;
use slakeline::engine::column::layers::Column;
use slakeline::engine::step::contact::Contact;
use slakeline::engine::column::hydro::Hydro;
use slakeline::engine::column::state::State;

/// Derivatives of the flows between layers, mL/s per cm: of the flow between layer i and i + 1 by the head of each.
#[derive(Clone, Debug)]
pub struct Slopes {
    /// By the head of layer i.
    pub by_below: Vec<f64>,
    /// By the head of layer i + 1.
    pub by_above: Vec<f64>,
}

impl Slopes {
    /// Room for the faces of `n` layers.
    pub fn new(n: usize) -> Self {
        Self { by_below: vec![0.0; n - 1], by_above: vec![0.0; n - 1] }
    }
}

/// Flows between the layers, mL/s, upward positive, into `flows.face`, and their slopes. `hydro`'s nodes are at `head`.
pub fn flows(
    column: &Column,
    contacts: &mut [Contact],
    hydro: &mut Hydro,
    state: &State,
    head: &[f64],
    flows: &mut Flows,
    slopes: &mut Slopes,
) {
    let faces = head.len() - 1;
    let nodes = &hydro.nodes;
    let (k, k_slope, q) = (&nodes.k[..=faces], &nodes.k_slope[..=faces], &mut flows.face[..faces]);
    let (by_below, by_above) = (&mut slopes.by_below[..faces], &mut slopes.by_above[..faces]);
    let (area, spacing) = (&column.contact[..faces], &column.spacing[..faces]);
    let end = |i: usize| End { head: head[i], k: k[i], slope: k_slope[i] };
    for i in 0..faces {
        let (low, high) = if k[i] < k[i + 1] { (k[i], k[i + 1]) } else { (k[i + 1], k[i]) };
        let mean = if high > between::FRONT * low {
            between::front(end(i), end(i + 1), column.parts[column.layers[i].part].falls_from)
        } else {
            between::gentle(end(i), end(i + 1))
        };
        let drive = area[i] * ((head[i + 1] - head[i]) / spacing[i] + 1.0);
        let steep = mean.k * area[i] / spacing[i];
        q[i] = -mean.k * drive;
        by_below[i] = steep - mean.by_first * drive;
        by_above[i] = -steep - mean.by_second * drive;
    }
    for contact in contacts {
        let i = contact.face;
        let through = contact.flow(column, hydro, state, head);
        (q[i], by_below[i], by_above[i]) = (through.upward, through.by_below, through.by_above);
    }
}
