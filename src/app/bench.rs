//! The bench behind the window: the document, its projection, and the change being tried.

use std::sync::Arc;

use eframe::egui::Context;

use super::background::Background;
use super::change::Change;
use super::days::Days;
use super::event_set::SetEdit;
use super::origin::Origin;
use super::projection::{Prepared, Projection};
use super::schedule_edit::EventEdit;
use super::settling::Settling;
use super::steps::Steps;
use crate::engine::run::Workshop;
use crate::scenario::edit::Document;
use crate::scenario::presets::Library;
use crate::scenario::{Event, Scenario};
use crate::units::Units;

/// A change that is shown but not yet made.
#[derive(Clone, Debug)]
struct Trial {
    name: String,
    /// The scenario with the change.
    scenario: Arc<Scenario>,
    /// Its projection, or an older one of this trial while that is computed; `None` before the first.
    shown: Option<Projection>,
    change: Change,
    /// The events that it selects.
    set: Vec<usize>,
}

/// Layers times days that are computed within a frame; what is more is computed beside it while an event is dragged.
const IN_A_FRAME: usize = 300;

/// The thread that computes what is tried.
struct Trying {
    thread: Background<Projection>,
    /// The number of the newest trial, and of the first of this drag: answers to older ones are of another.
    number: u64,
    first: u64,
    /// Who is to be told of an answer; not known before the first frame.
    ctx: Option<Context>,
}

impl Default for Trying {
    fn default() -> Self {
        Self { thread: Background::new("trying"), number: 0, first: 0, ctx: None }
    }
}

/// A trial's run as work for a thread. It is finished even when a newer one waits, so that the picture moves on during a long drag.
fn beside(prepared: Prepared, day: usize) -> impl FnOnce(&dyn Fn() -> bool) -> Option<Projection> + Send {
    move |_| Some(prepared.run(None, day))
}

/// A state kept as a reference until it is unpinned.
#[derive(Clone, Debug)]
pub struct Pin {
    /// What it was: the change it stood after.
    pub name: String,
    /// Its projection.
    pub projection: Projection,
}

/// The document with everything computed from it.
pub struct Bench {
    library: Library,
    workshop: Workshop,
    document: Document,
    /// The document's own run.
    standing: Projection,
    /// Counts the states of `standing`, so that what was settled for one is never taken for another.
    edition: u64,
    days: Days,
    settling: Settling,
    pin: Option<Pin>,
    trial: Option<Trial>,
    trying: Trying,
    last_change: Option<Change>,
    /// The event that is selected, by its place in the document's schedule.
    pub selected: Option<usize>,
    /// All events that are selected, in order.
    set: Vec<usize>,
    /// The figure whose place on the tracks is shown.
    pub origin: Option<Origin>,
    /// The units that numbers are shown in.
    pub units: Units,
    /// What drags and arrow keys snap to.
    pub steps: Steps,
}

impl Bench {
    /// A bench with a document on it, showing its last day.
    #[must_use]
    pub fn new(library: Library, document: Document) -> Self {
        let mut workshop = Workshop::default();
        let standing = Projection::of(Arc::clone(document.scenario()), &mut workshop, &library, usize::MAX);
        Self {
            library,
            workshop,
            document,
            days: Days::One(standing.day),
            standing,
            edition: 0,
            settling: Settling::default(),
            pin: None,
            trial: None,
            trying: Trying::default(),
            last_change: None,
            selected: None,
            set: Vec::new(),
            origin: None,
            units: Units::default(),
            steps: Steps::default(),
        }
    }

    /// Puts another document on the bench.
    pub fn replace(&mut self, document: Document) {
        self.document = document;
        self.trial = None;
        self.last_change = None;
        self.pick(Vec::new());
        self.origin = None;
        self.pin = None;
        self.settling.forget();
        let standing = self.project(Arc::clone(self.document.scenario()), usize::MAX);
        self.stand(standing);
        if self.days != Days::Settled {
            self.days = Days::One(self.standing.day);
        }
    }

    /// Takes a run as the document's own.
    fn stand(&mut self, standing: Projection) {
        self.standing = standing;
        self.edition += 1;
        let days = self.standing.days();
        self.days = match self.days {
            Days::One(day) => Days::One(day.min(days - 1)),
            Days::All if days == 1 => Days::One(0),
            other => other,
        };
    }

    /// The presets at hand.
    #[must_use]
    pub fn library(&self) -> &Library {
        &self.library
    }

