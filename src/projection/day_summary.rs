//! What each day of a run comes to: its light, its figures and what is furthest off. Taken once per run, and only of days asked for.

use super::lane_report::LaneReport;
use crate::figures::day_state::DayState;
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
