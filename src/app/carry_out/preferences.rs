//! Takes what the user prefers into use, and keeps it for later sessions.

use eframe::egui::Context;
use serde::Serialize;

use crate::app::actions::action::Resize;
use crate::app::state::notice::Notice;
use crate::app::state::preferences::{self, DISMISSED, REOPENS, Reopens, SIDES, STEPS, STRIP, TEXT_SIZE, TRACKS, UNITS};
use crate::app::state::sides::{Sides, StripWanted};
use crate::app::state::text_size::TextSize;
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

    /// Draws text, and everything with it, in another size from now on.
    pub(in crate::app) fn use_text_size(&mut self, ctx: &Context, by: Resize) {
        let now = self.shell.text_size;
        let size = match by {
            Resize::Larger => now.larger(),
            Resize::Smaller => now.smaller(),
            Resize::To(size) => size,
        };
        self.show_text_size(ctx, size);
        self.prefer(TEXT_SIZE, &size, |cause| format!("The size of text holds for this session only; it cannot be kept: {cause}."));
    }

    /// Draws text in a size.
    pub(in crate::app) fn show_text_size(&mut self, ctx: &Context, size: TextSize) {
        self.shell.text_size = size;
        ctx.set_zoom_factor(size.factor());
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

    /// What the bench on show asks stands first no longer, neither now nor when it is opened again.
    pub(in crate::app) fn dismiss_note(&mut self) {
        let dismissed = self.disk.dismissed.with(&self.bench.shown().scenario.note);
        self.prefer(DISMISSED, &dismissed, |cause| format!("It stands first again in the next session; that cannot be kept: {cause}."));
        self.disk.dismissed = dismissed;
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
