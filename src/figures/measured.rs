//! What of a lane's day can be told only while every step of it is there.

use super::aims::{Aims, Reach};
use super::day::{DayFigures, day_figures, dries_points, hours_outside};
use super::marks::SUFFERS;
use crate::engine::run::LaneRun;
use crate::scenario::{Lane, Scenario};

/// What was measured of a lane's day, from which all else that is told of it follows.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// The day's figures.
    pub figures: DayFigures,
    /// What they are held against.
    pub aims: Aims,
    /// Hours outside the band of water; `None` without one.
    pub hours_outside_band: Option<f64>,
}

impl Measured {
    /// Of a lane's day (from 0); `None` where the lane did not reach the day's end.
    #[must_use]
    pub fn of(scenario: &Scenario, lane: &Lane, run: &LaneRun, day: usize) -> Option<Self> {
        let figures = day_figures(run, lane, day)?;
        let of_bench = run.first_day + day;
        let lit = scenario.lit(of_bench);
        let reach = Reach {
            peak: figures.peak,
            dries_points: dries_points(run, &figures, &lit),
            dry_back_points: figures.dry_back.map_or(0.0, |night| night.points),
            starves: figures.uptake_met < SUFFERS,
        };
        let aims = Aims::of(lane, &run.column, scenario.floods_on(lane.valve, of_bench), reach);
        let hours_outside_band = aims.water_content.band().map(|band| hours_outside(run, day, band));
        Some(Self { figures, aims, hours_outside_band })
    }
}
