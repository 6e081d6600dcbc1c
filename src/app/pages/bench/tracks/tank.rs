//! *Tank*: litres in the tank through the days; its EC is the dashed feed line of the *Salt* track.

use eframe::egui::{Align2, Id, Rect, Ui};
use egui_plot::{Line, PlotPoints};

use super::chart::{Chart, Reading, Side, note, readings};
use super::scene::Scene;
use crate::engine::supply::tank::{TankLog, TankPoint};
use crate::projection::Projection;
use crate::units::{HOUR_S, Quantity};

/// The tank's log, where a run has one that goes day by day.
#[must_use]
pub fn log(shown: &Projection) -> Option<&TankLog> {
    // The settled day is one of many: its place in the log is not the day shown.
    if shown.settled.is_some() {
        return None;
    }
    shown.timetable(0)?.tank.as_deref()
}

/// The tank at an hour of the picture.
#[must_use]
pub fn at(scene: &Scene<'_>, hour: f64) -> Option<TankPoint> {
    log(scene.shown())?.at(hour * HOUR_S)
}

/// The points of the log that are seen, and one beyond either end.
#[must_use]
pub fn seen<'a>(scene: &Scene<'_>, log: &'a TankLog) -> &'a [TankPoint] {
    let from = log.points.partition_point(|p| p.time_s < scene.span.from_h * HOUR_S).saturating_sub(1);
    let to = (log.points.partition_point(|p| p.time_s <= scene.span.to_h * HOUR_S) + 1).min(log.points.len());
    &log.points[from..to.max(from)]
}

/// What it holds at an hour, in words.
#[must_use]
pub fn words(scene: &Scene<'_>, point: &TankPoint) -> String {
    format!("tank {}, EC {}", Quantity::Litres.text(point.litres, scene.units), Quantity::Ec.text(point.ec, scene.units))
}

/// Draws the track.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, plot: Rect) {
    let (t, shown) = (scene.t, scene.shown());
    let litres = |v: f64| Quantity::Litres.shown(v, scene.units);
    let full = shown.scenario.tank.map_or(1.0, |tank| tank.litres);
    let chart = Chart::around(0.0, litres(1.05 * full), f64::from(plot.height() / 34.0));
    scene.ground(ui, plot, ["Tank", &format!("{} in it", Quantity::Litres.unit(scene.units)), ""], &chart);
    let Some(log) = log(shown) else {
        let text = match (shown.scenario.tank, &shown.settled) {
            (Some(_), Some(_)) => "The tank is told day by day: show a day of the run",
            _ => "No tank: switch on One tank for all lanes in the setup, under Tank and drain",
        };
        note(ui, t, plot.center(), Align2::CENTER_CENTER, text, t.quiet);
        return;
    };
    let points: Vec<[f64; 2]> = seen(scene, log).iter().map(|p| [p.time_s / HOUR_S, litres(p.litres)]).collect();
    let line = Line::new("", PlotPoints::from(points)).color(t.event_strong).width(1.5).allow_hover(false).allow_band(false);
    chart.plot(ui, Id::unique("tank, lines"), plot, scene.span, vec![line]);
    if let Some((hour, point)) = scene.cursor.and_then(|hour| Some((hour, at(scene, hour)?))) {
        let text = words(scene, &point).replacen("tank ", "", 1);
        let reading = Reading { y: chart.y(plot, litres(point.litres)), colour: t.event_strong, text };
        readings(ui, t, plot, scene.span.x(plot, hour), Side::Right, vec![reading]);
    }
}
