//! Scenario files: RON with a format number, read with clear errors, saved without ever losing the old version.

use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::bench::{FORMAT, Scenario};
use super::format_1::Format1;
use super::presets::library::Library;
use super::problem::Problem;
pub use super::text::printable;

/// Largest scenario file that is read, bytes.
pub const MAX_BYTES: u64 = 8 * 1024 * 1024;

/// Why a scenario could not be read or saved. The text is one line of cause; [`FileError::remedy`] says what to do.
#[derive(Debug, thiserror::Error)]
pub enum FileError {
    /// The file could not be opened or read.
    #[error("{path}: cannot be read: {cause}")]
    Read {
        /// Which file.
        path: String,
        /// What the system said.
        cause: io::Error,
    },
    /// The file could not be written; the old version is untouched.
    #[error("{path}: cannot be saved: {cause}")]
    Write {
        /// Which file.
        path: String,
        /// What the system said.
        cause: io::Error,
    },
    /// A value that no text can hold; the old version is untouched.
    #[error("{path}: cannot be written as text: {cause}")]
    Unwritable {
        /// Which file.
        path: String,
        /// What is wrong.
        cause: String,
    },
    /// Too large to be a scenario.
    #[error("{path}: larger than {} MB, so it is not a scenario", MAX_BYTES / 1024 / 1024)]
    TooLarge {
        /// Which file.
        path: String,
    },
    /// Empty.
    #[error("{path}: the file is empty")]
    Empty {
        /// Which file.
        path: String,
    },
    /// Not text.
    #[error("{path}: not a text file (byte {at} is not UTF-8)")]
    NotText {
        /// Which file.
        path: String,
        /// Offset of the first bad byte.
        at: usize,
    },
    /// Not a scenario.
    #[error("{path}:{line}:{column}: {cause}")]
    Syntax {
        /// Which file.
        path: String,
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
        /// What is wrong.
        cause: String,
    },
    /// Written by a newer Slakeline.
    #[error("{path}: the file has format {found}; this Slakeline reads up to format {FORMAT}")]
    Newer {
        /// Which file.
        path: String,
        /// The format it says it has.
        found: u64,
    },
    /// Well formed, but with values that cannot be.
    #[error("{path}: {}", first_and_count(.problems))]
    Invalid {
        /// Which file.
        path: String,
        /// All that is wrong; never empty.
        problems: Vec<Problem>,
    },
}

fn first_and_count(problems: &[Problem]) -> String {
    let first = problems.first().map(ToString::to_string).unwrap_or_default();
    match problems.len() {
        0 | 1 => first,
        n => format!("{first} (and {} more)", n - 1),
    }
}

impl FileError {
    /// What to do about it, in one line.
    #[must_use]
    pub fn remedy(&self) -> &'static str {
        match self {
            Self::Read { .. } => "Check the name, and that you may read the file.",
            Self::Write { .. } => "Check that the folder exists, has room and may be written to, or save under another name.",
            Self::Unwritable { .. } => "Undo the last change and save again; the program is at fault, please report it.",
            Self::TooLarge { .. } | Self::NotText { .. } => "Choose a Slakeline scenario, a text file that ends in .ron.",
            Self::Empty { .. } => "If a save was cut short, the version before it lies beside it with .bak at its end.",
            Self::Syntax { .. } => {
                "Mend that place in a text editor; the help lists every field under Scenario and preset files. An earlier version may lie beside it as .bak."
            }
            Self::Newer { .. } => "Open it with a newer Slakeline; nothing in the file was changed.",
            Self::Invalid { .. } => "Correct the value named; `slakeline check FILE` lists every problem.",
        }
    }
}

/// What the RON reader accepts: plain RON, with `Some(…)` left out where a value is optional.
#[must_use]
pub fn options() -> ron::Options {
    ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
}

/// Reads a scenario from text, without checking its values. The events are put in order of their start.
///
/// # Errors
/// [`FileError::Empty`], [`FileError::Newer`] or [`FileError::Syntax`], with `text` standing for the path.
pub fn parse(text: &str) -> Result<Scenario, FileError> {
    let mut scenario = parse_as(text, "text")?;
    scenario.sort_schedule();
    Ok(scenario)
}

/// Reads a scenario with its events in the order they are written, so that problems name the place in the file.
fn parse_as(text: &str, path: &str) -> Result<Scenario, FileError> {
    // Some editors begin a file with a byte-order mark.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let path = || path.to_owned();
    if text.trim().is_empty() {
        return Err(FileError::Empty { path: path() });
    }
    let parsed = match format_of(text) {
        Some(found) if found > u64::from(FORMAT) => return Err(FileError::Newer { path: path(), found }),
        Some(0 | 1) => options().from_str::<Format1>(text).map(Scenario::from),
        // That the format is missing is told in either case; what else is wrong, by what the rest looks like.
        None if !text.contains("valves") => options().from_str::<Format1>(text).map(Scenario::from),
        _ => options().from_str(text),
    };
    parsed.map_err(|e| {
        let (line, column) = (e.span.start.line, e.span.start.col);
        FileError::Syntax { path: path(), line, column, cause: with_excerpt(&e.code.to_string(), text, line) }
    })
}

