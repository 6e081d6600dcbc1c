//! Work of windows that ended without being closed: found by its recovery files, each told by what its head says, and none lost before it
//! is taken up or given up on purpose.

use std::fs::{File, OpenOptions};
use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use serde::{Deserialize, Serialize};

use crate::scenario::disk::Stamp;
use crate::scenario::disk::special::is_no_file;
use crate::scenario::file;

/// How recovery files end.
pub const ENDING: &str = ".recovery.ron";
/// How the files end whose locks tell that a window lives.
pub const LOCK: &str = ".lock";
/// How both begin.
pub const BEGINNING: &str = "window-";
/// What stands before what a recovery file tells of itself.
const HEAD: &str = "// Left: ";
/// Longest head, bytes.
const LONGEST_HEAD: u64 = 1 << 16;
/// A lock without a recovery file that is younger may be that of a window which opens at this moment.
const FRESH: Duration = Duration::from_secs(60);

/// What a recovery file tells of itself, in its first line.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct About {
    /// What the bench is called.
    pub bench: String,
    /// The file it was opened from or saved to last.
    pub file: Option<PathBuf>,
    /// What that file was like then.
    pub known: Option<Stamp>,
    /// How many lanes and days.
    pub size: (usize, u32),
    /// How many changes no file holds, and the name of the last.
    pub changes: (usize, String),
}

impl About {
    /// The first line of its recovery file; empty where it cannot be written.
    #[must_use]
    pub fn head(&self) -> String {
        file::options().to_string(self).map_or_else(|_| String::new(), |text| format!("{HEAD}{text}\n"))
    }

    fn read(path: &Path) -> Option<Self> {
        let mut line = String::new();
        BufReader::new(File::open(path).ok()?.take(LONGEST_HEAD)).read_line(&mut line).ok()?;
        file::options().from_str(line.strip_prefix(HEAD)?).ok()
    }
}

/// Work that a window left. As long as this lives no other window offers it.
#[derive(Debug)]
pub struct LeftWork {
    /// Its recovery file.
    pub path: PathBuf,
    /// What it is, where the file tells.
    pub about: Option<About>,
    /// When it was written last.
    pub when: Option<SystemTime>,
    // Held, never read.
    _lock: Option<File>,
}

impl LeftWork {
    /// Removes it from disk: it is taken up elsewhere, or given up on purpose.
    ///
    /// # Errors
    /// What the system says.
    pub fn remove(&self) -> std::io::Result<()> {
        std::fs::remove_file(&self.path)?;
        // An empty lock is cleared away later, if not now.
        let _ = std::fs::remove_file(lock_of(&self.path));
        Ok(())
    }
}

/// The lock of a recovery file.
fn lock_of(path: &Path) -> PathBuf {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!("{}{LOCK}", name.strip_suffix(ENDING).unwrap_or(&name)))
}

/// What windows that do not live any more left in a folder, the newest first.
#[must_use]
pub fn find(folder: &Path) -> Vec<LeftWork> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let mut found = Vec::new();
    for path in entries.flatten().map(|e| e.path()) {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        if !name.starts_with(BEGINNING) || is_no_file(&path) {
            continue;
        }
        if name.ends_with(ENDING) {
            found.extend(claimed(&path));
        } else if name.ends_with(LOCK) {
            clear_lock(&path);
        }
    }
    found.sort_by(|a, b| (b.when, &b.path).cmp(&(a.when, &a.path)));
    found
}

/// Takes a recovery file for this window, unless the window that writes it lives or another one has taken it.
fn claimed(path: &Path) -> Option<LeftWork> {
    let lock = lock_of(path);
    if is_no_file(&lock) {
        return None;
    }
    // On a disk that can only be read there may be none: then nobody else holds it either.
    let lock = File::open(&lock).or_else(|_| OpenOptions::new().create(true).append(true).open(&lock)).ok();
    if lock.as_ref().is_some_and(|lock| lock.try_lock().is_err()) {
        return None;
    }
    // Another window may have taken it up just before.
    let when = path.metadata().ok()?.modified().ok();
    Some(LeftWork { path: path.to_path_buf(), about: About::read(path), when, _lock: lock })
}

/// Clears away the lock of a window that left nothing.
fn clear_lock(path: &Path) {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let stem = name.strip_suffix(LOCK).unwrap_or(&name);
    let Ok(lock) = File::open(path) else { return };
    let age = lock.metadata().and_then(|m| m.modified()).ok().and_then(|at| at.elapsed().ok());
    let is_old = age.is_some_and(|age| age >= FRESH);
    if is_old && lock.try_lock().is_ok() && !path.with_file_name(format!("{stem}{ENDING}")).exists() {
        let _ = std::fs::remove_file(path);
    }
}
