//! A value that cannot be, in words.

use std::fmt;

use serde::Serialize;

/// One value that cannot be.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
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
