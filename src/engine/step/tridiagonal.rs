//! The tridiagonal solve.
//!
//! Written here because nothing well kept serves: nalgebra has no banded solver, and a dense LU of 35 layers costs about a
//! hundred times as much as this. The elimination does not pivot. The salt systems are diagonally dominant by columns, where
//! elimination without pivoting is stable (Higham 2002, Accuracy and Stability of Numerical Algorithms, §9.6); the water
//! systems are nearly so, and a solution that is not finite makes the caller shorten its step.

/// A tridiagonal system and room to solve it. Row i reads `lower[i]·x[i−1] + diagonal[i]·x[i] + upper[i]·x[i+1] = right[i]`;
/// `lower[0]` and the last `upper` are not read.
#[derive(Clone, Debug, Default)]
pub struct Tridiagonal {
    /// Below the diagonal.
    pub lower: Vec<f64>,
    /// The diagonal.
    pub diagonal: Vec<f64>,
    /// Above the diagonal.
    pub upper: Vec<f64>,
    /// Right-hand side; after [`solve`](Self::solve), the solution.
    pub right: Vec<f64>,
}

impl Tridiagonal {
    /// Room for `n` rows, all zero.
    #[must_use]
    pub fn new(n: usize) -> Self {
        Self { lower: vec![0.0; n], diagonal: vec![0.0; n], upper: vec![0.0; n], right: vec![0.0; n] }
    }

    /// Solves for several right-hand sides at once, in place: `many` holds one row of them after another, and becomes the solutions. `upper`
    /// is overwritten.
    pub fn solve_many(&mut self, many: &mut [f64]) {
        let n = self.diagonal.len();
        let width = many.len() / n.max(1);
        for i in 0..n {
            let (before, rest) = many.split_at_mut(i * width);
            let row = &mut rest[..width];
            let (lower, up) = if i == 0 { (0.0, 0.0) } else { (self.lower[i], self.upper[i - 1]) };
            let inverse = 1.0 / (self.diagonal[i] - lower * up);
            self.upper[i] *= inverse;
            match before.len().checked_sub(width) {
                Some(last) => row.iter_mut().zip(&before[last..]).for_each(|(x, b)| *x = (*x - lower * b) * inverse),
                None => row.iter_mut().for_each(|x| *x *= inverse),
            }
        }
        for i in (0..n.saturating_sub(1)).rev() {
            let (here, after) = many[i * width..].split_at_mut(width);
            let up = self.upper[i];
            here.iter_mut().zip(after).for_each(|(x, a)| *x -= up * *a);
        }
    }

    /// Solves in place by elimination from both ends at once, which meet in the middle: two short chains of dependent
    /// divisions instead of one long one. `right` becomes the solution; `upper` and `lower` are overwritten. A singular
    /// system gives values that are not finite.
    pub fn solve(&mut self) {
        let n = self.right.len();
        if n == 0 {
            return;
        }
        let (lower, diagonal) = (&mut self.lower[..n], &self.diagonal[..n]);
        let (upper, right) = (&mut self.upper[..n], &mut self.right[..n]);
        lower[0] = 0.0;
        upper[n - 1] = 0.0;
        // Rows below `mid` are eliminated upward from the first row, those above it downward from the last.
        let mid = n / 2;
        let (mut up, mut x_up) = (0.0, 0.0);
        let (mut down, mut x_down) = (0.0, 0.0);
        for i in 0..mid {
            let inverse = 1.0 / (diagonal[i] - lower[i] * up);
            up = upper[i] * inverse;
            x_up = (right[i] - lower[i] * x_up) * inverse;
            (upper[i], right[i]) = (up, x_up);
            let j = n - 1 - i;
            if j > mid {
                let inverse = 1.0 / (diagonal[j] - upper[j] * down);
                down = lower[j] * inverse;
                x_down = (right[j] - upper[j] * x_down) * inverse;
                (lower[j], right[j]) = (down, x_down);
            }
        }
        let inverse = 1.0 / (diagonal[mid] - lower[mid] * up - upper[mid] * down);
        let x = (right[mid] - lower[mid] * x_up - upper[mid] * x_down) * inverse;
        right[mid] = x;
        let (mut below, mut above) = (x, x);
        for i in 1..=mid {
            below = right[mid - i] - upper[mid - i] * below;
            right[mid - i] = below;
            if mid + i < n {
                above = right[mid + i] - lower[mid + i] * above;
                right[mid + i] = above;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::{DMatrix, DVector};

    #[test]
    fn agrees_with_a_dense_solve() {
        for n in [1, 2, 3, 4, 35, 40] {
            check(n);
        }
    }

    fn check(n: usize) {
        let mut t = Tridiagonal::new(n);
        let mut seed = 7_u64;
        let mut random = || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            f64::from((seed >> 40) as u32) / f64::from(1_u32 << 24)
        };
        let mut dense = DMatrix::<f64>::zeros(n, n);
        for i in 0..n {
            t.lower[i] = -random();
            t.upper[i] = -random();
            t.diagonal[i] = 2.1 + random();
            t.right[i] = random() - 0.5;
            dense[(i, i)] = t.diagonal[i];
            if i > 0 {
                dense[(i, i - 1)] = t.lower[i];
            }
            if i + 1 < n {
                dense[(i, i + 1)] = t.upper[i];
            }
        }
        let expected = dense.lu().solve(&DVector::from_vec(t.right.clone())).unwrap();
        let mut many: Vec<f64> = (0..n * 3).map(|at| t.right[at / 3] * (at % 3) as f64).collect();
        t.clone().solve_many(&mut many);
        t.solve();
        for i in 0..n {
            assert!((t.right[i] - expected[i]).abs() < 1e-13);
            // Three right-hand sides at once: none, this one, and twice this one.
            for (k, x) in many[i * 3..i * 3 + 3].iter().enumerate() {
                assert!((x - k as f64 * expected[i]).abs() < 1e-12);
            }
        }
    }
}
