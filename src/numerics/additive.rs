//! Shares of a variance: how much of the scatter of an outcome each input makes by itself, from a sample that is there already.
//!
//! The outcome is fitted as a sum of one smooth curve per input (a polynomial), all at once, by least squares. The variance of each curve
//! over the sample, as a share of the outcome's, is that input's first-order share (Sobol' 1993, Mathematical Modelling and Computational
//! Experiment 1:407–414). What the curves owe to chance is taken off: the residual variance times what a coefficient catches of it. What
//! is left between the sum of the shares and 1 is what inputs do together, and what the curves do not follow.

use nalgebra::{DMatrix, DVector};

use super::sampling::Sequence;

/// Highest power of a curve.
const MOST_POWERS: usize = 3;
/// Rows that each coefficient needs at least (judgement).
const ROWS_EACH: usize = 4;

/// Inputs made ready for fits of any number of outcomes.
#[derive(Clone, Debug)]
pub struct Additive {
    inputs: usize,
    powers: usize,
    /// Per row: 1, and the powers of each input in turn.
    rows: Vec<Vec<f64>>,
}

/// A fit's weights: how often each row counts.
struct Fit<'a> {
    of: &'a Additive,
    counts: &'a [f64],
    counted: f64,
    /// Inverse of the normal equations' matrix.
    inverse: DMatrix<f64>,
    /// Covariance of each input's own powers over the sample.
    covariances: Vec<DMatrix<f64>>,
}

/// First-order shares of an outcome's inputs, in their order, with standard errors; and what is left.
#[derive(Clone, Debug, PartialEq)]
pub struct Shares {
    /// Share (about 0–1, less or more by chance) and its standard error.
    pub each: Vec<(f64, f64)>,
}

impl Additive {
    /// Inputs by column, each about 0 with a scatter of about 1; all as long. `None` where the rows are too few to tell the inputs apart:
    /// four for each coefficient of straight lines.
    #[must_use]
    pub fn new(columns: &[Vec<f64>]) -> Option<Self> {
        let (inputs, count) = (columns.len(), columns.first()?.len());
        let powers = (1..=MOST_POWERS).rev().find(|powers| count >= ROWS_EACH * (1 + inputs * powers))?;
        // Hermite's polynomials: nearly uncorrelated for normal inputs, so that the equations are well-conditioned.
        let terms = |x: f64| [x, x * x - 1.0, x * (x * x - 3.0)];
        let row = |i: usize| std::iter::once(1.0).chain(columns.iter().flat_map(|c| terms(c[i]).into_iter().take(powers))).collect();
        Some(Self { inputs, powers, rows: (0..count).map(row).collect() })
    }

    /// First-order shares of several outcomes, a value per row each, and standard errors of all their weighted means: `weights` has a list
    /// of weights of the outcomes per mean wanted. Errors are from `resamples` bootstrap samples of a seed. An outcome that does not vary
    /// has no shares: `None` if there is one, or if the inputs cannot be told apart.
    #[must_use]
    pub fn shares(&self, outcomes: &[&[f64]], weights: &[Vec<f64>], resamples: usize, seed: u64) -> Option<Vec<Shares>> {
        let means = |counts: &[f64]| -> Option<Vec<Vec<f64>>> {
            let fit = Fit::new(self, counts)?;
            let shares: Vec<Vec<f64>> = outcomes.iter().map(|y| fit.shares(y)).collect::<Option<_>>()?;
            let mean = |w: &Vec<f64>, input: usize| w.iter().zip(&shares).map(|(w, s)| w * s[input]).sum::<f64>() / w.iter().sum::<f64>();
            Some(weights.iter().map(|w| (0..self.inputs).map(|input| mean(w, input)).collect()).collect())
        };
        let found = means(&vec![1.0; self.rows.len()])?;
        let mut sequence = Sequence::new(seed, u64::MAX);
        let drawn: Vec<Vec<Vec<f64>>> = (0..resamples).filter_map(|_| means(&self.resampled(&mut sequence))).collect();
        let error = |mean: usize, input: usize| deviation(drawn.iter().map(|d| d[mean][input]));
        let of = |(m, shares): (usize, &Vec<f64>)| Shares { each: shares.iter().enumerate().map(|(i, s)| (*s, error(m, i))).collect() };
        Some(found.iter().enumerate().map(of).collect())
    }

