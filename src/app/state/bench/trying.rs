//! Trying a change: it is shown but not made, computed within the frame or beside it, and kept or dropped.

use std::sync::Arc;

use super::Bench;
use super::computing::For;
use super::trial::Trial;
use crate::edits::event_set::SetEdit;
use crate::edits::naming;
use crate::edits::schedule_edit::EventEdit;
use crate::jobs::Wake;
use crate::projection::Projection;
use crate::projection::change::Change;
use crate::projection::effort::Effort;
use crate::scenario::{Event, Scenario};

impl Bench {
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
        self.try_scenario(after, name, Change { title, what, lanes: Vec::new() }, select.into_iter().collect())
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
        self.try_scenario(after, name, change, made.picked)
    }

    /// Tries a change of a field.
    pub fn try_field(&mut self, name: String, after: Scenario) -> bool {
        let title = format!("Trying: {name}");
        self.try_scenario(after, name, Change { title, what: String::new(), lanes: Vec::new() }, self.set.clone())
    }

    /// Shows a scenario that is not made. What takes longer than a frame is computed beside it, with the last picture meanwhile.
    fn try_scenario(&mut self, mut after: Scenario, name: String, change: Change, set: Vec<usize>) -> bool {
        naming::follow(&mut after, self.document.scenario(), &self.library);
        if self.trial.as_ref().is_some_and(|t| t.name == name && *t.scenario == after) {
            return false;
        }
        let scenario = Arc::new(after);
        let old = self.trial.take();
        let days = self.days_at_once(&scenario, true);
        if days == 0
            && let Some(wake) = self.wake.clone()
            && let order = self.order(Arc::clone(&scenario))
            && self.computing.ask(&wake, order, For::Trial, self.is_soon_done(&scenario))
        {
            let first = old.as_ref().and_then(|t| t.first).or(self.computing.asked.map(|a| a.0));
            let (shown, lanes) = old.map_or_else(Default::default, |t| (t.shown, t.change.lanes));
            self.trial = Some(Trial { name, scenario, shown, change: Change { lanes, ..change }, set, first, moves: true });
            return true;
        }
        // An answer that is still to come is older than this one.
        self.computing.cancel_for(For::Trial);
        let shown = self.first_at_once(&scenario, days, true).unwrap_or_else(|| self.at_once(Arc::clone(&scenario)));
        let change = Change::between(change.title, change.what, &self.standing, &shown);
        self.trial = Some(Trial { name, scenario, shown: Some(shown), change, set, first: None, moves: true });
        true
    }

    /// Whether the days up to the one shown are soon there.
    fn is_soon_done(&self, scenario: &Scenario) -> bool {
        Effort::of_days(scenario, Some(&self.standing), self.standing.day + 1).is_soon_done()
    }

    /// Asks for what was left out within a frame, once the change being tried rests: the days that follow, and the run-in.
    pub(super) fn fill_trial(&mut self, wake: &Wake) {
        let Some(trial) = &mut self.trial else { return };
        let lacks_days = trial.shown.as_ref().is_some_and(|shown| !shown.is_whole() && Arc::ptr_eq(&shown.scenario, &trial.scenario));
        if !lacks_days || self.computing.asked.is_some_and(|(_, whose)| whose == For::Trial) {
            return;
        }
        if std::mem::take(&mut trial.moves) {
            // Another frame finds it at rest, or moved on.
            wake();
            return;
        }
        let scenario = Arc::clone(&trial.scenario);
        if self.computing.ask(wake, self.order(scenario), For::Trial, false)
            && let Some(trial) = &mut self.trial
        {
            trial.first = self.computing.asked.map(|a| a.0);
        }
    }

    /// Makes the change being tried, as one step of the edit list.
    pub fn keep_trial(&mut self) -> bool {
        let Some(trial) = self.trial.take() else { return false };
        let (set, plan) = (trial.set, self.plan());
        if !self.document.take(trial.name.clone(), Arc::clone(&trial.scenario)) {
            self.forget_tried();
            self.pick(set);
            return true;
        }
        let is_of_it = |shown: &Projection| shown.scenario == trial.scenario;
        match (self.computing.asked, trial.shown) {
            // What was shown is what was made: no need to run it again.
            (_, Some(shown)) if shown.is_whole() && is_of_it(&shown) => {
                self.computing.cancel();
                self.computing.owed = None;
                self.last_change = Some(Change { title: trial.name, what: String::new(), ..trial.change });
                self.stand(shown);
            }
            // What is being computed is what was made.
            (Some((number, For::Trial)), shown) => {
                let before = self.computing.owed.take();
                self.owe(trial.name.clone(), before);
                self.computing.asked = Some((number, For::Document));
                self.show_so_far(trial.name, shown.filter(is_of_it));
            }
            (_, shown) => {
                let shown = shown.filter(is_of_it);
                self.follow_document(trial.name.clone());
                // What is shown already is nearer to it than what stood before.
                if self.is_behind() && self.computing.so_far.is_none() {
                    self.show_so_far(trial.name, shown);
                }
            }
        }
        // Where another plan has come on show, the places are those of other events.
        self.pick(if self.plan() == plan { set } else { Vec::new() });
        true
    }

    /// Shows what there is of the document's run so far, if anything, and what the change of this name did by it.
    fn show_so_far(&mut self, name: String, shown: Option<Projection>) {
        if let Some(shown) = &shown {
            self.last_change = Some(Change::between(name, String::new(), &self.standing, shown));
        }
        self.computing.so_far = shown;
    }

    /// Drops the change being tried.
    pub fn drop_trial(&mut self) -> bool {
        let tried = self.trial.is_some();
        self.let_trial_go();
        tried
    }

    /// Lets go of the change being tried, should there be one.
    pub(super) fn let_trial_go(&mut self) {
        if self.trial.take().is_some() {
            self.forget_tried();
        }
    }

    /// Gives up what is computed for a trial that is over. The document's own run may have had to give way to it.
    fn forget_tried(&mut self) {
        self.computing.cancel_for(For::Trial);
        if self.computing.owed.is_some() && self.computing.asked.is_none() {
            self.ask();
        }
    }

    /// Takes what was computed beside the frames, if it is of what is being tried.
    pub(super) fn take_tried(&mut self, number: u64, shown: Projection) {
        let Some(trial) = self.trial.as_mut().filter(|t| t.first.is_some_and(|first| number >= first)) else { return };
        let Change { title, what, .. } = trial.change.clone();
        trial.change = Change::between(title, what, &self.standing, &shown);
        if shown.is_whole() && self.computing.asked == Some((number, For::Trial)) {
            self.computing.asked = None;
        }
        trial.shown = Some(shown);
    }
}
