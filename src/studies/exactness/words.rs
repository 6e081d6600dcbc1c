//! How exact a bench is, in words and figures: the same for the table and the window.

use super::{Apart, Broken, CallsApart, DayApart, Exactness, LaneExactness, aims, instant};
use crate::units::{Quantity, Units};

/// A largest difference as it is listed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// Of what.
    pub what: String,
    /// How much, with its unit.
    pub by: String,
    /// When; empty where there is none.
    pub when: String,
    /// Whether it is within what the default layers and tolerance aim at; `None` where there is no aim.
    pub within_aim: Option<bool>,
}

impl Line {
    /// Whether it is within the aim, in words.
    #[must_use]
    pub fn aim(&self) -> &'static str {
        match self.within_aim {
            Some(true) => "within aim",
            Some(false) => "over aim",
            None => "",
        }
    }
}

/// What is aimed at.
#[must_use]
pub fn aim() -> String {
    format!(
        "Aims: {} points of water ({} while a flood stands and ten minutes after, and around called events), {} % of EC, {} points of uptake.",
        aims::WATER_POINTS,
        aims::MOVING_WATER_POINTS,
        aims::EC_PERCENT,
        aims::UPTAKE_POINTS
    )
}

/// What is held against what.
#[must_use]
pub fn head(exactness: &Exactness) -> String {
    let Exactness { thinner, tighter, .. } = exactness;
    format!("Largest differences from the same bench with layers 1/{thinner} as thick and 1/{tighter} of the tolerance")
}

/// A lane's differences, in the units shown.
#[must_use]
pub fn lines(lane: &LaneExactness, units: Units) -> Vec<Line> {
    let part = match lane.part_water_points.part.as_str() {
        "" => "Water content of a part".to_owned(),
        part => format!("Water content, {part}"),
    };
    let ml = Quantity::Millilitres;
    let uptake = of_day("Uptake met", lane.uptake_points, "points", 1.0);
    vec![
        line("Water content of the container", lane.water_points, "points"),
        line(&part, lane.part_water_points.apart, "points"),
        line("Root-zone EC", lane.ec_percent, "%"),
        Line { within_aim: Some(lane.uptake_points.by <= aims::UPTAKE_POINTS), ..uptake },
        of_day("Drained in a day, per plant", lane.drained_ml, ml.unit(units), ml.shown(1.0, units)),
        of_day("Share drained in a day", lane.drain_points, "points", 1.0),
    ]
}

fn line(what: &str, apart: Apart, unit: &str) -> Line {
    let when = if apart.by > 0.0 { instant(apart.at_s) } else { String::new() };
    Line { what: what.to_owned(), by: format!("{} {unit}", number(apart.by)), when, within_aim: Some(apart.of_aim <= 1.0) }
}

fn of_day(what: &str, apart: DayApart, unit: &str, shown: f64) -> Line {
    let when = if apart.by > 0.0 { format!("day {}", apart.day) } else { String::new() };
    Line { what: what.to_owned(), by: format!("{} {unit}", number(apart.by * shown)), when, within_aim: None }
}

/// A difference with two digits that count.
fn number(by: f64) -> String {
    match by {
        0.0 => "0".to_owned(),
        by if by < 0.001 => "under 0.001".to_owned(),
        by if by < 0.0995 => format!("{by:.3}"),
        by if by < 0.995 => format!("{by:.2}"),
        by if by < 9.95 => format!("{by:.1}"),
        by => format!("{by:.0}"),
    }
}

/// Why a lane's differences are not all there is to say, as a sentence.
#[must_use]
pub fn sentence(broken: &Broken) -> String {
    let text = broken.to_string();
    let mut letters = text.chars();
    let first: String = letters.next().into_iter().flat_map(char::to_uppercase).collect();
    format!("{first}{}.", letters.as_str())
}

/// How events differ that a probe or a tank has a say in.
#[must_use]
pub fn calls(calls: &CallsApart) -> String {
    let DayApart { by, day } = calls.shifted_s;
    let shifted = match by {
        0.0 => "called events begin at the same times".to_owned(),
        by if by < 60.0 => format!("called events begin up to {by:.0} s apart (day {day})"),
        by => format!("called events begin up to {} min apart (day {day})", number(by / 60.0)),
    };
    match calls.other_number {
        None => format!("From run to run {shifted}."),
        Some((day, own, finer)) => {
            format!("On day {day} there are {own} events and {finer} in the finer run; on days with as many, {shifted}.")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::VolumeUnit;

    fn lane() -> LaneExactness {
        LaneExactness {
            lane: "Slab".to_owned(),
            layers: 10,
            finer_layers: 40,
            water_points: Apart { by: 0.0234, at_s: 86_400.0 + 12.0 * 3600.0 + 61.0, of_aim: 0.234 },
            part_water_points: super::super::PartApart { part: "block".to_owned(), apart: Apart { by: 0.3, at_s: 0.0, of_aim: 0.6 } },
            ec_percent: Apart { by: 1.72, at_s: 3600.0, of_aim: 3.44 },
            uptake_points: DayApart { by: 0.25, day: 2 },
            drained_ml: DayApart { by: 29.574, day: 1 },
            drain_points: DayApart { by: 0.0, day: 1 },
            broken: None,
        }
    }

    #[test]
    fn each_difference_is_told_with_its_unit_its_time_and_whether_it_is_within_the_aim() {
        let told: Vec<String> =
            lines(&lane(), Units::default()).iter().map(|l| format!("{}|{}|{}|{}", l.what, l.by, l.when, l.aim())).collect();
        assert_eq!(
            told,
            [
                "Water content of the container|0.023 points|12:01, day 2|within aim",
                "Water content, block|0.30 points|00:00, day 1|within aim",
                "Root-zone EC|1.7 %|01:00, day 1|over aim",
                "Uptake met|0.25 points|day 2|over aim",
                "Drained in a day, per plant|30 mL|day 1|",
                "Share drained in a day|0 points||",
            ]
        );
        let us = Units { volume: VolumeUnit::Us, ..Units::default() };
        assert_eq!(lines(&lane(), us)[4].by, "1.0 fl oz");
    }

    #[test]
    fn numbers_have_two_digits_that_count() {
        let told = [0.0, 0.0004, 0.0996, 0.09949, 0.996, 9.96, 123.4].map(number);
        assert_eq!(told, ["0", "under 0.001", "0.10", "0.099", "1.0", "10", "123"]);
    }

    #[test]
    fn called_events_are_told_by_their_shift_or_by_their_number() {
        let apart = |by, other_number| calls(&CallsApart { shifted_s: DayApart { by, day: 3 }, other_number });
        assert_eq!(apart(0.0, None), "From run to run called events begin at the same times.");
        assert_eq!(apart(84.0, None), "From run to run called events begin up to 1.4 min apart (day 3).");
        assert!(
            apart(7.0, Some((2, 11, 12))).starts_with("On day 2 there are 11 events and 12 in the finer run; on days with as many, called")
        );
    }
}
