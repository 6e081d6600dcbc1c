//! How far a timetable is found out.

/// When to stop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Until {
    /// After so many days, and the day that follows them.
    pub days: u32,
    /// Sooner, once a day repeats itself in every lane that matters and in the tank; where a log of several days drives them, once a
    /// whole round of it does.
    pub settled: bool,
}
