//! How a log is to be read.

use super::findings::Consent;
use crate::physics::light::Source;
use crate::units::WHOLE_HOUR_S;

/// How a log is to be read, and what the grower allows.
#[derive(Clone, Debug, PartialEq)]
pub struct Options {
    /// What the log is called; the file's name where it is empty.
    pub name: String,
    /// Where light in µmol/m²/s comes from. Needed where there is no light in W/m².
    pub source: Option<Source>,
    /// Share of the radiation outside that reaches the canopy, above 0 to 1. Needed where only that was logged.
    pub transmission: Option<f64>,
    /// Offset from UTC, s, of the clock that times are told by, for logs with a zone; none is the zone of the first row.
    pub zone: Option<i32>,
    /// Consent: rows that cannot be read, are out of range, twice or out of order are left out, and so is a first or last day
    /// that misses too much.
    pub skip_bad: bool,
    /// Consent: gaps are filled with a straight line.
    pub fill_gaps: bool,
    /// The longest gap that is filled, s.
    pub longest_gap_s: u32,
}

impl Options {
    /// The same without a consent.
    #[must_use]
    pub fn without(&self, consent: Consent) -> Self {
        match consent {
            Consent::SkipBad => Self { skip_bad: false, ..self.clone() },
            Consent::FillGaps => Self { fill_gaps: false, ..self.clone() },
        }
    }
}

impl Default for Options {
    fn default() -> Self {
        Self {
            name: String::new(),
            source: None,
            transmission: None,
            zone: None,
            skip_bad: false,
            fill_gaps: false,
            longest_gap_s: 3 * WHOLE_HOUR_S,
        }
    }
}
