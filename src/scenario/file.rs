//! Scenario files: RON with a format number, read with clear errors, saved without ever losing the old version.

use std::io::{Read, Write};
use std::path::{Path, PathBuf};

use serde::Deserialize;

use super::{FORMAT, Problem, Scenario, presets::Library};

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
        cause: std::io::Error,
    },
    /// The file could not be written; the old version is untouched.
    #[error("{path}: cannot be saved: {cause}")]
    Write {
        /// Which file.
        path: String,
        /// What the system said.
        cause: std::io::Error,
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
        found: u32,
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
            Self::TooLarge { .. } | Self::NotText { .. } => "Choose a Slakeline scenario, a text file that ends in .ron.",
            Self::Empty { .. } => "If a save was cut short, the version before it lies beside it with .bak at its end.",
            Self::Syntax { .. } => {
                "Mend that place in a text editor; DEVELOPERS.md lists every field. An earlier version may lie beside it as .bak."
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

/// Reads a scenario from text, without checking its values.
///
/// # Errors
/// [`FileError::Empty`], [`FileError::Newer`] or [`FileError::Syntax`], with `text` standing for the path.
pub fn parse(text: &str) -> Result<Scenario, FileError> {
    parse_as(text, "text")
}

fn parse_as(text: &str, path: &str) -> Result<Scenario, FileError> {
    /// Only the format number, whatever else a newer file may hold.
    #[derive(Deserialize)]
    struct Header {
        format: u32,
    }
    let path = || path.to_owned();
    if text.trim_matches(|c: char| c.is_whitespace() || c == '\u{feff}').is_empty() {
        return Err(FileError::Empty { path: path() });
    }
    if let Ok(Header { format: found }) = options().from_str::<Header>(text)
        && found > FORMAT
    {
        return Err(FileError::Newer { path: path(), found });
    }
    let mut scenario: Scenario = options().from_str(text).map_err(|e| FileError::Syntax {
        path: path(),
        line: e.span.start.line,
        column: e.span.start.col,
        cause: e.code.to_string(),
    })?;
    scenario.sort_schedule();
    Ok(scenario)
}

/// Reads a scenario file and checks every value against its range.
///
/// # Errors
/// Any [`FileError`] but `Write`; nothing is changed on disk.
pub fn load(path: &Path, library: &Library) -> Result<Scenario, FileError> {
    let name = path.display().to_string();
    let bytes = read_bytes(path, &name)?;
    let text = String::from_utf8(bytes).map_err(|e| FileError::NotText { path: name.clone(), at: e.utf8_error().valid_up_to() })?;
    let scenario = parse_as(&text, &name)?;
    let problems = scenario.validate(library);
    if problems.is_empty() { Ok(scenario) } else { Err(FileError::Invalid { path: name, problems }) }
}

fn read_bytes(path: &Path, name: &str) -> Result<Vec<u8>, FileError> {
    let failed = |cause| FileError::Read { path: name.to_owned(), cause };
    let file = std::fs::File::open(path).map_err(failed)?;
    let mut bytes = Vec::new();
    file.take(MAX_BYTES + 1).read_to_end(&mut bytes).map_err(failed)?;
    if bytes.len() as u64 > MAX_BYTES {
        return Err(FileError::TooLarge { path: name.to_owned() });
    }
    Ok(bytes)
}

/// The scenario as RON text, as it is saved.
#[must_use]
pub fn to_text(scenario: &Scenario) -> String {
    let pretty = ron::ser::PrettyConfig::new().struct_names(false).depth_limit(8).extensions(ron::extensions::Extensions::IMPLICIT_SOME);
    // Plain data with finite numbers and text always serialises.
    let body = options().to_string_pretty(scenario, pretty).unwrap_or_default();
    format!("// A Slakeline scenario. Every field is described in DEVELOPERS.md.\n{body}\n")
}

/// Saves a scenario: written to a temporary file beside the target, flushed, then renamed over it. The version that was
/// there before is kept beside it with `.bak` at its end.
///
/// # Errors
/// [`FileError::Write`]; the old version is then untouched.
pub fn save(scenario: &Scenario, path: &Path) -> Result<(), FileError> {
    let failed = |cause| FileError::Write { path: path.display().to_string(), cause };
    if path.exists() {
        std::fs::copy(path, backup_path(path)).map_err(failed)?;
    }
    write_atomically(path, to_text(scenario).as_bytes()).map_err(failed)
}

/// Where the previous version of a file is kept.
#[must_use]
pub fn backup_path(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".bak");
    PathBuf::from(name)
}

/// Writes a file whole or not at all.
///
/// # Errors
/// What the system says; the old file is then untouched.
pub fn write_atomically(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let folder = match path.parent() {
        Some(p) if !p.as_os_str().is_empty() => p,
        _ => Path::new("."),
    };
    let mut temporary = tempfile::NamedTempFile::new_in(folder)?;
    temporary.write_all(bytes)?;
    temporary.as_file().sync_all()?;
    // A temporary file is private; a saved one gets the rights of the file it replaces, or the usual ones.
    if let Ok(old) = std::fs::metadata(path) {
        temporary.as_file().set_permissions(old.permissions())?;
    }
    temporary.persist(path).map_err(|e| e.error)?;
    Ok(())
}
