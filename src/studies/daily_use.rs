//! What a plant of a lane uses in a day: computed, entered as an amount, or carried over to another crop.

use crate::engine::demand;
use crate::scenario::presets::Library;
use crate::scenario::{Climate, Crop, DAY_S, Demand, Lane, Scenario, ranges, resolve};
use crate::units::{Quantity, Units};

/// Litres per plant and day that a lane of a crop asks for under the bench's light and climate, the mean of the climate's days.
#[must_use]
pub fn litres(lane: &Lane, crop: &Crop, scenario: &Scenario) -> f64 {
    let days = match &scenario.climate {
        Some(Climate::Log(log)) => f64::from(log.days()),
        _ => 1.0,
    };
    demand::of(&lane.demand, crop, scenario).transpiration_ml(0.0, days * DAY_S) / (1000.0 * days)
}

/// The use of a lane as an amount: what was computed, so that the day is nearly the same, or 1 L where it cannot be.
#[must_use]
pub fn entered(lane: &Lane, scenario: &Scenario, library: &Library) -> Demand {
    let known = resolve::crop(&lane.crop, library).ok().filter(|crop| crop.canopy.is_some() && scenario.climate.is_some());
    let litres = known.map_or(1.0, |crop| (litres(lane, &crop, scenario) * 100.0).round() / 100.0);
    Demand::Measured { litres_per_day: litres.min(ranges::LITRES_PER_DAY.1), steady_share: 0.08 }
}

/// What a lane's computed use becomes when it gets a crop that none can be computed for; `None` where it can stay. In its second place,
/// how that is told.
#[must_use]
pub fn for_crop(index: usize, lane: &Lane, next: &Crop, scenario: &Scenario, library: &Library, units: Units) -> Option<(Demand, String)> {
    if next.canopy.is_some() || !matches!(lane.demand, Demand::Climate { .. }) {
        return None;
    }
    let demand = entered(lane, scenario, library);
    let Demand::Measured { litres_per_day, .. } = demand else { return None };
    let litres = Quantity::Litres.text(litres_per_day, units);
    let told = format!(
        "\"{}\" has no canopy values, so the use of lane {} can no longer be computed: {litres} per plant and day is entered in its place. \
        Correct it by what you measure.",
        next.name,
        index + 1
    );
    Some((demand, told))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::CropChoice;
    use crate::scenario::presets::demos;

    #[test]
    fn a_litre_is_entered_where_what_was_used_cannot_be_known() {
        let (mut scenario, library) = (demos().remove(9).1, Library::shipped());
        let mut lane = scenario.lanes[0].clone();
        assert!(matches!(lane.demand, Demand::Climate { .. }));
        let litres = |lane: &Lane, scenario: &Scenario| match entered(lane, scenario, &library) {
            Demand::Measured { litres_per_day, .. } => litres_per_day,
            Demand::Climate { .. } => f64::NAN,
        };
        assert!((litres(&lane, &scenario) - 1.76).abs() < 0.02, "{}", litres(&lane, &scenario));
        let climate = scenario.climate.take();
        assert_eq!(litres(&lane, &scenario), 1.0);
        scenario.climate = climate;
        lane.crop = CropChoice::Preset("a crop that is gone".to_owned());
        assert_eq!(litres(&lane, &scenario), 1.0);
    }
}
