//! What becomes of the root zone's EC in a day, and why: by the day's own balance of salt and of water.

use crate::figures::day::DayFigures;
use crate::units::{Quantity, Units};

/// Change of EC in a day that is worth a sentence, mS/cm (judgement).
const DRIFT: f64 = 0.08;
/// A second reason is told where it moves the EC at least this share of what the first one does (judgement).
const CLOSE: f64 = 0.6;
/// Drain below this share of what was given is little where no aim says so, percent (common practice, no source).
const LITTLE_DRAIN: f64 = 10.0;
/// What is given is called stronger than the root zone where it is so by this share (judgement).
const STRONGER: f64 = 0.05;

/// What moves the EC of a root zone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Moves {
    /// More or less salt is there than at the day's beginning.
    Salt,
    /// The same salt stands in less or in more water.
    Water,
    /// Salt moved to or from where the roots are.
    Place,
}

/// What moved the EC of a day and by how much, mS/cm: salt, water, and place within the root zone. Together they are the day's change.
///
/// EC is the salt there is, over the water that holds it and what the medium holds as water would, times how much stronger it is where the
/// roots are. Each is laid its share of the change of the logarithm; between no salt and some it is salt alone.
#[must_use]
pub fn moved(figures: &DayFigures) -> [(Moves, f64); 3] {
    let [before, after] = figures.root_zone_ec_ends;
    let change = after - before;
    let ([water, waters], [salt, salts]) = (figures.water_held_ml, figures.salt_held);
    let log = |a: f64, b: f64| if a > 1e-9 && b > 1e-9 { Some((b / a).ln()) } else { None };
    let logs = log(before, after).zip(log(salt, salts)).zip(log(water + figures.held_by_medium_ml, waters + figures.held_by_medium_ml));
    let Some(((whole, by_salt), thicker)) = logs else {
        return [(Moves::Salt, change), (Moves::Water, 0.0), (Moves::Place, 0.0)];
    };
    let per = if whole.abs() > 1e-12 { change / whole } else { before };
    [(Moves::Salt, per * by_salt), (Moves::Water, -per * thicker), (Moves::Place, per * (whole - by_salt + thicker))]
}

/// What moved the EC most the way it went, and what came close to that if anything did; `None` where it hardly moved.
#[must_use]
pub fn reasons(figures: &DayFigures) -> Option<(Moves, Option<Moves>)> {
    let change = figures.root_zone_ec_change;
    if change.abs() <= DRIFT {
        return None;
    }
    let mut all = moved(figures).map(|(what, by)| (what, by * change.signum()));
    all.sort_by(|a, b| b.1.total_cmp(&a.1));
    let [(first, most), (second, next), _] = all;
    Some((first, (next >= CLOSE * most).then_some(second)))
}

/// What becomes of the EC, and why; `little` is the share of drain, percent, below which an aim calls it low.
pub(super) fn sentence(figures: &DayFigures, little: Option<f64>, floods: bool, units: Units) -> Option<String> {
    let (first, second) = reasons(figures)?;
    let rises = figures.root_zone_ec_change > 0.0;
    let why = |what| match (what, rises) {
        (Moves::Salt, true) => gains(figures, little.unwrap_or(LITTLE_DRAIN), floods),
        (Moves::Salt, false) => loses(figures, floods).to_owned(),
        (Moves::Water, true) => "the root zone ends the day with less water, which concentrates its salt".to_owned(),
        (Moves::Water, false) => "the root zone ends the day with more water, which thins its salt".to_owned(),
        (Moves::Place, true) => "salt gathers where the roots are".to_owned(),
        (Moves::Place, false) => "salt moves away from where the roots are".to_owned(),
    };
    let both = second.map_or_else(String::new, |second| format!(", and {}", why(second)));
    let amount = Quantity::Ec.text(figures.root_zone_ec_change.abs(), units);
    let verb = if rises { "rises" } else { "falls" };
    Some(format!("Root-zone EC {verb} by {amount} in the day: {}{both}.", why(first)))
}

/// Why there is more salt than at the day's beginning.
fn gains(figures: &DayFigures, little: f64, floods: bool) -> String {
    if figures.given_ec.is_some_and(|given| given > (1.0 + STRONGER) * figures.root_zone_ec) {
        return "what is given is stronger than what stands there".to_owned();
    }
    if floods {
        return "the floods bring more salt than plants and what runs back take away".to_owned();
    }
    let brings = "more salt comes than plant and drain take away";
    // Drain carries out what is stronger than what is given, and only by the way through the root zone.
    if figures.given_ec.is_none_or(|given| figures.root_zone_ec < (1.0 + STRONGER) * given) {
        return brings.to_owned();
    }
    let past = figures.channelled_ml + figures.overflow_ml;
    let percent = 100.0 * (figures.drained_ml - past) / figures.applied_ml;
    let way = if past > 0.5 { " through the root zone" } else { "" };
    if percent < 0.5 {
        format!("{brings}, for nothing drains{way} to carry it out")
    } else if percent < little {
        format!("{brings}, for only {percent:.0} % drains{way}")
    } else {
        brings.to_owned()
    }
}

