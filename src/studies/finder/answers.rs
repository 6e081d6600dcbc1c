//! What was run, and what of it settled.

use std::collections::BTreeMap;

use super::judged::{Figure, Judged};
use super::plan::Plan;
use crate::engine::run::Settled;
use crate::scenario::Event;

/// A plan with what it came to.
#[derive(Clone, Debug)]
pub(super) struct Tried {
    pub plan: Plan,
    pub cost: f64,
    /// By lane; `None` where it stopped.
    pub lanes: Vec<Option<Judged>>,
}

impl Tried {
    /// A plan with what it came to, and its events.
    pub fn of(plan: Plan, lanes: Vec<Option<Judged>>, events: &[Event]) -> Self {
        let cost: f64 = lanes.iter().map(|j| j.as_ref().map_or(1e6, Judged::ranks)).sum();
        // Of two that meet as much, the one with fewer events.
        let a_day: f64 = events.iter().map(|e| 1.0 / f64::from(e.days.every.max(1))).sum();
        let cost = cost + 1e-8 * a_day;
        Self { plan, cost, lanes }
    }
}

/// What a lane costs that goes on changing beside one that repeats itself, as much as a band missed by half its width (judgement): what it comes
/// to is not known.
const UNSETTLED: f64 = 0.25;

/// What was run.
#[derive(Default)]
pub(super) struct Answers {
    /// What settled, or was run as long as is looked ahead, and in which no lane stopped; the best first.
    pub settled: Vec<(Tried, Vec<Settled>)>,
    /// What had not settled when it was left, whether or not it was run on.
    pub left: Vec<Plan>,
    /// Least and most of each figure by lane of those.
    pub reached: BTreeMap<(usize, Figure), (f64, f64)>,
    pub tried: usize,
    pub failed: usize,
}

impl Answers {
    /// Whether a plan is among them.
    pub fn knows(&self, plan: &Plan) -> bool {
        self.settled.iter().any(|(t, _)| t.plan == *plan) || self.left.contains(plan)
    }

    /// The best.
    pub fn best(&self) -> Option<&(Tried, Vec<Settled>)> {
        self.settled.first()
    }

    /// Adds what settled.
    pub fn add(&mut self, done: Vec<(Tried, Vec<Settled>)>) {
        self.failed += done.iter().filter(|d| d.0.lanes.iter().any(Option::is_none)).count();
        self.settled.extend(done.into_iter().filter(|d| d.0.lanes.iter().all(Option::is_some)));
        self.settled.sort_by(|a, b| a.0.cost.total_cmp(&b.0.cost));
        self.reached.clear();
        for (tried, _) in &self.settled {
            for (i, judged) in tried.lanes.iter().enumerate() {
                let values = Figure::ALL.into_iter().filter_map(|f| Some((f, judged.as_ref()?.value(f)?)));
                for (figure, value) in values {
                    let (low, high) = self.reached.entry((i, figure)).or_insert((value, value));
                    (*low, *high) = (low.min(value), high.max(value));
                }
            }
        }
    }

    /// The same for plans that were run as long as is looked ahead: what has not settled costs more than what has.
    pub fn add_ran_on(&mut self, mut done: Vec<(Tried, Vec<Settled>)>) {
        for (tried, when) in &mut done {
            let open = when.iter().filter(|when| matches!(when, Settled::NotWithin(_))).count();
            tried.cost += UNSETTLED * f64::from(u32::try_from(open).unwrap_or(u32::MAX));
        }
        self.add(done);
    }
}
