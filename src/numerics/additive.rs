//! Shares of a variance: how much of the scatter of an outcome each input makes by itself, from a sample that is there already.
//!
//! The outcome is fitted as a sum of one smooth curve per input (a polynomial), all at once, by least squares. The variance of each curve
//! over the sample, as a share of the outcome's, is that input's first-order share (Sobol' 1993, Mathematical Modelling and Computational
//! Experiment 1:407–414). What the curves owe to chance is taken off. What
//! is left between the sum of the shares and 1 is what inputs do together, and what the curves do not follow. Standard errors are from the
//! same sample with one of [`GROUPS`] parts of its rows left out in turn (the jackknife: Efron 1982, The Jackknife, the Bootstrap and Other
//! Resampling Plans).

use nalgebra::{DMatrix, DVector};

/// Highest power of a curve.
const MOST_POWERS: usize = 3;
/// Rows that each coefficient needs at least (judgement).
const ROWS_EACH: usize = 4;
/// Parts of the rows that are left out in turn.
pub const GROUPS: usize = 25;

/// Share (about 0–1, less or more by chance) of an input and its standard error.
pub type Share = (f64, f64);

/// Inputs made ready for fits of any number of outcomes.
#[derive(Clone, Debug)]
pub struct Additive {
    inputs: usize,
    powers: usize,
    /// Per row: 1, and the powers of each input in turn.
    rows: Vec<Vec<f64>>,
}

/// Of an outcome: products with the terms, and its squares.
type Products = (DVector<f64>, f64);

/// Sums over rows, from which a fit of each outcome follows.
#[derive(Clone)]
struct Sums {
    rows: f64,
    /// Products of terms.
    matrix: DMatrix<f64>,
    outcomes: Vec<Products>,
}

impl Sums {
    fn none(terms: usize, outcomes: usize) -> Self {
        Self { rows: 0.0, matrix: DMatrix::zeros(terms, terms), outcomes: vec![(DVector::zeros(terms), 0.0); outcomes] }
    }

    fn add(&mut self, row: &[f64], values: impl Iterator<Item = f64>) {
        self.rows += 1.0;
        for (j, at) in row.iter().enumerate() {
            for (i, other) in row.iter().enumerate().skip(j) {
                self.matrix[(i, j)] += at * other;
            }
        }
        for ((right, squares), y) in self.outcomes.iter_mut().zip(values) {
            for (to, term) in right.iter_mut().zip(row) {
                *to += term * y;
            }
            *squares += y * y;
        }
    }

    /// These and as many times others.
    fn with(&self, times: f64, other: &Self) -> Self {
        let pairs = self.outcomes.iter().zip(&other.outcomes);
        Self {
            rows: self.rows + times * other.rows,
            matrix: &self.matrix + times * &other.matrix,
            outcomes: pairs.map(|(a, b)| (&a.0 + times * &b.0, a.1 + times * b.1)).collect(),
        }
    }

    /// What a fit of any outcome needs; `None` where inputs cannot be told apart.
    fn fit(&self, inputs: usize, powers: usize) -> Option<Fit> {
        let mut matrix = self.matrix.clone();
        matrix.fill_upper_triangle_with_lower_triangle();
        let covariance = |input: usize| {
            let first = 1 + input * powers;
            DMatrix::from_fn(powers, powers, |i, j| {
                let (i, j) = (first + i, first + j);
                (matrix[(i, j)] - matrix[(i, 0)] * matrix[(j, 0)] / self.rows) / (self.rows - 1.0)
            })
        };
        let covariances = (0..inputs).map(covariance).collect();
        Some(Fit { powers, covariances, inverse: matrix.cholesky()?.inverse() })
    }

    /// Variance of each outcome; `None` where one does not vary.
    fn variances(&self) -> Option<Vec<f64>> {
        let variance = |(right, squares): &Products| (squares - right[0] * right[0] / self.rows) / (self.rows - 1.0);
        self.outcomes.iter().map(variance).map(|v| (v > 0.0 && v.is_finite()).then_some(v)).collect()
    }

