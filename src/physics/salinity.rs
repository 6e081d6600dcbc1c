//! Salt: EC and its scales, crop response, leaching, washout.

/// Relative yield, percent, on the Maas–Hoffman line: 100 − slope·(ECe − threshold), held to 0–100.
///
/// Source: Maas (1990), table of the US Salinity Laboratory. ECe (saturated paste) and threshold in dS/m, slope in %/(dS/m).
///
/// ```
/// use slakeline::physics::salinity::relative_yield;
/// assert!((relative_yield(5.0, 2.5, 9.9) - 75.25).abs() < 1e-9); // tomato
/// ```
#[must_use]
pub fn relative_yield(ece: f64, threshold: f64, slope_percent: f64) -> f64 {
    (100.0 - slope_percent * (ece - threshold).max(0.0)).clamp(0.0, 100.0)
}

/// Pore-water EC per saturated-paste EC (FAO-29: pore water ≈ 2 × ECe; memory).
pub const PORE_WATER_PER_ECE: f64 = 2.0;

/// Salt response of uptake, 0–1, at a pore-water EC in mS/cm: the Maas–Hoffman line on a pore-water basis, so threshold
/// times two and slope halved.
///
/// ```
/// // pore water of 6.8 is 3.4 of paste: 100 − 9.9·(3.4 − 2.5)
/// let share = slakeline::physics::salinity::uptake_share(6.8, 2.5, 9.9);
/// assert!((share - 0.9109).abs() < 1e-9);
/// ```
#[must_use]
pub fn uptake_share(pore_water_ec: f64, threshold_ece: f64, slope_percent: f64) -> f64 {
    relative_yield(pore_water_ec / PORE_WATER_PER_ECE, threshold_ece, slope_percent) / 100.0
}

/// A ppm scale of EC meters: ppm shown per mS/cm (common practice, no source).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PpmScale {
    /// 500 ppm per mS/cm.
    P500,
    /// 640 ppm per mS/cm.
    P640,
    /// 700 ppm per mS/cm.
    P700,
}

impl PpmScale {
    /// ppm per mS/cm.
    ///
    /// A reference: only checks use it.
    ///
    /// ```
    /// use slakeline::physics::salinity::PpmScale;
    /// assert_eq!(2.0 * PpmScale::P500.per_ms_cm(), 1000.0);
    /// ```
    #[must_use]
    pub fn per_ms_cm(self) -> f64 {
        match self {
            Self::P500 => 500.0,
            Self::P640 => 640.0,
            Self::P700 => 700.0,
        }
    }
}

/// EC at 25 °C from a reading at another temperature (°C): EC25 = ECt/(1 + 0.02·(t − 25)) (common practice, 2 % per °C).
///
/// A reference: only checks use it.
///
/// ```
/// // 2.2 read at 20 °C
/// assert!((slakeline::physics::salinity::ec_at_25(2.2, 20.0) - 2.444).abs() < 0.001);
/// ```
#[must_use]
pub fn ec_at_25(ec: f64, celsius: f64) -> f64 {
    ec / (1.0 + 0.02 * (celsius - 25.0))
}

/// Osmotic potential, MPa, of a solution: −0.0365 MPa per dS/m (USDA Handbook 60; memory).
///
/// A reference: only checks use it.
///
/// ```
/// assert!((slakeline::physics::salinity::osmotic_potential_mpa(5.0) + 0.1825).abs() < 1e-12);
/// ```
#[must_use]
pub fn osmotic_potential_mpa(ec: f64) -> f64 {
    -0.0365 * ec
}

/// EC that leaves with the water taken up, mS/cm, at an EC of the root zone: `uptake_ec` up to `rises_above`, and from there on
/// `rise` (0–0.5) more for each mS/cm more, c_u0 + s·max(0, c − c_guide). Where that is more than the root zone has, roots take
/// what there is. Form and the crops' values judgement: nutrient uptake rises with supply.
///
/// ```
/// use slakeline::physics::salinity::uptake_ec;
/// assert_eq!(uptake_ec(2.5, 1.6, 0.08, 3.0), 1.6);
/// assert!((uptake_ec(8.0, 1.6, 0.08, 3.0) - 2.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn uptake_ec(root_zone_ec: f64, uptake_ec: f64, rise: f64, rises_above: f64) -> f64 {
    uptake_ec + rise * (root_zone_ec - rises_above).max(0.0)
}

/// Steady drain EC when a share `leaching_fraction` (0–1) of what is applied drains: salt in equals salt out with drain and
/// uptake, (EC_f − (1 − LF)·EC_u)/LF. Closed form.
///
/// A reference: only checks use it.
///
/// ```
/// // feed 2.5, uptake 1.5, 30 % drains
/// assert!((slakeline::physics::salinity::steady_drain_ec(2.5, 1.5, 0.3) - 4.8333).abs() < 1e-4);
/// ```
#[must_use]
pub fn steady_drain_ec(feed_ec: f64, uptake_ec: f64, leaching_fraction: f64) -> f64 {
    (feed_ec - (1.0 - leaching_fraction) * uptake_ec) / leaching_fraction
}

/// The same where the uptake EC rises with the root zone's as in [`uptake_ec`](uptake_ec()), for a root zone mixed so well that its EC
/// is the drain's: (EC_f − (1 − LF)·(c_u0 − s·c_g))/(LF + (1 − LF)·s) where that is above c_g, else as without a rise. Closed form.
///
/// A reference: only checks use it.
///
/// ```
/// use slakeline::physics::salinity::steady_drain_ec_rising;
/// assert!((steady_drain_ec_rising(2.4, 1.6, 0.08, 3.0, 0.12) - 6.32).abs() < 5e-3);
/// ```
#[must_use]
pub fn steady_drain_ec_rising(feed_ec: f64, uptake_ec: f64, rise: f64, rises_above: f64, leaching_fraction: f64) -> f64 {
    let held = steady_drain_ec(feed_ec, uptake_ec, leaching_fraction);
    if held <= rises_above {
        return held;
    }
    let taken = 1.0 - leaching_fraction;
    (feed_ec - taken * (uptake_ec - rise * rises_above)) / (leaching_fraction + taken * rise)
}

/// Leaching requirement ECw/(5·ECe − ECw) (Ayers & Westcot 1985, FAO Irrigation and Drainage Paper 29, equation 9).
///
/// A reference: only checks use it.
///
/// ```
/// let lr = slakeline::physics::salinity::leaching_requirement(1.2, 2.5);
/// assert!((lr - 0.106).abs() < 5e-4);
/// ```
#[must_use]
pub fn leaching_requirement(water_ec: f64, ece: f64) -> f64 {
    water_ec / (5.0 * ece - water_ec)
}

/// Share of the old salt left in a well-mixed root zone after flushing it: e^(−V/Vw) (closed form). `volumes` is flush volume
/// over water held.
///
/// A reference: only checks use it.
///
/// ```
/// assert!((slakeline::physics::salinity::well_mixed_washout(1.0) - 0.368).abs() < 5e-4);
/// ```
#[must_use]
pub fn well_mixed_washout(volumes: f64) -> f64 {
    (-volumes).exp()
}
