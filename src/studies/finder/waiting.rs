//! Who waits for the finder.

use super::found::Found;

/// Who waits for a schedule.
#[derive(Clone, Copy)]
pub struct Waiting<'a> {
    /// Asked before each run: after a no the best so far is given.
    pub go_on: &'a (dyn Fn() -> bool + Sync),
    /// Told a share from 0 to 1.
    pub progress: &'a (dyn Fn(f64) + Sync),
    /// Told of a first proposal, simulated like every other, while the search goes on.
    pub first: &'a (dyn Fn(Found) + Sync),
}

impl Waiting<'_> {
    /// Nobody in particular.
    pub const NOBODY: Self = Self { go_on: &|| true, progress: &|_| (), first: &|_| () };
}
