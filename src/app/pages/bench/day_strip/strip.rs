//! What all cells of a frame are drawn with, and a line of one.

use crate::app::look::theme::Tokens;
use crate::app::state::bench::Bench;

/// What all cells of a frame are drawn with.
pub struct Strip<'a> {
    pub t: &'a Tokens,
    pub bench: &'a Bench,
    /// Days of the run; the settled day's place is the next.
    pub days: usize,
    /// Width of a cell.
    pub width: f32,
    /// The place that is marked, if it is a cell.
    pub marked: Option<usize>,
}

/// A line of numbers.
#[derive(Debug)]
pub enum Line {
    /// One for all lanes.
    One(String),
    /// One per lane.
    Lanes(Vec<String>),
}
