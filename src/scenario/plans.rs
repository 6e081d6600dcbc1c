//! Which schedule is in force on which day, and what is done with schedules as a whole.

use super::bench::Scenario;
use super::climate::Climate;
use super::plan::PlanChange;
use super::rule::{Rule, When};
use super::schedule::{Event, Give};
use super::valve::Valve;

/// Which schedule of a bench.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Plan {
    /// Whose: the valve's index.
    pub valve: usize,
    /// 0 for that of the valve's first day, then its changes in order.
    pub number: usize,
}

impl Plan {
    /// That of a valve's first day.
    #[must_use]
    pub fn first(valve: usize) -> Self {
        Self { valve, number: 0 }
    }
}

/// Days after which events, and what begins anew after some days besides, begin anew together.
pub(crate) fn together<'e>(events: impl IntoIterator<Item = &'e Event>, days: usize) -> usize {
    events.into_iter().fold(days.max(1), |days, event| least_common(days, event.days.every.max(1) as usize))
}

fn least_common(a: usize, b: usize) -> usize {
    let (mut x, mut y) = (a, b);
    while y != 0 {
        (x, y) = (y, x % y);
    }
    (a / x).saturating_mul(b)
}

/// Schedules are known by their [`Plan`]. Where a valve is not there, nothing is given.
impl Scenario {
    /// Puts events in order of their start, and changes in order of their days.
    pub fn sort_schedule(&mut self) {
        for valve in &mut self.valves {
            valve.changes.sort_by_key(|c| c.from_day);
        }
        for plan in self.plans() {
            if let Some(events) = self.events_mut(plan) {
                events.sort_by_key(|e| (e.start, e.seconds));
            }
        }
    }

    /// Events and rules of a plan; those of its valve's first where it is not there, and `None` where the valve is not.
    fn told(&self, plan: Plan) -> Option<(&Vec<Event>, &Vec<Rule>)> {
        let valve = self.valves.get(plan.valve)?;
        let change = plan.number.checked_sub(1).and_then(|i| valve.changes.get(i));
        Some(change.map_or((&valve.schedule, &valve.rules), |c| (&c.schedule, &c.rules)))
    }

    /// The same, to be changed.
    fn told_mut(&mut self, plan: Plan) -> Option<(&mut Vec<Event>, &mut Vec<Rule>)> {
        let Valve { schedule, rules, changes, .. } = self.valves.get_mut(plan.valve)?;
        let change = plan.number.checked_sub(1).and_then(|i| changes.get_mut(i));
        Some(change.map_or((schedule, rules), |c| (&mut c.schedule, &mut c.rules)))
    }

    /// The plan of a valve in force on a day, from 0.
    #[must_use]
    pub fn plan_on(&self, valve: usize, day: usize) -> Plan {
        Plan { valve, number: self.valves.get(valve).map_or(0, |v| v.plan_on(day)) }
    }

    /// The day, from 0, on which a plan begins.
    #[must_use]
    pub fn plan_begins(&self, plan: Plan) -> usize {
        self.valves.get(plan.valve).map_or(0, |v| v.plan_begins(plan.number))
    }

    /// The day, from 0, from which on every valve goes by its last plan.
    #[must_use]
    pub fn last_plans_begin(&self) -> usize {
        self.valves.iter().map(Valve::last_begins).max().unwrap_or(0)
    }

    /// The days on which a plan is in force, counted from 1, in words.
    #[must_use]
    pub fn plan_days(&self, plan: Plan) -> String {
        let from = self.plan_begins(plan) + 1;
        let next = self.valves.get(plan.valve).and_then(|v| v.changes.get(plan.number));
        match next.map(|next| next.from_day.saturating_sub(1) as usize) {
            Some(last) if last <= from => format!("on day {from}"),
            Some(last) => format!("days {from} to {last}"),
            None => format!("from day {from} on"),
        }
    }

    /// Events of a plan, in order of their start. A plan that is not there has those of its valve's first.
    #[must_use]
    pub fn events(&self, plan: Plan) -> &[Event] {
        self.told(plan).map_or(&[], |told| told.0)
    }

    /// Events of a plan, to be changed; `None` where there is no such valve.
    pub fn events_mut(&mut self, plan: Plan) -> Option<&mut Vec<Event>> {
        self.told_mut(plan).map(|told| told.0)
    }

