//! *Water content*: a curve per lane, its target band, container capacity, and the curve before a change.

use eframe::egui::{Align2, Pos2, Rect, Shape, Stroke, Ui, pos2, vec2};

use super::bands;
use super::chart::{Chart, Reading, Side, note, readings};
use super::curves::{Moment, Role, hours};
use super::overlays;
use super::scene::Scene;
use super::spread_bands;
use crate::projection::origin::Figure;
use crate::scenario::{Clock, Rule, When};
use crate::units::HOUR_S;

/// Water content, percent by volume.
#[allow(clippy::unnecessary_wraps)] // as every track's value
pub fn value(moment: &Moment<'_>) -> Option<f64> {
    Some(100.0 * moment.now.water_content)
}

/// Water content at the probe, percent by volume; `None` without one.
pub fn at_probe(moment: &Moment<'_>) -> Option<f64> {
    moment.now.probe.map(|theta| 100.0 * theta)
}

/// Draws the track.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, plot: Rect) {
    let (t, shown) = (scene.t, scene.shown());
    let chart = range(scene, plot.height());
    let over = overlays::key(scene.bench);
    let key = match scene.faintest() {
        _ if over.is_some() => over.as_deref().unwrap_or_default(),
        _ if spread_bands::any(scene) => "soft band: eight of ten · shaded: aim",
        Some(Role::Before) => "faint: as it was before",
        Some(_) => "dashes: pinned",
        None if scene
            .span
            .days()
            .any(|day| (0..shown.scenario.valves.len()).any(|v| rules_on(scene, v, day).iter().any(Rule::listens))) =>
        {
            "thin: probe · dashes: rule · dotted: capacity"
        }
        None if shown.scenario.lanes.iter().any(|l| l.probe.is_some()) => "thin: at the probe · dotted: container capacity",
        None => "shaded: aim · dotted: container capacity",
    };
    scene.ground(ui, plot, ["Water content", "% by volume", key], &chart);
    bands::draw(ui, t, plot, &chart, &bands::of(shown, Figure::Peak), &|v| 100.0 * v);
    spread_bands::draw(ui, scene, (plot, &chart), |c| &c.water_content, &|v| 100.0 * v);
    scene.thin_lines(ui, "water content, probes", plot, &chart, &at_probe);
    scene.lines(ui, "water content, lines", plot, &chart, &value);
    called_at(ui, scene, plot, &chart);
    for (i, capacity) in shown.capacities.iter().enumerate() {
        let y = chart.y(plot, 100.0 * capacity);
        let ends = [pos2(plot.left(), y), pos2(plot.right(), y)];
        ui.painter().with_clip_rect(plot).extend(Shape::dotted_line(&ends, t.lane(i), 5.0, 1.0));
    }
    dry_back(ui, scene, plot, &chart);
    if let Some(hour) = scene.cursor {
        let read = |(i, _, run)| {
            let percent = scene.read(run, hour, value)?;
            let probe = scene.read(run, hour, at_probe).map_or_else(String::new, |v| format!(" · probe {v:.1}"));
            Some(Reading { y: chart.y(plot, percent), colour: t.lane(i), text: format!("{percent:.1}{probe}") })
        };
        readings(ui, t, plot, scene.span.x(plot, hour), Side::Right, shown.lanes().filter_map(read).collect());
    }
}

/// The water content at which a rule calls for an event, where the probe's line meets it.
fn called_at(ui: &Ui, scene: &Scene<'_>, plot: Rect, chart: &Chart) {
    let (t, shown) = (scene.t, scene.shown());
    for (valve, day) in scene.span.days().flat_map(|day| (0..shown.scenario.valves.len()).map(move |valve| (valve, day))) {
        for rule in rules_on(scene, valve, day) {
            let When::Dry { lane, falls_to, .. } = &rule.when else { continue };
            let Some(i) = shown.scenario.lanes.iter().position(|l| l.name == *lane) else { continue };
            let y = chart.y(plot, 100.0 * falls_to);
            let x = |clock: Clock| scene.span.x(plot, hours(day) + clock.hours());
            let ends = [pos2(x(rule.first), y), pos2(x(rule.last), y)];
            ui.painter().with_clip_rect(plot).extend(Shape::dashed_line(&ends, Stroke::new(1.0, t.lane(i)), 5.0, 3.0));
        }
    }
}

