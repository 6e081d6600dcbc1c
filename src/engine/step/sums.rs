//! Sums and maxima in four interleaved chains: the same order on every machine, without one long chain of dependent additions.

/// Sum of values.
#[must_use]
pub fn sum(values: &[f64]) -> f64 {
    let mut lanes = [0.0_f64; 4];
    let chunks = values.chunks_exact(4);
    let rest: f64 = chunks.remainder().iter().sum();
    for c in chunks {
        for j in 0..4 {
            lanes[j] += c[j];
        }
    }
    (lanes[0] + lanes[1]) + (lanes[2] + lanes[3]) + rest
}

/// Largest magnitude of `values[i]·scale[i]`; not a number if any product is not finite. Both slices have one length.
#[must_use]
pub fn largest_scaled(values: &[f64], scale: &[f64]) -> f64 {
    let mut most = [0.0_f64; 4];
    let mut all = [0.0_f64; 4];
    let mut take = |j: usize, v: f64, s: f64| {
        let x = (v * s).abs();
        most[j] = if x > most[j] { x } else { most[j] };
        all[j] += x;
    };
    let (v, s) = (values.chunks_exact(4), scale.chunks_exact(4));
    for (j, (&v, &s)) in v.remainder().iter().zip(s.remainder()).enumerate() {
        take(j, v, s);
    }
    for (v, s) in v.zip(s) {
        for j in 0..4 {
            take(j, v[j], s[j]);
        }
    }
    let total = (all[0] + all[1]) + (all[2] + all[3]);
    if total.is_finite() { most[0].max(most[1]).max(most[2]).max(most[3]) } else { f64::NAN }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_and_maxima_of_any_length() {
        for n in 0..13_u32 {
            let values: Vec<f64> = (0..n).map(|i| f64::from(i) - 3.0).collect();
            assert_eq!(sum(&values), values.iter().sum::<f64>());
            let twos = vec![2.0; values.len()];
            assert_eq!(largest_scaled(&values, &twos), values.iter().fold(0.0, |a: f64, v| a.max(2.0 * v.abs())));
        }
    }

    #[test]
    fn what_is_no_number_is_not_overlooked() {
        for i in 0..9 {
            let mut values = vec![1.0; 9];
            values[i] = f64::NAN;
            assert!(largest_scaled(&values, &[1.0; 9]).is_nan());
        }
    }
}
