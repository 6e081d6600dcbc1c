//! The root zone as rinsing begins, and the two bounds between which rinsing from above lies: what it takes when the rinse mixes with all that
//! is there, and when it pushes all out before it. Both start from the salt as it lies, layer by layer, and end when the root zone's EC, which
//! the roots weigh, is what was wanted.

use super::rinse::Rinse;
use crate::engine::column::Column;
use crate::engine::run::simulation::Simulation;
use crate::scenario::{Base, Top};

/// Looks per volume of the root zone at how far the rinse has come.
const LOOKS: u32 = 400;

/// The root zone as rinsing begins.
pub(super) struct Begins<'a> {
    column: &'a Column,
    /// Root-zone EC, mS/cm.
    pub ec: f64,
    theta: Vec<f64>,
    layers_ec: Vec<f64>,
}

impl<'a> Begins<'a> {
    pub fn of(simulation: &Simulation, column: &'a Column) -> Self {
        let state = simulation.state();
        Self { column, ec: column.root_zone_ec(&state.theta, &state.ec), theta: state.theta.clone(), layers_ec: state.ec.clone() }
    }

    /// The medium holds salt beside its water.
    pub fn holds(&self) -> bool {
        self.column.layers.iter().any(|l| l.held_salt > 0.0)
    }

    /// mL that it takes, mixed and pushed; `wettest` is the water content of each layer when the root zone held most while it was rinsed.
    pub fn bounds(&self, wettest: &[f64], rinse: Rinse) -> (f64, f64) {
        if self.ec <= rinse.to {
            return (0.0, 0.0);
        }
        // Of what runs straight through only a share takes salt along.
        let counts = match (self.column.boundaries.top, self.column.boundaries.base) {
            (Top::Emitters, Base::Outlet) => 1.0 - self.column.channelling * (1.0 - self.column.channel_pick_up),
            _ => 1.0,
        };
        let (mixed, pushed) = (self.mixed(wettest, rinse), self.pushed(wettest, rinse));
        (mixed / counts, pushed / counts)
    }

    /// What holds salt in each layer, mL of water: the water itself, and what the medium holds beside it.
    fn holding(&self, theta: &[f64]) -> Vec<f64> {
        self.column.layers.iter().zip(theta).map(|(l, theta)| l.volume * (theta + l.held_salt)).collect()
    }

    /// The rinse first fills the root zone and thins what is there; then C falls as e^(−V/V_w).
    fn mixed(&self, wettest: &[f64], Rinse { to, with }: Rinse) -> f64 {
        let (before, after) = (self.holding(&self.theta), self.holding(wettest));
        let salt: f64 = before.iter().zip(&self.layers_ec).map(|(w, ec)| w * ec).sum();
        let (before, after) = (before.iter().sum::<f64>(), after.iter().sum::<f64>());
        let (ec, fills) = (salt / before, (after - before).max(0.0));
        let after = before + fills;
        let filled = (ec * before + with * fills) / after;
        if filled <= to {
            return (before * (ec - to) / (to - with)).max(0.0);
        }
        fills + after * ((filled - with) / (to - with)).ln()
    }

    /// The rinse comes in at the top and moves what is there down before it, as a piston; while the root zone fills, nothing leaves.
    fn pushed(&self, wettest: &[f64], rinse: Rinse) -> f64 {
        let (before, after) = (self.holding(&self.theta), self.holding(wettest));
        let fills: f64 = before.iter().zip(&after).map(|(a, b)| (b - a).max(0.0)).sum();
        let most = before.iter().sum::<f64>() + 2.0 * fills;
        let at = |ml: f64| {
            let share = if fills > 0.0 { (ml / fills).min(1.0) } else { 1.0 };
            let filled: Vec<f64> = before.iter().zip(&after).map(|(a, b)| a + share * (b - a).max(0.0)).collect();
            let theta: Vec<f64> = self.theta.iter().zip(wettest).map(|(a, b)| a + share * (b - a).max(0.0)).collect();
            self.column.root_zone_ec(&theta, &self.moved_down(&before, &filled, ml, rinse.with)) <= rinse.to
        };
        let step = most / f64::from(LOOKS);
        let first = (1..=LOOKS).map(|k| f64::from(k) * step).find(|ml| at(*ml)).unwrap_or(most);
        let (mut low, mut high) = (first - step, first);
        for _ in 0..20 {
            let middle = 0.5 * (low + high);
            if at(middle) { high = middle } else { low = middle }
        }
        high
    }

    /// EC of each layer, mS/cm, when `ml` of the rinse have pushed what lay in `before` down into what holds it now.
    fn moved_down(&self, before: &[f64], now: &[f64], ml: f64, with: f64) -> Vec<f64> {
        // Parcels from the top down: the rinse, then the layers as they lay.
        let parcels: Vec<(f64, f64)> =
            std::iter::once((ml, with)).chain(before.iter().copied().zip(self.layers_ec.iter().copied()).rev()).collect();
        let (mut parcel, mut left) = (0, parcels[0].0);
        let mut found: Vec<f64> = now
            .iter()
            .rev()
            .map(|&room| {
                let (mut room_left, mut salt) = (room, 0.0);
                while room_left > 0.0 {
                    let ec = parcels[parcel].1;
                    // What rounding leaves over is of the last parcel.
                    let takes = if parcel + 1 == parcels.len() { room_left } else { left.min(room_left) };
                    (salt, room_left, left) = (salt + takes * ec, room_left - takes, left - takes);
                    if left <= 0.0 && parcel + 1 < parcels.len() {
                        parcel += 1;
                        left = parcels[parcel].0;
                    }
                }
                if room > 0.0 { salt / room } else { with }
            })
            .collect();
        found.reverse();
        found
    }
}