    /// Takes other presets in hand: what the document names is projected anew.
    pub fn use_library(&mut self, library: Library) {
        self.library = library;
        self.workshop = Workshop::default();
        self.trial = None;
        let standing = self.project(Arc::clone(self.document.scenario()), self.standing.day);
        self.stand(standing);
    }

    /// The document.
    #[must_use]
    pub fn document(&self) -> &Document {
        &self.document
    }

    /// What is to be drawn: the change being tried, or the document.
    #[must_use]
    pub fn shown(&self) -> &Projection {
        if let Some(trial) = &self.trial {
            return trial.shown.as_ref().unwrap_or(&self.standing);
        }
        let settled = (self.days == Days::Settled).then(|| self.settling.found(self.edition)).flatten();
        settled.unwrap_or(&self.standing)
    }

    /// The run of all days, whichever of them are shown: that of the change being tried, or the document's.
    #[must_use]
    pub fn plain(&self) -> &Projection {
        self.trial.as_ref().and_then(|t| t.shown.as_ref()).unwrap_or(&self.standing)
    }

    /// The document's settled day, if it was asked for and found.
    #[must_use]
    pub fn settled(&self) -> Option<&Projection> {
        self.settling.found(self.edition)
    }

    /// The document's projection while another is shown.
    #[must_use]
    pub fn ghost(&self) -> Option<&Projection> {
        self.trial.as_ref()?.shown.as_ref().map(|_| &self.standing)
    }

    /// What the change being tried, or else the last one, did.
    #[must_use]
    pub fn change(&self) -> Option<&Change> {
        self.trial.as_ref().map(|t| &t.change).or(self.last_change.as_ref())
    }

    /// Shows other days. The figures are of the day shown, or of the run's last.
    pub fn show_days(&mut self, days: Days) {
        self.trial = None;
        self.last_change = None;
        let plan = self.plan();
        self.days = days;
        // Events of another plan are others.
        if self.plan() != plan {
            self.pick(Vec::new());
        }
        self.standing.show_day(if let Days::One(day) = days { day } else { usize::MAX });
    }

    /// Which days are shown.
    #[must_use]
    pub fn days(&self) -> Days {
        self.days
    }

    /// Days of the document's run.
    #[must_use]
    pub fn run_days(&self) -> usize {
        self.standing.days()
    }

    /// Whether a change is shown that is not made.
    #[must_use]
    pub fn is_trying(&self) -> bool {
        self.trial.is_some()
    }

    /// Why the settled day will not be found, if so.
    #[must_use]
    pub fn settling_failed(&self) -> Option<&str> {
        self.settling.failed()
    }

    /// Takes what other threads have computed since the last frame, and asks them for what is wanted; never waits.
    pub fn follow(&mut self, ctx: &Context) {
        self.trying.ctx.get_or_insert_with(|| ctx.clone());
        if let Some((number, shown)) = self.trying.thread.take()
            && let Some(trial) = self.trial.as_mut().filter(|_| number >= self.trying.first)
        {
            let Change { title, what, .. } = trial.change.clone();
            trial.change = Change::between(title, what, &self.standing, &shown);
            trial.shown = Some(shown);
        }
        self.settle(ctx);
    }

    fn settle(&mut self, ctx: &Context) {
        if self.days != Days::Settled || self.trial.is_some() {
            return;
        }
        if let Some(before) = self.settling.take(self.edition)
            && let (Some(before), Some(after), Some(change)) = (before, self.settling.found(self.edition), &self.last_change)
        {
            let title = format!("{}, settled", change.title);
            self.last_change = Some(Change::between(title, String::new(), &before, after));
        }
        let known = self.settling.was_asked(self.edition);
        if known || !self.standing.troubles.is_empty() {
            return;
        }
        if let Ok(ready) = self.workshop.ready(&self.standing.scenario, &self.library) {
            // A copy of its own, by which pictures of the settled day are told from those of the plain run.
            let scenario = Arc::new(Scenario::clone(&self.standing.scenario));
            self.settling.ask(ctx, self.edition, scenario, ready);
        }
    }

    /// Keeps what is shown as a reference, in place of any before it.
    pub fn pin(&mut self) {
        let name = self.document.next_undo().map_or_else(|| "as opened".to_owned(), |e| format!("after {}", e.name));
        self.pin = Some(Pin { name, projection: self.shown().clone() });
    }

    /// Gives the reference up.
    pub fn unpin(&mut self) {
        self.pin = None;
    }

    /// The reference.
    #[must_use]
    pub fn pinned(&self) -> Option<&Pin> {
        self.pin.as_ref()
    }

