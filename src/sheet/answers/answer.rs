//! An answer of a study, and its two documents.

use std::io;

use serde::Serialize;

use super::tables::{self, Table};
use crate::studies::choose::{self, Point};
use crate::studies::compare::Comparison;
use crate::studies::finder::{self, Found};
use crate::studies::flush::{LaneFlush, Rinse};
use crate::studies::grace::{LOOK_AHEAD_H, LaneGrace};
use crate::studies::spread::Spread;
use crate::units::Units;

/// A kind of document.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// A table, units in its head.
    Csv,
    /// The whole answer.
    Json,
}

impl Form {
    /// How its files end.
    #[must_use]
    pub fn ending(self) -> &'static str {
        match self {
            Self::Csv => "csv",
            Self::Json => "json",
        }
    }
}

/// Makes the bytes of a document elsewhere, later.
pub type Making = Box<dyn FnOnce() -> io::Result<Vec<u8>> + Send>;

/// An answer, whole or as far as it was found.
#[derive(Clone, Copy, Debug)]
pub enum Answer<'a> {
    /// Of the schedule finder.
    Schedule(&'a Found),
    /// Grace times.
    Grace(&'a [LaneGrace]),
    /// Of a flush, with what was aimed at.
    Flush(Rinse, &'a [LaneFlush]),
    /// A spread.
    Spread(&'a Spread),
    /// Of the choice of a root zone.
    Choice {
        /// The lane whose place is taken.
        lane: &'a str,
        /// Root zones that were asked for.
        asked: usize,
        /// Those that were found.
        points: &'a [Point],
    },
    /// A comparison.
    Compare(&'a Comparison),
}

/// A whole document: by what it was made, and the answer.
#[derive(Serialize)]
struct Document<T> {
    program: &'static str,
    version: &'static str,
    #[serde(flatten)]
    answer: T,
}

#[derive(Serialize)]
struct Schedule<'a> {
    meets_all: bool,
    words: Vec<String>,
    #[serde(flatten)]
    found: &'a Found,
}

/// Hours are counted from the fault; null where it does not come to that within the hours looked ahead.
#[derive(Serialize)]
struct Graces<'a> {
    hours_looked_ahead: f64,
    lanes: &'a [LaneGrace],
}

/// Litres are per plant where nothing else is said.
#[derive(Serialize)]
struct Flushes<'a> {
    to_ec: f64,
    rinse_ec: f64,
    lanes: &'a [LaneFlush],
}

/// Litres are per plant and day, but for those of the root zone.
#[derive(Serialize)]
struct Choice<'a> {
    lane: &'a str,
    words: String,
    asked: usize,
    points: &'a [Point],
}

impl Answer<'_> {
    /// The bytes of a document.
    ///
    /// # Errors
    /// What the writers say.
    pub fn bytes(&self, form: Form) -> io::Result<Vec<u8>> {
        match form {
            Form::Csv => self.table().csv(),
            Form::Json => match *self {
                Self::Schedule(found) => {
                    json(Schedule { meets_all: found.meets_all(), words: finder::words(found, Units::default()), found })
                }
                Self::Grace(lanes) => json(Graces { hours_looked_ahead: LOOK_AHEAD_H, lanes }),
                Self::Flush(rinse, lanes) => json(Flushes { to_ec: rinse.to, rinse_ec: rinse.with, lanes }),
                Self::Spread(found) => json(found),
                Self::Choice { lane, asked, points } => {
                    json(Choice { lane, words: choose::words(points, Units::default()), asked, points })
                }
                Self::Compare(found) => json(found),
            },
        }
    }

    fn table(&self) -> Table {
        match *self {
            Self::Schedule(found) => tables::schedule(found),
            Self::Grace(lanes) => tables::grace(lanes),
            Self::Flush(_, lanes) => tables::flush(lanes),
            Self::Spread(found) => tables::spread(found),
            Self::Choice { points, .. } => tables::choice(points),
            Self::Compare(found) => tables::compare(found),
        }
    }
}

fn json(answer: impl Serialize) -> io::Result<Vec<u8>> {
    let document = Document { program: env!("CARGO_PKG_NAME"), version: env!("CARGO_PKG_VERSION"), answer };
    let mut bytes = serde_json::to_vec_pretty(&document)?;
    bytes.push(b'\n');
    Ok(bytes)
}
