//! The standard normal distribution: its quantiles, whole or cut off at both ends, and the means of its slices.

/// Scores beyond this are cut off where a score must have an end.
pub const CUT: f64 = 3.0;
/// Share of a standard normal below −[`CUT`].
const BELOW_CUT: f64 = 0.001_349_898_031_630_094_6;

/// Density at a score.
#[must_use]
pub fn density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / std::f64::consts::TAU.sqrt()
}

/// The score below which a share `p` of a standard normal lies; −∞ at 0, ∞ at 1, no number outside. Exact to about 1 part in 10¹⁶.
///
/// Source: Wichura 1988, Algorithm AS 241, Applied Statistics 37:477–484 (routine PPND16).
#[must_use]
#[allow(clippy::excessive_precision)] // the constants as published
pub fn score(p: f64) -> f64 {
    const MIDDLE: [[f64; 8]; 2] = [
        [
            3.387_132_872_796_366_608,
            133.141_667_891_784_377_45,
            1_971.590_950_306_551_442_7,
            13_731.693_765_509_461_125,
            45_921.953_931_549_871_457,
            67_265.770_927_008_700_853,
            33_430.575_583_588_128_105,
            2_509.080_928_730_122_672_7,
        ],
        [
            1.0,
            42.313_330_701_600_911_252,
            687.187_007_492_057_908_30,
            5_394.196_021_424_751_107_7,
            21_213.794_301_586_595_867,
            39_307.895_800_092_710_610,
            28_729.085_735_721_942_674,
            5_226.495_278_852_854_561_0,
        ],
    ];
    const NEAR: [[f64; 8]; 2] = [
        [
            1.423_437_110_749_683_577_34,
            4.630_337_846_156_545_295_90,
            5.769_497_221_460_691_405_50,
            3.647_848_324_763_204_605_04,
            1.270_458_252_452_368_382_58,
            0.241_780_725_177_450_611_770,
            0.022_723_844_989_269_184_583_3,
            7.745_450_142_783_414_076_40e-4,
        ],
        [
            1.0,
            2.053_191_626_637_758_821_87,
            1.676_384_830_183_803_849_40,
            0.689_767_334_985_100_004_550,
            0.148_103_976_427_480_074_590,
            0.015_198_666_563_616_457_196_6,
            5.475_938_084_995_344_946_00e-4,
            1.050_750_071_644_416_843_24e-9,
        ],
    ];
    const FAR: [[f64; 8]; 2] = [
        [
            6.657_904_643_501_103_777_20,
            5.463_784_911_164_114_369_90,
            1.784_826_539_917_291_335_80,
            0.296_560_571_828_504_891_230,
            0.026_532_189_526_576_123_093_0,
            1.242_660_947_388_078_438_60e-3,
            2.711_555_568_743_487_578_15e-5,
            2.010_334_399_292_288_132_65e-7,
        ],
        [
            1.0,
            0.599_832_206_555_887_937_690,
            0.136_929_880_922_735_805_310,
            0.014_875_361_290_850_614_852_5,
            7.868_691_311_456_132_591_00e-4,
            1.846_318_317_510_054_681_80e-5,
            1.421_511_758_316_445_888_70e-7,
            2.044_263_103_389_939_785_64e-15,
        ],
    ];
    let ratio = |[over, under]: &[[f64; 8]; 2], x: f64| {
        let polynomial = |c: &[f64; 8]| c.iter().rev().fold(0.0, |sum, c| sum * x + c);
        polynomial(over) / polynomial(under)
    };
    if !(0.0..=1.0).contains(&p) {
        return f64::NAN;
    }
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        return q * ratio(&MIDDLE, 0.180_625 - q * q);
    }
    let tail = p.min(1.0 - p);
    if tail == 0.0 {
        return f64::INFINITY.copysign(q);
    }
    let r = (-tail.ln()).sqrt();
    let z = if r <= 5.0 { ratio(&NEAR, r - 1.6) } else { ratio(&FAR, r - 5.0) };
    z.copysign(q)
}

/// The same of a standard normal that is cut off at ±[`CUT`]: always between these two.
#[must_use]
pub fn cut_score(p: f64) -> f64 {
    score(BELOW_CUT + p * (1.0 - 2.0 * BELOW_CUT)).clamp(-CUT, CUT)
}

/// Mean scores of `slices` equal shares of a standard normal, lowest first. Their own mean is 0, and so is nothing lost of a mean over
/// whole slices: that of the lowest quarter is −1.27, however many slices make it up.
#[must_use]
pub fn slice_means(slices: u32) -> Vec<f64> {
    let n = f64::from(slices);
    let edge = |k: u32| density(score(f64::from(k) / n));
    (0..slices).map(|k| n * (edge(k) - edge(k + 1))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Scores from tables of the normal distribution, to all digits printed in them.
    #[test]
    fn scores_are_those_of_the_tables() {
        let table = [
            (0.5, 0.0),
            (0.75, 0.674_489_750_196_081_7),
            (0.9, 1.281_551_565_544_600_5),
            (0.975, 1.959_963_984_540_054),
            (0.999, 3.090_232_306_167_814),
            (1e-10, -6.361_340_902_404_056),
            (BELOW_CUT, -3.0),
        ];
        for (p, z) in table {
            assert!((score(p) - z).abs() < 2e-14 * (1.0 + z.abs()), "{p}: {} is not {z}", score(p));
            if p > 0.01 {
                assert!((score(1.0 - p) + z).abs() < 1e-14, "{p}");
            }
        }
        assert_eq!([score(0.0), score(1.0)], [f64::NEG_INFINITY, f64::INFINITY]);
        assert!([-0.1, 1.1, f64::NAN].iter().all(|p| score(*p).is_nan()));
    }

    /// The share of the density up to each score, summed by Simpson's rule, is the share asked for: it holds for no wrong digit of a constant.
    #[test]
    fn each_score_has_its_share_below_it() {
        for k in 1..200 {
            let p = f64::from(k) / 200.0;
            let z = score(p);
            let n = 400;
            let sum: f64 = (0..=n)
                .map(|i| {
                    let weight = if i == 0 || i == n { 1.0 } else { f64::from(2 + 2 * (i % 2)) };
                    weight * density(z * f64::from(i) / f64::from(n))
                })
                .sum();
            let below = 0.5 + sum * z / f64::from(n) / 3.0;
            assert!((below - p).abs() < 1e-10, "{p}: {below}");
        }
    }

    #[test]
    fn what_is_cut_off_ends_where_it_is_cut() {
        assert_eq!(cut_score(0.5), 0.0);
        assert!((cut_score(0.0) + CUT).abs() < 1e-12 && (cut_score(1.0) - CUT).abs() < 1e-12);
        assert!(cut_score(0.1) > score(0.1) && cut_score(0.9) < score(0.9));
    }

    #[test]
    fn slices_lose_nothing_of_a_mean() {
        for slices in [4, 8, 40] {
            let means = slice_means(slices);
            assert!(means.windows(2).all(|w| w[0] < w[1]) && means.iter().sum::<f64>().abs() < 1e-12);
            let quarter = means.len() / 4;
            #[allow(clippy::cast_precision_loss)]
            let lowest = means[..quarter].iter().sum::<f64>() / quarter as f64;
            assert!((lowest + 1.271_106).abs() < 1e-6, "{lowest}");
        }
    }
}