    /// Share of each input (inner) of each outcome (outer), less what its curve owes to chance.
    fn shares(&self, fit: &Fit, chance: &[Vec<f64>]) -> Option<Vec<Vec<f64>>> {
        let variances = self.variances()?;
        let of = |((products, variance), chance): ((&Products, f64), &Vec<f64>)| {
            let coefficients = &fit.inverse * &products.0;
            (0..fit.covariances.len()).map(|input| (fit.curve(&coefficients, input) - chance[input]) / variance).collect()
        };
        Some(self.outcomes.iter().zip(variances).zip(chance).map(of).collect())
    }
}

/// What every fit over the same rows has in common.
struct Fit {
    powers: usize,
    /// How the powers of each input vary together over the rows.
    covariances: Vec<DMatrix<f64>>,
    /// Of the normal equations' matrix.
    inverse: DMatrix<f64>,
}

impl Fit {
    /// Variance of an input's curve over the rows.
    fn curve(&self, coefficients: &DVector<f64>, input: usize) -> f64 {
        let own = coefficients.rows(1 + input * self.powers, self.powers);
        own.dot(&(&self.covariances[input] * own))
    }
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

    /// First-order shares of several outcomes, a value per row each, and of all their weighted means: `weights` has a list of weights of the
    /// outcomes per mean wanted, and the answer a share per input of each of them, in the inputs' order. An outcome that does not vary has
    /// no shares: `None` if there is one, or if the inputs cannot be told apart.
    #[must_use]
    #[allow(clippy::cast_precision_loss)]
    pub fn shares(&self, outcomes: &[&[f64]], weights: &[Vec<f64>]) -> Option<Vec<Vec<Share>>> {
        let none = Sums::none(1 + self.inputs * self.powers, outcomes.len());
        // Off its mean, an outcome's squares keep their digits.
        let means: Vec<f64> = outcomes.iter().map(|y| y.iter().sum::<f64>() / y.len() as f64).collect();
        let mut groups = vec![none.clone(); GROUPS];
        for (i, row) in self.rows.iter().enumerate() {
            groups[i % GROUPS].add(row, outcomes.iter().zip(&means).map(|(y, mean)| y[i] - mean));
        }
        let all = groups.iter().fold(none, |sum, group| sum.with(1.0, group));
        let fit = all.fit(self.inputs, self.powers)?;
        let chance = self.chance(&all, &fit, outcomes, &means);
        let weighted = |sums: &Sums, fit: &Fit| -> Option<Vec<Vec<f64>>> {
            let shares = sums.shares(fit, &chance)?;
            let mean = |w: &Vec<f64>, input: usize| w.iter().zip(&shares).map(|(w, s)| w * s[input]).sum::<f64>() / w.iter().sum::<f64>();
            Some(weights.iter().map(|w| (0..self.inputs).map(|input| mean(w, input)).collect()).collect())
        };
        let found = weighted(&all, &fit)?;
        let without = |group: &Sums| {
            let rest = all.with(-1.0, group);
            weighted(&rest, &rest.fit(self.inputs, self.powers)?)
        };
        let without: Vec<Vec<Vec<f64>>> = groups.iter().filter_map(without).collect();
        let error = |mean: usize, input: usize| jackknife(without.iter().map(|d| d[mean][input]));
        let of = |(m, shares): (usize, &Vec<f64>)| shares.iter().enumerate().map(|(i, s)| (*s, error(m, i))).collect();
        Some(found.iter().enumerate().map(of).collect())
    }

    /// Variance that each input's curve (inner) of each outcome (outer) has by chance alone: from the residuals themselves, since what inputs
    /// do together scatters more where they are far out (MacKinnon & White 1985, Journal of Econometrics 29:305–325, estimator HC2).
    fn chance(&self, sums: &Sums, fit: &Fit, outcomes: &[&[f64]], means: &[f64]) -> Vec<Vec<f64>> {
        let coefficients: Vec<DVector<f64>> = sums.outcomes.iter().map(|(right, _)| &fit.inverse * right).collect();
        let mut chance = vec![vec![0.0; self.inputs]; outcomes.len()];
        for (i, row) in self.rows.iter().enumerate() {
            let row = DVector::from_column_slice(row);
            let pulls = &fit.inverse * &row;
            let left = (1.0 - row.dot(&pulls)).max(f64::EPSILON);
            let moves: Vec<f64> = (0..self.inputs).map(|input| fit.curve(&pulls, input)).collect();
            for ((of, coefficients), (y, mean)) in chance.iter_mut().zip(&coefficients).zip(outcomes.iter().zip(means)) {
                let residual = y[i] - mean - row.dot(coefficients);
                of.iter_mut().zip(&moves).for_each(|(sum, by)| *sum += residual * residual / left * by);
            }
        }
        chance
    }
}

