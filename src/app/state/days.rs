//! Which days are shown.

/// Which days are shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Days {
    /// One day of the run, from 0.
    One(usize),
    /// All days of the run side by side.
    All,
    /// The day that repeats itself.
    Settled,
}

impl Days {
    /// How the choice is called on a run of some days.
    #[must_use]
    pub fn name(self, days: usize) -> String {
        match self {
            Self::One(day) => format!("day {} of {days}", day + 1),
            Self::All => format!("all {days} days"),
            Self::Settled => "settled day".to_owned(),
        }
    }
}
