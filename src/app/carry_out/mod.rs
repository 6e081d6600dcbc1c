//! Carries out what pages, menus, keys and small windows ask for: the only place where the window changes anything.

mod climate;
mod draft;
mod export;
mod files;
mod left_work;
mod others;
mod own_presets;
mod preferences;
mod saving;
mod selected;
mod start_crop;

use std::path::PathBuf;
use std::sync::Arc;

use eframe::egui::{self, ViewportCommand};

use super::actions::action::{Action, Next};
use super::look::theme;
use super::state::notice::Notice;
use super::state::opening::Source;
use super::state::preferences::Reopens;
use super::state::studies::Question;
use super::state::waking;
use super::windows::dialog::{self, Answer, Dialog};
use super::windows::files::{NO_DIALOG, Picked, Purpose, in_documents, suggested_path, suggested_results, typed_path};
use super::windows::own_presets::name_form::NameForm;
use super::windows::series::{Asked, SeriesForm};
use crate::app::actions::shortcuts;
use crate::app::window::App;
use crate::edits::document::Document;
use crate::edits::new_bench::new_bench;
use crate::scenario::presets;

impl App {
    /// Carries out one request. Returns whether the bench must be drawn anew.
    pub(in crate::app) fn carry_out(&mut self, ctx: &egui::Context, action: Action) -> bool {
        if shortcuts::holds(&action) {
            self.select_focused(ctx);
        }
        match action {
            Action::TryEvent(edit) => return self.bench.try_event(&edit),
            Action::EditEvent(edit) => {
                if self.bench.edit_event(&edit) {
                    self.pages.tracks.focus_selected(self.bench.selected.is_some());
                } else {
                    self.shell.notice = Some(Notice::refusal("There is no room for that event: a valve gives one event at a time."));
                }
                return true;
            }
            Action::TrySet(edit) => return self.bench.try_set(&edit),
            Action::EditSet(edit) => match self.bench.edit_set(&edit) {
                Ok(()) => self.pages.tracks.focus_selected(self.bench.selected.is_some()),
                Err(why) => self.shell.notice = Some(Notice::refusal(why.to_string())),
            },
            Action::Pick(set) => self.bench.pick(set),
            Action::TakeValve(valve) => self.take_valve(valve),
            Action::NextValve => self.next_valve(),
            Action::EditSetQuietly(edit) => {
                if let Err(why) = self.bench.edit_set(&edit) {
                    self.shell.notice = Some(Notice::refusal(why.to_string()));
                }
            }
            Action::Nudge(_)
            | Action::AddEvent
            | Action::DeleteSelected
            | Action::DuplicateSelected
            | Action::SelectAll
            | Action::AlsoNext
            | Action::AlsoPrevious => return self.change_selected(ctx, &action),
            Action::GoToEvents => self.go_to_events(ctx),
            Action::GoToSchedule => self.go_to_schedule(ctx),
            Action::TypeSelected => self.windows.editor.open(ctx, &self.bench),
            Action::AddSeries => {
                self.pages.tracks.let_go();
                self.windows.dialog = Some(Dialog::Series(Box::new(SeriesForm::from(&self.bench))));
            }
            Action::Help(chapter) => self.windows.dialog = Some(Dialog::Help(chapter)),
            Action::Keys => self.windows.dialog = Some(Dialog::Keys),
            Action::OwnPresets => self.show_own_presets(),
            Action::StartCrop => self.ask_for_crop(),
            Action::Copy => ctx.send_viewport_cmd(ViewportCommand::RequestCopy),
            Action::Cut => ctx.send_viewport_cmd(ViewportCommand::RequestCut),
            Action::Paste => ctx.send_viewport_cmd(ViewportCommand::RequestPaste),
            Action::Escape => self.escape(),
            Action::Steps(steps) => self.use_steps(steps),
            Action::ChangeLog => self.windows.log_open = !self.windows.log_open,
            Action::GoTo(count) => {
                self.pages.tracks.let_go();
                self.bench.go_to(count);
            }
            Action::TryField(name, scenario) => return self.bench.try_field(name, *scenario),
            Action::SetField(name, scenario) => self.bench.apply(name, *scenario),
            Action::SavePreset(preset) => self.save_preset(preset),
            Action::NamePreset(preset) => self.windows.dialog = Some(Dialog::NamePreset(Box::new(NameForm::new(preset)))),
            Action::Dropped(path) => self.take_dropped(ctx, path),
            Action::TellMeasuredUse => self.tell_measured_use(None),
            Action::ComputeUse => self.compute_use(),
            Action::Tell(text) => self.shell.notice = Some(Notice::passing(text)),
            Action::Units(units) => self.use_units(units),
            Action::DismissNote => self.dismiss_note(),
            Action::Say(text) => self.shell.notice = Some(Notice::refusal(text)),
            Action::Keep => return self.bench.keep_trial(),
            Action::Drop => {
                self.pages.tracks.let_go();
                return self.bench.drop_trial();
            }
            Action::Select(index) => self.bench.pick(index.into_iter().collect()),
            Action::FocusSelected => self.pages.tracks.focus_selected(self.bench.selected.is_some()),
            Action::Origin(origin) => self.bench.origin = origin,
            Action::Show(page) => {
                self.pages.tracks.let_go();
                self.bench.drop_trial();
                self.pages.page = page;
            }
            Action::ShowDays(days) => {
                self.pages.tracks.let_go();
                self.bench.show_days(days);
            }
            Action::Pin => self.bench.pin(),
            Action::Unpin => self.bench.unpin(),
            Action::Zoom(zoom) => self.pages.tracks.zoom(zoom),
            Action::TextSize(by) => self.use_text_size(ctx, by),
            Action::Side(side) => self.use_sides(self.pages.sides.with_other(side, ctx.content_rect().width())),
            Action::DayStrip => self.use_day_strip(),
            Action::Layout(layout) => self.use_layout(layout),
            Action::Undo | Action::Redo => {
                self.pages.tracks.let_go();
                self.bench.step_back(matches!(action, Action::Redo));
                // What was told of a change holds no longer.
                self.shell.notice.take_if(|notice| notice.passes());
            }
            Action::Leave(next) => self.leave(ctx, next),
            Action::LeftWork => self.show_left_work(),
            Action::Elsewhere(choice) => self.decide(ctx, choice),
            Action::Save => self.save(ctx, None),
            Action::SaveAs => self.choose_save(ctx, None),
            Action::SaveByPath => self.type_path(Purpose::Save(None), String::new()),
            Action::Theme(preference) => {
                ctx.set_theme(preference);
                // A choice that cannot be kept holds until the window is closed.
                if let Some(file) = &self.disk.theme_file {
                    let _ = theme::keep(file, preference);
                }
            }
            Action::Reopen(last) => self.use_reopens(Reopens { last }),
            Action::ForgetRecent => self.disk.recent.clear(),
            Action::ImportClimate(path) => self.import_climate(ctx, path.as_deref()),
            Action::ImportClimateByPath => self.type_path(Purpose::Climate, String::new()),
            Action::Export(results) => self.choose_export(ctx, results),
            Action::CancelExport => self.disk.exporting.cancel(),
            Action::Exactness => self.bench.find_exactness(ctx),
            Action::CloseExactness => return self.bench.close_exactness(),
            Action::CancelComputing(what) => {
                self.pages.tracks.let_go();
                if let Some(told) = self.bench.cancel(what) {
                    self.shell.notice = Some(Notice::passing(told));
                }
            }
            Action::CancelOpening => self.disk.opening.cancel(),
            Action::Compute => self.bench.compute(),
            Action::Ask(question) => self.ask(ctx, *question),
            Action::Draft(order) => self.draft(ctx, *order),
            Action::Propose(proposal) => self.bench.propose(proposal.map(|p| *p)),
            Action::TakeProposal(proposal) => {
                self.bench.take_proposal(&proposal);
                self.shell.notice = Some(Notice::passing("The schedule is on the bench. Undo brings the one before back."));
            }
            Action::GiveUp(study) => return self.studies.give_up(study),
            Action::KeepState(name) => self.keep_state(name),
            Action::ChooseOther => self.choose_other(ctx),
            Action::Other(id, with) => self.with_other(ctx, id, with),
            Action::About => self.windows.dialog = Some(Dialog::About),
        }
        true
    }

