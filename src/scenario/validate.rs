//! Checks every value of a scenario against its range, and names field, value, range and reason.

mod climate;
mod container;
mod lane;
mod plan;
mod presets;

use std::collections::HashSet;
use std::fmt;

use super::ranges::{self, Range};
use super::{ClimatePreset, Container, Crop, FORMAT, MAX_DAYS, MAX_LANES, Medium, Scenario, Solver, file::printable, presets::Library};
use container::{check_container, check_medium};
use lane::{check_crop, check_lane};

/// One value that cannot be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Where it stands, for example `lanes[0].container.parts[1].height_cm`.
    pub field: String,
    /// The value found.
    pub value: String,
    /// What is allowed.
    pub allowed: String,
    /// Why.
    pub why: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} is {}; allowed: {} ({})", self.field, self.value, self.allowed, self.why)
    }
}

/// Gathers problems under a path.
struct Check<'a> {
    problems: &'a mut Vec<Problem>,
    path: String,
}

impl Check<'_> {
    fn at(&mut self, field: &str) -> Check<'_> {
        let path = if self.path.is_empty() { field.to_owned() } else { format!("{}.{field}", self.path) };
        Check { problems: self.problems, path }
    }

    fn item(&mut self, field: &str, index: usize) -> Check<'_> {
        self.at(&format!("{field}[{index}]"))
    }

    fn fail(&mut self, field: &str, value: impl fmt::Display, allowed: impl Into<String>, why: &str) {
        // A hostile file may hold a problem in every line: a list that nobody reads to its end is not made.
        if self.problems.len() >= MOST_PROBLEMS {
            return;
        }
        let field = self.at(field).path;
        self.problems.push(Problem { field, value: value.to_string(), allowed: allowed.into(), why: why.to_owned() });
    }

    fn range(&mut self, field: &str, value: f64, (low, high): Range, why: &str) {
        // Not a number fails every comparison.
        if !(low..=high).contains(&value) {
            self.fail(field, Number(value), format!("{} to {}", Number(low), Number(high)), why);
        }
    }

    /// A whole number against its range.
    fn whole(&mut self, field: &str, value: u32, range: Range, why: &str) {
        self.range(field, f64::from(value), range, why);
    }

    /// Returns whether the count is within its range.
    fn count(&mut self, field: &str, value: usize, low: usize, high: usize, why: &str) -> bool {
        let fits = (low..=high).contains(&value);
        if !fits {
            let allowed = if low == high { low.to_string() } else { format!("{low} to {high}") };
            self.fail(field, value, allowed, why);
        }
        fits
    }

    fn name(&mut self, value: &str) {
        if value.trim().is_empty() || value.chars().count() > 80 || !value.chars().all(is_plain) {
            self.fail("name", quoted(value), "1 to 80 printable characters", "names are shown on the bench and in tables");
        }
    }

    fn text(&mut self, field: &str, value: &str) {
        let fits = value.chars().count() <= MAX_TEXT;
        if !fits || !value.chars().all(|c| is_plain(c) || c == '\n' || c == '\r' || c == '\t') {
            self.fail(field, quoted(value), format!("at most {MAX_TEXT} printable characters"), "it is shown on the bench and on sheets");
        }
    }
}

/// Problems that are told at most.
const MOST_PROBLEMS: usize = 500;
/// Longest note or source, characters.
const MAX_TEXT: usize = 4000;

/// Whether a character stands on its line and leaves its neighbours where they are: no control characters, no marks that
/// turn the direction of the text around.
pub(super) fn is_plain(c: char) -> bool {
    !c.is_control() && !matches!(c, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

fn quoted(text: &str) -> String {
    format!("\"{}\"", printable(text, 80))
}

/// A number as a person would write it, however large or small.
struct Number(f64);

impl fmt::Display for Number {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let size = self.0.abs();
        if size == 0.0 || !size.is_finite() || (1e-4..1e7).contains(&size) { write!(f, "{}", self.0) } else { write!(f, "{:e}", self.0) }
    }
}

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
        check.count("days", self.days as usize, 1, MAX_DAYS as usize, "a run needs a day, and a year is the most it takes");
        check.range(
            "evaporation_mm_per_day",
            self.evaporation_mm_per_day,
            ranges::EVAPORATION,
            "mm of water a day from a free wet surface",
        );
        check.range("feed.ec", self.feed.ec, ranges::FEED_EC, "mS/cm; stronger is no longer a feed");
        if self.light.off <= self.light.on {
            let both = format!("{} to {}", self.light.on, self.light.off);
            check.fail("light", both, "`on` before `off`, on one day", "the demand follows the light of one day");
        }
        if let Some(climate) = &self.climate {
            climate::check_climate(&mut check.at("climate"), climate);
        }
        plan::check_plans(&mut check, self);
        check.count("lanes", self.lanes.len(), 1, MAX_LANES, "lanes shown together");
        let mut names = HashSet::new();
        for (i, lane) in self.lanes.iter().enumerate().take(MAX_LANES) {
            let mut at = check.item("lanes", i);
            check_lane(&mut at, lane, &self.solver, self.climate.is_some(), library);
            if !names.insert(lane.name.trim()) {
                at.fail("name", quoted(&lane.name), "a name no other lane has", "results are told apart by it");
            }
        }
        check_solver(&mut check.at("solver"), &self.solver);
        problems
    }
}

impl Medium {
    /// Everything that is wrong with the values. A medium refers to nothing, so the library is not looked at.
    #[must_use]
    pub fn validate(&self, _library: &Library) -> Vec<Problem> {
        gathered(|check| check_medium(check, self))
    }
}

impl Crop {
    /// Everything that is wrong with the values. A crop refers to nothing, so the library is not looked at.
    #[must_use]
    pub fn validate(&self, _library: &Library) -> Vec<Problem> {
        gathered(|check| check_crop(check, self))
    }
}

impl ClimatePreset {
    /// Everything that is wrong with the values.
    #[must_use]
    pub fn validate(&self) -> Vec<Problem> {
        gathered(|check| {
            climate::check_day(check, &self.climate);
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

fn gathered(checks: impl FnOnce(&mut Check<'_>)) -> Vec<Problem> {
    let mut problems = Vec::new();
    checks(&mut Check { problems: &mut problems, path: String::new() });
    problems
}

fn unknown_preset<'n>(check: &mut Check<'_>, field: &str, name: &str, known: impl Iterator<Item = &'n String>) {
    let known: Vec<&str> = known.map(String::as_str).collect();
    check.fail(field, quoted(name), known.join(", "), "the name of a preset that this program or its user's folder holds");
}

fn check_solver(check: &mut Check<'_>, s: &Solver) {
    check.range("layer_cm", s.layer_cm, ranges::LAYER, "cm");
    check.whole("min_layers", s.min_layers, ranges::LAYERS, "layers");
    check.whole("max_layers", s.max_layers, ranges::max_layers(s), "layers, at least `min_layers`");
    check.range("tolerance", s.tolerance, ranges::TOLERANCE, "m³/m³ in one step");
    check.range("convergence", s.convergence, ranges::CONVERGENCE, "share of the tolerance");
    check.range("max_step_s", s.max_step_s, ranges::MAX_STEP, "s");
    check.range("min_step_s", s.min_step_s, ranges::MIN_STEP, "s");
    check.range("storage_per_cm", s.storage_per_cm, ranges::STORAGE, "1/cm");
}
