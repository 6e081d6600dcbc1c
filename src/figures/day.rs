//! The figures of one day of one lane, as the help defines them.

use serde::Serialize;

use super::drain;
use crate::engine::column::capacity::{at_head, container_capacity};
use crate::engine::run::LaneRun;
use crate::engine::run::ledger::Ledger;
use crate::engine::run::series::Sample;
use crate::engine::step::lost::Lost;
use crate::scenario::plan::on_day;
use crate::scenario::{DAY_S, Event, Lane};
use crate::units::HOUR_S;

/// The figures of one day. Water contents and air in m³/m³, amounts in mL per plant, EC in mS/cm, times in seconds since the
/// first midnight of the run.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DayFigures {
    /// Which day, from 0.
    pub day: usize,
    /// Water content at rest with zero head at the outlet, drying branch.
    pub container_capacity: f64,
    /// Highest water content of the day.
    pub peak: f64,
    /// When it was reached.
    pub peak_at_s: f64,
    /// Lowest water content of the day.
    pub lowest: f64,
    /// Night dry-back; `None` without an event, or when the next day's first event was not reached. Up to midnight where the next day
    /// has none.
    pub dry_back: Option<DryBack>,
    /// Given, mL.
    pub applied_ml: f64,
    /// Drained in all, mL.
    pub drained_ml: f64,
    /// Of that, run down the outside, mL.
    pub overflow_ml: f64,
    /// Of that, run straight through, mL.
    pub channelled_ml: f64,
    /// Taken up, mL.
    pub taken_up_ml: f64,
    /// Evaporated, mL.
    pub evaporated_ml: f64,
    /// Drained ÷ applied, 0–1; `None` when nothing was applied.
    pub drain_fraction: Option<f64>,
    /// Flow-weighted EC of the drain; `None` when nothing drained.
    pub drain_ec: Option<f64>,
    /// EC of the root zone as it could be sampled (the salt in solution over the water that holds it, by root share), mean of the day.
    pub root_zone_ec: f64,
    /// EC that the roots feel, mean of the day: the mean of the layers' ECs by root share, which a few nearly dry layers can rule. Salt stress
    /// goes by it layer by layer.
    pub felt_ec: f64,
    /// Change of the root zone's EC from midnight to midnight.
    pub root_zone_ec_change: f64,
    /// Lowest root-weighted air content.
    pub lowest_air: f64,
    /// When it was reached.
    pub lowest_air_at_s: f64,
    /// Highest root-weighted suction, kPa.
    pub highest_suction_kpa: f64,
    /// Uptake ÷ demand, 0–1; 1 when nothing is demanded.
    pub uptake_met: f64,
    /// What the plant asked for and did not get, laid to what kept it from that, mL per plant.
    pub uptake_lost_ml: Lost,
    /// Index of the event that the root zone's own drain began with, if it did: what runs straight through and what was left from before are
    /// no part of it.
    pub drain_began_with: Option<usize>,
    /// Drained before the first event, left from the days before, mL per plant.
    pub drained_first_ml: f64,
    /// Index of the first event of which water ran straight through, if any did.
    pub ran_through_from: Option<usize>,
    /// EC of what was given, weighted by volume; `None` where nothing was.
    pub given_ec: Option<f64>,
    /// Root-zone EC at the day's beginning and end.
    pub root_zone_ec_ends: [f64; 2],
    /// Water in the container at the day's beginning and end, mL.
    pub water_held_ml: [f64; 2],
    /// Salt in the container at the day's beginning and end, mS/cm·mL.
    pub salt_held: [f64; 2],
    /// Water that would hold as much salt as the medium's exchange does, mL.
    pub held_by_medium_ml: f64,
}

/// The drop from the last irrigation-driven maximum of a day to the lowest water content before the next day's first event.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct DryBack {
    /// Points of volume (percent of the container's volume).
    pub points: f64,
    /// Percent of the maximum it starts from.
    pub percent_of_peak: f64,
    /// The maximum, m³/m³.
    pub from: f64,
    /// When it was.
    pub from_s: f64,
    /// The lowest value, m³/m³.
    pub to: f64,
    /// When it was.
    pub to_s: f64,
}