    /// Asks a question of the document as it stands.
    fn ask(&mut self, ctx: &egui::Context, question: Question) {
        let document = self.bench.document();
        let of = (self.bench.documents(), document.generation());
        self.studies.ask(&waking::by(ctx), of, question, Arc::clone(document.scenario()), Arc::clone(self.bench.library()));
    }

    pub(in crate::app) fn leave(&mut self, ctx: &egui::Context, next: Next) {
        self.bench.drop_trial();
        if self.bench.document().is_changed() {
            self.windows.dialog = Some(Dialog::Unsaved(next));
        } else {
            self.go_on(ctx, next);
        }
    }

    pub(in crate::app) fn go_on(&mut self, ctx: &egui::Context, next: Next) {
        match next {
            Next::New => {
                let scenario = new_bench(self.bench.library());
                self.put_on_bench(Document::opened(scenario), Source::default());
            }
            Next::Demo(index) => {
                if let Some((_, scenario)) = presets::demos().into_iter().nth(index) {
                    self.put_on_bench(Document::opened(scenario), Source::default());
                }
            }
            Next::Choose => {
                self.windows.picker.show(&waking::by(ctx), Purpose::Open, self.disk.path.as_deref().and_then(|p| p.parent()), "");
            }
            Next::Type => self.type_path(Purpose::Open, String::new()),
            Next::Open(path) => {
                self.open(&path);
            }
            Next::Left(path) => self.open_left(&path),
            Next::Close => {
                self.shell.may_close = true;
                ctx.send_viewport_cmd(ViewportCommand::Close);
            }
        }
    }

