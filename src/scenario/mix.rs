//! Mixes by volume: the shares of all components sum to 100.

use super::medium::Component;
use super::ranges::{self, Range};

/// What the share of one of so many components may be, percent.
#[must_use]
#[allow(clippy::cast_precision_loss)] // a handful
pub fn share_range(components: usize) -> Range {
    let least = ranges::MIX_PERCENT.0;
    (least, 100.0 - least * components.saturating_sub(1) as f64)
}

/// Sets one share of a mix, percent; the others keep their proportions and all sum to 100.
pub fn set_share(mix: &mut [Component], index: usize, percent: f64) {
    const LEAST: f64 = ranges::MIX_PERCENT.0;
    if mix.len() < 2 || index >= mix.len() {
        return;
    }
    let (low, high) = share_range(mix.len());
    let percent = percent.clamp(low, high);
    let rest: f64 = mix.iter().enumerate().filter(|(i, _)| *i != index).map(|(_, c)| c.percent.max(LEAST)).sum();
    let left = 100.0 - percent;
    for (i, component) in mix.iter_mut().enumerate() {
        component.percent = if i == index { percent } else { (component.percent.max(LEAST) * left / rest).max(LEAST) };
    }
    // What the least shares were lifted by is taken from the largest of the others.
    let over = mix.iter().map(|c| c.percent).sum::<f64>() - 100.0;
    let largest = (0..mix.len()).filter(|i| *i != index).max_by(|a, b| mix[*a].percent.total_cmp(&mix[*b].percent));
    if let Some(i) = largest {
        // Not below the least by a rounding.
        mix[i].percent = (mix[i].percent - over).max(LEAST);
    }
}

/// Brings the shares of a mix to tenths of a percent, as they are entered; they still sum to 100. The largest but the one at an index takes
/// what is left over.
#[allow(clippy::cast_possible_truncation)] // thousands
pub fn in_tenths(mix: &mut [Component], index: usize) {
    let mut tenths: Vec<i32> = mix.iter().map(|c| (10.0 * c.percent).round() as i32).collect();
    let over = tenths.iter().sum::<i32>() - 1000;
    if let Some(i) = (0..mix.len()).filter(|i| *i != index).max_by_key(|i| tenths[*i]) {
        tenths[i] -= over;
    }
    mix.iter_mut().zip(tenths).for_each(|(component, tenth)| component.percent = f64::from(tenth) / 10.0);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mix_always_sums_to_a_hundred() {
        let mut mix = [70.0, 20.0, 10.0].map(|percent| Component { medium: String::new(), percent });
        let shares = |mix: &[Component]| mix.iter().map(|c| c.percent).collect::<Vec<_>>();
        set_share(&mut mix, 0, 40.0);
        assert_eq!(shares(&mix), [40.0, 40.0, 20.0]);
        for wanted in [100.0, 0.0, 33.3, 99.8, 1e9] {
            for index in 0..3 {
                set_share(&mut mix, index, wanted);
                assert!((shares(&mix).iter().sum::<f64>() - 100.0).abs() < 1e-9, "{mix:?}");
                assert!(mix.iter().all(|c| c.percent >= 0.1), "{mix:?}");
                let mut entered = mix.clone();
                in_tenths(&mut entered, index);
                assert!((shares(&entered).iter().sum::<f64>() - 100.0).abs() < 1e-9, "{entered:?}");
                for (exact, tenth) in mix.iter().zip(&entered) {
                    assert!((exact.percent - tenth.percent).abs() < 0.151 && tenth.percent >= 0.1, "{mix:?} {entered:?}");
                    assert_eq!(tenth.percent, format!("{:.1}", tenth.percent).parse::<f64>().unwrap());
                }
            }
        }
    }
}
