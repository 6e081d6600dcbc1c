//! Presets: shipped ones, embedded from `presets/`, and the user's own, which win by name.

use std::path::{Path, PathBuf};

use include_dir::{Dir, include_dir};
use serde::de::DeserializeOwned;

use super::{Container, Crop, Medium, Scenario};

static SHIPPED: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/presets");
static DEMOS: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/demo");

/// Something that presets exist of.
pub trait Preset: DeserializeOwned + Clone {
    /// The folder under `presets/`.
    const KIND: &'static str;
    /// The name that files refer to it by.
    fn name(&self) -> &str;
}

impl Preset for Medium {
    const KIND: &'static str = "media";
    fn name(&self) -> &str {
        &self.name
    }
}

impl Preset for Container {
    const KIND: &'static str = "containers";
    fn name(&self) -> &str {
        &self.name
    }
}

impl Preset for Crop {
    const KIND: &'static str = "crops";
    fn name(&self) -> &str {
        &self.name
    }
}

/// The presets at hand.
#[derive(Clone, Debug, Default)]
pub struct Library {
    /// Media.
    pub media: Vec<Medium>,
    /// Containers.
    pub containers: Vec<Container>,
    /// Crops.
    pub crops: Vec<Crop>,
    /// What could not be read, one line each; the rest is still usable.
    pub warnings: Vec<String>,
}

impl Library {
    /// The shipped presets alone.
    #[must_use]
    pub fn shipped() -> Self {
        let mut library = Self::default();
        library.media = shipped(&mut library.warnings);
        library.containers = shipped(&mut library.warnings);
        library.crops = shipped(&mut library.warnings);
        library
    }

    /// The shipped presets with the user's own over them. A preset of the user's that cannot be read is left out with a warning.
    #[must_use]
    pub fn with_user_presets(folder: &Path) -> Self {
        let mut library = Self::shipped();
        let mut warnings = Vec::new();
        overlay(&mut library.media, folder, &mut warnings);
        overlay(&mut library.containers, folder, &mut warnings);
        overlay(&mut library.crops, folder, &mut warnings);
        library.warnings.append(&mut warnings);
        library
    }

    /// The shipped presets with those in the platform's data folder over them.
    #[must_use]
    pub fn for_this_user() -> Self {
        user_folder().map_or_else(Self::shipped, |folder| Self::with_user_presets(&folder))
    }

    /// A medium by name.
    #[must_use]
    pub fn medium(&self, name: &str) -> Option<&Medium> {
        self.media.iter().find(|m| m.name == name)
    }

    /// A crop by name.
    #[must_use]
    pub fn crop(&self, name: &str) -> Option<&Crop> {
        self.crops.iter().find(|c| c.name == name)
    }

    /// A container by name.
    #[must_use]
    pub fn container(&self, name: &str) -> Option<&Container> {
        self.containers.iter().find(|c| c.name == name)
    }
}

/// Where the user's own presets live, if the platform has such a place.
#[must_use]
pub fn user_folder() -> Option<PathBuf> {
    directories::ProjectDirs::from("", "", "slakeline").map(|d| d.data_dir().join("presets"))
}

/// The demo scenarios, in order of their file names: file name and scenario.
#[must_use]
pub fn demos() -> Vec<(String, Scenario)> {
    let mut files: Vec<_> = DEMOS.files().filter(|f| f.path().extension().is_some_and(|e| e == "ron")).collect();
    files.sort_by_key(|f| f.path());
    files
        .into_iter()
        .filter_map(|f| {
            let name = f.path().file_name()?.to_string_lossy().into_owned();
            let scenario = super::file::parse(f.contents_utf8()?).ok()?;
            Some((name, scenario))
        })
        .collect()
}

fn shipped<T: Preset>(warnings: &mut Vec<String>) -> Vec<T> {
    let Some(folder) = SHIPPED.get_dir(T::KIND) else {
        return Vec::new();
    };
    let mut files: Vec<_> = folder.files().collect();
    files.sort_by_key(|f| f.path());
    files.into_iter().filter_map(|f| read_one(f.contents_utf8().unwrap_or_default(), f.path(), warnings)).collect()
}

fn overlay<T: Preset>(presets: &mut Vec<T>, folder: &Path, warnings: &mut Vec<String>) {
    let Ok(entries) = std::fs::read_dir(folder.join(T::KIND)) else {
        return;
    };
    let mut paths: Vec<_> = entries.filter_map(|e| Some(e.ok()?.path())).filter(|p| p.extension().is_some_and(|e| e == "ron")).collect();
    paths.sort();
    for path in paths {
        let text = match std::fs::read_to_string(&path) {
            Ok(text) => text,
            Err(e) => {
                warnings.push(format!("Preset {} could not be read: {e}. It is left out.", path.display()));
                continue;
            }
        };
        let Some(own) = read_one::<T>(&text, &path, warnings) else { continue };
        match presets.iter_mut().find(|p| p.name() == own.name()) {
            Some(old) => *old = own,
            None => presets.push(own),
        }
    }
}

fn read_one<T: Preset>(text: &str, path: &Path, warnings: &mut Vec<String>) -> Option<T> {
    match super::file::options().from_str::<T>(text) {
        Ok(preset) => Some(preset),
        Err(e) => {
            warnings.push(format!("Preset {} is not valid: {e}. It is left out.", path.display()));
            None
        }
    }
}
