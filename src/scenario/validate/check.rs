//! How values are checked: problems are gathered under the path that they stand at.

use std::fmt;

use crate::scenario::parameter::entry::Entry;
use crate::scenario::presets::library::Library;
use crate::scenario::problem::Problem;
use crate::scenario::ranges::Range;
use crate::scenario::text::{is_plain, printable};

/// Gathers problems under a path.
pub(super) struct Check<'a> {
    pub(super) problems: &'a mut Vec<Problem>,
    pub(super) path: String,
}

impl Check<'_> {
    pub(super) fn at(&mut self, field: &str) -> Check<'_> {
        let path = if self.path.is_empty() { field.to_owned() } else { format!("{}.{field}", self.path) };
        Check { problems: self.problems, path }
    }

    pub(super) fn item(&mut self, field: &str, index: usize) -> Check<'_> {
        self.at(&format!("{field}[{index}]"))
    }

    pub(super) fn fail(&mut self, field: &str, value: impl fmt::Display, allowed: impl Into<String>, why: &str) {
        // A hostile file may hold a problem in every line: a list that nobody reads to its end is not made.
        if self.problems.len() >= MOST_PROBLEMS {
            return;
        }
        let field = self.at(field).path;
        self.problems.push(Problem { field, value: value.to_string(), allowed: allowed.into(), why: why.to_owned() });
    }

    pub(super) fn range(&mut self, field: &str, value: f64, (low, high): Range, why: &str) {
        // Not a number fails every comparison.
        if !(low..=high).contains(&value) {
            self.fail(field, Number(value), format!("{} to {}", Number(low), Number(high)), why);
        }
    }

    /// Every number of a table that stands for itself; those that are judged together with others have no reason there.
    pub(super) fn numbers<T>(&mut self, of: &T, entries: &[Entry<T>], library: &Library) {
        for entry in entries.iter().filter(|e| !e.why.is_empty()) {
            if let Some(value) = (entry.get)(of, library) {
                self.range(entry.name, value, entry.allowed, entry.why);
            }
        }
    }

    /// Returns whether the count is within its range.
    pub(super) fn count(&mut self, field: &str, value: usize, low: usize, high: usize, why: &str) -> bool {
        let fits = (low..=high).contains(&value);
        if !fits {
            let allowed = if low == high { low.to_string() } else { format!("{low} to {high}") };
            self.fail(field, value, allowed, why);
        }
        fits
    }

    pub(super) fn name(&mut self, value: &str) {
        if value.trim().is_empty() || value.chars().count() > 80 || !value.chars().all(is_plain) {
            self.fail("name", quoted(value), "1 to 80 printable characters", "names are shown on the bench and in tables");
        }
    }

    pub(super) fn text(&mut self, field: &str, value: &str) {
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

pub(super) fn quoted(text: &str) -> String {
    format!("\"{}\"", printable(text, 80))
}

/// A number as a person would write it, however large or small.
pub(super) struct Number(pub(super) f64);

impl fmt::Display for Number {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let size = self.0.abs();
        if size == 0.0 || !size.is_finite() || (1e-4..1e7).contains(&size) { write!(f, "{}", self.0) } else { write!(f, "{:e}", self.0) }
    }
}

pub(super) fn gathered(checks: impl FnOnce(&mut Check<'_>)) -> Vec<Problem> {
    let mut problems = Vec::new();
    checks(&mut Check { problems: &mut problems, path: String::new() });
    problems
}

pub(super) fn unknown_preset<'n>(check: &mut Check<'_>, field: &str, name: &str, known: impl Iterator<Item = &'n String>) {
    let known: Vec<&str> = known.map(String::as_str).collect();
    check.fail(field, quoted(name), known.join(", "), "the name of a preset that this program or its user's folder holds");
}
