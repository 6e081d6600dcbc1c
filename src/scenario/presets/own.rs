//! The user's own presets as files: saved, renamed, exported, deleted and put back. A shipped preset is never touched.

use std::path::{Path, PathBuf};

use super::kind::Kind;
use super::library::Library;
use super::preset::Preset;
use super::shelf::{is_shipped, own_file, own_files, parsed, read};
use crate::scenario::container::Container;
use crate::scenario::crop::{Crop, CropChoice};
use crate::scenario::disk::whole::write_file;
use crate::scenario::file;
use crate::scenario::medium::{Medium, MediumChoice};

/// Why something was not done with a preset. Nothing was changed.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Denied {
    /// The name is a shipped preset's.
    #[error("\"{0}\" is the name of a shipped preset, which stays as it is. Give yours another name.")]
    Shipped(String),
    /// Another preset of the user's has the name; it is replaced only on consent.
    #[error("You have a preset \"{0}\" already. Give this one another name, or replace that one.")]
    Taken(String),
    /// A file is in the way; it is replaced only on consent.
    #[error("{} is there already. Choose another name, or replace it.", .0.display())]
    InTheWay(PathBuf),
    /// Anything else, in words.
    #[error("{0}")]
    Other(String),
}

fn other(text: impl Into<String>) -> Denied {
    Denied::Other(text.into())
}

/// The names of the user's own presets of a kind that can be read, in order.
#[must_use]
pub fn own_names<T: Preset>(folder: &Path) -> Vec<String> {
    let named = |path: PathBuf| Some(parsed::<T>(&read(&path).ok()?).ok()?.name().to_owned());
    let mut names: Vec<String> = own_files::<T>(folder).into_iter().filter_map(named).collect();
    names.sort_by_key(|name| name.to_lowercase());
    names.dedup();
    names
}

/// Saves a preset into the user's folder, whole or not at all. One of the user's own of that name is replaced, and kept beside as `.bak`:
/// whoever asks for it has consented.
///
/// # Errors
/// [`Denied::Shipped`] for its name; [`Denied::Other`]: a value cannot be, or what the system said.
pub fn save_own<T: Preset>(preset: &T, folder: &Path, library: &Library) -> Result<PathBuf, Denied> {
    let text = format!("// A preset of your own.\n{}\n", body_of(preset).map_err(other)?);
    place(preset, &text, folder, library)
}

/// Writes a preset's text into the user's folder; one of the user's own of that name is replaced in the file that holds it, whatever that
/// is called, and kept beside as `.bak`.
pub(super) fn place<T: Preset>(preset: &T, text: &str, folder: &Path, library: &Library) -> Result<PathBuf, Denied> {
    let name = preset.name();
    if is_shipped::<T>(name) {
        return Err(Denied::Shipped(name.to_owned()));
    }
    if let Some(problem) = preset.problems(library).first() {
        return Err(other(format!("It cannot be saved yet: {problem}.")));
    }
    let path = if let Some((path, before)) = own_file::<T>(name, folder) {
        keep_aside(name, &path, &before)?;
        path
    } else {
        let folder = folder.join(T::KIND.folder());
        std::fs::create_dir_all(&folder).map_err(|e| other(format!("{} cannot be made: {e}.", folder.display())))?;
        free_path(&folder, name)
    };
    write_file(&path, text.as_bytes()).map_err(|e| other(format!("{} cannot be saved: {e}.", path.display())))?;
    Ok(path)
}

/// Keeps what is about to be replaced.
fn keep_aside(name: &str, path: &Path, before: &str) -> Result<(), Denied> {
    let kept = free_backup(path);
    write_file(&kept, before.as_bytes()).map_err(|e| other(format!("The old \"{name}\" cannot be kept as {}: {e}.", kept.display())))
}

fn body_of<T: Preset>(preset: &T) -> Result<String, String> {
    file::body_of(preset).map_err(|e| e.to_string())
}

/// A file for a preset that has none yet.
fn free_path(folder: &Path, name: &str) -> PathBuf {
    let plain: String = name.chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).take(60).collect();
    let mut path = folder.join(format!("{plain}.ron"));
    let mut number = 1;
    while path.exists() {
        number += 1;
        path = folder.join(format!("{plain}-{number}.ron"));
    }
    path
}

/// Gives one of the user's own presets another name; comments in its file stay.
///
/// # Errors
/// [`Denied`]: the name is a shipped preset's or taken, other presets of the user's name this one, or what the system said.
pub fn rename_own<T: Preset>(name: &str, to: &str, folder: &Path, library: &Library) -> Result<PathBuf, Denied> {
    let to = to.trim();
    let (path, text) = own_file::<T>(name, folder).ok_or_else(|| missing::<T>(name))?;
    if to == name {
        return Ok(path);
    }
    refuse_named(T::KIND, name, library, "Rename")?;
    if own_file::<T>(to, folder).is_some() {
        return Err(Denied::Taken(to.to_owned()));
    }
    let preset = parsed::<T>(&text).map_err(|e| other(e.to_string()))?;
    let (renamed, text) = retitled(preset, &text, to)?;
    let new = place(&renamed, &text, folder, library)?;
    // The new file is whole before the old one goes. A file of another spelling of the same name may be the very same.
    if new != path
        && let Err(e) = std::fs::remove_file(&path)
    {
        return Err(other(format!("\"{to}\" is saved, but the old file {} cannot be removed: {e}.", path.display())));
    }
    Ok(new)
}

