//! Files that are written whole or not at all: to a temporary file beside them, which is flushed and then given their name.

use std::fs::{File, Metadata, TryLockError};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::thread::sleep;
use std::time::{Duration, Instant};

use tempfile::NamedTempFile;

use super::leftovers::{clear, temporary_in};
use super::special;
use super::stamp::{Expected, Since, Stamp};

/// How long a save waits for another one of the same file; then it goes by what the file holds alone.
const PATIENCE: Duration = Duration::from_millis(500);

/// A step of a write. Checks have any of them fail.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// A temporary file is made.
    Make,
    /// It is written.
    Write,
    /// It gets owner and rights.
    Rights,
    /// It is flushed.
    Flush,
    /// It gets its name.
    Name,
}

impl Step {
    /// All of them, in their order.
    pub const ALL: [Self; 5] = [Self::Make, Self::Write, Self::Rights, Self::Flush, Self::Name];
}

/// Asked before each step, with the file that is written, whether the step may be taken.
pub type Before<'a> = &'a dyn Fn(Step, &Path) -> io::Result<()>;

/// Why a file was not saved. The one that was there is untouched.
#[derive(Debug)]
pub enum NotSaved {
    /// It is not there as expected.
    Since(Since),
    /// What is in the way, with the words of the system.
    Cause(io::Error),
}

impl From<io::Error> for NotSaved {
    fn from(cause: io::Error) -> Self {
        Self::Cause(cause)
    }
}

/// Where the previous version of a file is kept.
#[must_use]
pub fn backup_path(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".bak");
    PathBuf::from(name)
}

/// A name beside a file that no file has yet: the same with a number.
#[must_use]
pub fn free_beside(path: &Path) -> PathBuf {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let ending = path.extension().map(|e| format!(".{}", e.to_string_lossy())).unwrap_or_default();
    let numbered = |n: u32| path.with_file_name(format!("{stem}-{n}{ending}"));
    (2..).map(numbered).find(|beside| std::fs::symlink_metadata(beside).is_err()).unwrap_or_else(|| path.to_path_buf())
}

/// Writes a file whole or not at all. A link is followed and stays a link; a new file gets the usual rights, a replaced one keeps its owner
/// and rights, so far as the system allows; a file marked read-only is refused. What is neither file nor folder (a pipe, a device) is written
/// to, and given up where nobody reads it.
///
/// # Errors
/// What is in the way; the old file is then untouched.
pub fn write_atomically(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let place = Place::of(path)?;
    match &place.old {
        Some(old) if !old.is_file() => special::write(&place.target, bytes),
        _ => {
            clear(&place.folder);
            place.put(bytes, None, &|_, _| Ok(()), false).map(drop)
        }
    }
}

/// The same of what can only be a file: pipes and devices are refused, and never waited for.
///
/// # Errors
/// As [`write_atomically`].
pub fn write_file(path: &Path, bytes: &[u8]) -> io::Result<()> {
    if special::is_no_file(path) && !path.is_dir() {
        return Err(io::Error::new(ErrorKind::InvalidInput, special::NO_FILE));
    }
    write_atomically(path, bytes)
}

/// Saves a file: whole or not at all, as expected, and the version that was there before is kept beside it with `.bak` at its end. `before`
/// is asked before each step; it stops none but in checks.
///
/// # Errors
/// [`NotSaved`]; the old file is then untouched.
pub fn save(path: &Path, bytes: &[u8], expected: Expected, before: Before<'_>) -> Result<Stamp, NotSaved> {
    let place = Place::of(path)?;
    if place.old.as_ref().is_some_and(|old| !old.is_file()) {
        return Err(io::Error::new(ErrorKind::InvalidInput, special::NO_FILE).into());
    }
    clear(&place.folder);
    let _held = place.old.as_ref().and_then(|_| held(&place.target));
    if let Some(since) = expected.since(&place.target).map_err(|e| named(&e, "what is there cannot be read"))? {
        return Err(NotSaved::Since(since));
    }
    let backup = match &place.old {
        Some(_) => Some(backup_place(path, &place)?),
        None => None,
    };
    // The new version is whole on disk before the one before the old one is given up.
    let ready = place.made(bytes, None, before)?;
    if let (Some(backup), Some(old)) = (&backup, &place.old) {
        let bytes = std::fs::read(&place.target).map_err(|e| named(&e, "the version before cannot be read"))?;
        backup.put(&bytes, Some(old), before, false).map_err(|e| named(&e, &backup.in_words()))?;
        // It was looked at before the backup was written; another program may not have waited.
        if let Some(since) = expected.since(&place.target)? {
            return Err(NotSaved::Since(since));
        }
    }
    let may_replace = expected != Expected::Nothing;
    match place.name(ready, before, !may_replace) {
        Ok(file) => Ok(Stamp::of_bytes(bytes, &file)),
        Err(e) if e.kind() == ErrorKind::AlreadyExists && !may_replace => {
            Err(Stamp::of(&place.target)?.map_or(NotSaved::Cause(e), |found| NotSaved::Since(Since::Appeared(found))))
        }
        Err(e) => Err(e.into()),
    }
}

