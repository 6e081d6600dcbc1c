//! The main page: setup at the left, the strip of days and the tracks in the middle, figures at the right.

pub(crate) mod about;
pub(crate) mod day_strip;
pub(crate) mod figures;
pub(crate) mod setup;
pub mod tracks;
