//! Bands and chances: where the middle four fifths of the members lie, and how many of them meet an aim.

use std::collections::BTreeMap;

use serde::Serialize;

use super::members::{INSTANTS, Instant, MemberLane};
use crate::figures::Aims;
use crate::numerics::quantile::quantile;
use crate::studies::told::{AIM_KEYS, FIGURES, aimed};

/// The chances between whose values a band lies, and its middle.
pub const ENDS: [f64; 3] = [0.1, 0.5, 0.9];

/// A tenth of the members lies below the first value, half below the second, nine tenths below the third.
pub type Band = [f64; 3];

/// The band of some values, in any order; `None` where there are none.
#[must_use]
pub fn band(mut values: Vec<f64>) -> Option<Band> {
    values.sort_unstable_by(f64::total_cmp);
    let [low, middle, high] = ENDS.map(|p| quantile(&values, p));
    Some([low?, middle?, high?])
}

/// Bands of a day's curves, a value per quarter of an hour from midnight to midnight.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct CurveBands {
    /// Hours of the day.
    pub hours: Vec<f64>,
    /// Water content of the whole container, m³/m³.
    pub water_content: Vec<Band>,
    /// Air at the roots, m³/m³.
    pub root_air: Vec<Band>,
    /// EC of the root zone, mS/cm.
    pub root_zone_ec: Vec<Band>,
}

/// Bands of the figures by their names, over the members that have them, and how many have not where some have not.
#[must_use]
pub fn figure_bands(members: &[&MemberLane]) -> (BTreeMap<&'static str, Band>, BTreeMap<&'static str, usize>) {
    let (mut bands, mut without) = (BTreeMap::new(), BTreeMap::new());
    for (i, figure) in FIGURES.iter().enumerate() {
        let values: Vec<f64> = members.iter().map(|m| m.figures[i]).filter(|v| v.is_finite()).collect();
        let missing = members.len() - values.len();
        if let Some(band) = band(values) {
            bands.insert(figure.key, band);
            if missing > 0 {
                without.insert(figure.key, missing);
            }
        }
    }
    (bands, without)
}

/// Share of the members that meet each of a lane's aims; none without a member.
#[must_use]
#[allow(clippy::cast_precision_loss)]
pub fn chances(members: &[&MemberLane], aims: &Aims) -> BTreeMap<&'static str, f64> {
    if members.is_empty() {
        return BTreeMap::new();
    }
    let share = |aim: usize| members.iter().filter(|m| m.met[aim]).count() as f64 / members.len() as f64;
    let aimed = aimed(aims);
    (0..AIM_KEYS.len()).filter(|&i| aimed[i]).map(|i| (AIM_KEYS[i], share(i))).collect()
}

/// Bands of the last day's curves; empty without a member.
#[must_use]
#[allow(clippy::cast_precision_loss)]
pub fn curve_bands(members: &[&MemberLane]) -> CurveBands {
    if members.is_empty() {
        return CurveBands::default();
    }
    let of = |value: fn(&Instant) -> f32| {
        let at = |k: usize| band(members.iter().map(|m| f64::from(value(&m.curves[k]))).collect());
        (0..INSTANTS).filter_map(at).collect()
    };
    CurveBands {
        hours: (0..INSTANTS).map(|k| k as f64 * 0.25).collect(),
        water_content: of(|i| i.water_content),
        root_air: of(|i| i.root_air),
        root_zone_ec: of(|i| i.root_zone_ec),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_band_holds_the_middle_four_fifths() {
        let values = || (0..999).map(|i| f64::from((i * 577) % 999));
        let [low, middle, high] = band(values().collect()).unwrap();
        assert_eq!(values().filter(|v| *v < low).count(), 99);
        assert_eq!(values().filter(|v| *v > high).count(), 99);
        assert_eq!(values().filter(|v| *v < middle).count(), 499);
        assert_eq!((band(vec![]), band(vec![4.0; 12])), (None, Some([4.0; 3])));
    }
}
