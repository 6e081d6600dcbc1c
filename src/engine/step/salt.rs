//! The salt step: advection with the water's flows, dispersion, exchange and uptake, in the same two stages as the water.
//!
//! Uptake: a layer's uptake is carried on one straight line within a stage ([`SaltUptake`]). A stage is solved, looked at, and
//! solved again on other lines until every layer ends where its line holds; what is booked is what the last solve carried.
//!
//! Space: central weighting of advection, with dispersion held to at least |q|/2 per contact so that no layer can be drawn
//! below zero. Time: the stages of [`water`](super::water). Where the second stage would need negative salt (a sharp front
//! within one step) the step is taken once implicitly instead, which cannot go below zero.

use super::boundary::Flows;
use super::channel::Exchange;
use super::salt_uptake::{Line, SaltUptake};
use super::scheme::{FIRST, GAMMA};
use super::tridiagonal::Tridiagonal;
use super::water::WaterStep;
use crate::engine::column::layers::Column;
use crate::engine::column::state::State;
use crate::scenario::{Inlet, Top};

/// What brought and took salt during a step, mS/cm·mL.
#[derive(Clone, Copy, Debug, Default)]
pub struct SaltFlow {
    /// Inward, with water or by dispersion through a held inlet (less what went back that way).
    pub entered: f64,
    /// Outward with water.
    pub left: f64,
    /// With uptake.
    pub taken_up: f64,
    /// Picked up by water that ran straight through, less what it left behind.
    pub picked_up: f64,
}

/// How often a stage is solved on the lines that the solve before ended on, before it is closed in on. On random days three are enough.
const MOST_SOLVES: usize = 12;
/// How often it is then closed in on, at most.
const MOST_CLOSINGS: usize = 60;
/// Share of the strongest solution at which that is close enough.
const CLOSE: f64 = 1e-13;

/// The salt step and its working room.
#[derive(Clone, Debug)]
pub struct SaltStep {
    /// EC at the end of the last step, mS/cm.
    pub ec: Vec<f64>,
    /// What brought and took salt.
    pub flow: SaltFlow,
    /// Local error of the step as a share of the strongest solution in the column.
    pub error: f64,
    /// Stages so far whose layers would not settle on their lines, and that were closed in on.
    pub closed_in: u64,
    first: Vec<f64>,
    stored: Vec<f64>,
    base: Vec<f64>,
    uptake: SaltUptake,
    /// The piece of it that each layer is solved on.
    pieces: Vec<usize>,
    /// The line that the last solve carried each layer's uptake on.
    lines: Vec<Line>,
    channel: Exchange,
    combined: Flows,
    system: Tridiagonal,
}

impl SaltStep {
    /// Working room for a column.
    #[must_use]
    pub fn new(column: &Column) -> Self {
        let n = column.len();
        let zeros = || vec![0.0; n];
        Self {
            ec: zeros(),
            flow: SaltFlow::default(),
            error: 0.0,
            closed_in: 0,
            first: zeros(),
            stored: zeros(),
            base: zeros(),
            uptake: SaltUptake::new(&column.crop),
            pieces: vec![0; n],
            lines: vec![Line { slope: 1.0, constant: 0.0 }; n],
            channel: Exchange::new(column),
            combined: Flows::new(n),
            system: Tridiagonal::new(n),
        }
    }

    /// Carries the salt through the water step just taken; `state` is the state before it, `inlet_ec` what enters, and `through`
    /// what runs straight through, mL/s.
    pub fn run(&mut self, column: &Column, state: &State, water: &WaterStep, inlet_ec: f64, through: f64, dt: f64) {
        self.channel.set(column, through);
        for (i, layer) in column.layers.iter().enumerate() {
            self.stored[i] = state.ec[i] * (state.theta[i] + layer.held_salt) * layer.volume;
        }
        self.begin_at(&state.ec);
        self.base.copy_from_slice(&self.stored);
        let a = GAMMA * dt;
        self.solve(column, &water.first.flows, &water.first.theta, inlet_ec, a);
        self.first.copy_from_slice(&self.ec);
        let first = self.passed(column, &water.first.flows, &water.first.theta, inlet_ec);

        let carry = FIRST / GAMMA;
        let mut sound = true;
        for (i, layer) in column.layers.iter().enumerate() {
            let after = self.first[i] * (water.first.theta[i] + layer.held_salt) * layer.volume;
            self.base[i] = self.stored[i] + carry * (after - self.stored[i]);
            sound &= self.base[i] >= 0.0;
        }
        if sound {
            self.solve(column, &water.second.flows, &water.second.theta, inlet_ec, a);
            let second = self.passed(column, &water.second.flows, &water.second.theta, inlet_ec);
            self.flow = SaltFlow {
                entered: FIRST * dt * first.entered + a * second.entered,
                left: FIRST * dt * first.left + a * second.left,
                taken_up: FIRST * dt * first.taken_up + a * second.taken_up,
                picked_up: FIRST * dt * first.picked_up + a * second.picked_up,
            };
            sound = self.ec.iter().all(|&c| c >= 0.0);
        }
        if !sound {
            self.whole_step(column, state, water, inlet_ec, dt);
        }
        self.error = self.local_error(column, water);
    }

