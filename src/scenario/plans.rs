//! Which schedule is in force on which day, and what is done with schedules as a whole.

use super::bench::Scenario;
use super::climate::Climate;
use super::plan::PlanChange;
use super::rule::{Rule, When};
use super::schedule::{Event, Give};

/// The plans of a scenario are numbered: 0 is that of the first day, then its changes in order.
impl Scenario {
    /// Puts events in order of their start, and changes in order of their days.
    pub fn sort_schedule(&mut self) {
        self.changes.sort_by_key(|c| c.from_day);
        for plan in self.plans() {
            self.events_mut(plan).sort_by_key(|e| (e.start, e.seconds));
        }
    }

    /// The change that a plan begins with; `None` for the first plan, and for one that is not there.
    fn change(&self, plan: usize) -> Option<&PlanChange> {
        self.place(plan).map(|i| &self.changes[i])
    }

    /// Where that change stands.
    fn place(&self, plan: usize) -> Option<usize> {
        plan.checked_sub(1).filter(|i| *i < self.changes.len())
    }

    /// The plan in force on a day, from 0.
    #[must_use]
    pub fn plan_on(&self, day: usize) -> usize {
        self.changes.iter().filter(|c| c.from_day as usize <= day + 1).count()
    }

    /// The day, from 0, on which a plan begins.
    #[must_use]
    pub fn plan_begins(&self, plan: usize) -> usize {
        self.change(plan).map_or(0, |c| (c.from_day as usize).saturating_sub(1))
    }

    /// The days on which a plan is in force, counted from 1, in words.
    #[must_use]
    pub fn plan_days(&self, plan: usize) -> String {
        let from = self.plan_begins(plan) + 1;
        match self.changes.get(plan).map(|next| next.from_day.saturating_sub(1) as usize) {
            Some(last) if last <= from => format!("on day {from}"),
            Some(last) => format!("days {from} to {last}"),
            None => format!("from day {from} on"),
        }
    }

    /// Events of a plan, in order of their start. A plan that is not there has those of the first.
    #[must_use]
    pub fn events(&self, plan: usize) -> &[Event] {
        self.change(plan).map_or(&self.schedule, |c| &c.schedule)
    }

    /// Events of a plan, to be changed.
    pub fn events_mut(&mut self, plan: usize) -> &mut Vec<Event> {
        match self.place(plan) {
            Some(i) => &mut self.changes[i].schedule,
            None => &mut self.schedule,
        }
    }

    /// Rules of a plan.
    #[must_use]
    pub fn rules(&self, plan: usize) -> &[Rule] {
        self.change(plan).map_or(&self.rules, |c| &c.rules)
    }

    /// Rules of a plan, to be changed.
    pub fn rules_mut(&mut self, plan: usize) -> &mut Vec<Rule> {
        match self.place(plan) {
            Some(i) => &mut self.changes[i].rules,
            None => &mut self.rules,
        }
    }

    /// Whether water comes from below on a day (from 0): by an event or a rule of the plan in force.
    #[must_use]
    pub fn floods_on(&self, day: usize) -> bool {
        let plan = self.plan_on(day);
        self.events(plan).iter().map(|e| e.give).chain(self.rules(plan).iter().map(|r| r.give)).any(Give::is_flood)
    }

    /// All plans by number.
    pub fn plans(&self) -> std::ops::RangeInclusive<usize> {
        0..=self.changes.len()
    }

    /// Every rule of every plan.
    pub fn all_rules(&self) -> impl Iterator<Item = &Rule> {
        self.rules.iter().chain(self.changes.iter().flat_map(|c| &c.rules))
    }

    /// Days after which what drives the bench begins anew: those of a climate log, whose light even a measured use goes by, else one.
    #[must_use]
    pub fn round_days(&self) -> usize {
        match &self.climate {
            Some(Climate::Log(log)) => log.days() as usize,
            _ => 1,
        }
    }

    /// Gives a lane another name; rules that listen to its probe follow.
    pub fn rename_lane(&mut self, index: usize, name: &str) {
        let Some(lane) = self.lanes.get_mut(index) else { return };
        let before = std::mem::replace(&mut lane.name, name.to_owned());
        let rules = self.rules.iter_mut().chain(self.changes.iter_mut().flat_map(|c| &mut c.rules));
        for rule in rules {
            if let When::Dry { lane, .. } = &mut rule.when
                && *lane == before
            {
                name.clone_into(lane);
            }
        }
    }

    /// Takes out the rules for which something does not hold; tells whether there were any.
    pub fn retain_rules(&mut self, holds: impl Fn(&Rule) -> bool) -> bool {
        let before = self.all_rules().count();
        for plan in self.plans() {
            self.rules_mut(plan).retain(&holds);
        }
        self.all_rules().count() < before
    }

    /// Lets another plan begin on a day (from 0, but not the first), as the one before it was, and returns its number. Where one begins
    /// on that day already, it is that one.
    pub fn change_from(&mut self, day: usize) -> usize {
        let plan = self.plan_on(day);
        if day == 0 || self.plan_begins(plan) == day {
            return plan;
        }
        let from_day = u32::try_from(day + 1).unwrap_or(u32::MAX);
        let change = PlanChange { from_day, schedule: self.events(plan).to_vec(), rules: self.rules(plan).to_vec() };
        self.changes.insert(plan, change);
        plan + 1
    }

    /// Takes a change of plan back: the days from it on go by the plan before.
    pub fn without_change(&mut self, plan: usize) {
        if let Some(i) = self.place(plan) {
            self.changes.remove(i);
        }
    }
}
