//! When drain began and what it was, and how the last event stands to the end of the light.

use super::around::Day;
use crate::figures::day::DayFigures;
use crate::scenario::{Clock, DAY_S, Event};
use crate::units::{Quantity, Units};

/// Of what was given, drain below this share is hardly any, and below the second none (judgement).
const HARDLY: f64 = 0.005;
const NONE: f64 = 0.0005;
/// What was left from before is told beside the day's own drain from this share of what was given on (judgement): the track shows it.
const LEFT: f64 = 0.01;
/// An event that ends so near to lights out ends with them, minutes.
const WITH_THE_LIGHT: f64 = 0.5;

/// What became of the water of a day's events.
pub(super) fn sentence(figures: &DayFigures, day: &Day<'_>, units: Units) -> String {
    let Some(last) = day.events.last() else { return nothing_given(figures, units) };
    let became = if day.floods() { flooded(figures, units) } else { drained(figures, day.events, units) };
    let which = if day.events.len() == 1 { "only" } else { "last" };
    format!("{became}; the {which} event ends {}.", ending(last, &day.lit))
}

fn nothing_given(figures: &DayFigures, units: Units) -> String {
    if figures.drained_ml > 1.0 {
        let left = Quantity::Millilitres.text(figures.drained_ml, units);
        return format!("No water is given today; {left} that was left from before drained.");
    }
    "No water is given today.".to_owned()
}

fn flooded(figures: &DayFigures, units: Units) -> String {
    if figures.applied_ml < 0.5 {
        return "The floods bring no water in".to_owned();
    }
    let volume = |ml: f64| Quantity::Millilitres.text(ml, units);
    let (rose, ran) = (volume(figures.applied_ml), volume(figures.drained_ml));
    format!("{rose} a plant came in by flood and {ran} ran out again")
}

fn drained(figures: &DayFigures, events: &[Event], units: Units) -> String {
    let began = |own: usize| format!("with the {} event, at {}", ordinal(own + 1), minute(events[own].start_s()));
    let left = (figures.drained_first_ml >= (LEFT * figures.applied_ml).max(1.0))
        .then(|| format!("{} left from before drained first", Quantity::Millilitres.text(figures.drained_first_ml, units)));
    let through = figures.ran_through_from.map(|i| format!("Water runs straight through from the {} event on", ordinal(i + 1)));
    match (figures.drain_began_with, through) {
        (Some(own), Some(through)) if figures.ran_through_from.is_some_and(|i| i < own) => {
            let left = left.map_or_else(String::new, |left| format!("{left}. "));
            format!("{left}{through}; the root zone itself drains from the {} on, at {}", ordinal(own + 1), minute(events[own].start_s()))
        }
        (Some(own), _) => match left {
            Some(left) => format!("{left}; the day's own drain began {}", began(own)),
            None => format!("Drain began {}", began(own)),
        },
        (None, Some(_)) if figures.channelled_ml > (1.0 - HARDLY) * figures.drained_ml => {
            "All that drained ran straight through the medium".to_owned()
        }
        (None, Some(through)) => format!("{through}; the rest of the drain was left from before"),
        (None, None) if figures.drained_ml <= NONE * figures.applied_ml => "Nothing drained".to_owned(),
        (None, None) if figures.drained_ml < HARDLY * figures.applied_ml => "Hardly anything drained".to_owned(),
        (None, None) => "Only what was left from before drained".to_owned(),
    }
}

/// What rules call for begins at any second: nobody wants to be told which.
fn minute(second: f64) -> Clock {
    Clock::from_hours(second.div_euclid(60.0) / 60.0)
}

/// How the last event stands to the light.
fn ending(last: &Event, lit: &[(f64, f64)]) -> String {
    let ends = last.end_s();
    let plain = || format!("at {}", minute(ends.rem_euclid(DAY_S)));
    let (Some((on, _)), Some((_, off))) = (lit.first(), lit.last()) else { return format!("{}, on a dark day", plain()) };
    let before_dark = (off - ends) / 60.0;
    if *off >= DAY_S {
        // It burns on past midnight.
        plain()
    } else if ends <= *on {
        "before lights on".to_owned()
    } else if before_dark.abs() < WITH_THE_LIGHT {
        "at lights out".to_owned()
    } else if before_dark < 0.0 {
        "after lights out".to_owned()
    } else if before_dark < 90.0 {
        format!("{before_dark:.0} min before lights out")
    } else {
        format!("{:.1} h before lights out", before_dark / 60.0)
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

    #[test]
    fn the_last_event_stands_to_the_light_as_it_does() {
        let event = |hour, minute| Event::drip(Clock::hm(hour, minute), 5, 100.0);
        let at = |h: f64| h * 3600.0;
        let day = [(at(6.0), at(12.0)), (at(13.0), at(20.0))];
        let told = |e: &Event, lit: &[(f64, f64)]| ending(e, lit);
        assert_eq!(told(&event(4, 0), &day), "before lights on");
        assert_eq!(told(&event(19, 0), &day), "55 min before lights out");
        assert_eq!(told(&event(12, 25), &day), "7.5 h before lights out");
        assert_eq!(told(&event(20, 0), &day), "after lights out");
        assert_eq!(told(&event(19, 55), &day), "at lights out");
        assert_eq!(told(&event(9, 0), &[(at(18.0), at(24.0))]), "at 09:05");
        assert_eq!(told(&event(9, 0), &[]), "at 09:05, on a dark day");
    }

    #[test]
    fn ordinals() {
        let words: Vec<_> = [1, 2, 3, 4, 11, 12, 13, 21, 102, 111].into_iter().map(ordinal).collect();
        assert_eq!(words, ["1st", "2nd", "3rd", "4th", "11th", "12th", "13th", "21st", "102nd", "111th"]);
    }
}
