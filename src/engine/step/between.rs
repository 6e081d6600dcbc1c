//! Conductivity between two layers: the mean over the heads between them, which is what a flow driven by suction meets. The plain mean of the
//! two ends lets a front run into a dry medium far too fast: half of what the wet layer conducts, where next to nothing of that lies between.

/// Mean conductivity and its derivatives by the two heads.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Mean {
    /// The mean, in the units of the ends.
    pub k: f64,
    /// By the first end's head.
    pub by_first: f64,
    /// By the second end's head.
    pub by_second: f64,
}

/// One end: head (cm), conductivity and its derivative by head.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct End {
    /// Head, cm.
    pub head: f64,
    /// Conductivity.
    pub k: f64,
    /// Its derivative by head.
    pub slope: f64,
}

/// Ratio of two conductivities from which on a contact counts as a front.
pub const FRONT: f64 = 4.0;

/// The plain mean of the ends.
#[inline(always)]
#[must_use]
pub fn plain(a: End, b: End) -> Mean {
    Mean { k: 0.5 * (a.k + b.k), by_first: 0.5 * a.slope, by_second: 0.5 * b.slope }
}

/// Mean where conductivity falls with suction like an exponential: the logarithmic mean, to within 0.2 % up to a ratio of [`FRONT`], as a third
/// of the arithmetic and two thirds of the geometric one (no logarithm is taken; the loops over all faces can be vectorised).
#[inline(always)]
#[must_use]
pub fn gentle(a: End, b: End) -> Mean {
    let geometric = (a.k * b.k).sqrt();
    let share = |end: End| if end.k > 0.0 { end.slope / end.k } else { 0.0 };
    Mean {
        k: (0.5 * (a.k + b.k) + 2.0 * geometric) / 3.0,
        by_first: (0.5 * a.slope + geometric * share(a)) / 3.0,
        by_second: (0.5 * b.slope + geometric * share(b)) / 3.0,
    }
}

