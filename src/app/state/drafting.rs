//! A schedule that is being drafted: it is run until it settles, beside the frames, before it comes on the bench.

use std::sync::Arc;

use crate::jobs::{Job, Told, Wake, spread};
use crate::scenario::presets::Library;
use crate::scenario::{Plan, Scenario, Valve};
use crate::studies::finder::{Draft, draft};

/// What a draft is for.
#[derive(Clone, Debug, PartialEq)]
pub struct Order {
    /// What the change is called that brings it on the bench.
    pub name: String,
    /// The bench after that change, but for the draft's events.
    pub after: Scenario,
    /// The schedule whose place it takes.
    pub plan: Plan,
    /// The lane that it is for, by its index.
    pub lane: usize,
    /// What else the change does, in words.
    pub told: String,
}

/// What is drafted.
pub struct Drafting {
    job: Job<Result<Draft, String>>,
    /// What it is for, and the bench that it was asked of: the numbers of its document and of the state of that.
    order: Option<(Order, (u64, u64))>,
}

/// A draft, or why there is none.
pub struct Drafted {
    /// What it was for.
    pub order: Order,
    /// The bench that it was asked of.
    pub of: (u64, u64),
    /// It.
    pub draft: Result<Draft, String>,
}

impl Default for Drafting {
    fn default() -> Self {
        Self { job: Job::new("Drafting a schedule"), order: None }
    }
}

impl Drafting {
    /// Whether one is being drafted.
    #[must_use]
    pub fn is_underway(&self) -> bool {
        self.job.underway().is_some()
    }

    /// Drafts a schedule.
    ///
    /// # Errors
    /// Why no thread could be started.
    pub fn ask(&mut self, wake: &Wake, of: (u64, u64), order: Order, library: Arc<Library>) -> Result<(), String> {
        let (lane, mut bench) = (order.lane, order.after.clone());
        let schedule = bench.events(order.plan).to_vec();
        if let Some(valve) = bench.valves.get_mut(order.plan.valve) {
            *valve = Valve { schedule, rules: Vec::new(), changes: Vec::new(), ..valve.clone() };
        }
        let asked = self.job.ask(wake, move |work| {
            let drafted = spread(|| draft(&bench, lane, &library, &|| work.wanted()));
            drafted.map_err(|e| format!("{e}. {}", e.remedy())).transpose()
        });
        self.order = Some((order, of));
        asked.map(drop).map_err(|broken| broken.to_string())
    }

    /// Takes what was drafted since this was last asked.
    pub fn take(&mut self) -> Option<Drafted> {
        let draft = match self.job.take()?.1 {
            Told::Done(draft) => draft,
            Told::Broken(broken) => Err(broken.to_string()),
            Told::SoFar(_) | Told::Nothing => return None,
        };
        let (order, of) = self.order.take()?;
        Some(Drafted { order, of, draft })
    }
}
