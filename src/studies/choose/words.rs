//! What the choice says.

use super::point::Point;

/// The aims that a root zone misses, in a few words; empty where it meets all.
#[must_use]
pub fn missed(point: &Point) -> String {
    if let Some(why) = &point.why_not {
        return why.clone();
    }
    let one = |a: &crate::studies::finder::AimTold| {
        let (what, _) = a.figure.words();
        match a.value {
            Some(value) if value < a.aim.0 => format!("{what} low"),
            Some(_) => format!("{what} high"),
            None => format!("no {what}"),
        }
    };
    point.missed.iter().map(one).collect::<Vec<_>>().join(", ")
}

/// A sentence on the whole: how many meet every aim, and the smallest and the largest of them.
#[must_use]
pub fn words(points: &[Point]) -> String {
    let met: Vec<&Point> = points.iter().filter(|p| p.met).collect();
    let by_volume = |a: &&&Point, b: &&&Point| a.litres.total_cmp(&b.litres);
    match (met.iter().min_by(by_volume), met.iter().max_by(by_volume)) {
        (Some(least), Some(most)) => format!(
            "{} of {} root zones meet every aim; the smallest is {} in {} L, the largest {} in {} L.",
            met.len(),
            points.len(),
            least.medium,
            least.litres,
            most.medium,
            most.litres
        ),
        _ => format!("None of {} root zones meets every aim under any schedule that was run.", points.len()),
    }
}
