//! The recovery file: every change is on disk before a crash can take it, written by a job.
//!
//! Each window owns a numbered slot in the data folder by holding a lock on it; a slot whose window has died without leaving
//! cleanly still holds its scenario, and the next window to take the slot recovers it.

use std::fs::File;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::jobs::{Job, Told, asleep};
use crate::scenario::Scenario;
use crate::scenario::file;
use crate::scenario::presets::Library;

/// Most windows that keep recovery files side by side.
const SLOTS: usize = 32;

/// What a window that died left behind.
#[derive(Debug, PartialEq)]
pub enum Left {
    /// Nothing: it was closed, or there was none.
    Nothing,
    /// Its scenario.
    Scenario(Box<Scenario>),
    /// A file that cannot be read, put aside here for a text editor.
    Unreadable(PathBuf),
}

impl Left {
    fn found(path: &Path, library: &Library) -> Self {
        if !path.exists() {
            return Self::Nothing;
        }
        if let Ok(scenario) = file::load(path, library) {
            return Self::Scenario(Box::new(scenario));
        }
        let aside = path.with_extension("unreadable.ron");
        // If it cannot be put aside either, there is nothing to point at.
        std::fs::rename(path, &aside).map_or(Self::Nothing, |()| Self::Unreadable(aside))
    }
}

/// A window's recovery file.
pub struct Recovery {
    path: Option<PathBuf>,
    /// Writes the newest state; what went wrong is its answer. It is never given up: changes would be lost.
    job: Job<Result<(), String>>,
    /// No thread could be started to write it.
    failed: Option<String>,
    // Held, never read: the lock goes with it.
    _lock: Option<File>,
}

impl Default for Recovery {
    fn default() -> Self {
        Self::of(None, None)
    }
}

impl Recovery {
    fn of(path: Option<PathBuf>, lock: Option<File>) -> Self {
        Self { path, job: Job::new("Keeping changes against a crash"), failed: None, _lock: lock }
    }

    /// Takes the first free slot of a data folder. Also returns what a dead window left there.
    #[must_use]
    pub fn take_slot(folder: Option<&Path>, library: &Library) -> (Self, Left) {
        let Some(folder) = folder else { return (Self::default(), Left::Nothing) };
        if std::fs::create_dir_all(folder).is_err() {
            return (Self::default(), Left::Nothing);
        }
        for slot in 1..=SLOTS {
            let Ok(lock) = File::create(folder.join(format!("window-{slot}.lock"))) else { break };
            if lock.try_lock().is_err() {
                continue;
            }
            let path = folder.join(format!("window-{slot}.recovery.ron"));
            let left = Left::found(&path, library);
            return (Self::of(Some(path), Some(lock)), left);
        }
        (Self::default(), Left::Nothing)
    }

    /// Keeps a scenario, or nothing once all is saved. Returns at once.
    pub fn keep(&mut self, scenario: Option<Arc<Scenario>>) {
        if let Some(target) = self.path.clone() {
            let asked = self.job.ask(&asleep(), move |_| Some(written(scenario.as_deref(), &target)));
            self.failed = asked.err().map(|broken| broken.to_string());
        }
    }

    /// What went wrong since this was last asked, if anything did.
    pub fn failure(&mut self) -> Option<String> {
        let mut failed = self.failed.take();
        while let Some((_, told)) = self.job.take() {
            failed = match told {
                Told::Done(Err(cause)) => Some(cause),
                Told::Broken(broken) => Some(broken.to_string()),
                _ => failed,
            };
        }
        failed
    }

    /// Waits for what is being written and, at a clean exit, removes the file.
    pub fn finish(&mut self, clean: bool) {
        self.job.finish();
        if clean && let Some(path) = &self.path {
            let _ = std::fs::remove_file(path);
        }
    }
}

impl Drop for Recovery {
    fn drop(&mut self) {
        self.finish(false);
    }
}

/// Writes a scenario to the file, or removes the file.
fn written(scenario: Option<&Scenario>, target: &Path) -> Result<(), String> {
    let done = match scenario {
        Some(scenario) => {
            file::to_text(scenario).map_err(std::io::Error::other).and_then(|text| file::write_atomically(target, text.as_bytes()))
        }
        None if target.exists() => std::fs::remove_file(target),
        None => Ok(()),
    };
    done.map_err(|e| e.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::presets;

    #[test]
    fn a_dead_windows_scenario_comes_back_and_a_live_ones_does_not() {
        let folder = tempfile::tempdir().unwrap();
        let library = Library::shipped();
        let scenario = presets::demos().remove(0).1;
        let (mut first, left) = Recovery::take_slot(Some(folder.path()), &library);
        assert_eq!(left, Left::Nothing);
        first.keep(Some(Arc::new(scenario.clone())));
        let (second, left) = Recovery::take_slot(Some(folder.path()), &library);
        assert_eq!(left, Left::Nothing, "the first window lives");
        drop((first, second));
        let (mut third, left) = Recovery::take_slot(Some(folder.path()), &library);
        assert_eq!(left, Left::Scenario(Box::new(scenario)));
        third.finish(true);
        drop(third);
        let (fourth, left) = Recovery::take_slot(Some(folder.path()), &library);
        assert_eq!(left, Left::Nothing, "a clean exit leaves nothing");
        drop(fourth);
        std::fs::write(folder.path().join("window-1.recovery.ron"), "(format: 1,").unwrap();
        assert!(matches!(Recovery::take_slot(Some(folder.path()), &library).1, Left::Unreadable(p) if p.exists()));
    }
}