/// The figures of a day (from 0); `None` if the run did not reach the day's end.
#[must_use]
pub fn day_figures(run: &LaneRun, lane: &Lane, day: usize) -> Option<DayFigures> {
    let ledger = run.day(day)?;
    let schedule = run.timetable.events(day);
    let start = on_day(day, 0.0);
    let samples = run.series.span(start, start + DAY_S);
    let (first, last) = (samples.first()?, samples.last()?);
    let by = |value: fn(&Sample) -> f64| move |a: &&Sample, b: &&Sample| value(a).total_cmp(&value(b));
    let peak = samples.iter().max_by(by(|s| s.water_content))?;
    let lowest = samples.iter().min_by(by(|s| s.water_content))?;
    let airless = samples.iter().min_by(by(|s| s.root_air))?;
    let driest = samples.iter().max_by(by(|s| s.suction_kpa))?;
    let drained = ledger.water.drained();
    let drains = drain::of_events(samples, schedule, start);
    Some(DayFigures {
        day,
        container_capacity: container_capacity(&run.column),
        peak: peak.water_content,
        peak_at_s: peak.time_s,
        lowest: lowest.water_content,
        dry_back: dry_back(run, schedule.last(), day),
        applied_ml: ledger.water.applied,
        drained_ml: drained,
        overflow_ml: ledger.water.overflow,
        channelled_ml: ledger.water.channelled,
        taken_up_ml: ledger.water.taken_up,
        evaporated_ml: ledger.water.evaporated,
        drain_fraction: (ledger.water.applied > 0.0).then(|| drained / ledger.water.applied),
        drain_ec: (drained > LEAST_DRAIN_ML).then(|| ledger.salt.drained() / drained),
        root_zone_ec: time_mean(samples, |s| s.root_zone_ec),
        felt_ec: time_mean(samples, |s| s.felt_ec),
        root_zone_ec_change: last.root_zone_ec - first.root_zone_ec,
        lowest_air: airless.root_air,
        lowest_air_at_s: airless.time_s,
        highest_suction_kpa: driest.suction_kpa,
        uptake_met: uptake_met(&ledger),
        uptake_lost_ml: ledger.lost,
        drain_began_with: drain::began_with(&drains, |i| schedule[i].ml().map(|ml| lane.dose * ml)),
        drained_first_ml: (drained - drains.iter().map(|d| d.drained_ml).sum::<f64>()).max(0.0),
        ran_through_from: drain::ran_through_from(&drains, ledger.water.applied),
        given_ec: (ledger.water.applied > 0.0).then(|| ledger.salt.applied / ledger.water.applied),
        root_zone_ec_ends: [first.root_zone_ec, last.root_zone_ec],
        water_held_ml: [ledger.water_at_start, ledger.water_stored],
        salt_held: [ledger.salt_at_start, ledger.salt_stored],
        held_by_medium_ml: run.column.layers.iter().map(|l| l.held_salt * l.volume).sum(),
    })
}

/// Drain below this has no EC worth telling, mL.
const LEAST_DRAIN_ML: f64 = 0.01;

/// Uptake ÷ demand; 1 when nothing is demanded.
#[must_use]
pub fn uptake_met(ledger: &Ledger) -> f64 {
    if ledger.water.demanded > 0.0 { ledger.water.taken_up / ledger.water.demanded } else { 1.0 }
}

/// Mean of a quantity over the time of the samples (trapezoids).
fn time_mean(samples: &[Sample], value: impl Fn(&Sample) -> f64) -> f64 {
    let (mut sum, mut span) = (0.0, 0.0);
    for w in samples.windows(2) {
        let dt = w[1].time_s - w[0].time_s;
        sum += 0.5 * dt * (value(&w[0]) + value(&w[1]));
        span += dt;
    }
    if span > 0.0 { sum / span } else { samples.first().map_or(0.0, value) }
}

