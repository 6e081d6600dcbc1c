//! The roots' vigour through a step: root share × air × salt of every layer. Air acts with a memory of hours and salt moves with its own
//! step, so neither is solved for together with the heads. Both are foreseen at each of the step's two stages instead, to second order,
//! and what was foreseen wrongly counts as an error of the step.

use super::scheme::GAMMA;
use crate::engine::column::layers::Column;
use crate::engine::column::state::State;
use crate::engine::column::stress::air_target;
use crate::physics::salinity;
use crate::units::HOUR_S;

/// What the layers let the roots have at the stages of a step.
#[derive(Clone, Debug)]
pub struct Vigour {
    /// At the first stage.
    pub first: Vec<f64>,
    /// At the second stage, which is the step's end.
    pub second: Vec<f64>,
    /// Air's share alone at either stage, 0–1.
    pub air: [Vec<f64>; 2],
    /// Salt's share alone at either stage, 0–1.
    pub unsalted: [Vec<f64>; 2],
    /// What air lets the roots take up in the long run, as the step began.
    target: Vec<f64>,
    /// How fast EC moved in the last step, mS/cm per s; 0 after a change of supply.
    ec_rate: Vec<f64>,
    memory_s: f64,
}

impl Vigour {
    /// Working room for a column.
    #[must_use]
    pub fn new(column: &Column) -> Self {
        let zeros = || vec![0.0; column.len()];
        let ones = || vec![1.0; column.len()];
        Self {
            first: zeros(),
            second: zeros(),
            air: [ones(), ones()],
            unsalted: [ones(), ones()],
            target: zeros(),
            ec_rate: zeros(),
            memory_s: column.crop.stress.air_memory_h * HOUR_S,
        }
    }

    /// What went before says nothing about what comes: the supply changed.
    pub fn forget(&mut self) {
        self.ec_rate.fill(0.0);
    }

    /// How fast EC moved in each layer in the last step: what the next one takes over, mS/cm per s.
    #[must_use]
    pub fn memory(&self) -> &[f64] {
        &self.ec_rate
    }

    /// Takes a memory over.
    pub fn recall(&mut self, ec_rate: impl Iterator<Item = f64>) {
        self.ec_rate.iter_mut().zip(ec_rate).for_each(|(mine, rate)| *mine = rate);
    }

    /// Foresees the first stage of a step of `dt` s.
    pub fn begin(&mut self, column: &Column, state: &State, dt: f64) {
        set_targets(column, &state.theta, &mut self.target);
        let keep = (-GAMMA * dt / self.memory_s).exp();
        for i in 0..self.first.len() {
            let breath = self.target[i] + (state.breath[i] - self.target[i]) * keep;
            self.air[0][i] = breath;
            self.first[i] = column.layers[i].roots * breath;
        }
        self.salt(column, state, GAMMA * dt, true);
    }

    /// Foresees the second stage from the water content that the first one came to.
    pub fn go_on(&mut self, column: &Column, state: &State, first: &[f64], dt: f64) {
        set_targets(column, first, &mut self.second);
        let keep = (-dt / self.memory_s).exp();
        for i in 0..self.second.len() {
            // On from the first stage as fast as up to it: the target at the step's middle is the mean of its ends.
            let end = self.target[i] + (self.second[i] - self.target[i]) / GAMMA;
            let mean = 0.5 * (self.target[i] + end.clamp(column.crop.stress.air_floor, 1.0));
            self.air[1][i] = mean + (state.breath[i] - mean) * keep;
            self.second[i] = column.layers[i].roots * self.air[1][i];
        }
        self.salt(column, state, dt, false);
    }

    /// Salt's share, at the EC that the last step's rate leads to.
    fn salt(&mut self, column: &Column, state: &State, after_s: f64, first: bool) {
        let Some(salt) = column.crop.stress.salt else { return };
        let [at_first, at_second] = &mut self.unsalted;
        let (out, unsalted) = if first { (&mut self.first, at_first) } else { (&mut self.second, at_second) };
        for (((out, unsalted), ec), rate) in out.iter_mut().zip(unsalted).zip(&state.ec).zip(&self.ec_rate) {
            let ec = (ec + after_s * rate).max(0.0);
            *unsalted = salinity::uptake_share(ec, salt.threshold_ece, salt.slope_percent);
            *out *= *unsalted;
        }
    }

    /// How far what was foreseen for the step's end missed what came, as a share of all that the roots could take up.
    #[must_use]
    pub fn missed_by(&self, column: &Column, state: &State, theta: &[f64], ec: &[f64], dt: f64) -> f64 {
        let keep = (-dt / self.memory_s).exp();
        let mut missed = 0.0;
        for part in &column.parts {
            for i in part.layers.clone() {
                let mean = 0.5 * (self.target[i] + air_target(&column.crop.stress, part.medium.porosity - theta[i]));
                let breath = mean + (state.breath[i] - mean) * keep;
                missed += column.layers[i].roots * breath * by_salt(column, ec[i]) - self.second[i];
            }
        }
        missed.abs()
    }

    /// Lets the memory of air move on by `dt` s to the water content now in `state`, and keeps how fast EC moved from `ec_before`.
    pub fn settle(&mut self, column: &Column, state: &mut State, ec_before: &[f64], dt: f64) {
        let keep = (-dt / self.memory_s).exp();
        for part in &column.parts {
            for i in part.layers.clone() {
                let mean = 0.5 * (self.target[i] + air_target(&column.crop.stress, part.medium.porosity - state.theta[i]));
                state.breath[i] = mean + (state.breath[i] - mean) * keep;
            }
        }
        for ((rate, now), before) in self.ec_rate.iter_mut().zip(&state.ec).zip(ec_before) {
            *rate = (now - before) / dt;
        }
    }
}

/// What air lets the roots take up in the long run, layer by layer.
fn set_targets(column: &Column, theta: &[f64], out: &mut [f64]) {
    for part in &column.parts {
        for i in part.layers.clone() {
            out[i] = air_target(&column.crop.stress, part.medium.porosity - theta[i]);
        }
    }
}

fn by_salt(column: &Column, ec: f64) -> f64 {
    column.crop.stress.salt.map_or(1.0, |s| salinity::uptake_share(ec, s.threshold_ece, s.slope_percent))
}
