//! Another schedule from a later day on: begun and dropped, by name.

use crate::scenario::Scenario;

/// The name of a change of a plan: it says on which days that is in force, where it is not every day.
#[must_use]
pub fn of_plan(scenario: &Scenario, plan: usize, name: String) -> String {
    if scenario.changes.is_empty() { name } else { format!("{name}, {}", scenario.plan_days(plan)) }
}

/// Whether another schedule can begin on a day, from 0.
#[must_use]
pub fn can_begin(scenario: &Scenario, day: usize) -> bool {
    day > 0 && scenario.plan_begins(scenario.plan_on(day)) != day
}

/// The rules and the schedules from later days on that go when a bench gets a schedule for all days, in words; `None` where there are none.
#[must_use]
pub fn cleared(scenario: &Scenario) -> Option<String> {
    let count = |n: usize, one: &str| (n > 0).then(|| format!("{n} {one}{}", if n == 1 { "" } else { "s" }));
    let told = [count(scenario.all_rules().count(), "rule"), count(scenario.changes.len(), "later schedule")];
    let told: Vec<String> = told.into_iter().flatten().collect();
    (!told.is_empty()).then(|| told.join(" and "))
}

/// The name of letting another schedule begin on a day (from 0), and the bench after it.
#[must_use]
pub fn begun(scenario: &Scenario, day: usize) -> (String, Scenario) {
    let mut after = scenario.clone();
    after.change_from(day);
    (format!("Let another schedule begin on day {}", day + 1), after)
}

/// The name of dropping a plan that is not the first, and the bench after it.
#[must_use]
pub fn dropped(scenario: &Scenario, plan: usize) -> (String, Scenario) {
    let mut after = scenario.clone();
    after.without_change(plan);
    (format!("Drop the schedule from day {} on", scenario.plan_begins(plan) + 1), after)
}
