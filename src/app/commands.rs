//! What keys and menus ask for by name.

use eframe::egui::{self, ViewportCommand};

use super::App;
use super::action::{Action, Next, Page, Zoom};
use super::dialogs::Dialog;
use super::event_set::SetEdit;
use super::notice::Notice;
use super::schedule_edit::{EventEdit, fresh};
use super::series::SeriesForm;
use super::setup;
use super::shortcuts::{self, Command};
use super::sides::Side;
use super::steps::snapped;
use super::tracks::{Tracks, grip};

/// How much one key press adds to a flood's depth, cm: by a step, and with Alt.
const DEPTHS_CM: (f64, f64) = (grip::DEPTH_CM, grip::FINE_CM);

impl App {
    /// What the keys of this frame ask for, in order.
    pub(super) fn keys(&self, ctx: &egui::Context) -> Vec<Action> {
        let on_bench = self.page == Page::Bench && !self.tracks.is_holding() && !egui::Popup::is_any_open(ctx);
        let on_event = on_bench && Tracks::event_with_focus(ctx, &self.bench).is_some();
        let mut actions: Vec<Action> = Vec::new();
        for (command, times) in shortcuts::pressed(ctx, on_event, on_bench) {
            actions.extend((0..times.min(100)).map(|_| Action::Do(command)));
        }
        if on_bench {
            actions.extend(self.tracks.clipboard(ctx, &self.bench));
        }
        actions
    }

    /// Does what a key or a menu item names. Returns whether the bench must be drawn anew.
    pub(super) fn command(&mut self, ctx: &egui::Context, command: Command) -> bool {
        // Undo selects nothing, and the keyboard stays where it was: what has it is what is meant.
        if self.bench.picked().is_empty()
            && let Some(index) = Tracks::event_with_focus(ctx, &self.bench)
        {
            self.bench.pick(vec![index]);
        }
        let steps = self.bench.steps;
        let grow = |ml, depth_cm| Action::EditSet(SetEdit::Grow { ml, depth_cm });
        let stretch = |by_s| Action::EditSet(SetEdit::Stretch { by_s });
        let action = match command {
            Command::New => Action::Leave(Next::New),
            Command::Open => Action::Leave(Next::Choose),
            Command::Save => Action::Save,
            Command::SaveAs => Action::SaveAs,
            Command::ImportClimate => Action::ImportClimate(None),
            Command::Quit => Action::Leave(Next::Close),
            Command::Undo => Action::Undo,
            Command::Redo => Action::Redo,
            Command::ChangeLog => Action::ChangeLog,
            Command::ShowBench => Action::Show(Page::Bench),
            Command::ShowDepth => Action::Show(Page::Depth),
            Command::SetupSide => Action::Side(Side::Setup),
            Command::FiguresSide => Action::Side(Side::Figures),
            Command::DayStrip => Action::DayStrip,
            Command::ZoomIn => Action::Zoom(Zoom::In),
            Command::ZoomOut => Action::Zoom(Zoom::Out),
            Command::ZoomWhole => Action::Zoom(Zoom::Whole),
            Command::Pin => Action::Pin,
            Command::Unpin => Action::Unpin,
            Command::Later => self.nudge(steps.start_s()),
            Command::Earlier => self.nudge(-steps.start_s()),
            Command::LaterFine => self.nudge(60.0),
            Command::EarlierFine => self.nudge(-60.0),
            Command::More => grow(steps.ml, DEPTHS_CM.0),
            Command::Less => grow(-steps.ml, -DEPTHS_CM.0),
            Command::MoreFine => grow(1.0, DEPTHS_CM.1),
            Command::LessFine => grow(-1.0, -DEPTHS_CM.1),
            Command::Longer => stretch(steps.length_s()),
            Command::Shorter => stretch(-steps.length_s()),
            Command::Duplicate => Action::EditSet(SetEdit::Duplicate(steps.start_s())),
            Command::Delete => match self.bench.picked() {
                [] => return false,
                [one] => Action::EditEvent(EventEdit::Delete { index: *one }),
                _ => Action::EditSet(SetEdit::Delete),
            },
            Command::AddEvent => self.addition(),
            _ => return self.window_command(ctx, command),
        };
        self.perform(ctx, action)
    }

