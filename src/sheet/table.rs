//! The figures of one day as a table that reads well in a terminal.

use std::fmt::Write as _;
use std::io::{self, Write};

use super::{Export, settled_words};
use crate::engine::run::LaneRun;
use crate::engine::run::ledger::CLOSES_TO;
use crate::engine::run::series::Sample;
use crate::figures::verdict::{Mood, Verdict};
use crate::figures::zone::zone_day;
use crate::projection::{LaneReport, Projection};
use crate::scenario::{Clock, DAY_S, Lane, Scenario};
use crate::studies::exactness::{Exactness, words};
use crate::units::Units;

/// Lanes side by side; more go into tables below.
const ABREAST: usize = 3;
const LABEL_WIDTH: usize = 25;
const UNIT_WIDTH: usize = 7;
const CELL_WIDTH: usize = 24;
/// What a difference is of.
const DIFFERENCE_WIDTH: usize = 44;
/// Days told one by one.
const MOST_DAYS: usize = 14;

/// Writes the figures of the last day that each lane reached, what they are worth and why, and how the run closed.
///
/// # Errors
/// What the writer says.
pub fn write(mut out: impl Write, export: &Export<'_>) -> io::Result<()> {
    let projection = export.projection;
    let (scenario, run) = (&*projection.scenario, &projection.run);
    writeln!(out, "{}", scenario.name)?;
    if !scenario.note.is_empty() {
        writeln!(out, "{}", scenario.note.trim())?;
    }
    let lanes: Vec<_> = projection.lanes().map(|(_, lane, run)| Told::new(scenario, lane, run)).collect();
    for group in lanes.chunks(ABREAST) {
        writeln!(out)?;
        for line in side_by_side(group) {
            writeln!(out, "{}", line.trim_end())?;
        }
    }
    writeln!(out)?;
    for (i, lane) in lanes.iter().enumerate() {
        if let Some(why) = &lane.unclosed {
            writeln!(out, "{}: FAILED, {why}", lane.lane.name)?;
        }
        writeln!(out, "{}: {}", lane.lane.name, lane.story)?;
        if let Some(settled) = export.settled.get(i) {
            let round = scenario.round_days();
            let whose = if scenario.round_of_events() == 1 { "the log's " } else { "" };
            let repeats =
                if round > 1 { format!("Round after round of {whose}{round} days") } else { "Day after day like this".to_owned() };
            writeln!(out, "  {repeats}: {}.", settled_words(settled))?;
        }
    }
    writeln!(out)?;
    whole_zone(&mut out, projection)?;
    if let Some(exactness) = export.refined {
        writeln!(out)?;
        how_exact(&mut out, exactness)?;
    }
    let steps: u64 = run.lanes.iter().map(|l| l.stats.steps).sum();
    let closure = run.closure();
    writeln!(out)?;
    writeln!(
        out,
        "Closure (share of all handled): water {:.1e}, salt {:.1e}, in {steps} steps. A projection to think with, not a controller.",
        closure.water, closure.salt
    )?;
    if !closure.closes() {
        writeln!(out, "FAILED: more than {CLOSES_TO:.0e} does not close. Do not rely on the figures of the lanes marked so.")?;
    }
    Ok(())
}

/// The largest differences from a finer run, lane by lane.
fn how_exact(out: &mut impl Write, exactness: &Exactness) -> io::Result<()> {
    writeln!(out, "{}", words::head(exactness))?;
    for lane in &exactness.lanes {
        writeln!(out, "  {} ({} layers, {} in the finer run)", lane.lane, lane.layers, lane.finer_layers)?;
        if let Some(broken) = &lane.broken {
            writeln!(out, "    {}", words::sentence(broken))?;
        }
        for line in words::lines(lane, Units::default()) {
            let text = format!("    {:DIFFERENCE_WIDTH$}{:>20}  {:16}{}", line.what, line.by, line.when, line.aim());
            writeln!(out, "{}", text.trim_end())?;
        }
    }
    if let Some(calls) = &exactness.calls {
        writeln!(out, "  {}", words::calls(calls))?;
    }
    writeln!(out, "  {}", words::aim())
}

