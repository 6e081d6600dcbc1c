//! *Suction*: how hard roots have to pull, mean of the layers by their share of the roots.

use eframe::egui::{Rect, Ui};

use super::chart::{Chart, Reading, Side, readings};
use super::curves::Moment;
use super::scene::Scene;
use crate::units::{CM_PER_KPA, Quantity, Units};

/// Least the view reaches up to, kPa.
const LEAST_TOP: f64 = 2.0;

/// Root-weighted suction, kPa.
#[allow(clippy::unnecessary_wraps)] // as every track's value
pub fn value(moment: &Moment<'_>) -> Option<f64> {
    Some(moment.now.suction_kpa)
}

/// A suction in the unit shown.
fn shown(kpa: f64, units: Units) -> f64 {
    Quantity::Head.shown(-CM_PER_KPA * kpa, units)
}

/// A suction in words.
#[must_use]
pub fn words(kpa: f64, units: Units) -> String {
    Quantity::Head.text(-CM_PER_KPA * kpa, units)
}

/// Draws the track.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, plot: Rect) {
    let (t, units) = (scene.t, scene.units);
    let high = scene.extent(&value).map_or(0.0, |(_, high)| high);
    let chart = Chart::around(0.0, shown((1.1 * high).max(LEAST_TOP), units), f64::from(plot.height() / 34.0));
    let unit = format!("{} around the roots", Quantity::Head.unit(units));
    scene.ground(ui, plot, ["Suction", &unit, "the higher, the harder roots pull"], &chart);
    scene.lines(ui, "suction, lines", plot, &chart, &|m| value(m).map(|kpa| shown(kpa, units)));
    if let Some(hour) = scene.cursor {
        let read = |(i, _, run)| {
            let kpa = scene.read(run, hour, value)?;
            Some(Reading { y: chart.y(plot, shown(kpa, units)), colour: t.lane(i), text: words(kpa, units) })
        };
        readings(ui, t, plot, scene.span.x(plot, hour), Side::Right, scene.shown().lanes().filter_map(read).collect());
    }
}
