//! The figures of a lane's day as rows: values, aims, states and what each is.

use crate::engine::run::{LaneRun, Settled};
use crate::figures::Aim;
use crate::figures::marks::WELL_SERVED;
use crate::figures::verdict::{Mood, Verdict, Verdicts};
use crate::projection::origin::Figure;
use crate::projection::{LaneReport, aim_words};
use crate::scenario::Lane;
use crate::scenario::presets::TargetsPreset;
use crate::units::{CM_PER_KPA, EcUnit, Quantity, Units, signed};

/// A figure as it is listed.
pub struct Row {
    /// What it is called.
    pub name: &'static str,
    /// Its value with its unit.
    pub value: String,
    /// What it is held against, short.
    pub aim: Option<String>,
    /// Its state in words.
    pub state: String,
    /// What that is worth.
    pub mood: Mood,
    /// What it is, and where its aim comes from.
    pub hover: String,
    /// Whether its place on the tracks can be shown.
    pub figure: Option<Figure>,
}

/// A lane whose figures are listed.
pub struct Listed<'a> {
    /// As it is described.
    pub lane: &'a Lane,
    /// As it ran.
    pub run: &'a LaneRun,
    /// Its day.
    pub report: &'a LaneReport,
    /// The day that it comes to under the same schedule, where that is known, and whether it repeats itself.
    pub settled: Option<(&'a LaneReport, Settled)>,
    /// Targets that a lane may have by name.
    pub presets: &'a [TargetsPreset],
}

fn percent(x: f64) -> String {
    format!("{:.1} %", 100.0 * x)
}

fn or_none(text: Option<String>) -> String {
    text.unwrap_or_else(|| "none".to_owned())
}

/// The value of a figure that targets speak of, in what is shown, with its unit: that it is within its aim or not is to be seen.
fn value(report: &LaneReport, figure: Figure, units: Units) -> String {
    let f = &report.figures;
    let band = aim_words::of(&report.aims, figure).and_then(Aim::band);
    let scaled = |by: fn(f64, Units) -> f64| band.map(|(low, high)| (by(low, units), by(high, units)));
    let share = |x: f64| format!("{} %", aim_words::beside(100.0 * x, scaled(|v, _| 100.0 * v), 1));
    match figure {
        Figure::Peak => share(f.peak),
        Figure::DryBack => or_none(f.dry_back.map(|d| format!("{} pt", aim_words::beside(d.points, band, 1)))),
        Figure::Drain => or_none(f.drain_fraction.map(|d| format!("{} %", aim_words::beside(100.0 * d, band, 1)))),
        Figure::RootZoneEc => {
            let (value, aim) = (Quantity::Ec.shown(f.root_zone_ec, units), scaled(|v, units| Quantity::Ec.shown(v, units)));
            let number = aim_words::beside(value, aim, Quantity::Ec.decimals(units));
            if units.ec == EcUnit::MsCm { number } else { format!("{number} {}", Quantity::Ec.unit(units)) }
        }
        Figure::LowestAir => share(f.lowest_air),
        Figure::Suction | Figure::Uptake | Figure::OutsideBand => {
            format!("{} %", aim_words::beside(100.0 * f.uptake_met, Some((100.0 * WELL_SERVED, f64::INFINITY)), 1))
        }
    }
}

fn verdict(v: &Verdicts, figure: Figure) -> Verdict {
    match figure {
        Figure::Peak => v.peak,
        Figure::DryBack => v.dry_back,
        Figure::Drain => v.drain,
        Figure::RootZoneEc => v.root_zone_ec,
        Figure::LowestAir => v.lowest_air,
        Figure::Suction | Figure::Uptake | Figure::OutsideBand => v.uptake_met,
    }
}