/// The format number a file says it has, whatever else it may hold.
fn format_of(text: &str) -> Option<u64> {
    /// Only the format number.
    #[derive(Deserialize)]
    struct Header {
        format: u64,
    }
    if let Ok(Header { format }) = options().from_str::<Header>(text) {
        return Some(format);
    }
    // A newer format may use what this reader cannot step over: look for a line that gives the number.
    let line = text.lines().take(40).find_map(|l| l.trim_start_matches([' ', '\t', '(']).strip_prefix("format"))?;
    let digits: String = line.trim_start().strip_prefix(':')?.trim_start().chars().take_while(char::is_ascii_digit).collect();
    if digits.is_empty() { None } else { Some(digits.parse().unwrap_or(u64::MAX)) }
}

/// One line: what the reader says, and the line of the file it speaks of.
fn with_excerpt(cause: &str, text: &str, line: usize) -> String {
    let shown = printable(text.lines().nth(line.saturating_sub(1)).unwrap_or_default().trim(), 60);
    let cause = printable(cause, 400);
    if shown.is_empty() { cause } else { format!("{cause}, at `{shown}`") }
}

/// Said of what [`is_no_file`] finds.
pub const NO_FILE: &str = "this is a folder or a device, not a file";

/// Whether there is something at a path that is neither a file nor a link to one. A pipe or a device could keep whoever reads it waiting
/// for ever.
#[must_use]
pub fn is_no_file(path: &Path) -> bool {
    path.metadata().is_ok_and(|found| !found.is_file())
}

/// Opens a file for reading, and nothing that only looks like one.
///
/// # Errors
/// [`FileError::Read`].
pub fn open(path: &Path) -> Result<std::fs::File, FileError> {
    let opened = if is_no_file(path) { Err(io::Error::other(NO_FILE)) } else { std::fs::File::open(path) };
    opened.map_err(|cause| FileError::Read { path: path.display().to_string(), cause })
}

/// Reads a scenario file and checks every value against its range.
///
/// # Errors
/// Any [`FileError`] but `Write`; nothing is changed on disk.
pub fn load(path: &Path, library: &Library) -> Result<Scenario, FileError> {
    read(open(path)?, &path.display().to_string(), library)
}

/// Reads a scenario from anything that gives bytes and checks every value against its range. `name` stands for it in errors.
///
/// # Errors
/// Any [`FileError`] but `Write`.
pub fn read(source: impl Read, name: &str, library: &Library) -> Result<Scenario, FileError> {
    let text = read_text(source, name)?;
    let mut scenario = parse_as(&text, name)?;
    let mut problems = scenario.validate(library);
    if format_of(&text) == Some(1) {
        // There the only valve's fields stand in the open.
        problems.iter_mut().for_each(|p| p.field = p.field.replacen("valves[0].", "", 1));
    }
    if !problems.is_empty() {
        return Err(FileError::Invalid { path: name.to_owned(), problems });
    }
    scenario.sort_schedule();
    Ok(scenario)
}

/// Reads text of at most [`MAX_BYTES`].
///
/// # Errors
/// [`FileError::Read`], [`FileError::TooLarge`] or [`FileError::NotText`].
pub fn read_text(source: impl Read, name: &str) -> Result<String, FileError> {
    let mut bytes = Vec::new();
    source.take(MAX_BYTES + 1).read_to_end(&mut bytes).map_err(|cause| FileError::Read { path: name.to_owned(), cause })?;
    if bytes.len() as u64 > MAX_BYTES {
        return Err(FileError::TooLarge { path: name.to_owned() });
    }
    String::from_utf8(bytes).map_err(|e| FileError::NotText { path: name.to_owned(), at: e.utf8_error().valid_up_to() })
}

/// The scenario as RON text, as it is saved.
///
/// # Errors
/// [`FileError::Unwritable`], with `text` standing for the path.
pub fn to_text(scenario: &Scenario) -> Result<String, FileError> {
    text_for(scenario, "text")
}

/// What is written to `path`: nothing but whole text ever is.
fn text_for(scenario: &impl Serialize, path: &str) -> Result<String, FileError> {
    let body = body_of(scenario).map_err(|e| FileError::Unwritable { path: path.to_owned(), cause: printable(&e.to_string(), 400) })?;
    Ok(format!("// A Slakeline scenario. Every field is described in the help, under Scenario and preset files.\n{body}\n"))
}

/// Plain data as RON text, laid out as all files of Slakeline are.
pub(super) fn body_of(data: &impl Serialize) -> Result<String, ron::Error> {
    let pretty = ron::ser::PrettyConfig::new().struct_names(false).depth_limit(8).extensions(ron::extensions::Extensions::IMPLICIT_SOME);
    options().to_string_pretty(data, pretty)
}

