//! The engine's discretised equations as a system of ordinary differential equations: the heads of all layers, then their salt.
//!
//! V·C(h)·dh/dt = net flow of water, dS/dt = net flow of salt. Curves, boundaries and stresses are the engine's own functions; the flow
//! between layers stands in `faces`, the salt's here, because the engine has no function of its own for them.
//!
//! The derivative of a full layer's water content is zero, and dh/dt would be without bounds. So the elastic storage of the case sets in
//! at [`ONSET_CM`] of suction instead of at zero. It adds at most three millionths to a water content. The engine needs nothing of the kind.

use std::cell::{Cell, RefCell};
use std::sync::Arc;

use slakeline::engine::step::boundary::{self, Flows};
use slakeline::engine::supply::clock::Supply;
use slakeline::engine::column::layers::Column;
use slakeline::engine::demand::load::Potential;
use slakeline::engine::step::contact::Contact;
use slakeline::engine::column::hydro::{Hydro, Nodes};
use slakeline::engine::demand::load::Load;
use slakeline::engine::run::Ready;
use slakeline::engine::column::state::State;
use slakeline::engine::column::stress;
use slakeline::engine::step::surface;
use slakeline::physics::hydraulics::Main;

use crate::faces::{self, Slopes};

/// Suction where elastic storage sets in, cm.
pub const ONSET_CM: f64 = 0.3;
/// Half the time that the rate of demand is taken over, s: the engine knows demand by what falls between two instants.
const HALF_WINDOW_S: f64 = 1.0;

/// A stretch of the day through which the pump does one thing and the light does not bend.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// Begin, s after midnight.
    pub begin: f64,
    /// End, s after midnight.
    pub end: f64,
    /// What the pump does.
    pub supply: Supply,
}

/// The system.
pub struct Equations {
    /// The column.
    pub column: Arc<Column>,
    load: Arc<dyn Load>,
    feed_ec: f64,
    /// The start: without hysteresis it is the same curve from wherever it is looked at.
    start: State,
    stretch: Cell<Stretch>,
    room: RefCell<Room>,
}

/// What the right-hand side comes to on its way.
pub struct Room {
    /// Its nodes are the curves at the heads.
    pub hydro: Hydro,
    contacts: Vec<Contact>,
    /// Flows of water, mL/s.
    pub flows: Flows,
    slopes: Slopes,
    side_slope: Vec<f64>,
    uptake_slope: Vec<f64>,
    evaporation_slope: Vec<f64>,
    net: Vec<f64>,
    /// EC of each layer, mS/cm.
    pub ec: Vec<f64>,
    water: Vec<[f64; 3]>,
    salt_by_head: Vec<[f64; 3]>,
    salt_by_salt: Vec<[f64; 3]>,
}

impl Equations {
    /// The system of a lane.
    ///
    /// # Errors
    /// In words, where the lane has something that these equations have not: hysteresis, a memory of air, salt stress.
    pub fn new(lane: &Ready) -> Result<Self, String> {
        let column = Arc::clone(&lane.column);
        if column.parts.iter().any(|p| p.hydraulics.ratio != 1.0) {
            return Err(format!("lane \"{}\" has media with hysteresis; set their hysteresis_ratio to 1", lane.name));
        }
        let stress = &column.crop.stress;
        if stress.air_floor < 1.0 || stress.salt.is_some() {
            return Err(format!("lane \"{}\" has a memory of air or salt stress; set air_floor to 1 and leave salt out", lane.name));
        }
        let n = column.len();
        let zeros = || vec![0.0; n];
        let threes = || vec![[0.0; 3]; n];
        let room = Room {
            hydro: Hydro::new(&column, &lane.start),
            contacts: Contact::all(&column),
            flows: Flows::new(n),
            slopes: Slopes::new(n),
            side_slope: zeros(),
            uptake_slope: zeros(),
            evaporation_slope: zeros(),
            net: zeros(),
            ec: zeros(),
            water: threes(),
            salt_by_head: threes(),
            salt_by_salt: threes(),
        };
        let whole = Stretch { begin: 0.0, end: 0.0, supply: Supply::Off };
        let (load, feed_ec) = (Arc::clone(&lane.load), lane.feed_ec);
        Ok(Self { column, load, feed_ec, start: lane.start.clone(), stretch: Cell::new(whole), room: RefCell::new(room) })
    }

