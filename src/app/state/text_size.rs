//! How large the window draws its text, and everything with it.

use serde::{Deserialize, Serialize};

/// The sizes there are, percent of the usual one.
pub const SIZES: [u32; 8] = [80, 90, 100, 110, 125, 150, 175, 200];
/// The usual size.
const USUAL: u32 = 100;

/// A size of text.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct TextSize {
    /// Percent of the usual size, one of [`SIZES`].
    pub percent: u32,
}

impl Default for TextSize {
    fn default() -> Self {
        Self { percent: USUAL }
    }
}

impl TextSize {
    /// What everything is drawn larger by.
    #[must_use]
    #[allow(clippy::cast_precision_loss)]
    pub fn factor(self) -> f32 {
        self.percent as f32 / USUAL as f32
    }

    /// The next larger size; the largest stays.
    #[must_use]
    pub fn larger(self) -> Self {
        Self { percent: SIZES.into_iter().find(|size| *size > self.percent).unwrap_or(self.percent) }
    }

    /// The next smaller size; the smallest stays.
    #[must_use]
    pub fn smaller(self) -> Self {
        Self { percent: SIZES.into_iter().rev().find(|size| *size < self.percent).unwrap_or(self.percent) }
    }

    /// The same, or the usual size for one that there is not.
    #[must_use]
    pub fn sound(self) -> Self {
        if SIZES.contains(&self.percent) { self } else { Self::default() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_go_up_and_down_by_one_and_stop_at_the_ends() {
        for pair in SIZES.windows(2) {
            let (low, high) = (TextSize { percent: pair[0] }, TextSize { percent: pair[1] });
            assert_eq!((low.larger(), high.smaller()), (high, low));
        }
        let (least, most) = (TextSize { percent: 80 }, TextSize { percent: 200 });
        assert_eq!((least.smaller(), most.larger()), (least, most));
        assert_eq!([0, 101, 100_000].map(|percent| TextSize { percent }.sound().percent), [100; 3]);
    }
}
