//! What the strip says: in its heads, its cells, its tooltips and to AccessKit.

use super::strip::Line;
use crate::app::pages::bench::figures::rows::{self, Listed};
use crate::app::state::bench::Bench;
use crate::app::state::patience::LONGEST;
use crate::app::state::settling::Why;
use crate::engine::run::Settled;
use crate::figures::verdict::Mood;
use crate::projection::Projection;
use crate::projection::day_summary::DaySummary;
use crate::projection::settled::told;
use crate::scenario::DayLight;
use crate::units::{Quantity, Units};

/// From this use on it is told in litres or gallons, mL per plant and day.
const LITRES_FROM_ML: f64 = 1000.0;

/// What use is told in: one unit for all days.
#[derive(Clone, Copy, Debug)]
pub struct Used {
    litres: bool,
}

impl Used {
    /// For the bench: by the lane that uses most over the run.
    pub fn of(bench: &Bench) -> Self {
        let run = bench.plain();
        #[allow(clippy::cast_precision_loss)]
        let a_day = |l: &crate::engine::run::LaneRun| l.ledger().water.taken_up / l.days().max(1) as f64;
        Self { litres: run.run.lanes.iter().map(a_day).fold(0.0, f64::max) >= LITRES_FROM_ML }
    }

    fn quantity(self) -> Quantity {
        if self.litres { Quantity::Litres } else { Quantity::Millilitres }
    }

    /// A use in mL per plant as a bare number.
    pub fn number(self, ml: f64, units: Units) -> String {
        let quantity = self.quantity();
        let decimals = quantity.decimals(units);
        format!("{:.decimals$}", quantity.shown(if self.litres { ml / 1000.0 } else { ml }, units))
    }
}

/// What the lines of light, use and drain are.
pub fn heads(bench: &Bench) -> [String; 3] {
    let light = match bench.plain().scenario.day_light(0) {
        DayLight::Shortwave(_) => "Light, MJ",
        DayLight::Photons(_) => "Light, mol",
        DayLight::Hours(_) => "Light, h",
    };
    [light.to_owned(), format!("Use, {}", Used::of(bench).quantity().unit(bench.units)), "Drain, %".to_owned()]
}

/// A day's light as a bare number.
pub fn light(light: DayLight) -> String {
    let (DayLight::Shortwave(x) | DayLight::Photons(x) | DayLight::Hours(x)) = light;
    format!("{x:.1}")
}

/// A share drained as a bare number of percent. A small one has a tenth: "10" beside "drain low" would puzzle.
pub fn drained(share: f64) -> String {
    let percent = 100.0 * share;
    let decimals = usize::from((0.05..9.95).contains(&percent));
    format!("{percent:.decimals$}")
}

/// A day's light with its unit.
fn light_told(light: DayLight) -> String {
    match light {
        DayLight::Shortwave(mj) => format!("Light {mj:.1} MJ/m² of shortwave"),
        DayLight::Photons(mol) => format!("Light {mol:.1} mol/m² (daily light integral)"),
        DayLight::Hours(h) => format!("Light for {h:.1} h"),
    }
}

/// What is in the tank at the end of a day of the run, and what it was filled up with.
pub fn tank(bench: &Bench, day: usize, days: usize) -> Option<String> {
    if day >= days {
        return None;
    }
    let tank = bench.plain().run.timetable()?.tank.as_ref()?.days.get(day)?;
    let litres = |l: f64| Quantity::Litres.text(l, bench.units);
    let ec = Quantity::Ec.text(tank.ec, bench.units);
    Some(format!("Tank that night {}, EC {ec}; refilled {}", litres(tank.litres), litres(tank.refilled)))
}

/// The settled day, or what is to be said instead.
pub fn settled(bench: &Bench) -> Result<&Projection, String> {
    if bench.is_trying() {
        return Err("found once you let go".to_owned());
    }
    if let Some(found) = bench.settled() {
        return Ok(found);
    }
    Err(match (bench.settling_failed(), bench.settling_given_up()) {
        _ if !bench.plain().troubles.is_empty() => "not to be found as the bench stands".to_owned(),
        (Some(_), _) => "could not be found".to_owned(),
        (None, Some(Why::Cancelled)) => "given up: click to find it".to_owned(),
        (None, Some(Why::TookLong)) => format!("not found within {} s: click to look on", LONGEST.as_secs()),
        (None, None) => "Settling…".to_owned(),
    })
}

