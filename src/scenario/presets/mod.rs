//! Presets: shipped ones, embedded from `presets/`, and the user's own, which win by name.

mod import;
mod kind;
mod own;
mod parts;
mod setup;
mod shelf;

use std::path::{Path, PathBuf};

use include_dir::{Dir, include_dir};
use serde::{Serialize, de::DeserializeOwned};

pub use import::{Imported, import, is_preset};
pub use kind::Kind;
pub use own::{Denied, delete_own, export_own, named_by, names_medium, own_names, put_back, rename_own, save_own};
pub use parts::{FeedPreset, SchedulePreset, TargetsPreset};
pub use setup::CropSetup;
pub use shelf::text_of;

use super::{ClimatePreset, Container, Crop, Medium, Problem, Scenario, file};

static DEMOS: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/demo");

/// Something that presets exist of.
pub trait Preset: DeserializeOwned + Serialize + Clone + PartialEq {
    /// Which kind it is; its files lie in the folder of that name.
    const KIND: Kind;
    /// The name that files refer to it by.
    fn name(&self) -> &str;
    /// The same under another name.
    #[must_use]
    fn renamed(self, name: &str) -> Self;
    /// The presets of this kind in a library.
    fn of(library: &Library) -> &[Self];
    /// What is wrong with its values; `library` resolves the names it refers to.
    fn problems(&self, library: &Library) -> Vec<Problem>;
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
    /// Climates.
    pub climates: Vec<ClimatePreset>,
    /// Feeds.
    pub feeds: Vec<FeedPreset>,
    /// Targets.
    pub targets: Vec<TargetsPreset>,
    /// Schedules.
    pub schedules: Vec<SchedulePreset>,
    /// Whole setups of a crop.
    pub setups: Vec<CropSetup>,
    /// What could not be read, one line each; the rest is still usable.
    pub warnings: Vec<String>,
}

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

/// The demo scenarios, in order of the numbers their file names begin with: file name and scenario.
#[must_use]
pub fn demos() -> Vec<(String, Scenario)> {
    let mut files: Vec<_> = DEMOS.files().filter(|f| f.path().extension().is_some_and(|e| e == "ron")).collect();
    let number = |f: &include_dir::File<'_>| f.path().to_str()?.split('-').next()?.parse::<u32>().ok();
    files.sort_by_key(|f| (number(f), f.path()));
    files
        .into_iter()
        .filter_map(|f| {
            let name = f.path().file_name()?.to_string_lossy().into_owned();
            let scenario = file::parse(f.contents_utf8()?).ok()?;
            Some((name, scenario))
        })
        .collect()
}

/// The text of a demo, by its file name with or without `.ron`.
#[must_use]
pub fn demo_text(name: &str) -> Option<&'static str> {
    DEMOS.files().find(|f| f.path().file_stem().is_some_and(|s| s == name) || f.path().as_os_str() == name)?.contents_utf8()
}