    /// Number of layers.
    pub fn layers(&self) -> usize {
        self.column.len()
    }

    /// What acts from now on.
    pub fn enter(&self, stretch: Stretch) {
        self.stretch.set(stretch);
    }

    /// Heads and salt amounts of a state of the engine.
    pub fn unknowns(&self, head: &[f64], ec: &[f64]) -> Vec<f64> {
        let mut room = self.room.borrow_mut();
        self.curves(head, &mut room.hydro.nodes);
        let salt = (0..ec.len()).map(|i| ec[i] * self.holding(&room.hydro.nodes, i));
        head.iter().copied().chain(salt).collect()
    }

    /// Water contents (m³/m³) and EC (mS/cm) of the unknowns.
    pub fn contents(&self, unknowns: &[f64]) -> (Vec<f64>, Vec<f64>) {
        let (head, salt) = unknowns.split_at(self.layers());
        let mut room = self.room.borrow_mut();
        self.curves(head, &mut room.hydro.nodes);
        let ec = salt.iter().enumerate().map(|(i, s)| s / self.holding(&room.hydro.nodes, i)).collect();
        (room.hydro.nodes.theta.clone(), ec)
    }

    /// What a layer's salt is dissolved in, with what the medium holds, mL.
    fn holding(&self, nodes: &Nodes, i: usize) -> f64 {
        (nodes.theta[i] + self.column.held_salt[i]) * self.column.layers[i].volume
    }

    /// Curves at the heads, as tabulated by the engine.
    fn curves(&self, head: &[f64], nodes: &mut Nodes) {
        let storage = self.column.solver.storage_per_cm;
        for part in &self.column.parts {
            let medium = &part.hydraulics;
            let span = medium.theta_s - medium.theta_r;
            for i in part.layers.clone() {
                let (se, by_suction) = medium.main(Main::Drying, (-head[i]).max(0.0));
                let (k, by_se) = medium.conductivity(se);
                let elastic = (head[i] + ONSET_CM).max(0.0);
                nodes.se[i] = se;
                nodes.theta[i] = medium.theta_r + span * se + storage * elastic;
                nodes.capacity[i] = if elastic > 0.0 { storage } else { 0.0 } - span * by_suction;
                nodes.k[i] = k;
                nodes.k_slope[i] = -by_se * by_suction;
            }
        }
    }

    /// How the capacity changes with head, 1/cm²: a difference, since the tables give one derivative.
    fn capacity_slope(&self, head: f64, part: usize) -> f64 {
        let medium = &self.column.parts[part].hydraulics;
        let suction = -head;
        if suction <= 1e-6 {
            return 0.0;
        }
        let step = 1e-4 * suction;
        let (more, less) = (medium.main(Main::Drying, suction + step).1, medium.main(Main::Drying, suction - step).1);
        (medium.theta_s - medium.theta_r) * (more - less) / (2.0 * step)
    }

    /// Demand at an instant: transpiration in mL/s, evaporation in cm/s.
    fn demand(&self, t: f64) -> (f64, Potential) {
        let stretch = self.stretch.get();
        let from = (t - HALF_WINDOW_S).max(stretch.begin);
        let to = (t + HALF_WINDOW_S).min(stretch.end).max(from + HALF_WINDOW_S);
        let span = to - from;
        (self.load.transpiration_ml(from, to) / span, self.load.evaporation_cm(from, to).over(span))
    }

