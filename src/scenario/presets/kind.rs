//! The kinds of presets, their folders and their words.

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
}
