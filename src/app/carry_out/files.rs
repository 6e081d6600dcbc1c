//! Opens and saves scenario files, and keeps every change against a crash.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::app::state::notice::Notice;
use crate::app::window::App;
use crate::app::windows::dialog::Dialog;
use crate::edits::document::Document;
use crate::scenario::file;

impl App {
    /// Opens a file at once, unsaved changes or not. What cannot be opened is told in the window; the bench stays as it is.
    pub fn open(&mut self, path: &Path) -> bool {
        match file::load(path, self.bench.library()) {
            Ok(scenario) => {
                self.put_on_bench(Document::opened(scenario), Some(path.to_path_buf()));
                self.disk.recent.add(path);
                true
            }
            Err(e) => {
                if !path.exists() {
                    self.disk.recent.forget(path);
                }
                self.windows.dialog = Some(Dialog::Failed { cause: e.to_string(), remedy: e.remedy().to_owned() });
                false
            }
        }
    }

    /// Saves to a file. What cannot be saved is told in the window.
    pub fn save_to(&mut self, path: &Path) -> bool {
        match file::save(self.bench.document().scenario(), path) {
            Ok(()) => {
                self.bench.mark_saved();
                self.disk.path = Some(path.to_path_buf());
                self.disk.recent.add(path);
                self.disk.recovery.keep(None);
                true
            }
            Err(e) => {
                self.windows.dialog = Some(Dialog::Failed { cause: e.to_string(), remedy: e.remedy().to_owned() });
                false
            }
        }
    }

    /// Puts a document on the bench in place of the one that is there.
    pub(in crate::app) fn put_on_bench(&mut self, document: Document, path: Option<PathBuf>) {
        self.bench.replace(document);
        self.pages.tracks.let_go();
        self.disk.path = path;
        self.shell.notice = None;
        self.disk.recovered_generation = None;
    }

    /// Writes the recovery file when the document has changed since the last frame.
    pub(in crate::app) fn keep_recovery(&mut self) {
        let document = self.bench.document();
        if self.disk.recovered_generation != Some(document.generation()) {
            self.disk.recovered_generation = Some(document.generation());
            self.disk.recovery.keep(document.is_changed().then(|| Arc::clone(document.scenario())));
        }
        if let Some(cause) = self.disk.recovery.failure() {
            self.shell.notice = Some(Notice::lasting(format!("Changes cannot be kept against a crash: {cause}. Save often.")));
        }
    }
}