    /// Flows of water at the heads under a demand (mL/s, cm/s), and how they change with them.
    pub fn water_flows(&self, supply: Supply, demand: (f64, Potential), head: &[f64], room: &mut Room) {
        let column = &self.column;
        let Room { hydro, contacts, flows, slopes, side_slope, uptake_slope, evaporation_slope, .. } = room;
        self.curves(head, &mut hydro.nodes);
        faces::flows(column, contacts, hydro, &self.start, head, flows, slopes);
        let nodes = &hydro.nodes;
        boundary::sides(column, supply, nodes, head, &mut flows.side, side_slope);
        let (into, slope, overflow) = boundary::top(column, supply, nodes, head);
        (flows.top, flows.overflow) = (into, overflow);
        let n = head.len();
        side_slope[n - 1] += slope;
        let mut able = 0.0;
        for i in 0..n {
            let (share, steep) = stress::water_share(&column.crop.stress, head[i]);
            flows.uptake[i] = column.layers[i].roots * share;
            uptake_slope[i] = column.layers[i].roots * steep;
            able += flows.uptake[i];
        }
        // As in the engine's own Jacobian, a layer's head is taken to move its own uptake only.
        let scale = demand.0 / able.max(column.crop.stress.compensation);
        for i in 0..n {
            flows.uptake[i] *= scale;
            uptake_slope[i] *= scale;
            let surface = column.layers[i].evaporating;
            if surface > 0.0 {
                let most = surface * demand.1.wall + column.layers[i].evaporating_top * (demand.1.top - demand.1.wall);
                let (share, steep) = if i + 1 == n && most > 0.0 {
                    surface::share(column, hydro, &self.start, head, most)
                } else {
                    column.parts[column.layers[i].part].evaporation.share(head[i])
                };
                flows.evaporation[i] = most * share;
                evaporation_slope[i] = most * steep;
            }
        }
    }