/// Mean across a front: up to the suction `knee` (cm) conductivity is the wetter end's, from there on it falls as a power of suction to the
/// drier end's.
#[must_use]
pub fn front(a: End, b: End, knee: f64) -> Mean {
    let swapped = a.k < b.k;
    let (wet, dry) = if swapped { (b, a) } else { (a, b) };
    let (s_wet, s_dry) = (-wet.head, -dry.head);
    let begins = s_wet.max(knee);
    if !(wet.k > 1.01 * dry.k && dry.k > 0.0) {
        return gentle(a, b);
    }
    let log_k = (wet.k / dry.k).ln();
    if s_dry <= 1.001 * begins {
        // Both ends on the plateau; or at one suction on two curves of one medium, where only the conductivities tell.
        let (k, by_wet, by_dry) = if s_wet < knee {
            (wet.k, wet.slope, 0.0)
        } else {
            let k = (wet.k - dry.k) / log_k;
            (k, (1.0 - k / wet.k) / log_k * wet.slope, (k / dry.k - 1.0) / log_k * dry.slope)
        };
        let (by_first, by_second) = if swapped { (by_dry, by_wet) } else { (by_wet, by_dry) };
        return Mean { k, by_first, by_second };
    }
    let width = s_dry - s_wet;
    let log_s = (s_dry / begins).ln();
    let power = log_k / log_s;
    let over = power - 1.0;
    // On the plateau, and on the flank beyond it.
    let plateau = (begins - s_wet) * wet.k;
    let near_one = over.abs() < 1e-6;
    let flank = if near_one { wet.k * begins * log_s } else { (wet.k * begins - dry.k * s_dry) / over };
    let k = (plateau + flank) / width;
    let moves = if s_wet > knee { 1.0 } else { 0.0 };
    // By the conductivity and by the suction of either end, the other held.
    let by_power = if near_one { -0.5 * wet.k * begins * log_s * log_s } else { -flank / over };
    let (k_part, s_part) = if near_one { (log_s, wet.k) } else { (1.0 / over, wet.k / over) };
    let wet_k = (begins - s_wet) + begins * k_part + by_power / (wet.k * log_s);
    let wet_s =
        moves * (if near_one { wet.k * log_s - wet.k } else { s_part } + by_power * power / (log_s * begins)) - (1.0 - moves) * wet.k;
    let dry_k = if near_one { 0.0 } else { -s_dry / over } - by_power / (dry.k * log_s);
    let dry_s = if near_one { wet.k * begins / s_dry } else { -dry.k / over } - by_power * power / (log_s * s_dry);
    let by_wet = (wet_k * wet.slope - wet_s - k) / width;
    let by_dry = (dry_k * dry.slope - dry_s + k) / width;
    let (by_first, by_second) = if swapped { (by_dry, by_wet) } else { (by_wet, by_dry) };
    Mean { k, by_first, by_second }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Simpson's rule over a power law with a plateau.
    fn integral_mean(k: impl Fn(f64) -> f64, from: f64, to: f64) -> f64 {
        let n = 20_000;
        let step = (to - from) / f64::from(n);
        let weight = |i: i32| {
            if i == 0 || i == n {
                1.0
            } else if i % 2 == 1 {
                4.0
            } else {
                2.0
            }
        };
        (0..=n).map(|i| weight(i) * k(from + f64::from(i) * step)).sum::<f64>() * step / 3.0 / (to - from)
    }

    #[test]
    fn a_front_of_a_power_law_is_met_exactly() {
        for (p, knee, wet, dry) in [(3.0, 1.0, -5.0, -80.0), (2.2, 2.0, 1.5, -40.0), (8.0, 3.0, -1.0, -30.0), (1.0, 1.0, -2.0, -50.0)] {
            let k = |s: f64| if s <= knee { 0.05 } else { 0.05 * (s / knee).powf(-p) };
            let end = |head: f64| End { head, k: k(-head), slope: 0.0 };
            let mean = front(end(wet), end(dry), knee).k;
            let exact = integral_mean(|h| k(-h), wet, dry);
            assert!((mean / exact - 1.0).abs() < 1e-4, "{p} {knee}: {mean} {exact}");
            let other = front(end(dry), end(wet), knee).k;
            assert!((mean - other).abs() < 1e-15);
        }
    }

    #[test]
    fn a_gentle_mean_is_the_logarithmic_one() {
        for ratio in [1.0, 1.2, 2.0, FRONT] {
            let (a, b) = (End { head: -1.0, k: ratio, slope: 0.0 }, End { head: -2.0, k: 1.0, slope: 0.0 });
            let exact = if ratio == 1.0 { 1.0 } else { (ratio - 1.0) / f64::ln(ratio) };
            assert!((gentle(a, b).k / exact - 1.0).abs() < 2e-3, "{ratio}");
        }
    }

    #[test]
    fn slopes_are_the_derivatives() {
        let curve = |h: f64| 0.05 * (1.0 + (0.2 * -h.min(0.0)).powf(1.7)).powf(-1.6);
        let end = |h: f64| {
            let d = 1e-5;
            End { head: h, k: curve(h), slope: (curve(h + d) - curve(h - d)) / (2.0 * d) }
        };
        for (a, b) in [(-3.0, -90.0), (-90.0, -3.0), (2.0, -20.0), (-0.2, -20.0), (-8.0, -9.0), (-1.2, -1.6)] {
            for mean in [(&|a, b| front(a, b, 1.0)) as &dyn Fn(End, End) -> Mean, &gentle] {
                let m = mean(end(a), end(b));
                let d = 1e-5;
                let by_first = (mean(end(a + d), end(b)).k - mean(end(a - d), end(b)).k) / (2.0 * d);
                let by_second = (mean(end(a), end(b + d)).k - mean(end(a), end(b - d)).k) / (2.0 * d);
                let close = |x: f64, y: f64| (x - y).abs() < 1e-5 * (1e-3 + x.abs() + y.abs());
                assert!(close(m.by_first, by_first), "{a} {b}: {} {by_first}", m.by_first);
                assert!(close(m.by_second, by_second), "{a} {b}: {} {by_second}", m.by_second);
            }
        }
    }
}
