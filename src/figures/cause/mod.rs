//! Sentences of cause: why the day's figures are what they are.

pub mod uptake;

use super::day::DayFigures;
use crate::scenario::{Clock, Crop, Event, Lane, Light};
use crate::units::{Quantity, Units};

/// Salt gained or lost in a day that is worth a sentence, mS/cm (judgement).
const SALT_DRIFT: f64 = 0.08;

/// Share of what drained that must have run straight through to be called so (judgement).
const MOSTLY: f64 = 0.5;
/// Drain below this share of what was given, percent, is little where no target says so (common practice).
const LITTLE_DRAIN: f64 = 10.0;

/// What a grower would want to be told about a day, most telling first, in the units asked for; two sentences at most. `short`: events
/// that the tank fell short of.
#[must_use]
pub fn sentences(
    figures: &DayFigures,
    (lane, crop): (&Lane, &Crop),
    (schedule, short): (&[Event], u32),
    light: &Light,
    units: Units,
) -> Vec<String> {
    let mut out: Vec<String> = tank_sentence(short).into_iter().collect();
    out.extend(uptake::sentence(figures, crop));
    if figures.overflow_ml > 1.0 {
        let overflow = Quantity::Millilitres.text(figures.overflow_ml, units);
        out.push(format!("{overflow} ran down the outside: the top cannot take events this fast."));
    }
    out.push(drain_sentence(figures, schedule, light));
    out.extend(salt_sentence(figures, lane, units));
    out.truncate(2);
    out
}

/// That the tank ran empty, if it did.
#[must_use]
pub fn tank_sentence(short: u32) -> Option<String> {
    let events = match short {
        0 => return None,
        1 => "1 event got".to_owned(),
        n => format!("{n} events got"),
    };
    Some(format!("The tank ran empty: {events} less than asked for, or nothing."))
}

/// What becomes of the salt, and why as far as the day's own balance tells.
fn salt_sentence(figures: &DayFigures, lane: &Lane, units: Units) -> Option<String> {
    let change = figures.root_zone_ec_change;
    if change.abs() <= SALT_DRIFT {
        return None;
    }
    // The same salt in less or more water: how far that alone moves the EC.
    let stored = figures.applied_ml - figures.drained_ml - figures.taken_up_ml - figures.evaporated_ml;
    let held = (figures.peak * lane.container.volume_per_plant_ml()).max(1.0);
    let by_water = -figures.root_zone_ec * stored / held;
    let of_water = by_water * change > 0.0 && by_water.abs() > MOSTLY * change.abs();
    let drained = figures.drain_fraction.map_or(0.0, |d| 100.0 * d);
    let little = lane.targets.drain_percent.map_or(LITTLE_DRAIN, |band| band.0);
    let amount = Quantity::Ec.text(change.abs(), units);
    if change > 0.0 {
        let why = if of_water {
            "the root zone ends the day with less water, and its salt gathers in that"
        } else if figures.channelled_ml > MOSTLY * figures.drained_ml && figures.drained_ml > 1.0 {
            "most of what drains runs straight through and not through the root zone"
        } else if drained < little {
            "too little drains to carry it out"
        } else {
            "the feed brings more than plant and drain take away"
        };
        return Some(format!("Salt gains {amount} a day: {why}."));
    }
    let why = if of_water {
        "the root zone ends the day with more water, which thins it"
    } else if figures.drained_ml > 1.0 {
        "plant and drain take away more than the feed brings"
    } else {
        "the plant takes up more than the feed brings"
    };
    Some(format!("Salt falls by {amount} a day: {why}."))
}

fn drain_sentence(figures: &DayFigures, schedule: &[Event], light: &Light) -> String {
    let Some(last) = schedule.last() else {
        return "No water today: the root zone only dries.".to_owned();
    };
    let before_dark = (light.off.seconds() - last.end_s()) / 60.0;
    let ending = if before_dark < 0.0 {
        "the last event ends after lights out".to_owned()
    } else if before_dark < 90.0 {
        format!("the last event ends {before_dark:.0} min before lights out")
    } else {
        format!("the last event ends {:.1} h before lights out", before_dark / 60.0)
    };
    match figures.drain_began_with {
        Some(i) => {
            // What rules call for begins at any second: nobody wants to be told which.
            let minute = Clock::from_hours(schedule[i].start.seconds().div_euclid(60.0) / 60.0);
            format!("Drain began with the {} event, at {minute}; {ending}.", ordinal(i + 1))
        }
        None if figures.drained_ml > 1.0 && figures.channelled_ml > MOSTLY * figures.drained_ml => {
            format!("The water that drained ran straight through; {ending}.")
        }
        None if figures.drained_ml > 1.0 => format!("Only what was left from the day before drained; {ending}."),
        None => format!("Nothing drained; {ending}."),
    }
}

