//! What is asked of a root zone: transpiration and evaporation over time, from a measured daily use or from the climate.

use std::sync::Arc;

pub mod climate;
pub mod light_curve;
pub mod load;
pub mod measured;
pub mod running_sum;

use self::climate::{LoggedLoad, Stand, TypicalLoad};
use self::load::Load;
use self::measured::{MeasuredLoad, MeasuredUnderLog};
use crate::scenario::{Climate, Crop, Demand, Scenario};

/// The load on a lane of a crop: measured, or what the scenario's climate makes of the crop's canopy. A demand that needs a climate or
/// a canopy that is not there asks for nothing; validation refuses it before.
#[must_use]
pub fn of(demand: &Demand, crop: &Crop, scenario: &Scenario) -> Arc<dyn Load> {
    let (light, evaporation) = (scenario.light, scenario.evaporation_mm_per_day / 10.0);
    let measured = |litres: f64, steady_share| -> Arc<dyn Load> {
        match &scenario.climate {
            Some(Climate::Log(log)) => Arc::new(MeasuredUnderLog::new(litres * 1000.0, steady_share, evaporation, log)),
            _ => Arc::new(MeasuredLoad { ml_per_day: litres * 1000.0, steady_share, evaporation_cm_per_day: evaporation, light }),
        }
    };
    match *demand {
        Demand::Measured { litres_per_day, steady_share } => measured(litres_per_day, steady_share),
        Demand::Climate { leaf_area_index, plants_per_m2, scale } => match (&crop.canopy, &scenario.climate) {
            (Some(canopy), Some(climate)) => {
                let stand = Stand::new(canopy, leaf_area_index, plants_per_m2, scale);
                match climate {
                    Climate::Typical(day) => Arc::new(TypicalLoad::new(&stand, day, light, evaporation)),
                    Climate::Log(log) => Arc::new(LoggedLoad::new(&stand, log, evaporation)),
                }
            }
            _ => measured(0.0, 0.0),
        },
    }
}
