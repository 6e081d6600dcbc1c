//! A medium's main branches and conductivity, tabulated for speed.

use super::curves::Shape;
use super::table::Table;

/// Which main branch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Main {
    /// From full to dry.
    Drying,
    /// From dry to full: the same water content at the suction divided by the hysteresis ratio (Kool & Parker 1987).
    Wetting,
}

impl Main {
    /// The other one.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Drying => Self::Wetting,
            Self::Wetting => Self::Drying,
        }
    }
}

/// Retention and conductivity of one medium. Heads in cm, water contents in m³/m³, conductivity in cm/s.
#[derive(Clone, Debug)]
pub struct Hydraulics {
    /// Water content when full.
    pub theta_s: f64,
    /// Residual water content.
    pub theta_r: f64,
    /// Saturated conductivity, cm/s.
    pub ks: f64,
    /// Drying suction over wetting suction at one water content, ≥ 1.
    pub ratio: f64,
    /// The curve the tables were made from.
    pub shape: Shape,
    full_up_to: f64,
    retention: Table,
    wet_conductivity: Table,
    dry_conductivity: Table,
}

/// Suctions above 2^24 cm are held there: every curve is an extrapolation long before.
const MOST_SUCTION: f64 = 16_777_216.0;

impl Hydraulics {
    /// Tabulates a medium.
    ///
    /// ```
    /// use slakeline::physics::{curves::Shape, hydraulics::{Hydraulics, Main}};
    /// let sand = Shape::VanGenuchten { alpha: 0.1, n: 2.0, l: 0.5, capillary_height: 0.0 };
    /// let medium = Hydraulics::new(sand, 0.9, 0.1, 0.05, 2.0);
    /// // at 10 cm drying and at 5 cm wetting it holds the same: (1 + 1²)^(−1/2)
    /// let (drying, wetting) = (medium.main(Main::Drying, 10.0).0, medium.main(Main::Wetting, 5.0).0);
    /// assert!((drying - 0.70711).abs() < 1e-5 && (wetting - drying).abs() < 1e-12);
    /// assert!((medium.theta(drying) - 0.66569).abs() < 1e-5);
    /// ```
    #[must_use]
    pub fn new(shape: Shape, theta_s: f64, theta_r: f64, ks: f64, ratio: f64) -> Self {
        // Conductivity is tabulated against the empty share near saturation and against saturation when dry, so that
        // both ends keep their digits. Its slope is a central difference: only the table's smoothness depends on it.
        let slope = |f: &dyn Fn(f64) -> f64, x: f64| (f(x * 1.0001) - f(x * 0.9999)) / (0.0002 * x);
        let by_empty = |y: f64| shape.conductivity(1.0 - y);
        let by_full = |se: f64| shape.conductivity(se);
        Self {
            theta_s,
            theta_r,
            ks,
            ratio,
            shape,
            full_up_to: shape.full_up_to(),
            retention: Table::new(-14, 24, |s| shape.draining(s)),
            wet_conductivity: Table::new(-30, -1, |y| (by_empty(y), slope(&by_empty, y))),
            dry_conductivity: Table::new(-24, -1, |se| (by_full(se), slope(&by_full, se))),
        }
    }

    /// Effective saturation on a main branch at a suction (cm), and its derivative by suction (1/cm).
    #[inline(always)]
    #[must_use]
    pub fn main(&self, branch: Main, suction: f64) -> (f64, f64) {
        let stretch = if branch == Main::Wetting { self.ratio } else { 1.0 };
        let x = suction * stretch;
        if x <= self.full_up_to || x <= 0.0 {
            return (1.0, 0.0);
        }
        if x < self.retention.low() {
            // Straight to saturation over the last fraction of a micrometre.
            let slope = (self.retention.at(self.retention.low()).0 - 1.0) / self.retention.low();
            return (1.0 + slope * x, slope * stretch);
        }
        let (se, slope) = self.retention.at(x.min(MOST_SUCTION));
        (se, slope * stretch)
    }

    /// Conductivity (cm/s) at an effective saturation, and its derivative by saturation (cm/s).
    #[inline(always)]
    #[must_use]
    pub fn conductivity(&self, se: f64) -> (f64, f64) {
        let empty = 1.0 - se;
        let (k, slope) = if empty <= 0.5 {
            let low = self.wet_conductivity.low();
            if empty <= 0.0 {
                (1.0, 0.0)
            } else if empty < low {
                let slope = (1.0 - self.wet_conductivity.at(low).0) / low;
                (1.0 - slope * empty, slope)
            } else {
                let (k, by_empty) = self.wet_conductivity.at(empty);
                (k, -by_empty)
            }
        } else {
            let low = self.dry_conductivity.low();
            if se < low { (self.dry_conductivity.at(low).0 * (se / low).max(0.0), 0.0) } else { self.dry_conductivity.at(se) }
        };
        (self.ks * k, self.ks * slope)
    }

    /// Water content at an effective saturation.
    #[inline]
    #[must_use]
    pub fn theta(&self, se: f64) -> f64 {
        self.theta_r + (self.theta_s - self.theta_r) * se
    }

    /// Effective saturation at a water content; not held to 0–1.
    #[inline]
    #[must_use]
    pub fn saturation_of(&self, theta: f64) -> f64 {
        (theta - self.theta_r) / (self.theta_s - self.theta_r)
    }

    /// Suction (cm) at an effective saturation on a main branch.
    #[must_use]
    pub fn suction(&self, branch: Main, se: f64) -> f64 {
        let drying = self.shape.suction(se.clamp(1e-12, 1.0));
        if branch == Main::Wetting { drying / self.ratio } else { drying }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tables_agree_with_the_formulas() {
        let shapes = [
            Shape::VanGenuchten { alpha: 0.165, n: 1.43, l: 0.5, capillary_height: 1.0 },
            Shape::VanGenuchten { alpha: 0.065, n: 3.5, l: 0.5, capillary_height: 0.0 },
            Shape::VanGenuchten { alpha: 0.4, n: 1.8, l: 0.5, capillary_height: 0.7 },
            Shape::Gardner { a: 0.1 },
            Shape::Haverkamp { alpha: 1.611e6, beta: 3.96, a: 1.175e6, gamma: 4.74 },
        ];
        for shape in shapes {
            let h = Hydraulics::new(shape, 0.9, 0.05, 1.0, 1.0);
            let mut suction = 1e-3;
            while suction < 1e4 {
                let (exact, _) = shape.saturation(suction);
                let (se, _) = h.main(Main::Drying, suction);
                assert!((se - exact).abs() < 3e-6, "{shape:?} at {suction}: {se} {exact}");
                let exact = shape.conductivity(se);
                let (k, _) = h.conductivity(se);
                assert!((k - exact).abs() < 3e-6 + 3e-4 * exact, "{shape:?} at {suction}: {k} {exact}");
                suction *= 1.07;
            }
        }
    }

    #[test]
    fn wetting_needs_less_suction() {
        let h = Hydraulics::new(Shape::VanGenuchten { alpha: 0.065, n: 3.5, l: 0.5, capillary_height: 0.0 }, 0.95, 0.02, 0.05, 2.0);
        assert_eq!(h.main(Main::Wetting, 8.0).0, h.main(Main::Drying, 16.0).0);
        assert!((h.suction(Main::Wetting, 0.5) * 2.0 - h.suction(Main::Drying, 0.5)).abs() < 1e-9);
    }
}