/// 1st, 2nd, 3rd, 4th …
fn ordinal(n: usize) -> String {
    let ending = match (n % 10, n % 100) {
        (1, t) if t != 11 => "st",
        (2, t) if t != 12 => "nd",
        (3, t) if t != 13 => "rd",
        _ => "th",
    };
    format!("{n}{ending}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::run::run_scenario;
    use crate::figures::day_figures;
    use crate::scenario::presets::{Library, demos};

    /// A lane of the first demo and its last day, to be changed by the test.
    fn day() -> (DayFigures, Lane) {
        let (library, scenario) = (Library::shipped(), demos().remove(0).1);
        let run = run_scenario(&scenario, &library).unwrap();
        let lane = scenario.lanes[0].clone();
        let mut figures = day_figures(&run.lanes[0], &lane, 2).unwrap();
        figures.root_zone_ec_change = 0.3;
        // A day that ends as wet as it began, whose drain runs through the medium.
        figures.drained_ml = figures.applied_ml - figures.taken_up_ml - figures.evaporated_ml;
        figures.channelled_ml = 0.0;
        (figures, lane)
    }

    fn salt(figures: &DayFigures, lane: &Lane) -> String {
        salt_sentence(figures, lane, Units::default()).unwrap()
    }

    #[test]
    fn salt_is_only_laid_to_a_small_drain_when_the_drain_is_small() {
        let (mut f, mut lane) = day();
        lane.targets.drain_percent = Some((10.0, 20.0));
        f.drain_fraction = Some(0.05);
        assert!(salt(&f, &lane).contains("too little drains"), "{}", salt(&f, &lane));
        f.drain_fraction = Some(0.15);
        assert!(salt(&f, &lane).contains("the feed brings more than plant and drain"), "{}", salt(&f, &lane));
        lane.targets.drain_percent = None;
        assert!(!salt(&f, &lane).contains("too little"), "15 % is not little without a target either");
        f.channelled_ml = 0.8 * f.drained_ml;
        assert!(salt(&f, &lane).contains("runs straight through"), "{}", salt(&f, &lane));
    }

    #[test]
    fn salt_gathers_in_less_water_and_is_thinned_by_more() {
        let (mut f, lane) = day();
        f.drained_ml += 800.0;
        assert!(salt(&f, &lane).contains("ends the day with less water"), "{}", salt(&f, &lane));
        f.drained_ml -= 1600.0;
        f.root_zone_ec_change = -0.3;
        assert!(salt(&f, &lane).contains("ends the day with more water"), "{}", salt(&f, &lane));
        let (mut f, lane) = day();
        f.root_zone_ec_change = -0.3;
        assert!(salt(&f, &lane).contains("plant and drain take away more"), "{}", salt(&f, &lane));
        f.root_zone_ec_change = 0.05;
        assert!(salt_sentence(&f, &lane, Units::default()).is_none());
    }

    #[test]
    fn amounts_are_told_in_the_units_asked_for() {
        let (f, lane) = day();
        let units = Units { ec: crate::units::EcUnit::Ppm500, ..Units::default() };
        assert!(salt_sentence(&f, &lane, units).unwrap().contains("150 ppm a day"));
    }

    #[test]
    fn water_that_ran_straight_through_is_told_from_what_was_left() {
        let (mut f, _) = day();
        let scenario = demos().remove(0).1;
        f.drain_began_with = None;
        f.channelled_ml = f.drained_ml;
        let words = |f: &DayFigures| drain_sentence(f, &scenario.schedule, &scenario.light);
        assert!(words(&f).starts_with("The water that drained ran straight through;"));
        f.channelled_ml = 0.0;
        assert!(words(&f).starts_with("Only what was left from the day before drained;"));
    }

    #[test]
    fn an_empty_tank_is_told_first() {
        let (f, lane) = day();
        let (schedule, light) = (demos().remove(0).1.schedule, demos().remove(0).1.light);
        let crop = Library::shipped().crops[0].clone();
        let told = |short| sentences(&f, (&lane, &crop), (&schedule, short), &light, Units::default());
        assert!(!told(0).iter().any(|s| s.contains("tank")), "{:?}", told(0));
        assert_eq!(told(1)[0], "The tank ran empty: 1 event got less than asked for, or nothing.");
        assert_eq!((told(7)[0].as_str(), told(7).len()), ("The tank ran empty: 7 events got less than asked for, or nothing.", 2));
    }

    #[test]
    fn ordinals() {
        let words: Vec<_> = [1, 2, 3, 4, 11, 12, 13, 21, 102, 111].into_iter().map(ordinal).collect();
        assert_eq!(words, ["1st", "2nd", "3rd", "4th", "11th", "12th", "13th", "21st", "102nd", "111th"]);
    }
}
