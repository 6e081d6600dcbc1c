//! The water step: mixed-form Richards on the column, two implicit stages a step.
//!
//! Time: the method of [`scheme`](super::scheme). Each stage is solved for the heads by Newton's method. The water content of a stage is then
//! *defined* by the flows found, θ = base + γ·dt·(net flow)/V; it differs from the curve's θ(h) by no more than the
//! convergence tolerance, and the next stage starts from it. So what flows is what is stored, to rounding, however loosely
//! the iteration stops.

use super::between::{self, End};
use super::boundary::{self, Flows};
use super::contact::Contact;
use super::corrected::{Between, along_power};
use super::lost::Lost;
use super::scheme::{FIRST, GAMMA};
use super::sums::{largest_scaled, sum};
use super::surface;
use super::tridiagonal::Tridiagonal;
use super::vigour::Vigour;
use crate::engine::column::hydro::Hydro;
use crate::engine::column::layers::Column;
use crate::engine::column::state::State;
use crate::engine::column::stress;
use crate::engine::demand::load::Potential;
use crate::engine::supply::clock::Supply;

/// Trial heads go no further down than this (or than where the layer starts), cm: nothing draws water below
/// −15,000 cm, and far out on the flat of a curve Newton's method loses its way.
const DRIEST_CM: f64 = -20_000.0;

/// Newton iterations before a stage is given up.
const MOST_ITERATIONS: u32 = 45;
/// Newton iterations before each layer is made to close in on its root.
const FREE: u32 = 5;
/// After so many iterations of closing in, each layer is sought everywhere again.
const LOOK_ANEW: u32 = 14;

/// Capacity (1/cm) that a layer is taken to have where its curve is flat and the flows alone would send it the wrong way.
const OFF_THE_FLAT: f64 = 1e-3;

/// So many times what flows in a stage is far from it.
const FAR: f64 = 100.0;

/// What acts on the column during a step, held through it.
#[derive(Clone, Copy, Debug)]
pub struct Forcing {
    /// What the pump does.
    pub supply: Supply,
    /// Potential transpiration, mL/s.
    pub transpiration: f64,
    /// Potential evaporation, cm/s.
    pub evaporation: Potential,
}

/// A stage that did not converge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NotConverged {
    /// The layer that was furthest off.
    pub layer: usize,
}

/// One stage's outcome.
#[derive(Clone, Debug, Default)]
pub struct Stage {
    /// Flows through the stage.
    pub flows: Flows,
    /// Water content at its end.
    pub theta: Vec<f64>,
    /// Shares of the plant's demand that stress costs it through the stage.
    pub lost: Lost,
}

/// The water step and its working room.
#[derive(Clone, Debug)]
pub struct WaterStep {
    /// First stage of the last step tried.
    pub first: Stage,
    /// Second stage; its water content is the step's.
    pub second: Stage,
    /// Trial heads; after a step, the heads at its end.
    pub head: Vec<f64>,
    /// Newton iterations since the start.
    pub iterations: u64,
    side_slope: Vec<f64>,
    sink_slope: Vec<f64>,
    /// What the roots may take up, root share × air × salt.
    pub vigour: Vigour,
    base: Vec<f64>,
    net: Vec<f64>,
    /// Local error of the last step, if it was taken whole.
    whole_step_error: Option<f64>,
    /// Layers with a surface that evaporates.
    evaporating: Vec<usize>,
    volume: Vec<f64>,
    /// Area of each contact over the distance between its layers, cm.
    conductance: Vec<f64>,
    area: Vec<f64>,
    /// Faces that a front stands at as the step begins, with the suction where their medium is nearly full, cm.
    fronts: Vec<(usize, f64)>,
    /// Derivatives of the upward flow, mL/s per cm: of the flow that leaves layer i upward by its own head (0 for the top
    /// layer), and of the flow that enters it from below by its own head (0 for the base layer).
    by_below: Vec<f64>,
    by_above: Vec<f64>,
    system: Tridiagonal,
    /// Suction at which each part is nearly full, cm: where Newton's method changes gear.
    knee: Vec<f64>,
    /// Head of the top layer above which not all that is given gets in, cm.
    ponds_at: f64,
    /// Where each layer's head is sought, while closing in.
    between: Vec<Between>,
    /// Where two media touch.
    contacts: Vec<Contact>,
    /// Which stage's vigour the roots have.
    in_force: InForce,
}

