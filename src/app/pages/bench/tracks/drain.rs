//! *Drain*: the share of the water given so far in the day that has drained.

use eframe::egui::{Align2, Rect, Ui, pos2};

use super::chart::{Chart, Reading, Side, note, readings};
use super::curves::Moment;
use super::scene::Scene;
use crate::projection::Projection;
use crate::scenario::{DAY_S, Event};

/// Least the view reaches up to, percent.
const LEAST_TOP: f64 = 20.0;

/// Percent drained of what was given since midnight; `None` before anything was given.
pub fn value(moment: &Moment<'_>) -> Option<f64> {
    let water = moment.today().water;
    (water.applied > 1e-6).then(|| 100.0 * water.drained() / water.applied)
}

/// Draws the track.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, plot: Rect) {
    let (t, shown) = (scene.t, scene.shown());
    let chart = range(scene, plot.height());
    scene.ground(ui, plot, ["Drain", "% of water given so far", ""], &chart);
    let bands = bands(shown);
    for (low, high, lane) in &bands {
        chart.band(ui, plot, (*low, *high), t.band(lane.map_or(t.good, |i| t.lane(i))));
    }
    scene.lines(ui, "drain, lines", plot, &chart, &value);
    for (low, high, lane) in &bands {
        let whose = lane.map_or_else(String::new, |i| format!(", lane {}", i + 1));
        let text = format!("target {low:.0}–{high:.0} %{whose}");
        note(ui, t, pos2(plot.left() + 5.0, chart.y(plot, *high) + 2.0), Align2::LEFT_TOP, &text, t.quiet);
    }
    if let Some(hour) = scene.cursor {
        let read = |(i, _, run)| {
            let (y, text) = match scene.read(run, hour, value) {
                Some(percent) => (chart.y(plot, percent), format!("{percent:.1} %")),
                None => (plot.bottom(), "none given yet".to_owned()),
            };
            Some(Reading { y, colour: t.lane(i), text })
        };
        readings(ui, t, plot, scene.span.x(plot, hour), Side::Right, shown.lanes().filter_map(read).collect());
    }
}

/// Target bands: one in a neutral colour where all lanes share it, else one per lane in its own.
fn bands(shown: &Projection) -> Vec<(f64, f64, Option<usize>)> {
    let targets: Vec<_> = shown.scenario.lanes.iter().map(|l| l.targets.drain_percent).collect();
    match targets.first() {
        Some(Some((low, high))) if targets.iter().all(|t| *t == targets[0]) => vec![(*low, *high, None)],
        _ => targets.iter().enumerate().filter_map(|(i, t)| t.map(|(low, high)| (low, high, Some(i)))).collect(),
    }
}

fn range(scene: &Scene<'_>, height: f32) -> Chart {
    // What still drips from before, as a share of the little given by then, would stretch the view: the day's first half does not
    // count.
    let schedule = scene.shown().events(scene.shown().day);
    let early = schedule.get(schedule.len() / 2).map_or(0.0, Event::end_s);
    let seen = |m: &Moment<'_>| (m.now.time_s.rem_euclid(DAY_S) > early).then(|| value(m)).flatten();
    let mut high = scene.extent(&seen).map_or(LEAST_TOP, |(_, high)| high.clamp(LEAST_TOP, 100.0));
    for (_, top, _) in bands(scene.shown()) {
        high = high.max(top);
    }
    Chart::around(0.0, high, f64::from(height / 34.0))
}
