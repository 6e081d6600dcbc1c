//! What the choice says.

use super::point::Point;
use crate::units::{Quantity, Units};

/// The aims that a root zone misses, in a few words; empty where it meets all.
#[must_use]
pub fn missed(point: &Point) -> String {
    if let Some(why) = &point.why_not {
        return why.clone();
    }
    let one = |a: &crate::studies::finder::AimTold| {
        let what = a.figure.name();
        match a.value {
            Some(value) if value < a.aim.0 => format!("{what} low"),
            Some(_) => format!("{what} high"),
            None => format!("no {what}"),
        }
    };
    point.missed.iter().map(one).collect::<Vec<_>>().join(", ")
}

/// A root zone by its medium and volume.
#[must_use]
pub fn called(point: &Point, units: Units) -> String {
    format!("{} in {}", point.medium, volume(point.litres, units))
}

/// A volume as it was asked for: whole litres stay whole.
#[must_use]
pub fn volume(litres: f64, units: Units) -> String {
    let whole = Quantity::Litres.text(litres, units);
    let (number, unit) = whole.split_once(' ').unwrap_or((&whole, ""));
    let number = if number.contains('.') { number.trim_end_matches('0').trim_end_matches('.') } else { number };
    format!("{number} {unit}")
}

/// A sentence on the whole: how many meet every aim, and the smallest and the largest of them.
#[must_use]
pub fn words(points: &[Point], units: Units) -> String {
    let met: Vec<&Point> = points.iter().filter(|p| p.met).collect();
    let by_volume = |a: &&&Point, b: &&&Point| a.litres.total_cmp(&b.litres);
    match (met.iter().min_by(by_volume), met.iter().max_by(by_volume)) {
        (Some(least), Some(most)) => format!(
            "{} of {} root zones meet every aim; the smallest is {}, the largest {}.",
            met.len(),
            points.len(),
            called(least, units),
            called(most, units)
        ),
        _ => format!("None of {} root zones meets every aim under any schedule that was run.", points.len()),
    }
}
