//! Offers what windows that ended badly left, and takes it up.

use std::path::Path;

use eframe::egui::Context;

use crate::app::actions::action::Next;
use crate::app::state::notice::Notice;
use crate::app::state::opening::Source;
use crate::app::window::App;
use crate::app::windows::dialog::Dialog;
use crate::app::windows::left_work::{Asked, LeftForm};

impl App {
    /// Shows what is left, if anything is.
    pub(in crate::app) fn show_left_work(&mut self) {
        if !self.disk.left.is_empty() {
            self.pages.tracks.let_go();
            self.bench.drop_trial();
            self.windows.dialog = Some(Dialog::LeftWork(Box::new(LeftForm::new(&self.disk.left))));
        }
    }

    /// Draws the window that offers it, and does what was asked for.
    pub(in crate::app) fn answer_left_work(&mut self, ctx: &Context) {
        let Some(Dialog::LeftWork(form)) = &mut self.windows.dialog else { return };
        match form.show(ctx) {
            None => return,
            Some(Asked::Later) => self.windows.dialog = None,
            Some(Asked::Open(path)) => {
                self.windows.dialog = None;
                self.leave(ctx, Next::Left(path));
            }
            Some(Asked::Discard(path)) => self.discard_left(&path),
        }
        ctx.request_repaint();
    }

    fn discard_left(&mut self, path: &Path) {
        self.windows.dialog = None;
        let Some(at) = self.disk.left.iter().position(|left| left.path == path) else { return };
        match self.disk.left[at].remove() {
            Ok(()) => drop(self.disk.left.remove(at)),
            Err(e) => self.shell.notice = Some(Notice::lasting(format!("{} cannot be removed: {e}.", path.display()))),
        }
        self.show_left_work();
    }

    /// Puts what a recovery file holds on the bench. It stays on disk until this window keeps it, too.
    pub(in crate::app) fn open_left(&mut self, path: &Path) {
        let about = self.disk.left.iter().find(|left| left.path == path).and_then(|left| left.about.clone()).unwrap_or_default();
        self.open_from(path, Source { path: about.file, known: about.known, left: Some(path.to_path_buf()), as_change: false });
    }

    /// What is to be done once it is on the bench.
    pub(in crate::app) fn has_taken_up(&mut self, path: &Path) {
        if let Some(at) = self.disk.left.iter().position(|left| left.path == path) {
            self.disk.recovery.take_up(self.disk.left.remove(at));
        }
        let more = match self.disk.left.len() {
            0 => String::new(),
            n => format!(" {n} more: File, Work that was not saved."),
        };
        self.shell.notice = Some(Notice::passing(format!("These are the changes up to then. No file holds them yet: save them.{more}")));
    }
}
