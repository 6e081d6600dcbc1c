//! What a lane's day was like, besides its figures.

use crate::scenario::Event;

/// What is known of a day, besides its figures.
#[derive(Clone, Debug)]
pub struct Day<'a> {
    /// Its events.
    pub events: &'a [Event],
    /// Events that the tank fell short of.
    pub short: u32,
    /// When it was light, as stretches in s from midnight.
    pub lit: Vec<(f64, f64)>,
}

impl Day<'_> {
    /// Whether all that is given comes from below.
    #[must_use]
    pub fn floods(&self) -> bool {
        !self.events.is_empty() && self.events.iter().all(|e| e.give.is_flood())
    }
}
