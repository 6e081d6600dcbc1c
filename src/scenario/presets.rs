//! Presets: shipped ones, embedded from `presets/`, and the user's own, which win by name.

use std::path::{Path, PathBuf};

use include_dir::{Dir, include_dir};
use serde::{Serialize, de::DeserializeOwned};

use super::{ClimatePreset, Container, Crop, Medium, Problem, Scenario, file};

static SHIPPED: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/presets");
static DEMOS: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/demo");

/// Something that presets exist of.
pub trait Preset: DeserializeOwned + Serialize + Clone {
    /// The folder under `presets/`.
    const KIND: &'static str;
    /// The name that files refer to it by.
    fn name(&self) -> &str;
    /// The presets of this kind in a library.
    fn of(library: &Library) -> &[Self];
    /// What is wrong with its values; `library` resolves the names it refers to.
    fn problems(&self, library: &Library) -> Vec<Problem>;
}

impl Preset for Medium {
    const KIND: &'static str = "media";
    fn name(&self) -> &str {
        &self.name
    }
    fn of(library: &Library) -> &[Self] {
        &library.media
    }
    fn problems(&self, library: &Library) -> Vec<Problem> {
        self.validate(library)
    }
}

impl Preset for Container {
    const KIND: &'static str = "containers";
    fn name(&self) -> &str {
        &self.name
    }
    fn of(library: &Library) -> &[Self] {
        &library.containers
    }
    fn problems(&self, library: &Library) -> Vec<Problem> {
        self.validate(library)
    }
}

impl Preset for Crop {
    const KIND: &'static str = "crops";
    fn name(&self) -> &str {
        &self.name
    }
    fn of(library: &Library) -> &[Self] {
        &library.crops
    }
    fn problems(&self, library: &Library) -> Vec<Problem> {
        self.validate(library)
    }
}

