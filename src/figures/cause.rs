//! Sentences of cause: why the day's figures are what they are.

use super::day::DayFigures;
use crate::scenario::{Event, Lane, Light};

/// Salt gained or lost in a day that is worth a sentence, mS/cm (judgement).
const SALT_DRIFT: f64 = 0.08;

/// What a grower would want to be told about a day, most telling first; two sentences at most.
#[must_use]
pub fn sentences(figures: &DayFigures, lane: &Lane, schedule: &[Event], light: &Light) -> Vec<String> {
    let mut out = Vec::new();
    if figures.uptake_met < 0.98 {
        let why = if figures.highest_suction_kpa > 6.0 {
            "the root zone runs dry"
        } else if figures.lowest_air < lane.targets.lowest_air.unwrap_or(0.10) {
            "the roots lack air"
        } else {
            "salt holds the roots back"
        };
        out.push(format!("The plant gets {:.0} % of what it asks for: {why}.", 100.0 * figures.uptake_met));
    }
    if figures.overflow_ml > 1.0 {
        out.push(format!("{:.0} mL ran down the outside: the top cannot take events this fast.", figures.overflow_ml));
    }
    out.push(drain_sentence(figures, schedule, light));
    if figures.root_zone_ec_change > SALT_DRIFT && figures.drain_fraction.is_some() {
        out.push(format!("Salt gains {:.1} mS/cm a day: too little drains to carry it out.", figures.root_zone_ec_change));
    } else if figures.root_zone_ec_change < -SALT_DRIFT {
        out.push(format!(
            "Salt falls by {:.1} mS/cm a day: the drain carries out more than the feed brings.",
            -figures.root_zone_ec_change
        ));
    }
    out.truncate(2);
    out
}

fn drain_sentence(figures: &DayFigures, schedule: &[Event], light: &Light) -> String {
    let Some(last) = schedule.last() else {
        return "No event today: the root zone only dries.".to_owned();
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
        Some(i) => format!("Drain began with the {} event, at {}; {ending}.", ordinal(i + 1), schedule[i].start),
        None if figures.drained_ml > 1.0 => format!("Only channelled water drained; {ending}."),
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
    use super::ordinal;

    #[test]
    fn ordinals() {
        let words: Vec<_> = [1, 2, 3, 4, 11, 12, 13, 21, 102, 111].into_iter().map(ordinal).collect();
        assert_eq!(words, ["1st", "2nd", "3rd", "4th", "11th", "12th", "13th", "21st", "102nd", "111th"]);
    }
}
