//! Which tracks are shown, and how the height is shared between them.

use serde::de::{Deserializer, IgnoredAny, SeqAccess, Visitor};
use serde::{Deserialize, Serialize};

/// How many tracks there are.
pub const COUNT: usize = 7;

/// A track.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Track {
    /// Events.
    WaterIn,
    /// Water content.
    Content,
    /// EC.
    Salt,
    /// Share drained.
    Drain,
    /// What plants ask for and get.
    Demand,
    /// How dry the air is.
    Air,
    /// What is in the tank.
    Tank,
}

impl Track {
    /// All, from the topmost.
    pub const ALL: [Self; COUNT] = [Self::WaterIn, Self::Content, Self::Salt, Self::Drain, Self::Demand, Self::Air, Self::Tank];

    /// Its title.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::WaterIn => "Water in",
            Self::Content => "Water content",
            Self::Salt => "Salt",
            Self::Drain => "Drain",
            Self::Demand => "Demand",
            Self::Air => "Air",
            Self::Tank => "Tank",
        }
    }
}

/// Shares of the height that the tracks begin with.
pub const SHARES: [f32; COUNT] = [0.21, 0.38, 0.23, 0.18, 0.18, 0.14, 0.14];
/// Least and most share that a track can be given.
pub const BOUNDS: (f32, f32) = (0.02, 4.0);
/// Which tracks are shown, and their shares of the height.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Layout {
    /// Whether each is shown.
    #[serde(deserialize_with = "kept_shown")]
    pub shown: [bool; COUNT],
    /// Shares of the height; only their ratios count.
    #[serde(deserialize_with = "kept_shares")]
    pub shares: [f32; COUNT],
}

impl Default for Layout {
    fn default() -> Self {
        Self { shown: [true, true, true, true, false, false, false], shares: SHARES }
    }
}

/// One value for each track as an older or newer Slakeline kept them: it may have had fewer tracks or more.
struct Kept<T>([T; COUNT]);

impl<'de, T: Deserialize<'de>> Visitor<'de> for Kept<T> {
    type Value = [T; COUNT];

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("a value for each track")
    }

    fn visit_seq<A: SeqAccess<'de>>(mut self, mut kept: A) -> Result<Self::Value, A::Error> {
        for value in &mut self.0 {
            let Some(next) = kept.next_element()? else { return Ok(self.0) };
            *value = next;
        }
        while kept.next_element::<IgnoredAny>()?.is_some() {}
        Ok(self.0)
    }
}

fn kept_shown<'de, D: Deserializer<'de>>(from: D) -> Result<[bool; COUNT], D::Error> {
    from.deserialize_tuple(COUNT, Kept(Layout::default().shown))
}

fn kept_shares<'de, D: Deserializer<'de>>(from: D) -> Result<[f32; COUNT], D::Error> {
    from.deserialize_tuple(COUNT, Kept(Layout::default().shares))
}

impl Layout {
    /// The tracks shown, from the topmost.
    pub fn tracks(&self) -> impl Iterator<Item = Track> {
        Track::ALL.into_iter().zip(self.shown).filter(|t| t.1).map(|t| t.0)
    }

    /// This layout if it can be drawn, else the usual one: a file may say anything.
    #[must_use]
    pub fn sound(self) -> Self {
        let fine = self.shown.contains(&true) && self.shares.iter().all(|s| (BOUNDS.0..=BOUNDS.1).contains(s));
        if fine { self } else { Self::default() }
    }

    /// This layout with a track shown or hidden; the last one shown stays.
    #[must_use]
    pub fn with(mut self, track: Track, shown: bool) -> Self {
        self.shown[track as usize] = shown;
        self.sound_or(track)
    }

    fn sound_or(mut self, last: Track) -> Self {
        if !self.shown.contains(&true) {
            self.shown[last as usize] = true;
        }
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_layout_of_fewer_or_more_tracks_is_kept_as_far_as_it_goes() {
        let read = |text: &str| crate::scenario::file::options().from_str::<Layout>(text).unwrap();
        let six = read("(shown:(true,false,true,true,true,false),shares:(0.3,0.2,0.2,0.1,0.1,0.5))");
        assert_eq!(six.shown, [true, false, true, true, true, false, false]);
        assert_eq!(six.shares, [0.3, 0.2, 0.2, 0.1, 0.1, 0.5, SHARES[6]]);
        let eight = read("(shown:(false,false,false,false,false,false,true,true),shares:(1.0,1.0,1.0,1.0,1.0,1.0,2.0,3.0))");
        assert_eq!((eight.shown, eight.shares), ([false, false, false, false, false, false, true], [1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 2.0]));
        for layout in [six, eight, Layout::default()] {
            assert_eq!(read(&crate::scenario::file::options().to_string(&layout).unwrap()), layout);
        }
        assert_eq!(read("(shown:())"), Layout::default());
    }

    #[test]
    fn the_last_track_cannot_be_hidden_and_nonsense_is_not_taken() {
        let mut layout = Layout::default();
        for track in Track::ALL {
            layout = layout.with(track, false);
        }
        assert_eq!(layout.tracks().collect::<Vec<_>>(), [Track::Drain]);
        assert_eq!(Layout { shares: [f32::NAN; COUNT], ..Layout::default() }.sound(), Layout::default());
    }
}
