//! What each layer lets the roots have: water, air and salt stress.

use crate::physics::hydraulics::{Hydraulics, Main};
use crate::scenario::Stress;

/// Water stress at a pressure head (cm), 0–1, and its derivative (1/cm).
#[inline]
#[must_use]
pub fn water_share(stress: &Stress, head: f64) -> (f64, f64) {
    let steep = 1.0 / (stress.begins_cm - stress.stops_cm);
    let share = (head - stress.stops_cm) * steep;
    (share.clamp(0.0, 1.0), if share > 0.0 && share < 1.0 { steep } else { 0.0 })
}

/// Pressure head where evaporation stops, cm: the permanent wilting point of the soil-physics convention (judgement here). In a medium that
/// holds nothing there any more it stops sooner.
pub const EVAPORATION_STOPS_CM: f64 = -15_000.0;
/// Pressure head where it begins to fall, cm (judgement), or a third of the one where it stops, where that is wetter.
const EVAPORATION_FALLS_CM: f64 = -1000.0;
/// A medium holds nothing below this saturation (judgement; every shipped medium holds more at -15,000 cm).
const NOTHING: f64 = 1e-8;

/// From where on a surface gives less than the air asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Evaporation {
    /// Pressure head where evaporation begins to fall, cm.
    pub falls_cm: f64,
    /// Pressure head where it stops, cm.
    pub stops_cm: f64,
}

impl Evaporation {
    /// Of a medium.
    #[must_use]
    pub fn of(medium: &Hydraulics) -> Self {
        let stops_cm = EVAPORATION_STOPS_CM.max(-medium.suction(Main::Drying, NOTHING));
        Self { falls_cm: EVAPORATION_FALLS_CM.max(stops_cm / 3.0), stops_cm }
    }

    /// Share of the potential evaporation that a surface layer gives at a pressure head (cm), 0–1, falling with the logarithm of
    /// suction, and its derivative (1/cm).
    #[inline]
    #[must_use]
    pub fn share(&self, head: f64) -> (f64, f64) {
        if head >= self.falls_cm {
            (1.0, 0.0)
        } else if head <= self.stops_cm {
            (0.0, 0.0)
        } else {
            let span = (self.stops_cm / self.falls_cm).ln();
            ((self.stops_cm / head).ln() / span, -1.0 / (head * span))
        }
    }
}

/// What air content (m³/m³) lets the roots take up in the long run, `air_floor`–1.
#[must_use]
pub fn air_target(stress: &Stress, air: f64) -> f64 {
    let open = ((air - stress.air_none) / (stress.air_enough - stress.air_none)).clamp(0.0, 1.0);
    stress.air_floor + (1.0 - stress.air_floor) * open
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::column::Column;
    use crate::scenario::presets::{Library, demos};
    use crate::scenario::{Curve, MediumChoice, Solver};

    fn column_of(curve: Curve) -> Column {
        let (library, mut lane) = (Library::shipped(), demos().remove(0).1.lanes.remove(0));
        let mut medium = library.media[0].clone();
        (medium.porosity, medium.curve) = (curve.theta_s() + 0.02, curve);
        lane.container.parts.iter_mut().for_each(|p| p.medium = MediumChoice::Custom(Box::new(medium.clone())));
        Column::build(&lane, &Solver::default(), &library).unwrap()
    }

    #[test]
    fn shipped_media_give_water_down_to_the_wilting_point_and_it_falls_as_the_logarithm() {
        let (library, lane) = (Library::shipped(), demos().remove(0).1.lanes.remove(0));
        for medium in &library.media {
            let mut lane = lane.clone();
            lane.container.parts.iter_mut().for_each(|p| p.medium = MediumChoice::Preset(medium.name.clone()));
            let gives = Column::build(&lane, &Solver::default(), &library).unwrap().parts[0].evaporation;
            assert_eq!(gives, Evaporation { falls_cm: -1000.0, stops_cm: -15_000.0 }, "{}", medium.name);
            assert_eq!([gives.share(-1000.0).0, gives.share(-15_000.0).0], [1.0, 0.0]);
            let (share, slope) = gives.share(-3000.0);
            assert!((share - 5_f64.ln() / 15_f64.ln()).abs() < 1e-12);
            assert!((slope - (gives.share(-2999.0).0 - gives.share(-3001.0).0) / 2.0).abs() < 1e-9);
        }
    }

    #[test]
    fn a_medium_that_holds_nothing_gives_nothing() {
        let gives = column_of(Curve::Gardner { theta_s: 0.6, theta_r: 0.1, a_per_cm: 0.006, ks_cm_per_day: 10.0 }).parts[0].evaporation;
        assert!((gives.stops_cm + 1e8_f64.ln() / 0.006).abs() < 1.0, "{gives:?}");
        assert!((gives.falls_cm - EVAPORATION_FALLS_CM).abs() < 1e-9 && gives.share(gives.stops_cm) == (0.0, 0.0));
    }
}
