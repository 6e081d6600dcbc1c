//! The tables of answers: a row for each thing that was found, units in the head. A field without a value is empty; numbers are those of the
//! whole answer, digit by digit.

use std::io;

use crate::scenario::{Event, Give};
use crate::studies::choose::{Point, missed};
use crate::studies::compare::Comparison;
use crate::studies::compare::differences::text;
use crate::studies::compare::schedules::PlanComparison;
use crate::studies::finder::Found;
use crate::studies::flush::{LaneFlush, Rinsed};
use crate::studies::grace::LaneGrace;
use crate::studies::spread::Spread;
use crate::studies::told::FIGURES;

/// A table.
pub struct Table {
    head: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Table {
    fn of(head: &[&str]) -> Self {
        Self { head: head.iter().map(|name| (*name).to_owned()).collect(), rows: Vec::new() }
    }

    /// As CSV.
    ///
    /// # Errors
    /// What the writer says.
    pub fn csv(&self) -> io::Result<Vec<u8>> {
        let mut csv = csv::Writer::from_writer(Vec::new());
        for row in std::iter::once(&self.head).chain(&self.rows) {
            csv.write_record(row).map_err(io::Error::other)?;
        }
        csv.into_inner().map_err(|e| io::Error::other(e.to_string()))
    }
}

/// A number, or nothing.
fn cell<T: ToString>(value: Option<T>) -> String {
    value.map_or_else(String::new, |v| v.to_string())
}

/// A row for each event of the schedule proposed.
#[must_use]
pub fn schedule(found: &Found) -> Table {
    let mut table = Table::of(&["valve", "event", "start", "duration_s", "drip_ml_per_plant", "flood_depth_cm", "feed_ec_ms_cm"]);
    for (i, event) in found.events.iter().enumerate() {
        let (ml, depth) = match event.give {
            Give::Drip { ml } => (Some(ml), None),
            Give::Flood { depth_cm } => (None, Some(depth_cm)),
        };
        let (start, ec) = (event.start.to_string(), event.ec.unwrap_or(found.feed_ec));
        let (valve, number) = (found.valve.to_string(), (i + 1).to_string());
        table.rows.push(vec![valve, number, start, event.seconds.to_string(), cell(ml), cell(depth), ec.to_string()]);
    }
    table
}

/// A row for each lane, fault and hour of the day; hours are counted from the fault.
#[must_use]
pub fn grace(lanes: &[LaneGrace]) -> Table {
    let mut table = Table::of(&["lane", "fault", "hour", "hours_to_90", "hours_to_50", "hours_to_dry", "hours_to_airless"]);
    for lane in lanes {
        for g in &lane.grace {
            let fault = serde_json::to_value(g.fault).ok().and_then(|v| v.as_str().map(str::to_owned)).unwrap_or_default();
            let hours = [g.hours_to_90, g.hours_to_50, g.hours_to_dry, g.hours_to_airless].map(cell);
            table.rows.push([lane.name.clone(), fault, g.hour.to_string()].into_iter().chain(hours).collect());
        }
    }
    table
}

/// A row for each lane and way of rinsing.
#[must_use]
pub fn flush(lanes: &[LaneFlush]) -> Table {
    let mut table = Table::of(&[
        "lane",
        "way",
        "start_ec_ms_cm",
        "litres_per_plant",
        "litres_for_all",
        "drained_litres_per_plant",
        "events",
        "hours",
        "final_ec_ms_cm",
        "reached",
        "plug_flow_litres_per_plant",
        "well_mixed_litres_per_plant",
    ]);
    for lane in lanes {
        let ways: [(&str, Option<&Rinsed>); 2] = [("from_above", Some(&lane.from_above)), ("by_flooding", lane.by_flooding.as_ref())];
        for (way, done) in ways.into_iter().filter_map(|(way, done)| Some((way, done?))) {
            table.rows.push(vec![
                lane.name.clone(),
                way.to_owned(),
                lane.start_ec.to_string(),
                done.litres_per_plant.to_string(),
                done.litres_for_all.to_string(),
                done.drained_per_plant.to_string(),
                done.events.to_string(),
                done.hours.to_string(),
                done.final_ec.to_string(),
                done.reached.to_string(),
                lane.plug_flow_litres.to_string(),
                lane.well_mixed_litres.to_string(),
            ]);
        }
    }
    table
}

/// A row for each lane and figure.
#[must_use]
pub fn spread(found: &Spread) -> Table {
    let mut table = Table::of(&["lane", "figure", "unit", "as_it_stands", "p10", "p50", "p90", "chance_of_aim"]);
    for lane in &found.lanes {
        for figure in &FIGURES {
            let Some(band) = lane.bands.get(figure.key) else { continue };
            let (stands, chance) = (lane.as_it_stands.get(figure.key), aim_of(figure.key).and_then(|aim| lane.chance.get(aim)));
            let [low, half, high] = band.map(|v| v.to_string());
            let named = [lane.name.clone(), figure.key.to_owned(), figure.unit.to_owned(), cell(stands)];
            table.rows.push(named.into_iter().chain([low, half, high, cell(chance)]).collect());
        }
    }
    table
}

/// The aim that a figure is held against.
fn aim_of(figure: &str) -> Option<&'static str> {
    Some(match figure {
        "peak" => "water_content",
        "dry_back_points" => "dry_back_points",
        "drain_fraction" => "drain_percent",
        "root_zone_ec" => "root_zone_ec",
        "lowest_air" => "lowest_air",
        "uptake_met" => "uptake_met",
        _ => return None,
    })
}

