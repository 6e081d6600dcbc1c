//! Who keeps what a lane goes through while it is found out what is given.

use std::sync::Arc;

use crate::engine::run::simulation::Simulation;
use crate::engine::supply::timetable::Timetable;

/// One who keeps what a lane goes through, and has it where it stood at midnights before.
pub trait Keeper: Send {
    /// Whether it can be taken up at the midnight that a day (from 0) begins with.
    fn stands_on(&self, day: usize) -> bool;
    /// Whether what it makes of a day hangs on the next day's morning, too.
    fn looks_ahead(&self) -> bool;
    /// The lane at the midnight that a day begins with, on which it [stands](Self::stands_on): what came after it is forgotten.
    fn take_up(&mut self, day: usize) -> Simulation;
    /// The lane after a step.
    fn see(&mut self, now: &Simulation);
    /// How much there is.
    fn extent(&self) -> Extent;
    /// Forgets what was seen since there was so much.
    fn back_to(&mut self, extent: Extent);
    /// A day is over, and this is what was given up to now.
    fn day_over(&mut self, timetable: &Arc<Timetable>);
    /// It will see no more: the lane stands so, at a midnight or where it stopped.
    fn leave(&mut self, now: &Simulation);
}

/// How much of a lane's run there is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Extent {
    /// Samples.
    pub samples: usize,
    /// Midnights.
    pub midnights: usize,
    /// Checkpoints.
    pub checkpoints: usize,
}
