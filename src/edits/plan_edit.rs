//! Another schedule from a later day on: begun and dropped, by name.

use crate::scenario::{Plan, Scenario, Valve};

/// The name of a change of a plan: it says of which valve where there are several, and on which days it is in force where that is not every day.
#[must_use]
pub fn of_plan(scenario: &Scenario, plan: Plan, name: String) -> String {
    let Some(valve) = scenario.valves.get(plan.valve) else { return name };
    let name = if valve.changes.is_empty() { name } else { format!("{name}, {}", scenario.plan_days(plan)) };
    of_valve(scenario, plan.valve, name)
}

/// The name of a change of a valve: it says of which where there are several.
#[must_use]
pub fn of_valve(scenario: &Scenario, valve: usize, name: String) -> String {
    match scenario.valves.get(valve).filter(|_| scenario.valves.len() > 1) {
        Some(valve) => format!("{name}, {}", valve.name),
        None => name,
    }
}

/// Whether another schedule of a valve can begin on a day, from 0.
#[must_use]
pub fn can_begin(scenario: &Scenario, valve: usize, day: usize) -> bool {
    day > 0 && scenario.plan_begins(scenario.plan_on(valve, day)) != day
}

/// The rules and the schedules from later days on that go when a valve gets a schedule for all days, in words; `None` where there are none.
#[must_use]
pub fn cleared(valve: &Valve) -> Option<String> {
    let count = |n: usize, one: &str| (n > 0).then(|| format!("{n} {one}{}", if n == 1 { "" } else { "s" }));
    let told = [count(valve.all_rules().count(), "rule"), count(valve.changes.len(), "later schedule")];
    let told: Vec<String> = told.into_iter().flatten().collect();
    (!told.is_empty()).then(|| told.join(" and "))
}

/// The name of letting another schedule of a valve begin on a day (from 0), and the bench after it.
#[must_use]
pub fn begun(scenario: &Scenario, valve: usize, day: usize) -> (String, Scenario) {
    let mut after = scenario.clone();
    after.change_from(valve, day);
    (of_valve(scenario, valve, format!("Let another schedule begin on day {}", day + 1)), after)
}

/// The name of dropping a plan that is not the first, and the bench after it.
#[must_use]
pub fn dropped(scenario: &Scenario, plan: Plan) -> (String, Scenario) {
    let mut after = scenario.clone();
    after.without_change(plan);
    (of_valve(scenario, plan.valve, format!("Drop the schedule from day {} on", scenario.plan_begins(plan) + 1)), after)
}
