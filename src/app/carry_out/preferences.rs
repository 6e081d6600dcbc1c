//! Takes what the user prefers into use, and keeps it for later sessions.

use serde::Serialize;

use crate::app::state::notice::Notice;
use crate::app::state::preferences::{self, REOPENS, Reopens, SIDES, STEPS, STRIP, TRACKS, UNITS};
use crate::app::state::sides::{Sides, StripWanted};
use crate::app::state::track_layout::Layout;
use crate::app::window::App;
use crate::edits::steps::Steps;
use crate::units::Units;

impl App {
    /// Shows numbers in these units from now on.
    pub(in crate::app) fn use_units(&mut self, units: Units) {
        self.bench.units = units;
        self.prefer(UNITS, &units, |cause| format!("The units hold for this session only; they cannot be kept: {cause}."));
    }

    /// Snaps to these steps from now on.
    pub(in crate::app) fn use_steps(&mut self, steps: Steps) {
        self.bench.steps = steps;
        self.prefer(STEPS, &steps, |cause| format!("The steps hold for this session only; they cannot be kept: {cause}."));
    }

    /// Shows these tracks, so high, from now on.
    pub(in crate::app) fn use_layout(&mut self, layout: Layout) {
        self.pages.tracks.layout = layout;
        let told = |cause| format!("The tracks stay like this for this session only; that cannot be kept: {cause}.");
        self.prefer(TRACKS, &layout, told);
    }

    /// Shows these sides from now on.
    pub(in crate::app) fn use_sides(&mut self, sides: Sides) {
        self.pages.sides = sides;
        self.prefer(SIDES, &sides, |cause| format!("The sides stay like this for this session only; that cannot be kept: {cause}."));
    }

    /// Shows the strip of days, or hides it.
    pub(in crate::app) fn use_day_strip(&mut self) {
        let wanted = StripWanted { shown: !self.pages.strip.wanted.shown };
        self.pages.strip.wanted = wanted;
        if self.bench.run_days() < 2 {
            let when = if wanted.shown { "shown" } else { "hidden" };
            self.shell.notice = Some(Notice::passing(format!("From two days on, the strip of days is {when}.")));
        }
        self.prefer(STRIP, &wanted, |cause| format!("The strip stays like this for this session only; that cannot be kept: {cause}."));
    }

    /// Opens the last bench at the start from now on, or the first demo.
    pub(in crate::app) fn use_reopens(&mut self, reopens: Reopens) {
        self.disk.reopens = reopens;
        self.prefer(REOPENS, &reopens, |cause| format!("What stands on the bench at the start cannot be kept: {cause}."));
    }

    /// Keeps a preference; where it cannot be kept, that is told.
    fn prefer(&mut self, file: &str, value: &impl Serialize, told: impl Fn(String) -> String) {
        if let Some(data) = &self.disk.data
            && let Err(cause) = preferences::write(data, file, value)
        {
            self.shell.notice = Some(Notice::lasting(told(cause)));
        }
    }
}