/// A row for each root zone.
#[must_use]
pub fn choice(points: &[Point]) -> Table {
    let mut table = Table::of(&[
        "medium",
        "litres_per_plant",
        "height_cm",
        "met",
        "events_a_day",
        "feed_ec_ms_cm",
        "grace_h",
        "worst_hour",
        "dry_back_points",
        "dry_back_reach_points",
        "given_litres_per_plant_and_day",
        "drained_litres_per_plant_and_day",
        "ec_ms_cm",
        "ec_swing_ms_cm",
        "uptake_met",
        "weight_kg_per_plant",
        "missed",
    ]);
    for p in points {
        let had = &p.had;
        table.rows.push(vec![
            p.medium.clone(),
            p.litres.to_string(),
            p.height_cm.to_string(),
            p.met.to_string(),
            cell(had.events_a_day),
            cell(had.feed_ec),
            cell(had.grace_h),
            cell(had.worst_hour),
            cell(had.dry_back_points),
            cell(had.dry_back_reach_points),
            cell(had.given_l),
            cell(had.drained_l),
            cell(had.ec),
            cell(had.ec_swing),
            cell(had.uptake_met),
            cell(had.weight_kg),
            if p.met { String::new() } else { missed(p) },
        ]);
    }
    table
}

/// A row for each thing that differs in setup and schedule, and for each figure and aim of a lane; a column for each bench.
#[must_use]
pub fn compare(found: &Comparison) -> Table {
    let mut table = Table::of(&["part", "lane", "what", "unit"]);
    table.head.extend(found.files.iter().cloned());
    let mut row = |named: [&str; 4], cells: Vec<String>| {
        table.rows.push(named.into_iter().map(str::to_owned).chain(cells).collect());
    };
    let plain = |v: &serde_json::Value| if v.is_null() { String::new() } else { text(v) };
    for d in &found.setup {
        let named = ["setup", d.lane.as_deref().unwrap_or_default(), &d.field, d.unit.unwrap_or_default()];
        row(named, d.values.iter().map(plain).collect());
    }
    for plan in &found.schedule {
        for (what, unit, cells) in plan_rows(plan) {
            row(["schedule", "", &format!("valve {} from day {}: {what}", plan.valve, plan.from_day), unit], cells);
        }
        for rule in &plan.rules {
            let what = format!("valve {} from day {}: {}", plan.valve, plan.from_day, rule.field);
            row(["schedule", "", &what, ""], rule.values.iter().map(plain).collect());
        }
    }
    for lane in &found.lanes {
        let name = lane.names.iter().flatten().next().map_or("", String::as_str);
        for figure in &FIGURES {
            let Some(values) = lane.figures.get(figure.key).filter(|v| v.iter().any(Option::is_some)) else { continue };
            row(["figure", name, figure.key, figure.unit], values.iter().map(|v| cell(*v)).collect());
        }
        for (aim, words) in &lane.words {
            row(["aim", name, aim, ""], words.iter().map(|w| cell(*w)).collect());
        }
    }
    table
}

/// What a valve's plans come to, and what begins at each time at which they differ.
fn plan_rows(plan: &PlanComparison) -> Vec<(String, &'static str, Vec<String>)> {
    let sums = &plan.plans;
    let mut rows = vec![
        ("events a day".to_owned(), "", sums.iter().map(|p| p.events.to_string()).collect()),
        ("dripped a day".to_owned(), "mL per plant", sums.iter().map(|p| p.drip_ml.to_string()).collect()),
        ("first".to_owned(), "", sums.iter().map(|p| cell(p.first)).collect()),
        ("last".to_owned(), "", sums.iter().map(|p| cell(p.last)).collect()),
    ];
    for event in &plan.events {
        rows.push((format!("at {}", event.start), "", event.events.iter().map(|e| cell(e.map(given))).collect()));
    }
    rows
}

/// What an event gives.
#[must_use]
pub fn given(event: Event) -> String {
    let what = match event.give {
        Give::Drip { ml } => format!("{ml} mL"),
        Give::Flood { depth_cm } => format!("{depth_cm} cm flood"),
    };
    let ec = event.ec.map_or_else(String::new, |ec| format!(", EC {ec}"));
    let days = if event.days.are_all() { String::new() } else { format!(", {}", event.days) };
    format!("{what} in {} s{ec}{days}", event.seconds)
}
