//! Tabulated functions of a positive argument, fast enough for a projection that follows a drag.
//!
//! Bins are a fixed fraction of an octave wide and are found from the bits of the argument, so no logarithm is taken. Each
//! bin holds a cubic that meets its neighbours in value and slope (Hermite), so a table and its derivative are consistent:
//! what Newton's method needs.

/// Bins per octave, as a power of two.
const SPLIT: u32 = 4;
const MANTISSA: u32 = 52 - SPLIT;

/// A piecewise cubic on `[2^low, 2^high)`, continuous in value and slope.
#[derive(Clone, Debug)]
pub struct Table {
    first: u64,
    last: u64,
    bins: Vec<[f64; 4]>,
}

impl Table {
    /// Tabulates `f`, which returns value and slope, from 2^`low` to 2^`high`.
    ///
    /// ```
    /// use slakeline::physics::table::Table;
    /// let root = Table::new(0, 4, |x| (x.sqrt(), 0.5 / x.sqrt()));
    /// assert!((root.at(2.0).0 - 1.41421).abs() < 1e-5 && (root.at(2.0).1 - 0.35355).abs() < 1e-5);
    /// ```
    #[must_use]
    pub fn new(low: i32, high: i32, f: impl Fn(f64) -> (f64, f64)) -> Self {
        let first = f64::from(low).exp2().to_bits() >> MANTISSA;
        let end = f64::from(high).exp2().to_bits() >> MANTISSA;
        let mut bins = Vec::new();
        let mut left = f(edge(first));
        for bin in first..end {
            let w = edge(bin + 1) - edge(bin);
            let right = f(edge(bin + 1));
            let secant = (right.0 - left.0) / w;
            let c2 = (3.0 * secant - 2.0 * left.1 - right.1) / w;
            let c3 = (left.1 + right.1 - 2.0 * secant) / (w * w);
            bins.push([left.0, left.1, c2, c3]);
            left = right;
        }
        Self { first, last: end - 1, bins }
    }

    /// Value and slope at `x`, not below [`low`](Self::low). Past the upper end the last cubic is continued.
    #[inline(always)]
    #[must_use]
    pub fn at(&self, x: f64) -> (f64, f64) {
        debug_assert!(x >= self.low(), "{x} lies below the table");
        let bin = (x.to_bits() >> MANTISSA).min(self.last);
        #[allow(clippy::cast_possible_truncation)]
        let [c0, c1, c2, c3] = self.bins[(bin - self.first) as usize];
        let d = x - edge(bin);
        let dd = d * d;
        let (c2d, c3d) = (c2 * d, c3 * dd);
        ((c0 + c1 * d) + dd * (c2 + c3 * d), (c1 + (c2d + c2d)) + 3.0 * c3d)
    }

    /// Lowest tabulated argument.
    #[must_use]
    pub fn low(&self) -> f64 {
        edge(self.first)
    }

    /// First argument past the table.
    #[must_use]
    pub fn high(&self) -> f64 {
        edge(self.last + 1)
    }
}

#[inline(always)]
fn edge(bin: u64) -> f64 {
    f64::from_bits(bin << MANTISSA)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn follows_a_power_law_over_many_octaves() {
        let table = Table::new(-10, 20, |x| (x.powf(-0.43), -0.43 * x.powf(-1.43)));
        let mut x = 0.001;
        while x < 1e6 {
            let (value, slope) = table.at(x);
            assert!((value / x.powf(-0.43) - 1.0).abs() < 3e-7, "{x}");
            assert!((slope / (-0.43 * x.powf(-1.43)) - 1.0).abs() < 3e-5, "{x}");
            x *= 1.013;
        }
    }

    #[test]
    fn is_continuous_across_bins() {
        let table = Table::new(-4, 4, |x| (x.ln(), 1.0 / x));
        let x = 1.5_f64;
        let below = f64::from_bits(x.to_bits() - 1);
        assert!((table.at(x).0 - table.at(below).0).abs() < 1e-12);
        assert!((table.at(x).1 - table.at(below).1).abs() < 1e-12);
    }
}
