//! Retention of a mix from its components: an estimate, because small particles fill the pores between large ones.

use nalgebra::{SMatrix, SVector};

/// Suctions whose volume-weighted water contents the fitted curve is to meet, cm.
pub const FIT_AT_CM: [f64; 5] = [0.0, 10.0, 20.0, 50.0, 100.0];

/// Least residual water content of a fitted mix, m³/m³ (judgement: every medium keeps a film).
pub const LEAST_RESIDUAL: f64 = 1e-3;

/// One component: its share of the volume (0–1) and its drying curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MixPart {
    /// Share of the volume, 0–1.
    pub share: f64,
    /// Water content when full.
    pub theta_s: f64,
    /// Residual water content.
    pub theta_r: f64,
    /// α, 1/cm.
    pub alpha: f64,
    /// n.
    pub n: f64,
    /// Saturated conductivity, any unit.
    pub ks: f64,
    /// Mualem's exponent.
    pub l: f64,
}

/// The fitted curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MixFit {
    /// Water content when full.
    pub theta_s: f64,
    /// Residual water content.
    pub theta_r: f64,
    /// α, 1/cm.
    pub alpha: f64,
    /// n.
    pub n: f64,
    /// Saturated conductivity: the volume-weighted mean of the logarithms.
    pub ks: f64,
    /// Mualem's exponent, volume-weighted.
    pub l: f64,
    /// Largest miss at the fitted suctions, m³/m³.
    pub worst_miss: f64,
}

fn theta(p: &[f64; 4], suction: f64) -> f64 {
    let [theta_s, theta_r, alpha, n] = *p;
    theta_r + (theta_s - theta_r) * (1.0 + (alpha * suction).powf(n)).powf(1.0 / n - 1.0)
}

/// Mixes curves by volume: the water contents at [`FIT_AT_CM`] are averaged, (θs, θr, α, n) refitted by least squares
/// (Levenberg–Marquardt), ln Ks averaged. `None` if there is no component or no finite fit. Shares are taken relative to
/// their sum.
///
/// ```
/// use slakeline::physics::mixing::{MixPart, mix_curves};
/// let coir = MixPart { share: 1.0, theta_s: 0.9, theta_r: 0.06, alpha: 0.165, n: 1.43, ks: 4320.0, l: 0.5 };
/// // a mix of one is that one
/// let alone = mix_curves(&[coir]).unwrap();
/// assert!((alone.theta_s - 0.9).abs() < 1e-6 && (alone.n - 1.43).abs() < 1e-4 && alone.worst_miss < 1e-6);
/// // ln Ks is averaged: the geometric mean of 4320 and 43200
/// let fast = MixPart { ks: 43_200.0, ..coir };
/// let half = mix_curves(&[coir, fast]).unwrap();
/// assert!((half.ks - 13_661.0).abs() < 1.0);
/// ```
#[must_use]
pub fn mix_curves(parts: &[MixPart]) -> Option<MixFit> {
    let whole: f64 = parts.iter().map(|p| p.share).sum();
    if parts.is_empty() || !(whole > 0.0 && whole.is_finite()) {
        return None;
    }
    let mean = |value: &dyn Fn(&MixPart) -> f64| parts.iter().map(|p| p.share / whole * value(p)).sum::<f64>();
    let wanted = FIT_AT_CM.map(|s| mean(&|p| theta(&[p.theta_s, p.theta_r, p.alpha, p.n], s)));
    let start = [mean(&|p| p.theta_s), mean(&|p| p.theta_r), mean(&|p| p.alpha.ln()).exp(), mean(&|p| p.n)];
    let fit = levenberg_marquardt(start, &wanted)?;
    let misses = FIT_AT_CM.iter().zip(wanted).map(|(&s, w)| (theta(&fit, s) - w).abs());
    Some(MixFit {
        theta_s: fit[0],
        theta_r: fit[1],
        alpha: fit[2],
        n: fit[3],
        ks: mean(&|p| p.ks.ln()).exp(),
        l: mean(&|p| p.l),
        worst_miss: misses.fold(0.0, f64::max),
    })
}