/// The state of a figure: what it is today, and where it is as it should be today but not once the day repeats itself, what it comes to then.
fn state(listed: &Listed<'_>, figure: Figure, units: Units) -> (String, Mood) {
    let now = verdict(&listed.report.verdicts, figure);
    let breaks = |(report, _): &(&LaneReport, Settled)| now.mood == Mood::Good && verdict(&report.verdicts, figure).mood == Mood::Attention;
    if let Some((report, settled)) = listed.settled.filter(breaks) {
        let text = value(report, figure, units);
        let number = text.split(' ').next().unwrap_or_default();
        let text = match settled {
            Settled::OnDay(_) => format!("settles at {number}"),
            Settled::NotWithin(days) => format!("{number} by day {days}"),
        };
        return (text, Mood::Attention);
    }
    let has_aim = || aim_words::of(&listed.report.aims, figure).and_then(Aim::band).is_some();
    let word = match now.word {
        // The day has no such figure.
        "" if has_aim() => "not judged",
        "" => "no aim",
        word => word,
    };
    (word.to_owned(), now.mood)
}

/// The figures that targets speak of, and uptake.
pub fn judged(listed: &Listed<'_>, units: Units) -> Vec<Row> {
    let ec = format!("{} at 25 °C as it could be sampled there, weighted by roots, mean of the day", Quantity::Ec.unit(units));
    let row = |name, figure, what: &str| {
        let (state, mood) = state(listed, figure, units);
        let aims = &listed.report.aims;
        let aim = aim_words::told(aims, figure, listed.lane, &listed.run.column, listed.presets, units);
        let hover = aim.map_or_else(|| what.to_owned(), |aim| format!("{what}. {}", aim.trim_end_matches('.')));
        let (value, aim) = (value(listed.report, figure, units), aim_words::short(aims, figure, units));
        Row { name, value, aim, state, mood, hover, figure: Some(figure) }
    };
    vec![
        row("Peak water", Figure::Peak, "Highest water content of the day, percent of the container's volume"),
        row("Night dry-back", Figure::DryBack, "From the last peak of the day to the next morning's first event, points of volume"),
        row("Drain", Figure::Drain, "Share of the water given that drained"),
        row("Root-zone EC", Figure::RootZoneEc, &ec),
        row("Lowest air", Figure::LowestAir, "Least air around the roots during the day, percent of volume"),
        row("Uptake met", Figure::Uptake, "Share of what the plant asks for that it gets"),
    ]
}

/// An EC: mS/cm go without saying, ppm does not.
fn bare_ec(ec: f64, units: Units) -> String {
    if units.ec == EcUnit::MsCm { format!("{ec:.2}") } else { Quantity::Ec.text(ec, units) }
}

/// All other figures of the day, on demand.
pub fn further(report: &LaneReport, units: Units) -> Vec<Row> {
    let f = &report.figures;
    let row = |name, value, figure, hover: &str| Row {
        name,
        value,
        aim: None,
        state: String::new(),
        mood: Mood::Plain,
        hover: hover.to_owned(),
        figure,
    };
    let volume = |x: f64| Quantity::Millilitres.text(x, units);
    let each = |what: &str| format!("{what}, {} per plant", Quantity::Millilitres.unit(units));
    let ec = |what: &str| format!("{what}, {}", Quantity::Ec.unit(units));
    let outside = or_none(report.hours_outside_band.map(|h| format!("{h:.1} h")));
    let drain_ec = or_none(f.drain_ec.map(|ec| bare_ec(ec, units)));
    let ec_change = signed(Quantity::Ec.difference(f.root_zone_ec_change, units), Quantity::Ec.decimals(units));
    let ec_change = if units.ec == EcUnit::MsCm { ec_change } else { format!("{ec_change} {}", Quantity::Ec.unit(units)) };
    let felt = ec(
        "Mean of the layers by root share, what salt stress goes by: a few nearly dry layers can drive it up where hardly any water could be sampled",
    );
    let suction = Quantity::Head.text(-CM_PER_KPA * f.highest_suction_kpa, units);
    vec![
        row("Container capacity", percent(f.container_capacity), None, "What stays after soaking and draining, percent of volume"),
        row("Lowest water", percent(f.lowest), None, "Lowest water content of the day, percent of volume"),
        row("Outside band", outside, Some(Figure::OutsideBand), "Hours with the water content outside the band that is aimed for"),
        row("Drain EC", drain_ec, Some(Figure::Drain), &ec("EC of all that drained, weighted by flow")),
        row("EC change", ec_change, Some(Figure::RootZoneEc), &ec("Root-zone EC from midnight to midnight")),
        row("EC the roots feel", bare_ec(f.felt_ec, units), None, &felt),
        row("Highest suction", suction, Some(Figure::Suction), "How hard roots pull at the worst moment"),
        row("Applied", volume(f.applied_ml), None, &each("Water given in the day")),
        row("Drained", volume(f.drained_ml), Some(Figure::Drain), &each("All that left as drain")),
        row("– overflow", volume(f.overflow_ml), None, &each("Found no way in and ran down the outside")),
        row("– straight through", volume(f.channelled_ml), None, &each("Ran through the medium without wetting it")),
        row("Taken up", volume(f.taken_up_ml), None, &each("Taken up by roots")),
        row("Evaporated", volume(f.evaporated_ml), None, &each("Evaporated from open surfaces")),
    ]
}