    /// One implicit step with the step's mean flows.
    fn whole_step(&mut self, column: &Column, state: &State, water: &WaterStep, inlet_ec: f64, dt: f64) {
        let (f, g) = (&water.first.flows, &water.second.flows);
        let mut flows = std::mem::take(&mut self.combined);
        let mix = |out: &mut [f64], a: &[f64], b: &[f64]| {
            for ((o, a), b) in out.iter_mut().zip(a).zip(b) {
                *o = FIRST * a + GAMMA * b;
            }
        };
        mix(&mut flows.face, &f.face, &g.face);
        mix(&mut flows.side, &f.side, &g.side);
        mix(&mut flows.uptake, &f.uptake, &g.uptake);
        flows.top = FIRST * f.top + GAMMA * g.top;
        self.begin_at(&state.ec);
        self.base.copy_from_slice(&self.stored);
        self.solve(column, &flows, &water.second.theta, inlet_ec, dt);
        let rate = self.passed(column, &flows, &water.second.theta, inlet_ec);
        self.flow =
            SaltFlow { entered: dt * rate.entered, left: dt * rate.left, taken_up: dt * rate.taken_up, picked_up: dt * rate.picked_up };
        self.combined = flows;
    }

    /// The system of a stage of `a` s that ended at an EC: solved for the salt that each layer began the stage with, mS/cm·mL, it gives the
    /// EC that this salt has at its end. `through` is what ran straight through, mL/s.
    pub fn system_of(&mut self, column: &Column, flows: &Flows, theta: &[f64], ec: &[f64], through: f64, a: f64) -> &mut Tridiagonal {
        self.channel.set(column, through);
        self.channel.share_out(column, theta);
        self.begin_at(ec);
        for (line, &piece) in self.lines.iter_mut().zip(&self.pieces) {
            *line = self.uptake.line(piece);
        }
        self.assemble(column, flows, theta, 0.0, a);
        &mut self.system
    }

    /// EC at the first stage of the last step, mS/cm.
    #[must_use]
    pub fn first(&self) -> &[f64] {
        &self.first
    }

    /// Puts each layer on the piece of its EC.
    fn begin_at(&mut self, ec: &[f64]) {
        for (piece, &c) in self.pieces.iter_mut().zip(ec) {
            *piece = self.uptake.piece(c);
        }
    }

    /// Solves c·(θ + ρ_b·K_d)·V = base + a·(net salt flow) for the EC of every layer.
    fn solve(&mut self, column: &Column, flows: &Flows, theta: &[f64], inlet_ec: f64, a: f64) {
        self.channel.share_out(column, theta);
        for _ in 0..MOST_SOLVES {
            for (line, &piece) in self.lines.iter_mut().zip(&self.pieces) {
                *line = self.uptake.line(piece);
            }
            self.assemble(column, flows, theta, inlet_ec, a);
            self.system.solve();
            self.ec.copy_from_slice(&self.system.right);
            if !self.leaves_a_line() {
                return;
            }
        }
        self.close_in(column, flows, theta, inlet_ec, a);
    }

    /// Moves each layer to the piece that it ended on; whether any moved.
    fn leaves_a_line(&mut self) -> bool {
        let mut moved = false;
        for (piece, &c) in self.pieces.iter_mut().zip(&self.ec) {
            let next = self.uptake.next_piece(*piece, c);
            moved |= next != *piece;
            *piece = next;
        }
        moved
    }