/// Fits on ln α and ln(n − 1), so that both stay in range; θr is held at [`LEAST_RESIDUAL`] or above.
fn levenberg_marquardt(start: [f64; 4], wanted: &[f64; 5]) -> Option<[f64; 4]> {
    let decode = |x: &SVector<f64, 4>| [x[0], x[1].max(LEAST_RESIDUAL), x[2].exp(), 1.0 + x[3].exp()];
    let residual = |x: &SVector<f64, 4>| {
        let p = decode(x);
        SVector::<f64, 5>::from_fn(|i, _| theta(&p, FIT_AT_CM[i]) - wanted[i])
    };
    let mut x = SVector::<f64, 4>::new(start[0], start[1], start[2].ln(), (start[3] - 1.0).max(1e-3).ln());
    let mut r = residual(&x);
    let mut damping = 1e-3;
    for _ in 0..200 {
        let mut jacobian = SMatrix::<f64, 5, 4>::zeros();
        for j in 0..4 {
            let step = 1e-6;
            let mut moved = x;
            moved[j] += step;
            jacobian.set_column(j, &((residual(&moved) - r) / step));
        }
        let normal = jacobian.transpose() * jacobian;
        let gradient = jacobian.transpose() * r;
        let mut damped = normal;
        for j in 0..4 {
            damped[(j, j)] += damping * (normal[(j, j)] + 1e-12);
        }
        let next = x - damped.cholesky()?.solve(&gradient);
        let after = residual(&next);
        if after.norm_squared() < r.norm_squared() {
            let gained = r.norm_squared() - after.norm_squared();
            (x, r) = (next, after);
            damping = (damping * 0.3_f64).max(1e-12);
            if gained < 1e-16 {
                break;
            }
        } else {
            damping *= 4.0;
            if damping > 1e12 {
                break;
            }
        }
    }
    let p = decode(&x);
    let sane = p.iter().all(|v| v.is_finite()) && p[1] < p[0] && p[3] > 1.05 && (1e-4..=5.0).contains(&p[2]);
    sane.then_some(p)
}

#[cfg(test)]
mod tests {
    use super::*;

    const COIR: MixPart = MixPart { share: 1.0, theta_s: 0.90, theta_r: 0.06, alpha: 0.165, n: 1.43, ks: 4320.0, l: 0.5 };
    const PERLITE: MixPart = MixPart { share: 0.3, theta_s: 0.70, theta_r: 0.18, alpha: 0.40, n: 1.8, ks: 43_200.0, l: 0.5 };

    #[test]
    fn a_mix_of_one_is_itself() {
        let fit = mix_curves(&[COIR]).unwrap();
        assert!(fit.worst_miss < 1e-6 && (fit.theta_s - 0.90).abs() < 1e-6 && (fit.n - 1.43).abs() < 1e-3);
        assert!((fit.ks - 4320.0).abs() < 1e-6);
    }

    #[test]
    fn a_mix_lies_between_its_components() {
        let fit = mix_curves(&[MixPart { share: 0.7, ..COIR }, PERLITE]).unwrap();
        assert!(fit.worst_miss < 0.01, "{fit:?}");
        let at = |p: &MixPart, s| theta(&[p.theta_s, p.theta_r, p.alpha, p.n], s);
        for s in FIT_AT_CM {
            let mixed = theta(&[fit.theta_s, fit.theta_r, fit.alpha, fit.n], s);
            assert!(mixed < at(&COIR, s) && mixed > at(&PERLITE, s));
        }
        assert!((fit.ks.ln() - (0.7 * 4320.0_f64.ln() + 0.3 * 43_200.0_f64.ln())).abs() < 1e-9);
    }

    #[test]
    fn nothing_makes_no_mix() {
        assert!(mix_curves(&[]).is_none());
        assert!(mix_curves(&[MixPart { share: 0.0, ..COIR }]).is_none());
    }
}
