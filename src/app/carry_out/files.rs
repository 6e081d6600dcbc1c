//! Opens and saves scenario files, and keeps every change against a crash.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::app::state::notice::Notice;
use crate::app::state::opening::{self, Opened};
use crate::app::window::App;
use crate::app::windows::dialog::Dialog;
use crate::edits::document::Document;
use crate::jobs::Broken;
use crate::scenario::file::{self, FileError};

impl App {
    /// Opens a file, unsaved changes or not: at once, or beside the frames where it takes longer; then the bench stays as it is until it is
    /// there. What cannot be opened is told in the window. False where that is known at once.
    pub fn open(&mut self, path: &Path) -> bool {
        if opening::is_long(path)
            && let Some(wake) = self.bench.wake()
        {
            let order = self.bench.order_anew(Arc::clone(self.bench.document().scenario()));
            if self.disk.opening.read(&wake, path, order, self.bench.document().generation()) {
                return true;
            }
        }
        match file::load(path, self.bench.library()) {
            Ok(scenario) => {
                self.put_on_bench(Document::opened(scenario), Some(path.to_path_buf()));
                true
            }
            Err(e) => {
                self.cannot_open(path, &e);
                false
            }
        }
    }

    fn cannot_open(&mut self, path: &Path, e: &FileError) {
        if !path.exists() {
            self.disk.recent.forget(path);
        }
        self.windows.dialog = Some(Dialog::Failed { cause: e.to_string(), remedy: e.remedy().to_owned() });
    }

    /// Takes what was opened beside the frames.
    pub(in crate::app) fn follow_opening(&mut self) {
        match self.disk.opening.take(self.bench.document().generation()) {
            None => {}
            Some(Opened::Done { document, computed, path }) => {
                self.bench.replace_computed(document, *computed);
                self.has_come(path);
            }
            Some(Opened::Failed { error, path }) => self.cannot_open(&path.unwrap_or_default(), &error),
            Some(Opened::Overtaken(name)) => {
                self.shell.notice =
                    Some(Notice::refusal(format!("{name} was not opened, for the bench was changed meanwhile. Open it again.")));
            }
            Some(Opened::Broken(broken)) => self.tell_broken(&broken, "The bench is as it was."),
        }
        if let Some((broken, became)) = self.bench.broken() {
            self.tell_broken(&broken, became);
        }
    }

    pub(in crate::app) fn tell_broken(&mut self, broken: &Broken, became: &str) {
        let text = format!("{broken}. {became} The program is at fault. Please report it with the scenario file.");
        self.shell.notice = Some(Notice::lasting(text));
    }

    /// Saves to a file. What cannot be saved is told in the window.
    pub fn save_to(&mut self, path: &Path) -> bool {
        match file::save(self.bench.document().scenario(), path) {
            Ok(()) => {
                self.bench.mark_saved();
                self.has_saved(path);
                true
            }
            Err(e) => {
                self.cannot_save(&e);
                false
            }
        }
    }

    /// What is to be done once the document is in a file.
    pub(in crate::app) fn has_saved(&mut self, path: &Path) {
        self.disk.path = Some(path.to_path_buf());
        self.disk.recent.put_on_bench(Some(path));
        if !self.bench.document().is_changed() {
            self.disk.recovery.keep(None);
        }
    }

    pub(in crate::app) fn cannot_save(&mut self, e: &FileError) {
        self.windows.dialog = Some(Dialog::Failed { cause: e.to_string(), remedy: e.remedy().to_owned() });
    }

    /// Puts a document on the bench in place of the one that is there, as soon as it is computed.
    pub(in crate::app) fn put_on_bench(&mut self, document: Document, path: Option<PathBuf>) {
        self.disk.opening.cancel();
        if !self.bench.is_quick(document.scenario(), None)
            && let Some(wake) = self.bench.wake()
        {
            let order = self.bench.order_anew(Arc::clone(document.scenario()));
            if self.disk.opening.compute(&wake, document.clone(), path.clone(), order, self.bench.document().generation()) {
                return;
            }
        }
        self.bench.replace(document);
        self.has_come(path);
    }

    /// What is to be done once another document is on the bench.
    fn has_come(&mut self, path: Option<PathBuf>) {
        self.disk.recent.put_on_bench(path.as_deref());
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
