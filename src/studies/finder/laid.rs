//! A plan as a day's events, and on a bench.

use super::asked::Asked;
use super::flood;
use super::plan::{Plan, laid_on};
use crate::scenario::{Event, Scenario};

/// What comes to the roots.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Way {
    /// By emitters.
    Drip,
    /// By floods, and where one may be given a rinse from above.
    Flood,
}

impl Way {
    /// A plan's events, as the equipment can give them; none where it cannot.
    pub fn events(self, plan: &Plan, asked: &Asked, scenario: &Scenario) -> Vec<Event> {
        match self {
            Self::Drip => plan.drips(asked, scenario),
            Self::Flood => flood::events(plan, asked, scenario),
        }
    }

    /// A bench with a plan in place of a valve's schedule, rules and later plans. `on_valve` is the bench that the plan was made for, with
    /// that valve's lanes alone.
    pub fn on(self, plan: &Plan, asked: &Asked, on_valve: &Scenario, bench: &Scenario, valve: usize) -> Scenario {
        laid_on(bench, valve, self.events(plan, asked, on_valve), plan.feed_ec)
    }
}
