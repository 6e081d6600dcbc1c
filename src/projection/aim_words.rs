//! What a figure is held against, in words: short beside its value, and where it comes from.

use super::origin::Figure;
use crate::engine::column::Column;
use crate::figures::Aim;
use crate::figures::aims::{Aims, Band, From, Unfit};
use crate::scenario::presets::TargetsPreset;
use crate::scenario::{Lane, Targets};
use crate::units::{Quantity, Units};

/// The aim of a figure; `None` for one that no lane aims at.
#[must_use]
pub fn of(aims: &Aims, figure: Figure) -> Option<Aim> {
    match figure {
        Figure::Peak | Figure::OutsideBand => Some(aims.water_content),
        Figure::DryBack => Some(aims.dry_back_points),
        Figure::Drain => Some(aims.drain_percent),
        Figure::RootZoneEc => Some(aims.root_zone_ec),
        Figure::LowestAir => Some(aims.lowest_air),
        Figure::Suction | Figure::Uptake => None,
    }
}

/// Ends of a band as they are shown, and their unit.
fn shown(figure: Figure, (low, high): Band, units: Units) -> (String, &'static str) {
    let quantity = match figure {
        Figure::RootZoneEc => Quantity::Ec,
        Figure::DryBack => Quantity::Plain("pt", 1),
        Figure::Drain => Quantity::Plain("%", 1),
        _ => Quantity::Share,
    };
    let decimals = if figure == Figure::RootZoneEc { quantity.decimals(units) } else { 1 };
    // No more decimals than were set.
    let end = |v: f64| {
        let text = format!("{:.decimals$}", quantity.shown(v, units));
        if decimals == 0 { text } else { text.trim_end_matches('0').trim_end_matches('.').to_owned() }
    };
    let text = if high.is_finite() { format!("{}–{}", end(low), end(high)) } else { format!("≥ {}", end(low)) };
    (text, quantity.unit(units))
}

/// A value with as many decimals as it takes to see on which side of the ends of its aim it is, from a usual number on to two more.
#[must_use]
pub fn beside(value: f64, aim: Option<Band>, decimals: usize) -> String {
    let side = |v: f64| aim.map(|(low, high)| (v >= low, v <= high));
    let tells = |text: &String| text.parse().is_ok_and(|read| side(read) == side(value));
    let texts = (decimals..=decimals + 2).map(|d| format!("{value:.d$}"));
    texts.clone().find(tells).or_else(|| texts.clone().next()).unwrap_or_default()
}

/// What stands beside a value: "aim 5–9". `None` where nothing is aimed for that can be met.
#[must_use]
pub fn short(aims: &Aims, figure: Figure, units: Units) -> Option<String> {
    let band = of(aims, figure)?.band()?;
    Some(format!("aim {}", shown(figure, band, units).0))
}

/// What is aimed for and where that comes from, as a sentence; `None` where nothing is.
#[must_use]
pub fn told(aims: &Aims, figure: Figure, lane: &Lane, column: &Column, presets: &[TargetsPreset], units: Units) -> Option<String> {
    let aim = of(aims, figure)?;
    let text = |band| {
        let (ends, unit) = shown(figure, band, units);
        format!("{ends} {unit}")
    };
    Some(match aim {
        Aim::None => return None,
        Aim::Band(band, From::Targets) => format!("Aim {}: {}.", text(band), whose(&lane.targets, column, presets)),
        Aim::Band(band, From::Container) => format!(
            "Aim {}: no target of water is set, so it follows from container and roots: no less than half of what roots easily have, no more \
            than stays or passes through, nor than leaves them air (judgement).",
            text(band)
        ),
        Aim::Unfit(band, why) => {
            format!("The target {} ({}) is not judged: {}.", text(band), whose(&lane.targets, column, presets), unfit(why))
        }
    })
}

/// Why a target cannot be met.
fn unfit(why: Unfit) -> String {
    match why {
        Unfit::Floods => "what a flood brings in runs back, and its share says nothing of the root zone".to_owned(),
        Unfit::DriesTooLittle(points) => {
            format!("what is used in even a long night, and what drains in this one, dry the container by no more than {points:.1} points")
        }
        Unfit::Starves => "the plant gets too little to dry the container as it would".to_owned(),
        Unfit::HoldsTooLittle(capacity) => format!("this container holds no more than {:.1} %", 100.0 * capacity),
    }
}

/// Whose targets a lane has: of a stage of its crop, of a preset, or its own.
fn whose(targets: &Targets, column: &Column, presets: &[TargetsPreset]) -> String {
    let crop = &column.crop;
    if let Some(stage) = crop.stages.iter().find(|s| s.targets == *targets) {
        return format!("as {}, {}, commonly has it (judgement)", crop.name, stage.name);
    }
    match presets.iter().find(|p| p.targets == *targets) {
        Some(preset) => format!("of the targets \"{}\"", preset.name),
        None => "set under Targets in the setup of this lane".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::EcUnit;

    #[test]
    fn a_value_at_the_end_of_its_aim_tells_on_which_side_it_is() {
        let at = |value| beside(value, Some((1.6, 2.8)), 2);
        assert_eq!([2.0, 2.8, 2.804, 2.8004, 2.800_004, 1.5996].map(at), ["2.00", "2.80", "2.804", "2.8004", "2.80", "1.5996"]);
        assert_eq!(beside(2.804, None, 2), "2.80");
        assert_eq!(beside(3.0, Some((2.6, f64::INFINITY)), 1), "3.0");
    }

    #[test]
    fn bands_are_short() {
        let set = Targets {
            water_content: Some((0.655, 0.8)),
            dry_back_points: Some((5.0, 9.5)),
            drain_percent: Some((10.0, 20.0)),
            root_zone_ec: Some((2.65, 3.4)),
            lowest_air: Some(0.1),
        };
        let aims = Aims::set(&set);
        let said = |figure, units| short(&aims, figure, units).unwrap_or_default();
        let metric = Units::default();
        let figures = [Figure::Peak, Figure::DryBack, Figure::Drain, Figure::RootZoneEc, Figure::LowestAir, Figure::Uptake];
        let all: Vec<String> = figures.into_iter().map(|f| said(f, metric)).collect();
        assert_eq!(all, ["aim 65.5–80", "aim 5–9.5", "aim 10–20", "aim 2.65–3.4", "aim ≥ 10", ""]);
        let ppm = Units { ec: EcUnit::Ppm500, ..metric };
        assert_eq!(said(Figure::RootZoneEc, ppm), "aim 1325–1700");
        let unfit = Aims { drain_percent: Aim::Unfit((10.0, 20.0), Unfit::Floods), ..aims };
        assert_eq!(short(&unfit, Figure::Drain, metric), None);
    }
}
