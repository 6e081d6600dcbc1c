//! Which aims are not met, and by how much.

use super::found::Found;
use super::judged::AimTold;

/// A sentence on the whole, and one on each aim that is not met.
#[must_use]
pub fn words(found: &Found) -> Vec<String> {
    let missed: Vec<&AimTold> = found.aims.iter().filter(|a| !a.met).collect();
    let mut out = Vec::new();
    let looked = format!("{} schedules were run for a few days, and {} until they settled.", found.tried, found.settled);
    if missed.is_empty() {
        out.push(format!("Every aim is met. {looked}"));
    } else {
        let met = found.aims.len() - missed.len();
        out.push(format!("{looked} None of these last meets every aim; this one misses least, with {met} of {} met.", found.aims.len()));
    }
    out.extend(missed.into_iter().map(sentence));
    for lane in found.lanes.iter().filter(|l| !l.repeats()) {
        out.push(format!("{}: {}; its figures are those of the last day run and will go on changing.", lane.lane, lane.told));
    }
    if found.leaves_out_rules {
        out.push("The bench's rules and later schedules are not part of it: the clock alone gives these events.".to_owned());
    }
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
        Some((_, most)) if most < low => format!(" None of those that settled came above {}.", number(most)),
        Some((least, _)) if least > high => format!(" None of those that settled came below {}.", number(least)),
        _ => String::new(),
    };
    format!(
        "{}: {what} is {} {unit}, {} {} {aim}.{alone}",
        told.lane,
        number(value),
        number(by),
        if value < low { "under" } else { "over" }
    )
}
