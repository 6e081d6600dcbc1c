//! How much there is to compute, so that what takes longer than half a frame is computed beside the frames.

use super::Projection;
use super::prepared::lends;
use crate::engine::run::feedback;
use crate::scenario::{Climate, Lane, Scenario};

/// Iterations of the solution times layers that a lane takes in a day for each of its layers, where it was not run before (the shipped demos
/// take 360 to 1,730).
const USUAL: f64 = 750.0;

/// The same that two cores do in half a frame, 8 ms (0.07 µs each on one core).
const HALF_A_FRAME: f64 = 250_000.0;

/// A lane's column and load that are made anew, in the same measure.
const NEW_LANE: f64 = 8_000.0;

/// A row of a climate log, which is looked at anew after every change, in the same measure.
const ROW: f64 = 1.5;

/// Where events hang on what happens, lanes are run twice: looked ahead, and found out.
const FEEDBACK: f64 = 2.0;

/// How much there is to compute, in iterations times layers. It does not depend on the machine, nor on what else it does.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Effort(f64);

impl Effort {
    /// Of a scenario's run, of which all stays that is the same in a run before. How hard that was tells how hard it will be.
    #[must_use]
    pub fn of(scenario: &Scenario, before: Option<&Projection>) -> Self {
        Self::of_days(scenario, before, scenario.days as usize)
    }

    /// The same of its first days.
    #[must_use]
    pub fn of_days(scenario: &Scenario, before: Option<&Projection>, days: usize) -> Self {
        Self::lending(scenario, before, days, false)
    }

    /// The same where lanes may begin as they did in the run before: [`Waiting::lends_start`](super::prepared::Waiting::lends_start).
    #[must_use]
    pub fn of_trial(scenario: &Scenario, before: Option<&Projection>, days: usize) -> Self {
        Self::lending(scenario, before, days, true)
    }

    #[allow(clippy::cast_precision_loss)]
    fn lending(scenario: &Scenario, before: Option<&Projection>, days: usize, lends_start: bool) -> Self {
        let same = before.filter(|b| b.settled.is_none()).map(|b| (b, days_alike(&b.scenario, scenario)));
        let same_place = |b: &Projection| b.scenario.lanes.len() == scenario.lanes.len() && b.scenario.solver == scenario.solver;
        let lender = before.filter(|b| b.settled.is_none() && same_place(b));
        let lent = |lane: &Lane| {
            let place = scenario.lanes.iter().position(|l| std::ptr::eq(l, lane));
            lender.zip(place).and_then(|(b, place)| b.scenario.lanes.get(place)).is_some_and(|then| lends(then, lane))
        };
        let run = |lane: &Lane| {
            let there = same.and_then(|(b, alike)| Some(b.lanes().find(|(_, of, _)| *of == lane)?.2.days().min(alike)));
            let layers = scenario.solver.layers_of(&lane.container).iter().sum::<usize>();
            let is_run_in = there.is_some_and(|days| days > 0) && before.is_some_and(|b| !b.begins_as_before) || lends_start && lent(lane);
            let run_in = if is_run_in { 0 } else { lane.start.run_in_days.unwrap_or(0) as usize };
            let rest = (layers * (run_in + days.saturating_sub(there.unwrap_or(0)))) as f64 * before.and_then(hardness).unwrap_or(USUAL);
            if there.is_some() { rest } else { NEW_LANE + rest }
        };
        let sum: f64 = scenario.lanes.iter().map(run).sum();
        let rows = if let Some(Climate::Log(log)) = &scenario.climate { log.rows.len() } else { 0 };
        Self(ROW * rows as f64 + if feedback::needed(scenario) { FEEDBACK * sum } else { sum })
    }

    /// Whether it can be done within a frame.
    #[must_use]
    pub fn fits_in_a_frame(self) -> bool {
        self.0 <= HALF_A_FRAME
    }

    /// Whether it is soon done, in half a second or so: worth finishing although something newer is wanted.
    #[must_use]
    pub fn is_soon_done(self) -> bool {
        self.0 <= 60.0 * HALF_A_FRAME
    }
}

/// Days that a lane which did not change has alike in two scenarios.
fn days_alike(a: &Scenario, b: &Scenario) -> usize {
    let ecs = |s: &Scenario| s.valves.iter().map(|v| v.ec).collect::<Vec<_>>();
    let around = |s: &Scenario| (s.light, s.evaporation_mm_per_day, s.feed.ec, s.solver, s.tank, s.pump, ecs(s));
    // A lane that hangs on others is alike where all of them are.
    let others = (feedback::needed(a) || feedback::needed(b) || a.pump.is_some()) && a.lanes != b.lanes;
    if around(a) != around(b) || a.climate != b.climate || others {
        return 0;
    }
    let begins = |s: &Scenario| s.plans().into_iter().map(|plan| s.plan_begins(plan)).collect::<Vec<_>>();
    let mut days: Vec<usize> = begins(a).into_iter().chain(begins(b)).collect();
    days.sort_unstable();
    let differs = |day: &usize| {
        (0..a.valves.len()).any(|valve| {
            let (plan, other) = (a.plan_on(valve, *day), b.plan_on(valve, *day));
            a.events(plan) != b.events(other) || a.rules(plan) != b.rules(other)
        })
    };
    days.into_iter().find(differs).unwrap_or(usize::MAX)
}

/// Iterations that the lanes of a run took in a day for each of their layers; `None` where none reached a day's end.
#[allow(clippy::cast_precision_loss)]
fn hardness(run: &Projection) -> Option<f64> {
    let days: f64 = run.run.lanes.iter().map(|l| (l.column.len() * l.days()) as f64).sum();
    let took: f64 = run.run.lanes.iter().map(|l| l.stats.iterations as f64 * l.column.len() as f64).sum();
    (days > 0.0).then(|| took / days)
}
