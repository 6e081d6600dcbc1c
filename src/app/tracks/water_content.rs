//! *Water content*: a curve per lane, its target band, container capacity, and the curve before a change.

use eframe::egui::{Align2, Rect, Shape, Stroke, Ui, pos2, vec2};

use super::chart::{Chart, Reading, Side, note, readings};
use super::curves::{Moment, Role, hours};
use super::scene::Scene;
use crate::scenario::Lane;

/// Water content, percent by volume.
#[allow(clippy::unnecessary_wraps)] // as every track's value
pub fn value(moment: &Moment<'_>) -> Option<f64> {
    Some(100.0 * moment.now.water_content)
}

/// Draws the track.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, plot: Rect) {
    let (t, shown) = (scene.t, scene.shown());
    let chart = range(scene, plot.height());
    let key = match scene.faintest() {
        Some(Role::Before) => "faint: as it was before",
        Some(_) => "dashes: pinned",
        None => "shaded: target · dotted: container capacity",
    };
    scene.ground(ui, plot, ["Water content", "% by volume", key], &chart);
    for (i, lane, _) in shown.lanes() {
        if let Some(band) = band(lane) {
            chart.band(ui, plot, band, t.band(t.lane(i)));
        }
    }
    scene.lines(ui, "water content, lines", plot, &chart, &value);
    for (i, capacity) in shown.capacities.iter().enumerate() {
        let y = chart.y(plot, 100.0 * capacity);
        let ends = [pos2(plot.left(), y), pos2(plot.right(), y)];
        ui.painter().with_clip_rect(plot).extend(Shape::dotted_line(&ends, t.lane(i), 5.0, 1.0));
    }
    dry_back(ui, scene, plot, &chart);
    if let Some(hour) = scene.cursor {
        let read = |(i, _, run)| {
            let percent = scene.read(run, hour, value)?;
            Some(Reading { y: chart.y(plot, percent), colour: t.lane(i), text: format!("{percent:.1}") })
        };
        readings(ui, t, plot, scene.span.x(plot, hour), Side::Right, shown.lanes().filter_map(read).collect());
    }
}

fn band(lane: &Lane) -> Option<(f64, f64)> {
    lane.targets.water_content.map(|(low, high)| (100.0 * low, 100.0 * high))
}

fn range(scene: &Scene<'_>, height: f32) -> Chart {
    let (mut low, mut high) = scene.extent(&value).unwrap_or((f64::INFINITY, f64::NEG_INFINITY));
    let shown = scene.shown();
    for (lane, capacity) in shown.scenario.lanes.iter().zip(&shown.capacities) {
        let (from, to) = band(lane).unwrap_or((100.0 * capacity, 100.0 * capacity));
        low = low.min(from).min(100.0 * capacity);
        high = high.max(to).max(100.0 * capacity);
    }
    if low > high {
        return Chart::around(0.0, 100.0, 4.0);
    }
    Chart::around((low - 1.0).max(0.0), (high + 1.0).min(100.0), f64::from(height / 46.0))
}

/// What the night takes, as a bracket at the end of the day that the figures are of.
fn dry_back(ui: &Ui, scene: &Scene<'_>, plot: Rect, chart: &Chart) {
    let (t, shown, span) = (scene.t, scene.shown(), scene.span);
    let midnight = hours(shown.day + 1);
    // Where the evening cannot be seen there is nothing to bracket.
    if !span.holds(midnight) {
        return;
    }
    let end = span.x(plot, midnight);
    for (i, _, run) in shown.lanes() {
        let Some(figures) = shown.reports.get(i).and_then(Option::as_ref).map(|r| &r.figures) else { continue };
        let Some(night) = figures.dry_back else { continue };
        let at = span.x(plot, (night.from_s / 3600.0).min(midnight)).max(plot.left());
        #[allow(clippy::cast_precision_loss)]
        let bracket = end - 10.0 - 8.0 * (i as f32);
        let (top, base) = (chart.y(plot, 100.0 * night.from), chart.y(plot, 100.0 * night.to));
        if bracket <= at || base - top < 6.0 {
            continue;
        }
        let paint = ui.painter().with_clip_rect(plot);
        paint.hline(at..=bracket, top, Stroke::new(1.0, t.lane(i).gamma_multiply(0.5)));
        paint.vline(bracket, top..=base, Stroke::new(1.0, t.lane(i)));
        paint.hline(bracket - 3.0..=bracket + 3.0, base, Stroke::new(1.0, t.lane(i)));
        let goes_on = run.series.at(midnight * 3600.0).is_some_and(|s| 100.0 * (s.water_content - night.to) > 0.15);
        let text = format!("dry-back {:.1} pt{}", night.points, if goes_on { ", by morning" } else { "" });
        note(ui, t, pos2(bracket - 2.0, top - 2.0) - vec2(0.0, 1.0), Align2::RIGHT_BOTTOM, &text, t.ink);
    }
}
