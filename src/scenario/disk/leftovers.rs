//! Temporary files of saves: named so that they are known again, locked as long as their save runs, and cleared away by the next save where
//! theirs was killed.

use std::fs::{File, Metadata};
use std::io;
use std::path::Path;
use std::time::Duration;

use tempfile::NamedTempFile;

const PREFIX: &str = ".slakeline-saving-";
const SUFFIX: &str = ".tmp";
/// Letters and figures between them that chance gives.
const BY_CHANCE: usize = 8;
/// An empty one that is younger may be that of a save which has not locked it yet.
const FRESH: Duration = Duration::from_secs(10);

/// A temporary file in a folder: with the rights that any new file gets, or those of the file that it is to replace.
///
/// # Errors
/// What the system says.
pub fn temporary_in(folder: &Path, replaces: Option<&Metadata>) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // The system takes away what the user's mask forbids; what others may not read is not shown to them meanwhile.
        builder.permissions(std::fs::Permissions::from_mode(replaces.map_or(0o666, |old| old.permissions().mode() & 0o666)));
    }
    #[cfg(not(unix))]
    let _ = replaces;
    let temporary = builder.prefix(PREFIX).suffix(SUFFIX).rand_bytes(BY_CHANCE).tempfile_in(folder)?;
    // Where a system has no locks, none of them is ever taken for one that was left.
    let _ = temporary.as_file().try_lock();
    Ok(temporary)
}

/// Clears away what killed saves left in a folder. Of other programs' files and of saves that run nothing is touched; what cannot be looked
/// at stays.
pub fn clear(folder: &Path) {
    let Ok(entries) = std::fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let is_file = entry.file_type().is_ok_and(|kind| kind.is_file());
        if is_file && is_ours(&entry.file_name().to_string_lossy()) && is_left(&entry.path()) {
            // It may be gone already: another save clears away, too.
            let _ = std::fs::remove_file(entry.path());
        }
    }
}

/// Whether a name is that of a temporary file of ours.
#[must_use]
pub fn is_ours(name: &str) -> bool {
    let between = name.strip_prefix(PREFIX).and_then(|rest| rest.strip_suffix(SUFFIX));
    between.is_some_and(|letters| letters.len() == BY_CHANCE && letters.bytes().all(|b| b.is_ascii_alphanumeric()))
}

fn is_left(path: &Path) -> bool {
    let Ok(file) = File::open(path) else { return false };
    let Ok(about) = file.metadata() else { return false };
    let age = about.modified().ok().and_then(|at| at.elapsed().ok());
    let may_be_new = about.len() == 0 && age.is_none_or(|age| age < FRESH);
    !may_be_new && file.try_lock().is_ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_names_that_were_given_here_are_ours() {
        let folder = tempfile::tempdir().unwrap();
        let made = temporary_in(folder.path(), None).unwrap();
        assert!(is_ours(&made.path().file_name().unwrap().to_string_lossy()));
        for other in [".slakeline-notes", ".slakeline-saving-.tmp", ".slakeline-saving-12345678", ".slakeline-saving-1234567é.tmp", "x.tmp"]
        {
            assert!(!is_ours(other), "{other}");
        }
    }
}
