//! What every number of a scenario may be: validation refuses what lies outside, and the setup fields offer nothing else.
//!
//! Ends are included. Units stand with each. Ends that hang on another value are functions of it.

use std::f64::consts::LN_10;

use super::container::Container;
use super::crop::Crop;
use super::lane::Lane;
use super::medium::{Curve, Medium};
use super::presets::library::Library;
use super::resolve;
use super::solver::Solver;

/// Least and most, both allowed.
pub type Range = (f64, f64);

/// EC of the feed and of an event, mS/cm.
pub const FEED_EC: Range = (0.0, 20.0);
/// Evaporation from a free wet surface, mm/day.
pub const EVAPORATION: Range = (0.0, 30.0);
/// Millilitres per plant of a drip event.
pub const EVENT_ML: Range = (0.1, 20_000.0);
/// Depth of a flood above the container's base, cm.
pub const FLOOD_CM: Range = (0.1, 100.0);
/// Seconds of an event.
pub const EVENT_SECONDS: Range = (5.0, 43_200.0);
/// Days from an event to the same event again.
pub const EVERY_DAYS: Range = (1.0, 14.0);
/// Pause before a rule's next event, s.
pub const PAUSE: Range = (0.0, 43_200.0);
/// Light that calls for an event, J/cm².
pub const LIGHT_JOULES: Range = (1.0, 5000.0);
/// Light that calls for an event, mol/m².
pub const LIGHT_MOLES: Range = (0.05, 100.0);
/// Litres of a tank.
pub const TANK: Range = (1.0, 1_000_000.0);
/// Litres a pump gives in an hour.
pub const PUMP: Range = (1.0, 1_000_000.0);
/// Least height that a probe reads over, cm.
pub const LEAST_PROBE: f64 = 0.1;

/// Plants standing like one.
pub const PLANTS: Range = (1.0, 1_000_000.0);
/// Times the scheduled volume.
pub const DOSE: Range = (0.01, 100.0);
/// Litres a plant uses in a day.
pub const LITRES_PER_DAY: Range = (0.0, 50.0);
/// Leaf area index, m²/m².
pub const LEAF_AREA: Range = (0.0, 10.0);
/// Plants on a square metre of floor.
pub const PLANTS_PER_M2: Range = (0.1, 500.0);
/// What a computed use is multiplied by.
pub const SCALE: Range = (0.05, 20.0);
/// Extinction coefficient of a canopy.
pub const EXTINCTION: Range = (0.0, 2.0);
/// Answer of a canopy to dry air, W/m² per kPa and unit of leaf area index.
pub const AIR_ANSWER: Range = (0.0, 200.0);
/// Shortwave radiation of a day, MJ/m².
pub const DAY_LIGHT: Range = (0.0, 40.0);
/// Photon flux of lamps, µmol/m²/s.
pub const PPFD: Range = (0.0, 3000.0);
/// Air temperature of a typical day, °C.
pub const CELSIUS: Range = (0.0, 50.0);
/// Shortwave radiation in a log, W/m².
pub const LOG_LIGHT: Range = (0.0, 1500.0);
/// Air temperature in a log, °C.
pub const LOG_CELSIUS: Range = (-10.0, 60.0);
/// A share of a whole.
pub const SHARE: Range = (0.0, 1.0);
/// Pressure head at the start or held at an edge, cm; negative is suction.
pub const HEAD: Range = (-15_000.0, 200.0);
/// Pressure heads that are suctions, cm.
pub const SUCTION: Range = (HEAD.0, 0.0);
/// Flux held into the surface, cm/h.
pub const FLUX: Range = (0.0, 1000.0);
/// EC of the root zone at the start or aimed for, mS/cm.
pub const ROOT_ZONE_EC: Range = (0.0, 40.0);
/// Points or percent aimed for.
pub const PERCENT: Range = (0.0, 100.0);
/// Depth over which roots thin to half, cm.
pub const HALVES_EVERY: Range = (0.5, 500.0);
/// Days like the first that come before it.
pub const RUN_IN_DAYS: Range = (1.0, 366.0);
/// Relative density of roots.
pub const ROOT_DENSITY: Range = (0.0, 1e6);

/// Height of a part, cm.
pub const PART_HEIGHT: Range = (0.5, 200.0);
/// Most parts of a container.
pub const MOST_PARTS: usize = 6;
/// Height of the tallest container there can be, cm.
pub const TALLEST: f64 = MOST_PARTS as f64 * PART_HEIGHT.1;
/// Lengths, widths and diameters of a part, cm.
pub const PART_SIZE: Range = (0.5, 500.0);
/// Plants that share a part.
pub const SHARED_BY: Range = (1.0, 1000.0);
/// Percent of a component in a mix.
pub const MIX_PERCENT: Range = (0.1, 100.0);