/// Why there is less.
fn loses(figures: &DayFigures, floods: bool) -> &'static str {
    match (figures.applied_ml > 0.0, figures.drained_ml > 1.0) {
        (true, true) if floods => "plants and what runs back take away more salt than the floods bring",
        (true, true) => "plant and drain take away more salt than comes",
        (true, false) => "the plant takes up more salt than comes",
        (false, true) => "plant and drain take salt away and none comes",
        (false, false) => "the plant takes up salt and none comes",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::run::run_scenario;
    use crate::figures::day_figures;
    use crate::scenario::presets::{Library, demos};
    use crate::units::EcUnit;

    /// A day of the first demo whose EC rose by 0.4 from 4 mS/cm, as water and salt of the test's making have it.
    fn day(water_held_ml: [f64; 2], salt_held: [f64; 2]) -> DayFigures {
        let (library, scenario) = (Library::shipped(), demos().remove(0).1);
        let run = run_scenario(&scenario, &library).unwrap();
        let figures = day_figures(&run.lanes[0], &scenario.lanes[0], 2).unwrap();
        DayFigures {
            root_zone_ec: 4.2,
            root_zone_ec_ends: [4.0, 4.4],
            root_zone_ec_change: 0.4,
            given_ec: Some(2.0),
            applied_ml: 1000.0,
            drained_ml: 50.0,
            channelled_ml: 0.0,
            overflow_ml: 0.0,
            water_held_ml,
            salt_held,
            held_by_medium_ml: 0.0,
            ..figures
        }
    }

    fn said(figures: &DayFigures) -> String {
        sentence(figures, Some(10.0), false, Units::default()).unwrap()
    }

    #[test]
    fn the_three_add_up_to_the_change() {
        for (water, salt) in [([1000.0, 900.0], [4000.0, 3900.0]), ([1000.0, 1100.0], [4000.0, 4400.0]), ([5.0, 5.0], [0.0, 4.0])] {
            let sum: f64 = moved(&day(water, salt)).iter().map(|m| m.1).sum();
            assert!((sum - 0.4).abs() < 1e-12, "{sum}");
        }
        assert_eq!(moved(&day([5.0, 5.0], [0.0, 4.0]))[1..], [(Moves::Water, 0.0), (Moves::Place, 0.0)]);
    }

    #[test]
    fn salt_water_and_place_are_told_apart() {
        assert_eq!(reasons(&day([1000.0, 1000.0], [4000.0, 4400.0])), Some((Moves::Salt, None)));
        assert_eq!(reasons(&day([1100.0, 1000.0], [4400.0, 4400.0])), Some((Moves::Water, None)));
        assert_eq!(reasons(&day([1000.0, 1000.0], [4000.0, 4000.0])), Some((Moves::Place, None)));
        assert_eq!(reasons(&day([1050.0, 1000.0], [4200.0, 4400.0])), Some((Moves::Water, Some(Moves::Salt))));
        // Salt that is held as by 9,000 mL of water is hardly thickened by the loss of 100.
        let buffered = DayFigures { held_by_medium_ml: 9000.0, ..day([1100.0, 1000.0], [40_400.0, 44_000.0]) };
        assert_eq!(reasons(&buffered), Some((Moves::Salt, None)));
        assert_eq!(reasons(&DayFigures { root_zone_ec_change: 0.08, ..buffered }), None);
    }

    #[test]
    fn salt_is_only_laid_to_a_small_drain_where_more_would_carry_it_out() {
        let f = day([1000.0, 1000.0], [4000.0, 4400.0]);
        assert!(said(&f).contains("only 5 % drains."), "{}", said(&f));
        assert!(!said(&DayFigures { drained_ml: 150.0, ..f.clone() }).contains("only"));
        assert!(said(&DayFigures { channelled_ml: 48.0, ..f.clone() }).contains("nothing drains through the root zone"));
        assert!(said(&DayFigures { given_ec: Some(5.0), ..f.clone() }).contains("what is given is stronger"));
        assert!(said(&DayFigures { given_ec: Some(4.2), ..f }).ends_with("plant and drain take away."));
    }

    #[test]
    fn amounts_are_told_in_the_units_asked_for() {
        let units = Units { ec: EcUnit::Ppm500, ..Units::default() };
        let told = sentence(&day([1000.0, 1000.0], [4000.0, 4400.0]), None, false, units).unwrap();
        assert!(told.starts_with("Root-zone EC rises by 200 ppm (500) in the day: more salt comes"), "{told}");
    }
}