/// A preset and its text under another name. The text stays as its author wrote it but for the name, where that can be told.
pub(super) fn retitled<T: Preset>(preset: T, text: &str, to: &str) -> Result<(T, String), Denied> {
    let quoted = |name: &str| ron::to_string(name).map_err(|e| other(e.to_string()));
    let (old, new) = (quoted(preset.name())?, quoted(to)?);
    let renamed = preset.renamed(to);
    for (at, _) in text.match_indices(&old) {
        let changed = format!("{}{new}{}", &text[..at], &text[at + old.len()..]);
        if parsed::<T>(&changed).is_ok_and(|p| p == renamed) {
            return Ok((renamed, changed));
        }
    }
    let text = format!("// A preset of your own.\n{}\n", body_of(&renamed).map_err(other)?);
    Ok((renamed, text))
}

/// Takes one of the user's own presets out of the menus. Its file is kept beside the others, with `.bak` at its end; returns where.
///
/// # Errors
/// [`Denied::Other`]: there is none of that name, other presets of the user's name it, or what the system said.
pub fn delete_own<T: Preset>(name: &str, folder: &Path, library: &Library) -> Result<PathBuf, Denied> {
    let (path, _) = own_file::<T>(name, folder).ok_or_else(|| missing::<T>(name))?;
    // Where it hid a shipped one, that one is there for whoever names it.
    if !is_shipped::<T>(name) {
        refuse_named(T::KIND, name, library, "Delete")?;
    }
    let kept = free_backup(&path);
    std::fs::rename(&path, &kept).map_err(|e| other(format!("{} cannot be put aside: {e}.", path.display())))?;
    Ok(kept)
}

/// Where a deleted or replaced preset is kept: no earlier one is written over.
fn free_backup(path: &Path) -> PathBuf {
    let first = file::backup_path(path);
    let numbered = |n: u32| {
        let mut name = path.as_os_str().to_owned();
        name.push(format!(".{n}.bak"));
        PathBuf::from(name)
    };
    if first.exists() { (2..).map(numbered).find(|p| !p.exists()).unwrap_or(first) } else { first }
}

/// Puts a deleted preset back from where [`delete_own`] kept it.
///
/// # Errors
/// [`Denied`]: another preset has taken its name meanwhile, or what the system said.
pub fn put_back<T: Preset>(kept: &Path, folder: &Path) -> Result<PathBuf, Denied> {
    let text = read(kept).map_err(|e| other(format!("{e}.")))?;
    let preset = parsed::<T>(&text).map_err(|e| other(format!("{} cannot be read: {e}.", kept.display())))?;
    if own_file::<T>(preset.name(), folder).is_some() {
        return Err(Denied::Taken(preset.name().to_owned()));
    }
    let path = free_path(&folder.join(T::KIND.folder()), preset.name());
    std::fs::rename(kept, &path).map_err(|e| other(format!("{} cannot be put back: {e}.", kept.display())))?;
    Ok(path)
}

/// Writes one of the user's own presets to a file, whole or not at all, as its author wrote it. `over`: a file that is there is replaced.
///
/// # Errors
/// [`Denied::InTheWay`] where a file is there and may not be replaced; [`Denied::Other`]: there is no such preset, or what the system said.
pub fn export_own<T: Preset>(name: &str, folder: &Path, to: &Path, over: bool) -> Result<(), Denied> {
    let (path, text) = own_file::<T>(name, folder).ok_or_else(|| missing::<T>(name))?;
    if to.exists() && !over {
        return Err(Denied::InTheWay(to.to_path_buf()));
    }
    if to.exists() && same_file(&path, to) {
        return Err(other("That is the preset's own file. Choose another place."));
    }
    write_file(to, text.as_bytes()).map_err(|e| other(format!("{} cannot be written: {e}.", to.display())))
}

fn same_file(a: &Path, b: &Path) -> bool {
    matches!((a.canonicalize(), b.canonicalize()), (Ok(a), Ok(b)) if a == b)
}

fn missing<T: Preset>(name: &str) -> Denied {
    other(format!("You have no {} \"{name}\" of your own. Shipped presets stay as they are.", T::KIND.one()))
}

/// Refuses what would leave other presets without what they name.
fn refuse_named(kind: Kind, name: &str, library: &Library, verb: &str) -> Result<(), Denied> {
    let by = named_by(kind, name, library);
    if by.is_empty() {
        return Ok(());
    }
    Err(other(format!(
        "{} \"{name}\": no, for {} named by {}, which would be left without it. Change or delete that first.",
        verb,
        if by.len() == 1 { "it is" } else { "it is still" },
        by.join(", ")
    )))
}

/// The presets of a library that name a medium or a crop: they cannot do without it. Each as kind and name.
#[must_use]
pub fn named_by(kind: Kind, name: &str, library: &Library) -> Vec<String> {
    let medium = |container: &Container| container.parts.iter().any(|p| names_medium(&p.medium, name));
    let mut by = Vec::new();
    if kind == Medium::KIND {
        by.extend(library.containers.iter().filter(|c| medium(c)).map(|c| format!("container \"{}\"", c.name)));
        by.extend(library.setups.iter().filter(|s| medium(&s.lane.container)).map(|s| format!("preset per crop \"{}\"", s.name)));
    } else if kind == Crop::KIND {
        let grows = |choice: &CropChoice| matches!(choice, CropChoice::Preset(n) if n == name);
        by.extend(library.setups.iter().filter(|s| grows(&s.lane.crop)).map(|s| format!("preset per crop \"{}\"", s.name)));
    }
    by
}

/// Whether a part's filling names a medium.
#[must_use]
pub fn names_medium(choice: &MediumChoice, name: &str) -> bool {
    match choice {
        MediumChoice::Preset(n) => n == name,
        MediumChoice::Mix(components) => components.iter().any(|c| c.medium == name),
        MediumChoice::Custom(_) => false,
    }
}