/// Wetting against drying suction.
pub const HYSTERESIS: Range = (1.0, 5.0);
/// Suction below which a medium stays full, cm.
pub const CAPILLARY_HEIGHT: Range = (0.0, 5.0);
/// Share of a drip that runs straight through.
pub const CHANNELLING: Range = (0.0, 0.9);
/// How far that water takes on the root zone's EC.
pub const CHANNEL_PICK_UP: Range = (0.0, 1.0);
/// Dry weight, kg/m³.
pub const BULK_DENSITY: Range = (1.0, 2500.0);
/// Exchange capacity, cmol/kg.
pub const CEC: Range = (0.0, 300.0);
/// Salt held per salt in solution, mL/g.
pub const EXCHANGE: Range = (0.0, 100.0);
/// Dispersivity, cm.
pub const DISPERSIVITY: Range = (0.0, 100.0);
/// Diffusion of salt in the medium's water, cm²/s.
pub const DIFFUSION: Range = (0.0, 0.1);
/// Height of the container or ring that a medium's answers are told for, cm.
pub const TOLD_AT: Range = (5.0, 100.0);
/// Water content when full, m³/m³.
pub const THETA_S: Range = (0.05, 0.99);
/// Least residual water content, m³/m³: every medium keeps a film.
pub const LEAST_THETA_R: f64 = 1e-3;
/// Least water between residual and full, m³/m³.
const LEAST_WATER: f64 = 0.01;
/// Most pores, m³/m³.
pub const MOST_PORES: f64 = 0.99;
/// Saturated conductivity, cm/day.
pub const KS: Range = (0.01, 1e6);
/// α of van Genuchten and a of Gardner, 1/cm.
pub const ALPHA: Range = (1e-4, 5.0);
/// n of van Genuchten.
pub const N: Range = (1.05, 12.0);
/// l of Mualem.
pub const L: Range = (-2.0, 4.0);
/// α and A of Haverkamp.
pub const HAVERKAMP_SCALE: Range = (1e-3, 1e12);
/// β and γ of Haverkamp.
pub const HAVERKAMP_POWER: Range = (0.5, 12.0);

/// EC that leaves with the water taken up, and guide ECs, mS/cm.
pub const CROP_EC: Range = (0.0, 20.0);
/// Rise of the uptake EC with the root zone's, mS/cm per mS/cm.
pub const UPTAKE_RISE: Range = (0.0, 0.5);
/// Pressure head where uptake stops, cm.
pub const STOPS: Range = (-15_000.0, -1.0);
/// Air at which the decline reaches its floor, m³/m³.
pub const AIR_NONE: Range = (0.0, 0.9);
/// Most air that roots can call for, m³/m³.
pub const MOST_AIR: f64 = 0.95;
/// How slowly a lack of air is felt, h.
pub const AIR_MEMORY: Range = (0.01, 240.0);
/// ω of compensation.
pub const COMPENSATION: Range = (0.05, 1.0);
/// Threshold of the response to salt, mS/cm of saturated paste.
pub const SALT_THRESHOLD: Range = (0.0, 50.0);
/// Loss above it, percent per mS/cm.
pub const SALT_SLOPE: Range = (0.0, 100.0);

/// Aimed-at thickness of a layer, cm.
pub const LAYER: Range = (0.05, 10.0);
/// Layers of a column.
pub const LAYERS: Range = (2.0, 1000.0);
/// Water content that a step may miss.
pub const TOLERANCE: Range = (1e-8, 0.1);
/// Share of it at which a step is solved.
pub const CONVERGENCE: Range = (1e-9, 1.0);
/// Longest step, s.
pub const MAX_STEP: Range = (1.0, 7200.0);
/// Shortest step, s.
pub const MIN_STEP: Range = (1e-9, 1.0);
/// Elastic storage, 1/cm.
pub const STORAGE: Range = (1e-9, 1e-3);

/// Height of the outlet, cm: below the top.
#[must_use]
pub fn outlet(container: &Container) -> Range {
    (0.0, (container.height_cm() - 0.1).max(0.0))
}

/// Residual water content of a medium.
#[must_use]
pub fn theta_r(curve: &Curve) -> Range {
    (LEAST_THETA_R, curve.theta_s() - LEAST_WATER)
}

