//! A part of a container by its litres: height and shape stay, its sizes across follow in proportion.

use crate::scenario::ranges::{PART_SIZE, Range};
use crate::scenario::{Part, Shape};

/// Every size across of a shape, cm.
fn sizes(shape: &mut Shape) -> Vec<&mut f64> {
    match shape {
        Shape::Rectangular { length_cm, width_cm } => vec![length_cm, width_cm],
        Shape::Round { diameter_cm } => vec![diameter_cm],
        Shape::TaperedRectangular { bottom_cm, top_cm } => vec![&mut bottom_cm.0, &mut bottom_cm.1, &mut top_cm.0, &mut top_cm.1],
        Shape::TaperedRound { bottom_diameter_cm, top_diameter_cm } => vec![bottom_diameter_cm, top_diameter_cm],
    }
}

/// Litres of one plant's share.
#[must_use]
pub fn litres(part: &Part) -> f64 {
    part.volume_per_plant_ml() / 1000.0
}

/// The litres that one plant's share can have with its height and shape, so that no size leaves its range.
#[must_use]
pub fn litres_range(part: &Part) -> Range {
    let mut shape = part.shape;
    let all = sizes(&mut shape);
    let (least, most) = all.iter().fold((f64::INFINITY, 0.0_f64), |(low, high), size| (low.min(**size), high.max(**size)));
    let at = |factor: f64| litres(part) * factor * factor;
    (at(PART_SIZE.0 / least), at(PART_SIZE.1 / most))
}

/// Gives one plant's share so many litres.
pub fn to_litres(part: &mut Part, wanted: f64) {
    let now = litres(part);
    if now > 0.0 && wanted > 0.0 {
        let factor = (wanted / now).sqrt();
        for size in sizes(&mut part.shape) {
            *size = (*size * factor).clamp(PART_SIZE.0, PART_SIZE.1);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::presets::Library;

    #[test]
    fn every_part_takes_any_litres_in_its_range_with_its_height_and_form() {
        let parts = Library::shipped().containers.into_iter().flat_map(|c| c.parts);
        for before in parts {
            let (low, high) = litres_range(&before);
            for wanted in [low, high, litres(&before), (low * high).sqrt(), 1.01 * low, 0.99 * high] {
                let mut part = before.clone();
                to_litres(&mut part, wanted);
                assert!((litres(&part) - wanted).abs() <= 1e-9 * wanted, "{wanted} L: {} L of {part:?}", litres(&part));
                assert_eq!(part.height_cm, before.height_cm);
                // Of one form: each size in the same proportion to what it was.
                let (mut a, mut b) = (part.shape, before.shape);
                let ratios: Vec<f64> = sizes(&mut a).iter().zip(sizes(&mut b)).map(|(a, b)| **a / *b).collect();
                assert!(ratios.iter().all(|r| (r / ratios[0] - 1.0).abs() < 1e-9), "{ratios:?}");
                assert!(sizes(&mut a).iter().all(|s| (PART_SIZE.0..=PART_SIZE.1).contains(&**s)));
            }
        }
    }
}
