//! Reading presets: the shipped files, and the user's own over them.

use std::path::{Path, PathBuf};

use include_dir::{Dir, include_dir};

use super::library::Library;
use super::preset::Preset;
use crate::scenario::file;

static SHIPPED: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/presets");

/// The text of a preset as its author wrote it, comments and all: the user's own if there is one of that name, or the shipped one.
#[must_use]
pub fn text_of<T: Preset>(name: &str, folder: Option<&Path>) -> Option<String> {
    let own = folder.and_then(|folder| own_file::<T>(name, folder)).map(|(_, text)| text);
    let named = |text: &String| parsed::<T>(text).is_ok_and(|preset| preset.name() == name);
    own.or_else(|| shipped_files::<T>().into_iter().map(|(_, text)| text.to_owned()).find(named))
}

/// A preset from its text; some editors begin a file with a byte-order mark.
pub(super) fn parsed<T: Preset>(text: &str) -> Result<T, ron::error::SpannedError> {
    file::options().from_str(text.strip_prefix('\u{feff}').unwrap_or(text))
}

/// Whether a shipped preset has a name.
pub(super) fn is_shipped<T: Preset>(name: &str) -> bool {
    shipped_files::<T>().into_iter().any(|(_, text)| parsed::<T>(text).is_ok_and(|preset| preset.name() == name))
}

fn shipped_files<T: Preset>() -> Vec<(&'static Path, &'static str)> {
    let mut files: Vec<_> = SHIPPED.get_dir(T::KIND.folder()).map(|d| d.files().collect()).unwrap_or_default();
    files.sort_by_key(|f: &&include_dir::File<'_>| f.path());
    files.into_iter().map(|f| (f.path(), f.contents_utf8().unwrap_or_default())).collect()
}

/// The user's own presets of a kind, in order of their file names.
pub(super) fn own_files<T: Preset>(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = std::fs::read_dir(folder.join(T::KIND.folder())) else {
        return Vec::new();
    };
    let mut paths: Vec<_> = entries.filter_map(|e| Some(e.ok()?.path())).filter(|p| p.extension().is_some_and(|e| e == "ron")).collect();
    paths.sort();
    paths
}

/// The file that holds the user's preset of a name, and its text. Of several the last one is in force.
pub(super) fn own_file<T: Preset>(name: &str, folder: &Path) -> Option<(PathBuf, String)> {
    own_files::<T>(folder).into_iter().rev().find_map(|path| {
        let text = read(&path).ok()?;
        parsed::<T>(&text).is_ok_and(|p| p.name() == name).then_some((path, text))
    })
}

/// The text of a file.
pub(super) fn read(path: &Path) -> Result<String, file::FileError> {
    file::read_text(file::open(path)?, &path.display().to_string())
}

/// The shipped presets of a kind with the user's own over them.
pub(super) fn gather<T: Preset>(library: &Library, folder: Option<&Path>, warnings: &mut Vec<String>) -> Vec<T> {
    let mut presets: Vec<T> = shipped_files::<T>().into_iter().filter_map(|(path, text)| read_one(text, path, library, warnings)).collect();
    for path in folder.into_iter().flat_map(own_files::<T>) {
        let text = match read(&path) {
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
    let wrong = match parsed::<T>(text) {
        Ok(preset) => match preset.problems(library).first() {
            None => return Some(preset),
            Some(problem) => problem.to_string(),
        },
        Err(e) => e.to_string(),
    };
    warnings.push(format!("Preset {} is not valid: {}. It is left out.", path.display(), file::printable(&wrong, 400)));
    None
}
