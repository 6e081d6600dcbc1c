//! What a flush is to come down to, and with what.

use serde::Serialize;

use crate::scenario::{Problem, ranges};

/// What is aimed at.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Rinse {
    /// Root-zone EC to come down to, mS/cm.
    pub to: f64,
    /// EC of what is given, mS/cm, below `to`.
    pub with: f64,
}

impl Rinse {
    /// What is wrong with it, if anything: each by name.
    #[must_use]
    pub fn problems(&self) -> Vec<Problem> {
        let mut problems = Vec::new();
        let (low, high) = ranges::ROOT_ZONE_EC;
        for (field, value) in [("--to", self.to), ("--rinse", self.with)] {
            if !(low..=high).contains(&value) {
                let allowed = format!("{low} to {high} mS/cm");
                problems.push(Problem {
                    field: field.to_owned(),
                    value: value.to_string(),
                    allowed,
                    why: "an EC of a root zone".to_owned(),
                });
            }
        }
        if problems.is_empty() && self.to <= self.with {
            problems.push(Problem {
                field: "--to".to_owned(),
                value: self.to.to_string(),
                allowed: format!("above the {} mS/cm of the rinse", self.with),
                why: "no amount of a rinse brings a root zone below the rinse's own EC".to_owned(),
            });
        }
        problems
    }
}
