//! The kinds of presets, their folders and their words.

use std::path::{Path, PathBuf};

use super::own::{delete_own, export_own, own_names, put_back, rename_own};
use super::{CropSetup, Denied, FeedPreset, Library, Preset, SchedulePreset, TargetsPreset};
use crate::scenario::{ClimatePreset, Container, Crop, Medium, Problem};

/// A kind of preset.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs)] // `one` and `folder` say what each is
pub enum Kind {
    Medium,
    Container,
    Crop,
    Climate,
    Feed,
    Targets,
    Schedule,
    Setup,
}

/// Does something with the type that a kind stands for: `with_kind!(kind, T => names::<T>(library))`.
macro_rules! with_kind {
    ($kind:expr, $t:ident => $body:expr) => {{
        macro_rules! of_type {
            ($of:ty) => {{
                type $t = $of;
                $body
            }};
        }
        match $kind {
            $crate::scenario::presets::Kind::Medium => of_type!($crate::scenario::Medium),
            $crate::scenario::presets::Kind::Container => of_type!($crate::scenario::Container),
            $crate::scenario::presets::Kind::Crop => of_type!($crate::scenario::Crop),
            $crate::scenario::presets::Kind::Climate => of_type!($crate::scenario::ClimatePreset),
            $crate::scenario::presets::Kind::Feed => of_type!($crate::scenario::presets::FeedPreset),
            $crate::scenario::presets::Kind::Targets => of_type!($crate::scenario::presets::TargetsPreset),
            $crate::scenario::presets::Kind::Schedule => of_type!($crate::scenario::presets::SchedulePreset),
            $crate::scenario::presets::Kind::Setup => of_type!($crate::scenario::presets::CropSetup),
        }
    }};
}
pub(super) use with_kind;

impl Kind {
    /// All of them, in the order of menus.
    pub const ALL: [Self; 8] =
        [Self::Medium, Self::Container, Self::Crop, Self::Climate, Self::Feed, Self::Targets, Self::Schedule, Self::Setup];

    /// The folder under `presets/`, which is also its name for commands.
    #[must_use]
    pub fn folder(self) -> &'static str {
        match self {
            Self::Medium => "media",
            Self::Container => "containers",
            Self::Crop => "crops",
            Self::Climate => "climates",
            Self::Feed => "feeds",
            Self::Targets => "targets",
            Self::Schedule => "schedules",
            Self::Setup => "setups",
        }
    }

    /// The kind of a folder.
    #[must_use]
    pub fn of_folder(folder: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|k| k.folder() == folder)
    }

    /// One of the kind, in words.
    #[must_use]
    pub fn one(self) -> &'static str {
        match self {
            Self::Medium => "medium",
            Self::Container => "container",
            Self::Crop => "crop",
            Self::Climate => "climate",
            Self::Feed => "feed",
            Self::Targets => "set of targets",
            Self::Schedule => "schedule",
            Self::Setup => "preset per crop",
        }
    }

    /// The head that they stand under.
    #[must_use]
    pub fn head(self) -> &'static str {
        match self {
            Self::Medium => "Media",
            Self::Container => "Containers",
            Self::Crop => "Crops",
            Self::Climate => "Climates",
            Self::Feed => "Feeds",
            Self::Targets => "Targets",
            Self::Schedule => "Schedules",
            Self::Setup => "Presets per crop",
        }
    }

    /// The names of the presets of this kind in a library.
    #[must_use]
    pub fn names(self, library: &Library) -> Vec<String> {
        fn names<T: Preset>(library: &Library) -> Vec<String> {
            T::of(library).iter().map(|p| p.name().to_owned()).collect()
        }
        with_kind!(self, T => names::<T>(library))
    }

    /// The text of a preset of this kind as its author wrote it; see [`super::text_of`].
    #[must_use]
    pub fn text(self, name: &str, folder: Option<&Path>) -> Option<String> {
        with_kind!(self, T => super::text_of::<T>(name, folder))
    }

    /// The names of the user's own presets of this kind; see [`own_names`].
    #[must_use]
    pub fn own_names(self, folder: &Path) -> Vec<String> {
        with_kind!(self, T => own_names::<T>(folder))
    }

    /// Renames an own preset of this kind; see [`rename_own`].
    ///
    /// # Errors
    /// As there.
    pub fn rename_own(self, name: &str, to: &str, folder: &Path, library: &Library) -> Result<PathBuf, Denied> {
        with_kind!(self, T => rename_own::<T>(name, to, folder, library))
    }

    /// Deletes an own preset of this kind; see [`delete_own`].
    ///
    /// # Errors
    /// As there.
    pub fn delete_own(self, name: &str, folder: &Path, library: &Library) -> Result<PathBuf, Denied> {
        with_kind!(self, T => delete_own::<T>(name, folder, library))
    }

    /// Puts a deleted preset of this kind back; see [`put_back`].
    ///
    /// # Errors
    /// As there.
    pub fn put_back(self, kept: &Path, folder: &Path) -> Result<PathBuf, Denied> {
        with_kind!(self, T => put_back::<T>(kept, folder))
    }

    /// Exports an own preset of this kind; see [`export_own`].
    ///
    /// # Errors
    /// As there.
    pub fn export_own(self, name: &str, folder: &Path, to: &Path, over: bool) -> Result<(), Denied> {
        with_kind!(self, T => export_own::<T>(name, folder, to, over))
    }
}

/// A kind whose name and shelf are plain fields, and whose type checks itself against a library.
macro_rules! plain {
    ($type:ty, $kind:ident, $shelf:ident) => {
        impl Preset for $type {
            const KIND: Kind = Kind::$kind;
            fn name(&self) -> &str {
                &self.name
            }
            fn renamed(self, name: &str) -> Self {
                Self { name: name.to_owned(), ..self }
            }
            fn of(library: &Library) -> &[Self] {
                &library.$shelf
            }
            fn problems(&self, library: &Library) -> Vec<Problem> {
                self.validate(library)
            }
        }
    };
}

plain!(Medium, Medium, media);
plain!(Container, Container, containers);
plain!(Crop, Crop, crops);
plain!(FeedPreset, Feed, feeds);
plain!(TargetsPreset, Targets, targets);
plain!(SchedulePreset, Schedule, schedules);
plain!(CropSetup, Setup, setups);

impl Preset for ClimatePreset {
    const KIND: Kind = Kind::Climate;
    fn name(&self) -> &str {
        &self.climate.name
    }
    fn renamed(mut self, name: &str) -> Self {
        name.clone_into(&mut self.climate.name);
        self
    }
    fn of(library: &Library) -> &[Self] {
        &library.climates
    }
    fn problems(&self, _: &Library) -> Vec<Problem> {
        self.validate()
    }
}
