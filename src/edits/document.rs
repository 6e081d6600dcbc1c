//! The one list of edits that undo, redo and the log of changes use.

use std::sync::Arc;

use crate::scenario::Scenario;

/// One named change: the scenario as it was before, and as it is after.
#[derive(Clone, Debug)]
pub struct Edit {
    /// What was done, as the Edit menu shows it ("Move event 09:15 to 09:40").
    pub name: String,
    before: Arc<Scenario>,
    after: Arc<Scenario>,
}

/// A scenario and every edit made to it since it was opened. Undo has no limit within a session.
#[derive(Clone, Debug)]
pub struct Document {
    current: Arc<Scenario>,
    done: Vec<Edit>,
    undone: Vec<Edit>,
    saved: Option<Arc<Scenario>>,
    generation: u64,
}

impl Document {
    /// A document that is saved as it stands (opened from a file).
    #[must_use]
    pub fn opened(scenario: Scenario) -> Self {
        let current = Arc::new(scenario);
        Self { saved: Some(Arc::clone(&current)), current, done: Vec::new(), undone: Vec::new(), generation: 0 }
    }

    /// A document that no file holds yet (recovered after a crash).
    #[must_use]
    pub fn unsaved(scenario: Scenario) -> Self {
        Self { saved: None, ..Self::opened(scenario) }
    }

    /// The scenario as it stands.
    #[must_use]
    pub fn scenario(&self) -> &Arc<Scenario> {
        &self.current
    }

    /// A number that changes whenever the scenario does.
    #[must_use]
    pub fn generation(&self) -> u64 {
        self.generation
    }

    /// Makes one change under a name. A change that changes nothing is not recorded; returns whether one was.
    pub fn apply(&mut self, name: impl Into<String>, change: impl FnOnce(&mut Scenario)) -> bool {
        let mut next = Scenario::clone(&self.current);
        change(&mut next);
        self.take(name, Arc::new(next))
    }

    /// Makes one change under a name whose outcome is there already. Returns whether it changed anything.
    pub fn take(&mut self, name: impl Into<String>, after: Arc<Scenario>) -> bool {
        if *after == *self.current {
            return false;
        }
        self.done.push(Edit { name: name.into(), before: Arc::clone(&self.current), after: Arc::clone(&after) });
        self.undone.clear();
        self.become_scenario(after);
        true
    }

    /// Takes the last change back and returns its name.
    pub fn undo(&mut self) -> Option<String> {
        let edit = self.done.pop()?;
        let name = edit.name.clone();
        self.become_scenario(Arc::clone(&edit.before));
        self.undone.push(edit);
        Some(name)
    }

    /// Makes the last change taken back again and returns its name.
    pub fn redo(&mut self) -> Option<String> {
        let edit = self.undone.pop()?;
        let name = edit.name.clone();
        self.become_scenario(Arc::clone(&edit.after));
        self.done.push(edit);
        Some(name)
    }

    /// Goes back, or forward, to a scenario as it once was; where no undo or redo leads there, as one more change of this name.
    pub fn go_to(&mut self, scenario: &Arc<Scenario>, name: &str) {
        let is_it = |s: &Arc<Scenario>| Arc::ptr_eq(s, scenario);
        if is_it(&self.current) {
            return;
        }
        if let Some(from) = self.done.iter().rposition(|e| is_it(&e.before)) {
            while self.done.len() > from && self.undo().is_some() {}
        } else if let Some(from) = self.undone.iter().rposition(|e| is_it(&e.after)) {
            while self.undone.len() > from && self.redo().is_some() {}
        } else {
            self.take(name, Arc::clone(scenario));
        }
    }

    /// The change that undo would take back.
    #[must_use]
    pub fn next_undo(&self) -> Option<&Edit> {
        self.done.last()
    }

    /// The change that redo would make again.
    #[must_use]
    pub fn next_redo(&self) -> Option<&Edit> {
        self.undone.last()
    }

    /// Every change in force, oldest first.
    #[must_use]
    pub fn log(&self) -> &[Edit] {
        &self.done
    }

    /// Every change that was taken back and can be made again, the next one first.
    pub fn undone(&self) -> impl Iterator<Item = &Edit> {
        self.undone.iter().rev()
    }

    /// Notes that the scenario as it stands is on disk.
    pub fn mark_saved(&mut self) {
        self.saved = Some(Arc::clone(&self.current));
    }

    /// Notes that a scenario is on disk; the document may have changed since.
    pub fn mark_saved_as(&mut self, scenario: Arc<Scenario>) {
        self.saved = Some(scenario);
    }

    /// Notes that what is on disk is not this document any more.
    pub fn mark_unsaved(&mut self) {
        self.saved = None;
    }

    /// Whether the scenario differs from what is on disk.
    #[must_use]
    pub fn is_changed(&self) -> bool {
        self.saved.as_ref().is_none_or(|s| !Arc::ptr_eq(s, &self.current) && **s != *self.current)
    }

    fn become_scenario(&mut self, scenario: Arc<Scenario>) {
        self.current = scenario;
        self.generation += 1;
    }
}
