//! The bench behind the window: the document, its projection, and the change being tried.

mod trial;
mod trying;

use std::sync::Arc;

use eframe::egui::Context;

use self::trial::{Trial, Trying};
use super::days::Days;
use super::exactness::{Finding, Known};
use super::settling::Settling;
use crate::edits::document::Document;
use crate::edits::event_set::SetEdit;
use crate::edits::plan_edit;
use crate::edits::schedule_edit::EventEdit;
use crate::edits::steps::Steps;
use crate::engine::run::{Settled, Workshop};
use crate::projection::change::Change;
use crate::projection::origin::Origin;
use crate::projection::{Prepared, Projection};
use crate::scenario::presets::Library;
use crate::scenario::{Event, Scenario};
use crate::units::Units;

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
    exactness: Finding,
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
            exactness: Finding::default(),
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

    /// The day that what is shown comes to when it repeats itself, where that is known: of every day under the schedule that is in force at the
    /// end. `None` under a log of several days, of which the one that repeats is not like another.
    #[must_use]
    pub fn settles(&self) -> Option<&Projection> {
        let scenario = &self.standing.scenario;
        let last_plan = scenario.plan_on(self.standing.day) == scenario.changes.len();
        let all_settled = |p: &&Projection| p.settled.iter().flatten().all(|s| matches!(s, Settled::OnDay(_)));
        self.settled().filter(|_| self.trial.is_none() && last_plan && scenario.round_days() == 1).filter(all_settled)
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
        let before = self.edited();
        self.days = days;
        self.standing.show_day(if let Days::One(day) = days { day } else { usize::MAX });
        self.let_go_of_others(before);
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
        self.take_tried(ctx);
        self.settle(ctx);
        self.exactness.follow(self.edition);
    }

    /// How exact the document's run is, as far as it is known; `None` where nobody asked.
    #[must_use]
    pub fn exactness(&self) -> Option<Known<'_>> {
        self.exactness.known()
    }

    /// Finds out how exact the document's run is, beside the frames.
    pub fn find_exactness(&mut self, ctx: &Context) {
        if self.standing.run.lanes.is_empty() {
            self.exactness.refuse(self.edition, "the bench cannot be projected as it stands");
        } else {
            self.exactness.ask(ctx, self.edition, Arc::clone(&self.standing.scenario), self.library.clone());
        }
    }

    /// Gives that up. Tells whether it was asked for.
    pub fn close_exactness(&mut self) -> bool {
        self.exactness.close()
    }

    /// The settled day is found whichever days are shown: a figure that is as it should be today may not be once the day repeats itself.
    fn settle(&mut self, ctx: &Context) {
        if self.trial.is_some() {
            return;
        }
        if let Some(before) = self.settling.take(self.edition)
            && self.days == Days::Settled
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
        let before = self.edited();
        if self.document.apply(name.clone(), |s| *s = after) {
            self.follow_document(name);
            self.let_go_of_others(before);
        }
    }

    /// What places in the schedule mean: the plan on show, and how many events it has.
    fn edited(&self) -> (usize, usize) {
        (self.plan(), self.schedule().len())
    }

    /// Lets go of what is selected where its places now mean other events.
    fn let_go_of_others(&mut self, before: (usize, usize)) {
        if self.edited() != before {
            self.pick(Vec::new());
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

    /// Why events cannot be added on a day (from 0), where it goes by another plan than the one on show.
    #[must_use]
    pub fn other_plan(&self, day: usize) -> Option<String> {
        let mine = self.shown().settled.is_some() || self.document.scenario().plan_on(day) == self.plan();
        (!mine).then(|| format!("Day {} goes by another schedule than the one on show. Show that day to change it.", day + 1))
    }

    /// The document with other events in the plan on show.
    fn with_schedule(&self, schedule: Vec<Event>) -> Scenario {
        let mut after = Scenario::clone(self.document.scenario());
        *after.events_mut(self.plan()) = schedule;
        after
    }

    /// The name of a change of the plan on show: it says on which days that is in force, where it is not every day.
    #[must_use]
    pub fn of_plan(&self, name: String) -> String {
        plan_edit::of_plan(self.document.scenario(), self.plan(), name)
    }

    fn follow_document(&mut self, title: String) {
        let prepared = Prepared::new(Arc::clone(self.document.scenario()), &mut self.workshop, &self.library);
        let after = prepared.run(Some(&self.standing), self.standing.day);
        self.last_change = Some(Change::between(title, String::new(), &self.standing, &after));
        self.stand(after);
    }

    /// Spoils the document's run by hand: the program itself is not to have one that does not close.
    #[cfg(test)]
    pub(in crate::app) fn spoil(&mut self, spoil: impl FnOnce(&mut crate::engine::run::Run)) {
        let mut spoilt = self.standing.clone();
        spoil(&mut spoilt.run);
        self.stand(spoilt);
    }

    fn project(&mut self, scenario: Arc<Scenario>, day: usize) -> Projection {
        Projection::of(scenario, &mut self.workshop, &self.library, day)
    }
}
