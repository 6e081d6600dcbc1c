//! What is asked of a root zone: transpiration and evaporation over time, from a measured daily use or from the climate.
//!
//! Without a climate what evaporates is a daily amount, shaped like the use. With one it is what light and air ask of wet surfaces
//! (`drying.rs`), whatever the use goes by.

use std::sync::Arc;

pub mod climate;
pub mod drying;
pub mod light_curve;
pub mod load;
pub mod measured;
pub mod running_sum;

use self::climate::{LoggedLoad, Stand, TypicalLoad};
use self::drying::{Drying, UnderClimate};
use self::load::{Load, Uses};
use self::measured::{MeasuredLoad, MeasuredUnderLog};
use crate::scenario::{Climate, Crop, Demand, Scenario};

/// The load on a lane of a crop: measured, or what the scenario's climate makes of the crop's canopy. A demand that needs a climate or
/// a canopy that is not there asks for nothing; validation refuses it before.
#[must_use]
pub fn of(demand: &Demand, crop: &Crop, scenario: &Scenario) -> Arc<dyn Load> {
    let light = scenario.light;
    let measured = |litres: f64, steady_share: f64| MeasuredLoad {
        ml_per_day: litres * 1000.0,
        steady_share,
        evaporation_cm_per_day: scenario.evaporation_mm_per_day / 10.0,
        light,
    };
    let (litres, steady_share, stand) = match *demand {
        Demand::Measured { litres_per_day, steady_share } => (litres_per_day, steady_share, None),
        Demand::Climate { leaf_area_index, plants_per_m2, scale } => {
            (0.0, 0.0, crop.canopy.map(|canopy| Stand::new(&canopy, leaf_area_index, plants_per_m2, scale)))
        }
    };
    let Some(climate) = &scenario.climate else { return Arc::new(measured(litres, steady_share)) };
    let drying = Drying::new(climate, light, drying::leaves(demand, crop));
    match (climate, stand) {
        (Climate::Typical(day), Some(stand)) => under(TypicalLoad::new(&stand, day, light), drying),
        (Climate::Log(log), Some(stand)) => under(LoggedLoad::new(&stand, log), drying),
        (Climate::Typical(_), None) => under(measured(litres, steady_share), drying),
        (Climate::Log(log), None) => under(MeasuredUnderLog::new(litres * 1000.0, steady_share, log), drying),
    }
}

fn under(uses: impl Uses + 'static, drying: Drying) -> Arc<dyn Load> {
    Arc::new(UnderClimate { uses, drying })
}
