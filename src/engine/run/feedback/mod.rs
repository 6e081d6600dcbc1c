//! Events that cannot be known beforehand: a probe calls for them, or a tank gives them its EC. All lanes that matter go through the
//! days side by side, from event to event, and what comes of it is written down as a timetable.

pub mod bench;
pub mod course;

use super::lane::Ready;
use crate::engine::supply::timetable::Timetable;
use crate::scenario::{Rule, Scenario};
use course::Course;

/// When to stop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Until {
    /// After so many days, and the day that follows them.
    pub days: u32,
    /// Sooner, once a day repeats itself in every lane that matters and in the tank; where a log of several days drives them, once a
    /// whole round of it does.
    pub settled: bool,
}

/// Whether a scenario's events hang on what happens.
#[must_use]
pub fn needed(scenario: &Scenario) -> bool {
    scenario.tank.is_some() || scenario.all_rules().any(Rule::listens)
}

/// The timetable of a scenario with feedback. `go_on` is asked before each day; `None` when it said no. A lane that stops is left
/// where it stopped, its own run tells why, and the others go on.
#[must_use]
pub fn timetable(scenario: &Scenario, lanes: &[Ready], until: Until, go_on: &dyn Fn() -> bool) -> Option<Timetable> {
    Course::default().turned_to(scenario, lanes, until, go_on).map(|(timetable, _)| timetable)
}
