//! The salt step: advection with the water's flows, dispersion, exchange and uptake, in the same two stages as the water.
//!
//! Space: central weighting of advection, with dispersion held to at least |q|/2 per contact so that no layer can be drawn
//! below zero. Time: the stages of [`water`](super::water). Where the second stage would need negative salt (a sharp front
//! within one step) the step is taken once implicitly instead, which cannot go below zero.

use super::boundary::Flows;
use super::column::Column;
use super::state::State;
use super::tridiagonal::Tridiagonal;
use super::water::{FIRST, GAMMA, WaterStep};
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
}

/// How often the uptake of a stage may change between "all it can carry" and "all there is".
const MOST_SWITCHES: usize = 6;

/// The salt step and its working room.
#[derive(Clone, Debug)]
pub struct SaltStep {
    /// EC at the end of the last step, mS/cm.
    pub ec: Vec<f64>,
    /// What brought and took salt.
    pub flow: SaltFlow,
    /// Local error of the step as a share of the strongest solution in the column.
    pub error: f64,
    first: Vec<f64>,
    stored: Vec<f64>,
    base: Vec<f64>,
    /// Whether a layer's uptake carries the crop's uptake EC (true) or the layer's own, weaker one.
    capped: Vec<bool>,
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
            first: zeros(),
            stored: zeros(),
            base: zeros(),
            capped: vec![false; n],
            combined: Flows::new(n),
            system: Tridiagonal::new(n),
        }
    }

    /// Carries the salt through the water step just taken; `state` is the state before it, `inlet_ec` what enters.
    pub fn run(&mut self, column: &Column, state: &State, water: &WaterStep, inlet_ec: f64, dt: f64) {
        for (i, layer) in column.layers.iter().enumerate() {
            self.stored[i] = state.ec[i] * (state.theta[i] + layer.held_salt) * layer.volume;
        }
        self.capped.iter_mut().zip(&state.ec).for_each(|(capped, &c)| *capped = c > column.crop.uptake_ec);
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
        self.capped.iter_mut().zip(&state.ec).for_each(|(capped, &c)| *capped = c > column.crop.uptake_ec);
        self.base.copy_from_slice(&self.stored);
        self.solve(column, &flows, &water.second.theta, inlet_ec, dt);
        let rate = self.passed(column, &flows, &water.second.theta, inlet_ec);
        self.flow = SaltFlow { entered: dt * rate.entered, left: dt * rate.left, taken_up: dt * rate.taken_up };
        self.combined = flows;
    }

    /// Solves c·(θ + ρ_b·K_d)·V = base + a·(net salt flow) for the EC of every layer.
    fn solve(&mut self, column: &Column, flows: &Flows, theta: &[f64], inlet_ec: f64, a: f64) {
        for attempt in 0..=MOST_SWITCHES {
            if attempt == MOST_SWITCHES {
                // Settled nowhere: take what there is, which cannot go below zero.
                self.capped.fill(false);
            }
            self.assemble(column, flows, theta, inlet_ec, a);
            self.system.solve();
            let limit = column.crop.uptake_ec;
            let mut switched = false;
            for (capped, &c) in self.capped.iter_mut().zip(&self.system.right) {
                let should = c > limit;
                switched |= should != *capped;
                *capped = should;
            }
            if !switched || attempt == MOST_SWITCHES {
                break;
            }
        }
        self.ec.copy_from_slice(&self.system.right);
    }

    fn assemble(&mut self, column: &Column, flows: &Flows, theta: &[f64], inlet_ec: f64, a: f64) {
        let n = column.len();
        let uptake_ec = column.crop.uptake_ec;
        let s = &mut self.system;
        let (lower, diagonal, upper, right) = (&mut s.lower[..n], &mut s.diagonal[..n], &mut s.upper[..n], &mut s.right[..n]);
        let (side, uptake, theta) = (&flows.side[..n], &flows.uptake[..n], &theta[..n]);
        let (held_salt, layers, base, capped) = (&column.held_salt[..n], &column.layers[..n], &self.base[..n], &self.capped[..n]);
        for i in 0..n {
            let drawn = a * uptake[i];
            let (limited, free) = if capped[i] { (drawn * uptake_ec, 0.0) } else { (0.0, drawn) };
            diagonal[i] = (theta[i] + held_salt[i]) * layers[i].volume + a * (-side[i]).max(0.0) + free;
            right[i] = base[i] + a * side[i].max(0.0) * inlet_ec - limited;
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
            rate.taken_up += flows.uptake[i] * if self.capped[i] { column.crop.uptake_ec } else { c };
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
