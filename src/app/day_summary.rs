//! What each day of a run comes to: its light, its figures and what is furthest off. Taken once per run, and only of days asked for.

use super::projection::{LaneReport, Projection};
use crate::figures::worst::{DayState, day_state};
use crate::scenario::DayLight;

/// What a day comes to.
#[derive(Clone, Debug)]
pub struct DaySummary {
    /// Its light.
    pub light: DayLight,
    /// Its figures per lane; `None` for a lane that did not reach the day's end.
    pub reports: Vec<Option<LaneReport>>,
    /// What it is worth.
    pub state: DayState,
}

impl Projection {
    /// What a day (from 0, below [`days`](Self::days)) comes to; `None` past the run. It is computed when it is first asked for:
    /// of a run of a year only the days that are looked at.
    #[must_use]
    pub fn day_summary(&self, day: usize) -> Option<&DaySummary> {
        let kept = self.summaries.get(day)?;
        Some(kept.get_or_init(|| self.summarised(day)))
    }

    /// Days whose summary has been asked for.
    #[must_use]
    pub fn days_summarised(&self) -> usize {
        self.summaries.iter().filter(|s| s.get().is_some()).count()
    }

    fn summarised(&self, day: usize) -> DaySummary {
        let reports = if day == self.day { self.reports.clone() } else { self.reports_of(day) };
        let figures = reports.iter().map(|r| r.as_ref().map(|r| &r.figures));
        let short = self.pump_day(day).map_or(0, |d| d.short);
        let state = day_state(self.scenario.lanes.iter().zip(figures)).with_tank(short);
        let unclosed = self.run.lanes.iter().position(|l| !l.closure().closes());
        let state = state.with_unclosed(unclosed);
        DaySummary { light: self.scenario.day_light(day), reports, state }
    }
}
