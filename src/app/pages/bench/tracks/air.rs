//! *Air*: how dry the air above the canopy is, as the climate has it.

use eframe::egui::{Align2, Id, Rect, Ui};
use egui_plot::{Line, PlotPoints};

use super::chart::{Chart, Reading, Side, note, readings};
use super::curves::hours;
use super::scene::Scene;
use crate::units::HOUR_S;

/// Between two points of the line, h: five minutes.
const EVERY_H: f64 = 1.0 / 12.0;

/// Vapour pressure deficit at an hour of the picture, kPa; `None` without a climate.
#[must_use]
pub fn deficit(scene: &Scene<'_>, hour: f64) -> Option<f64> {
    let shown = scene.shown();
    let scenario = &shown.scenario;
    let before = hours(shown.day_of_bench(0));
    Some(scenario.climate.as_ref()?.air((before + hour) * HOUR_S, &scenario.light)?.deficit())
}

/// A deficit in words.
#[must_use]
pub fn words(kpa: f64) -> String {
    format!("deficit {kpa:.2} kPa")
}

/// Draws the track.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, plot: Rect) {
    let t = scene.t;
    let hours = |from: f64, to: f64| std::iter::successors(Some(from), move |h| (h + EVERY_H <= to).then_some(h + EVERY_H));
    let all = hours(scene.whole.from_h, scene.whole.to_h).filter_map(|h| deficit(scene, h));
    let high = all.fold(0.0, f64::max);
    let chart = Chart::around(0.0, (1.1 * high).max(0.5), f64::from(plot.height() / 34.0));
    scene.ground(ui, plot, ["Air", "vapour pressure deficit, kPa", "the higher, the drier"], &chart);
    let points: Vec<[f64; 2]> = hours(scene.span.from_h, scene.span.to_h).filter_map(|h| Some([h, deficit(scene, h)?])).collect();
    if points.is_empty() {
        note(ui, t, plot.center(), Align2::CENTER_CENTER, "No climate is chosen: it stands in the setup, under All lanes", t.quiet);
        return;
    }
    let line = Line::new("", PlotPoints::from(points)).color(t.ink).width(1.5).allow_hover(false).allow_band(false);
    chart.plot(ui, Id::unique("air, lines"), plot, scene.span, vec![line]);
    if let Some((hour, kpa)) = scene.cursor.and_then(|hour| Some((hour, deficit(scene, hour)?))) {
        let reading = Reading { y: chart.y(plot, kpa), colour: t.ink, text: format!("{kpa:.2}") };
        readings(ui, t, plot, scene.span.x(plot, hour), Side::Right, vec![reading]);
    }
}
