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
    let one = |zone: &asked::Zone| {
        let point = bench.point(zone, go_on)?;
        done(&point);
        Some(point)
    };
    // Each is searched for on one thread, so that the first are there soon.
    let zones = asked.zones(scenario, library);
    Ok(zones.par_iter().with_max_len(1).map(one).collect::<Vec<_>>().into_iter().flatten().collect())
}
