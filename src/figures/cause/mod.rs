//! Sentences of cause: why the day's figures are what they are.

pub mod around;
pub mod drain;
pub mod salt;
pub mod uptake;

pub use self::around::Day;
use super::day::DayFigures;
use crate::scenario::{Crop, Lane};
use crate::units::{Quantity, Units};

/// What a grower would want to be told about a day, most telling first, in the units asked for; two sentences at most.
#[must_use]
pub fn sentences(figures: &DayFigures, (lane, crop): (&Lane, &Crop), day: &Day<'_>, units: Units) -> Vec<String> {
    let mut out: Vec<String> = tank_sentence(day.short).into_iter().collect();
    out.extend(uptake::sentence(figures, crop));
    if figures.overflow_ml > 1.0 {
        let overflow = Quantity::Millilitres.text(figures.overflow_ml, units);
        out.push(format!("{overflow} ran down the outside: the top cannot take events this fast."));
    }
    out.push(drain::sentence(figures, day, units));
    out.extend(salt_sentence(figures, lane, day, units));
    out.truncate(2);
    out
}

/// What becomes of the root zone's EC and why; `None` where it hardly moves.
#[must_use]
pub fn salt_sentence(figures: &DayFigures, lane: &Lane, day: &Day<'_>, units: Units) -> Option<String> {
    salt::sentence(figures, lane.targets.drain_percent.map(|aim| aim.0), day.floods(), units)
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::run::run_scenario;
    use crate::figures::day_figures;
    use crate::scenario::presets::{Library, demos};

    #[test]
    fn an_empty_tank_is_told_first() {
        let (library, scenario) = (Library::shipped(), demos().remove(0).1);
        let run = run_scenario(&scenario, &library).unwrap();
        let (lane, crop) = (&scenario.lanes[0], &run.lanes[0].column.crop);
        let figures = day_figures(&run.lanes[0], lane, 2).unwrap();
        let told = |short| {
            sentences(&figures, (lane, crop), &Day { events: &scenario.valves[0].schedule, short, lit: scenario.lit(2) }, Units::default())
        };
        assert!(!told(0).iter().any(|s| s.contains("tank")), "{:?}", told(0));
        assert_eq!(told(1)[0], "The tank ran empty: 1 event got less than asked for, or nothing.");
        assert_eq!((told(7)[0].as_str(), told(7).len()), ("The tank ran empty: 7 events got less than asked for, or nothing.", 2));
    }
}