    /// How the figures shown differ from those of the reference.
    #[must_use]
    pub fn against_pin(&self) -> Option<Change> {
        let pin = self.pin.as_ref()?;
        Some(Change::between(format!("Against the pinned state, {}", pin.name), String::new(), &pin.projection, self.shown()))
    }

    /// Notes that the document is on disk as it stands.
    pub fn mark_saved(&mut self) {
        self.document.mark_saved();
    }

    /// Tries a change of an event: shown, not made. Returns whether the picture changed.
    pub fn try_event(&mut self, edit: &EventEdit) -> bool {
        let Some((after, select)) = self.with_edit(edit) else { return false };
        let before = Arc::clone(self.document.scenario());
        let grabbed = match *edit {
            EventEdit::Move { index, .. } | EventEdit::Volume { index, .. } => self.schedule().get(index).copied(),
            _ => None,
        };
        let title = grabbed.map_or_else(String::new, |e| format!("Since you grabbed the {} event", e.start));
        let plan = self.plan();
        let name = self.of_plan(edit.name(before.events(plan), after.events(plan), select));
        let what = edit.what(before.events(plan), after.events(plan), select);
        self.try_scenario(after, name, Change { title, what, lanes: Vec::new() }, select.into_iter().collect(), true)
    }

    /// All events that are selected, by their places in the document's schedule, in order.
    #[must_use]
    pub fn picked(&self) -> &[usize] {
        &self.set
    }

    /// Selects these events and no others; the first of them is the one that the keyboard goes to.
    pub fn pick(&mut self, mut set: Vec<usize>) {
        set.sort_unstable();
        set.dedup();
        set.retain(|i| *i < self.schedule().len());
        self.selected = self.selected.filter(|s| set.contains(s)).or_else(|| set.first().copied());
        self.set = set;
    }

    /// A selected event as the change being tried would have it.
    #[must_use]
    pub fn tried(&self, index: usize) -> Option<Event> {
        let trial = self.trial.as_ref()?;
        let place = self.set.iter().position(|i| *i == index)?;
        trial.scenario.events(self.plan()).get(*trial.set.get(place)?).copied()
    }

    /// Tries a change of the selected events: shown, not made. Returns whether the picture changed.
    pub fn try_set(&mut self, edit: &SetEdit) -> bool {
        let before = self.schedule();
        let Ok(made) = edit.made(before, &self.set) else { return false };
        let title = match self.set.as_slice() {
            _ if matches!(edit, SetEdit::Series(_)) => "With the series".to_owned(),
            [one] => before.get(*one).map_or_else(String::new, |e| format!("Since you grabbed the {} event", e.start)),
            many => format!("Since you grabbed {} events", many.len()),
        };
        let after = self.with_schedule(made.schedule);
        let change = Change { title, what: made.name.clone(), lanes: Vec::new() };
        let name = self.of_plan(made.name);
        self.try_scenario(after, name, change, made.picked, true)
    }

    /// Makes a change of the selected events.
    ///
    /// # Errors
    /// Why it cannot be made, in words.
    pub fn edit_set(&mut self, edit: &SetEdit) -> Result<(), String> {
        let made = edit.made(self.schedule(), &self.set)?;
        let after = self.with_schedule(made.schedule);
        self.apply(self.of_plan(made.name), after);
        self.pick(made.picked);
        Ok(())
    }

    /// Goes back or forward to the document as it was after so many changes.
    pub fn go_to(&mut self, count: usize) {
        self.trial = None;
        while self.document.log().len() > count && self.document.undo().is_some() {}
        while self.document.log().len() < count && self.document.redo().is_some() {}
        self.pick(Vec::new());
        let name = self.document.next_undo().map_or_else(|| "As it was opened".to_owned(), |e| format!("Gone to: {}", e.name));
        self.follow_document(name);
    }

    /// Tries a change of a field.
    pub fn try_field(&mut self, name: String, after: Scenario) -> bool {
        let title = format!("Trying: {name}");
        // Fields show what is projected: they cannot run ahead of it.
        self.try_scenario(after, name, Change { title, what: String::new(), lanes: Vec::new() }, self.set.clone(), false)
    }

