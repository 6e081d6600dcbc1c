//! Presets: shipped ones, embedded from `presets/`, and the user's own, which win by name.
//!
//! `library.rs` is the shelf by name, `kind.rs` and `preset.rs` say what can be a preset, `filling.rs` and `shelf.rs` read, `own.rs` saves, renames,
//! exports, deletes and puts back, `import.rs` takes in a file of any kind, told by its mark among the fields of the outermost brackets.
//!
//! What holds: a shipped name is never taken; a user's own preset is replaced on consent only, in whichever file holds its name; a deleted or
//! replaced one stays beside as `.bak` (`place` is the one that writes); comments of a file stay through renaming and importing; a medium or
//! crop that another preset or the bench names is neither renamed nor deleted; what is no file (a pipe, a device) is never waited for. A setup
//! is validated as a bench of its own with the usual numerics.

mod by_kind;
mod demos;
mod filling;
mod import;
mod kind;
pub(in crate::scenario) mod library;
mod own;
pub(in crate::scenario) mod parts;
mod preset;
pub(in crate::scenario) mod setup;
mod shelf;

pub use demos::{demo_text, demos};
pub use filling::user_folder;
pub use import::{Imported, import, is_preset};
pub use kind::Kind;
pub use library::Library;
pub use own::{Denied, delete_own, export_own, named_by, names_medium, own_names, put_back, rename_own, save_own};
pub use parts::{FeedPreset, SchedulePreset, TargetsPreset};
pub use preset::Preset;
pub use setup::CropSetup;
pub use shelf::text_of;