/// The rules of a valve in force on a day seen.
fn rules_on<'a>(scene: &Scene<'a>, valve: usize, day: usize) -> &'a [Rule] {
    let shown = scene.bench.shown();
    let plan = shown.scenario.plan_on(valve, if shown.settled.is_some() { usize::MAX - 1 } else { day });
    shown.scenario.rules(plan)
}

fn range(scene: &Scene<'_>, height: f32) -> Chart {
    let (mut low, mut high) = scene.extent(&value).unwrap_or((f64::INFINITY, f64::NEG_INFINITY));
    if let Some((least, most)) = scene.extent(&at_probe) {
        (low, high) = (low.min(least), high.max(most));
    }
    if let Some((least, most)) = spread_bands::extent(scene, |c| &c.water_content) {
        (low, high) = (low.min(100.0 * least), high.max(100.0 * most));
    }
    let shown = scene.shown();
    let ends = bands::of(shown, Figure::Peak).into_iter().flat_map(|band| [band.low, band.high]);
    for end in ends.chain(shown.capacities.iter().copied()) {
        (low, high) = (low.min(100.0 * end), high.max(100.0 * end));
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
    let mut labels = Vec::new();
    for (i, _, run) in shown.lanes() {
        let Some(figures) = shown.reports.get(i).and_then(Option::as_ref).map(|r| &r.figures) else { continue };
        let Some(night) = figures.dry_back else { continue };
        let at = span.x(plot, (night.from_s / HOUR_S).min(midnight)).max(plot.left());
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
        let goes_on = run.series.at(midnight * HOUR_S).is_some_and(|s| 100.0 * (s.water_content - night.to) > 0.15);
        let text = format!("dry-back {:.1} pt{}", night.points, if goes_on { ", by morning" } else { "" });
        labels.push(Label { at: pos2(bracket - 2.0, top - 3.0), lane: i, text });
    }
    let several = shown.run.lanes.len() > 1;
    for (label, bottom) in stacked(labels, plot) {
        let at = pos2(label.at.x, bottom);
        let rect = note(ui, t, at, Align2::RIGHT_BOTTOM, &label.text, t.ink);
        if several {
            let mark = Rect::from_center_size(rect.left_center() - vec2(7.0, 0.0), vec2(6.0, 6.0));
            ui.painter().rect_filled(mark, 1, t.lane(label.lane));
        }
    }
}

/// What is written at a bracket.
struct Label {
    /// Where its right lower corner is wanted.
    at: Pos2,
    lane: usize,
    text: String,
}

/// Height of a label and the gap above it.
const PITCH: f32 = 15.0;

/// Labels and their lower edges, none over another: what would meet is pushed up, and from the plot's top down again.
/// Those of later lanes that have no room are left out: their brackets stand, and their figures.
fn stacked(mut labels: Vec<Label>, plot: Rect) -> Vec<(Label, f32)> {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    labels.truncate((plot.height() / PITCH) as usize);
    labels.sort_by(|a, b| b.at.y.total_cmp(&a.at.y));
    let mut free = plot.bottom();
    let mut out: Vec<(Label, f32)> = Vec::new();
    for label in labels {
        let bottom = label.at.y.min(free);
        free = bottom - PITCH;
        out.push((label, bottom));
    }
    let mut least = plot.top() + PITCH;
    for (_, bottom) in out.iter_mut().rev() {
        *bottom = bottom.max(least);
        least = *bottom + PITCH;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_of_lanes_that_coincide_never_meet() {
        let plot = Rect::from_min_max(pos2(0.0, 0.0), pos2(100.0, 100.0));
        let at = |y: f32| Label { at: pos2(90.0, y), lane: 0, text: String::new() };
        let bottoms = |ys: &[f32]| -> Vec<f32> { stacked(ys.iter().map(|y| at(*y)).collect(), plot).iter().map(|s| s.1).collect() };
        assert_eq!(bottoms(&[80.0, 30.0]), [80.0, 30.0]);
        assert_eq!(bottoms(&[50.0, 50.0, 52.0]), [52.0, 37.0, 22.0]);
        assert_eq!(bottoms(&[2.0, 2.0]), [30.0, 15.0]);
        assert_eq!(bottoms(&[50.0; 9]).len(), 6, "as many as have room");
    }
}
