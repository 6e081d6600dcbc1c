//! *Salt*: root-zone EC per lane, the feed's EC, and the EC of what each event drained.

use eframe::egui::{Align2, Pos2, Rect, Shape, Stroke, Ui, pos2};

use super::bands;
use super::chart::{Chart, Reading, Side, note, readings};
use super::curves::{Moment, hours};
use super::scene::{Scene, day_of};
use super::spread_bands;
use super::tank;
use crate::engine::run::LaneRun;
use crate::projection::Projection;
use crate::projection::origin::Figure;
use crate::scenario::{DAY_S, Event};
use crate::units::{HOUR_S, Quantity};

/// Drain below this has no point, mL per plant.
const LEAST_ML: f64 = 1.0;
/// Room that a reading takes beside the line, points.
const BESIDE: f32 = 84.0;

/// Root-zone EC, mS/cm.
#[allow(clippy::unnecessary_wraps)] // as every track's value
pub fn value(moment: &Moment<'_>) -> Option<f64> {
    Some(moment.now.root_zone_ec)
}

/// Draws the track.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, plot: Rect) {
    let (t, shown, units) = (scene.t, scene.shown(), scene.units);
    let ec = |v: f64| Quantity::Ec.shown(v, units);
    let chart = range(scene, plot.height());
    let unit = format!("EC, {} at 25 °C", Quantity::Ec.unit(units));
    let through = shown.lanes().any(|(_, _, run)| scene.span.days().any(|day| drain_points(run, day).iter().any(|p| p.drained.through)));
    let key = if spread_bands::any(scene) {
        "rings: drain · soft band: eight of ten"
    } else if through {
        "rings: drain · small: ran straight through · dashes: feed"
    } else {
        "line: root zone · rings: drain · dashes: feed"
    };
    scene.ground(ui, plot, ["Salt", &unit, key], &chart);
    bands::draw(ui, t, plot, &chart, &bands::of(shown, Figure::RootZoneEc), &ec);
    let feed = chart.y(plot, ec(shown.scenario.feed_ec(scene.bench.valve())));
    let dashes: Vec<Pos2> = match feed_over_time(scene) {
        Some(points) => points.into_iter().map(|(hour, v)| pos2(scene.span.x(plot, hour), chart.y(plot, ec(v)))).collect(),
        None => vec![pos2(plot.left(), feed), pos2(plot.right(), feed)],
    };
    ui.painter().with_clip_rect(plot).extend(Shape::dashed_line(&dashes, Stroke::new(1.0, t.quiet), 4.0, 4.0));
    spread_bands::draw(ui, scene, (plot, &chart), |c| &c.root_zone_ec, &ec);
    scene.lines(ui, "salt, lines", plot, &chart, &|m| value(m).map(ec));
    bands::name(ui, scene, plot, &chart, (Figure::RootZoneEc, true), &ec);
    let paint = ui.painter().with_clip_rect(plot.expand(4.0));
    for (i, _, run) in shown.lanes() {
        for point in scene.span.days().flat_map(|day| drain_points(run, day)) {
            if scene.span.holds(point.hour) {
                let (size, line) = if point.drained.through { (2.0, 1.0) } else { (3.0, 1.5) };
                let at = pos2(scene.span.x(plot, point.hour), chart.y(plot, ec(point.drained.ec)));
                paint.circle(at, size, t.card, Stroke::new(line, t.lane(i)));
            }
        }
    }
    match scene.cursor {
        Some(hour) => at(ui, scene, plot, &chart, hour),
        // From a tank it comes and goes: the pointer tells.
        None if shown.scenario.tank.is_some() => {}
        None => feed_note(ui, scene, plot, &chart, feed),
    }
}

/// EC of what a tank gives, by hour; `None` without one.
fn feed_over_time(scene: &Scene<'_>) -> Option<Vec<(f64, f64)>> {
    let shown = scene.shown();
    shown.scenario.tank?;
    // A valve with an EC of its own does not draw from it.
    if shown.scenario.valves.get(scene.bench.valve()).is_some_and(|v| v.ec.is_some()) {
        return None;
    }
    if let Some(log) = tank::log(shown) {
        return Some(tank::seen(scene, log).iter().map(|p| (p.time_s / HOUR_S, p.ec)).collect());
    }
    // Of the settled day only its events are known.
    let valve = scene.bench.valve();
    let calls =
        scene.span.days().flat_map(|day| shown.pump_day(valve, day).into_iter().flat_map(move |d| d.calls.iter().map(move |c| (day, c))));
    Some(calls.map(|(day, call)| (hours(day) + call.event.start_s() / HOUR_S, call.ec)).collect())
}

fn number(value: f64, scene: &Scene<'_>) -> String {
    let decimals = Quantity::Ec.decimals(scene.units);
    format!("{:.decimals$}", Quantity::Ec.shown(value, scene.units))
}

/// What the dashes are, on the side of them that no curve begins on.
fn feed_note(ui: &Ui, scene: &Scene<'_>, plot: Rect, chart: &Chart, feed: f32) {
    let (shown, span) = (scene.shown(), scene.span);
    let y = |run| Some(feed - chart.y(plot, Quantity::Ec.shown(scene.read(run, span.from_h, value)?, scene.units)));
    let taken = shown.lanes().filter_map(|(_, _, run)| y(run));
    let below = taken.into_iter().any(|up| (-3.0..20.0).contains(&up)) && feed + 18.0 < plot.bottom();
    let (at, align) = if below { (2.0, Align2::LEFT_TOP) } else { (-1.0, Align2::LEFT_BOTTOM) };
    let text = format!("feed {}", number(shown.scenario.feed_ec(scene.bench.valve()), scene));
    note(ui, scene.t, pos2(plot.left() + 5.0, feed + at), align, &text, scene.t.quiet);
}

