//! The line under the menu bar that tells what just happened, and when it goes away again.

/// How long what passes is shown, s.
const WHILE_S: f64 = 8.0;
/// How much longer for each character: long texts take longer to read, s.
const PER_CHARACTER_S: f64 = 0.03;

/// When a notice goes away by itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Stays {
    /// Never: something failed or waits for an answer.
    UntilDismissed,
    /// When the document changes: what was refused is past then.
    UntilChange,
    /// After a while.
    AWhile,
}

/// What can be done about a file that another program, or another window, has changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Choice {
    /// What is on the bench counts; the next save writes it over the other.
    KeepMine,
    /// What is in the file counts; it comes on the bench as a change.
    TakeTheirs,
    /// What is on the bench gets a file of its own beside the other.
    SaveBeside,
}

impl Choice {
    /// What its button says.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::KeepMine => "Keep mine",
            Self::TakeTheirs => "Take theirs",
            Self::SaveBeside => "Save beside",
        }
    }
}

/// A line under the menu bar.
#[derive(Clone, Debug)]
pub struct Notice {
    /// What it says.
    pub text: String,
    /// What can be done, each at a click.
    pub choices: &'static [Choice],
    /// It offers to compute the use of lanes that is measured from the climate.
    pub offers_use: bool,
    stays: Stays,
    /// When it was first drawn, s, and the document's generation then.
    since: Option<(f64, u64)>,
}

impl Notice {
    fn new(text: impl Into<String>, stays: Stays) -> Self {
        Self { text: text.into(), choices: &[], offers_use: false, stays, since: None }
    }

    /// One that stays until it is dismissed.
    pub fn lasting(text: impl Into<String>) -> Self {
        Self::new(text, Stays::UntilDismissed)
    }

    /// One that tells of lanes whose use is measured, and offers to compute it, until the document changes.
    pub fn of_measured_use(text: impl Into<String>) -> Self {
        Self { offers_use: true, ..Self::new(text, Stays::UntilChange) }
    }

    /// One that gives a choice and stays.
    pub fn choosing(text: impl Into<String>, choices: &'static [Choice]) -> Self {
        Self { choices, ..Self::lasting(text) }
    }

    /// One that tells what was refused.
    pub fn refusal(text: impl Into<String>) -> Self {
        Self::new(text, Stays::UntilChange)
    }

    /// One that tells what was done.
    pub fn passing(text: impl Into<String>) -> Self {
        Self::new(text, Stays::AWhile)
    }

    /// Whether it tells what was done, and passes by itself.
    #[must_use]
    pub fn passes(&self) -> bool {
        self.stays == Stays::AWhile
    }

    /// Seconds it has left at a time and a generation of the document; `None` where no clock counts.
    #[allow(clippy::cast_precision_loss)]
    pub fn left_s(&mut self, now: f64, generation: u64) -> Option<f64> {
        let (from, then) = *self.since.get_or_insert((now, generation));
        match self.stays {
            Stays::UntilDismissed => None,
            Stays::UntilChange => (generation != then).then_some(0.0),
            Stays::AWhile => Some(from + WHILE_S + PER_CHARACTER_S * self.text.chars().count() as f64 - now),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Notice;

    #[test]
    fn what_was_done_passes_what_failed_stays() {
        let mut done = Notice::passing("Saved.");
        assert!(done.left_s(100.0, 1).is_some_and(|left| left > 8.0));
        assert!(done.left_s(109.0, 1).is_some_and(|left| left < 0.0));
        let mut refused = Notice::refusal("No.");
        assert_eq!((refused.left_s(100.0, 1), refused.left_s(1e6, 1), refused.left_s(1e6, 2)), (None, None, Some(0.0)));
        let mut failed = Notice::lasting("The disk is full.");
        assert_eq!((failed.left_s(100.0, 1), failed.left_s(1e6, 9)), (None, None));
    }
}
