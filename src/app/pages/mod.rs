//! The pages of the window. A page is handed what to draw and asks with actions; what it remembers between frames is its own.

pub mod bench;
pub(crate) mod depth;
pub(crate) mod studies;

use self::bench::day_strip::DayStrip;
use self::bench::tracks::Tracks;
use self::depth::Depth;
use self::studies::Studies;
use super::actions::action::Page;
use super::state::sides::Sides;

/// The pages, and which of them is shown.
#[derive(Default)]
pub struct Pages {
    /// The page that is shown.
    pub page: Page,
    /// Which sides stand beside the tracks.
    pub sides: Sides,
    /// The strip of days.
    pub strip: DayStrip,
    /// The tracks.
    pub tracks: Tracks,
    /// The page by height.
    pub depth: Depth,
    /// The pages of the studies.
    pub studies: Studies,
}