    /// Commands that change what is selected or open, not the scenario.
    fn window_command(&mut self, ctx: &egui::Context, command: Command) -> bool {
        let count = self.bench.schedule().len();
        match command {
            Command::GoToEvents => {
                self.perform(ctx, Action::Show(Page::Bench));
                if count == 0 {
                    self.notice = Some(Notice::passing("There is no event yet. Insert adds one, Ctrl+R a series."));
                } else if self.bench.picked().is_empty() {
                    self.bench.pick(vec![0]);
                }
                self.tracks.focus_selected(count > 0);
            }
            Command::GoToSchedule => {
                self.perform(ctx, Action::Show(Page::Bench));
                if !self.sides.shows(Side::Setup, ctx.content_rect().width()) {
                    self.perform(ctx, Action::Side(Side::Setup));
                }
                setup::go_to_schedule(ctx);
                self.ring.carried();
            }
            Command::SelectAll => {
                self.bench.pick((0..count).collect());
                self.tracks.focus_selected(count > 0);
            }
            Command::AlsoNext => self.also(ctx, 1),
            Command::AlsoPrevious => self.also(ctx, -1),
            Command::EditEvent => self.editor.open(ctx, &self.bench),
            Command::Series => {
                self.tracks.let_go();
                self.dialog = Some(Dialog::Series(Box::new(SeriesForm::from(&self.bench))));
            }
            Command::Keys => self.dialog = Some(Dialog::Keys),
            Command::OwnPresets => self.show_own_presets(),
            Command::StartCrop => self.ask_for_crop(),
            Command::Copy => ctx.send_viewport_cmd(ViewportCommand::RequestCopy),
            Command::Cut => ctx.send_viewport_cmd(ViewportCommand::RequestCut),
            Command::Paste => ctx.send_viewport_cmd(ViewportCommand::RequestPaste),
            Command::Escape => self.escape(),
            _ => return false,
        }
        true
    }

    /// Moves the selected events; one alone goes on past others that stand in its way.
    fn nudge(&self, by_s: f64) -> Action {
        let schedule = self.bench.schedule();
        let [index] = self.bench.picked() else { return Action::EditSet(SetEdit::Move { by_s }) };
        let Some(event) = schedule.get(*index) else { return Action::Drop };
        let mut start_s = event.start_s();
        for _ in 0..2000 {
            start_s += by_s;
            let edit = EventEdit::Move { index: *index, start_s };
            let went = edit.made(schedule).and_then(|(after, at)| after.get(at?).map(|e| e.start_s() - event.start_s()));
            if went.is_some_and(|way| way * by_s > 0.0) || !(0.0..=crate::scenario::DAY_S).contains(&start_s) {
                return Action::EditEvent(edit);
            }
        }
        Action::EditEvent(EventEdit::Move { index: *index, start_s: event.start_s() })
    }

    /// Another event: under the pointer, after the selected one, after the last one, or in the morning of an empty day.
    fn addition(&self) -> Action {
        let scenario = self.bench.document().scenario();
        let (schedule, steps) = (self.bench.schedule(), self.bench.steps);
        let before = self.bench.selected.and_then(|i| schedule.get(i)).or(schedule.last());
        let read = self.tracks.read_at();
        if let Some(why) = read.and_then(|(day, _)| self.bench.other_plan(day)) {
            return Action::Say(why);
        }
        let start = match (read, before) {
            (Some((_, second)), _) => snapped(second, steps.start_s()),
            (None, Some(event)) => (event.end_s() / steps.start_s()).ceil() * steps.start_s(),
            (None, None) => snapped(scenario.light.on.seconds() + 7200.0, steps.start_s()),
        };
        let ml = before.and_then(crate::scenario::Event::ml).unwrap_or(100.0);
        Action::EditEvent(EventEdit::Add(fresh(schedule, start, ml)))
    }

    /// Selects the neighbour of the event that has the keyboard, too, and goes there.
    fn also(&mut self, ctx: &egui::Context, way: isize) {
        let Some(from) = Tracks::event_with_focus(ctx, &self.bench) else { return };
        let Some(to) = from.checked_add_signed(way) else { return };
        if to >= self.bench.schedule().len() {
            return;
        }
        let mut set = self.bench.picked().to_vec();
        set.extend([from, to]);
        self.bench.pick(set);
        self.bench.selected = Some(to);
        self.tracks.focus_selected(true);
    }

    /// Closes what is open, the last thing first; then selects nothing.
    fn escape(&mut self) {
        if self.editor.close() {
            self.tracks.focus_selected(self.bench.selected.is_some());
        } else if self.log_open {
            self.log_open = false;
        } else if self.bench.close_exactness() {
            // That was what was open.
        } else if self.bench.origin.take().is_none() {
            self.bench.pick(Vec::new());
        }
    }
}
