//! What several cards need of what is entered: a name that can be, the part that a field is of.

use crate::scenario::{Part, Scenario};

/// Why a name cannot be.
pub fn named(text: &str) -> Option<String> {
    (text.is_empty() || text.chars().any(char::is_control)).then(|| "A name takes 1 to 80 printable characters.".to_owned())
}

/// The part a change is about; the card was drawn from the very scenario that is changed.
pub fn part(s: &mut Scenario, lane: usize, part: usize) -> &mut Part {
    &mut s.lanes[lane].container.parts[part]
}