/// When each lane settles, or that one does not; `narrow` in fewer words.
pub fn when(found: &Projection, per_lane: bool, narrow: bool) -> Line {
    let lanes = found.settled.as_deref().unwrap_or_default();
    let days: Vec<Option<u32>> = lanes.iter().map(|s| if let Settled::OnDay(day) = s { Some(*day) } else { None }).collect();
    if per_lane {
        return Line::Lanes(days.iter().map(|d| d.map_or_else(|| "not".to_owned(), |d| format!("~day {d}"))).collect());
    }
    let (least, most) = (days.iter().flatten().min(), days.iter().flatten().max());
    Line::One(match (least, most) {
        _ if days.contains(&None) => if days.len() > 1 { "not all do" } else { "does not" }.to_owned(),
        (Some(a), Some(b)) if a != b => format!("~{a} – {b}"),
        (Some(a), _) if narrow => format!("~day {a}"),
        (Some(a), _) => format!("from ~day {a}"),
        _ => String::new(),
    })
}

fn summary(bench: &Bench, place: usize, days: usize) -> Option<&DaySummary> {
    if place < days { bench.plain().day_summary(place) } else { settled(bench).ok()?.day_summary(0) }
}

/// Whether another schedule begins on a day, from 0.
pub fn begins(bench: &Bench, day: usize) -> bool {
    let scenario = &bench.plain().scenario;
    day > 0 && (0..scenario.valves.len()).any(|valve| scenario.plan_begins(scenario.plan_on(valve, day)) == day)
}

/// What a cell is called: the day, and what it is worth.
pub fn title(bench: &Bench, place: usize, days: usize) -> String {
    let mut name = if place < days { format!("Day {} of {days}", place + 1) } else { "The settled day".to_owned() };
    if place < days && begins(bench, place) {
        name.push_str(", on which another schedule begins");
    }
    let Some(summary) = summary(bench, place, days) else { return name };
    let state = summary.state.words(bench.plain().scenario.lanes.len(), bench.units);
    match summary.state.mood() {
        Mood::Good => format!("{name}, good: {state}"),
        Mood::Attention => format!("{name}, attention: {state}"),
        Mood::Plain => format!("{name}: {state}"),
    }
}

/// What stands under a day's name: its light; of the settled day, when lanes settle or why it is not known.
pub fn under(bench: &Bench, place: usize, days: usize) -> Option<String> {
    if place < days {
        return summary(bench, place, days).map(|s| light_told(s.light));
    }
    Some(match settled(bench) {
        Ok(found) => told(found),
        Err(why) => why,
    })
}

/// All figures of a day: lanes across, figures down.
#[derive(Debug, Default)]
pub struct Table {
    /// Each lane's name.
    pub lanes: Vec<String>,
    /// Each figure's name and its value per lane, with its state in words.
    pub rows: Vec<(&'static str, Vec<String>)>,
}

/// All figures of a day; without rows where nothing is known.
pub fn table(bench: &Bench, place: usize, days: usize) -> Table {
    let mut table = Table::default();
    let Some(summary) = summary(bench, place, days) else { return table };
    let scenario = &bench.plain().scenario;
    let runs = if place < days { &bench.plain().run.lanes } else { &settled(bench).map_or(bench.plain(), |s| s).run.lanes };
    for (index, ((lane, report), run)) in scenario.lanes.iter().zip(&summary.reports).zip(runs).enumerate() {
        table.lanes.push(format!("Lane {}", index + 1));
        let listed = |report| Listed { lane, run, report, settled: None, presets: &bench.library().targets };
        let lines = report.as_ref().map(|r| rows::lines(&listed(r), bench.units)).unwrap_or_default();
        for (name, value) in lines {
            let row = match table.rows.iter().position(|r| r.0 == name) {
                Some(row) => row,
                None => {
                    table.rows.push((name, Vec::new()));
                    table.rows.len() - 1
                }
            };
            // Lanes that stopped before have none.
            table.rows[row].1.resize(index, "–".to_owned());
            table.rows[row].1.push(value);
        }
    }
    table
}

/// Everything about a day as one text.
pub fn all(bench: &Bench, place: usize, days: usize) -> String {
    let mut text = under(bench, place, days).unwrap_or_default();
    if let Some(tank) = tank(bench, place, days) {
        text.push_str(&format!("; {tank}"));
    }
    let table = table(bench, place, days);
    for (index, lane) in table.lanes.iter().enumerate() {
        let of = |row: &(&str, Vec<String>)| row.1.get(index).map(|value| format!("{} {value}", row.0.trim_start_matches("– ")));
        let figures: Vec<String> = table.rows.iter().filter_map(of).collect();
        text.push_str(&format!("; {lane}: {}", figures.join(", ")));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::drained;

    #[test]
    fn a_drain_just_below_ten_percent_is_not_told_as_ten() {
        assert_eq!([0.0, 0.0004, 0.0801, 0.0993, 0.1004, 0.125].map(drained), ["0", "0", "8.0", "9.9", "10", "12"]);
    }
}
