//! What the user prefers and keeps, apart from any scenario: units, tracks and sides.

use std::path::Path;

use serde::Serialize;
use serde::de::DeserializeOwned;

use super::App;
use super::day_strip::Wanted;
use super::notice::Notice;
use super::sides::Sides;
use super::tracks::layout::Layout;
use crate::edits::steps::Steps;
use crate::scenario::file;
use crate::units::Units;

const UNITS: &str = "units.ron";
const TRACKS: &str = "tracks.ron";
const STEPS: &str = "steps.ron";
const SIDES: &str = "sides.ron";
const STRIP: &str = "strip-of-days.ron";

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
pub fn read_strip(data: Option<&Path>) -> Wanted {
    kept(data, STRIP)
}

/// What was kept under a name, or the usual where nothing was or it cannot be read.
pub(super) fn kept<T: DeserializeOwned + Default>(data: Option<&Path>, name: &str) -> T {
    let text = data.and_then(|d| std::fs::read_to_string(d.join(name)).ok());
    text.and_then(|t| file::options().from_str(&t).ok()).unwrap_or_default()
}

/// Keeps a value under a name.
pub(super) fn write(data: &Path, name: &str, value: &impl Serialize) -> Result<(), String> {
    let text = file::options().to_string(value).map_err(|e| e.to_string())?;
    std::fs::create_dir_all(data).map_err(|e| e.to_string())?;
    file::write_atomically(&data.join(name), text.as_bytes()).map_err(|e| e.to_string())
}

impl App {
    pub(super) fn use_units(&mut self, units: Units) {
        self.bench.units = units;
        if let Some(data) = &self.data
            && let Err(cause) = write(data, UNITS, &units)
        {
            self.notice = Some(Notice::lasting(format!("The units hold for this session only; they cannot be kept: {cause}.")));
        }
    }

    /// Snaps to these steps from now on, and in later sessions.
    pub(super) fn use_steps(&mut self, steps: Steps) {
        self.bench.steps = steps;
        if let Some(data) = &self.data
            && let Err(cause) = write(data, STEPS, &steps)
        {
            self.notice = Some(Notice::lasting(format!("The steps hold for this session only; they cannot be kept: {cause}.")));
        }
    }

    pub(super) fn use_layout(&mut self, layout: Layout) {
        self.tracks.layout = layout;
        if let Some(data) = &self.data
            && let Err(cause) = write(data, TRACKS, &layout)
        {
            self.notice = Some(Notice::lasting(format!("The tracks stay like this for this session only; that cannot be kept: {cause}.")));
        }
    }

    pub(super) fn use_sides(&mut self, sides: Sides) {
        self.sides = sides;
        if let Some(data) = &self.data
            && let Err(cause) = write(data, SIDES, &sides)
        {
            self.notice = Some(Notice::lasting(format!("The sides stay like this for this session only; that cannot be kept: {cause}.")));
        }
    }

    /// Shows the strip of days, or hides it.
    pub(super) fn use_day_strip(&mut self) {
        let wanted = Wanted { shown: !self.strip.wanted.shown };
        self.strip.wanted = wanted;
        if self.bench.run_days() < 2 {
            let when = if wanted.shown { "shown" } else { "hidden" };
            self.notice = Some(Notice::passing(format!("From two days on, the strip of days is {when}.")));
        }
        if let Some(data) = &self.data
            && let Err(cause) = write(data, STRIP, &wanted)
        {
            self.notice = Some(Notice::lasting(format!("The strip stays like this for this session only; that cannot be kept: {cause}.")));
        }
    }
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