/// All figures of a lane's day in the order of the panel: name and value with its state in words.
pub fn lines(listed: &Listed<'_>, units: Units) -> Vec<(&'static str, String)> {
    let line = |row: Row| {
        let value = if row.mood == Mood::Plain { row.value } else { format!("{} {}", row.value, row.state) };
        (row.name, value)
    };
    judged(listed, units).into_iter().chain(further(listed.report, units)).map(line).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::run::run_scenario;
    use crate::figures::verdicts;
    use crate::scenario::presets::{Library, demos};

    #[test]
    fn what_is_in_range_and_does_not_stay_so_is_not_good() {
        let (library, mut scenario) = (Library::shipped(), demos().remove(0).1);
        scenario.lanes[0].targets.root_zone_ec = Some((1.0, 4.0));
        let run = run_scenario(&scenario, &library).unwrap().lanes.remove(0);
        let lane = &scenario.lanes[0];
        let of = |ec: f64| {
            let mut report = LaneReport::of(&scenario, lane, &run, 0).unwrap();
            report.figures.root_zone_ec = ec;
            report.verdicts = verdicts(&report.figures, &report.aims);
            report
        };
        let told = |now: f64, then: Option<(f64, Settled)>| {
            let (report, settled) = (of(now), then.map(|(ec, when)| (of(ec), when)));
            let settled = settled.as_ref().map(|(report, when)| (report, *when));
            let listed = Listed { lane, run: &run, report: &report, settled, presets: &library.targets };
            let row = judged(&listed, Units::default()).into_iter().find(|r| r.figure == Some(Figure::RootZoneEc)).unwrap();
            format!("{}, {} {} {:?}", row.value, row.aim.unwrap(), row.state, row.mood)
        };
        let on = Settled::OnDay(40);
        assert_eq!(told(2.0, None), "2.00, aim 1–4 in range Good");
        assert_eq!(told(2.0, Some((4.0, on))), "2.00, aim 1–4 in range Good", "the end of a band belongs to it");
        assert_eq!(told(2.0, Some((11.4, on))), "2.00, aim 1–4 settles at 11.40 Attention");
        assert_eq!(told(4.0, Some((4.0004, on))), "4.00, aim 1–4 settles at 4.0004 Attention", "it is seen to be past it");
        assert_eq!(told(2.0, Some((0.5, Settled::NotWithin(366)))), "2.00, aim 1–4 0.50 by day 366 Attention");
        assert_eq!(told(5.0, Some((11.4, on))), "5.00, aim 1–4 high Attention", "what is off today says so");
        assert_eq!(told(5.0, Some((2.0, on))), "5.00, aim 1–4 high Attention");
    }
}