/// Litres for all plants, day by day, and what is in the tank.
fn whole_zone(out: &mut impl Write, projection: &Projection) -> io::Result<()> {
    let (scenario, run) = (&*projection.scenario, &projection.run);
    let plants: u64 = scenario.lanes.iter().map(|l| u64::from(l.plants)).sum();
    writeln!(out, "All {plants} plants together, L a day")?;
    let tank = run.timetable().and_then(|t| t.tank.as_ref());
    for day in (0..scenario.days as usize).take(MOST_DAYS) {
        let zone = zone_day(scenario, run, day);
        write!(out, "  day {:<4} given {:<9.1} drained {:.1}", day + 1, zone.given_l, zone.drained_l)?;
        if let Some(day) = tank.and_then(|t| t.days.get(day)) {
            write!(out, ", tank {:.0} at {:.2} mS/cm, refilled {:.1}, came back {:.1}", day.litres, day.ec, day.refilled, day.returned)?;
            if day.short > 0 {
                write!(out, "; it ran empty, {} events fell short", day.short)?;
            }
        }
        writeln!(out)?;
    }
    if scenario.days as usize > MOST_DAYS {
        writeln!(out, "  … and so on; --figures has every day.")?;
    }
    Ok(())
}

/// A lane with what is told of it.
struct Told<'a> {
    lane: &'a Lane,
    rows: Vec<Row>,
    story: String,
    /// What does not close.
    unclosed: Option<String>,
}

/// One line of the table for one lane.
struct Row {
    label: &'static str,
    unit: &'static str,
    cell: String,
}

impl<'a> Told<'a> {
    fn new(scenario: &Scenario, lane: &'a Lane, run: &LaneRun) -> Self {
        let closure = run.closure();
        let unclosed = (!closure.closes()).then(|| closure.to_string());
        let last = run.days().checked_sub(1).and_then(|day| LaneReport::of(scenario, lane, run, day));
        let Some(report) = last else {
            return Self {
                lane,
                rows: vec![plain("day", "", "none reached its end".to_owned())],
                story: "no day reached its end.".to_owned(),
                unclosed,
            };
        };
        let mut story = report.causes(scenario, lane, run, Units::default()).join(" ");
        for remark in &report.remarks {
            let _ = write!(story, "\n  {}", remark.words(Units::default()));
        }
        let lean = &report.lean;
        let parts: Vec<String> = lean.parts.iter().map(|p| format!("{} {} ({:+.1})", p.name, p.value, p.push)).collect();
        let _ = match lean.sum {
            Some(sum) => write!(story, "\n  It {} ({sum:+.2}): {}.", lean_verb(lean.word()), parts.join(", ")),
            None => write!(story, "\n  There is {}: {}.", lean.word(), lean.why),
        };
        Self { lane, rows: rows(scenario, lane, run, &report), story, unclosed }
    }
}

fn lean_verb(word: &str) -> String {
    if word.starts_with("leans") { word.to_owned() } else { format!("is {word}") }
}

fn plain(label: &'static str, unit: &'static str, cell: String) -> Row {
    Row { label, unit, cell }
}

