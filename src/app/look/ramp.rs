//! The colour map: one path through a perceptual space whose lightness falls evenly from end to end.
//!
//! The theme file names a few colours from pale to deep. Between them hue is mixed in OKLab (Ottosson 2020, "A perceptual
//! color space for image processing"), and lightness runs on a straight line: equal steps of a value look equal, and the order
//! can be read without seeing hue.

use eframe::egui::Color32;

/// Colours in the table.
const STEPS: usize = 256;

/// A colour map.
#[derive(Clone, Debug, Default)]
pub struct Ramp(Vec<Color32>);

impl Ramp {
    /// The map through some colours, the palest first.
    #[must_use]
    pub fn through(anchors: &[Color32]) -> Self {
        let path: Vec<[f32; 3]> = anchors.iter().map(|c| to_lab(*c)).collect();
        let (Some(first), Some(last)) = (path.first(), path.last()) else { return Self::default() };
        #[allow(clippy::cast_precision_loss)]
        let colour = |k: usize| {
            let lightness = first[0] + (last[0] - first[0]) * k as f32 / (STEPS - 1) as f32;
            let between = path.windows(2).find(|w| lightness <= w[0][0] && lightness >= w[1][0]);
            let [a, b] = between.map_or([last, last], |w| [&w[0], &w[1]]);
            let span = b[0] - a[0];
            let x = if span.abs() > 1e-6 { (lightness - a[0]) / span } else { 0.0 };
            from_lab([lightness, a[1] + (b[1] - a[1]) * x, a[2] + (b[2] - a[2]) * x])
        };
        Self((0..STEPS).map(colour).collect())
    }

    /// The same from the other end: the deepest colour stands for the least.
    #[must_use]
    pub fn reversed(mut self) -> Self {
        self.0.reverse();
        self
    }

    /// The colour at a share of the way, 0–1; held at the ends.
    #[must_use]
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)]
    pub fn at(&self, share: f32) -> Color32 {
        let k = (share.clamp(0.0, 1.0) * (STEPS - 1) as f32).round() as usize;
        self.0.get(k).copied().unwrap_or(Color32::GRAY)
    }
}

/// OKLab of an sRGB colour: lightness 0–1, then green to red and blue to yellow.
fn to_lab(c: Color32) -> [f32; 3] {
    let linear = |v: u8| {
        let v = f32::from(v) / 255.0;
        if v <= 0.040_45 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
    };
    let (r, g, b) = (linear(c.r()), linear(c.g()), linear(c.b()));
    let l = (0.412_221_46 * r + 0.536_332_55 * g + 0.051_445_995 * b).cbrt();
    let m = (0.211_903_5 * r + 0.680_699_5 * g + 0.107_396_96 * b).cbrt();
    let s = (0.088_302_46 * r + 0.281_718_85 * g + 0.629_978_7 * b).cbrt();
    [
        0.210_454_26 * l + 0.793_617_8 * m - 0.004_072_047 * s,
        1.977_998_5 * l - 2.428_592_2 * m + 0.450_593_7 * s,
        0.025_904_037 * l + 0.782_771_77 * m - 0.808_675_77 * s,
    ]
}

fn from_lab([lightness, a, b]: [f32; 3]) -> Color32 {
    let l = (lightness + 0.396_337_78 * a + 0.215_803_76 * b).powi(3);
    let m = (lightness - 0.105_561_346 * a - 0.063_854_17 * b).powi(3);
    let s = (lightness - 0.089_484_18 * a - 1.291_485_5 * b).powi(3);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let byte = |v: f32| {
        let v = v.clamp(0.0, 1.0);
        let v = if v <= 0.003_130_8 { 12.92 * v } else { 1.055 * v.powf(1.0 / 2.4) - 0.055 };
        (255.0 * v).round() as u8
    };
    Color32::from_rgb(
        byte(4.076_741_7 * l - 3.307_711_6 * m + 0.230_969_94 * s),
        byte(-1.268_438 * l + 2.609_757_4 * m - 0.341_319_38 * s),
        byte(-0.004_196_086_3 * l - 0.703_418_6 * m + 1.707_614_7 * s),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::look::theme::Tokens;
    use eframe::egui::Theme;

    #[test]
    fn lightness_falls_in_even_steps() {
        for theme in [Theme::Light, Theme::Dark] {
            let t = Tokens::of(theme);
            for ramp in [t.ramp.clone(), t.air_ramp.clone().reversed()] {
                let lights: Vec<f32> = (0..=32_u8).map(|k| to_lab(ramp.at(f32::from(k) / 32.0))[0]).collect();
                let mean = (lights[0] - lights[32]) / 32.0;
                assert!(mean > 0.015, "the ends differ enough: {mean}");
                for w in lights.windows(2) {
                    assert!(((w[0] - w[1]) / mean - 1.0).abs() < 0.25, "step {} against {mean}", w[0] - w[1]);
                }
                let fine: Vec<f32> = ramp.0.iter().map(|c| to_lab(*c)[0]).collect();
                assert!(fine.windows(2).all(|w| w[1] < w[0] + 1e-3), "never brighter on the way down");
            }
        }
    }
}
