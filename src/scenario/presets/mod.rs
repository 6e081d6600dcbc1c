//! Presets: shipped ones, embedded from `presets/`, and the user's own, which win by name.

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
