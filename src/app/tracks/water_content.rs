//! *Water content*: a curve per lane, its target band, container capacity, and the curve before a change.

use eframe::egui::{Align2, Rect, Shape, Stroke, Ui, pos2, vec2};
use egui_plot::FilledArea;

use super::chart::{Chart, curve, note, readings};
use super::{Scene, ground};
use crate::app::projection::Projection;
use crate::scenario::Lane;

/// Draws the track.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, plot: Rect) {
    let (t, shown) = (scene.t, scene.bench.shown());
    let chart = range(shown, scene.bench.ghost(), plot.height());
    let key = match scene.bench.ghost() {
        Some(_) => "faint: as it was before",
        None => "shaded: target · dotted: container capacity",
    };
    ground(ui, scene, plot, ["Water content", "% by volume", key], &chart);
    chart.plot(ui, "water content", plot, |p| {
        for (i, lane, _) in shown.lanes() {
            if let Some((low, high)) = band(lane) {
                let fill = t.band(t.lane(i));
                p.add(FilledArea::new("", &[0.0, 24.0], &[low; 2], &[high; 2]).fill_color(fill).allow_hover(false));
            }
        }
        if let Some(ghost) = scene.bench.ghost() {
            for (i, _, run) in ghost.lanes() {
                let points = curve(ghost, run, |s| 100.0 * s.water_content);
                p.line(chart.curve(plot, points, t.ghost(t.lane(i)), 1.5));
            }
        }
        for (i, _, run) in shown.lanes() {
            p.line(chart.curve(plot, curve(shown, run, |s| 100.0 * s.water_content), t.lane(i), 2.0));
        }
    });
    for (i, capacity) in shown.capacities.iter().enumerate() {
        let y = chart.y(plot, 100.0 * capacity);
        let ends = [pos2(plot.left(), y), pos2(plot.right(), y)];
        ui.painter().with_clip_rect(plot).extend(Shape::dotted_line(&ends, t.lane(i), 5.0, 1.0));
    }
    dry_back(ui, scene, plot, &chart);
    if let Some(hour) = scene.cursor {
        at_pointer(ui, scene, plot, &chart, hour);
    }
}

fn band(lane: &Lane) -> Option<(f64, f64)> {
    lane.targets.water_content.map(|(low, high)| (100.0 * low, 100.0 * high))
}

fn range(shown: &Projection, ghost: Option<&Projection>, height: f32) -> Chart {
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    let mut hold = |value: f64| {
        low = low.min(value);
        high = high.max(value);
    };
    for (lane, capacity) in shown.scenario.lanes.iter().zip(&shown.capacities) {
        hold(100.0 * capacity);
        if let Some((low, high)) = band(lane) {
            hold(low);
            hold(high);
        }
    }
    for projection in std::iter::once(shown).chain(ghost) {
        for (_, _, run) in projection.lanes() {
            for point in curve(projection, run, |s| 100.0 * s.water_content) {
                hold(point[1]);
            }
        }
    }
    if low > high {
        return Chart::around(0.0, 100.0, 4.0);
    }
    Chart::around((low - 1.0).max(0.0), (high + 1.0).min(100.0), f64::from(height / 46.0))
}

/// What the night takes, as a bracket at the end of the day.
fn dry_back(ui: &Ui, scene: &Scene<'_>, plot: Rect, chart: &Chart) {
    let (t, shown) = (scene.t, scene.bench.shown());
    let midnight = shown.midnight_s();
    for (i, _, run) in shown.lanes() {
        let Some(figures) = shown.reports.get(i).and_then(Option::as_ref).map(|r| &r.figures) else { continue };
        let Some(night) = figures.dry_back else { continue };
        #[allow(clippy::cast_possible_truncation)]
        let x = |s: f64| plot.left() + plot.width() * ((s - midnight) / 86_400.0).clamp(0.0, 1.0) as f32;
        let at = x(night.from_s).max(plot.left());
        let bracket = plot.right() - 10.0 - 8.0 * (i as f32);
        let (top, end) = (chart.y(plot, 100.0 * night.from), chart.y(plot, 100.0 * night.to));
        if bracket <= at || end - top < 6.0 {
            continue;
        }
        let stroke = Stroke::new(1.0, t.lane(i));
        let paint = ui.painter().with_clip_rect(plot);
        paint.hline(at..=bracket, top, Stroke::new(1.0, t.lane(i).gamma_multiply(0.5)));
        paint.vline(bracket, top..=end, stroke);
        paint.hline(bracket - 3.0..=bracket + 3.0, end, stroke);
        let later = if run.series.at(midnight + 86_400.0).is_some_and(|s| 100.0 * (s.water_content - night.to) > 0.15) {
            ", by morning"
        } else {
            ""
        };
        let text = format!("dry-back {:.1} pt{later}", night.points);
        note(ui, t, pos2(bracket - 2.0, top - 2.0) - vec2(0.0, 1.0), Align2::RIGHT_BOTTOM, &text, t.ink);
    }
}

fn at_pointer(ui: &Ui, scene: &Scene<'_>, plot: Rect, chart: &Chart, hour: f64) {
    let (t, shown) = (scene.t, scene.bench.shown());
    #[allow(clippy::cast_possible_truncation)]
    let x = plot.left() + plot.width() * (hour / 24.0) as f32;
    let at = shown.midnight_s() + hour * 3600.0;
    let values: Vec<_> = shown
        .lanes()
        .filter_map(|(i, _, run)| {
            let percent = 100.0 * run.series.at(at)?.water_content;
            Some((chart.y(plot, percent), t.lane(i), format!("{percent:.1}")))
        })
        .collect();
    readings(ui, t, plot, x, &values);
}
