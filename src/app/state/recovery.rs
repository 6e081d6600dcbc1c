//! The recovery file: every change is on disk before a crash can take it, written by a job.
//!
//! Each window has one of its own, under a name that no other window ever has, and holds a lock beside it as long as it lives. What a window
//! that ended otherwise left is found by the next ([`left_work`](super::left_work)); it stays until it is in that window's own recovery file,
//! in a file, or given up.

use std::fs::{File, OpenOptions, TryLockError};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{SystemTime, UNIX_EPOCH};

use super::left_work::{About, BEGINNING, ENDING, LOCK, LeftWork, find};
use crate::jobs::{Job, Told, asleep};
use crate::scenario::Scenario;
use crate::scenario::disk::whole::write_file;
use crate::scenario::file;

/// Names tried before a window gives up to find one of its own.
const TRIES: u32 = 100;

/// How a window's lock is taken. Checks have systems without locks.
type Locks = fn(&File) -> Result<(), TryLockError>;

type TakenUp = Vec<(u64, LeftWork)>;

/// What is kept against a crash.
pub struct Kept {
    /// The bench.
    pub scenario: Arc<Scenario>,
    /// What is told of it where it is found.
    pub about: About,
}

/// A window's recovery file.
pub struct Recovery {
    path: Option<PathBuf>,
    /// Writes the newest state; what went wrong is its answer. It is never given up: changes would be lost.
    job: Job<Result<(), String>>,
    /// What goes wrong and was not told yet.
    trouble: Option<String>,
    /// It is told once, until it works again.
    told: bool,
    /// How often it was asked to keep something.
    asked: u64,
    /// What other windows left and this one has taken up, each after so many requests: it goes with the next one that is carried out.
    taken_up: Arc<Mutex<TakenUp>>,
    // Held, never read: the lock goes with it.
    lock: Option<(File, PathBuf)>,
}

impl Default for Recovery {
    fn default() -> Self {
        let job = Job::new("Keeping changes against a crash");
        Self { path: None, job, trouble: None, told: false, asked: 0, taken_up: Arc::default(), lock: None }
    }
}

impl Recovery {
    /// A recovery file of this window's own in a data folder, and what windows that ended badly left there. Where none can be kept, that is a
    /// [`failure`](Self::failure) from the start.
    #[must_use]
    pub fn begin(folder: Option<&Path>) -> (Self, Vec<LeftWork>) {
        Self::begin_with(folder, File::try_lock)
    }

    fn begin_with(folder: Option<&Path>, locks: Locks) -> (Self, Vec<LeftWork>) {
        let left = folder.map(find).unwrap_or_default();
        let mut begun = Self::default();
        match place(folder, locks) {
            Ok((path, lock)) => (begun.path, begun.lock) = (Some(path), Some(lock)),
            Err(trouble) => begun.trouble = Some(trouble),
        }
        (begun, left)
    }

    /// Keeps a bench, or nothing once all is saved. Returns at once.
    pub fn keep(&mut self, kept: Option<Kept>) {
        let Some(target) = self.path.clone() else { return };
        self.asked += 1;
        let (taken_up, number) = (Arc::clone(&self.taken_up), self.asked);
        let asked = self.job.ask(&asleep(), move |_| Some(written(kept.as_ref(), &target).map(|()| let_go(&taken_up, number))));
        if let Err(broken) = asked {
            self.trouble = Some(broken.to_string());
        }
    }

    /// Takes up what another window left, and is now on this one's bench.
    pub fn take_up(&mut self, left: LeftWork) {
        self.taken_up.lock().unwrap_or_else(PoisonError::into_inner).push((self.asked, left));
    }

    /// What went wrong since it last worked, if anything did and it was not told.
    pub fn failure(&mut self) -> Option<String> {
        while let Some((_, told)) = self.job.take() {
            match told {
                Told::Done(Ok(())) => (self.trouble, self.told) = (None, false),
                Told::Done(Err(cause)) => self.trouble = Some(cause),
                Told::Broken(broken) => self.trouble = Some(broken.to_string()),
                _ => {}
            }
        }
        let trouble = self.trouble.take().filter(|_| !self.told)?;
        self.told = true;
        Some(trouble)
    }