fn rows(scenario: &Scenario, lane: &Lane, run: &LaneRun, report: &LaneReport) -> Vec<Row> {
    let (f, v) = (&report.figures, &report.verdicts);
    let judged = |cell: String, verdict: Verdict| match verdict.mood {
        Mood::Plain => cell,
        Mood::Good | Mood::Attention => format!("{cell}  {}", verdict.word),
    };
    let or_dash = |value: Option<f64>, decimals: usize| value.map_or_else(|| "-".to_owned(), |v| format!("{v:.decimals$}"));
    let percent = |share: f64| format!("{:.1}", 100.0 * share);
    let valve = scenario.valves.get(lane.valve).filter(|_| scenario.valves.len() > 1).map(|v| plain("valve", "", v.name.clone()));
    let figures = vec![
        plain("day", "", format!("{} of {}", f.day + 1, scenario.days)),
        plain("plants", "", lane.plants.to_string()),
        plain("volume per plant", "mL", format!("{:.0}", run.column.volume)),
        plain("container capacity", "% vol", percent(f.container_capacity)),
        plain("highest water content", "% vol", judged(format!("{} at {}", percent(f.peak), clock(f.peak_at_s)), v.peak)),
        plain("lowest water content", "% vol", percent(f.lowest)),
        plain("night dry-back", "points", judged(or_dash(f.dry_back.map(|d| d.points), 1), v.dry_back)),
        plain("given", "mL", format!("{:.0}", f.applied_ml)),
        plain("taken up", "mL", format!("{:.0}", f.taken_up_ml)),
        plain("evaporated", "mL", format!("{:.0}", f.evaporated_ml)),
        plain("drained", "mL", format!("{:.0}", f.drained_ml)),
        plain("  run down the outside", "mL", format!("{:.0}", f.overflow_ml)),
        plain("  run straight through", "mL", format!("{:.0}", f.channelled_ml)),
        plain("drain fraction", "%", judged(or_dash(f.drain_fraction.map(|d| 100.0 * d), 1), v.drain)),
        plain("drain EC", "mS/cm", or_dash(f.drain_ec, 2)),
        plain("root-zone EC", "mS/cm", judged(format!("{:.2}", f.root_zone_ec), v.root_zone_ec)),
        plain("  change in the day", "mS/cm", format!("{:+.2}", f.root_zone_ec_change)),
        plain("  at the day's end", "mS/cm", or_dash(at_end(run, f.day).map(|s| s.root_zone_ec), 2)),
        plain("  as the roots feel it", "mS/cm", format!("{:.2}", f.felt_ec)),
        plain(
            "lowest air at the roots",
            "% vol",
            judged(format!("{} at {}", percent(f.lowest_air), clock(f.lowest_air_at_s)), v.lowest_air),
        ),
        plain("highest suction", "kPa", format!("{:.1}", f.highest_suction_kpa)),
        plain("uptake met", "%", judged(percent(f.uptake_met), v.uptake_met)),
        plain("hours outside the band", "h", or_dash(report.hours_outside_band, 1)),
    ];
    valve.into_iter().chain(figures).collect()
}

/// The lane at the midnight that ends a day.
fn at_end(run: &LaneRun, day: usize) -> Option<Sample> {
    #[allow(clippy::cast_precision_loss)]
    run.series.at((day + 1) as f64 * DAY_S)
}

/// Clock time of an instant of the run.
fn clock(time_s: f64) -> String {
    let minutes = (time_s.rem_euclid(DAY_S) / 60.0).floor();
    Clock::from_hours(minutes / 60.0).to_string()
}

/// The table: labels and units once, then a column for each lane.
fn side_by_side(lanes: &[Told<'_>]) -> Vec<String> {
    let mut lines = Vec::new();
    let mut head = " ".repeat(LABEL_WIDTH + UNIT_WIDTH);
    for told in lanes {
        push_cell(&mut head, &short(&told.lane.name));
    }
    lines.push(head);
    let Some(most) = lanes.iter().max_by_key(|l| l.rows.len()) else { return lines };
    for (i, row) in most.rows.iter().enumerate() {
        let mut line = format!("{:LABEL_WIDTH$}{:UNIT_WIDTH$}", row.label, row.unit);
        for told in lanes {
            push_cell(&mut line, told.rows.get(i).map_or("", |r| &r.cell));
        }
        lines.push(line);
    }
    lines
}

fn push_cell(line: &mut String, cell: &str) {
    let _ = write!(line, "{cell:CELL_WIDTH$} ");
}

/// A lane's name cut to its column.
fn short(name: &str) -> String {
    if name.chars().count() <= CELL_WIDTH { name.to_owned() } else { name.chars().take(CELL_WIDTH - 1).chain(['…']).collect() }
}
