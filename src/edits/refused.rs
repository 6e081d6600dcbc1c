//! The edits' one error: a change that cannot be made, in words that can be shown as they are.

/// Why a change cannot be made.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct Refused(String);

impl<T: Into<String>> From<T> for Refused {
    fn from(words: T) -> Self {
        Self(words.into())
    }
}