    /// The room, for a look at flows outside a solution.
    pub fn room(&self) -> std::cell::RefMut<'_, Room> {
        self.room.borrow_mut()
    }

    /// EC of what comes in.
    fn inlet(&self) -> f64 {
        match self.stretch.get().supply {
            Supply::Drip { ec, .. } | Supply::Flood { ec, .. } => ec,
            Supply::Off => self.feed_ec,
        }
    }

    /// Flows at the unknowns, the net flow of water into each layer, and EC.
    fn state(&self, t: f64, unknowns: &[f64], room: &mut Room) {
        let n = self.layers();
        let (head, salt) = unknowns.split_at(n);
        self.water_flows(self.stretch.get().supply, self.demand(t), head, room);
        let Room { hydro: Hydro { nodes, .. }, flows, net, ec, .. } = room;
        for i in 0..n {
            net[i] = flows.side[i] - flows.uptake[i] - flows.evaporation[i];
            ec[i] = salt[i] / self.holding(nodes, i);
        }
        net[n - 1] += flows.top;
        for (i, q) in flows.face.iter().enumerate() {
            net[i] -= q;
            net[i + 1] += q;
        }
    }

    /// Dispersion across the contact of layer i and i + 1, mL/s per mS/cm: (λ·|q| + D0·θ·A)/Δz, at least |q|/2; its derivative by |q| and
    /// whether it hangs on the water contents.
    fn dispersion(&self, q: f64, theta: &[f64], i: usize) -> (f64, f64, bool) {
        let [below, above] = self.column.diffusion[i];
        let spread = self.column.spread[i] * q.abs() + below * theta[i] + above * theta[i + 1];
        let least = 0.5 * q.abs();
        if spread >= least { (spread, self.column.spread[i], true) } else { (least, 0.5, false) }
    }

    /// Time derivative of the unknowns.
    pub fn rates(&self, t: f64, unknowns: &[f64], out: &mut [f64]) {
        let mut room = self.room.borrow_mut();
        self.state(t, unknowns, &mut room);
        let Room { hydro: Hydro { nodes, .. }, flows, net, ec, .. } = &*room;
        let (column, inlet, n) = (&self.column, self.inlet(), self.layers());
        let (water, salt) = out.split_at_mut(n);
        for i in 0..n {
            water[i] = net[i] * column.per_volume[i] / nodes.capacity[i];
            let side = flows.side[i];
            salt[i] = side.max(0.0) * inlet + side.min(0.0) * ec[i] - flows.uptake[i] * ec[i].min(column.crop.uptake_ec);
        }
        salt[n - 1] += flows.top.max(0.0) * inlet + flows.top.min(0.0) * ec[n - 1];
        for (i, &q) in flows.face.iter().enumerate() {
            let (spread, ..) = self.dispersion(q, &nodes.theta, i);
            let carried = 0.5 * q * (ec[i] + ec[i + 1]) + spread * (ec[i] - ec[i + 1]);
            salt[i] -= carried;
            salt[i + 1] += carried;
        }
    }

    /// Rows of each column of the Jacobian, columns in order, rows ascending: a head acts on the heads and salts of its layer and its
    /// neighbours, a salt amount on the salts there.
    pub fn pattern(&self) -> Vec<(usize, usize)> {
        let n = self.layers();
        let near = |j: usize| j.saturating_sub(1)..(j + 2).min(n);
        let mut pattern = Vec::with_capacity(9 * n);
        for j in 0..n {
            pattern.extend(near(j).map(|i| (i, j)));
            pattern.extend(near(j).map(|i| (n + i, j)));
        }
        for j in 0..n {
            pattern.extend(near(j).map(|i| (n + i, n + j)));
        }
        pattern
    }

    /// The Jacobian's values in the order of [`pattern`](Self::pattern).
    pub fn jacobian(&self, t: f64, unknowns: &[f64], out: &mut [f64]) {
        let mut room = self.room.borrow_mut();
        self.state(t, unknowns, &mut room);
        self.water_slopes(&unknowns[..self.layers()], &mut room);
        self.salt_slopes(&mut room);
        let n = self.layers();
        let mut next = out.iter_mut();
        let mut put = |value: f64| {
            if let Some(slot) = next.next() {
                *slot = value;
            }
        };
        let column = |rows: &[[f64; 3]], j: usize, put: &mut dyn FnMut(f64)| {
            for i in j.saturating_sub(1)..(j + 2).min(n) {
                put(rows[i][1 + j - i]);
            }
        };
        for j in 0..n {
            column(&room.water, j, &mut put);
            column(&room.salt_by_head, j, &mut put);
        }
        for j in 0..n {
            column(&room.salt_by_salt, j, &mut put);
        }
    }

    /// Rows of the water equations: by the head below, of the layer itself and above.
    fn water_slopes(&self, head: &[f64], room: &mut Room) {
        let Room { hydro: Hydro { nodes, .. }, slopes, side_slope, uptake_slope, evaporation_slope, net, water, .. } = room;
        let n = head.len();
        for i in 0..n {
            water[i] = [0.0, side_slope[i] - uptake_slope[i] - evaporation_slope[i], 0.0];
        }
        for i in 0..n - 1 {
            water[i][1] -= slopes.by_below[i];
            water[i][2] -= slopes.by_above[i];
            water[i + 1][0] += slopes.by_below[i];
            water[i + 1][1] += slopes.by_above[i];
        }
        for i in 0..n {
            let capacity = nodes.capacity[i];
            let scale = self.column.per_volume[i] / capacity;
            water[i] = water[i].map(|v| v * scale);
            water[i][1] -= net[i] * scale * self.capacity_slope(head[i], self.column.layers[i].part) / capacity;
        }
    }

    /// Rows of the salt equations, by head and by salt.
    fn salt_slopes(&self, room: &mut Room) {
        let (column, inlet, n) = (&self.column, self.inlet(), self.layers());
        let Room { hydro: Hydro { nodes, .. }, flows, slopes, side_slope, uptake_slope, ec, salt_by_head, salt_by_salt, .. } = room;
        // By EC first, in `salt_by_salt`; by flows and water contents in `salt_by_head`.
        let limit = column.crop.uptake_ec;
        for i in 0..n {
            let (side, free) = (flows.side[i], ec[i] < limit);
            let top = if i + 1 == n { flows.top } else { 0.0 };
            salt_by_salt[i] = [0.0, side.min(0.0) + top.min(0.0) - if free { flows.uptake[i] } else { 0.0 }, 0.0];
            // `side_slope` of the top layer holds the slope of what comes in from above as well: both bring the inlet's EC inward.
            let through = if side + top > 0.0 { inlet } else { ec[i] };
            salt_by_head[i] = [0.0, side_slope[i] * through - uptake_slope[i] * ec[i].min(limit), 0.0];
        }
        for i in 0..n - 1 {
            let q = flows.face[i];
            let (spread, by_q, by_theta) = self.dispersion(q, &nodes.theta, i);
            let (mean, fall) = (0.5 * (ec[i] + ec[i + 1]), ec[i] - ec[i + 1]);
            let by_flow = mean + q.signum() * by_q * fall;
            let [below, above] = if by_theta { column.diffusion[i] } else { [0.0; 2] };
            let by_heads = [
                by_flow * slopes.by_below[i] + below * nodes.capacity[i] * fall,
                by_flow * slopes.by_above[i] + above * nodes.capacity[i + 1] * fall,
            ];
            let by_ecs = [0.5 * q + spread, 0.5 * q - spread];
            for (rows, by) in [(&mut *salt_by_head, by_heads), (&mut *salt_by_salt, by_ecs)] {
                rows[i][1] -= by[0];
                rows[i][2] -= by[1];
                rows[i + 1][0] += by[0];
                rows[i + 1][1] += by[1];
            }
        }
        // EC hangs on salt and on water content: c = S/(θ + held)/V.
        for i in 0..n {
            for (k, j) in (0..3).filter_map(|k| (i + k).checked_sub(1).filter(|j| *j < n).map(|j| (k, j))) {
                let by_ec = salt_by_salt[i][k];
                salt_by_salt[i][k] = by_ec / self.holding(nodes, j);
                salt_by_head[i][k] -= by_ec * ec[j] * nodes.capacity[j] / (nodes.theta[j] + column.held_salt[j]);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::day;

    /// The analytic Jacobian against differences of the rates, in the midst of a drip and at night. The heads are so dry that the others
    /// cannot make up for a layer's stress: that one effect is left out of the Jacobian on purpose.
    #[test]
    fn the_jacobian_is_the_derivative() {
        let lane = day::lane(&day::case().unwrap()).unwrap();
        {
            let equations = Equations::new(&lane).unwrap();
            let n = equations.layers();
            for (t, supply) in [(44_200.0, Supply::Drip { rate: 0.7, ec: 2.0 }), (1000.0, Supply::Off)] {
                equations.enter(Stretch { begin: t - 100.0, end: t + 100.0, supply });
                let place = |i: usize| f64::from(u32::try_from(i).unwrap());
                let head: Vec<f64> = (0..n).map(|i| 2.0 - 0.9 * place(i) - 0.8 * place(i).sin()).collect();
                let ec: Vec<f64> = (0..n).map(|i| 2.5 + (0.7 * place(i)).sin()).collect();
                let y = equations.unknowns(&head, &ec);
                let pattern = equations.pattern();
                let mut values = vec![0.0; pattern.len()];
                equations.jacobian(t, &y, &mut values);
                let mut dense = vec![vec![0.0; 2 * n]; 2 * n];
                pattern.iter().zip(&values).for_each(|(&(i, j), v)| dense[i][j] = *v);
                let (mut up, mut down) = (vec![0.0; 2 * n], vec![0.0; 2 * n]);
                for j in 0..2 * n {
                    let step = 1e-6 * (1.0 + y[j].abs());
                    let mut moved = y.clone();
                    moved[j] = y[j] + step;
                    equations.rates(t, &moved, &mut up);
                    moved[j] = y[j] - step;
                    equations.rates(t, &moved, &mut down);
                    let slope = |i: usize| (up[i] - down[i]) / (2.0 * step);
                    for rows in [0..n, n..2 * n] {
                        let scale = rows.clone().map(|i| slope(i).abs()).fold(0.0, f64::max);
                        for i in rows {
                            let off = (dense[i][j] - slope(i)).abs();
                            assert!(off <= 1e-4 * scale + 1e-9, "{t} s, ({i}, {j}): {} and {}", dense[i][j], slope(i));
                        }
                    }
                }
            }
        }
    }
}
