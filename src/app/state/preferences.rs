//! What the user prefers and keeps, apart from any scenario: units, tracks and sides.

use std::path::Path;

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use super::dismissed::Dismissed;
use super::sides::{Sides, StripWanted};
use super::text_size::TextSize;
use super::track_layout::Layout;
use crate::edits::steps::Steps;
use crate::scenario::disk::special::small_text;
use crate::scenario::disk::whole::write_file;
use crate::scenario::file;
use crate::units::Units;

/// The file of the units.
pub const UNITS: &str = "units.ron";
/// The file of the tracks shown.
pub const TRACKS: &str = "tracks.ron";
/// The file of the timer's steps.
pub const STEPS: &str = "steps.ron";
/// The file of the sides.
pub const SIDES: &str = "sides.ron";
/// The file of the strip of days.
pub const STRIP: &str = "strip-of-days.ron";
/// The file of the notes that were put aside.
pub const DISMISSED: &str = "dismissed-notes.ron";
/// The file of the size of text.
pub const TEXT_SIZE: &str = "text-size.ron";
/// The file of what is on the bench at the start.
pub const REOPENS: &str = "reopens.ron";

/// Whether the bench that was open last is opened at the start.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Reopens {
    /// Whether it is.
    pub last: bool,
}

impl Default for Reopens {
    fn default() -> Self {
        Self { last: true }
    }
}

/// Whether the last bench was wanted at the start; it is if that is not known.
#[must_use]
pub fn read_reopens(data: Option<&Path>) -> Reopens {
    kept(data, REOPENS)
}

/// The units chosen last; the usual ones if none were, or if they cannot be read.
#[must_use]
pub fn read(data: Option<&Path>) -> Units {
    kept(data, UNITS)
}

/// The tracks chosen last; the usual ones if none were, or if they cannot be read.
#[must_use]
pub fn read_layout(data: Option<&Path>) -> Layout {
    kept::<Layout>(data, TRACKS).sound()
}

/// The steps chosen last; the usual ones if none were, or if they cannot be read.
#[must_use]
pub fn read_steps(data: Option<&Path>) -> Steps {
    kept::<Steps>(data, STEPS).sound()
}

/// The sides chosen last; both if none were, or if they cannot be read.
#[must_use]
pub fn read_sides(data: Option<&Path>) -> Sides {
    kept(data, SIDES)
}

/// Whether the strip of days was wanted last; it is if that is not known.
#[must_use]
pub fn read_strip(data: Option<&Path>) -> StripWanted {
    kept(data, STRIP)
}

/// The notes that were put aside; none if that is not known.
#[must_use]
pub fn read_dismissed(data: Option<&Path>) -> Dismissed {
    kept(data, DISMISSED)
}

/// The size of text chosen last; the usual one if none was, or if it cannot be read.
#[must_use]
pub fn read_text_size(data: Option<&Path>) -> TextSize {
    kept::<TextSize>(data, TEXT_SIZE).sound()
}

/// What was kept under a name, or the usual where nothing was or it cannot be read.
pub fn kept<T: DeserializeOwned + Default>(data: Option<&Path>, name: &str) -> T {
    let text = data.and_then(|d| small_text(&d.join(name)));
    text.and_then(|t| file::options().from_str(&t).ok()).unwrap_or_default()
}

/// Keeps a value under a name.
///
/// # Errors
/// Why it cannot be kept, in words.
pub fn write(data: &Path, name: &str, value: &impl Serialize) -> Result<(), String> {
    let text = file::options().to_string(value).map_err(|e| e.to_string())?;
    std::fs::create_dir_all(data).map_err(|e| e.to_string())?;
    write_file(&data.join(name), text.as_bytes()).map_err(|e| e.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kept_steps_come_back_and_nonsense_does_not() {
        let data = tempfile::tempdir().unwrap();
        let steps = Steps { time_s: 60, ml: 10.0 };
        write(data.path(), STEPS, &steps).unwrap();
        assert_eq!(read_steps(Some(data.path())), steps);
        for text in ["", "(time_s: 0, ml: 5.0)", "(time_s: 60, ml: NaN)", "(time_s: -1, ml: 5)"] {
            std::fs::write(data.path().join(STEPS), text).unwrap();
            assert_eq!(read_steps(Some(data.path())), Steps::default(), "{text}");
        }
    }
}
