//! Quantiles of a sample.

/// The value below which the next one drawn lies with chance `p` (0–1): between the values at ranks either side of p·(n + 1) on a straight
/// line, held at the ends. `sorted` is in rising order; `None` while it is empty.
///
/// Source: Hyndman & Fan 1996, The American Statistician 50:361–365, definition 6.
#[must_use]
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)]
pub fn quantile(sorted: &[f64], p: f64) -> Option<f64> {
    let last = sorted.len().checked_sub(1)?;
    let rank = (p * (sorted.len() + 1) as f64 - 1.0).clamp(0.0, last as f64);
    let below = rank.floor() as usize;
    let above = (below + 1).min(last);
    Some(sorted[below] + (sorted[above] - sorted[below]) * (rank - below as f64))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranks_are_counted_as_published() {
        let sorted: Vec<f64> = (1..=9).map(f64::from).collect();
        for k in 1..=9 {
            assert!((quantile(&sorted, f64::from(k) / 10.0).unwrap() - f64::from(k)).abs() < 1e-12);
        }
        assert!((quantile(&sorted, 0.25).unwrap() - 2.5).abs() < 1e-12);
    }

    #[test]
    fn ends_are_held_and_equal_values_stay_what_they_are() {
        assert_eq!(quantile(&[], 0.5), None);
        assert_eq!([0.0, 0.5, 1.0].map(|p| quantile(&[7.0], p)), [Some(7.0); 3]);
        assert_eq!([0.0, 0.1, 0.9, 1.0].map(|p| quantile(&[1.0, 2.0], p)), [Some(1.0), Some(1.0), Some(2.0), Some(2.0)]);
        assert_eq!(quantile(&[3.0; 40], 0.9), Some(3.0));
    }
}