/// Which stage is being solved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum InForce {
    First,
    Second,
}

impl WaterStep {
    /// Working room for a column.
    #[must_use]
    pub fn new(column: &Column) -> Self {
        let n = column.len();
        let stage = || Stage { flows: Flows::new(n), theta: vec![0.0; n], lost: Lost::default() };
        let zeros = || vec![0.0; n];
        let knee = column.parts.iter().map(|p| p.hydraulics.suction(crate::physics::hydraulics::Main::Wetting, 0.97)).collect();
        Self {
            first: stage(),
            second: stage(),
            head: zeros(),
            iterations: 0,
            side_slope: zeros(),
            sink_slope: zeros(),
            vigour: Vigour::new(column),
            base: zeros(),
            net: zeros(),
            whole_step_error: None,
            evaporating: (0..n).filter(|&i| column.layers[i].evaporating > 0.0).collect(),
            volume: column.layers.iter().map(|l| l.volume).collect(),
            conductance: column.contact.iter().zip(&column.spacing).map(|(a, d)| a / d).collect(),
            area: column.contact.clone(),
            fronts: Vec::new(),
            by_below: zeros(),
            by_above: zeros(),
            system: Tridiagonal::new(n),
            knee,
            ponds_at: f64::INFINITY,
            between: vec![Between::ANYWHERE; n],
            contacts: Contact::all(column),
            in_force: InForce::First,
        }
    }

    /// The heads last found where media touch, cm: with the vigour's memory all that a step takes over from the last besides the state.
    pub fn contact_memory(&self) -> impl Iterator<Item = f64> {
        self.contacts.iter().map(Contact::memory)
    }

    /// Takes such a memory over.
    pub fn recall_contacts(&mut self, heads: impl Iterator<Item = f64>) {
        self.contacts.iter_mut().zip(heads).for_each(|(contact, head)| contact.recall(head));
    }

    /// Tries one step of `dt` seconds from `state`. On success `head`, `first` and `second` hold the outcome; `state` is not
    /// changed, and `hydro`'s nodes are at `head`.
    ///
    /// # Errors
    /// [`NotConverged`]; try again with a shorter step.
    pub fn attempt(&mut self, column: &Column, state: &State, hydro: &mut Hydro, forcing: &Forcing, dt: f64) -> Result<(), NotConverged> {
        self.ponds_at = boundary::ponding_head(column, forcing.supply);
        self.head.copy_from_slice(&state.head);
        self.vigour.begin(column, state, dt);
        self.base.copy_from_slice(&state.theta);
        let mut stage = std::mem::take(&mut self.first);
        self.in_force = InForce::First;
        self.find_fronts(column, hydro);
        self.find_flows(column, hydro, state, forcing, &mut stage.flows);
        let done = self.stage(column, state, hydro, forcing, GAMMA * dt, &mut stage);
        self.first = stage;
        done?;
        self.whole_step_error = None;
        self.vigour.go_on(column, state, &self.first.theta, dt);
        self.in_force = InForce::Second;
        let carry = FIRST / GAMMA;
        let mut holds_water = true;
        for i in 0..self.base.len() {
            self.base[i] = state.theta[i] + carry * (self.first.theta[i] - state.theta[i]);
            holds_water &= self.base[i] > column.hydraulics(i).theta_r;
        }
        if holds_water {
            // The second stage starts from the heads, and so from the flows, that the first one ended at.
            let mut stage = std::mem::take(&mut self.second);
            stage.flows.clone_from(&self.first.flows);
            let done = self.stage(column, state, hydro, forcing, GAMMA * dt, &mut stage);
            self.second = stage;
            done
        } else {
            self.whole_step(column, state, hydro, forcing, dt)
        }
    }

    /// One implicit step, for a layer that loses most of its water within the step: the second stage would start below the
    /// residual there, this cannot. Both stages then report its flows.
    fn whole_step(&mut self, column: &Column, state: &State, hydro: &mut Hydro, forcing: &Forcing, dt: f64) -> Result<(), NotConverged> {
        self.base.copy_from_slice(&state.theta);
        let mut stage = std::mem::take(&mut self.second);
        stage.flows.clone_from(&self.first.flows);
        let done = self.stage(column, state, hydro, forcing, dt, &mut stage);
        self.second = stage;
        done?;
        self.whole_step_error = Some(self.error(column, state));
        for (first, (second, before)) in self.first.theta.iter_mut().zip(self.second.theta.iter().zip(&state.theta)) {
            *first = before + GAMMA * (second - before);
        }
        self.first.flows.clone_from(&self.second.flows);
        self.first.lost = self.second.lost;
        Ok(())
    }

