//! *Drain*: the share of the water given so far that has drained.

use eframe::egui::{Align2, Rect, Ui, pos2};
use egui_plot::FilledArea;

use super::chart::{Chart, note, readings};
use super::{Scene, ground};
use crate::app::projection::Projection;
use crate::engine::run::LaneRun;
use crate::engine::series::Sample;
use crate::scenario::DAY_S;

/// Least the view reaches up to, percent.
const LEAST_TOP: f64 = 20.0;

/// Draws the track.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, plot: Rect) {
    let (t, shown) = (scene.t, scene.bench.shown());
    let chart = range(shown, scene.bench.ghost(), plot.height());
    ground(ui, scene, plot, ["Drain", "% of water given so far", ""], &chart);
    let bands = bands(shown);
    chart.plot(ui, "drain", plot, |p| {
        for (low, high, colour) in &bands {
            let fill = t.band(colour.map_or(t.good, |i| t.lane(i)));
            p.add(FilledArea::new("", &[0.0, 24.0], &[*low; 2], &[*high; 2]).fill_color(fill).allow_hover(false));
        }
        if let Some(ghost) = scene.bench.ghost() {
            for (i, _, run) in ghost.lanes() {
                p.line(chart.curve(plot, so_far(ghost, run), t.ghost(t.lane(i)), 1.5));
            }
        }
        for (i, _, run) in shown.lanes() {
            p.line(chart.curve(plot, so_far(shown, run), t.lane(i), 2.0));
        }
    });
    for (low, high, lane) in &bands {
        let whose = lane.map_or_else(String::new, |i| format!(", lane {}", i + 1));
        let text = format!("target {low:.0}–{high:.0} %{whose}");
        note(ui, t, pos2(plot.left() + 5.0, chart.y(plot, *high) + 2.0), Align2::LEFT_TOP, &text, t.quiet);
    }
    if let Some(hour) = scene.cursor {
        #[allow(clippy::cast_possible_truncation)]
        let x = plot.left() + plot.width() * (hour / 24.0) as f32;
        let at = shown.midnight_s() + hour * 3600.0;
        let values: Vec<_> = shown
            .lanes()
            .filter_map(|(i, _, run)| {
                let percent = share(&run.series.at(shown.midnight_s())?, &run.series.at(at)?)?;
                Some((chart.y(plot, percent), t.lane(i), format!("{percent:.1} %")))
            })
            .collect();
        readings(ui, t, plot, x, &values);
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

/// Percent drained of what was given since midnight; `None` before anything was given.
fn share(midnight: &Sample, now: &Sample) -> Option<f64> {
    let passed = now.ledger.since(&midnight.ledger);
    (passed.water.applied > 1e-6).then(|| 100.0 * passed.water.drained() / passed.water.applied)
}

fn so_far(shown: &Projection, run: &LaneRun) -> Vec<[f64; 2]> {
    let midnight = shown.midnight_s();
    let Some(start) = run.series.at(midnight) else { return Vec::new() };
    let samples = run.series.span(midnight, midnight + DAY_S);
    samples.iter().filter_map(|s| Some([(s.time_s - midnight) / 3600.0, share(&start, s)?])).collect()
}

fn range(shown: &Projection, ghost: Option<&Projection>, height: f32) -> Chart {
    let mut high = LEAST_TOP;
    for (_, top, _) in bands(shown) {
        high = high.max(top);
    }
    let noon = shown.scenario.light.on.hours();
    for projection in std::iter::once(shown).chain(ghost) {
        for (_, _, run) in projection.lanes() {
            // What still dripped before the first light would stretch the view by a fraction of next to nothing.
            for [hour, percent] in so_far(projection, run) {
                if hour > noon + 2.0 {
                    high = high.max(percent.min(100.0));
                }
            }
        }
    }
    Chart::around(0.0, high, f64::from(height / 34.0))
}
