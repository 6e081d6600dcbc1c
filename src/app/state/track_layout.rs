//! Which tracks are shown, and how the height is shared between them.

use std::fmt;
use std::ops::{Index, IndexMut};

use serde::de::{IgnoredAny, MapAccess, SeqAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// How many tracks there are.
const COUNT: usize = 8;

/// A track.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Track {
    /// Events.
    WaterIn,
    /// Water content.
    Content,
    /// How hard roots pull.
    Suction,
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
    pub const ALL: [Self; COUNT] =
        [Self::WaterIn, Self::Content, Self::Suction, Self::Salt, Self::Drain, Self::Demand, Self::Air, Self::Tank];

    /// Those that an older Slakeline kept by place, in its order.
    const BY_PLACE: [Self; 7] = [Self::WaterIn, Self::Content, Self::Salt, Self::Drain, Self::Demand, Self::Air, Self::Tank];

    /// Its title.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::WaterIn => "Water in",
            Self::Content => "Water content",
            Self::Suction => "Suction",
            Self::Salt => "Salt",
            Self::Drain => "Drain",
            Self::Demand => "Demand",
            Self::Air => "Air",
            Self::Tank => "Tank",
        }
    }
}

/// A value for each track, asked for by the track and kept in files by its name.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ByTrack<T>([T; COUNT]);

impl<T> ByTrack<T> {
    /// The value of every track, as a function tells it.
    pub fn of(value: impl FnMut(Track) -> T) -> Self {
        Self(Track::ALL.map(value))
    }

    /// All values, from the topmost track.
    pub fn values(&self) -> impl Iterator<Item = &T> {
        self.0.iter()
    }
}

impl<T> Index<Track> for ByTrack<T> {
    type Output = T;

    fn index(&self, track: Track) -> &T {
        &self.0[track as usize]
    }
}

impl<T> IndexMut<Track> for ByTrack<T> {
    fn index_mut(&mut self, track: Track) -> &mut T {
        &mut self.0[track as usize]
    }
}

impl<T: Serialize> Serialize for ByTrack<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(Track::ALL.iter().map(|track| (track.name(), &self[*track])))
    }
}

/// Values as a file has them over those that it does not name. An older Slakeline kept them by place; a newer one may have other tracks.
struct Kept<T>(ByTrack<T>);

impl<'de, T: Deserialize<'de>> Visitor<'de> for Kept<T> {
    type Value = ByTrack<T>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a value for each track")
    }

    fn visit_map<A: MapAccess<'de>>(mut self, mut kept: A) -> Result<Self::Value, A::Error> {
        while let Some(name) = kept.next_key::<String>()? {
            match Track::ALL.into_iter().find(|track| track.name() == name) {
                Some(track) => self.0[track] = kept.next_value()?,
                None => _ = kept.next_value::<IgnoredAny>()?,
            }
        }
        Ok(self.0)
    }

    fn visit_seq<A: SeqAccess<'de>>(mut self, mut kept: A) -> Result<Self::Value, A::Error> {
        for track in Track::BY_PLACE {
            let Some(next) = kept.next_element()? else { return Ok(self.0) };
            self.0[track] = next;
        }
        while kept.next_element::<IgnoredAny>()?.is_some() {}
        Ok(self.0)
    }

    fn visit_unit<E>(self) -> Result<Self::Value, E> {
        Ok(self.0)
    }
}

/// The share of the height that a track begins with.
#[must_use]
pub const fn first_share(track: Track) -> f32 {
    match track {
        Track::WaterIn => 0.21,
        Track::Content => 0.38,
        Track::Salt => 0.23,
        Track::Suction | Track::Drain | Track::Demand => 0.18,
        Track::Air | Track::Tank => 0.14,
    }
}

/// Whether a track is shown at first.
const fn shown_at_first(track: Track) -> bool {
    matches!(track, Track::WaterIn | Track::Content | Track::Salt | Track::Drain)
}

/// Least and most share that a track can be given.
pub const BOUNDS: (f32, f32) = (0.02, 4.0);

