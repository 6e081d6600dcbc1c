//! How much is run before an answer is given.

/// How much is run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Budget {
    /// Shares of the amount that the search begins with.
    pub amounts: &'static [f64],
    /// Times the number of events that it begins with.
    pub counts: &'static [f64],
    /// By how much the first and the last event are moved, as shares of the time between them.
    pub windows: &'static [(f64, f64)],
    /// Rounds of closing in, each with half the stride of the one before where nothing got better.
    pub rounds: usize,
    /// Plans that are closed in on.
    pub best: usize,
    /// Plans that are run until they settle.
    pub settled: usize,
    /// Rounds of improving the best on its settled day.
    pub polished: usize,
    /// Whether plans beside the best are settled, too, to show what can be traded for what; and whether a first proposal is wanted.
    pub trade_off: bool,
    /// Whether plans are run one after the other, where other searches run beside this one.
    pub in_turn: bool,
}

impl Budget {
    /// For an answer of its own.
    pub const WHOLE: Self = Self {
        amounts: &[0.75, 0.9, 1.0, 1.15, 1.4, 1.8],
        counts: &[0.5, 1.0, 2.0],
        windows: &[(0.0, 0.0), (0.25, 0.0), (0.0, -0.25), (0.2, -0.2), (-0.1, 0.15)],
        rounds: 7,
        best: 3,
        settled: 3,
        polished: 4,
        trade_off: true,
        in_turn: false,
    };
    /// For one of many answers.
    pub const COARSE: Self = Self {
        amounts: &[0.9, 1.15],
        counts: &[0.6, 1.4],
        windows: &[(0.0, 0.0), (0.2, -0.2)],
        rounds: 3,
        best: 1,
        settled: 1,
        polished: 2,
        trade_off: false,
        in_turn: true,
    };
    /// For something to begin from.
    pub const DRAFT: Self = Self {
        amounts: &[1.0, 1.2, 1.5],
        counts: &[1.0],
        windows: &[(0.0, 0.0), (0.15, -0.1)],
        rounds: 3,
        best: 1,
        settled: 2,
        polished: 3,
        trade_off: false,
        in_turn: false,
    };
    /// The same where each look is a settled day: fewer are looked at, and one is closed in on.
    pub(super) fn of_settled_days(self) -> Self {
        Self { best: 1, rounds: self.rounds.min(3), ..self }
    }

    /// The same with fewer to begin with.
    pub(super) fn of_few(self) -> Self {
        let few = |all: &'static [f64], few: &'static [f64]| if all.len() > few.len() { few } else { all };
        let windows = if self.trade_off { Self::FIRST.windows } else { &Self::FIRST.windows[..1] };
        Self { amounts: few(self.amounts, if self.trade_off { &[0.75, 1.0, 1.4] } else { &[1.0, 1.3] }), windows, ..self }
    }

    /// For something to look at while the search goes on.
    pub(super) const FIRST: Self = Self {
        amounts: &[0.85, 1.0, 1.3],
        counts: &[1.0],
        windows: &[(0.0, 0.0), (0.2, -0.2)],
        rounds: 0,
        best: 1,
        settled: 1,
        polished: 0,
        trade_off: false,
        in_turn: false,
    };
}
