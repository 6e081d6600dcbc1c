//! What is done with presets of a kind that is only known while the program runs.

use std::path::{Path, PathBuf};

use super::kind::Kind;
use super::library::Library;
use super::own::{Denied, delete_own, export_own, own_names, put_back, rename_own};
use super::preset::{Preset, with_kind};
use super::shelf::text_of;

impl Kind {
    /// The names of the presets of this kind in a library.
    #[must_use]
    pub fn names(self, library: &Library) -> Vec<String> {
        fn names<T: Preset>(library: &Library) -> Vec<String> {
            T::of(library).iter().map(|p| p.name().to_owned()).collect()
        }
        with_kind!(self, T => names::<T>(library))
    }

    /// The text of a preset of this kind as its author wrote it; see [`text_of`].
    #[must_use]
    pub fn text(self, name: &str, folder: Option<&Path>) -> Option<String> {
        with_kind!(self, T => text_of::<T>(name, folder))
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
