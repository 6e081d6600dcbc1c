//! The library is filled: shipped presets, and the user's own over them.

use std::path::{Path, PathBuf};

use super::library::Library;
use super::shelf;

impl Library {
    /// The shipped presets alone.
    #[must_use]
    pub fn shipped() -> Self {
        Self::default().filled(None)
    }

    /// The shipped presets with the user's own over them. A preset of the user's that cannot be read is left out with a warning.
    #[must_use]
    pub fn with_user_presets(folder: &Path) -> Self {
        Self::default().filled(Some(folder))
    }

    /// Media first: containers name them. Setups last: they name media and crops.
    fn filled(mut self, folder: Option<&Path>) -> Self {
        let mut warnings = Vec::new();
        self.media = shelf::gather(&self, folder, &mut warnings);
        self.crops = shelf::gather(&self, folder, &mut warnings);
        self.containers = shelf::gather(&self, folder, &mut warnings);
        self.climates = shelf::gather(&self, folder, &mut warnings);
        self.feeds = shelf::gather(&self, folder, &mut warnings);
        self.targets = shelf::gather(&self, folder, &mut warnings);
        self.schedules = shelf::gather(&self, folder, &mut warnings);
        self.setups = shelf::gather(&self, folder, &mut warnings);
        self.warnings = warnings;
        self
    }

    /// The shipped presets with those in the platform's data folder over them.
    #[must_use]
    pub fn for_this_user() -> Self {
        user_folder().map_or_else(Self::shipped, |folder| Self::with_user_presets(&folder))
    }
}

/// Where the user's own presets live, if the platform has such a place.
#[must_use]
pub fn user_folder() -> Option<PathBuf> {
    directories::ProjectDirs::from("", "", "slakeline").map(|d| d.data_dir().join("presets"))
}
