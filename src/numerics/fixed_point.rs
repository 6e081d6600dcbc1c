//! Where a map stands still that is nearly linear and dear to evaluate: Anderson's mixing (D. G. Anderson 1965, J. ACM 12:547, in the form of
//! Walker and Ni 2011, SIAM J. Numer. Anal. 49:1715).
//!
//! The map is seen at some points. What it added at the newest of them is taken apart into how that changed between the points, and the point
//! is guessed where nothing would be added. The guess is a sum of values seen with weights that add up to one: what every value keeps, such as
//! a sum that the map leaves as it is, the guess keeps.

use std::collections::VecDeque;

use nalgebra::{DMatrix, DVector};

/// A map as it was seen so far.
#[derive(Clone, Debug)]
pub struct FixedPoint {
    most: usize,
    seen: VecDeque<(Vec<f64>, Vec<f64>)>,
}

/// Where a map would stand still.
#[derive(Clone, Debug, PartialEq)]
pub struct Guess {
    /// The point.
    pub at: Vec<f64>,
    /// Share of what the map last added that its changes do not explain, 0–1: with much of it the guess is worth little.
    pub unexplained: f64,
}

/// Directions in which the map hardly changed from point to point, as a share of the one in which it changed most, are rounding.
const ROUNDING: f64 = 1e-5;

impl FixedPoint {
    /// Nothing seen; the newest `most` points are kept, at least 2.
    #[must_use]
    pub fn new(most: usize) -> Self {
        Self { most: most.max(2), seen: VecDeque::new() }
    }

    /// The map leads from one point to another; all points have the same length.
    pub fn see(&mut self, from: Vec<f64>, to: Vec<f64>) {
        if self.seen.len() == self.most {
            self.seen.pop_front();
        }
        self.seen.push_back((from, to));
    }

    /// Points that are kept.
    #[must_use]
    pub fn seen(&self) -> usize {
        self.seen.len()
    }

    /// Leaves all but the newest points.
    pub fn forget_all_but(&mut self, newest: usize) {
        while self.seen.len() > newest {
            self.seen.pop_front();
        }
    }

    /// Where it would stand still if it were linear; `None` with fewer than two points.
    #[must_use]
    pub fn guess(&self) -> Option<Guess> {
        let (_, last) = self.seen.back().filter(|_| self.seen.len() > 1)?;
        let added = |(from, to): &(Vec<f64>, Vec<f64>)| DVector::from_iterator(to.len(), to.iter().zip(from).map(|(t, f)| t - f));
        let all: Vec<DVector<f64>> = self.seen.iter().map(added).collect();
        let newest = all.last()?;
        let size = newest.norm();
        if size == 0.0 {
            return Some(Guess { at: last.clone(), unexplained: 0.0 });
        }
        let changes: Vec<DVector<f64>> = all.windows(2).map(|pair| &pair[1] - &pair[0]).collect();
        let matrix = DMatrix::from_columns(&changes);
        let most = matrix.column_iter().fold(0.0, |most: f64, c| most.max(c.norm()));
        if most == 0.0 {
            return Some(Guess { at: last.clone(), unexplained: 1.0 });
        }
        let shares = matrix.clone().svd(true, true).solve(newest, ROUNDING * most).ok()?;
        let left = newest - &matrix * &shares;
        let mut at = last.clone();
        for ((share, before), after) in shares.iter().zip(&self.seen).zip(self.seen.iter().skip(1)) {
            for ((a, b), c) in at.iter_mut().zip(&before.1).zip(&after.1) {
                *a -= share * (c - b);
            }
        }
        Some(Guess { at, unexplained: left.norm() / size })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A linear map that keeps slow company: shares of the way left after each step, and where it stands still.
    const LEFT: [f64; 4] = [0.95, 0.7, 0.3, 0.0];
    const STANDS: [f64; 4] = [3.0, -1.0, 0.0, 7.0];

    fn map(x: &[f64]) -> Vec<f64> {
        // Turned, so that no coordinate goes alone.
        let turned = |v: &[f64]| [v[0] + v[1], v[0] - v[1], v[2] + 2.0 * v[3], 2.0 * v[2] - v[3]];
        let back = |v: [f64; 4]| [0.5 * (v[0] + v[1]), 0.5 * (v[0] - v[1]), (v[2] + 2.0 * v[3]) / 5.0, (2.0 * v[2] - v[3]) / 5.0];
        let (x, stands) = (turned(x), turned(&STANDS));
        let next: Vec<f64> = (0..4).map(|i| stands[i] + LEFT[i] * (x[i] - stands[i])).collect();
        back([next[0], next[1], next[2], next[3]]).to_vec()
    }

    fn off(x: &[f64]) -> f64 {
        x.iter().zip(STANDS).fold(0.0, |most: f64, (a, b)| most.max((a - b).abs()))
    }

    #[test]
    fn a_linear_map_is_found_with_as_many_points_as_it_has_directions() {
        let mut seen = FixedPoint::new(8);
        let mut x = vec![0.0; 4];
        assert_eq!(seen.guess(), None);
        for _ in 0..5 {
            let next = map(&x);
            seen.see(x, next.clone());
            x = next;
        }
        let guess = seen.guess().unwrap();
        assert!(off(&guess.at) < 1e-6 && guess.unexplained < 1e-3, "{guess:?}");
        // By itself it would still be far off.
        assert!(off(&x) > 0.9);
    }

    #[test]
    fn fewer_points_found_again_and_again_do_as_well() {
        let mut seen = FixedPoint::new(3);
        let mut x = vec![0.0; 4];
        for _ in 0..12 {
            for _ in 0..2 {
                let next = map(&x);
                seen.see(x, next.clone());
                x = next;
            }
            x = seen.guess().unwrap().at;
        }
        assert!(off(&x) < 1e-4, "{x:?}");
    }

    #[test]
    fn what_the_map_keeps_the_guess_keeps() {
        // What one layer loses the next gains.
        let keeps =
            |x: &[f64]| vec![x[0] - 0.1 * (x[0] - x[1]), x[1] + 0.1 * (x[0] - x[1]) - 0.03 * (x[1] - x[2]), x[2] + 0.03 * (x[1] - x[2])];
        let mut seen = FixedPoint::new(4);
        let mut x = vec![9.0, 1.0, 0.5];
        for _ in 0..3 {
            let next = keeps(&x);
            seen.see(x, next.clone());
            x = next;
        }
        let guess = seen.guess().unwrap();
        assert!((guess.at.iter().sum::<f64>() - 10.5).abs() < 1e-9, "{guess:?}");
        assert!(guess.at.iter().all(|v| (v - 3.5).abs() < 1e-6), "{guess:?}");
    }

    #[test]
    fn a_map_that_stands_is_guessed_to_stand_and_one_that_only_grows_is_not_believed() {
        let mut seen = FixedPoint::new(4);
        for _ in 0..2 {
            seen.see(vec![1.0, 2.0], vec![1.0, 2.0]);
        }
        assert_eq!(seen.guess().unwrap(), Guess { at: vec![1.0, 2.0], unexplained: 0.0 });
        let mut seen = FixedPoint::new(4);
        for i in 0..3 {
            seen.see(vec![f64::from(i)], vec![f64::from(i + 1)]);
        }
        assert_eq!(seen.guess().unwrap().unexplained, 1.0);
    }
}
