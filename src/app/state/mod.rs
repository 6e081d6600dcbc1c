//! What the window remembers: the bench with what is tried on it, what is shown, what the user prefers, and what is kept against a
//! crash. Plain data: nothing here draws, and pages import this room, never the other way round.

pub mod bench;
pub mod days;
pub(crate) mod disk;
pub mod dismissed;
pub mod drafting;
pub(crate) mod elsewhere;
pub mod exactness;
pub(crate) mod exporting;
pub(crate) mod left_work;
pub(crate) mod notice;
pub(crate) mod opening;
pub mod others;
pub(crate) mod patience;
pub(crate) mod preferences;
pub(crate) mod recent;
pub(crate) mod recovery;
pub(crate) mod saving;
pub(crate) mod settling;
pub mod sides;
pub mod studies;
pub mod text_size;
pub mod track_layout;
pub(crate) mod waking;