    /// Whether the step just tried filled a layer beyond what stands around it, so that part of what came in ran out again at once: a
    /// step too long for a flood that reaches a dry layer. `floods` tells whether a flood stands.
    #[must_use]
    pub fn overshot(&self, floods: bool, dt: f64) -> bool {
        if !floods {
            return false;
        }
        let came: f64 = self.first.flows.side.iter().map(|q| q.max(0.0)).sum::<f64>() * FIRST * dt;
        let back = |(first, second): (&f64, &f64)| if *first > 0.0 { (-second).max(0.0) } else { 0.0 };
        let went: f64 = self.first.flows.side.iter().zip(&self.second.flows.side).map(back).sum::<f64>() * GAMMA * dt;
        came > 1e-3 && went > 1e-9 * came
    }

    /// Local error of the step just tried, as a volume-weighted root mean square of water content: the difference to the
    /// first-order method with the same stages.
    #[must_use]
    pub fn error(&self, column: &Column, state: &State) -> f64 {
        if let Some(error) = self.whole_step_error {
            return error;
        }
        let sum: f64 = column
            .layers
            .iter()
            .enumerate()
            .map(|(i, layer)| {
                let e = (self.second.theta[i] - state.theta[i]) - (self.first.theta[i] - state.theta[i]) / GAMMA;
                layer.volume * e * e
            })
            .sum();
        (sum / column.volume).sqrt()
    }

    /// Solves θ = base + a·(net flow)/V for the heads; `stage.flows` are those at the trial heads to begin with.
    fn stage(
        &mut self,
        column: &Column,
        state: &State,
        hydro: &mut Hydro,
        forcing: &Forcing,
        a: f64,
        stage: &mut Stage,
    ) -> Result<(), NotConverged> {
        let enough = column.solver.convergence * column.solver.tolerance;
        for iteration in 0..=MOST_ITERATIONS {
            let worst = self.residual(column, hydro, a, &stage.flows);
            if !worst.is_finite() {
                return Err(NotConverged { layer: self.worst_layer(column) });
            }
            if iteration > 0 && worst <= enough {
                self.take_water(column, a, stage);
                stage.lost = self.lost(column, forcing, &stage.flows);
                return match stage.theta.iter().position(|&theta| theta <= 0.0) {
                    None => Ok(()),
                    Some(layer) => Err(NotConverged { layer }),
                };
            }
            if iteration == MOST_ITERATIONS {
                return Err(NotConverged { layer: self.worst_layer(column) });
            }
            if iteration >= FREE && (iteration - FREE).is_multiple_of(LOOK_ANEW) {
                // Its neighbours may have moved a layer's root out of where it was sought.
                self.between.fill(Between::ANYWHERE);
            }
            self.linearise(hydro, a);
            self.system.solve();
            self.iterations += 1;
            self.move_heads(column, hydro, state, iteration >= FREE);
            hydro.evaluate(column, state, &self.head);
            self.find_flows(column, hydro, state, forcing, &mut stage.flows);
        }
        Err(NotConverged { layer: 0 })
    }

    /// Where conductivity changes so much from layer to layer that it must be told how it falls in between. Decided as a step begins, so
    /// that the flows of a step bend nowhere.
    fn find_fronts(&mut self, column: &Column, hydro: &Hydro) {
        let k = &hydro.nodes.k;
        self.fronts.clear();
        for i in 0..k.len() - 1 {
            let (low, high) = if k[i] < k[i + 1] { (k[i], k[i + 1]) } else { (k[i + 1], k[i]) };
            if high > between::FRONT * low {
                self.fronts.push((i, column.parts[column.layers[i].part].falls_from));
            }
        }
    }

