//! The figures of a lane's day, judged and explained: the one place where they are put together.

use crate::engine::run::LaneRun;
use crate::figures::aims::Reach;
use crate::figures::day::{dries_points, hours_outside};
use crate::figures::lean::Steered;
use crate::figures::verdict::Verdicts;
use crate::figures::{Aims, DayFigures, Lean, cause, day_figures, lean, verdicts};
use crate::scenario::{Lane, Scenario};
use crate::units::Units;

/// The figures of a lane's day, judged and explained.
#[derive(Clone, Debug)]
pub struct LaneReport {
    /// The day's figures.
    pub figures: DayFigures,
    /// What they are held against.
    pub aims: Aims,
    /// Their states.
    pub verdicts: Verdicts,
    /// Hours outside the band of water; `None` without one.
    pub hours_outside_band: Option<f64>,
    /// Vegetative or generative.
    pub lean: Lean,
}

impl LaneReport {
    /// The report of a lane's day (from 0); `None` where the lane did not reach the day's end.
    #[must_use]
    pub fn of(scenario: &Scenario, lane: &Lane, run: &LaneRun, day: usize) -> Option<Self> {
        let figures = day_figures(run, lane, day)?;
        let (events, feed_ec) = (run.timetable.events(day), run.timetable.mean_ec(day, scenario.feed.ec));
        let lit = scenario.lit(run.first_day + day);
        let reach = Reach { peak: figures.peak, dries_points: dries_points(run, &figures, &lit) };
        let aims = Aims::of(lane, &run.column, events, reach);
        let steered = Steered { events, light_s: lit.first().map(|l| l.0), feed_ec, dry_back: aims.dry_back_points };
        Some(Self {
            aims,
            verdicts: verdicts(&figures, &aims),
            hours_outside_band: aims.water_content.band().map(|band| hours_outside(run, day, band)),
            lean: lean(&figures, lane, steered),
            figures,
        })
    }

    /// Why the figures are what they are, a sentence each, in the units shown.
    #[must_use]
    pub fn causes(&self, scenario: &Scenario, lane: &Lane, run: &LaneRun, units: Units) -> Vec<String> {
        let day = self.figures.day;
        let (events, short) = (run.timetable.events(day), run.timetable.short(day));
        let around = cause::Day { events, short, lit: scenario.lit(run.first_day + day) };
        cause::sentences(&self.figures, (lane, &run.column.crop), &around, units)
    }
}
