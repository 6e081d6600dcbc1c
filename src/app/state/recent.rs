//! The files that were open last, for *Open recent*. Kept in the platform's data folder.

use std::path::{Path, PathBuf};

use crate::scenario::file;

const FILE: &str = "recent.ron";
/// Most files that are remembered.
const MOST: usize = 10;

/// Files, the newest first.
#[derive(Clone, Debug, Default)]
pub struct Recent {
    files: Vec<PathBuf>,
    kept_in: Option<PathBuf>,
}

impl Recent {
    /// The list of earlier sessions; an empty one if there is none, or if it cannot be read.
    #[must_use]
    pub fn read(data: Option<&Path>) -> Self {
        let text = data.and_then(|d| std::fs::read_to_string(d.join(FILE)).ok());
        let mut files: Vec<PathBuf> = text.and_then(|t| file::options().from_str(&t).ok()).unwrap_or_default();
        files.truncate(MOST);
        Self { files, kept_in: data.map(Path::to_path_buf) }
    }

    /// The files, the newest first.
    #[must_use]
    pub fn files(&self) -> &[PathBuf] {
        &self.files
    }

    /// Puts a file first.
    pub fn add(&mut self, path: &Path) {
        // The same file from anywhere: what stands in the list must hold in another folder, too.
        let path = std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf());
        if self.files.first() == Some(&path) {
            return;
        }
        self.files.retain(|p| *p != path);
        self.files.insert(0, path);
        self.files.truncate(MOST);
        self.write();
    }

    /// Drops a file that is no longer there.
    pub fn forget(&mut self, path: &Path) {
        let before = self.files.len();
        self.files.retain(|p| p != path);
        if self.files.len() != before {
            self.write();
        }
    }

    /// Drops all.
    pub fn clear(&mut self) {
        self.files.clear();
        self.write();
    }

    /// A list that cannot be kept holds for this session; no work hangs on it.
    fn write(&self) {
        let Some(folder) = &self.kept_in else { return };
        if let Ok(text) = file::options().to_string(&self.files)
            && std::fs::create_dir_all(folder).is_ok()
        {
            let _ = file::write_atomically(&folder.join(FILE), text.as_bytes());
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
            recent.add(Path::new(&format!("/bench/{k}.ron")));
        }
        recent.add(Path::new("/bench/9.ron"));
        let again = Recent::read(Some(data.path()));
        assert_eq!(again.files(), recent.files());
        assert_eq!((again.files().len(), again.files()[0].to_str()), (MOST, Some("/bench/9.ron")));
        recent.forget(Path::new("/bench/9.ron"));
        assert_eq!(Recent::read(Some(data.path())).files().len(), MOST - 1);
        std::fs::write(data.path().join(FILE), "nonsense").unwrap();
        assert!(Recent::read(Some(data.path())).files().is_empty());
    }
}
