//! What keys ask for, and what they and menus do to the selected events.

use eframe::egui::{self};

use crate::app::actions::action::{Action, Nudge, Page};
use crate::app::actions::shortcuts;
use crate::app::pages::bench::setup;
use crate::app::pages::bench::tracks::{Tracks, grip};
use crate::app::state::notice::Notice;
use crate::app::state::sides::Side;
use crate::app::window::App;
use crate::edits::event_set::SetEdit;
use crate::edits::schedule_edit::{EventEdit, fresh};
use crate::edits::steps::snapped;

/// How much one key press adds to a flood's depth, cm: by a step, and with Alt.
const DEPTHS_CM: (f64, f64) = (grip::DEPTH_CM, grip::FINE_CM);

impl App {
    /// What the keys of this frame ask for, in order.
    pub(in crate::app) fn keys(&self, ctx: &egui::Context) -> Vec<Action> {
        let on_bench = self.pages.page == Page::Bench && !self.pages.tracks.is_holding() && !egui::Popup::is_any_open(ctx);
        let on_event = on_bench && Tracks::event_with_focus(ctx, &self.bench).is_some();
        let mut actions: Vec<Action> = Vec::new();
        for (action, times) in shortcuts::pressed(ctx, on_event) {
            actions.extend((0..times.min(100)).map(|_| action.clone()));
        }
        if on_bench {
            actions.extend(self.pages.tracks.clipboard(ctx, &self.bench));
        }
        actions
    }

    /// Selects the event that has the keyboard where nothing is selected. Undo selects nothing, and the keyboard stays where it was:
    /// what has it is what is meant.
    pub(in crate::app) fn select_focused(&mut self, ctx: &egui::Context) {
        if self.bench.picked().is_empty()
            && let Some(index) = Tracks::event_with_focus(ctx, &self.bench)
        {
            self.bench.pick(vec![index]);
        }
    }

    /// Changes the selected events, or which are selected. Returns whether the bench must be drawn anew.
    pub(in crate::app) fn change_selected(&mut self, ctx: &egui::Context, action: &Action) -> bool {
        let steps = self.bench.steps;
        let edit = match action {
            Action::Nudge(nudge) => self.nudge(*nudge),
            Action::DuplicateSelected => Action::EditSet(SetEdit::Duplicate(steps.start_s())),
            Action::DeleteSelected => match self.bench.picked() {
                [] => return false,
                [one] => Action::EditEvent(EventEdit::Delete { index: *one }),
                _ => Action::EditSet(SetEdit::Delete),
            },
            Action::AddEvent => self.addition(),
            Action::SelectAll => {
                let count = self.bench.schedule().len();
                self.bench.pick((0..count).collect());
                self.pages.tracks.focus_selected(count > 0);
                return true;
            }
            Action::AlsoNext => return self.also(ctx, 1),
            Action::AlsoPrevious => return self.also(ctx, -1),
            _ => return false,
        };
        self.carry_out(ctx, edit)
    }

    /// Takes a valve in hand.
    pub(in crate::app) fn take_valve(&mut self, valve: usize) {
        self.pages.tracks.let_go();
        self.bench.take_valve(valve);
    }

    /// Takes the next valve in hand, and tells which.
    pub(in crate::app) fn next_valve(&mut self) {
        let count = self.bench.document().scenario().valves.len();
        if count < 2 {
            let how = "All lanes are on one valve. The menu (…) of a lane's card gives it a valve of its own.";
            self.shell.notice = Some(Notice::passing(how.to_owned()));
            return;
        }
        self.take_valve((self.bench.valve() + 1) % count);
        let name = self.bench.document().scenario().valves[self.bench.valve()].name.clone();
        self.shell.notice = Some(Notice::passing(format!("{name} is in hand.")));
    }

    /// Goes to the events of the bench page.
    pub(in crate::app) fn go_to_events(&mut self, ctx: &egui::Context) {
        let count = self.bench.schedule().len();
        self.carry_out(ctx, Action::Show(Page::Bench));
        if count == 0 {
            self.shell.notice = Some(Notice::passing("There is no event yet. Insert adds one, Ctrl+R a series."));
        } else if self.bench.picked().is_empty() {
            self.bench.pick(vec![0]);
        }
        self.pages.tracks.focus_selected(count > 0);
    }

    /// Goes to rules and schedule, and shows the setup for it.
    pub(in crate::app) fn go_to_schedule(&mut self, ctx: &egui::Context) {
        self.carry_out(ctx, Action::Show(Page::Bench));
        if !self.pages.sides.shows(Side::Setup, ctx.content_rect().width()) {
            self.carry_out(ctx, Action::Side(Side::Setup));
        }
        setup::go_to_schedule(ctx);
        self.shell.ring.carried();
    }

    /// What a nudge of the selected events is as an edit.
    fn nudge(&self, nudge: Nudge) -> Action {
        let steps = self.bench.steps;
        let grow = |ml, depth_cm| Action::EditSet(SetEdit::Grow { ml, depth_cm });
        let stretch = |by_s| Action::EditSet(SetEdit::Stretch { by_s });
        match nudge {
            Nudge::Later => self.moved(steps.start_s()),
            Nudge::Earlier => self.moved(-steps.start_s()),
            Nudge::LaterFine => self.moved(60.0),
            Nudge::EarlierFine => self.moved(-60.0),
            Nudge::More => grow(steps.ml, DEPTHS_CM.0),
            Nudge::Less => grow(-steps.ml, -DEPTHS_CM.0),
            Nudge::MoreFine => grow(1.0, DEPTHS_CM.1),
            Nudge::LessFine => grow(-1.0, -DEPTHS_CM.1),
            Nudge::Longer => stretch(steps.length_s()),
            Nudge::Shorter => stretch(-steps.length_s()),
        }
    }

    /// Moves the selected events; one alone goes on past others that stand in its way.
    fn moved(&self, by_s: f64) -> Action {
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
        let read = self.pages.tracks.read_at();
        if let Some(why) = read.and_then(|(day, _)| self.bench.other_plan(day)) {
            return Action::Say(why);
        }
        let start = match (read, before) {
            (Some((_, second)), _) => snapped(second, steps.start_s()),
            (None, Some(event)) => (event.end_s() / steps.start_s()).ceil() * steps.start_s(),
            (None, None) => snapped(scenario.usual_light().on.seconds() + 7200.0, steps.start_s()),
        };
        let ml = before.and_then(crate::scenario::Event::ml).unwrap_or(100.0);
        Action::EditEvent(EventEdit::Add(fresh(schedule, start, ml)))
    }

    /// Selects the neighbour of the event that has the keyboard, too, and goes there.
    fn also(&mut self, ctx: &egui::Context, way: isize) -> bool {
        let Some(from) = Tracks::event_with_focus(ctx, &self.bench) else { return true };
        let Some(to) = from.checked_add_signed(way).filter(|to| *to < self.bench.schedule().len()) else { return true };
        let mut set = self.bench.picked().to_vec();
        set.extend([from, to]);
        self.bench.pick(set);
        self.bench.selected = Some(to);
        self.pages.tracks.focus_selected(true);
        true
    }

    /// Closes what is open, the last thing first; then selects nothing.
    pub(in crate::app) fn escape(&mut self) {
        if self.windows.editor.close() {
            self.pages.tracks.focus_selected(self.bench.selected.is_some());
        } else if self.windows.log_open {
            self.windows.log_open = false;
        } else if self.bench.close_exactness() {
            // That was what was open.
        } else if self.bench.origin.take().is_none() {
            self.bench.pick(Vec::new());
        }
    }
}