    /// The same where layers go to and fro between their lines: each is solved on the steepest line through where it stands, which
    /// comes nearer with every solve and, stopped anywhere, neither loses salt nor takes more than there is.
    #[cold]
    fn close_in(&mut self, column: &Column, flows: &Flows, theta: &[f64], inlet_ec: f64, a: f64) {
        self.closed_in += 1;
        for c in &mut self.ec {
            *c = c.max(0.0);
        }
        for _ in 0..MOST_CLOSINGS {
            for (line, &c) in self.lines.iter_mut().zip(&self.ec) {
                *line = self.uptake.steepest_at(c);
            }
            self.assemble(column, flows, theta, inlet_ec, a);
            self.system.solve();
            let strongest = self.ec.iter().fold(0.0, |most: f64, &c| most.max(c));
            let moved = self.ec.iter().zip(&self.system.right).fold(0.0, |most: f64, (a, b)| most.max((a - b).abs()));
            self.ec.copy_from_slice(&self.system.right);
            if moved <= CLOSE * strongest {
                break;
            }
        }
        for (piece, &c) in self.pieces.iter_mut().zip(&self.ec) {
            *piece = self.uptake.piece(c);
        }
    }

    fn assemble(&mut self, column: &Column, flows: &Flows, theta: &[f64], inlet_ec: f64, a: f64) {
        let n = column.len();
        let s = &mut self.system;
        let (lower, diagonal, upper, right) = (&mut s.lower[..n], &mut s.diagonal[..n], &mut s.upper[..n], &mut s.right[..n]);
        let (side, uptake, theta) = (&flows.side[..n], &flows.uptake[..n], &theta[..n]);
        let (held_salt, layers, base, lines) = (&column.held_salt[..n], &column.layers[..n], &self.base[..n], &self.lines[..n]);
        for i in 0..n {
            let drawn = a * uptake[i];
            diagonal[i] = (theta[i] + held_salt[i]) * layers[i].volume + a * (-side[i]).max(0.0) + drawn * lines[i].slope;
            right[i] = base[i] + a * side[i].max(0.0) * inlet_ec - drawn * lines[i].constant;
        }
        if self.channel.is_on() {
            let from = self.channel.from;
            for ((diagonal, right), q) in diagonal[from..].iter_mut().zip(&mut right[from..]).zip(&self.channel.in_layer) {
                *diagonal += a * q;
                *right += a * q * inlet_ec;
            }
        }
        let held = held_inlet(column, flows, theta);
        diagonal[n - 1] += a * ((-flows.top).max(0.0) + held);
        right[n - 1] += a * (flows.top.max(0.0) + held) * inlet_ec;
        for (i, &q) in flows.face[..n - 1].iter().enumerate() {
            let spread = dispersion(column, q, theta, i);
            upper[i] = a * (0.5 * q - spread);
            lower[i + 1] = -a * (0.5 * q + spread);
        }
        for i in 0..n - 1 {
            diagonal[i] -= lower[i + 1];
        }
        for i in 1..n {
            diagonal[i] -= upper[i - 1];
        }
    }

    /// Salt that passes the column's edges per second at the EC just solved for.
    fn passed(&self, column: &Column, flows: &Flows, theta: &[f64], inlet_ec: f64) -> SaltFlow {
        let mut rate = SaltFlow::default();
        for (i, &c) in self.ec.iter().enumerate() {
            let side = flows.side[i];
            rate.entered += side.max(0.0) * inlet_ec;
            rate.left += (-side).max(0.0) * c;
            rate.taken_up += flows.uptake[i] * (self.lines[i].slope * c + self.lines[i].constant);
        }
        if self.channel.is_on() {
            for (&c, q) in self.ec[self.channel.from..].iter().zip(&self.channel.in_layer) {
                rate.picked_up += q * (c - inlet_ec);
            }
        }
        let at_top = self.ec[self.ec.len() - 1];
        let held = held_inlet(column, flows, theta);
        rate.entered += flows.top.max(0.0) * inlet_ec + held * (inlet_ec - at_top);
        rate.left += (-flows.top).max(0.0) * at_top;
        rate
    }

    fn local_error(&self, column: &Column, water: &WaterStep) -> f64 {
        let strongest = self.ec.iter().fold(1e-3, |a: f64, &c| a.max(c));
        let (mut sum, mut whole) = (0.0, 0.0);
        for (i, layer) in column.layers.iter().enumerate() {
            let room = (water.second.theta[i] + layer.held_salt) * layer.volume;
            let after = (water.first.theta[i] + layer.held_salt) * layer.volume;
            let e = (self.ec[i] * room - self.stored[i]) - (self.first[i] * after - self.stored[i]) / GAMMA;
            sum += e * e / room;
            whole += room;
        }
        (sum / whole).sqrt() / strongest
    }
}

