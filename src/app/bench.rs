//! The bench behind the window: the document, its projection, and the change being tried.

use std::sync::Arc;

use super::change::Change;
use super::event_set::SetEdit;
use super::origin::Origin;
use super::projection::Projection;
use super::schedule_edit::EventEdit;
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
    shown: Projection,
    change: Change,
    select: Option<usize>,
    set: Vec<usize>,
}

/// The document with everything computed from it.
pub struct Bench {
    library: Library,
    workshop: Workshop,
    document: Document,
    settled: Projection,
    trial: Option<Trial>,
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
        let settled = Projection::of(Arc::clone(document.scenario()), &mut workshop, &library, usize::MAX);
        Self {
            library,
            workshop,
            document,
            settled,
            trial: None,
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
        self.settled = self.project(Arc::clone(self.document.scenario()), usize::MAX);
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
        self.settled = self.project(Arc::clone(self.document.scenario()), self.settled.day);
    }

    /// The document.
    #[must_use]
    pub fn document(&self) -> &Document {
        &self.document
    }

    /// What is to be drawn: the change being tried, or the document.
    #[must_use]
    pub fn shown(&self) -> &Projection {
        self.trial.as_ref().map_or(&self.settled, |t| &t.shown)
    }

    /// The document's projection while another is shown.
    #[must_use]
    pub fn ghost(&self) -> Option<&Projection> {
        self.trial.as_ref().map(|_| &self.settled)
    }

    /// The event that the change being tried is about, as it would be.
    #[must_use]
    pub fn tried_event(&self) -> Option<Event> {
        let trial = self.trial.as_ref()?;
        trial.shown.scenario.schedule.get(trial.select?).copied()
    }

    /// What the change being tried, or else the last one, did.
    #[must_use]
    pub fn change(&self) -> Option<&Change> {
        self.trial.as_ref().map(|t| &t.change).or(self.last_change.as_ref())
    }

    /// Shows another day, from 0.
    pub fn show_day(&mut self, day: usize) {
        self.settled.show_day(day);
        self.last_change = None;
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
            EventEdit::Move { index, .. } | EventEdit::Volume { index, .. } => before.schedule.get(index).copied(),
            _ => None,
        };
        let title = grabbed.map_or_else(String::new, |e| format!("Since you grabbed the {} event", e.start));
        let name = edit.name(&before, &after, select);
        let what = edit.what(&before, &after, select);
        self.try_scenario(after, name, title, what, select.into_iter().collect())
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
        set.retain(|i| *i < self.document.scenario().schedule.len());
        self.selected = self.selected.filter(|s| set.contains(s)).or_else(|| set.first().copied());
        self.set = set;
    }

    /// A selected event as the change being tried would have it.
    #[must_use]
    pub fn tried(&self, index: usize) -> Option<Event> {
        let trial = self.trial.as_ref()?;
        let place = self.set.iter().position(|i| *i == index)?;
        trial.shown.scenario.schedule.get(*trial.set.get(place)?).copied()
    }

    /// Tries a change of the selected events: shown, not made. Returns whether the picture changed.
    pub fn try_set(&mut self, edit: &SetEdit) -> bool {
        let before = Arc::clone(self.document.scenario());
        let Ok(made) = edit.made(&before.schedule, &self.set) else { return false };
        let title = match self.set.as_slice() {
            _ if matches!(edit, SetEdit::Series(_)) => "With the series".to_owned(),
            [one] => before.schedule.get(*one).map_or_else(String::new, |e| format!("Since you grabbed the {} event", e.start)),
            many => format!("Since you grabbed {} events", many.len()),
        };
        let after = Scenario { schedule: made.schedule, ..Scenario::clone(&before) };
        self.try_scenario(after, made.name.clone(), title, made.name, made.picked)
    }

    /// Makes a change of the selected events.
    ///
    /// # Errors
    /// Why it cannot be made, in words.
    pub fn edit_set(&mut self, edit: &SetEdit) -> Result<(), String> {
        let before = Arc::clone(self.document.scenario());
        let made = edit.made(&before.schedule, &self.set)?;
        self.apply(made.name, Scenario { schedule: made.schedule, ..Scenario::clone(&before) });
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
        self.try_scenario(after, name, title, String::new(), self.set.clone())
    }

    fn try_scenario(&mut self, after: Scenario, name: String, title: String, what: String, set: Vec<usize>) -> bool {
        if *self.shown().scenario == after && self.trial.as_ref().is_some_and(|t| t.name == name) {
            return false;
        }
        let shown = self.project(Arc::new(after), self.settled.day);
        let change = Change::between(title, what, &self.settled, &shown);
        self.trial = Some(Trial { name, shown, change, select: set.first().copied(), set });
        true
    }

    /// Makes the change being tried, as one step of the edit list.
    pub fn keep_trial(&mut self) -> bool {
        let Some(trial) = self.trial.take() else { return false };
        let after = Scenario::clone(&trial.shown.scenario);
        let changed = self.document.apply(trial.name.clone(), |s| *s = after);
        self.pick(trial.set);
        if !changed {
            return true;
        }
        // What was shown is what was made: no need to run it again.
        self.last_change = Some(Change { title: trial.name, what: String::new(), ..trial.change });
        self.settled = trial.shown;
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
        let name = edit.name(self.document.scenario(), &after, select);
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
        let mut after = Scenario::clone(self.document.scenario());
        let (schedule, select) = edit.made(&after.schedule)?;
        after.schedule = schedule;
        Some((after, select))
    }

    fn follow_document(&mut self, title: String) {
        let after = self.project(Arc::clone(self.document.scenario()), self.settled.day);
        self.last_change = Some(Change::between(title, String::new(), &self.settled, &after));
        self.settled = after;
    }

    fn project(&mut self, scenario: Arc<Scenario>, day: usize) -> Projection {
        Projection::of(scenario, &mut self.workshop, &self.library, day)
    }
}
