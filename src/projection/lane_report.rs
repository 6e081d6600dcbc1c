//! The figures of a lane's day, judged and explained: the one place where they are put together.

use serde::Serialize;

use super::pump_words;
use crate::engine::run::LaneRun;
use crate::figures::belief::{Remark, remarks};
use crate::figures::lean::Steered;
use crate::figures::verdict::Verdicts;
use crate::figures::{Aims, DayFigures, Lean, Measured, cause, lean, verdicts};
use crate::scenario::{Lane, Scenario};
use crate::units::Units;

/// The figures of a lane's day, judged and explained.
#[derive(Clone, Debug, Serialize)]
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
    /// What of the figures is beyond belief.
    pub remarks: Vec<Remark>,
}

impl LaneReport {
    /// The report of a lane's day (from 0); `None` where the lane did not reach the day's end.
    #[must_use]
    pub fn of(scenario: &Scenario, lane: &Lane, run: &LaneRun, day: usize) -> Option<Self> {
        Some(Self::with(Measured::of(scenario, lane, run, day)?, scenario, lane, run))
    }

    /// The report of a lane's day that was measured, whether every step of it is still there or not.
    #[must_use]
    pub fn with(measured: Measured, scenario: &Scenario, lane: &Lane, run: &LaneRun) -> Self {
        let Measured { figures, aims, hours_outside_band } = measured;
        let events = run.timetable.events(figures.day);
        // Of what came in, floods and drips alike.
        let given = run.day(figures.day).filter(|passed| passed.water.applied > 0.0);
        let feed_ec = given.map_or_else(|| scenario.feed_ec(lane.valve), |passed| passed.salt.applied / passed.water.applied);
        let light_s = scenario.lit(run.first_day + figures.day).first().map(|l| l.0);
        let steered = Steered { events, light_s, feed_ec, dry_back: aims.dry_back_points };
        Self {
            verdicts: verdicts(&figures, &aims),
            lean: lean(&figures, lane, steered),
            remarks: remarks(&figures),
            figures,
            aims,
            hours_outside_band,
        }
    }

    /// Why the figures are what they are, a sentence each, in the units shown.
    #[must_use]
    pub fn causes(&self, scenario: &Scenario, lane: &Lane, run: &LaneRun, units: Units) -> Vec<String> {
        let day = self.figures.day;
        let (events, short) = (run.timetable.events(day), run.timetable.short(day));
        let around = cause::Day { events, short, lit: scenario.lit(run.first_day + day) };
        let mut told: Vec<String> = run.timetable.day(day).into_iter().flat_map(|d| pump_words::sentences(d)).collect();
        told.extend(cause::sentences(&self.figures, (lane, &run.column.crop), &around, units));
        told
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::run::{Settled, Workshop};
    use crate::figures::{day_state, misses};
    use crate::scenario::presets::{Library, demos};

    #[test]
    fn results_are_plain_data_that_serde_writes() {
        let (library, scenario) = (Library::shipped(), demos().remove(0).1);
        let ready = Workshop::default().ready(&scenario, &library).unwrap();
        let run = crate::engine::run::run(&ready.for_its_days(), 1);
        let (lane, lane_run) = (&scenario.lanes[0], &run.lanes[0]);
        let report = LaneReport::of(&scenario, lane, lane_run, 0).unwrap();
        let value = serde_json::to_value(&report).unwrap();
        assert_eq!(value["figures"]["applied_ml"], report.figures.applied_ml);
        assert_eq!(value["verdicts"]["drain"]["word"], report.verdicts.drain.word);
        let missed = serde_json::to_value(misses(&report.figures, &lane.targets)).unwrap();
        assert!(missed["uptake_met"].as_f64().is_some(), "{missed}");
        assert_eq!(serde_json::to_value(Settled::OnDay(3)).unwrap()["OnDay"], 3);
        assert_eq!(serde_json::to_value(lane_run.stats).unwrap()["steps"], lane_run.stats.steps);
        let last = serde_json::to_value(lane_run.series.samples.last().unwrap()).unwrap();
        assert_eq!(last["time_s"], lane_run.series.samples.last().unwrap().time_s);
        let state = serde_json::to_value(day_state([None].into_iter())).unwrap();
        assert_eq!(state["Attention"]["fault"], "Stopped");
    }
}
