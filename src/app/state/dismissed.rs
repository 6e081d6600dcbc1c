//! Which benches' notes were read and put aside: they stand first no longer.

use serde::{Deserialize, Serialize};

/// How many are kept: of more, the oldest are forgotten.
const MOST: usize = 60;

/// Notes that were put aside, the last one last.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Dismissed {
    notes: Vec<String>,
}

impl Dismissed {
    /// Whether a note was.
    #[must_use]
    pub fn holds(&self, note: &str) -> bool {
        self.notes.iter().any(|n| n == note)
    }

    /// The same with a note more.
    #[must_use]
    pub fn with(&self, note: &str) -> Self {
        let mut notes: Vec<String> = self.notes.iter().filter(|n| *n != note).cloned().collect();
        notes.push(note.to_owned());
        notes.drain(..notes.len().saturating_sub(MOST));
        Self { notes }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_notes_are_kept_and_each_once() {
        let all = (0..=MOST).fold(Dismissed::default(), |kept, k| kept.with(&format!("note {k}")));
        assert!(!all.holds("note 0") && all.holds("note 1") && all.holds(&format!("note {MOST}")));
        assert_eq!(all.with("note 5").notes.len(), MOST);
        assert!(!Dismissed::default().holds(""));
    }
}
