//! Retention and conductivity: van Genuchten–Mualem with a minimum capillary height, Gardner, Haverkamp.
//!
//! All heads are pressure heads in cm, negative when unsaturated; effective saturation Se is 0–1; relative conductivity is K/Ks.

/// A drying-branch curve in effective saturation and relative conductivity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// van Genuchten (1980, Soil Sci. Soc. Am. J. 44:892) with Mualem's conductivity, m = 1 − 1/n, modified below a minimum
    /// capillary height by Vogel, van Genuchten & Cislerova (2000, Adv. Water Resour. 24:133).
    VanGenuchten {
        /// α, 1/cm.
        alpha: f64,
        /// n, above 1.
        n: f64,
        /// Mualem's pore-connectivity exponent.
        l: f64,
        /// Minimum capillary height |h_s|, cm; the medium stays full at lower suctions. 0: the plain curve.
        capillary_height: f64,
    },
    /// Gardner (1958): Se = K/Ks = e^(a·h).
    Gardner {
        /// a, 1/cm.
        a: f64,
    },
    /// Haverkamp et al. (1977, Soil Sci. Soc. Am. J. 41:285): Se = α/(α+|h|^β), K/Ks = A/(A+|h|^γ).
    Haverkamp {
        /// α, cm^β.
        alpha: f64,
        /// β.
        beta: f64,
        /// A, cm^γ.
        a: f64,
        /// γ.
        gamma: f64,
    },
}