    /// Flows at the trial heads, and their derivatives that the Jacobian needs.
    fn find_flows(&mut self, column: &Column, hydro: &mut Hydro, state: &State, forcing: &Forcing, flows: &mut Flows) {
        let (nodes, head) = (&hydro.nodes, &self.head);
        let n = head.len();
        let faces = n - 1;
        let (k, k_slope, face) = (&nodes.k[..n], &nodes.k_slope[..n], &mut flows.face[..faces]);
        let (conductance, area) = (&self.conductance[..faces], &self.area[..faces]);
        let (by_below, by_above) = (&mut self.by_below[..faces], &mut self.by_above[1..n]);
        let end = |i: usize| End { head: head[i], k: k[i], slope: k_slope[i] };
        for i in 0..faces {
            let mean = between::gentle(end(i), end(i + 1));
            let drive = conductance[i] * (head[i + 1] - head[i]) + area[i];
            let steep = mean.k * conductance[i];
            face[i] = -mean.k * drive;
            by_below[i] = steep - mean.by_first * drive;
            by_above[i] = -steep - mean.by_second * drive;
        }
        for &(i, knee) in &self.fronts {
            let mean = between::front(end(i), end(i + 1), knee);
            let drive = conductance[i] * (head[i + 1] - head[i]) + area[i];
            let steep = mean.k * conductance[i];
            face[i] = -mean.k * drive;
            by_below[i] = steep - mean.by_first * drive;
            by_above[i] = -steep - mean.by_second * drive;
        }
        for contact in &mut self.contacts {
            let i = contact.face;
            let through = contact.flow(column, hydro, state, &self.head);
            (flows.face[i], self.by_below[i], self.by_above[i + 1]) = (through.upward, through.by_below, through.by_above);
        }
        let nodes = &hydro.nodes;
        let head = &self.head;
        boundary::sides(column, forcing.supply, nodes, head, &mut flows.side, &mut self.side_slope);
        let (into, slope, overflow) = boundary::top(column, forcing.supply, nodes, head);
        (flows.top, flows.overflow) = (into, overflow);
        self.side_slope[head.len() - 1] += slope;
        self.find_sinks(column, hydro, state, forcing, flows);
    }

    /// Uptake with stress and compensation (Jarvis 1989), and evaporation as far as the layer has water.
    fn find_sinks(&mut self, column: &Column, hydro: &mut Hydro, state: &State, forcing: &Forcing, flows: &mut Flows) {
        let stress = &column.crop.stress;
        let n = self.head.len();
        let vigour = match self.in_force {
            InForce::First => &self.vigour.first[..n],
            InForce::Second => &self.vigour.second[..n],
        };
        let head = &self.head[..n];
        let (uptake, slope) = (&mut flows.uptake[..n], &mut self.sink_slope[..n]);
        for i in 0..n {
            let (share, steep) = stress::water_share(stress, head[i]);
            uptake[i] = vigour[i] * share;
            slope[i] = vigour[i] * steep;
        }
        let scale = forcing.transpiration / sum(uptake).max(stress.compensation);
        for i in 0..n {
            uptake[i] *= scale;
            slope[i] *= scale;
        }
        for &i in &self.evaporating {
            let (layer, asked) = (&column.layers[i], forcing.evaporation);
            let most = layer.evaporating * asked.wall + layer.evaporating_top * (asked.top - asked.wall);
            let (share, steep) = if i + 1 == n && most > 0.0 {
                surface::share(column, hydro, state, head, most)
            } else {
                column.parts[column.layers[i].part].evaporation.share(head[i])
            };
            flows.evaporation[i] = most * share;
            slope[i] += most * steep;
        }
    }

    /// What stress costs the plant at the heads found.
    fn lost(&self, column: &Column, forcing: &Forcing, flows: &Flows) -> Lost {
        // Who gets all that was asked for, to rounding, loses nothing to anything.
        if sum(&flows.uptake) >= (1.0 - 1e-14) * forcing.transpiration {
            return Lost::default();
        }
        let stage = usize::from(self.in_force == InForce::Second);
        Lost::of(column, &self.head, &self.vigour.air[stage], &self.vigour.unsalted[stage])
    }

    /// Right-hand side of Newton's system (mL), and the worst residual as water content; not a number if any is not finite.
    fn residual(&mut self, column: &Column, hydro: &Hydro, a: f64, flows: &Flows) -> f64 {
        self.net_flows(flows);
        let n = self.base.len();
        let (theta, base) = (&hydro.nodes.theta[..n], &self.base[..n]);
        let (volume, net, right) = (&self.volume[..n], &self.net[..n], &mut self.system.right[..n]);
        for i in 0..n {
            right[i] = a * net[i] - volume[i] * (theta[i] - base[i]);
        }
        let plain = largest_scaled(right, &column.per_volume);
        if plain.is_nan() || plain > column.solver.convergence * column.solver.tolerance {
            return plain;
        }
        // Close, but a nearly dry layer is to be met to a share of the little it holds: past residual its curve has no head.
        let se = &hydro.nodes.se[..n];
        let mut worst = plain;
        for i in 0..n {
            if se[i] < 0.05 {
                worst = worst.max((right[i] * column.per_volume[i]).abs() / (20.0 * se[i]).max(1e-6));
            }
        }
        worst
    }

