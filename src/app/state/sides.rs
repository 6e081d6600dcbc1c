//! What stands around the tracks: the two sides, setup and figures, and the strip of days.

use serde::{Deserialize, Serialize};

/// Narrower than this (points), two sides would leave the tracks no room: only one of them is shown.
const NARROW: f32 = 880.0;

/// A side of the window.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Side {
    /// The left one.
    Setup,
    /// The right one.
    Figures,
}

/// Which sides are wanted, in a wide window and in a narrow one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Sides {
    /// Setup in a wide window.
    setup: bool,
    /// Figures in a wide window.
    figures: bool,
    /// The one beside the tracks of a narrow window.
    narrow: Option<Side>,
}

impl Default for Sides {
    fn default() -> Self {
        Self { setup: true, figures: true, narrow: Some(Side::Figures) }
    }
}

impl Sides {
    /// Whether a side stands beside the tracks in a window of a width, points.
    #[must_use]
    pub fn shows(self, side: Side, width: f32) -> bool {
        match side {
            _ if width < NARROW => self.narrow == Some(side),
            Side::Setup => self.setup,
            Side::Figures => self.figures,
        }
    }

    /// The same with a side shown that was hidden, or the other way round, in a window of a width.
    #[must_use]
    pub fn with_other(mut self, side: Side, width: f32) -> Self {
        let shown = !self.shows(side, width);
        match side {
            _ if width < NARROW => self.narrow = shown.then_some(side),
            Side::Setup => self.setup = shown,
            Side::Figures => self.figures = shown,
        }
        self
    }

    /// Width of the setup and of the figures, points.
    #[must_use]
    pub fn widths(width: f32) -> (f32, f32) {
        match width {
            w if w < 1150.0 => (226.0, 250.0),
            w if w < 1600.0 => (264.0, 292.0),
            _ => (310.0, 330.0),
        }
    }
}

/// Whether the strip of days is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct StripWanted {
    /// Whether it is shown where there are several days.
    pub shown: bool,
}

impl Default for StripWanted {
    fn default() -> Self {
        Self { shown: true }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_narrow_window_has_one_side_at_most_and_a_wide_one_what_is_wanted() {
        let narrow = |s: Sides| [Side::Setup, Side::Figures].map(|side| s.shows(side, 640.0));
        let wide = |s: Sides| [Side::Setup, Side::Figures].map(|side| s.shows(side, 1280.0));
        let first = Sides::default();
        assert_eq!((narrow(first), wide(first)), ([false, true], [true, true]));
        let setup = first.with_other(Side::Setup, 640.0);
        assert_eq!((narrow(setup), wide(setup)), ([true, false], [true, true]));
        assert_eq!(narrow(setup.with_other(Side::Setup, 640.0)), [false, false]);
        let less = first.with_other(Side::Figures, 1280.0);
        assert_eq!((narrow(less), wide(less)), ([false, true], [true, false]));
    }
}