    pub(in crate::app) fn type_path(&mut self, purpose: Purpose, why: String) {
        let text = match (&purpose, &self.disk.path) {
            (Purpose::Save(_), Some(path)) => path.display().to_string(),
            (Purpose::Save(_), None) => suggested_path(self.bench.document().scenario()).display().to_string(),
            (Purpose::Open | Purpose::Import | Purpose::Export | Purpose::Beside, _) => String::new(),
            (Purpose::Results(results, _), _) => {
                in_documents(suggested_results(self.bench.document().scenario(), *results)).display().to_string()
            }
            (Purpose::Climate, _) => self.climate_path(),
        };
        self.windows.dialog = Some(Dialog::Path { purpose, text, why });
    }

    /// Takes the path chosen in the system's dialog.
    pub(in crate::app) fn poll_picker(&mut self) -> Option<(Purpose, PathBuf)> {
        let (purpose, picked) = self.windows.picker.poll()?;
        match picked {
            Picked::Path(path) => Some((purpose, path)),
            Picked::Nothing => None,
            Picked::NoDialog if self.own_presets_chosen(&purpose, None) => None,
            Picked::NoDialog => {
                self.type_path(purpose, NO_DIALOG.to_owned());
                None
            }
        }
    }

    /// Uses a chosen or typed path.
    /// The system's dialog has asked before whether a file may be replaced (`consented`).
    pub(in crate::app) fn use_path(&mut self, ctx: &egui::Context, purpose: Purpose, path: &std::path::Path, consented: bool) {
        match purpose {
            Purpose::Open => {
                self.open(path);
            }
            Purpose::Beside => self.read_other(ctx, path),
            Purpose::Save(then) => self.save_chosen(ctx, path, consented, then),
            Purpose::Climate => self.import_climate(ctx, Some(path)),
            Purpose::Results(results, over) => self.export_to(ctx, results, path, (consented, over.as_deref())),
            Purpose::Import | Purpose::Export => {
                self.own_presets_chosen(&purpose, Some(path));
            }
        }
    }

    /// Draws the small window that is open, if one is, and does what was answered.
    pub(in crate::app) fn answer_dialog(&mut self, ctx: &egui::Context) {
        if matches!(self.windows.dialog, Some(Dialog::Series(_))) {
            self.answer_series(ctx);
            return;
        }
        if matches!(self.windows.dialog, Some(Dialog::Climate(_))) {
            self.answer_climate(ctx);
            return;
        }
        if matches!(self.windows.dialog, Some(Dialog::LeftWork(_))) {
            self.answer_left_work(ctx);
            return;
        }
        if self.answer_preset_dialogs(ctx) {
            return;
        }
        let name = self.bench.document().scenario().name.clone();
        let Some(answer) = self.windows.dialog.as_mut().and_then(|d| dialog::show(ctx, d, &name)) else { return };
        self.windows.dialog = None;
        match answer {
            Answer::Cancel => {}
            Answer::SaveThen(next) => self.save(ctx, Some(next)),
            Answer::Discard(next) => self.go_on(ctx, next),
            Answer::KeepMine(path, since, next) => self.save_over(ctx, &path, since, next),
            Answer::TakeTheirs(path) => self.read_theirs(&path),
            Answer::SaveBeside(path, next) => self.save_beside(ctx, &path, next),
            Answer::Typed(purpose, text) => {
                if let Some(path) = typed_path(&text, purpose.ending()) {
                    self.use_path(ctx, purpose, &path, false);
                }
            }
        }
        ctx.request_repaint();
    }

    /// Draws the window that adds a series: the bench shows the day with it until it is added or let be.
    fn answer_series(&mut self, ctx: &egui::Context) {
        let Some(Dialog::Series(form)) = &mut self.windows.dialog else { return };
        let redraw =
            match form.show(ctx, self.bench.schedule(), self.bench.document().scenario().feed_ec(self.bench.valve()), self.bench.units) {
                Asked::Show(Some(edit)) => self.bench.try_set(&edit),
                Asked::Show(None) => self.bench.drop_trial(),
                Asked::Add => {
                    self.windows.dialog = None;
                    self.bench.keep_trial();
                    self.pages.tracks.focus_selected(self.bench.selected.is_some());
                    true
                }
                Asked::Cancel => {
                    self.windows.dialog = None;
                    self.bench.drop_trial();
                    true
                }
            };
        if redraw {
            ctx.request_repaint();
        }
    }
}
