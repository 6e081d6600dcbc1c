//! Events that cannot be known beforehand: a probe calls for them, or a tank gives them its EC. All lanes that matter go through the
//! days side by side, from event to event, and what comes of it is written down as a timetable. Who wants the lanes' runs as well has them
//! kept meanwhile: they are, to the bit, what the timetable would give.

pub mod bench;
pub mod course;
pub mod keeper;
pub mod settling;
pub mod until;

use std::sync::Arc;

use super::lane::Ready;
use crate::engine::supply::timetable::Timetable;
use crate::scenario::{Rule, Scenario};
use course::Course;

pub use until::Until;

/// Whether a scenario's events hang on what happens.
#[must_use]
pub fn needed(scenario: &Scenario) -> bool {
    scenario.tank.is_some() || scenario.all_rules().any(Rule::listens)
}

/// The timetable of each valve of a scenario with feedback. `go_on` is asked before each day; `None` when it said no. A lane that stops is left
/// where it stopped, its own run tells why, and the others go on.
#[must_use]
pub fn timetable(scenario: &Scenario, lanes: &[Ready], until: Until, go_on: &dyn Fn() -> bool) -> Option<Vec<Arc<Timetable>>> {
    Course::default().turned_to(scenario, lanes, Vec::new(), until, go_on).map(|(timetables, _)| timetables)
}