/// Which tracks are shown, and their shares of the height.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Layout {
    /// Whether each is shown.
    #[serde(deserialize_with = "kept_shown")]
    pub shown: ByTrack<bool>,
    /// Shares of the height; only their ratios count.
    #[serde(deserialize_with = "kept_shares")]
    pub shares: ByTrack<f32>,
}

impl Default for Layout {
    fn default() -> Self {
        Self { shown: ByTrack::of(shown_at_first), shares: ByTrack::of(first_share) }
    }
}

fn kept_shown<'de, D: Deserializer<'de>>(from: D) -> Result<ByTrack<bool>, D::Error> {
    from.deserialize_any(Kept(Layout::default().shown))
}

fn kept_shares<'de, D: Deserializer<'de>>(from: D) -> Result<ByTrack<f32>, D::Error> {
    from.deserialize_any(Kept(Layout::default().shares))
}

impl Layout {
    /// The tracks shown, from the topmost.
    pub fn tracks(self) -> impl Iterator<Item = Track> {
        Track::ALL.into_iter().filter(move |track| self.shown[*track])
    }

    /// This layout if it can be drawn, else the usual one: a file may say anything.
    #[must_use]
    pub fn sound(self) -> Self {
        let fine = self.shown.values().any(|shown| *shown) && self.shares.values().all(|s| (BOUNDS.0..=BOUNDS.1).contains(s));
        if fine { self } else { Self::default() }
    }

    /// This layout with a track shown or hidden; the last one shown stays.
    #[must_use]
    pub fn with(mut self, track: Track, shown: bool) -> Self {
        self.shown[track] = shown;
        self.sound_or(track)
    }

    fn sound_or(mut self, last: Track) -> Self {
        if !self.shown.values().any(|shown| *shown) {
            self.shown[last] = true;
        }
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Layout {
        crate::scenario::file::options().from_str::<Layout>(text).unwrap()
    }

    #[test]
    fn a_layout_goes_by_the_names_of_the_tracks_wherever_they_stand() {
        let odd = Layout::default().with(Track::Tank, true).with(Track::WaterIn, false);
        let text = crate::scenario::file::options().to_string(&odd).unwrap();
        assert!(text.contains("\"Water content\":true") && text.contains("\"Water in\":false"), "{text}");
        assert_eq!(read(&text), odd);
        let some = read("(shares:{\"Tank\":0.5,\"A track to come\":3.0,\"Salt\":0.25},shown:{\"Air\":true})");
        assert_eq!((some.shares[Track::Tank], some.shares[Track::Salt], some.shares[Track::Air]), (0.5, 0.25, first_share(Track::Air)));
        let shown = [Track::WaterIn, Track::Content, Track::Salt, Track::Drain, Track::Air];
        assert_eq!(some.tracks().collect::<Vec<_>>(), shown);
    }

    #[test]
    fn a_layout_of_an_older_file_is_kept_by_place_as_far_as_it_goes() {
        let six = read("(shown:(true,false,true,true,true,false),shares:(0.3,0.2,0.2,0.1,0.1,0.5))");
        assert_eq!(six.shown.0, [true, false, false, true, true, true, false, false]);
        assert_eq!(six.shares.0, [0.3, 0.2, first_share(Track::Suction), 0.2, 0.1, 0.1, 0.5, first_share(Track::Tank)]);
        let eight = read("(shown:(false,false,false,false,false,false,true,true),shares:(1.0,1.0,1.0,1.0,1.0,1.0,2.0,3.0))");
        assert_eq!(
            (eight.shown.0, eight.shares.0),
            ([false, false, false, false, false, false, false, true], [1.0, 1.0, first_share(Track::Suction), 1.0, 1.0, 1.0, 1.0, 2.0])
        );
        assert_eq!(read("(shown:())"), Layout::default());
    }

    #[test]
    fn the_last_track_cannot_be_hidden_and_nonsense_is_not_taken() {
        let mut layout = Layout::default();
        for track in Track::ALL {
            layout = layout.with(track, false);
        }
        assert_eq!(layout.tracks().collect::<Vec<_>>(), [Track::Drain]);
        assert_eq!(Layout { shares: ByTrack::of(|_| f32::NAN), ..Layout::default() }.sound(), Layout::default());
    }
}
