//! Checks of presets that are parts of a bench.

use super::check::gathered;
use super::lane::check_targets;
use super::plan::check_schedule;
use crate::scenario::presets::library::Library;
use crate::scenario::presets::parts::{FeedPreset, SchedulePreset, TargetsPreset};
use crate::scenario::presets::setup::CropSetup;
use crate::scenario::problem::Problem;
use crate::scenario::ranges;

impl FeedPreset {
    /// Everything that is wrong with the values. A feed refers to nothing.
    #[must_use]
    pub fn validate(&self, _library: &Library) -> Vec<Problem> {
        gathered(|check| {
            check.name(&self.name);
            check.text("source", &self.source);
            check.text("note", &self.note);
            check.range("ec", self.ec, ranges::FEED_EC, "mS/cm; stronger is no longer a feed");
        })
    }
}

impl TargetsPreset {
    /// Everything that is wrong with the values. Targets refer to nothing.
    #[must_use]
    pub fn validate(&self, library: &Library) -> Vec<Problem> {
        gathered(|check| {
            check.name(&self.name);
            check.text("source", &self.source);
            check_targets(&mut check.at("targets"), &self.targets, library);
        })
    }
}

impl SchedulePreset {
    /// Everything that is wrong with the values. A schedule refers to nothing.
    #[must_use]
    pub fn validate(&self, library: &Library) -> Vec<Problem> {
        let mut problems = gathered(|check| {
            check.name(&self.name);
            check.text("source", &self.source);
            if let Some(light) = self.light.filter(|l| l.off <= l.on) {
                let both = format!("{} to {}", light.on, light.off);
                check.fail("light", both, "`on` before `off`, on one day", "events move with the light of one day");
            }
            check_schedule(check, &self.events, library);
        });
        // A preset's events stand in a field of that name.
        for problem in &mut problems {
            problem.field = problem.field.replace("schedule", "events");
            problem.allowed = problem.allowed.replace("schedule[", "events[");
        }
        problems
    }
}

impl CropSetup {
    /// Everything that is wrong with the values; `library` resolves the names of media and crops.
    #[must_use]
    pub fn validate(&self, library: &Library) -> Vec<Problem> {
        let mut problems = gathered(|check| check.text("source", &self.source));
        problems.extend(self.alone().validate(library));
        problems
    }
}