    /// Waits for what is being written and, at a clean exit, removes the file.
    pub fn finish(&mut self, clean: bool) {
        self.job.finish();
        if clean {
            if let Some(path) = self.path.take() {
                let _ = std::fs::remove_file(path);
            }
            let_go(&self.taken_up, u64::MAX);
            if let Some((_lock, path)) = self.lock.take() {
                let _ = std::fs::remove_file(path);
            }
        }
    }
}

impl Drop for Recovery {
    fn drop(&mut self) {
        self.finish(false);
    }
}

/// A name of the window's own, its lock taken: the path of the recovery file, and the lock with its path.
fn place(folder: Option<&Path>, locks: Locks) -> Result<(PathBuf, (File, PathBuf)), String> {
    static WINDOWS: AtomicU32 = AtomicU32::new(0);
    let folder = folder.ok_or("this system has no place for the program's data")?;
    std::fs::create_dir_all(folder).map_err(|e| format!("the folder {} cannot be made: {e}", folder.display()))?;
    let since = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |t| t.as_millis());
    for _ in 0..TRIES {
        let number = WINDOWS.fetch_add(1, Ordering::Relaxed);
        let stem = format!("{BEGINNING}{since}-{}-{number}", std::process::id());
        let (path, lock_path) = (folder.join(format!("{stem}{ENDING}")), folder.join(format!("{stem}{LOCK}")));
        let lock = match OpenOptions::new().write(true).create_new(true).open(&lock_path) {
            Ok(lock) => lock,
            Err(e) if e.kind() == std::io::ErrorKind::AlreadyExists => continue,
            Err(e) => return Err(format!("nothing can be written in {}: {e}", folder.display())),
        };
        match locks(&lock) {
            Ok(()) if !path.exists() => return Ok((path, (lock, lock_path))),
            Ok(()) | Err(TryLockError::WouldBlock) => {}
            Err(TryLockError::Error(e)) => {
                let _ = std::fs::remove_file(&lock_path);
                // Another window could not tell whether this one lives, and would offer what is being worked on.
                return Err(format!("the disk of {} has no locks: {e}", folder.display()));
            }
        }
    }
    Err(format!("too many windows keep theirs in {}", folder.display()))
}

/// Writes a bench to the file, or removes the file.
fn written(kept: Option<&Kept>, target: &Path) -> Result<(), String> {
    match kept {
        Some(Kept { scenario, about }) => {
            let text = file::to_text(scenario).map_err(|e| e.to_string())?;
            write_file(target, (about.head() + &text).as_bytes()).map_err(|e| e.to_string())
        }
        None if target.exists() => std::fs::remove_file(target).map_err(|e| e.to_string()),
        None => Ok(()),
    }
}

