//! The figures of a lane's day, judged and explained: the one place where they are put together.

use crate::engine::run::LaneRun;
use crate::figures::verdict::Verdicts;
use crate::figures::{DayFigures, Lean, cause, day_figures, lean, verdicts};
use crate::scenario::{Lane, Scenario};
use crate::units::Units;

/// The figures of a lane's day, judged and explained.
#[derive(Clone, Debug)]
pub struct LaneReport {
    /// The day's figures.
    pub figures: DayFigures,
    /// Their states.
    pub verdicts: Verdicts,
    /// Vegetative or generative.
    pub lean: Lean,
}

impl LaneReport {
    /// The report of a lane's day (from 0); `None` where the lane did not reach the day's end.
    #[must_use]
    pub fn of(scenario: &Scenario, lane: &Lane, run: &LaneRun, day: usize) -> Option<Self> {
        Some(Self::with(day_figures(run, lane, day)?, scenario, lane, run))
    }

    /// The report of a lane's day whose figures are known.
    #[must_use]
    pub fn with(figures: DayFigures, scenario: &Scenario, lane: &Lane, run: &LaneRun) -> Self {
        let (events, feed_ec) = (run.timetable.events(figures.day), run.timetable.mean_ec(figures.day, scenario.feed.ec));
        Self { verdicts: verdicts(&figures, lane), lean: lean(&figures, lane, events, &scenario.light, feed_ec), figures }
    }

    /// Why the figures are what they are, a sentence each, in the units shown.
    #[must_use]
    pub fn causes(&self, scenario: &Scenario, lane: &Lane, run: &LaneRun, units: Units) -> Vec<String> {
        let day = self.figures.day;
        cause::sentences(&self.figures, lane, (run.timetable.events(day), run.timetable.short(day)), &scenario.light, units)
    }
}
