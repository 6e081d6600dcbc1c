//! Carries out what the page of own presets and the window that names a preset ask for.

use std::path::{Path, PathBuf};

use eframe::egui;

use crate::app::actions::action::Next;
use crate::app::state::notice::Notice;
use crate::app::state::waking;
use crate::app::window::App;
use crate::app::windows::dialog::Dialog;
use crate::app::windows::files::{NO_DIALOG, Purpose, typed_path};
use crate::app::windows::own_presets::name_form::{NameForm, Named};
use crate::app::windows::own_presets::task::{Asked, Task, What};
use crate::app::windows::own_presets::{Deleted, OwnPresets};
use crate::edits::own_preset::OwnPreset;
use crate::edits::preset_use;
use crate::scenario::presets::{Denied, Kind, Library, import, is_preset};

const NO_PLACE: &str = "This system has no place for presets of your own.";

impl App {
    fn presets_folder(&self) -> Option<PathBuf> {
        self.disk.data.as_ref().map(|d| d.join("presets"))
    }

    /// Takes the presets in hand as they now lie on disk.
    fn reread_presets(&mut self) {
        if let Some(folder) = self.presets_folder() {
            self.bench.use_library(Library::with_user_presets(&folder));
        }
    }

    /// Opens the page.
    pub(in crate::app) fn show_own_presets(&mut self) {
        self.pages.tracks.let_go();
        self.bench.drop_trial();
        self.windows.dialog = Some(Dialog::OwnPresets(Box::new(OwnPresets::new(self.presets_folder().as_deref(), &self.bench))));
    }

    /// Saves a preset under the name that it has; where one of the user's own has it, asks first.
    pub(in crate::app) fn save_preset(&mut self, preset: OwnPreset) {
        let name = preset.name().to_owned();
        if self.is_taken(&preset, &name) {
            self.windows.dialog = Some(Dialog::NamePreset(Box::new(NameForm::taken(preset))));
            return;
        }
        self.shell.notice = Some(match self.save_named(&preset, &name) {
            Ok(()) => saved(&name, false),
            Err(cause) => Notice::lasting(cause),
        });
    }

    /// Whether one of the user's own has the name.
    fn is_taken(&self, preset: &OwnPreset, name: &str) -> bool {
        self.presets_folder().is_some_and(|folder| preset.kind().own_names(&folder).iter().any(|own| own == name))
    }

    fn save_named(&mut self, preset: &OwnPreset, name: &str) -> Result<(), String> {
        let folder = self.presets_folder().ok_or(NO_PLACE)?;
        preset.save(name, &folder, self.bench.library()).map_err(|denied| denied.to_string())?;
        self.reread_presets();
        Ok(())
    }

    /// A dropped file: a preset is imported, anything else opened.
    pub(in crate::app) fn take_dropped(&mut self, ctx: &egui::Context, path: PathBuf) {
        if !is_preset(&path) {
            self.leave(ctx, Next::Open(path));
            return;
        }
        let mut task = Task::import(path.display().to_string());
        match self.do_task(&task, false) {
            Ok((text, _)) => self.shell.notice = Some(Notice::passing(text)),
            Err(denied) => {
                self.show_own_presets();
                if let Some(Dialog::OwnPresets(page)) = &mut self.windows.dialog {
                    task.deny(&denied);
                    page.task = Some(task);
                }
            }
        }
    }

    /// Takes what a file dialog for the page answered; `None` where the system has none. False when the page is not open.
    pub(in crate::app) fn own_presets_chosen(&mut self, purpose: &Purpose, path: Option<&Path>) -> bool {
        if !matches!(purpose, Purpose::Import | Purpose::Export) {
            return false;
        }
        if let Some(Dialog::OwnPresets(page)) = &mut self.windows.dialog
            && let Some(task) = &mut page.task
        {
            match path {
                Some(path) => task.take_path(path.display().to_string()),
                None => NO_DIALOG.clone_into(&mut task.why),
            }
        }
        true
    }

    /// Draws the windows about presets, if one is open, and does what they ask for. Returns whether one was.
    pub(in crate::app) fn answer_preset_dialogs(&mut self, ctx: &egui::Context) -> bool {
        let done = match &mut self.windows.dialog {
            Some(Dialog::OwnPresets(page)) => match page.show(ctx) {
                Some(asked) => self.answer_own_presets(ctx, asked),
                None => return true,
            },
            Some(Dialog::NamePreset(form)) => match form.show(ctx) {
                Some(named) => self.answer_name(named),
                None => return true,
            },
            Some(Dialog::StartCrop(_)) => return self.answer_start_crop(ctx),
            _ => return false,
        };
        if done {
            self.windows.dialog = None;
        }
        ctx.request_repaint();
        true
    }

