//! What a medium holds in a container that was soaked and has drained: the mean of its retention curve over the container's height.

use super::curves::Shape;

/// Slices of the height that hold their own three points.
const SLICES: u32 = 48;

/// Mean effective saturation (0–1) of a straight container of a height (cm, above 0) at rest, with free water at its base, drying branch:
/// (1/H)·∫ Se(h) dh from 0 to H (Milks, Fonteno & Larson 1989; Fonteno 1989). Three Gauss points in each of a row of slices that grow with
/// height, and none of them reaches across the suction up to which the medium stays full, where the curve bends.
///
/// ```
/// use slakeline::physics::{curves::Shape, drained::mean_saturation};
/// // closed form: ₂F₁(m, 1/n; 1 + 1/n; −(αH)^n), for n = 2 and αH = 3 it is asinh(3)/3
/// let plain = Shape::VanGenuchten { alpha: 0.1, n: 2.0, l: 0.5, capillary_height: 0.0 };
/// assert!((mean_saturation(&plain, 30.0) - 3.0_f64.asinh() / 3.0).abs() < 1e-6);
/// // a lower container is wetter
/// assert!(mean_saturation(&plain, 10.0) > mean_saturation(&plain, 30.0));
/// ```
#[must_use]
pub fn mean_saturation(shape: &Shape, height_cm: f64) -> f64 {
    let full = shape.full_up_to().clamp(0.0, height_cm);
    let rest = height_cm - full;
    let reach = 0.5 * 0.6_f64.sqrt();
    let at = |share: f64| shape.saturation(full + rest * share * share).0 * 2.0 * share;
    let width = 1.0 / f64::from(SLICES);
    let sum: f64 = (0..SLICES)
        .map(|k| {
            let middle = (f64::from(k) + 0.5) * width;
            5.0 * at(middle - reach * width) + 8.0 * at(middle) + 5.0 * at(middle + reach * width)
        })
        .sum();
    (full + rest * sum * width / 18.0) / height_cm
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_listed_closed_forms_are_met() {
        let vg = |alpha, n| Shape::VanGenuchten { alpha, n, l: 0.5, capillary_height: 0.0 };
        for (shape, height, holds) in [
            (vg(0.1, 2.0), 30.0, 0.606_149),
            (vg(0.165, 1.43), 15.0, (0.724_096 - 0.06) / 0.84),
            (vg(0.065, 3.5), 7.5, (0.938_502 - 0.02) / 0.93),
            // Gardner: (1 − e^(−aH))/(aH)
            (Shape::Gardner { a: 0.2 }, 10.0, (1.0 - (-2.0_f64).exp()) / 2.0),
        ] {
            let held = mean_saturation(&shape, height);
            assert!((held - holds).abs() < 2e-6, "{shape:?}: {held} {holds}");
        }
    }

    #[test]
    fn a_medium_that_stays_full_higher_than_the_container_drains_nothing() {
        let shape = Shape::VanGenuchten { alpha: 0.4, n: 1.5, l: 0.5, capillary_height: 5.0 };
        assert!((mean_saturation(&shape, 5.0) - 1.0).abs() < 1e-12);
        assert!(mean_saturation(&shape, 5.5) < 1.0);
    }
}
