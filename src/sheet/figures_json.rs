//! The figures of every day as JSON, with the unit of every key.

use std::io::Write;

use serde::Serialize;
use serde_json::{Value, json};

use super::{Export, settled_words};
use crate::engine::run::ledger::Closure;
use crate::engine::run::{Failed, LaneRun, Settled};
use crate::engine::step::lost::Lost;
use crate::engine::supply::tank::TankDay;
use crate::figures::verdict::Verdicts;
use crate::figures::zone::{ZoneDay, zone_day};
use crate::figures::{Aim, Aims, Lean};
use crate::projection::{LaneReport, Projection};
use crate::scenario::{Lane, Scenario};
use crate::studies::exactness::Exactness;
use crate::units::Units;

/// The whole document.
#[derive(Serialize)]
struct Document<'a> {
    program: &'static str,
    version: &'static str,
    scenario: &'a str,
    note: &'a str,
    days: u32,
    units: Value,
    /// No more than rounding is missing in any lane.
    closed: bool,
    closure: Closure,
    zone: Vec<Zone>,
    lanes: Vec<LaneFigures<'a>>,
    /// The largest differences from a finer run, where they were asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    refined: Option<&'a Exactness>,
}

/// All plants of all lanes on a day, and the tank at its end.
#[derive(Serialize)]
struct Zone {
    day: usize,
    #[serde(flatten)]
    litres: ZoneDay,
    tank: Option<TankDay>,
}

#[derive(Serialize)]
struct LaneFigures<'a> {
    lane: &'a str,
    valve: &'a str,
    plants: u32,
    volume_per_plant_ml: f64,
    settled_on_day: Option<u32>,
    settled: Option<String>,
    /// Days after which what settled begins anew: those of a climate log, else one.
    settled_round_days: Option<usize>,
    stopped: Option<String>,
    closed: bool,
    closure: Closure,
    steps: u64,
    days: Vec<Day>,
}

#[derive(Serialize)]
struct Day {
    /// From 1, as on screen.
    day: usize,
    figures: Value,
    /// What the figures are held against.
    aims: Value,
    verdicts: Verdicts,
    lean: Lean,
    lean_word: &'static str,
    causes: Vec<String>,
    /// What of the figures is beyond belief.
    remarks: Vec<String>,
    /// What the plant asked for and did not get, by what kept it from that.
    uptake_lost_ml: Lost,
    /// Events of its valve that came later than set, or not at all, because the pump was busy.
    events_waited: usize,
    /// Events of its valve of which the pump could not give as much as was set.
    events_cut: usize,
}

/// Writes the figures of every lane and day, and whether each lane's day repeats itself.
///
/// # Errors
/// What the writer says.
pub fn write(mut out: impl Write, export: &Export<'_>) -> std::io::Result<()> {
    let projection = export.projection;
    let (scenario, run) = (&*projection.scenario, &projection.run);
    let closure = run.closure();
    let document = Document {
        program: env!("CARGO_PKG_NAME"),
        version: env!("CARGO_PKG_VERSION"),
        scenario: &scenario.name,
        note: &scenario.note,
        days: scenario.days,
        units: units(),
        closed: closure.closes(),
        closure,
        zone: (0..scenario.days as usize).map(|day| zone(projection, day)).collect(),
        lanes: projection.lanes().map(|(i, lane, run)| lane_figures(scenario, lane, run, export.settled.get(i))).collect(),
        refined: export.refined,
    };
    serde_json::to_writer_pretty(&mut out, &document)?;
    out.write_all(b"\n")?;
    out.flush()
}

fn zone(projection: &Projection, day: usize) -> Zone {
    let tank = projection.run.timetable().and_then(|t| t.tank.as_ref()?.days.get(day).copied());
    Zone { day: day + 1, litres: zone_day(&projection.scenario, &projection.run, day), tank }
}

fn lane_figures<'a>(scenario: &'a Scenario, lane: &'a Lane, run: &LaneRun, settled: Option<&Result<Settled, Failed>>) -> LaneFigures<'a> {
    let closure = run.closure();
    let day = |d: usize| {
        let report = LaneReport::of(scenario, lane, run, d)?;
        let mut value = serde_json::to_value(&report.figures).ok()?;
        // Days are counted from 1 outside the program; what was lost stands beside the sentences that speak of it.
        let all = value.as_object_mut()?;
        all.remove("day");
        all.remove("uptake_lost_ml");
        all.insert("hours_outside_band".to_owned(), json!(report.hours_outside_band));
        let pump = run.timetable.day(d);
        Some(Day {
            day: d + 1,
            figures: value,
            remarks: report.remarks.iter().map(|remark| remark.words(Units::default())).collect(),
            causes: report.causes(scenario, lane, run, Units::default()),
            uptake_lost_ml: report.figures.uptake_lost_ml,
            aims: aims(&report.aims),
            verdicts: report.verdicts,
            lean_word: report.lean.word(),
            lean: report.lean,
            events_waited: pump.map_or(0, |p| p.waited()),
            events_cut: pump.map_or(0, |p| p.cut()),
        })
    };
    LaneFigures {
        lane: &lane.name,
        valve: scenario.valves.get(lane.valve).map_or("", |v| v.name.as_str()),
        plants: lane.plants,
        volume_per_plant_ml: run.column.volume,
        settled_on_day: match settled {
            Some(Ok(Settled::OnDay(day))) => Some(*day),
            _ => None,
        },
        settled: settled.map(settled_words),
        settled_round_days: settled.map(|_| scenario.round_days()),
        stopped: run.error.as_ref().map(ToString::to_string),
        closed: closure.closes(),
        closure,
        steps: run.stats.steps,
        days: (0..run.days()).filter_map(day).collect(),
    }
}