    /// Returns whether the window is to be closed.
    fn answer_name(&mut self, named: Named) -> bool {
        let Named::Save { over } = named else { return true };
        let Some(Dialog::NamePreset(form)) = &self.windows.dialog else { return true };
        let (preset, name) = (form.preset.clone(), form.name.trim().to_owned());
        let taken = self.is_taken(&preset, &name);
        let result = if taken && !over { Err(Denied::Taken(name.clone()).to_string()) } else { self.save_named(&preset, &name) };
        match result {
            Ok(()) => {
                self.shell.notice = Some(saved(&name, taken));
                true
            }
            Err(why) => {
                if let Some(Dialog::NamePreset(form)) = &mut self.windows.dialog {
                    (form.why, form.taken) = (why, taken);
                }
                false
            }
        }
    }

    /// Returns whether the page is to be closed.
    fn answer_own_presets(&mut self, ctx: &egui::Context, asked: Asked) -> bool {
        let folder = self.presets_folder();
        let Some(Dialog::OwnPresets(page)) = &mut self.windows.dialog else { return true };
        match asked {
            Asked::Close => return true,
            Asked::Begin(task) => {
                (page.task, page.deleted, page.fresh) = (Some(task), None, true);
                page.told.clear();
            }
            Asked::Leave => (page.task, page.fresh) = (None, true),
            Asked::Choose => {
                if let Some((purpose, name)) = page.task.as_ref().and_then(Task::purpose) {
                    self.windows.picker.show(&waking::by(ctx), purpose, None, &name);
                }
            }
            Asked::Do { over } => {
                let Some(task) = page.task.clone() else { return false };
                let done = self.do_task(&task, over);
                self.tell_on_page(done);
            }
            Asked::PutBack => {
                let (Some(deleted), Some(folder)) = (page.deleted.clone(), folder) else { return false };
                let done = deleted.kind.put_back(&deleted.kept, &folder);
                self.reread_presets();
                self.tell_on_page(done.map(|_| (format!("\"{}\" is back in your menus.", deleted.name), None)));
            }
        }
        false
    }

    fn tell_on_page(&mut self, done: Result<(String, Option<Deleted>), Denied>) {
        let folder = self.presets_folder();
        let Some(Dialog::OwnPresets(page)) = &mut self.windows.dialog else { return };
        page.fresh = true;
        match done {
            Ok((text, deleted)) => (page.told, page.deleted, page.task) = (text, deleted, None),
            Err(denied) => match &mut page.task {
                Some(task) => task.deny(&denied),
                None => page.told = denied.to_string(),
            },
        }
        page.refresh(folder.as_deref(), &self.bench);
    }

    /// Does a task of the page. Tells what was done.
    fn do_task(&mut self, task: &Task, over: bool) -> Result<(String, Option<Deleted>), Denied> {
        let folder = self.presets_folder().ok_or_else(|| Denied::Other(NO_PLACE.to_owned()))?;
        let done = self.done_with(task, over, &folder)?;
        if !matches!(task.what, What::Export { .. }) {
            self.reread_presets();
        }
        Ok(done)
    }

    fn done_with(&self, task: &Task, over: bool, folder: &Path) -> Result<(String, Option<Deleted>), Denied> {
        let library = self.bench.library();
        let held = |kind: Kind, name: &str| match preset_use::held(kind, name, library, self.bench.document().scenario()) {
            Some(why) => Err(Denied::Other(why)),
            None => Ok(()),
        };
        match &task.what {
            What::Rename { kind, name, to } => {
                held(*kind, name)?;
                kind.rename_own(name, to, folder, library)?;
                Ok((format!("\"{name}\" is now called \"{}\".", to.trim()), None))
            }
            What::Export { kind, name, path } => {
                let path = typed_path(path, Some("ron")).ok_or_else(|| Denied::Other("Type a path first.".to_owned()))?;
                kind.export_own(name, folder, &path, over)?;
                Ok((format!("\"{name}\" is written to {}.", path.display()), None))
            }
            What::Import { path, name } => {
                let path = typed_path(path, None).ok_or_else(|| Denied::Other("Type a path first.".to_owned()))?;
                let done = import(&path, name.as_deref(), over, folder, library)?;
                Ok((format!("Imported the {} \"{}\". It stands in the menus from now on.", done.kind.one(), done.name), None))
            }
            What::Delete { kind, name } => {
                held(*kind, name)?;
                let kept = kind.delete_own(name, folder, library)?;
                let text = format!("Deleted \"{name}\". It is kept as {}.", kept.display());
                Ok((text, Some(Deleted { kind: *kind, name: name.clone(), kept })))
            }
        }
    }
}

fn saved(name: &str, replaced: bool) -> Notice {
    let before = if replaced { " The one it replaced lies beside it in the folder of presets, with .bak at its end." } else { "" };
    Notice::passing(format!("Saved as preset \"{name}\". It stands in the menus from now on.{before}"))
}
