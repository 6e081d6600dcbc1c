//! The line under the menu bar that tells what just happened, and when it goes away again.

use std::path::PathBuf;

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

/// What waits for a click.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Offer {
    /// A file to be opened.
    Open(PathBuf),
    /// The use of lanes that is measured, to be computed from the climate.
    ComputeUse,
}

/// A line under the menu bar.
#[derive(Clone, Debug)]
pub struct Notice {
    /// What it says.
    pub text: String,
    /// What waits for a click.
    pub offer: Option<Offer>,
    stays: Stays,
    /// When it was first drawn, s, and the document's generation then.
    since: Option<(f64, u64)>,
}

impl Notice {
    fn new(text: impl Into<String>, stays: Stays) -> Self {
        Self { text: text.into(), offer: None, stays, since: None }
    }

    /// One that stays until it is dismissed.
    pub fn lasting(text: impl Into<String>) -> Self {
        Self::new(text, Stays::UntilDismissed)
    }

    /// One that offers a file and stays.
    pub fn offering(text: impl Into<String>, offer: Option<PathBuf>) -> Self {
        Self { offer: offer.map(Offer::Open), ..Self::lasting(text) }
    }

    /// One that tells of lanes whose use is measured, and offers to compute it, until the document changes.
    pub fn of_measured_use(text: impl Into<String>) -> Self {
        Self { offer: Some(Offer::ComputeUse), ..Self::new(text, Stays::UntilChange) }
    }

    /// One that tells what was refused.
    pub fn refusal(text: impl Into<String>) -> Self {
        Self::new(text, Stays::UntilChange)
    }

    /// One that tells what was done.
    pub fn passing(text: impl Into<String>) -> Self {
        Self::new(text, Stays::AWhile)
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
