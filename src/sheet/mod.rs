//! Exports: a run as a table for reading, as CSV series and as JSON figures. Nothing here prints; writers are handed in.

pub mod answers;
pub mod figures_json;
pub mod made;
pub mod series_csv;
pub mod table;

use crate::engine::run::{Failed, Settled};
use crate::projection::Projection;
use crate::studies::exactness::Exactness;

/// What an export is made from.
#[derive(Clone, Copy, Debug)]
pub struct Export<'a> {
    /// What the bench shows: the run, and the figures of its days.
    pub projection: &'a Projection,
    /// Whether each lane's day repeats itself, in the order of the lanes; empty where it was not asked.
    pub settled: &'a [Result<Settled, Failed>],
    /// How exact it is; `None` where it was not asked.
    pub refined: Option<&'a Exactness>,
}

/// Whether a day repeats itself, in words.
#[must_use]
pub fn settled_words(settled: &Result<Settled, Failed>) -> String {
    match settled {
        Ok(settled) => settled.to_string(),
        Err(failed) => format!("not known, since {failed}"),
    }
}