impl Preset for ClimatePreset {
    const KIND: &'static str = "climates";
    fn name(&self) -> &str {
        &self.climate.name
    }
    fn of(library: &Library) -> &[Self] {
        &library.climates
    }
    fn problems(&self, _: &Library) -> Vec<Problem> {
        self.validate()
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
    /// Climates.
    pub climates: Vec<ClimatePreset>,
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

    /// Media first: containers name them.
    fn filled(mut self, folder: Option<&Path>) -> Self {
        let mut warnings = Vec::new();
        self.media = gather(&self, folder, &mut warnings);
        self.crops = gather(&self, folder, &mut warnings);
        self.containers = gather(&self, folder, &mut warnings);
        self.climates = gather(&self, folder, &mut warnings);
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

/// The demo scenarios, in order of their file names: file name and scenario.
#[must_use]
pub fn demos() -> Vec<(String, Scenario)> {
    let mut files: Vec<_> = DEMOS.files().filter(|f| f.path().extension().is_some_and(|e| e == "ron")).collect();
    files.sort_by_key(|f| f.path());
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

/// The text of a preset as its author wrote it, comments and all: the user's own if there is one of that name, or the shipped one.
#[must_use]
pub fn text_of<T: Preset>(name: &str, folder: Option<&Path>) -> Option<String> {
    let named = |text: &String| file::options().from_str::<T>(text).is_ok_and(|preset| preset.name() == name);
    let own = folder.into_iter().flat_map(own_files::<T>).filter_map(|path| read_own(&path).ok()).find(named);
    own.or_else(|| shipped_files::<T>().into_iter().map(|(_, text)| text.to_owned()).find(named))
}

/// Saves a preset into the user's folder, whole or not at all. One of the user's own of that name is replaced.
///
/// # Errors
/// In words: the name is a shipped preset's, a value cannot be, or what the system said.
pub fn save_own<T: Preset>(preset: &T, folder: &Path, library: &Library) -> Result<PathBuf, String> {
    let name = preset.name();
    if T::of(&Library::shipped()).iter().any(|p| p.name() == name) {
        return Err(format!("\"{name}\" is the name of a shipped preset, which stays as it is. Give yours another name, then save it."));
    }
    if let Some(problem) = preset.problems(library).first() {
        return Err(format!("It cannot be saved yet: {problem}."));
    }
    let folder = folder.join(T::KIND);
    let path = own_path::<T>(&folder, name);
    let pretty = ron::ser::PrettyConfig::new().struct_names(false).depth_limit(8).extensions(ron::extensions::Extensions::IMPLICIT_SOME);
    let body = file::options().to_string_pretty(preset, pretty).map_err(|e| e.to_string())?;
    std::fs::create_dir_all(&folder).map_err(|e| format!("{} cannot be made: {e}.", folder.display()))?;
    file::write_atomically(&path, format!("// A preset of your own.\n{body}\n").as_bytes())
        .map_err(|e| format!("{} cannot be saved: {e}.", path.display()))?;
    Ok(path)
}

/// The file that holds the user's preset of a name, or a free one.
fn own_path<T: Preset>(folder: &Path, name: &str) -> PathBuf {
    let plain: String = name.chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).take(60).collect();
    let mut number = 1;
    loop {
        let end = if number == 1 { String::new() } else { format!("-{number}") };
        let path = folder.join(format!("{plain}{end}.ron"));
        let same = |text: String| file::options().from_str::<T>(&text).is_ok_and(|p| p.name() == name);
        if !path.exists() || read_own(&path).is_ok_and(same) {
            return path;
        }
        number += 1;
    }
}

fn shipped_files<T: Preset>() -> Vec<(&'static Path, &'static str)> {
    let mut files: Vec<_> = SHIPPED.get_dir(T::KIND).map(|d| d.files().collect()).unwrap_or_default();
    files.sort_by_key(|f: &&include_dir::File<'_>| f.path());
    files.into_iter().map(|f| (f.path(), f.contents_utf8().unwrap_or_default())).collect()
}

/// The user's own presets of a kind, in order of their file names.
fn own_files<T: Preset>(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = std::fs::read_dir(folder.join(T::KIND)) else {
        return Vec::new();
    };
    let mut paths: Vec<_> = entries.filter_map(|e| Some(e.ok()?.path())).filter(|p| p.extension().is_some_and(|e| e == "ron")).collect();
    paths.sort();
    paths
}

fn read_own(path: &Path) -> Result<String, file::FileError> {
    let name = path.display().to_string();
    let source = std::fs::File::open(path).map_err(|cause| file::FileError::Read { path: name.clone(), cause })?;
    file::read_text(source, &name)
}

/// The shipped presets of a kind with the user's own over them.
fn gather<T: Preset>(library: &Library, folder: Option<&Path>, warnings: &mut Vec<String>) -> Vec<T> {
    let mut presets: Vec<T> = shipped_files::<T>().into_iter().filter_map(|(path, text)| read_one(text, path, library, warnings)).collect();
    for path in folder.into_iter().flat_map(own_files::<T>) {
        let text = match read_own(&path) {
            Ok(text) => text,
            Err(e) => {
                warnings.push(format!("Preset {e}. It is left out."));
                continue;
            }
        };
        let Some(own) = read_one::<T>(&text, &path, library, warnings) else { continue };
        match presets.iter_mut().find(|p| p.name() == own.name()) {
            Some(old) => *old = own,
            None => presets.push(own),
        }
    }
    presets
}

fn read_one<T: Preset>(text: &str, path: &Path, library: &Library, warnings: &mut Vec<String>) -> Option<T> {
    let wrong = match file::options().from_str::<T>(text) {
        Ok(preset) => match preset.problems(library).first() {
            None => return Some(preset),
            Some(problem) => problem.to_string(),
        },
        Err(e) => e.to_string(),
    };
    warnings.push(format!("Preset {} is not valid: {}. It is left out.", path.display(), file::printable(&wrong, 400)));
    None
}