    /// How often each row is drawn when as many as there are are drawn with return.
    fn resampled(&self, sequence: &mut Sequence) -> Vec<f64> {
        let mut counts = vec![0.0; self.rows.len()];
        for _ in 0..counts.len() {
            counts[sequence.below(self.rows.len())] += 1.0;
        }
        counts
    }
}

/// Standard deviation of a sample; infinite for fewer than two, of which nothing can be said.
fn deviation(values: impl Iterator<Item = f64> + Clone) -> f64 {
    let (mut n, mut sum) = (0.0, 0.0);
    for v in values.clone() {
        (n, sum) = (n + 1.0, sum + v);
    }
    let mean = sum / n;
    let squares: f64 = values.map(|v| (v - mean).powi(2)).sum();
    if n > 1.0 { (squares / (n - 1.0)).sqrt() } else { f64::INFINITY }
}

impl<'a> Fit<'a> {
    fn new(of: &'a Additive, counts: &'a [f64]) -> Option<Self> {
        let terms = 1 + of.inputs * of.powers;
        let mut matrix = DMatrix::<f64>::zeros(terms, terms);
        for (row, count) in of.rows.iter().zip(counts).filter(|(_, count)| **count > 0.0) {
            for j in 0..terms {
                for i in j..terms {
                    matrix[(i, j)] += count * row[i] * row[j];
                }
            }
        }
        let counted: f64 = counts.iter().sum();
        let covariance = |input: usize| {
            let first = 1 + input * of.powers;
            let entry = |i: usize, j: usize| {
                let (i, j) = (first + i.max(j), first + i.min(j));
                matrix[(i, j)] / counted - matrix[(i, 0)] * matrix[(j, 0)] / (counted * counted)
            };
            DMatrix::from_fn(of.powers, of.powers, entry)
        };
        let covariances = (0..of.inputs).map(covariance).collect();
        matrix.fill_upper_triangle_with_lower_triangle();
        let inverse = matrix.cholesky()?.inverse();
        Some(Self { of, counts, counted, inverse, covariances })
    }