    /// Shows a scenario that is not made. What takes longer than a frame is computed beside it, where the caller can wait.
    fn try_scenario(&mut self, after: Scenario, name: String, change: Change, set: Vec<usize>, can_wait: bool) -> bool {
        if self.trial.as_ref().is_some_and(|t| t.name == name && *t.scenario == after) {
            return false;
        }
        let scenario = Arc::new(after);
        let prepared = Prepared::new(Arc::clone(&scenario), &mut self.workshop, &self.library);
        let day = self.standing.day;
        let old = self.trial.take();
        if old.is_none() {
            self.trying.first = self.trying.number + 1;
        }
        let ctx = self.trying.ctx.clone().filter(|_| can_wait && prepared.work() > IN_A_FRAME);
        self.trying.number += 1;
        if let Some(ctx) = ctx
            && self.trying.thread.ask(&ctx, self.trying.number, beside(prepared.clone(), day)).is_ok()
        {
            let (shown, lanes) = old.map_or_else(Default::default, |t| (t.shown, t.change.lanes));
            self.trial = Some(Trial { name, scenario, shown, change: Change { lanes, ..change }, set });
            return true;
        }
        // An answer that is still to come is older than this one.
        self.trying.first = self.trying.number + 1;
        let shown = prepared.run(Some(&self.standing), day);
        let change = Change::between(change.title, change.what, &self.standing, &shown);
        self.trial = Some(Trial { name, scenario, shown: Some(shown), change, set });
        true
    }

    /// Makes the change being tried, as one step of the edit list.
    pub fn keep_trial(&mut self) -> bool {
        let Some(trial) = self.trial.take() else { return false };
        let after = Scenario::clone(&trial.scenario);
        self.pick(trial.set);
        if !self.document.apply(trial.name.clone(), |s| *s = after) {
            return true;
        }
        match trial.shown.filter(|s| s.scenario == trial.scenario) {
            // What was shown is what was made: no need to run it again.
            Some(shown) => {
                self.last_change = Some(Change { title: trial.name, what: String::new(), ..trial.change });
                self.stand(shown);
            }
            None => self.follow_document(trial.name),
        }
        true
    }

    /// Drops the change being tried.
    pub fn drop_trial(&mut self) -> bool {
        self.trial.take().is_some()
    }

    /// Makes a change of an event. Returns whether there was room for it.
    pub fn edit_event(&mut self, edit: &EventEdit) -> bool {
        self.trial = None;
        let Some((after, select)) = self.with_edit(edit) else { return false };
        let plan = self.plan();
        let name = self.of_plan(edit.name(self.schedule(), after.events(plan), select));
        self.apply(name, after);
        self.pick(select.into_iter().collect());
        true
    }

    /// Makes a change under a name.
    pub fn apply(&mut self, name: String, after: Scenario) {
        self.trial = None;
        if self.document.apply(name.clone(), |s| *s = after) {
            self.follow_document(name);
        }
    }

    /// Takes the last change back, or makes it again.
    pub fn step_back(&mut self, redo: bool) {
        self.trial = None;
        self.pick(Vec::new());
        let (verb, name) = if redo { ("Redone", self.document.redo()) } else { ("Undone", self.document.undo()) };
        if let Some(name) = name {
            self.follow_document(format!("{verb}: {name}"));
        }
    }

    fn with_edit(&self, edit: &EventEdit) -> Option<(Scenario, Option<usize>)> {
        let (schedule, select) = edit.made(self.schedule())?;
        Some((self.with_schedule(schedule), select))
    }

    /// The plan that is on show and edited: that in force on the day shown, or on the last.
    #[must_use]
    pub fn plan(&self) -> usize {
        let day = match self.days {
            Days::One(day) => day,
            Days::All => self.standing.day,
            Days::Settled => usize::MAX - 1,
        };
        self.document.scenario().plan_on(day)
    }

    /// The events that are edited: the document's, of the plan on show.
    #[must_use]
    pub fn schedule(&self) -> &[Event] {
        self.document.scenario().events(self.plan())
    }

    /// The document with other events in the plan on show.
    fn with_schedule(&self, schedule: Vec<Event>) -> Scenario {
        let mut after = Scenario::clone(self.document.scenario());
        *after.events_mut(self.plan()) = schedule;
        after
    }

    /// The name of a change of the plan on show: it says on which days it is in force, where that is not every day.
    #[must_use]
    pub fn of_plan(&self, name: String) -> String {
        let scenario = self.document.scenario();
        if scenario.changes.is_empty() { name } else { format!("{name}, {}", scenario.plan_days(self.plan())) }
    }

    fn follow_document(&mut self, title: String) {
        let prepared = Prepared::new(Arc::clone(self.document.scenario()), &mut self.workshop, &self.library);
        let after = prepared.run(Some(&self.standing), self.standing.day);
        self.last_change = Some(Change::between(title, String::new(), &self.standing, &after));
        self.stand(after);
    }

    fn project(&mut self, scenario: Arc<Scenario>, day: usize) -> Projection {
        Projection::of(scenario, &mut self.workshop, &self.library, day)
    }
}
