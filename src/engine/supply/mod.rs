//! What the pump gives: the day's events, those that the light calls for, the tank they come from, and what a lane gets of them.

pub mod clock;
pub mod light_clock;
pub mod tank;
pub mod timetable;
