//! Trying a change: it is shown but not made, computed within the frame or beside it, and kept or dropped.

use std::sync::Arc;

use eframe::egui::Context;

use super::Bench;
use super::trial::Trial;
use crate::edits::event_set::SetEdit;
use crate::edits::schedule_edit::EventEdit;
use crate::projection::change::Change;
use crate::projection::{Prepared, Projection};
use crate::scenario::{Event, Scenario};

/// Layers times days that are computed within a frame; what is more is computed beside it while an event is dragged.
const IN_A_FRAME: usize = 300;

/// A trial's run as work for a thread. It is finished even when a newer one waits, so that the picture moves on during a long drag.
fn beside(prepared: Prepared, day: usize) -> impl FnOnce(&dyn Fn() -> bool) -> Option<Projection> + Send {
    move |_| Some(prepared.run(None, day))
}

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
        self.try_scenario(after, name, Change { title, what, lanes: Vec::new() }, select.into_iter().collect(), true)
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
        let (set, plan) = (trial.set, self.plan());
        if !self.document.apply(trial.name.clone(), |s| *s = after) {
            self.pick(set);
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
        // Where another plan has come on show, the places are those of other events.
        self.pick(if self.plan() == plan { set } else { Vec::new() });
        true
    }

    /// Drops the change being tried.
    pub fn drop_trial(&mut self) -> bool {
        self.trial.take().is_some()
    }

    /// Takes what was computed beside the frames, if it is of what is being tried.
    pub(super) fn take_tried(&mut self, ctx: &Context) {
        self.trying.ctx.get_or_insert_with(|| ctx.clone());
        if let Some((number, shown)) = self.trying.thread.take()
            && let Some(trial) = self.trial.as_mut().filter(|_| number >= self.trying.first)
        {
            let Change { title, what, .. } = trial.change.clone();
            trial.change = Change::between(title, what, &self.standing, &shown);
            trial.shown = Some(shown);
        }
    }
}
