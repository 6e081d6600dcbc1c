//! Checks every value of a scenario against its range, and names field, value, range and reason.

mod check;
mod climate;
mod container;
mod lane;
mod plan;
mod presets;

use std::collections::HashSet;

use self::check::{Check, gathered, quoted};
use self::container::{check_container, check_medium};
use self::lane::{check_crop, check_lane};
use super::bench::{FORMAT, MAX_LANES, Scenario};
use super::climate::ClimatePreset;
use super::container::Container;
use super::crop::Crop;
use super::medium::Medium;
use super::parameter::bench::{BENCH, SOLVER};
use super::presets::library::Library;
use super::problem::Problem;
use super::ranges;
use super::solver::Solver;

/// Most that can have been changed: feed, aims and stage of every lane, and schedules.
const MOST_CHANGED: usize = 8000;

impl Scenario {
    /// Everything that is wrong with the values; empty when the scenario can be run. `library` resolves preset names.
    #[must_use]
    pub fn validate(&self, library: &Library) -> Vec<Problem> {
        let mut problems = Vec::new();
        let mut check = Check { problems: &mut problems, path: String::new() };
        if self.format != FORMAT {
            check.fail("format", self.format, FORMAT.to_string(), "the format this version knows");
        }
        check.name(&self.name);
        check.text("note", &self.note);
        check.numbers(self, BENCH, library);
        if self.light.off <= self.light.on {
            let both = format!("{} to {}", self.light.on, self.light.off);
            check.fail("light", both, "`on` before `off`, on one day", "the demand follows the light of one day");
        }
        if let Some(climate) = &self.climate {
            climate::check_climate(&mut check.at("climate"), climate, library);
        }
        plan::check_plans(&mut check, self, library);
        check.count("lanes", self.lanes.len(), 1, MAX_LANES, "lanes shown together");
        let mut names = HashSet::new();
        for (i, lane) in self.lanes.iter().enumerate().take(MAX_LANES) {
            let mut at = check.item("lanes", i);
            check_lane(&mut at, lane, &self.solver, self.climate.is_some(), library);
            if !names.insert(lane.name.trim()) {
                at.fail("name", quoted(&lane.name), "a name no other lane has", "results are told apart by it");
            }
        }
        check_solver(&mut check.at("solver"), &self.solver, library);
        check.count("changed_from", self.changed_from.len(), 0, MOST_CHANGED, "one for each feed, aims, stage and schedule");
        let names = self.changed_from.values().take(MOST_CHANGED);
        names.for_each(|name| check.at("changed_from").name(name));
        problems
    }
}

impl Medium {
    /// Everything that is wrong with the values. A medium refers to nothing.
    #[must_use]
    pub fn validate(&self, library: &Library) -> Vec<Problem> {
        gathered(|check| check_medium(check, self, library))
    }
}

impl Crop {
    /// Everything that is wrong with the values. A crop refers to nothing.
    #[must_use]
    pub fn validate(&self, library: &Library) -> Vec<Problem> {
        gathered(|check| check_crop(check, self, library))
    }
}

impl ClimatePreset {
    /// Everything that is wrong with the values.
    #[must_use]
    pub fn validate(&self) -> Vec<Problem> {
        gathered(|check| {
            climate::check_day(check, &self.climate, &Library::default());
            if self.light.off <= self.light.on {
                let both = format!("{} to {}", self.light.on, self.light.off);
                check.fail("light", both, "`on` before `off`, on one day", "a climate is of one day");
            }
        })
    }
}

impl Container {
    /// Everything that is wrong with the values; `library` resolves the names of media.
    #[must_use]
    pub fn validate(&self, library: &Library) -> Vec<Problem> {
        gathered(|check| check_container(check, self, library))
    }
}

fn check_solver(check: &mut Check<'_>, s: &Solver, library: &Library) {
    check.numbers(s, SOLVER, library);
    check.range("max_layers", f64::from(s.max_layers), ranges::max_layers(s), "layers, at least `min_layers`");
}