/// Removes what was taken up before the request of this number: it is safe elsewhere.
fn let_go(taken_up: &Mutex<TakenUp>, number: u64) {
    for (_, left) in taken_up.lock().unwrap_or_else(PoisonError::into_inner).extract_if(.., |(after, _)| *after < number) {
        // What cannot be removed is offered again: better twice than never.
        let _ = left.remove();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::presets;
    use crate::scenario::presets::Library;

    fn kept(name: &str) -> Option<Kept> {
        let scenario = Arc::new(Scenario { name: name.to_owned(), ..presets::demos().remove(0).1 });
        Some(Kept { scenario, about: About { bench: name.to_owned(), ..About::default() } })
    }

    fn names(left: &[LeftWork]) -> Vec<String> {
        let mut names: Vec<String> = left.iter().map(|l| l.about.clone().unwrap().bench).collect();
        names.sort();
        names
    }

    fn begin(folder: &tempfile::TempDir) -> (Recovery, Vec<LeftWork>) {
        Recovery::begin(Some(folder.path()))
    }

    #[test]
    fn all_that_dead_windows_left_is_found_and_what_live_ones_keep_is_not() {
        let folder = tempfile::tempdir().unwrap();
        let mut windows: Vec<Recovery> = (0..5).map(|_| begin(&folder).0).collect();
        for (window, name) in windows.iter_mut().zip(["a", "b \"two\"", "c", "d", "e"]) {
            window.keep(kept(name));
        }
        let alive = windows.pop();
        drop(windows);
        let (first, left) = begin(&folder);
        assert_eq!(names(&left), ["a", "b \"two\"", "c", "d"]);
        let library = Library::shipped();
        for one in &left {
            assert_eq!(file::load(&one.path, &library).unwrap().name, one.about.clone().unwrap().bench);
        }
        // A second one that starts meanwhile does not offer them again; one that starts after a crash does.
        assert_eq!(names(&begin(&folder).1), Vec::<String>::new());
        drop((first, left));
        drop(alive);
        assert_eq!(names(&begin(&folder).1), ["a", "b \"two\"", "c", "d", "e"]);
    }

    #[test]
    fn what_is_taken_up_stays_until_it_is_safe_and_goes_then() {
        let folder = tempfile::tempdir().unwrap();
        let mut dead = begin(&folder).0;
        dead.keep(kept("mine"));
        drop(dead);
        let (mut window, mut left) = begin(&folder);
        window.take_up(left.remove(0));
        drop(window);
        let (mut window, mut left) = begin(&folder);
        assert_eq!(names(&left), ["mine"], "it ended before it was written again");
        window.take_up(left.remove(0));
        window.keep(kept("mine, further"));
        drop(window);
        let (mut window, mut left) = begin(&folder);
        assert_eq!(names(&left), ["mine, further"], "once, and not twice");
        window.take_up(left.remove(0));
        window.keep(None);
        drop(window);
        let (mut window, left) = begin(&folder);
        assert!(left.is_empty(), "all is saved");
        window.keep(kept("given up"));
        window.finish(true);
        drop(window);
        assert!(begin(&folder).1.is_empty(), "a clean exit leaves nothing");
    }

    #[test]
    fn what_cannot_be_read_is_found_all_the_same() {
        let folder = tempfile::tempdir().unwrap();
        // As earlier versions called them, too.
        for name in ["window-1.recovery.ron", "window-2.recovery.ron"] {
            std::fs::write(folder.path().join(name), "(format: 1,").unwrap();
        }
        std::fs::write(folder.path().join("window-1.lock"), "").unwrap();
        std::fs::create_dir(folder.path().join("window-3.recovery.ron")).unwrap();
        let (_window, left) = begin(&folder);
        assert_eq!(left.len(), 2);
        assert!(left.iter().all(|l| l.about.is_none() && l.when.is_some()));
        left[0].remove().unwrap();
        drop(left);
        assert_eq!(begin(&folder).1.len(), 1);
    }

    #[test]
    fn where_none_can_be_kept_that_is_told_at_once_and_once() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("file");
        std::fs::write(&file, "").unwrap();
        let no_locks = |_: &File| Err(TryLockError::Error(std::io::ErrorKind::Unsupported.into()));
        let places = [
            (Recovery::begin(None).0, "no place"),
            (Recovery::begin(Some(&file.join("data"))).0, "cannot be made"),
            (Recovery::begin_with(Some(folder.path()), no_locks).0, "has no locks"),
        ];
        for (mut window, said) in places {
            assert!(window.failure().is_some_and(|told| told.contains(said)), "{said}");
            window.keep(kept("a"));
            window.job.finish();
            assert_eq!(window.failure(), None);
        }
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1, "nothing is left lying about");
    }

    #[test]
    fn what_fails_later_is_told_once_until_it_works_again() {
        let folder = tempfile::tempdir().unwrap();
        let mut window = begin(&folder).0;
        let path = window.path.clone().unwrap();
        let mut turns = Vec::new();
        for blocked in [false, true, true, false, true] {
            if blocked && !path.is_dir() {
                let _ = std::fs::remove_file(&path);
                std::fs::create_dir(&path).unwrap();
            } else if !blocked && path.is_dir() {
                std::fs::remove_dir(&path).unwrap();
            }
            window.keep(kept("a"));
            let began = std::time::Instant::now();
            while window.job.underway().is_some() && began.elapsed().as_secs() < 60 {
                turns.extend(window.failure());
                std::thread::yield_now();
            }
            turns.extend(window.failure());
        }
        assert_eq!(turns.len(), 2, "{turns:?}");
    }
}
