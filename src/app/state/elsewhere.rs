//! What other programs, and other windows, do to the file on the bench: watched by a job, so that it is told when it happens and a slow disk
//! never holds the window up.

use std::fs::{File, OpenOptions};
use std::path::{Path, PathBuf};
use std::thread::sleep;
use std::time::Duration;

use crate::jobs::{Job, Told, Wake};
use crate::scenario::disk::{Expected, Since, Stamp};

/// How often the file is looked at.
const LOOKS: Duration = Duration::from_millis(500);
/// The folder, within that of the program's data, of the marks of files that are open.
const MARKS: &str = "open";

/// Watches one file.
pub struct Watch {
    /// Tells what became of the file each time that it changes; nothing when it is again as it was known.
    job: Job<Option<Since>>,
    watched: Option<(PathBuf, Option<Stamp>)>,
    /// The mark that the file is open here; none where another window has it.
    mark: Option<(PathBuf, File)>,
}

impl Default for Watch {
    fn default() -> Self {
        Self { job: Job::new("Watching the file"), watched: None, mark: None }
    }
}

impl Watch {
    /// Watches a file that is known like this, or none. Where it is watched already nothing happens.
    pub fn over(&mut self, wake: &Wake, path: Option<&Path>, known: Option<Stamp>) {
        let wanted = path.map(|path| (path.to_path_buf(), known));
        if wanted == self.watched {
            return;
        }
        self.watched = wanted.clone();
        self.job.cancel();
        let Some((path, known)) = wanted else { return };
        // Without a thread it is seen when the file is saved.
        let _ = self.job.ask(wake, move |work| {
            let (mut seen, mut told) = (known, None);
            while work.wanted() {
                let is_as_seen = seen.map_or_else(|| !path.exists(), |stamp| stamp.looks_the_same(&path));
                // What cannot be read now may be a moment later: another program is writing it.
                if !is_as_seen && let Ok(found) = Stamp::of(&path) {
                    seen = found;
                    let since = Expected::of(known).against(found);
                    if since != told {
                        told = since;
                        work.so_far(since);
                    }
                }
                sleep(LOOKS);
            }
            None
        });
    }

    /// Looks at the file anew from now on: what was told of it before is past.
    pub fn begin_anew(&mut self) {
        self.job.cancel();
        self.watched = None;
    }

    /// What became of the file since this was last asked, if anything did: nothing inside where it is again as it was known.
    pub fn take(&mut self) -> Option<Option<Since>> {
        match self.job.take()? {
            (_, Told::SoFar(since)) => Some(since),
            _ => None,
        }
    }

    /// Marks the file as open here, in the folder of the program's data; false where another window has it open. Where no marks can be kept,
    /// nothing is known of other windows, and saving goes by what the file holds.
    pub fn mark(&mut self, data: Option<&Path>, path: Option<&Path>) -> bool {
        let mark = data.zip(path).and_then(|(data, path)| Some(data.join(MARKS).join(mark_of(path)?)));
        if mark.as_ref() == self.mark.as_ref().map(|(path, _)| path) {
            return true;
        }
        self.unmark();
        let Some(mark) = mark else { return true };
        let open = || {
            std::fs::create_dir_all(mark.parent()?).ok()?;
            OpenOptions::new().create(true).append(true).open(&mark).ok()
        };
        let Some(file) = open() else { return true };
        match file.try_lock() {
            Ok(()) => self.mark = Some((mark, file)),
            Err(std::fs::TryLockError::WouldBlock) => return false,
            Err(std::fs::TryLockError::Error(_)) => {}
        }
        true
    }

    fn unmark(&mut self) {
        if let Some((path, _lock)) = self.mark.take() {
            let _ = std::fs::remove_file(path);
        }
    }
}

impl Drop for Watch {
    fn drop(&mut self) {
        self.unmark();
    }
}

/// The name of the mark of a file: the same by whatever way the file is reached.
fn mark_of(path: &Path) -> Option<String> {
    let real = path.canonicalize().ok()?;
    Some(format!("{:016x}.lock", Stamp::sum_of(real.as_os_str().as_encoded_bytes())))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::jobs::asleep;

    fn told(watch: &mut Watch) -> Option<Since> {
        loop {
            if let Some(since) = watch.take() {
                return since;
            }
            std::thread::yield_now();
        }
    }

    #[test]
    fn each_change_is_told_once_and_so_is_its_end() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.ron");
        std::fs::write(&path, "mine").unwrap();
        let known = Stamp::of(&path).unwrap();
        let mut watch = Watch::default();
        watch.over(&asleep(), Some(&path), known);
        std::fs::write(&path, "theirs").unwrap();
        assert!(matches!(told(&mut watch), Some(Since::Changed(_))));
        std::fs::write(&path, "mine").unwrap();
        assert_eq!(told(&mut watch), None);
        std::fs::remove_file(&path).unwrap();
        assert_eq!(told(&mut watch), Some(Since::Gone));
        watch.over(&asleep(), Some(&path), None);
        std::fs::write(&path, "anew").unwrap();
        assert!(matches!(told(&mut watch), Some(Since::Appeared(_))));
        watch.over(&asleep(), None, None);
        assert_eq!(watch.take(), None);
    }

    #[test]
    fn a_file_is_open_in_one_window_at_a_time_by_whatever_way_it_is_reached() {
        let data = tempfile::tempdir().unwrap();
        let (path, other) = (data.path().join("a.ron"), data.path().join("open/../a.ron"));
        std::fs::write(&path, "").unwrap();
        let (mut first, mut second) = (Watch::default(), Watch::default());
        assert!(first.mark(Some(data.path()), Some(&path)) && first.mark(Some(data.path()), Some(&path)));
        assert!(!second.mark(Some(data.path()), Some(&other)));
        assert!(second.mark(Some(data.path()), None) && second.mark(None, Some(&path)));
        drop(first);
        assert!(second.mark(Some(data.path()), Some(&other)));
    }
}
