//! How the salt of each layer, some steps later, hangs on the salt of each layer at the beginning.
//!
//! Within the steps taken, salt is carried on straight lines by water that does not ask for it, so the answer is a matrix: each step multiplies
//! it by the inverse of what its two stages solved. That the water asks for the salt, through the stress of the roots, is left out.

use nalgebra::DMatrix;

use super::Simulation;
use crate::engine::column::Column;
use crate::engine::step::boundary::Flows;
use crate::engine::step::channel;
use crate::engine::step::salt::SaltStep;
use crate::engine::step::scheme::{FIRST, GAMMA};

/// The matrix so far, and room to go on with it.
pub struct SaltMap {
    /// Share of each layer's salt at the beginning (across) that is in each layer now (down), row after row.
    shares: Vec<f64>,
    first: Vec<f64>,
    step: SaltStep,
    since_s: f64,
}

impl SaltMap {
    /// From where a simulation stands now.
    #[must_use]
    pub fn from(simulation: &Simulation) -> Self {
        let n = simulation.column.len();
        let mut shares = vec![0.0; n * n];
        (0..n).for_each(|i| shares[i * n + i] = 1.0);
        Self { first: shares.clone(), shares, step: SaltStep::new(&simulation.column), since_s: simulation.time }
    }

    /// Goes on with the step that a simulation has just taken.
    pub fn see(&mut self, simulation: &Simulation) {
        let (column, water) = (&simulation.column, &simulation.water);
        let dt = simulation.time - std::mem::replace(&mut self.since_s, simulation.time);
        let through = channel::rate(column, simulation.supply);
        self.first.copy_from_slice(&self.shares);
        let stage = |step: &mut SaltStep, flows: &Flows, theta: &[f64], ec: &[f64], many: &mut [f64]| {
            step.system_of(column, flows, theta, ec, through, GAMMA * dt).solve_many(many);
            to_amounts(column, theta, many);
        };
        stage(&mut self.step, &water.first.flows, &water.first.theta, simulation.salt.first(), &mut self.first);
        let carry = FIRST / GAMMA;
        self.shares.iter_mut().zip(&self.first).for_each(|(share, first)| *share += carry * (first - *share));
        stage(&mut self.step, &water.second.flows, &water.second.theta, &simulation.state.ec, &mut self.shares);
    }

    /// The matrix: a layer's salt now (row) by a layer's salt at the beginning (column), 1.
    #[must_use]
    pub fn matrix(&self) -> DMatrix<f64> {
        let n = self.step.ec.len();
        DMatrix::from_row_slice(n, n, &self.shares)
    }
}

/// Makes rows of EC to rows of salt.
fn to_amounts(column: &Column, theta: &[f64], many: &mut [f64]) {
    let n = column.len();
    for ((row, layer), theta) in many.chunks_exact_mut(n).zip(&column.layers).zip(theta) {
        let room = (theta + layer.held_salt) * layer.volume;
        row.iter_mut().for_each(|share| *share *= room);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::run::Workshop;
    use crate::scenario::DAY_S;
    use crate::scenario::presets::{Library, demos};

    /// Against two days of which one begins with more salt in one layer: drip on a block and a slab, and a flooded pot, by lanes whose crop
    /// does not mind the salt.
    #[test]
    fn it_tells_where_more_salt_goes() {
        for (demo, lane) in [(0, 0), (1, 0)] {
            let mut scenario = demos().swap_remove(demo).1;
            scenario.solver.tolerance *= 0.1;
            let ready = Workshop::default().ready(&scenario, &Library::shipped()).unwrap().for_its_days().swap_remove(lane);
            let mut begin = ready.simulation();
            begin.advance_to(DAY_S, |_| {}).unwrap();
            let n = begin.column().len();
            let day = |salt: &[f64]| {
                let mut simulation = begin.clone();
                simulation.put_salt(salt);
                let mut map = SaltMap::from(&simulation);
                simulation.advance_to(2.0 * DAY_S, |s| map.see(s)).unwrap();
                (simulation.salt(), map.matrix())
            };
            let salt = begin.salt();
            let (after, matrix) = day(&salt);
            for from in [0, n / 2, n - 1] {
                let mut more = salt.clone();
                let little = 1e-3 * salt[from];
                more[from] += little;
                let (with_more, _) = day(&more);
                let most = matrix.column(from).iter().fold(0.0, |most: f64, v| most.max(v.abs()));
                for to in 0..n {
                    let share = (with_more[to] - after[to]) / little;
                    assert!((share - matrix[(to, from)]).abs() < 0.02 * most, "{demo}: {from} to {to}: {share} {}", matrix[(to, from)]);
                }
            }
        }
    }

    /// The books of what was put into the layers begin there and close.
    #[test]
    fn salt_that_is_put_in_is_there_and_is_booked() {
        let scenario = demos().swap_remove(0).1;
        let ready = Workshop::default().ready(&scenario, &Library::shipped()).unwrap().for_its_days().swap_remove(0);
        let mut simulation = ready.simulation();
        simulation.advance_to(0.5 * DAY_S, |_| {}).unwrap();
        let twice: Vec<f64> = simulation.salt().iter().map(|s| 2.0 * s).collect();
        let before = *simulation.ledger();
        simulation.put_salt(&twice);
        let ledger = *simulation.ledger();
        assert!((ledger.salt_stored / before.salt_stored - 2.0).abs() < 1e-12 && ledger.salt_at_start == ledger.salt_stored);
        assert_eq!((ledger.water_stored, ledger.water.applied), (before.water_stored, 0.0));
        simulation.advance_to(DAY_S, |_| {}).unwrap();
        assert!(simulation.ledger().salt_closure() <= 1e-9 && simulation.ledger().water_closure() <= 1e-9);
        // Less than nothing is nothing.
        simulation.put_salt(&vec![-1.0; twice.len()]);
        assert_eq!(simulation.ledger().salt_stored, 0.0);
    }
}
