//! *Drain*: the share of the water given so far in the day that has drained.

use eframe::egui::{Rect, Ui};

use super::bands;
use super::chart::{Chart, Reading, Side, readings};
use super::curves::Moment;
use super::scene::Scene;
use crate::projection::origin::Figure;
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
    bands::draw(ui, t, plot, &chart, &bands::of(shown, Figure::Drain), &|v| v);
    scene.lines(ui, "drain, lines", plot, &chart, &value);
    bands::name(ui, scene, plot, &chart, (Figure::Drain, false), &|v| v);
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

fn range(scene: &Scene<'_>, height: f32) -> Chart {
    // What still drips from before, as a share of the little given by then, would stretch the view: the day's first half does not
    // count.
    let schedule = scene.shown().events(scene.bench.valve(), scene.shown().day);
    let early = schedule.get(schedule.len() / 2).map_or(0.0, Event::end_s);
    let seen = |m: &Moment<'_>| (m.now.time_s.rem_euclid(DAY_S) > early).then(|| value(m)).flatten();
    let mut high = scene.extent(&seen).map_or(LEAST_TOP, |(_, high)| high.clamp(LEAST_TOP, 100.0));
    for band in bands::of(scene.shown(), Figure::Drain) {
        high = high.max(band.high);
    }
    Chart::around(0.0, high, f64::from(height / 34.0))
}
