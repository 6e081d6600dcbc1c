//! Saves the bench, and asks what counts where another program, or another window, has been at its file.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use eframe::egui::Context;

use crate::app::actions::action::Next;
use crate::app::state::notice::{Choice, Notice};
use crate::app::state::opening::Source;
use crate::app::state::saving::{self, Saved};
use crate::app::state::waking;
use crate::app::window::App;
use crate::app::windows::dialog::Dialog;
use crate::app::windows::files::{Purpose, suggested_name};
use crate::edits::document::Document;
use crate::scenario::disk::{Expected, Since, Stamp};
use crate::scenario::file::{self, FileError};

impl App {
    pub(in crate::app) fn save(&mut self, ctx: &Context, then: Option<Next>) {
        match self.disk.path.clone() {
            Some(path) => self.save_then(ctx, &path, Expected::of(self.disk.known), then),
            None => self.choose_save(ctx, then),
        }
    }

    /// Asks in the system's dialog where to save.
    pub(in crate::app) fn choose_save(&mut self, ctx: &Context, then: Option<Next>) {
        let name = match self.disk.path.as_deref().and_then(|p| p.file_name()) {
            Some(name) => name.to_string_lossy().into_owned(),
            None => suggested_name(self.bench.document().scenario()),
        };
        self.windows.picker.show(&waking::by(ctx), Purpose::Save(then), self.disk.path.as_deref().and_then(|p| p.parent()), &name);
    }

    /// Saves to a file that was chosen; `consented`: whoever chose it was asked whether one that is there may be replaced.
    pub(in crate::app) fn save_chosen(&mut self, ctx: &Context, path: &Path, consented: bool, then: Option<Next>) {
        let expected = if self.is_own(path) {
            Expected::of(self.disk.known)
        } else if consented {
            Expected::Anything
        } else {
            Expected::Nothing
        };
        self.save_then(ctx, path, expected, then);
    }

    /// Whether a path leads to the file on the bench.
    pub(in crate::app) fn is_own(&self, path: &Path) -> bool {
        let own = self.disk.path.as_deref();
        own == Some(path) || own.is_some_and(|own| matches!((own.canonicalize(), path.canonicalize()), (Ok(a), Ok(b)) if a == b))
    }

    /// Saves at once, or beside the frames where that takes longer.
    pub(in crate::app) fn save_then(&mut self, ctx: &Context, path: &Path, expected: Expected, then: Option<Next>) {
        let scenario = self.bench.document().scenario();
        if saving::is_long(scenario) && self.shell.saving.begin(&waking::by(ctx), scenario, path, expected, then.clone()) {
            return;
        }
        match file::save_expecting(scenario, path, expected) {
            Ok(stamp) => {
                self.bench.mark_saved();
                self.has_saved(path, stamp);
                if let Some(next) = then {
                    self.go_on(ctx, next);
                }
            }
            Err(e) => self.cannot_save(&e, path, then),
        }
    }

    /// Saves to a file, whatever is there unless it is the one on the bench. What cannot be saved is told in the window.
    pub fn save_to(&mut self, path: &Path) -> bool {
        let expected = if self.is_own(path) { Expected::of(self.disk.known) } else { Expected::Anything };
        match file::save_expecting(self.bench.document().scenario(), path, expected) {
            Ok(stamp) => {
                self.bench.mark_saved();
                self.has_saved(path, stamp);
                true
            }
            Err(e) => {
                self.cannot_save(&e, path, None);
                false
            }
        }
    }

    /// Takes what was saved beside the frames.
    pub(in crate::app) fn follow_saving(&mut self, ctx: &Context) {
        match self.shell.saving.take() {
            None => {}
            Some(Saved::Done(scenario, path, stamp, then)) => {
                self.bench.mark_saved_as(scenario);
                self.has_saved(&path, stamp);
                if let Some(next) = then {
                    // What was changed meanwhile is asked about again.
                    self.leave(ctx, next);
                }
            }
            Some(Saved::Failed(e, path, then)) => self.cannot_save(&e, &path, then),
            Some(Saved::Broken(broken)) => self.tell_broken(&broken, "The file is as it was."),
        }
    }

    /// What is to be done once the document is in a file.
    fn has_saved(&mut self, path: &Path, stamp: Stamp) {
        self.disk.recent.put_on_bench(Some(path));
        if !self.bench.document().is_changed() {
            self.disk.recovery.keep(None);
        }
        self.is_now_in(Some(path.to_path_buf()), Some(stamp), false);
    }

    fn cannot_save(&mut self, e: &FileError, path: &Path, then: Option<Next>) {
        self.windows.dialog = Some(match e {
            FileError::Elsewhere { since, .. } => {
                Dialog::Elsewhere { since: *since, path: path.to_path_buf(), own: self.is_own(path), then }
            }
            _ => Dialog::Failed { cause: e.to_string(), remedy: e.remedy().to_owned() },
        });
    }

