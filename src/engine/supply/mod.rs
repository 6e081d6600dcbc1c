//! What the pump gives: the day's events, those that the light calls for, the tank they come from, and what a lane gets of them.
//!
//! A valve has plans: number 0 is its `schedule` and `rules`, then one for each of its `changes`. Before lanes run, everything that calls for
//! events becomes a `Timetable` for each valve: for each day the events, what called for each, and the EC each has. What clock and light call for is known
//! beforehand (`light_clock.rs` sums the light; a sum is counted from the rule's first time, and an event that finds the pump busy waits). A
//! probe and a tank are feedback, which `run/feedback` follows through the days; the lanes then run as they always do, on ordinary events.
//! Frozen into clock events, a bench runs the same to the bit (tested, without a tank).
//!
//! Valves share the pump (`pump.rs`): what finds too little of it left waits.
//!
//! Order in a tank (`tank.rs`): what drained since the last event comes back, then it is filled up, then the event is drawn. Events with an EC
//! of their own, or of their valve's, are not drawn from it. What is open at one time draws from the tank as it stood when each began. What it cannot give is not given: drips are cut to what is there, a flood is given whole or not at all;
//! `PumpDay::short` counts both, `missed` keeps what was not given.

pub mod clock;
pub mod light_clock;
pub mod pump;
pub mod pump_day;
pub mod tank;
pub mod timetable;