/// Hours of a day (from 0) with the water content outside a band, counting the part of each step that lies outside on the straight line
/// between its ends.
#[must_use]
pub fn hours_outside(run: &LaneRun, day: usize, (low, high): (f64, f64)) -> f64 {
    let start = on_day(day, 0.0);
    let samples = run.series.span(start, start + DAY_S);
    let outside = |w: &[Sample]| {
        let (a, b) = (w[0].water_content, w[1].water_content);
        let (least, most) = (a.min(b), a.max(b));
        let inside = (most.min(high) - least.max(low)).max(0.0);
        let share = if most > least { inside / (most - least) } else { f64::from(u8::from((low..=high).contains(&a))) };
        (w[1].time_s - w[0].time_s) * (1.0 - share)
    };
    samples.windows(2).map(outside).sum::<f64>() / HOUR_S
}

/// Longest that growers keep water away at night: from so long before dark to so long after light, s (judgement).
const BEFORE_DARK_S: f64 = 4.0 * HOUR_S;
const AFTER_LIGHT_S: f64 = 3.5 * HOUR_S;

/// Points of volume by which the longest night that growers keep could dry the container on a day like this (from 0): what plants ask for and
/// surfaces give off meanwhile, as far as roots can draw it, and what drains in the night as it is; no less than the night as it is does. `lit`: when it is light, s from midnight; a dark day is one night.
#[must_use]
pub fn dries_points(run: &LaneRun, figures: &DayFigures, lit: &[(f64, f64)]) -> f64 {
    let start = on_day(figures.day, 0.0);
    let passed = |from_s: f64, to_s: f64| Some(run.series.at(to_s)?.ledger.since(&run.series.at(from_s)?.ledger).water);
    let points = |ml: f64| 100.0 * ml / run.column.volume;
    let (light, dark) = lit.first().zip(lit.last()).map_or((DAY_S, DAY_S), |(first, last)| (first.0, last.1));
    // The night as it is may begin earlier and end later.
    let (begins, ends) = figures.dry_back.map_or((DAY_S, 0.0), |night| (night.from_s - start, night.to_s - start - DAY_S));
    let evening = (dark - BEFORE_DARK_S).min(begins).max(0.0);
    // What the day's own morning asks for stands for the next one's.
    let spans = [(evening, DAY_S), (0.0, (light + AFTER_LIGHT_S).max(ends).min(evening))];
    let asked = spans.iter().filter_map(|(from, to)| passed(start + from, start + to)).map(|w| w.demanded + w.evaporated);
    let longest = points(asked.sum());
    let night = figures.dry_back.map_or(0.0, |night| night.points);
    let drains = figures.dry_back.and_then(|night| {
        let water = passed(night.from_s, night.to_s)?;
        Some((night.points - points(water.taken_up + water.evaporated)).max(0.0))
    });
    let drains = drains.unwrap_or(0.0);
    let driest = at_head(&run.column, run.column.crop.stress.stops_cm).min(figures.lowest).min(figures.dry_back.map_or(1.0, |n| n.to));
    let left = 100.0 * (figures.peak - driest);
    (longest + drains).min(left).max(night)
}

fn dry_back(run: &LaneRun, last: Option<&Event>, day: usize) -> Option<DryBack> {
    let last = last?;
    let start = on_day(day, 0.0);
    // Where nothing is given on the next day, midnight ends what is looked at.
    let dawn = on_day(day + 1, run.timetable.first_start(day + 1).unwrap_or(0.0));
    if run.series.samples.last()?.time_s < dawn - 1.0 {
        return None;
    }
    // The last maximum that irrigation drives lies between the last event's start and the next first event.
    let night = run.series.span(start + last.start_s(), dawn);
    let by_water = |a: &&Sample, b: &&Sample| a.water_content.total_cmp(&b.water_content);
    let top = night.iter().max_by(by_water)?;
    let bottom = night.iter().filter(|s| s.time_s >= top.time_s).min_by(by_water)?;
    let drop = top.water_content - bottom.water_content;
    Some(DryBack {
        points: 100.0 * drop,
        percent_of_peak: 100.0 * drop / top.water_content,
        from: top.water_content,
        from_s: top.time_s,
        to: bottom.water_content,
        to_s: bottom.time_s,
    })
}
