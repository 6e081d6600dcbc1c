//! Flows at the column's edges: emitters and overflow, outlet, flood, held heads and fluxes.

use super::between::{self, End};
use crate::engine::column::hydro::Nodes;
use crate::engine::column::layers::Column;
use crate::engine::supply::clock::Supply;
use crate::physics::hydraulics::Main;
use crate::scenario::{Base, Top};
use crate::units::HOUR_S;

/// Flows of one stage, mL/s per plant.
#[derive(Debug, Default)]
pub struct Flows {
    /// Between layer i and i + 1, upward positive.
    pub face: Vec<f64>,
    /// Into layer i from outside at base, outlet and walls; negative outward.
    pub side: Vec<f64>,
    /// Evaporation from layer i.
    pub evaporation: Vec<f64>,
    /// Uptake from layer i.
    pub uptake: Vec<f64>,
    /// Into the top layer from above; negative outward.
    pub top: f64,
    /// Given from above but not let in.
    pub overflow: f64,
}

impl Clone for Flows {
    fn clone(&self) -> Self {
        let mut copy = Self::default();
        copy.clone_from(self);
        copy
    }

    /// Reuses the room of the copy: the water step copies flows in every step.
    fn clone_from(&mut self, source: &Self) {
        self.face.clone_from(&source.face);
        self.side.clone_from(&source.side);
        self.evaporation.clone_from(&source.evaporation);
        self.uptake.clone_from(&source.uptake);
        (self.top, self.overflow) = (source.top, source.overflow);
    }
}

impl Flows {
    /// Room for `n` layers.
    #[must_use]
    pub fn new(n: usize) -> Self {
        let zeros = || vec![0.0; n];
        Self { face: vec![0.0; n.saturating_sub(1)], side: zeros(), evaporation: zeros(), uptake: zeros(), top: 0.0, overflow: 0.0 }
    }
}

/// Mean conductivity (cm/s) between a boundary held at a head and a layer, and its derivative by the layer's head.
fn inward(column: &Column, layer: usize, held: f64, nodes: &Nodes, head: &[f64]) -> (f64, f64) {
    let medium = column.hydraulics(layer);
    let se = medium.main(Main::Drying, (-held).max(0.0)).0;
    let outside = End { head: held, k: medium.conductivity(se).0, slope: 0.0 };
    let inside = End { head: head[layer], k: nodes.k[layer], slope: nodes.k_slope[layer] };
    let mean = between::front(outside, inside, column.parts[column.layers[layer].part].falls_from);
    (mean.k, mean.by_second)
}

/// Head of the top layer above which it does not let in all that is given, cm; infinite where nothing is given.
pub fn ponding_head(column: &Column, supply: Supply) -> f64 {
    let last = column.len() - 1;
    let layer = &column.layers[last];
    let given = match (column.boundaries.top, supply) {
        (Top::FixedFlux(cm_per_hour), _) => cm_per_hour / HOUR_S * layer.area,
        (Top::Emitters, Supply::Drip { rate, .. }) => rate * (1.0 - column.channelling),
        (Top::FixedHead(_), _) | (Top::Emitters, Supply::Off | Supply::Flood { .. }) => return f64::INFINITY,
    };
    0.5 * layer.dz * (1.0 - given / (column.hydraulics(last).ks * layer.area))
}

/// Flow through the top into the top layer, its derivative by the layer's head, and what overflows. mL/s.
pub fn top(column: &Column, supply: Supply, nodes: &Nodes, head: &[f64]) -> (f64, f64, f64) {
    let last = column.len() - 1;
    let layer = &column.layers[last];
    let half = 0.5 * layer.dz;
    let let_in = |given: f64| {
        // A ponded surface lets in what flows under a surface head of zero through the saturated half layer.
        let ks = column.hydraulics(last).ks * layer.area;
        let most = ks * (-head[last] / half + 1.0);
        if given <= most { (given, 0.0, 0.0) } else { (most.max(0.0), if most > 0.0 { -ks / half } else { 0.0 }, given - most.max(0.0)) }
    };
    match (column.boundaries.top, supply) {
        (Top::FixedHead(surface), _) => {
            let drive = (surface - head[last]) / half + 1.0;
            let (k, k_slope) = inward(column, last, surface, nodes, head);
            let slope = layer.area * (k_slope * drive - k / half);
            (layer.area * k * drive, slope, 0.0)
        }
        (Top::FixedFlux(cm_per_hour), _) => let_in(cm_per_hour / HOUR_S * layer.area),
        (Top::Emitters, Supply::Drip { rate, .. }) => let_in(rate * (1.0 - column.channelling)),
        (Top::Emitters, Supply::Off | Supply::Flood { .. }) => (0.0, 0.0, 0.0),
    }
}

/// Adds the flows at base, outlet and flooded walls into each layer, and their derivatives by the layer's head. mL/s.
pub fn sides(column: &Column, supply: Supply, nodes: &Nodes, head: &[f64], side: &mut [f64], slope: &mut [f64]) {
    side.fill(0.0);
    slope.fill(0.0);
    let base = &column.layers[0];
    match column.boundaries.base {
        Base::Closed => return,
        Base::FixedHead(held) => {
            let half = 0.5 * base.dz;
            let drive = (held - head[0]) / half - 1.0;
            let (k, k_slope) = inward(column, 0, held, nodes, head);
            side[0] = base.area * k * drive;
            slope[0] = base.area * (k_slope * drive - k / half);
            return;
        }
        Base::FreeDrainage => {
            side[0] = -base.area * nodes.k[0];
            slope[0] = -base.area * nodes.k_slope[0];
            return;
        }
        Base::Outlet => {}
    }
    let depth = match supply {
        Supply::Flood { depth, .. } => depth,
        Supply::Off | Supply::Drip { .. } => 0.0,
    };
    if depth > column.outlet_height {
        flood(column, depth, nodes, head, side, slope);
    } else {
        // Seepage face: what stands above the outlet's level runs out, nothing runs in.
        let o = column.outlet;
        let layer = &column.layers[o];
        let half = 0.5 * layer.dz;
        let above = head[o] + layer.z - column.outlet_height;
        if above > 0.0 {
            side[o] = -nodes.k[o] * layer.area * above / half;
            slope[o] = -layer.area / half * (nodes.k[o] + nodes.k_slope[o] * above);
        }
    }
}

/// Exchange with the solution that stands around the container, both ways, through the outlet and through walls that let it pass.
fn flood(column: &Column, depth: f64, nodes: &Nodes, head: &[f64], side: &mut [f64], slope: &mut [f64]) {
    for (i, layer) in column.layers.iter().enumerate() {
        if layer.z >= depth && i != column.outlet {
            continue;
        }
        let mut per_cm = if layer.z < depth { layer.flooded_wall / layer.wall_depth } else { 0.0 };
        if i == column.outlet {
            per_cm += layer.area / (0.5 * layer.dz);
        }
        if per_cm > 0.0 {
            let drive = depth - layer.z - head[i];
            let (k, k_slope) = inward(column, i, (depth - layer.z).max(0.0), nodes, head);
            side[i] = per_cm * k * drive;
            slope[i] = per_cm * (k_slope * drive - k);
        }
    }
}
