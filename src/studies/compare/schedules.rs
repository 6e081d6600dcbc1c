//! What the pump is told, side by side: the plans of each day on which one of them begins, event by event.

use std::collections::BTreeSet;

use serde::Serialize;
use serde_json::Value;

use super::differences::{Difference, differences};
use crate::scenario::{Clock, Event, Plan, Scenario};

/// The plans in force from a day on.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlanComparison {
    /// The valve, from 1.
    pub valve: usize,
    /// The day, from 1.
    pub from_day: usize,
    /// What each plan comes to.
    pub plans: Vec<PlanSum>,
    /// Starts at which the plans do not do the same.
    pub events: Vec<EventRow>,
    /// What differs in their rules.
    pub rules: Vec<Difference>,
}

/// What a plan's own events come to; rules add to them.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PlanSum {
    /// Events of a day.
    pub events: usize,
    /// Of those, floods.
    pub floods: usize,
    /// Dripped in a day, mL per plant before any lane's dose; what does not come every day counts with its mean.
    pub drip_ml: f64,
    /// Start of the first.
    pub first: Option<Clock>,
    /// Start of the last.
    pub last: Option<Clock>,
    /// Rules.
    pub rules: usize,
}

/// What begins at a time of the day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct EventRow {
    /// The time.
    pub start: Clock,
    /// In each file; `None` where nothing does.
    pub events: Vec<Option<Event>>,
}

/// The plans of benches, valve by valve, from each day on which one of them begins; days on which all are the same are left out. A bench
/// without such a valve gives nothing there.
#[must_use]
pub fn plans(benches: &[&Scenario]) -> Vec<PlanComparison> {
    let begins = |s: &&Scenario| s.plans().into_iter().map(|plan| (plan.valve, s.plan_begins(plan))).collect::<Vec<_>>();
    let days: BTreeSet<(usize, usize)> = benches.iter().flat_map(begins).collect();
    days.into_iter().map(|(valve, day)| on(benches, valve, day)).filter(|p| !(p.events.is_empty() && p.rules.is_empty())).collect()
}

fn on(benches: &[&Scenario], valve: usize, day: usize) -> PlanComparison {
    let plans: Vec<(&Scenario, Plan)> = benches.iter().map(|s| (*s, s.plan_on(valve, day))).collect();
    let starts: BTreeSet<Clock> = plans.iter().flat_map(|(s, plan)| s.events(*plan).iter().map(|e| e.start)).collect();
    let at = |start: Clock| plans.iter().map(|(s, plan)| s.events(*plan).iter().find(|e| e.start == start).copied()).collect();
    let row = |start: Clock| EventRow { start, events: at(start) };
    let mut rules = Vec::new();
    let values: Vec<Value> = plans.iter().map(|(s, plan)| serde_json::to_value(s.rules(*plan)).unwrap_or_default()).collect();
    differences("rules", &values.iter().collect::<Vec<_>>(), &mut rules);
    PlanComparison {
        valve: valve + 1,
        from_day: day + 1,
        plans: plans.iter().map(|(s, plan)| sum(s.events(*plan), s.rules(*plan).len())).collect(),
        events: starts.into_iter().map(row).filter(|r| r.events.windows(2).any(|w| w[0] != w[1])).collect(),
        rules,
    }
}

fn sum(events: &[Event], rules: usize) -> PlanSum {
    PlanSum {
        events: events.len(),
        floods: events.iter().filter(|e| e.give.is_flood()).count(),
        drip_ml: events.iter().filter_map(Event::daily_ml).sum(),
        first: events.iter().map(|e| e.start).min(),
        last: events.iter().map(|e| e.start).max(),
        rules,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::presets::demos;

    #[test]
    fn equal_plans_say_nothing_and_a_changed_event_is_told_by_its_start() {
        let a = demos().remove(0).1;
        assert_eq!(plans(&[&a, &a]), []);
        let mut b = a.clone();
        b.valves[0].schedule[2].seconds += 60;
        let told = plans(&[&a, &b, &a]);
        assert_eq!((told.len(), told[0].from_day, told[0].events.len()), (1, 1, 1));
        assert_eq!(told[0].events[0].start, a.valves[0].schedule[2].start);
        assert_eq!(told[0].events[0].events, [&a, &b, &a].map(|s| Some(s.valves[0].schedule[2])));
        // Moved: gone from one time and come to another.
        let mut moved = a.clone();
        moved.valves[0].schedule[0].start = Clock::hm(7, 0);
        assert_eq!(plans(&[&a, &moved])[0].events.len(), 2);
    }

    #[test]
    fn a_plan_of_a_later_day_is_held_against_what_is_in_force_then() {
        let a = demos().remove(0).1;
        let mut b = a.clone();
        let plan = b.change_from(0, 2);
        assert_eq!(plans(&[&a, &b]), [], "it begins as the one before was");
        b.events_mut(plan).unwrap().truncate(3);
        let told = plans(&[&a, &b]);
        assert_eq!((told.len(), told[0].from_day), (1, 3));
        assert_eq!([told[0].plans[0].events, told[0].plans[1].events], [11, 3]);
        assert_eq!(told[0].events.len(), 8);
    }
}