/// What is aimed for: `[low, high]`, or `[low]` of what is only to be reached; a target that cannot be met here is told as such.
fn aims(aims: &Aims) -> Value {
    let ends = |(low, high): (f64, f64)| if high.is_finite() { json!([low, high]) } else { json!([low]) };
    let one = |aim: Aim| match aim {
        Aim::None => Value::Null,
        Aim::Band(band, from) => json!({ "band": ends(band), "from": from }),
        Aim::Unfit(band, why) => json!({ "target": ends(band), "not_judged": why }),
    };
    json!({
        "water_content": one(aims.water_content),
        "dry_back_points": one(aims.dry_back_points),
        "drain_percent": one(aims.drain_percent),
        "root_zone_ec": one(aims.root_zone_ec),
        "lowest_air": one(aims.lowest_air),
    })
}

/// The unit of every key that a day's figures have.
fn units() -> Value {
    UNITS.iter().map(|(key, unit)| ((*key).to_owned(), Value::from(*unit))).collect::<serde_json::Map<_, _>>().into()
}

const UNITS: &[(&str, &str)] = &[
    ("container_capacity", "m3/m3"),
    ("peak", "m3/m3"),
    ("peak_at_s", "s since the first midnight"),
    ("lowest", "m3/m3"),
    ("dry_back.points", "points of volume (percent)"),
    ("dry_back.percent_of_peak", "percent"),
    ("dry_back.from", "m3/m3"),
    ("dry_back.from_s", "s since the first midnight"),
    ("dry_back.to", "m3/m3"),
    ("dry_back.to_s", "s since the first midnight"),
    ("applied_ml", "mL per plant and day"),
    ("drained_ml", "mL per plant and day"),
    ("overflow_ml", "mL per plant and day"),
    ("channelled_ml", "mL per plant and day"),
    ("taken_up_ml", "mL per plant and day"),
    ("evaporated_ml", "mL per plant and day"),
    ("drain_fraction", "share, 0 to 1"),
    ("drain_ec", "mS/cm at 25 degC"),
    ("root_zone_ec", "mS/cm at 25 degC"),
    ("felt_ec", "mS/cm at 25 degC, mean of the layers by root share"),
    ("root_zone_ec_change", "mS/cm from midnight to midnight"),
    ("lowest_air", "m3/m3, root-weighted"),
    ("lowest_air_at_s", "s since the first midnight"),
    ("highest_suction_kpa", "kPa"),
    ("uptake_met", "share, 0 to 1"),
    (
        "uptake_lost_ml",
        "mL per plant and day that the plant asked for and did not get, to too little water, too little air and too much \
            salt: together demand less uptake",
    ),
    ("hours_outside_band", "h"),
    ("drain_began_with", "index among the events of its day, from 0, of the one that the root zone's own drain began with"),
    ("drained_first_ml", "mL per plant that drained before the first event of the day"),
    ("ran_through_from", "index likewise of the first event of which water ran straight through"),
    ("given_ec", "mS/cm at 25 degC"),
    ("root_zone_ec_ends", "mS/cm at 25 degC at the day's beginning and end"),
    ("water_held_ml", "mL per plant at the day's beginning and end"),
    ("salt_held", "mS/cm x mL per plant at the day's beginning and end, with what the medium's exchange holds"),
    ("held_by_medium_ml", "mL of water per plant that would hold as much salt as the medium's exchange"),
    ("lean.sum", "-1 vegetative to +1 generative; null where there is no lean to tell, lean.why says why"),
    (
        "aims",
        "water_content and lowest_air m3/m3, dry_back_points points of volume, drain_percent percent, root_zone_ec mS/cm at 25 degC; \
            null where nothing is aimed for",
    ),
    ("volume_per_plant_ml", "mL"),
    ("zone", "L a day for all plants of all lanes"),
    ("zone.tank", "L a day, litres in it and mS/cm at the end of the day, events that fell short"),
    (
        "refined.lanes",
        "largest differences: points of water content, percent of EC, points of a day's uptake met, mL per plant and day, \
            points of a day's share drained; at_s in s since the first midnight, day from 1",
    ),
    ("refined.calls", "s between called events; day, events, and events in the finer run where their numbers differ"),
    ("closure", "share of all water or salt handled that is missing or too much; closed: no more than 1e-9, else the run failed"),
];