/// Saves a scenario: written to a temporary file beside the target, flushed, then renamed over it. The version that was
/// there before is kept beside it with `.bak` at its end.
///
/// # Errors
/// [`FileError::Write`] or [`FileError::Unwritable`]; the old version is then untouched.
pub fn save(scenario: &Scenario, path: &Path) -> Result<(), FileError> {
    save_data(scenario, path)
}

fn save_data(data: &impl Serialize, path: &Path) -> Result<(), FileError> {
    let failed = |cause| FileError::Write { path: path.display().to_string(), cause };
    let text = text_for(data, &path.display().to_string())?;
    if path.is_file() {
        let old = std::fs::read(path).map_err(failed)?;
        refuse_read_only(path).map_err(failed)?;
        write_atomically(&backup_path(path), &old).map_err(failed)?;
    }
    write_atomically(path, text.as_bytes()).map_err(failed)
}

/// Where the previous version of a file is kept.
#[must_use]
pub fn backup_path(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".bak");
    PathBuf::from(name)
}

/// Writes a file whole or not at all. A link is followed and stays a link; a new file gets the usual rights, a replaced one
/// keeps its own; a file marked read-only is refused. What is neither file nor folder (a pipe, a device) is simply written to.
///
/// # Errors
/// What the system says, or what is wrong with the place; the old file is then untouched.
pub fn write_atomically(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let target = followed(path)?;
    let old = std::fs::metadata(&target).ok();
    if let Some(old) = &old {
        if old.is_dir() {
            return Err(io::Error::new(io::ErrorKind::IsADirectory, "it is a folder"));
        }
        if !old.is_file() {
            let mut special = std::fs::OpenOptions::new().write(true).open(&target)?;
            special.write_all(bytes)?;
            return special.flush();
        }
    }
    refuse_read_only(&target)?;
    let folder = match target.parent() {
        Some(p) if !p.as_os_str().is_empty() => p,
        _ => Path::new("."),
    };
    if !folder.is_dir() {
        return Err(io::Error::new(io::ErrorKind::NotFound, format!("there is no folder {}", folder.display())));
    }
    let mut temporary = temporary_in(folder)?;
    temporary.write_all(bytes)?;
    if let Some(old) = old {
        temporary.as_file().set_permissions(old.permissions())?;
    }
    temporary.as_file().sync_all()?;
    temporary.persist(&target).map_err(|e| e.error)?;
    // The new name is on disk once the folder is; a system that cannot flush a folder has still renamed whole.
    if let Ok(folder) = std::fs::File::open(folder) {
        let _ = folder.sync_all();
    }
    Ok(())
}

/// A temporary file with the rights that any new file gets.
fn temporary_in(folder: &Path) -> io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    let usual = {
        use std::os::unix::fs::PermissionsExt;
        std::fs::Permissions::from_mode(0o666)
    };
    // The system takes away what the user's mask forbids.
    #[cfg(unix)]
    builder.permissions(usual);
    builder.prefix(".slakeline-").tempfile_in(folder)
}

fn refuse_read_only(path: &Path) -> io::Result<()> {
    match std::fs::metadata(path) {
        Ok(old) if old.permissions().readonly() => Err(io::Error::new(io::ErrorKind::PermissionDenied, "the file is marked read-only")),
        _ => Ok(()),
    }
}

/// Where a chain of links leads, also when nothing is there yet.
fn followed(path: &Path) -> io::Result<PathBuf> {
    if let Ok(real) = std::fs::canonicalize(path) {
        return Ok(real);
    }
    let mut at = path.to_path_buf();
    for _ in 0..32 {
        match std::fs::read_link(&at) {
            Ok(next) => at = at.parent().unwrap_or(Path::new("")).join(next),
            Err(_) => return Ok(at),
        }
    }
    Err(io::Error::other("its links run in a circle"))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Data that no text can hold.
    struct Unspeakable;

    impl Serialize for Unspeakable {
        fn serialize<S: serde::Serializer>(&self, _: S) -> Result<S::Ok, S::Error> {
            Err(serde::ser::Error::custom("no words\nfor it"))
        }
    }

    #[test]
    fn what_cannot_be_written_leaves_the_old_file_as_it_was() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("bench.ron");
        std::fs::write(&path, "the old version").unwrap();
        let refused = save_data(&Unspeakable, &path).unwrap_err();
        assert!(matches!(&refused, FileError::Unwritable { cause, .. } if cause == "no words\\nfor it"), "{refused}");
        assert!(refused.to_string().contains("bench.ron: cannot be written as text"), "{refused}");
        assert_eq!(std::fs::read_to_string(&path).unwrap(), "the old version");
        assert!(!backup_path(&path).exists());
    }
}
