//! The files that were open last, for *Open recent*, and the one that was on the bench. Kept in the platform's data folder.

use std::path::{Path, PathBuf};

use serde::Serialize;

use crate::scenario::disk::special::small_text;
use crate::scenario::disk::whole::write_file;
use crate::scenario::file;

const FILE: &str = "recent.ron";
/// Which file was on the bench.
const LAST: &str = "last-bench.ron";
/// Most files that are remembered.
const MOST: usize = 10;

/// Files that were open.
#[derive(Clone, Debug, Default)]
pub struct Recent {
    /// The newest first, as the next session is to have them.
    files: Vec<PathBuf>,
    /// As this session shows them: one that stands there keeps its place.
    listed: Vec<PathBuf>,
    /// The file on the bench.
    last: Option<PathBuf>,
    kept_in: Option<PathBuf>,
}

impl Recent {
    /// The list of earlier sessions; an empty one if there is none, or if it cannot be read.
    #[must_use]
    pub fn read(data: Option<&Path>) -> Self {
        let text = data.and_then(|d| small_text(&d.join(FILE)));
        let mut files: Vec<PathBuf> = text.and_then(|t| file::options().from_str(&t).ok()).unwrap_or_default();
        files.truncate(MOST);
        let last = data.and_then(|d| small_text(&d.join(LAST))).and_then(|t| file::options().from_str(&t).ok());
        Self { listed: files.clone(), files, last: last.flatten(), kept_in: data.map(Path::to_path_buf) }
    }

    /// The files as they are listed: those of earlier sessions the newest first, and before them those that this one brought. A file that is
    /// opened from the list stays where it was, under the pointer.
    #[must_use]
    pub fn listed(&self) -> &[PathBuf] {
        &self.listed
    }

    /// The file that was on the bench when the last session ended, or that is there now; `None` where that was no file.
    #[must_use]
    pub fn last(&self) -> Option<&Path> {
        self.last.as_deref()
    }

    /// Takes note of the file that is on the bench, if it comes from one.
    pub fn put_on_bench(&mut self, path: Option<&Path>) {
        // The same file from anywhere: what is kept must hold in another folder, too.
        let path = path.map(|path| std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf()));
        if let Some(path) = &path {
            self.add(path);
        }
        if path != self.last {
            self.last = path;
            self.keep(LAST, &self.last);
        }
    }

    fn add(&mut self, path: &Path) {
        if !self.listed.iter().any(|p| p == path) {
            self.listed.insert(0, path.to_path_buf());
            self.listed.truncate(MOST);
        }
        if self.files.first().is_some_and(|p| p == path) {
            return;
        }
        self.files.retain(|p| p != path);
        self.files.insert(0, path.to_path_buf());
        self.files.truncate(MOST);
        self.write();
    }

    /// Drops a file that is no longer there.
    pub fn forget(&mut self, path: &Path) {
        let before = self.files.len();
        self.listed.retain(|p| p != path);
        self.files.retain(|p| p != path);
        if self.files.len() != before {
            self.write();
        }
    }

    /// Drops all.
    pub fn clear(&mut self) {
        self.files.clear();
        self.listed.clear();
        self.write();
    }

    fn write(&self) {
        self.keep(FILE, &self.files);
    }

    /// What cannot be kept holds for this session; no work hangs on it.
    fn keep(&self, name: &str, what: &impl Serialize) {
        let Some(folder) = &self.kept_in else { return };
        if let Ok(text) = file::options().to_string(what)
            && std::fs::create_dir_all(folder).is_ok()
        {
            let _ = write_file(&folder.join(name), text.as_bytes());
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn the_newest_is_first_and_the_list_is_kept() {
        let data = tempfile::tempdir().unwrap();
        let mut recent = Recent::read(Some(data.path()));
        for k in 0..15 {
            recent.put_on_bench(Some(Path::new(&format!("/bench/{k}.ron"))));
        }
        let listed = recent.listed().to_vec();
        recent.put_on_bench(Some(Path::new("/bench/9.ron")));
        assert_eq!(recent.listed(), listed, "within a session they keep their places");
        let again = Recent::read(Some(data.path()));
        assert_eq!((again.listed().len(), again.listed()[0].to_str()), (MOST, Some("/bench/9.ron")));
        assert_eq!(again.last(), Some(Path::new("/bench/9.ron")));
        recent.put_on_bench(None);
        assert_eq!(Recent::read(Some(data.path())).last(), None, "a bench that is no file");
        recent.forget(Path::new("/bench/9.ron"));
        assert_eq!(Recent::read(Some(data.path())).listed().len(), MOST - 1);
        std::fs::write(data.path().join(FILE), "nonsense").unwrap();
        assert!(Recent::read(Some(data.path())).listed().is_empty());
    }
}
