//! How long a container of a medium drips after it was soaked: the engine lets one drain.
//!
//! What is left to drain comes ever more slowly, so "stops dripping" needs a mark: nineteen twentieths of what drains from full to container
//! capacity have left ([`STOPPED`], judgement). In the equation of flow all times are in inverse proportion to the saturated conductivity, so
//! one run at a conductivity of its own ([`TRIED_AT`]) tells all of them.

use std::sync::Arc;

use crate::edits::drained::{self, Cannot, Kept};
use crate::engine::column::capacity::container_capacity;
use crate::engine::column::{Column, start};
use crate::engine::demand::load::Nothing;
use crate::engine::run::simulation::Simulation;
use crate::engine::supply::clock::EventClock;
use crate::scenario::presets::Library;
use crate::scenario::{
    Boundaries, Container, Crop, CropChoice, Curve, Demand, Lane, Medium, MediumChoice, Part, Roots, Shape, Solver, Start, StartSalt,
    StartWater, Stress, Targets, Walls, ranges,
};
use crate::units::DAY_S;

const MINUTE_S: f64 = 60.0;
/// Share of what drains that has left when the dripping is called over.
pub const STOPPED: f64 = 0.95;
/// Conductivity that it is tried at, cm/day: a container then drips for minutes to days.
const TRIED_AT: f64 = 1000.0;
/// Longest that is waited at that, s: what drips for longer drips for no time that a number tells.
const LONGEST_S: f64 = 400.0 * DAY_S;
/// What drains at least, m³/m³: less than that is within what the steps may miss.
const SOMETHING: f64 = 1e-3;

/// Minutes that a container of a medium, so high (cm), drips after it was soaked; `None` where nothing drains, or for longer than a year.
///
/// ```
/// use slakeline::scenario::presets::Library;
/// use slakeline::studies::dripping::minutes;
/// let library = Library::shipped();
/// let named = |name: &str| library.media.iter().find(|m| m.name == name).unwrap();
/// // coarse perlite lets go sooner than coir, and both sooner where they stand lower
/// let (coir, perlite) = (named("coir pith"), named("coarse perlite"));
/// assert!(minutes(perlite, 20.0).unwrap() < minutes(coir, 20.0).unwrap());
/// assert!(minutes(coir, 10.0).unwrap() < minutes(coir, 20.0).unwrap());
/// ```
#[must_use]
pub fn minutes(medium: &Medium, height_cm: f64) -> Option<f64> {
    Some(tried(medium, height_cm)? / (MINUTE_S * medium.curve.ks_cm_per_day()))
}

/// The minutes that can be asked for where it now drips for some: those of every conductivity that can be, as far as they can be told.
#[must_use]
pub fn range(medium: &Medium, minutes: f64) -> ranges::Range {
    const TOLD: ranges::Range = (0.01, 1e5);
    let tried = minutes * medium.curve.ks_cm_per_day();
    let (low, high) = ((tried / ranges::KS.1).max(TOLD.0), (tried / ranges::KS.0).min(TOLD.1));
    (low, high.max(low))
}

/// The medium with a conductivity at which it drips for so many minutes; as it is where no conductivity would do.
#[must_use]
pub fn for_minutes(medium: &Medium, height_cm: f64, minutes: f64) -> Medium {
    let mut next = medium.clone();
    if let Some(tried) = tried(medium, height_cm)
        && let Curve::VanGenuchten { ks_cm_per_day, .. } = &mut next.curve
    {
        *ks_cm_per_day = (tried / (MINUTE_S * minutes)).clamp(ranges::KS.0, ranges::KS.1);
    }
    next
}

/// The medium with water or air when drained as answered, and with the other answers kept: it drips for as long as before.
///
/// # Errors
/// [`Cannot`]: why no medium has them.
pub fn answered(medium: &Medium, height_cm: f64, kept: Kept, value: f64) -> Result<Medium, Cannot> {
    let next = drained::answered(medium, height_cm, kept, value)?;
    Ok(match minutes(medium, height_cm) {
        Some(minutes) => for_minutes(&next, height_cm, minutes),
        None => next,
    })
}

/// Seconds of dripping × conductivity in cm/day.
fn tried(medium: &Medium, height_cm: f64) -> Option<f64> {
    let mut medium = medium.clone();
    let (Curve::VanGenuchten { ks_cm_per_day: ks, .. }
    | Curve::Gardner { ks_cm_per_day: ks, .. }
    | Curve::Haverkamp { ks_cm_per_day: ks, .. }) = &mut medium.curve;
    *ks = TRIED_AT;
    let lane = soaked(medium, height_cm);
    let column = Arc::new(Column::build(&lane, &Solver { max_step_s: DAY_S, ..Solver::default() }, &Library::default()).ok()?);
    let state = start::state(&column, &lane.start, 0.0);
    let capacity = container_capacity(&column) * column.volume;
    let mut simulation = Simulation::new(Arc::clone(&column), Arc::new(EventClock::silent()), Arc::new(Nothing), 0.0, state);
    let full = simulation.ledger().water_stored;
    let drains = full - capacity;
    if drains < SOMETHING * column.volume {
        return None;
    }
    let over = full - STOPPED * drains;
    let mut before = (0.0, full);
    let mut stops = None;
    let end = simulation.advance_while(LONGEST_S, |now| {
        let (at, left) = (now.time_s(), now.ledger().water_stored);
        if left > over {
            before = (at, left);
            return true;
        }
        stops = Some(before.0 + (at - before.0) * (before.1 - over) / (before.1 - left));
        false
    });
    end.ok()?;
    Some(stops? * TRIED_AT)
}

/// A straight, wrapped container of the medium, full to its top.
fn soaked(medium: Medium, height_cm: f64) -> Lane {
    let part = Part {
        name: String::new(),
        height_cm,
        shape: Shape::Rectangular { length_cm: 10.0, width_cm: 10.0 },
        shared_by: 1,
        walls: Walls::Wrapped,
        medium: MediumChoice::Custom(Box::new(medium)),
        top_exposed: None,
        wall_exposed: None,
    };
    let crop = Crop {
        name: String::new(),
        source: String::new(),
        uptake_ec: 0.0,
        uptake_rise: 0.0,
        uptake_rises_above: None,
        stress: Stress::default(),
        guide_feed_ec: None,
        guide_root_zone_ec: None,
        canopy: None,
        stages: Vec::new(),
    };
    Lane {
        name: String::new(),
        plants: 1,
        valve: 0,
        container: Container { name: String::new(), source: String::new(), parts: vec![part], outlet_height_cm: 0.0 },
        crop: CropChoice::Custom(Box::new(crop)),
        demand: Demand::Measured { litres_per_day: 0.0, steady_share: 0.0 },
        roots: Roots::Uniform,
        dose: 1.0,
        start: Start { water: StartWater::Head(0.0), salt: StartSalt::Ec(0.0), run_in_days: None },
        targets: Targets::default(),
        probe: None,
        exchange: false,
        boundaries: Boundaries::default(),
    }
}
