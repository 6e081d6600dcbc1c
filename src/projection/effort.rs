//! How much there is to compute, so that what takes longer than half a frame is computed beside the frames.

use super::{Projection, same_surroundings};
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

/// Events that hang on what happens are run three times: looked ahead, found out, and shown.
const FEEDBACK: f64 = 3.0;

/// How much there is to compute, in iterations times layers. It does not depend on the machine, nor on what else it does.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Effort(f64);

impl Effort {
    /// Of a scenario's run, whose lanes that did not change are taken over from a run before. How hard those were tells how hard it will be.
    #[must_use]
    pub fn of(scenario: &Scenario, before: Option<&Projection>) -> Self {
        let layers = |lane: &Lane| scenario.solver.layers_of(&lane.container).iter().sum::<usize>() as f64;
        let same = before.filter(|b| b.settled.is_none() && same_surroundings(&b.scenario, scenario));
        let known = |lane: &&Lane| same.is_some_and(|b| b.lanes().any(|(_, of, _)| of == *lane));
        let run = |lane: &Lane| NEW_LANE + layers(lane) * f64::from(scenario.days) * before.and_then(hardness).unwrap_or(USUAL);
        let sum: f64 = scenario.lanes.iter().filter(|lane| !known(lane)).map(run).sum();
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

/// Iterations that the lanes of a run took in a day for each of their layers; `None` where none reached a day's end.
#[allow(clippy::cast_precision_loss)]
fn hardness(run: &Projection) -> Option<f64> {
    let days: f64 = run.run.lanes.iter().map(|l| (l.column.len() * l.days()) as f64).sum();
    let took: f64 = run.run.lanes.iter().map(|l| l.stats.iterations as f64 * l.column.len() as f64).sum();
    (days > 0.0).then(|| took / days)
}
