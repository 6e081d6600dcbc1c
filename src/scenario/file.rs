//! Scenario files: RON with a format number, read with clear errors, saved without ever losing the old version.

use std::io::{self, ErrorKind, Read};
use std::path::Path;

use serde::{Deserialize, Serialize};

use super::bench::{FORMAT, Scenario};
pub use super::disk::special::{NO_FILE, is_no_file};
use super::disk::stamp::{Expected, Since, Stamp};
use super::disk::whole::{self, Before, NotSaved};
pub use super::disk::whole::{backup_path, free_beside, write_atomically};
use super::format_1::Format1;
use super::presets::library::Library;
use super::problem::Problem;
pub use super::text::printable;

/// Largest scenario file that is read or written, bytes. A climate log of the most rows takes a fifth of it.
pub const MAX_BYTES: u64 = 64 * 1024 * 1024;

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
    /// It would be too large to be opened again; the old version is untouched.
    #[error("{path}: not saved, for it would have {bytes} bytes, and no file of more than {} MB is opened", MAX_BYTES / 1024 / 1024)]
    Larger {
        /// Which file.
        path: String,
        /// How large it would be.
        bytes: u64,
    },
    /// Another program, or another window, has been there; its version is untouched.
    #[error("{path}: {}", since_in_words(.since))]
    Elsewhere {
        /// Which file.
        path: String,
        /// What became of it.
        since: Since,
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

fn since_in_words(since: &Since) -> &'static str {
    match since {
        Since::Changed(_) => "not saved, for another program has changed the file meanwhile",
        Since::Gone => "not saved, for the file is not there any more",
        Since::Appeared(_) => "not saved, for there is a file of that name already",
    }
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
            Self::Write { cause, .. } => match cause.kind() {
                ErrorKind::StorageFull | ErrorKind::QuotaExceeded => "Make room on that disk, or save on another one.",
                ErrorKind::InvalidFilename => "Save under a shorter name.",
                ErrorKind::IsADirectory => "Move the folder of that name elsewhere, or save under another name.",
                ErrorKind::TimedOut => "Have something read the pipe, or give the name of a file.",
                ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => {
                    "Take the mark away or have the rights changed, or save under another name where you may write."
                }
                _ => "Check that the folder exists, has room and may be written to, or save under another name.",
            },
            Self::Larger { .. } => "Take a climate log of fewer rows, or fewer changes of the schedule.",
            Self::Elsewhere { .. } => "Save under another name, or open what is there.",
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

/// The same with what the file is like, by which it is seen later whether it has been changed.
///
/// # Errors
/// As [`load`].
pub fn load_known(path: &Path, library: &Library) -> Result<(Scenario, Stamp), FileError> {
    let (file, name) = (open(path)?, path.display().to_string());
    let text = read_text(&file, &name)?;
    let stamp = Stamp::of_bytes(text.as_bytes(), &file);
    Ok((checked(&text, &name, library)?, stamp))
}

/// Reads a scenario from anything that gives bytes and checks every value against its range. `name` stands for it in errors.
///
/// # Errors
/// Any [`FileError`] but `Write`.
pub fn read(source: impl Read, name: &str, library: &Library) -> Result<Scenario, FileError> {
    checked(&read_text(source, name)?, name, library)
}

fn checked(text: &str, name: &str, library: &Library) -> Result<Scenario, FileError> {
    let mut scenario = parse_as(text, name)?;
    let mut problems = scenario.validate(library);
    if format_of(text) == Some(1) {
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
    let text = format!("// A Slakeline scenario. Every field is described in the help, under Scenario and preset files.\n{body}\n");
    // What could not be opened again is no safe place for anything.
    if text.len() as u64 > MAX_BYTES {
        return Err(FileError::Larger { path: path.to_owned(), bytes: text.len() as u64 });
    }
    Ok(text)
}

/// Plain data as RON text, laid out as all files of Slakeline are.
pub(super) fn body_of(data: &impl Serialize) -> Result<String, ron::Error> {
    let pretty = ron::ser::PrettyConfig::new().struct_names(false).depth_limit(8).extensions(ron::extensions::Extensions::IMPLICIT_SOME);
    options().to_string_pretty(data, pretty)
}

/// Saves a scenario whatever is there: written to a temporary file beside the target, flushed, then renamed over it. The version that was
/// there before is kept beside it with `.bak` at its end.
///
/// # Errors
/// [`FileError::Write`], [`FileError::Larger`] or [`FileError::Unwritable`]; the old version is then untouched.
pub fn save(scenario: &Scenario, path: &Path) -> Result<(), FileError> {
    save_expecting(scenario, path, Expected::Anything).map(drop)
}

/// The same where the file is as expected; gives what it is like after.
///
/// # Errors
/// As [`save`], and [`FileError::Elsewhere`] where another program, or another window, has been there; the file is then untouched.
pub fn save_expecting(scenario: &Scenario, path: &Path, expected: Expected) -> Result<Stamp, FileError> {
    save_step_by_step(scenario, path, expected, &|_, _| Ok(()))
}

/// The same, asked before each step: a reference for checks, which have steps fail.
///
/// # Errors
/// As [`save_expecting`].
pub fn save_step_by_step(scenario: &Scenario, path: &Path, expected: Expected, before: Before<'_>) -> Result<Stamp, FileError> {
    save_data(scenario, path, expected, before)
}

fn save_data(data: &impl Serialize, path: &Path, expected: Expected, before: Before<'_>) -> Result<Stamp, FileError> {
    let name = || path.display().to_string();
    let text = text_for(data, &name())?;
    whole::save(path, text.as_bytes(), expected, before).map_err(|e| match e {
        NotSaved::Since(since) => FileError::Elsewhere { path: name(), since },
        NotSaved::Cause(cause) => FileError::Write { path: name(), cause },
    })
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
        let refused = save_data(&Unspeakable, &path, Expected::Anything, &|_, _| Ok(())).unwrap_err();
        assert!(matches!(&refused, FileError::Unwritable { cause, .. } if cause == "no words\\nfor it"), "{refused}");
        assert!(refused.to_string().contains("bench.ron: cannot be written as text"), "{refused}");
        assert_eq!(std::fs::read_to_string(&path).unwrap(), "the old version");
        assert!(!backup_path(&path).exists());
    }
}