    fn weighted<'s>(&'s self, y: &'s [f64]) -> impl Iterator<Item = (&'s Vec<f64>, f64, f64)> + Clone {
        self.of.rows.iter().zip(y).zip(self.counts).filter(|(_, count)| **count > 0.0).map(|((row, y), count)| (row, *y, *count))
    }

    fn shares(&self, y: &[f64]) -> Option<Vec<f64>> {
        let terms = self.inverse.nrows();
        let mean = self.weighted(y).map(|(_, y, count)| count * y).sum::<f64>() / self.counted;
        let squares: f64 = self.weighted(y).map(|(_, y, count)| count * (y - mean).powi(2)).sum();
        #[allow(clippy::cast_precision_loss)]
        let free = self.counted - terms as f64;
        let variance = squares / (self.counted - 1.0);
        if !(free > 0.0 && variance > 0.0 && variance.is_finite()) {
            return None;
        }
        let mut right = DVector::<f64>::zeros(terms);
        for (row, y, count) in self.weighted(y) {
            for (to, value) in right.iter_mut().zip(row) {
                *to += count * value * (y - mean);
            }
        }
        let coefficients = &self.inverse * right;
        let fitted = |row: &[f64]| row.iter().zip(coefficients.iter()).map(|(v, c)| v * c).sum::<f64>();
        let left: f64 = self.weighted(y).map(|(row, y, count)| count * (y - mean - fitted(row)).powi(2)).sum();
        let residual = left / free;
        let share = |input: usize| {
            let (first, n) = (1 + input * self.of.powers, self.of.powers);
            let own = coefficients.rows(first, n);
            let covariance = &self.covariances[input];
            let curve = own.dot(&(covariance * own));
            let by_chance = residual * (covariance * self.inverse.view((first, first), (n, n))).trace();
            (curve - by_chance) / variance
        };
        Some((0..self.of.inputs).map(share).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numerics::normal::cut_score;
    use crate::numerics::sampling::latin_column;

    fn inputs(rows: usize, seed: u64, count: u64) -> Vec<Vec<f64>> {
        (0..count).map(|c| latin_column(rows, c, seed).into_iter().map(cut_score).collect()).collect()
    }

    /// Shares of one outcome of inputs.
    fn of(columns: &[Vec<f64>], outcome: impl Fn(&[f64]) -> f64, seed: u64) -> Option<Vec<(f64, f64)>> {
        let y: Vec<f64> = (0..columns[0].len()).map(|i| outcome(&columns.iter().map(|c| c[i]).collect::<Vec<_>>())).collect();
        Some(Additive::new(columns)?.shares(&[&y], &[vec![1.0]], 60, seed)?.remove(0).each)
    }

    /// y = 3a + 2b + c: 9, 4 and 1 parts of 14, and none of the input that is not in it.
    #[test]
    fn a_sum_has_the_shares_of_its_squares() {
        let shares = of(&inputs(500, 3, 4), |x| 3.0 * x[0] + 2.0 * x[1] + x[2] + 40.0, 1).unwrap();
        for ((share, error), known) in shares.iter().zip([9.0, 4.0, 1.0, 0.0]) {
            // Straight lines are fitted without rest; the sample's own variances scatter.
            assert!((share - known / 14.0).abs() < 0.02, "{shares:?}");
            assert!(*error < 0.04, "{shares:?}");
        }
        assert!(shares[3].0.abs() < 1e-12, "{shares:?}");
    }

    /// y = a + b·c: half by a, half by b and c together and by neither alone.
    #[test]
    fn what_inputs_do_together_is_no_ones_share() {
        let shares = of(&inputs(2000, 3, 3), |x| x[0] + x[1] * x[2], 1).unwrap();
        for ((share, error), known) in shares.iter().zip([0.5, 0.0, 0.0]) {
            assert!((share - known).abs() < 4.0 * error && *error < 0.06, "{shares:?}");
        }
    }

    /// A bent outcome: y = a² + b has two parts of a and one of b.
    #[test]
    fn a_bent_curve_is_followed() {
        let shares = of(&inputs(4000, 9, 2), |x| x[0] * x[0] + x[1], 1).unwrap();
        let (square, line) = {
            // Of a normal cut off at ±3: variance 0.9733, and that of its square from its fourth moment.
            let (second, fourth) = (0.973_337, 2.681_343);
            (fourth - second * second, second)
        };
        assert!((shares[0].0 - square / (square + line)).abs() < 0.02, "{shares:?}");
        assert!((shares[1].0 - line / (square + line)).abs() < 0.02, "{shares:?}");
    }

    /// Over many samples, shares scatter about the true ones as their errors say, and an input of no account is not seen in the mean.
    #[test]
    fn errors_are_those_that_are_made() {
        let outcome = |x: &[f64]| x[0] + 0.5 * x[1] + x[2] * x[3];
        let samples: Vec<Vec<(f64, f64)>> = (0..60).map(|seed| of(&inputs(240, seed, 5), outcome, seed).unwrap()).collect();
        for input in 0..5 {
            let values = samples.iter().map(|s| s[input].0);
            let made = deviation(values.clone());
            let said = samples.iter().map(|s| s[input].1).sum::<f64>() / 60.0;
            assert!((0.6..1.7).contains(&(said / made)), "input {input}: {said} said, {made} made");
            if input >= 2 {
                let mean = values.sum::<f64>() / 60.0;
                assert!(mean.abs() < 3.5 * made / 60.0_f64.sqrt(), "input {input}: {mean} ± {made}");
            }
        }
    }

    #[test]
    fn a_mean_of_outcomes_has_an_error_of_its_own() {
        let columns = inputs(400, 5, 2);
        let (a, b) = (columns[0].clone(), columns[1].clone());
        let shares = Additive::new(&columns).unwrap();
        let found = shares.shares(&[&a, &b], &[vec![1.0, 0.0], vec![0.0, 1.0], vec![3.0, 1.0]], 40, 1).unwrap();
        let known = [[1.0, 0.0], [0.0, 1.0], [0.75, 0.25]];
        for (found, known) in found.iter().zip(known) {
            assert!(found.each.iter().zip(known).all(|(f, k)| (f.0 - k).abs() < 1e-9), "{found:?}");
        }
    }

    #[test]
    fn what_cannot_be_told_is_not_told() {
        // Too few rows; nothing that varies; no input; twins.
        assert!(Additive::new(&inputs(15, 1, 3)).is_none() && Additive::new(&inputs(16, 1, 3)).is_some());
        assert!(Additive::new(&[]).is_none());
        assert_eq!(of(&inputs(100, 1, 2), |_| 5.0, 1), None);
        let mut twins = inputs(100, 1, 2);
        twins[1] = twins[0].clone();
        let told = of(&twins, |x| x[0], 1);
        assert!(told.is_none() || told.iter().flatten().all(|(share, _)| share.is_finite()), "{told:?}");
    }
}