/// Standard error of what was found without each part in turn; infinite for fewer than two, of which nothing can be said.
fn jackknife(values: impl Iterator<Item = f64> + Clone) -> f64 {
    let (mut n, mut sum) = (0.0, 0.0);
    for v in values.clone() {
        (n, sum) = (n + 1.0, sum + v);
    }
    let mean = sum / n;
    let squares: f64 = values.map(|v| (v - mean).powi(2)).sum();
    if n > 1.0 { ((n - 1.0) / n * squares).sqrt() } else { f64::INFINITY }
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
    fn of(columns: &[Vec<f64>], outcome: impl Fn(&[f64]) -> f64) -> Option<Vec<Share>> {
        let y: Vec<f64> = (0..columns[0].len()).map(|i| outcome(&columns.iter().map(|c| c[i]).collect::<Vec<_>>())).collect();
        Some(Additive::new(columns)?.shares(&[&y], &[vec![1.0]])?.remove(0))
    }

    fn deviation(values: impl Iterator<Item = f64> + Clone) -> f64 {
        let n = values.clone().count() as f64;
        let mean = values.clone().sum::<f64>() / n;
        (values.map(|v| (v - mean).powi(2)).sum::<f64>() / (n - 1.0)).sqrt()
    }

    /// y = 3a + 2b + c: 9, 4 and 1 parts of 14, and none of the input that is not in it.
    #[test]
    fn a_sum_has_the_shares_of_its_squares() {
        let shares = of(&inputs(500, 3, 4), |x| 3.0 * x[0] + 2.0 * x[1] + x[2] + 40.0).unwrap();
        for ((share, error), known) in shares.iter().zip([9.0, 4.0, 1.0, 0.0]) {
            // Straight lines are fitted without rest; the sample's own variances scatter.
            assert!((share - known / 14.0).abs() < 0.02, "{shares:?}");
            assert!(*error < 0.04, "{shares:?}");
        }
        assert!(shares[3].0.abs() < 1e-9, "{shares:?}");
    }

    /// y = a + b·c: half by a, half by b and c together and by neither alone.
    #[test]
    fn what_inputs_do_together_is_no_ones_share() {
        let shares = of(&inputs(2000, 3, 3), |x| x[0] + x[1] * x[2]).unwrap();
        for ((share, error), known) in shares.iter().zip([0.5, 0.0, 0.0]) {
            assert!((share - known).abs() < 4.0 * error && *error < 0.06, "{shares:?}");
        }
    }

    /// A bent outcome: y = a² + b has two parts of a and one of b.
    #[test]
    fn a_bent_curve_is_followed() {
        let shares = of(&inputs(4000, 9, 2), |x| x[0] * x[0] + x[1]).unwrap();
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
        let samples: Vec<Vec<(f64, f64)>> = (0..60).map(|seed| of(&inputs(240, seed, 5), outcome).unwrap()).collect();
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
        let found = shares.shares(&[&a, &b], &[vec![1.0, 0.0], vec![0.0, 1.0], vec![3.0, 1.0]]).unwrap();
        let known = [[1.0, 0.0], [0.0, 1.0], [0.75, 0.25]];
        for (found, known) in found.iter().zip(known) {
            assert!(found.iter().zip(known).all(|(f, k)| (f.0 - k).abs() < 1e-9), "{found:?}");
        }
    }

    #[test]
    fn what_cannot_be_told_is_not_told() {
        // Too few rows; nothing that varies; no input; twins.
        assert!(Additive::new(&inputs(15, 1, 3)).is_none() && Additive::new(&inputs(16, 1, 3)).is_some());
        assert!(Additive::new(&[]).is_none());
        assert_eq!(of(&inputs(100, 1, 2), |_| 5.0), None);
        let mut twins = inputs(100, 1, 2);
        twins[1] = twins[0].clone();
        let told = of(&twins, |x| x[0]);
        assert!(told.is_none() || told.iter().flatten().all(|(share, _)| share.is_finite()), "{told:?}");
    }
}
