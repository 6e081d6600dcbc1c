//! The document's changes: named, made at once, and followed by what is computed.

use super::Bench;
use crate::app::state::days::Days;
use crate::edits::Refused;
use crate::edits::event_set::SetEdit;
use crate::edits::schedule_edit::EventEdit;
use crate::edits::{naming, plan_edit};
use crate::scenario::{Event, Plan, Scenario};

impl Bench {
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
    /// [`Refused`] when it cannot be made.
    pub fn edit_set(&mut self, edit: &SetEdit) -> Result<(), Refused> {
        let made = edit.made(self.schedule(), &self.set)?;
        let after = self.with_schedule(made.schedule);
        self.apply(self.of_plan(made.name), after);
        self.pick(made.picked);
        Ok(())
    }

    /// Goes back or forward to the document as it was after so many changes.
    pub fn go_to(&mut self, count: usize) {
        self.let_trial_go();
        while self.document.log().len() > count && self.document.undo().is_some() {}
        while self.document.log().len() < count && self.document.redo().is_some() {}
        self.pick(Vec::new());
        let name = self.document.next_undo().map_or_else(|| "As it was opened".to_owned(), |e| format!("Gone to: {}", e.name));
        self.follow_document(name);
    }

    /// Makes a change of an event. Returns whether there was room for it.
    pub fn edit_event(&mut self, edit: &EventEdit) -> bool {
        self.let_trial_go();
        let Some((after, select)) = self.with_edit(edit) else { return false };
        let plan = self.plan();
        let name = self.of_plan(edit.name(self.schedule(), after.events(plan), select));
        self.apply(name, after);
        self.pick(select.into_iter().collect());
        true
    }

    /// Makes a change under a name; other names follow what it changed.
    pub fn apply(&mut self, name: String, mut after: Scenario) {
        self.let_trial_go();
        let before = self.edited();
        naming::follow(&mut after, self.document.scenario(), &self.library);
        if self.document.apply(name.clone(), |s| *s = after) {
            self.follow_document(name);
            self.let_go_of_others(before);
        }
    }

    /// What places in the schedule mean: the plan on show, and how many events it has.
    pub(super) fn edited(&self) -> (Plan, usize) {
        (self.plan(), self.schedule().len())
    }

    /// Lets go of what is selected where its places now mean other events.
    pub(super) fn let_go_of_others(&mut self, before: (Plan, usize)) {
        if self.edited() != before {
            self.pick(Vec::new());
        }
    }

    /// Takes the last change back, or makes it again.
    pub fn step_back(&mut self, redo: bool) {
        self.let_trial_go();
        self.pick(Vec::new());
        let (verb, name) = if redo { ("Redone", self.document.redo()) } else { ("Undone", self.document.undo()) };
        if let Some(name) = name {
            self.follow_document(format!("{verb}: {name}"));
        }
    }

    pub(super) fn with_edit(&self, edit: &EventEdit) -> Option<(Scenario, Option<usize>)> {
        let (schedule, select) = edit.made(self.schedule())?;
        Some((self.with_schedule(schedule), select))
    }

    /// The valve in hand, by its index: the one whose events are edited.
    #[must_use]
    pub fn valve(&self) -> usize {
        let valves = &self.document.scenario().valves;
        let named = valves.iter().position(|v| v.name == self.in_hand.1);
        named.unwrap_or_else(|| self.in_hand.0.min(valves.len().saturating_sub(1)))
    }

    /// Takes a valve in hand; nothing stays selected that is another's.
    pub fn take_valve(&mut self, valve: usize) {
        let before = self.edited();
        let name = self.document.scenario().valves.get(valve).map(|v| v.name.clone());
        self.in_hand = (valve, name.unwrap_or_default());
        if self.edited() != before {
            self.let_trial_go();
        }
        self.let_go_of_others(before);
    }

    /// The plan that is on show and edited: of the valve in hand that in force on the day shown, or on the last.
    #[must_use]
    pub fn plan(&self) -> Plan {
        let day = match self.days {
            Days::One(day) => day,
            Days::All => self.standing.day,
            Days::Settled => usize::MAX - 1,
        };
        self.document.scenario().plan_on(self.valve(), day)
    }

    /// The events that are edited: the document's, of the plan on show.
    #[must_use]
    pub fn schedule(&self) -> &[Event] {
        self.document.scenario().events(self.plan())
    }

    /// Why events cannot be added on a day (from 0), where it goes by another plan than the one on show.
    #[must_use]
    pub fn other_plan(&self, day: usize) -> Option<String> {
        let mine = self.shown().settled.is_some() || self.document.scenario().plan_on(self.valve(), day) == self.plan();
        (!mine).then(|| format!("Day {} goes by another schedule than the one on show. Show that day to change it.", day + 1))
    }

    /// The document with other events in the plan on show.
    pub(super) fn with_schedule(&self, schedule: Vec<Event>) -> Scenario {
        let mut after = Scenario::clone(self.document.scenario());
        after.set_events(self.plan(), schedule);
        after
    }

    /// The name of a change of the plan on show: it says on which days that is in force, where it is not every day.
    #[must_use]
    pub fn of_plan(&self, name: String) -> String {
        plan_edit::of_plan(self.document.scenario(), self.plan(), name)
    }
}