    /// The layer with the worst residual.
    fn worst_layer(&self, column: &Column) -> usize {
        let off = |i: &usize| (self.system.right[*i] * column.per_volume[*i]).abs();
        (0..column.len()).max_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(0)
    }

    /// Net flow into every layer, mL/s.
    fn net_flows(&mut self, flows: &Flows) {
        let n = self.net.len();
        let net = &mut self.net[..n];
        let (face, side, uptake) = (&flows.face[..n - 1], &flows.side[..n], &flows.uptake[..n]);
        for i in 0..n {
            net[i] = side[i] - uptake[i];
        }
        for (net, q) in net.iter_mut().zip(face) {
            *net -= q;
        }
        for (net, q) in net[1..].iter_mut().zip(face) {
            *net += q;
        }
        net[n - 1] += flows.top;
        for &i in &self.evaporating {
            net[i] -= flows.evaporation[i];
        }
    }

    /// The Jacobian.
    fn linearise(&mut self, hydro: &Hydro, a: f64) {
        let n = self.head.len();
        let s = &mut self.system;
        let (lower, diagonal, upper) = (&mut s.lower[..n], &mut s.diagonal[..n], &mut s.upper[..n]);
        let (volume, capacity) = (&self.volume[..n], &hydro.nodes.capacity[..n]);
        let (sink, side, net, right) = (&self.sink_slope[..n], &self.side_slope[..n], &self.net[..n], &s.right[..n]);
        let (by_below, by_above) = (&self.by_below[..n], &self.by_above[..n]);
        for i in 0..n {
            let own = volume[i] * capacity[i] + a * (sink[i] - side[i] + by_below[i] - by_above[i]);
            // It holds by far too much or too little for what flows, and its curve does not tell the way.
            let lost = own <= 0.0 && right[i].abs() > FAR * (a * net[i]).abs();
            diagonal[i] = if lost { volume[i] * OFF_THE_FLAT } else { own };
        }
        for i in 0..n - 1 {
            upper[i] = a * by_above[i + 1];
            lower[i + 1] = -a * by_below[i];
        }
    }

    /// Adds the correction to the heads, held back where the curves bend too sharply for a full step.
    fn move_heads(&mut self, column: &Column, hydro: &Hydro, state: &State, closing_in: bool) {
        let last = self.head.len() - 1;
        let top_before = self.head[last];
        for (part, &knee) in column.parts.iter().zip(&self.knee) {
            let span = part.hydraulics.theta_s - part.hydraulics.theta_r;
            for i in part.layers.clone() {
                let (h, change) = (self.head[i], self.system.right[i]);
                let suction = -h;
                let moved = if suction > knee && change.abs() > 0.5 * suction {
                    // Where saturation falls as a power of suction the correction is meant for that power.
                    let power = suction * hydro.nodes.capacity[i] / (span * hydro.nodes.se[i]);
                    let wanted = -along_power(suction, change, power);
                    if change > 0.0 { wanted.min(-0.5 * knee) } else { wanted }
                } else if suction <= knee && h + change < -3.0 * knee {
                    // Leaving fullness: no further than where the curve begins to bend.
                    -3.0 * knee
                } else {
                    h + change
                };
                let moved = moved.max(DRIEST_CM.min(state.head[i]));
                self.head[i] = if closing_in { self.between[i].step(h, moved) } else { moved };
            }
        }
        if top_before < self.ponds_at && self.head[last] > self.ponds_at {
            // Beginning to pond: what gets in now hangs on the head, which the correction did not know.
            self.head[last] = self.ponds_at + 1e-3;
        }
    }

    /// Water content from the flows.
    fn take_water(&self, column: &Column, a: f64, stage: &mut Stage) {
        for (i, theta) in stage.theta.iter_mut().enumerate() {
            *theta = self.base[i] + a * self.net[i] * column.per_volume[i];
        }
    }
}