    /// Puts a schedule in place of a plan's. A valve that is not there is left.
    pub fn set_events(&mut self, plan: Plan, events: Vec<Event>) {
        if let Some(at) = self.events_mut(plan) {
            *at = events;
        }
    }

    /// Rules of a plan.
    #[must_use]
    pub fn rules(&self, plan: Plan) -> &[Rule] {
        self.told(plan).map_or(&[], |told| told.1)
    }

    /// Rules of a plan, to be changed; `None` where there is no such valve.
    pub fn rules_mut(&mut self, plan: Plan) -> Option<&mut Vec<Rule>> {
        self.told_mut(plan).map(|told| told.1)
    }

    /// A rule of a plan, to be changed.
    pub fn rule_mut(&mut self, plan: Plan, index: usize) -> Option<&mut Rule> {
        self.rules_mut(plan)?.get_mut(index)
    }

    /// Takes all rules of a plan out.
    pub fn clear_rules(&mut self, plan: Plan) {
        if let Some(rules) = self.rules_mut(plan) {
            rules.clear();
        }
    }

    /// Whether water comes to a valve's lanes from below on a day (from 0): by an event or a rule of the plan in force.
    #[must_use]
    pub fn floods_on(&self, valve: usize, day: usize) -> bool {
        let plan = self.plan_on(valve, day);
        self.events(plan)
            .iter()
            .filter(|e| e.days.has(day))
            .map(|e| e.give)
            .chain(self.rules(plan).iter().map(|r| r.give))
            .any(Give::is_flood)
    }

    /// All plans: valve by valve, in order.
    #[must_use]
    pub fn plans(&self) -> Vec<Plan> {
        let of = |(valve, v): (usize, &Valve)| (0..=v.changes.len()).map(move |number| Plan { valve, number });
        self.valves.iter().enumerate().flat_map(of).collect()
    }

    /// Every rule of every plan.
    pub fn all_rules(&self) -> impl Iterator<Item = &Rule> {
        self.valves.iter().flat_map(Valve::all_rules)
    }

    /// Days after which what drives the bench begins anew: those of a climate log, whose light even a measured use goes by, together with those
    /// from which events of the last plans come again; else one. That may be more days than are ever run.
    #[must_use]
    pub fn round_days(&self) -> usize {
        self.round_with(self.log_days())
    }

    /// Days after which events of the last plans alone begin anew together.
    #[must_use]
    pub fn round_of_events(&self) -> usize {
        self.round_with(1)
    }

    fn round_with(&self, days: usize) -> usize {
        let last = |(i, valve): (usize, &Valve)| self.events(Plan { valve: i, number: valve.changes.len() });
        together(self.valves.iter().enumerate().flat_map(last), days)
    }

    /// The days of its climate log, else one.
    #[must_use]
    pub fn log_days(&self) -> usize {
        match &self.climate {
            Some(Climate::Log(log)) => log.days() as usize,
            _ => 1,
        }
    }

    /// Gives a lane another name; rules that listen to its probe follow.
    pub fn rename_lane(&mut self, index: usize, name: &str) {
        let Some(lane) = self.lanes.get_mut(index) else { return };
        let before = std::mem::replace(&mut lane.name, name.to_owned());
        for rule in self.valves.iter_mut().flat_map(Valve::all_rules_mut) {
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
            if let Some(rules) = self.rules_mut(plan) {
                rules.retain(&holds);
            }
        }
        self.all_rules().count() < before
    }

    /// Lets another plan of a valve begin on a day (from 0, but not the first), as the one before it was, and returns it. Where one begins on
    /// that day already, it is that one.
    pub fn change_from(&mut self, valve: usize, day: usize) -> Plan {
        let plan = self.plan_on(valve, day);
        if day == 0 || self.plan_begins(plan) == day {
            return plan;
        }
        let from_day = u32::try_from(day + 1).unwrap_or(u32::MAX);
        let change = PlanChange { from_day, schedule: self.events(plan).to_vec(), rules: self.rules(plan).to_vec() };
        let Some(valve) = self.valves.get_mut(valve) else { return plan };
        valve.changes.insert(plan.number, change);
        Plan { number: plan.number + 1, ..plan }
    }

    /// Takes a change of plan back: the days from it on go by the plan before.
    pub fn without_change(&mut self, plan: Plan) {
        let change = plan.number.checked_sub(1);
        if let (Some(valve), Some(i)) = (self.valves.get_mut(plan.valve), change)
            && i < valve.changes.len()
        {
            valve.changes.remove(i);
        }
    }
}
