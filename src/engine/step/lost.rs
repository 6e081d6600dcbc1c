//! What stress costs a plant of what it asks for, laid to water, air and salt.
//!
//! Uptake is the share ω/max(ω, ω_c) of the demand, ω = Σ root share × water × air × salt (Jarvis 1989). Stresses act together: with
//! compensation one alone may cost nothing and still matter beside another. So each is laid what it adds on the average over all orders in
//! which the three could be switched on (the value of Shapley, 1953): whatever the order, the three add up to the loss.

use serde::Serialize;

use crate::engine::column::layers::Column;
use crate::engine::column::stress;

/// What was lost to each stress: a share of the demand, or mL per plant in the ledger. Never negative, but for rounding.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Lost {
    /// To too little water.
    pub water: f64,
    /// To too little air.
    pub air: f64,
    /// To too much salt.
    pub salt: f64,
}

impl Lost {
    /// One of the three with the same of another.
    #[must_use]
    pub fn zip(&self, other: &Self, f: impl Fn(f64, f64) -> f64) -> Self {
        Self { water: f(self.water, other.water), air: f(self.air, other.air), salt: f(self.salt, other.salt) }
    }

    /// All three together: demand less uptake.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.water + self.air + self.salt
    }

    /// The split of a loss, given what is lost (0–1) with each set of stresses: the place in the list has bit 0 set with water, bit 1 with
    /// air and bit 2 with salt, so that the first is without any and the last with all.
    #[must_use]
    pub fn split(with: [f64; 8]) -> Self {
        let added = |bit: usize| {
            let (b, c) = (1 << ((bit + 1) % 3), 1 << ((bit + 2) % 3));
            let by = |others: usize| with[others | 1 << bit] - with[others];
            // First of three, second after either of the others, last.
            (by(0) + by(b | c)) / 3.0 + (by(b) + by(c)) / 6.0
        };
        Self { water: added(0), air: added(1), salt: added(2) }
    }

    /// The shares of the demand that are lost at a head (cm) per layer, where air and salt leave the roots of each layer the shares given.
    #[must_use]
    pub fn of(column: &Column, head: &[f64], air: &[f64], salt: &[f64]) -> Self {
        let (stress, mut root_share) = (&column.crop.stress, [0.0; 8]);
        for ((layer, head), (air, salt)) in column.layers.iter().zip(head).zip(air.iter().zip(salt)) {
            let water = stress::water_share(stress, *head).0;
            let (watered, salted) = (layer.roots * water, layer.roots * salt);
            let sums = [layer.roots, watered, layer.roots * air, watered * air, salted, salted * water, salted * air, salted * water * air];
            for (sum, more) in root_share.iter_mut().zip(sums) {
                *sum += more;
            }
        }
        Self::split(root_share.map(|omega| 1.0 - omega / omega.max(stress.compensation)))
    }
}

#[cfg(test)]
mod tests {
    use super::Lost;

    #[test]
    fn one_stress_alone_bears_the_whole_loss() {
        for (bit, is) in [(0, [0.3, 0.0, 0.0]), (1, [0.0, 0.3, 0.0]), (2, [0.0, 0.0, 0.3])] {
            let with = std::array::from_fn(|set| if set & 1 << bit == 0 { 0.0 } else { 0.3 });
            let lost = Lost::split(with);
            for (found, right) in [lost.water, lost.air, lost.salt].into_iter().zip(is) {
                assert!((found - right).abs() < 1e-15, "{lost:?}");
            }
        }
    }

    #[test]
    fn what_only_two_together_cost_is_laid_to_both() {
        let with = std::array::from_fn(|set| if set & 3 == 3 { 0.4 } else { 0.0 });
        let lost = Lost::split(with);
        assert!((lost.water - 0.2).abs() < 1e-15 && (lost.air - 0.2).abs() < 1e-15 && lost.salt.abs() < 1e-15, "{lost:?}");
    }

    #[test]
    fn it_is_what_each_adds_on_the_average_over_all_six_orders() {
        let with = [0.0, 0.10, 0.03, 0.25, 0.00, 0.18, 0.07, 0.44];
        let orders = [[0, 1, 2], [0, 2, 1], [1, 0, 2], [1, 2, 0], [2, 0, 1], [2, 1, 0]];
        let mut mean = [0.0; 3];
        for order in orders {
            let mut set = 0;
            for bit in order {
                mean[bit] += (with[set | 1 << bit] - with[set]) / 6.0;
                set |= 1 << bit;
            }
        }
        let lost = Lost::split(with);
        for (found, right) in [lost.water, lost.air, lost.salt].into_iter().zip(mean) {
            assert!((found - right).abs() < 1e-15, "{lost:?} is not {mean:?}");
        }
        assert!((lost.total() - 0.44).abs() < 1e-15);
        assert_eq!(Lost::split([0.0; 8]), Lost::default());
    }
}
