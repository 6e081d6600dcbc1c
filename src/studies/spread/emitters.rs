//! Emitters alone: the plants of a lane under emitters of one kind, all else as the bench has it.
//!
//! The plants are taken in as many equal groups as there are runs, from the weakest emitters to the strongest; each stands under the mean
//! flow of its group. So the mean of the lowest quarter is what it is for all plants: 1 − 1.27·Cv of the mean, the published uniformity of
//! the low quarter (ASAE EP405, from memory).

use rayon::prelude::*;
use serde::Serialize;

use super::drawn::flow;
use super::members::{MemberLane, under};
use crate::engine::run::Ready;
use crate::figures::Aims;
use crate::numerics::normal::slice_means;
use crate::scenario::Lane;
use crate::studies::told::place;

/// Groups of plants; a tenth of them is whole.
pub const GROUPS: u32 = 40;

/// What a tenth of a lane's plants has, on the mean of their last day.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Tenth {
    /// Flow of their emitters, as a share of all emitters' mean.
    pub flow: f64,
    /// Given, mL per plant.
    pub applied_ml: f64,
    /// Lowest water content, m³/m³.
    pub lowest: f64,
    /// EC of the root zone, mean of the day, mS/cm.
    pub root_zone_ec: f64,
    /// Uptake ÷ demand, 0–1.
    pub uptake_met: f64,
}

/// A lane's plants under their emitters.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Emitters {
    /// The tenth of the plants whose root zone falls driest.
    pub driest_tenth: Tenth,
    /// The tenth whose root zone is saltiest.
    pub saltiest_tenth: Tenth,
    /// What the quarter of the plants that gets least is given, as a share of what all are given on the mean.
    pub low_quarter: f64,
}

/// The groups of a lane, whose emitters scatter by `cv`: flow, and what came of it. `None` when `go_on` said no.
#[must_use]
pub fn groups(
    ready: &Ready,
    (lane, aims): (&Lane, &Aims),
    days: u32,
    cv: f64,
    go_on: &(dyn Fn() -> bool + Sync),
) -> Option<Vec<(f64, Option<MemberLane>)>> {
    let of = |z: f64| Some((flow(cv * z), under(ready, lane, aims, (flow(cv * z), days), go_on)?));
    slice_means(GROUPS).into_par_iter().with_max_len(1).map(of).collect()
}

/// What comes of a lane's groups; `None` where one of them did not converge.
#[must_use]
pub fn emitters(groups: &[(f64, Option<MemberLane>)]) -> Option<Emitters> {
    let plants: Vec<Tenth> = groups.iter().map(|(flow, lane)| Some(plant(*flow, lane.as_ref()?))).collect::<Option<_>>()?;
    let sorted = |by: fn(&Tenth) -> f64| {
        let mut plants = plants.clone();
        plants.sort_by(|a, b| by(a).total_cmp(&by(b)));
        plants
    };
    let applied = |plants: &[Tenth]| mean(plants).map(|t| t.applied_ml);
    let (by_water, by_salt, by_given) = (sorted(|t| t.lowest), sorted(|t| -t.root_zone_ec), sorted(|t| t.applied_ml));
    let all = applied(&plants)?;
    Some(Emitters {
        driest_tenth: mean(&by_water[..plants.len() / 10])?,
        saltiest_tenth: mean(&by_salt[..plants.len() / 10])?,
        low_quarter: if all > 0.0 { applied(&by_given[..plants.len() / 4])? / all } else { 1.0 },
    })
}

fn plant(flow: f64, lane: &MemberLane) -> Tenth {
    let of = |key: &str| place(key).map_or(f64::NAN, |i| lane.figures[i]);
    Tenth { flow, applied_ml: of("applied_ml"), lowest: of("lowest"), root_zone_ec: of("root_zone_ec"), uptake_met: of("uptake_met") }
}

/// The mean plant of some; `None` where there are none.
#[allow(clippy::cast_precision_loss)]
fn mean(plants: &[Tenth]) -> Option<Tenth> {
    let mean = |of: fn(&Tenth) -> f64| plants.iter().map(of).sum::<f64>() / plants.len() as f64;
    (!plants.is_empty()).then(|| Tenth {
        flow: mean(|t| t.flow),
        applied_ml: mean(|t| t.applied_ml),
        lowest: mean(|t| t.lowest),
        root_zone_ec: mean(|t| t.root_zone_ec),
        uptake_met: mean(|t| t.uptake_met),
    })
}