/// Root zones after the line, feed and drain before it; all on one side near the plot's ends.
fn at(ui: &Ui, scene: &Scene<'_>, plot: Rect, chart: &Chart, hour: f64) {
    let (t, shown) = (scene.t, scene.shown());
    let reading = |ec: f64, colour, what: &str| Reading {
        y: chart.y(plot, Quantity::Ec.shown(ec, scene.units)),
        colour,
        text: format!("{what}{}", number(ec, scene)),
    };
    let mut before = vec![reading(feed_ec(shown, scene.bench.valve(), hour), t.quiet, "feed ")];
    let mut after = Vec::new();
    for (i, _, run) in shown.lanes() {
        after.extend(scene.read(run, hour, value).map(|ec| reading(ec, t.lane(i), "")));
        before.extend(drain_ec(run, hour).map(|d| reading(d.ec, t.lane(i), d.words())));
    }
    let x = scene.span.x(plot, hour);
    let side = if x + BESIDE > plot.right() { Some(Side::Left) } else { (x - BESIDE < plot.left()).then_some(Side::Right) };
    match side {
        Some(side) => {
            after.append(&mut before);
            readings(ui, t, plot, x, side, after);
        }
        None => {
            readings(ui, t, plot, x, Side::Left, before);
            readings(ui, t, plot, x, Side::Right, after);
        }
    }
}

/// EC of what a valve gives at an hour, mS/cm: the event's own, or the valve's feed.
#[must_use]
pub fn feed_ec(shown: &Projection, valve: usize, hour: f64) -> f64 {
    let day = day_of(hour);
    let second = (hour - hours(day)) * HOUR_S;
    let calls = || shown.pump_day(valve, day).into_iter().flat_map(|d| &d.calls);
    let now = calls().find(|c| (c.event.start_s()..=c.event.end_s()).contains(&second));
    // Between events it is what the tank holds; of a settled day only its events are known.
    let own = shown.scenario.valves.get(valve).and_then(|v| v.ec);
    let from_tank = || match tank::log(shown).filter(|_| own.is_none()) {
        Some(log) => log.at(hour * HOUR_S).map(|p| p.ec),
        None => calls()
            .rfind(|c| c.event.start_s() <= second)
            .or(calls().next())
            .map(|c| c.ec)
            .filter(|_| shown.scenario.tank.is_some() && own.is_none()),
    };
    now.map(|c| c.ec).or_else(from_tank).unwrap_or_else(|| shown.scenario.feed_ec(valve))
}

/// What drained between two times.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drained {
    /// Its EC, mS/cm.
    pub ec: f64,
    /// Whether most of it ran straight through, and tells little of the root zone.
    pub through: bool,
}

impl Drained {
    /// What it is, before its EC.
    #[must_use]
    pub fn words(self) -> &'static str {
        if self.through { "straight through " } else { "drain " }
    }
}

/// What drained between two times of a day; `None` where it is too little to tell.
fn drained_between(run: &LaneRun, from_s: f64, to_s: f64) -> Option<Drained> {
    let passed = run.series.at(to_s)?.ledger.since(&run.series.at(from_s)?.ledger);
    let drained = passed.water.drained();
    (drained >= LEAST_ML).then(|| Drained { ec: passed.salt.drained() / drained, through: passed.water.channelled > 0.5 * drained })
}

/// What drained since the last event of the day began.
#[must_use]
pub fn drain_ec(run: &LaneRun, hour: f64) -> Option<Drained> {
    let midnight = hours(day_of(hour)) * HOUR_S;
    let now = hour * HOUR_S;
    let last = run.timetable.events(day_of(hour)).iter().map(|e| midnight + e.start_s()).filter(|s| *s <= now).fold(midnight, f64::max);
    drained_between(run, last, now)
}

/// What drained after each event of a day and before the next, at the event's end.
struct Point {
    hour: f64,
    drained: Drained,
}

/// The points of a day, event by event.
fn drain_points(run: &LaneRun, day: usize) -> Vec<Point> {
    let midnight = hours(day) * HOUR_S;
    let schedule = run.timetable.events(day);
    let point = |(i, event): (usize, &Event)| {
        let until = schedule.get(i + 1).map_or(DAY_S, Event::start_s);
        let drained = drained_between(run, midnight + event.start_s(), midnight + until)?;
        Some(Point { hour: hours(day) + event.end_s() / HOUR_S, drained })
    };
    schedule.iter().enumerate().filter_map(point).collect()
}

fn range(scene: &Scene<'_>, height: f32) -> Chart {
    let feed = scene.shown().scenario.feed_ec(scene.bench.valve());
    let (mut low, mut high) = scene.extent(&value).map_or((feed, feed), |(low, high)| (low.min(feed), high.max(feed)));
    for projection in std::iter::once(scene.shown()).chain(scene.bench.ghost()) {
        for (_, _, run) in projection.lanes() {
            for point in scene.whole.days().flat_map(|day| drain_points(run, day)) {
                low = low.min(point.drained.ec);
                high = high.max(point.drained.ec);
            }
        }
    }
    if let Some((least, most)) = spread_bands::extent(scene, |c| &c.root_zone_ec) {
        (low, high) = (low.min(least), high.max(most));
    }
    for band in bands::of(scene.shown(), Figure::RootZoneEc) {
        (low, high) = (low.min(band.low), high.max(band.high));
    }
    for (_, ec) in feed_over_time(scene).into_iter().flatten() {
        (low, high) = (low.min(ec), high.max(ec));
    }
    let ec = |v: f64| Quantity::Ec.shown(v, scene.units);
    Chart::around(ec((low - 0.15).max(0.0)), ec(high + 0.1), f64::from(height / 40.0))
}
