//! *Salt*: root-zone EC per lane, the feed's EC, and the EC of what each event drained.

use eframe::egui::{Align2, Rect, Ui, pos2};
use egui_plot::{LineStyle, Points};

use super::chart::{Chart, curve, line, note, readings};
use super::{Scene, ground};
use crate::app::projection::Projection;
use crate::engine::run::LaneRun;
use crate::scenario::{DAY_S, Event};

/// Drain below this has no point, mL per plant.
const LEAST_ML: f64 = 1.0;

/// Draws the track.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, plot: Rect) {
    let (t, shown) = (scene.t, scene.bench.shown());
    let chart = range(shown, scene.bench.ghost(), plot.height());
    ground(ui, scene, plot, ["Salt", "EC, mS/cm at 25 °C", "line: root zone · rings: drain · dashes: feed"], &chart);
    chart.plot(ui, "salt", plot, |p| {
        let feed = shown.scenario.feed.ec;
        p.line(line(vec![[0.0, feed], [24.0, feed]], t.quiet, LineStyle::dashed_dense(), 1.0));
        if let Some(ghost) = scene.bench.ghost() {
            for (i, _, run) in ghost.lanes() {
                p.line(chart.curve(plot, curve(ghost, run, |s| s.root_zone_ec), t.ghost(t.lane(i)), 1.5));
            }
        }
        for (i, _, run) in shown.lanes() {
            p.line(chart.curve(plot, curve(shown, run, |s| s.root_zone_ec), t.lane(i), 2.0));
            let points = drain_points(shown, run);
            let ring = |radius, colour| Points::new("", points.clone()).radius(radius).color(colour).allow_hover(false);
            p.points(ring(3.5, t.lane(i)));
            p.points(ring(2.0, t.card));
        }
    });
    let feed = chart.y(plot, shown.scenario.feed.ec);
    let text = format!("feed {:.1}", shown.scenario.feed.ec);
    // On the side of the dashes that no curve begins on.
    let taken = shown.lanes().filter_map(|(_, _, run)| Some(feed - chart.y(plot, run.series.at(shown.midnight_s())?.root_zone_ec)));
    let below = taken.into_iter().any(|up| (-3.0..20.0).contains(&up)) && feed + 18.0 < plot.bottom();
    let (at, align) = if below { (2.0, Align2::LEFT_TOP) } else { (-1.0, Align2::LEFT_BOTTOM) };
    note(ui, t, pos2(plot.left() + 5.0, feed + at), align, &text, t.quiet);
    if let Some(hour) = scene.cursor {
        #[allow(clippy::cast_possible_truncation)]
        let x = plot.left() + plot.width() * (hour / 24.0) as f32;
        let at = shown.midnight_s() + hour * 3600.0;
        let values: Vec<_> = shown
            .lanes()
            .filter_map(|(i, _, run)| {
                let ec = run.series.at(at)?.root_zone_ec;
                Some((chart.y(plot, ec), t.lane(i), format!("{ec:.2}")))
            })
            .collect();
        readings(ui, t, plot, x, &values);
    }
}

/// EC of what drained after each event and before the next, at the event's end.
fn drain_points(shown: &Projection, run: &LaneRun) -> Vec<[f64; 2]> {
    let midnight = shown.midnight_s();
    let schedule = &shown.scenario.schedule;
    let mut points = Vec::new();
    for (i, event) in schedule.iter().enumerate() {
        let until = schedule.get(i + 1).map_or(DAY_S, Event::start_s);
        let (Some(from), Some(to)) = (run.series.at(midnight + event.start_s()), run.series.at(midnight + until)) else { continue };
        let passed = to.ledger.since(&from.ledger);
        let drained = passed.water.drained();
        if drained >= LEAST_ML {
            points.push([event.end_s() / 3600.0, passed.salt.drained() / drained]);
        }
    }
    points
}

fn range(shown: &Projection, ghost: Option<&Projection>, height: f32) -> Chart {
    let (mut low, mut high) = (shown.scenario.feed.ec, shown.scenario.feed.ec);
    let mut hold = |points: Vec<[f64; 2]>| {
        for [_, ec] in points {
            low = low.min(ec);
            high = high.max(ec);
        }
    };
    for projection in std::iter::once(shown).chain(ghost) {
        for (_, _, run) in projection.lanes() {
            hold(curve(projection, run, |s| s.root_zone_ec));
            hold(drain_points(projection, run));
        }
    }
    Chart::around((low - 0.15).max(0.0), high + 0.1, f64::from(height / 40.0))
}