/// Dispersion across the contact of layer i and i + 1, mL/s per mS/cm of difference: (λ·|q| + D0·θ·A)/Δz, at least |q|/2.
#[inline]
fn dispersion(column: &Column, q: f64, theta: &[f64], i: usize) -> f64 {
    let [below, above] = column.diffusion[i];
    (column.spread[i] * q.abs() + below * theta[i] + above * theta[i + 1]).max(0.5 * q.abs())
}

/// Dispersion through the top where the surface is held at the feed's EC, mL/s per mS/cm; 0 where salt enters with water only.
fn held_inlet(column: &Column, flows: &Flows, theta: &[f64]) -> f64 {
    if column.boundaries.inlet == Inlet::Flux || column.boundaries.top == Top::Emitters {
        return 0.0;
    }
    let last = column.len() - 1;
    let layer = &column.layers[last];
    (layer.dispersivity * flows.top.abs() + layer.diffusion * theta[last] * layer.area) / (0.5 * layer.dz)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::column::hydro::Hydro;
    use crate::engine::column::start;
    use crate::engine::demand::load::Potential;
    use crate::engine::step::water::Forcing;
    use crate::engine::supply::clock::Supply;
    use crate::scenario::presets::{Library, demos};
    use crate::scenario::{Solver, StartSalt};

    /// Closing in, which random days never come to, finds what the lines find; stopped early, it still neither loses salt nor takes
    /// more than there is. The layers stand on all three pieces of the uptake, and every second one at a bend.
    #[test]
    fn closing_in_ends_where_the_lines_do() {
        let library = Library::shipped();
        for lane in &demos().remove(0).1.lanes {
            let column = Column::build(lane, &Solver::default(), &library).unwrap();
            let ec = |i: usize| [0.0, 1.6, 2.0, 3.0, 9.0, 1.6][i % 6];
            let start = crate::scenario::Start { salt: StartSalt::Layers((0..column.len()).map(ec).collect()), ..lane.start.clone() };
            let state = start::state(&column, &start, 2.0);
            let (mut water, mut hydro) = (WaterStep::new(&column), Hydro::new(&column, &state));
            let dt = 600.0;
            let forcing = Forcing { supply: Supply::Drip { rate: 0.4, ec: 2.0 }, transpiration: 0.2, evaporation: Potential::default() };
            water.attempt(&column, &state, &mut hydro, &forcing, dt).unwrap();
            let mut salt = SaltStep::new(&column);
            salt.run(&column, &state, &water, 2.0, 0.03, dt);
            assert_eq!(salt.closed_in, 0);

            let stage = &water.first;
            let a = GAMMA * dt;
            salt.base.copy_from_slice(&salt.stored);
            salt.begin_at(&state.ec);
            salt.solve(&column, &stage.flows, &stage.theta, 2.0, a);
            let by_lines = salt.ec.clone();
            salt.ec.fill(0.0);
            salt.close_in(&column, &stage.flows, &stage.theta, 2.0, a);
            assert_eq!(salt.closed_in, 1);
            for (found, expected) in salt.ec.iter().zip(&by_lines) {
                assert!((found - expected).abs() <= 1e-11 * expected.max(1.0), "{found} {expected}");
            }
            // One solve from far off: nothing is lost, nothing below zero.
            salt.ec.fill(40.0);
            for (line, &c) in salt.lines.iter_mut().zip(&salt.ec) {
                *line = salt.uptake.steepest_at(c);
            }
            salt.assemble(&column, &stage.flows, &stage.theta, 2.0, a);
            salt.system.solve();
            salt.ec.copy_from_slice(&salt.system.right);
            let passed = salt.passed(&column, &stage.flows, &stage.theta, 2.0);
            let held =
                |(i, layer): (usize, &crate::engine::column::layers::Layer)| salt.ec[i] * (stage.theta[i] + layer.held_salt) * layer.volume;
            let (after, before) = (column.layers.iter().enumerate().map(held).sum::<f64>(), salt.base.iter().sum::<f64>());
            let net = a * (passed.entered - passed.left - passed.taken_up - passed.picked_up);
            assert!((before + net - after).abs() <= 1e-12 * before, "{before} {net} {after}");
            assert!(salt.ec.iter().all(|&c| c >= 0.0));
        }
    }
}