/// Water content of a medium when full, between its residual content and all its pores.
#[must_use]
pub fn theta_s(medium: &Medium) -> Range {
    let theta_r = medium.curve.theta_r();
    let mut least = theta_r + LEAST_WATER;
    // A rounding must not leave the residual content outside its own range.
    while least - LEAST_WATER < theta_r {
        least = least.next_up();
    }
    (least.max(THETA_S.0), medium.porosity.min(THETA_S.1))
}

/// All pores of a medium.
#[must_use]
pub fn porosity(curve: &Curve) -> Range {
    (curve.theta_s(), MOST_PORES)
}

/// A value of a curve after Gardner or Haverkamp, within its widest range, where the curve it makes can still be dried by a plant;
/// `value` is what it is now, above 0. Where the curve as it is cannot, the widest range.
#[must_use]
pub fn fit_for_plants(widest: Range, value: f64, curve: impl Fn(f64) -> Curve) -> Range {
    let fits = |v: f64| curve(v).unfit_for_plants().is_none();
    if !fits(value) {
        return widest;
    }
    // Each value spoils a curve to one side of a limit only, so halving finds it; the ends stay on the side that fits.
    let limit = |end: f64| {
        if fits(end) {
            return end;
        }
        let (mut inside, mut outside) = (value, end);
        for _ in 0..60 {
            let mid = (inside * outside).sqrt();
            *(if fits(mid) { &mut inside } else { &mut outside }) = mid;
        }
        inside
    };
    (limit(widest.0), limit(widest.1))
}

/// n of van Genuchten for an α: past this the curve holds nothing at suctions that roots still reach.
#[must_use]
pub fn n(alpha: f64) -> Range {
    (N.0, N.1.min(1.0 + 7.0 * LN_10 / (1000.0 * alpha).max(1.0 + 1e-9).ln()))
}

/// α of van Genuchten for an n, by the same limit.
#[must_use]
pub fn alpha(n: f64) -> Range {
    // A little less, so that rounding never carries it over the limit.
    let most = 0.001 * (7.0 * LN_10 / (n - 1.0).max(0.01)).exp() * (1.0 - 1e-9);
    (ALPHA.0, ALPHA.1.min(most))
}

/// Pressure head where uptake begins to fall, cm: wetter than where it stops.
#[must_use]
pub fn begins(crop: &Crop) -> Range {
    ((crop.stress.stops_cm + 0.1).min(0.0), 0.0)
}

/// Pressure head where uptake stops, cm: drier than where it begins to fall.
#[must_use]
pub fn stops(crop: &Crop) -> Range {
    (STOPS.0, (crop.stress.begins_cm - 0.1).min(STOPS.1))
}

/// Air from which roots breathe freely: more than where they stop.
#[must_use]
pub fn air_enough(crop: &Crop) -> Range {
    (crop.stress.air_none + 0.001, MOST_AIR)
}

/// Air at which the decline ends: less than enough.
#[must_use]
pub fn air_none(crop: &Crop) -> Range {
    (AIR_NONE.0, (crop.stress.air_enough - 0.001).min(AIR_NONE.1))
}

/// Fewest layers of a column.
#[must_use]
pub fn min_layers(solver: &Solver) -> Range {
    (LAYERS.0, f64::from(solver.max_layers).min(LAYERS.1))
}

/// Most layers of a column.
#[must_use]
pub fn max_layers(solver: &Solver) -> Range {
    (f64::from(solver.min_layers).max(LAYERS.0), LAYERS.1)
}

/// Water content of a layer, m³/m³: above residual and no more than its medium holds.
#[must_use]
pub fn layer_water(curve: &Curve) -> Range {
    (curve.theta_r() + 1e-4, curve.theta_s())
}

/// Mean water content of a lane, m³/m³: above residual and no more than its media hold. `None` while a medium is unknown
/// or a size cannot be.
#[must_use]
pub fn mean_water(lane: &Lane, library: &Library) -> Option<Range> {
    let whole = lane.container.volume_per_plant_ml();
    let (mut low, mut high) = (LEAST_WATER, 0.0);
    for part in &lane.container.parts {
        let medium = resolve::medium(&part.medium, library).ok()?;
        let share = part.volume_per_plant_ml() / whole;
        low += share * medium.curve.theta_r();
        high += share * medium.curve.theta_s();
    }
    (low.is_finite() && high.is_finite()).then_some((low, high))
}