    /// Takes note of the file that the document is in. Where another window has it open that is told when it was not in it before, and when
    /// it `tells`.
    pub(in crate::app) fn is_now_in(&mut self, path: Option<PathBuf>, known: Option<Stamp>, tells: bool) {
        let tells = tells || path != self.disk.path;
        self.disk.elsewhere = None;
        // What was asked about the file before is decided.
        self.shell.notice.take_if(|notice| !notice.choices.is_empty());
        (self.disk.path, self.disk.known) = (path, known);
        self.disk.watch.begin_anew();
        let alone = self.disk.watch.mark(self.disk.data.as_deref(), self.disk.path.as_deref());
        if tells && !alone {
            let text = format!(
                "{} is open in another window, too. What is saved there is told here, and nothing is written over unasked.",
                self.file_name()
            );
            self.shell.notice = Some(Notice::lasting(text));
        }
    }

    /// The name of the file on the bench.
    fn file_name(&self) -> String {
        self.disk
            .path
            .as_deref()
            .and_then(Path::file_name)
            .map_or_else(|| "The file".to_owned(), |name| name.to_string_lossy().into_owned())
    }

    /// Tells what became of the file in other hands, as soon as it happens.
    pub(in crate::app) fn follow_elsewhere(&mut self, ctx: &Context) {
        if self.shell.saving.is_underway() {
            return;
        }
        self.disk.watch.over(&waking::by(ctx), self.disk.path.as_deref(), self.disk.known);
        let Some(since) = self.disk.watch.take() else { return };
        self.disk.elsewhere = since;
        let file = self.file_name();
        self.shell.notice = match since {
            Some(Since::Changed(_) | Since::Appeared(_)) => Some(Notice::choosing(
                format!("{file} was changed by another program or window. Which counts?"),
                &[Choice::KeepMine, Choice::TakeTheirs, Choice::SaveBeside],
            )),
            Some(Since::Gone) => Some(Notice::choosing(
                format!("{file} is not there any more. What is on the bench stays, and Save writes it again."),
                &[Choice::KeepMine],
            )),
            None => Some(Notice::passing(format!("{file} is again as it was."))),
        };
    }

    /// Does what was chosen about the file on the bench.
    pub(in crate::app) fn decide(&mut self, ctx: &Context, choice: Choice) {
        let (Some(path), Some(since)) = (self.disk.path.clone(), self.disk.elsewhere) else { return };
        match choice {
            Choice::KeepMine => {
                self.keep_mine(since);
                let text = match since {
                    Since::Gone => "Save writes the file again.".to_owned(),
                    _ => format!("Save writes yours over theirs, which is then kept as {}.bak.", self.file_name()),
                };
                self.shell.notice = Some(Notice::passing(text));
            }
            Choice::TakeTheirs => self.read_theirs(&path),
            Choice::SaveBeside => self.save_beside(ctx, &path, None),
        }
    }

    /// What is on the bench counts from now on: what lies in the file is known, and no file holds the bench.
    fn keep_mine(&mut self, since: Since) {
        self.disk.elsewhere = None;
        self.disk.known = since.there();
        self.disk.watch.begin_anew();
        self.bench.mark_unsaved();
        self.disk.recovered_generation = None;
    }

    /// Saves over what another program made of the file, as it was when it was asked about.
    pub(in crate::app) fn save_over(&mut self, ctx: &Context, path: &Path, since: Since, then: Option<Next>) {
        self.save_then(ctx, path, Expected::of(since.there()), then);
    }

    /// Reads what another program made of the file: it comes on the bench as a change, which can be undone.
    pub(in crate::app) fn read_theirs(&mut self, path: &Path) {
        self.open_from(path, Source { path: Some(path.to_path_buf()), as_change: true, ..Source::default() });
    }

    /// Puts it there.
    pub(in crate::app) fn take_theirs(&mut self, theirs: &Document, source: Source) {
        let theirs = theirs.scenario();
        self.pages.tracks.let_go();
        self.bench.drop_trial();
        let file = source.path.as_deref().and_then(Path::file_name).unwrap_or_default().to_string_lossy().into_owned();
        self.bench.apply(format!("Take {file} as another program left it"), (**theirs).clone());
        self.bench.mark_saved_as(Arc::clone(theirs));
        self.is_now_in(source.path, source.known, false);
        self.disk.recovered_generation = None;
        self.shell.notice = Some(Notice::passing(format!("{file} is on the bench as it is in the file. Undo brings yours back.")));
    }

    /// Saves under a name of its own beside a file.
    pub(in crate::app) fn save_beside(&mut self, ctx: &Context, path: &Path, then: Option<Next>) {
        let beside = file::free_beside(path);
        self.save_then(ctx, &beside, Expected::Nothing, then);
        if self.disk.path.as_deref() == Some(&beside) {
            self.shell.notice =
                Some(Notice::passing(format!("Saved as {}. {} is as the other left it.", beside.display(), path.display())));
        }
    }
}