impl Shape {
    /// Ratio of the extended to the true range of water content, (θm − θr)/(θs − θr), ≥ 1: what lets the curve reach
    /// saturation at the capillary height instead of at zero suction.
    ///
    /// ```
    /// use slakeline::physics::curves::Shape;
    /// let peat = Shape::VanGenuchten { alpha: 0.5, n: 2.0, l: 0.5, capillary_height: 2.0 };
    /// // (1 + (αh)^n)^(1 − 1/n) = 2^(1/2)
    /// assert!((peat.extension() - 2.0_f64.sqrt()).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn extension(&self) -> f64 {
        match *self {
            Self::VanGenuchten { alpha, n, capillary_height, .. } => (1.0 + (alpha * capillary_height).powf(n)).powf(1.0 - 1.0 / n),
            Self::Gardner { .. } | Self::Haverkamp { .. } => 1.0,
        }
    }

    /// Suction up to which the medium stays full, cm.
    ///
    /// ```
    /// use slakeline::physics::curves::Shape;
    /// let peat = Shape::VanGenuchten { alpha: 0.5, n: 1.4, l: 0.5, capillary_height: 1.0 };
    /// assert_eq!((peat.full_up_to(), peat.saturation(0.9).0), (1.0, 1.0));
    /// ```
    #[must_use]
    pub fn full_up_to(&self) -> f64 {
        match *self {
            Self::VanGenuchten { capillary_height, .. } => capillary_height,
            Self::Gardner { .. } | Self::Haverkamp { .. } => 0.0,
        }
    }

    /// Effective saturation at a suction (cm, ≥ 0), and its derivative by suction (1/cm, ≤ 0).
    ///
    /// ```
    /// use slakeline::physics::curves::Shape;
    /// let sand = Shape::VanGenuchten { alpha: 0.1, n: 2.0, l: 0.5, capillary_height: 0.0 };
    /// let (se, _) = sand.saturation(10.0);
    /// assert!((se - 0.5_f64.sqrt()).abs() < 1e-12); // (1 + 1²)^(−1/2)
    /// ```
    #[must_use]
    pub fn saturation(&self, suction: f64) -> (f64, f64) {
        if suction <= self.full_up_to() { (1.0, 0.0) } else { self.draining(suction) }
    }

    /// The smooth curve that holds beyond [`full_up_to`](Self::full_up_to), continued below it. Suction above 0.
    pub(crate) fn draining(&self, suction: f64) -> (f64, f64) {
        match *self {
            Self::VanGenuchten { alpha, n, .. } => {
                let m = 1.0 - 1.0 / n;
                let xn = (alpha * suction).powf(n);
                let se = self.extension() * (1.0 + xn).powf(-m);
                (se, -m * n * se * xn / ((1.0 + xn) * suction))
            }
            Self::Gardner { a } => {
                let se = (-a * suction).exp();
                (se, -a * se)
            }
            Self::Haverkamp { alpha, beta, .. } => {
                let p = suction.powf(beta);
                let se = alpha / (alpha + p);
                (se, -se * beta * p / ((alpha + p) * suction))
            }
        }
    }

    /// Suction (cm) at an effective saturation in (0, 1]. Held at 1e7 cm for vanishing saturations.
    ///
    /// ```
    /// use slakeline::physics::curves::Shape;
    /// let sand = Shape::VanGenuchten { alpha: 0.1, n: 2.0, l: 0.5, capillary_height: 0.0 };
    /// // (Se^(−1/m) − 1)^(1/n)/α with m = 1/2: √3/0.1
    /// assert!((sand.suction(0.5) - 17.3205).abs() < 1e-4);
    /// ```
    #[must_use]
    pub fn suction(&self, se: f64) -> f64 {
        if se >= 1.0 {
            return 0.0;
        }
        let suction = match *self {
            Self::VanGenuchten { alpha, n, .. } => {
                let m = 1.0 - 1.0 / n;
                let inner = (se / self.extension()).powf(-1.0 / m) - 1.0;
                inner.max(0.0).powf(1.0 / n) / alpha
            }
            Self::Gardner { a } => -se.ln() / a,
            Self::Haverkamp { alpha, beta, .. } => (alpha * (1.0 / se - 1.0)).powf(1.0 / beta),
        };
        suction.min(1e7)
    }

    /// Conductivity relative to saturation at an effective saturation (0–1).
    ///
    /// ```
    /// use slakeline::physics::curves::Shape;
    /// let sand = Shape::VanGenuchten { alpha: 0.1, n: 2.0, l: 0.5, capillary_height: 0.0 };
    /// // Se^l·(1 − (1 − Se^(1/m))^m)² with m = 1/2 at Se = 1/2
    /// assert!((sand.conductivity(0.5) - 0.012692).abs() < 1e-6);
    /// ```
    #[must_use]
    pub fn conductivity(&self, se: f64) -> f64 {
        if se >= 1.0 {
            return 1.0;
        }
        if se <= 0.0 {
            return 0.0;
        }
        match *self {
            Self::VanGenuchten { n, l, .. } => {
                let m = 1.0 - 1.0 / n;
                let extension = self.extension();
                // 1 − (1 − S^(1/m))^m without loss of digits near either end.
                let f = |s: f64| -((-(s.powf(1.0 / m))).ln_1p() * m).exp_m1();
                let full = if extension > 1.0 { f(1.0 / extension) } else { 1.0 };
                let ratio = f(se / extension) / full;
                se.powf(l) * ratio * ratio
            }
            Self::Gardner { .. } => se,
            Self::Haverkamp { a, gamma, .. } => a / (a + self.suction(se).powf(gamma)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const COIR: Shape = Shape::VanGenuchten { alpha: 0.165, n: 1.43, l: 0.5, capillary_height: 1.0 };
    const ALL: [Shape; 4] = [
        COIR,
        Shape::VanGenuchten { alpha: 0.065, n: 3.5, l: 0.5, capillary_height: 0.0 },
        Shape::Gardner { a: 0.1 },
        Shape::Haverkamp { alpha: 1.611e6, beta: 3.96, a: 1.175e6, gamma: 4.74 },
    ];

    #[test]
    fn suction_inverts_saturation() {
        for shape in ALL {
            for suction in [1.5, 5.0, 15.0, 60.0, 90.0] {
                let (se, _) = shape.saturation(suction);
                assert!((shape.suction(se) / suction - 1.0).abs() < 1e-8, "{shape:?} at {suction}");
            }
        }
    }

    #[test]
    fn slope_is_the_derivative() {
        for shape in ALL {
            for suction in [1.5, 5.0, 15.0, 60.0] {
                let d = 1e-4 * suction;
                let numeric = (shape.saturation(suction + d).0 - shape.saturation(suction - d).0) / (2.0 * d);
                let (_, slope) = shape.saturation(suction);
                assert!((slope / numeric - 1.0).abs() < 1e-5, "{shape:?} at {suction}: {slope} {numeric}");
            }
        }
    }

    #[test]
    fn capillary_height_keeps_conductivity_from_collapsing() {
        let plain = Shape::VanGenuchten { alpha: 0.165, n: 1.43, l: 0.5, capillary_height: 0.0 };
        let at = |s: Shape, h: f64| s.conductivity(s.saturation(h).0);
        assert!(at(plain, 0.1) < 0.7 && at(COIR, 0.1) > 0.999);
        assert!((COIR.conductivity(1.0) - 1.0).abs() < 1e-15);
        assert!(COIR.conductivity(1.0 - 1e-9) > 0.999_999);
    }

    #[test]
    fn dry_conductivity_keeps_its_digits() {
        // Se → 0: K/Ks → Se^l·(m·Se^(1/m))².
        let shape = Shape::VanGenuchten { alpha: 0.1, n: 2.0, l: 0.5, capillary_height: 0.0 };
        let se = 1e-5_f64;
        let expected = se.sqrt() * (0.5 * se * se).powi(2);
        assert!((shape.conductivity(se) / expected - 1.0).abs() < 1e-6);
    }
}