/// Where a file is written.
struct Place {
    /// The file that links lead to.
    target: PathBuf,
    /// Its folder.
    folder: PathBuf,
    /// What is there.
    old: Option<Metadata>,
    /// What is written here is the version before of a file of this name.
    keeps: Option<String>,
}

impl Place {
    fn of(path: &Path) -> io::Result<Self> {
        if let Err(e) = std::fs::symlink_metadata(path)
            && e.kind() == ErrorKind::InvalidFilename
        {
            return Err(named(&e, ""));
        }
        let target = followed(path)?;
        let old = std::fs::metadata(&target).ok();
        if old.as_ref().is_some_and(Metadata::is_dir) {
            return Err(io::Error::new(ErrorKind::IsADirectory, "there is a folder of that name"));
        }
        // A pipe or a device has no rights that a save would have to heed.
        if old.as_ref().is_some_and(|old| old.is_file() && old.permissions().readonly()) {
            return Err(io::Error::new(ErrorKind::PermissionDenied, "the file is marked read-only"));
        }
        let folder = match target.parent() {
            Some(p) if !p.as_os_str().is_empty() => p.to_path_buf(),
            _ => PathBuf::from("."),
        };
        if !folder.is_dir() {
            return Err(io::Error::new(ErrorKind::NotFound, format!("there is no folder {}", folder.display())));
        }
        Ok(Self { target, folder, old, keeps: None })
    }

    /// What is written here, at the head of what is in its way.
    fn in_words(&self) -> String {
        self.keeps.as_ref().map_or_else(String::new, |name| format!("{name}, where the version before is kept"))
    }

    /// Writes it whole. `like` is whose owner and rights a new one gets.
    fn put(&self, bytes: &[u8], like: Option<&Metadata>, before: Before<'_>, only_new: bool) -> io::Result<File> {
        self.name(self.made(bytes, like, before)?, before, only_new)
    }

    /// A temporary file beside it that holds all of it, is flushed, and has owner and rights of the one that is there.
    fn made(&self, bytes: &[u8], like: Option<&Metadata>, before: Before<'_>) -> io::Result<NamedTempFile> {
        let like = self.old.as_ref().or(like);
        let step = |step| before(step, &self.target);
        let made = || {
            step(Step::Make)?;
            let mut temporary = temporary_in(&self.folder, like)?;
            // What fails half-way leaves a half, as a full disk does.
            let half = bytes.len() / 2;
            temporary.write_all(&bytes[..half])?;
            step(Step::Write)?;
            temporary.write_all(&bytes[half..])?;
            step(Step::Rights)?;
            if let Some(like) = like {
                give(temporary.as_file(), like)?;
            }
            step(Step::Flush)?;
            temporary.as_file().sync_all()?;
            Ok(temporary)
        };
        made().map_err(|e: io::Error| named(&e, ""))
    }

