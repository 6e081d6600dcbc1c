//! Which aims are not met, and by how much.

use super::found::Found;
use super::judged::AimTold;

/// A sentence on the whole, and one on each aim that is not met.
#[must_use]
pub fn words(found: &Found) -> Vec<String> {
    let missed: Vec<&AimTold> = found.aims.iter().filter(|a| !a.met).collect();
    let mut out = Vec::new();
    if missed.is_empty() {
        out.push(format!("Every aim is met. {} schedules were run, {} of them until they settled.", found.tried, found.settled));
        return out;
    }
    out.push(format!(
        "No schedule of the {} that were run meets every aim; this one misses least, with {} of {} met.",
        found.tried + found.settled,
        found.aims.len() - missed.len(),
        found.aims.len()
    ));
    out.extend(missed.into_iter().map(sentence));
    out
}

fn sentence(told: &AimTold) -> String {
    let (what, unit) = told.figure.words();
    let scale = told.figure.scale();
    let number = |x: f64| format!("{:.1}", scale * x);
    let (low, high) = told.aim;
    let aim = if high * scale >= 100.0 { format!("at least {}", number(low)) } else { format!("{} to {}", number(low), number(high)) };
    let Some(value) = told.value else {
        return format!("{}: {what} cannot be told on this day; {aim} {unit} was wanted.", told.lane);
    };
    let by = if value < low { low - value } else { value - high };
    let alone = match told.reached {
        Some((least, most)) if most < low => {
            format!(" None came above {}.", number(most)) + if least == most { " All came to the same." } else { "" }
        }
        Some((least, _)) if least > high => format!(" None came below {}.", number(least)),
        _ => " Others meet it, and miss more elsewhere.".to_owned(),
    };
    format!(
        "{}: {what} is {} {unit}, {} {} {aim}.{alone}",
        told.lane,
        number(value),
        number(by),
        if value < low { "under" } else { "over" }
    )
}
