//! *Demand*: what plants take up an hour, and what they ask for.

use eframe::egui::{Rect, Ui};

use super::chart::{Chart, Reading, Side, readings};
use super::curves::Moment;
use super::scene::Scene;
use crate::units::Quantity;

/// Share of the demand that counts as all of it: what is written is rounded to whole percent.
const ALL: f64 = 0.995;

/// Taken up, mL an hour per plant.
pub fn taken_up(moment: &Moment<'_>) -> Option<f64> {
    moment.rate(|l| l.water.taken_up)
}

/// Asked for, mL an hour per plant.
pub fn asked(moment: &Moment<'_>) -> Option<f64> {
    moment.rate(|l| l.water.demanded)
}

/// Draws the track.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, plot: Rect) {
    let (t, shown, units) = (scene.t, scene.shown(), scene.units);
    let ml = |v: f64| Quantity::Millilitres.shown(v, units);
    let high = [scene.extent(&asked), scene.extent(&taken_up)].into_iter().flatten().map(|e| e.1).fold(0.0, f64::max);
    let chart = Chart::around(0.0, ml(1.1 * high).max(ml(10.0)), f64::from(plot.height() / 34.0));
    let unit = format!("{} an hour per plant", Quantity::Millilitres.unit(units));
    scene.ground(ui, plot, ["Demand", &unit, "line: taken up · thin: asked for"], &chart);
    scene.thin_lines(ui, "demand, asked", plot, &chart, &|m| asked(m).map(ml));
    scene.lines(ui, "demand, lines", plot, &chart, &|m| taken_up(m).map(ml));
    if let Some(hour) = scene.cursor {
        let read = |(i, _, run)| {
            let taken = scene.read(run, hour, taken_up)?;
            let text = words(taken, scene.read(run, hour, asked)?, scene);
            Some(Reading { y: chart.y(plot, ml(taken)), colour: t.lane(i), text })
        };
        readings(ui, t, plot, scene.span.x(plot, hour), Side::Right, shown.lanes().filter_map(read).collect());
    }
}

/// What is taken up, and how much of what is asked for that is.
#[must_use]
pub fn words(taken: f64, asked: f64, scene: &Scene<'_>) -> String {
    let amount = Quantity::Millilitres.text(taken, scene.units);
    if taken >= ALL * asked {
        return format!("{amount}, all met");
    }
    format!("{amount}, {:.0} % met", 100.0 * taken / asked.max(1e-9))
}