    /// Gives it its name; `only_new`: only where nothing has it.
    fn name(&self, ready: NamedTempFile, before: Before<'_>, only_new: bool) -> io::Result<File> {
        before(Step::Name, &self.target).map_err(|e| named(&e, ""))?;
        let named_file = if only_new { ready.persist_noclobber(&self.target) } else { ready.persist(&self.target) };
        let file = match named_file {
            Ok(file) => file,
            // Not every disk can tell in one go whether the name is taken.
            Err(e) if only_new && e.error.kind() != ErrorKind::AlreadyExists && !self.target.exists() => {
                e.file.persist(&self.target).map_err(|e| named(&e.error, ""))?
            }
            Err(e) if e.error.kind() == ErrorKind::AlreadyExists => return Err(e.error),
            Err(e) => return Err(named(&e.error, "")),
        };
        // The new name is on disk once the folder is; a system that cannot flush a folder has still renamed whole.
        if let Ok(folder) = File::open(&self.folder) {
            let _ = folder.sync_all();
        }
        Ok(file)
    }
}

/// Where the version before is kept, or what is in the way there.
fn backup_place(path: &Path, place: &Place) -> io::Result<Place> {
    let kept = backup_path(path);
    let name = kept.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let words = format!("{name}, where the version before is kept");
    let backup = Place::of(&kept).map_err(|e| named(&e, &words))?;
    if backup.old.as_ref().is_some_and(|old| !old.is_file()) {
        return Err(io::Error::new(ErrorKind::InvalidInput, format!("{words}: {}", special::NO_FILE)));
    }
    if backup.target == place.target {
        return Err(io::Error::new(ErrorKind::InvalidInput, format!("{words}: it is a link to the file itself")));
    }
    Ok(Place { keeps: Some(name), ..backup })
}

/// Keeps other saves of the same file waiting as long as it is held; they then see that it has changed.
fn held(target: &Path) -> Option<File> {
    let file = File::open(target).ok()?;
    let began = Instant::now();
    while let Err(TryLockError::WouldBlock) = file.try_lock() {
        if began.elapsed() >= PATIENCE {
            return None;
        }
        sleep(Duration::from_millis(5));
    }
    // Where a system has no locks, what the file holds is compared all the same.
    Some(file)
}

/// Gives a file the owner and the rights of another.
#[cfg(unix)]
fn give(file: &File, like: &Metadata) -> io::Result<()> {
    use std::os::unix::fs::{MetadataExt, PermissionsExt, fchown};
    let now = file.metadata()?;
    let mut mode = like.mode() & 0o7777;
    // Only the superuser gives files away. Where the group cannot stay, another group gets no more than everybody has.
    if now.gid() != like.gid() && fchown(file, None, Some(like.gid())).is_err() {
        mode = (mode & !0o2070) | ((mode & 0o007) << 3);
    }
    if now.uid() != like.uid() && fchown(file, Some(like.uid()), None).is_err() {
        mode &= !0o4000;
    }
    file.set_permissions(std::fs::Permissions::from_mode(mode))
}

#[cfg(not(unix))]
fn give(file: &File, like: &Metadata) -> io::Result<()> {
    file.set_permissions(like.permissions())
}

/// An error by its kind in plain words, after what it is about.
fn named(e: &io::Error, what: &str) -> io::Error {
    let plain = match e.kind() {
        ErrorKind::StorageFull => "the disk is full",
        ErrorKind::QuotaExceeded => "your share of the disk is used up",
        ErrorKind::FileTooLarge => "it would be larger than a file may be here",
        ErrorKind::ReadOnlyFilesystem => "the disk can only be read",
        ErrorKind::InvalidFilename => "the name is too long",
        _ => "",
    };
    let said = e.to_string();
    // The name of a temporary file helps nobody.
    let said = said.split(" at path \"").next().unwrap_or(&said);
    let said = if plain.is_empty() || said.contains(plain) { said.to_owned() } else { format!("{plain} ({said})") };
    io::Error::new(e.kind(), if what.is_empty() { said } else { format!("{what}: {said}") })
}

/// Where a chain of links leads, also when nothing is there yet.
fn followed(path: &Path) -> io::Result<PathBuf> {
    if let Ok(real) = std::fs::canonicalize(path) {
        return Ok(real);
    }
    // A pipe that a shell hands over is there, though its link leads to no name.
    if special::is_no_file(path) {
        return Ok(path.to_path_buf());
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
