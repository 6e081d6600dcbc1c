//! Which aims are not met, and by how much.

use super::found::Found;
use super::judged::{AimTold, Figure, LaneSettled, NotJudged};
use crate::figures::aims::{Band, Unfit};
use crate::units::{Quantity, Units};

/// A sentence on the whole, and one on each aim that is not met or not judged, in units.
#[must_use]
pub fn words(found: &Found, units: Units) -> Vec<String> {
    let missed: Vec<&AimTold> = found.aims.iter().filter(|a| !a.met).collect();
    let mut out = Vec::new();
    let looked = match (found.tried, found.settled) {
        (tried, 0) => format!("{tried} schedules were run for a few days; this is the best of them, and is being run until it settles."),
        (0, _) => format!("{} schedules were run until they settled.", found.settled),
        (tried, _) => format!("{tried} schedules were run for a few days, and {} until they settled.", found.settled),
    };
    if missed.is_empty() {
        out.push(format!("Every aim is met. {looked}"));
    } else {
        let met = found.aims.len() - missed.len();
        let none = if found.settled == 0 { "It" } else { "None of these last meets every aim; this one misses least and" };
        out.push(format!("{looked} {none} meets {met} of {}.", found.aims.len()));
    }
    out.extend(missed_words(found, units));
    out.extend(found.lanes.iter().enumerate().filter_map(|(i, lane)| drain_or_salt(found, i, lane, units)));
    out.extend(rinse_words(found, units));
    out.extend(of_lane(found, units));
    for lane in &found.starting_aims {
        out.push(format!("{lane} has no targets, so usual ones were aimed at (bands: judgement); they come with the schedule."));
    }
    if found.leaves_out_rules {
        out.push("Rules and later schedules are not part of it: the clock alone gives these events.".to_owned());
    }
    if found.leaves_out_valves {
        out.push("Other valves stay as they are; what they draw from pump and tank is not part of it.".to_owned());
    }
    out
}

/// A sentence on each aim that is not met.
pub(super) fn missed_words(found: &Found, units: Units) -> Vec<String> {
    found.aims.iter().filter(|a| !a.met).map(|told| sentence(told, units)).collect()
}

/// What is not judged, and what does not repeat itself.
pub(super) fn of_lane(found: &Found, units: Units) -> Vec<String> {
    let mut out = Vec::new();
    for lane in &found.lanes {
        out.extend(lane.not_judged.iter().map(|n| not_judged(&lane.lane, n, units)));
        if !lane.repeats() {
            out.push(format!("{}: {}; its figures are those of the last day run and will go on changing.", lane.lane, lane.told));
        }
    }
    out
}

/// What a rinse from above does on a flood table.
fn rinse_words(found: &Found, units: Units) -> Vec<String> {
    let mut out = Vec::new();
    let rinse = found.events.iter().find(|e| !e.give.is_flood()).filter(|_| found.events.iter().any(|e| e.give.is_flood()));
    if let Some(rinse) = rinse {
        let ec = rinse.ec.unwrap_or(found.feed_ec);
        out.push(format!(
            "A rinse from above at {} with an EC of {} goes with the floods {}: collect what drains.",
            rinse.start,
            Quantity::Ec.text(ec, units),
            rinse.days
        ));
        if !rinse.days.are_all() {
            let each = rinse.days.every;
            out.push(format!(
                "Each aim is judged on all {each} days from one rinse to the next, and told of the day that is furthest from it."
            ));
        }
    }
    let without = found.points.iter().filter(|p| p.rinse_ml == Some(0.0));
    for (place, lane) in found.lanes.iter().enumerate() {
        let aim = found.aims.iter().find(|a| a.lane == lane.lane && a.figure == Figure::RootZoneEc);
        let least = without.clone().filter_map(|p| p.lanes.get(place)).map(|l| l.root_zone_ec).reduce(f64::min);
        if let (Some(aim), Some(least)) = (aim, least)
            && least > aim.aim.1
        {
            let least = Quantity::Ec.text(least, units);
            out.push(format!("{}: without a rinse from above none of those that settled came below {least}.", lane.lane));
        }
    }
    out
}

/// A band of a figure, without its unit.
#[must_use]
pub fn band(figure: Figure, (low, high): Band, units: Units) -> String {
    if high.is_finite() {
        format!("{} to {}", figure.number(low, units), figure.number(high, units))
    } else {
        format!("at least {}", figure.number(low, units))
    }
}

fn sentence(told: &AimTold, units: Units) -> String {
    let (what, unit) = (told.figure.name(), told.figure.unit(units));
    let number = |x: f64| told.figure.number(x, units);
    let ((low, high), aim) = (told.aim, band(told.figure, told.aim, units));
    let Some(value) = told.value else {
        return format!("{}: {what} cannot be told on this day; {aim} {unit} was wanted.", told.lane);
    };
    let (off, side) = if value < low { (low - value, "under") } else { (value - high, "over") };
    let by = match number(off) {
        // What no digit shows.
        none if none.chars().all(|c| matches!(c, '0' | '.')) => "just".to_owned(),
        some => some,
    };
    let alone = match told.reached {
        Some((_, most)) if most < low => format!(" None of those that settled came above {}.", number(most)),
        Some((least, _)) if least > high => format!(" None of those that settled came below {}.", number(least)),
        _ => String::new(),
    };
    format!("{}: {what} is {} {unit}, {by} {side} {aim}.{alone}", told.lane, number(value))
}

/// Where a lane is too salt at the drain that is aimed at: the least EC that it came to with no more drain than that.
fn drain_or_salt(found: &Found, place: usize, lane: &LaneSettled, units: Units) -> Option<String> {
    let aim = |figure: Figure| found.aims.iter().find(|a| a.lane == lane.lane && a.figure == figure);
    let (salt, drain) = (aim(Figure::RootZoneEc)?, aim(Figure::DrainPercent)?);
    let most = drain.aim.1;
    let missed = salt.value? > salt.aim.1 || drain.value? > most;
    let within = found.points.iter().filter_map(|p| p.lanes.get(place)).filter(|l| l.drain_percent.is_some_and(|d| d <= most));
    let least = within.map(|l| l.root_zone_ec).reduce(f64::min).filter(|ec| missed && *ec > salt.aim.1)?;
    Some(format!(
        "{}: with a feed of {} and no more than {} % drain, none of those that settled came below {} in the root zone.",
        lane.lane,
        Quantity::Ec.text(found.feed_ec, units),
        Figure::DrainPercent.number(most, units),
        Quantity::Ec.text(least, units)
    ))
}

fn not_judged(lane: &str, n: &NotJudged, units: Units) -> String {
    let (what, unit) = (n.figure.name(), n.figure.unit(units));
    let why = match n.why {
        Unfit::Floods => "what a flood brings in runs back, and its share says nothing of the root zone".to_owned(),
        Unfit::DriesTooLittle(points) => format!("even a long night dries this container by no more than {points:.1} points"),
        Unfit::Starves => "the plant gets too little to dry the container as it would".to_owned(),
        Unfit::HoldsTooLittle(capacity) => format!("this container holds no more than {:.1} %", 100.0 * capacity),
    };
    format!("{lane}: the target of {what}, {} {unit}, is not judged: {why}.", band(n.figure, n.target, units))
}
