//! The choice of a root zone: small slab or large pot? For one crop, load and pump, every medium in every volume gets the schedule that the
//! finder, with a coarser search, finds for it; and from the settled day of each follows what it asks of whoever tends it: events a day,
//! the night's dry-back, the hours it bears a stopped pump, what it drains, how its EC swings, what it weighs. What cannot be had is told as
//! such and not left out.
//!
//! A root zone is a pot with straight walls; the taller of two of one volume is the drier (common practice). The lane it stands in for gives
//! crop, use, plants, dose and aims, but for the band of water: that follows from each root zone.

mod asked;
mod point;
mod words;

use rayon::prelude::*;

pub use self::asked::Asked;
use self::point::Bench;
pub use self::point::{Had, Point};
pub use self::words::{called, missed, volume, words};
use crate::scenario::Scenario;
use crate::scenario::presets::Library;
use crate::studies::StudyError;
use crate::studies::finder::Budget;

/// Every root zone asked for, in the order of media, volumes and heights. `go_on` is asked before each run; points that were not reached
/// after a no are left out. `done` is told each as it is found: in any order, and by any thread.
///
/// # Errors
/// [`StudyError::Asked`] for the first thing asked for that cannot be.
pub fn choose(
    scenario: &Scenario,
    library: &Library,
    asked: &Asked,
    go_on: &(dyn Fn() -> bool + Sync),
    done: &(dyn Fn(&Point) + Sync),
) -> Result<Vec<Point>, StudyError> {
    if let Some(problem) = asked.problem(scenario, library) {
        return Err(problem.into());
    }
    let bench = Bench::of(scenario, library, asked);
    let one = |zone: &asked::Zone, in_turn: bool| {
        let point = bench.point(zone, &Budget { in_turn, ..Budget::COARSE }, go_on)?;
        done(&point);
        Some(point)
    };
    let zones = asked.zones(scenario, library);
    // The one nearest to the lane's own volume by all threads, so that there is something to look at soon; then each by one thread.
    let own = scenario.lanes.get(asked.lane).map_or(1.0, |lane| lane.container.volume_per_plant_ml() / 1000.0);
    let off = |zone: &asked::Zone| (zone.litres / own).ln().abs();
    let first = (0..zones.len()).min_by(|a, b| off(&zones[*a]).total_cmp(&off(&zones[*b])));
    let begun = first.and_then(|at| one(&zones[at], false));
    let others = |(at, zone): (usize, &asked::Zone)| if Some(at) == first { begun.clone() } else { one(zone, true) };
    Ok(zones.par_iter().enumerate().with_max_len(1).map(others).collect::<Vec<_>>().into_iter().flatten().collect())
}
