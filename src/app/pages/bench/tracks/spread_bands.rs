//! How sure a curve is: on the last day of the bench the band that eight of ten members of its spread lie in, as long as that spread is of the
//! bench as it stands. Behind the curves, between dotted ends.

use eframe::egui::{Rect, Shape, Ui, pos2};

use super::chart::Chart;
use super::curves::hours;
use super::scene::Scene;

use crate::app::look::shapes;
use crate::studies::spread::{Band, CurveBands, Spread};

/// Strength of a band, as a share of the lane's colour.
const STRENGTH: f32 = 0.16;

/// Of a lane's bands the one that a track draws.
pub type Of = fn(&CurveBands) -> &Vec<Band>;

/// The spread, where its day is in the picture.
fn seen<'a>(scene: &Scene<'a>) -> Option<(&'a Spread, usize)> {
    let day = (scene.spread?.days as usize).checked_sub(1)?;
    let of_this_day = scene.shown().settled.is_none() && scene.bench.ghost().is_none();
    (of_this_day && scene.span.days().any(|d| d == day)).then_some((scene.spread?, day))
}

/// Whether there are any.
pub fn any(scene: &Scene<'_>) -> bool {
    seen(scene).is_some()
}

/// Lowest and highest value of all bands; `None` without any.
pub fn extent(scene: &Scene<'_>, of: Of) -> Option<(f64, f64)> {
    let (spread, _) = seen(scene)?;
    let ends = spread.lanes.iter().flat_map(|lane| of(&lane.curves).iter().flat_map(|b| [b[0], b[2]]));
    ends.fold(None, |found: Option<(f64, f64)>, v| Some(found.map_or((v, v), |(low, high)| (low.min(v), high.max(v)))))
}

/// Draws the bands; `at` turns a value into what the chart shows.
pub fn draw(ui: &Ui, scene: &Scene<'_>, (plot, chart): (Rect, &Chart), of: Of, at: &dyn Fn(f64) -> f64) {
    let Some((spread, day)) = seen(scene) else { return };
    let paint = ui.painter().with_clip_rect(plot);
    for (i, lane) in spread.lanes.iter().enumerate() {
        let colour = scene.t.lane(i);
        let end = |hour: f64, value: f64| pos2(scene.span.x(plot, hours(day) + hour), chart.y(plot, at(value)));
        let ends = |which: usize| -> Vec<_> { lane.curves.hours.iter().zip(of(&lane.curves)).map(|(h, b)| end(*h, b[which])).collect() };
        let (low, high) = (ends(0), ends(2));
        paint.add(shapes::between(&low, &high, colour.gamma_multiply(STRENGTH)));
        for end in [low, high] {
            paint.extend(Shape::dotted_line(&end, colour.gamma_multiply(0.7), 4.0, 0.8));
        }
    }
}
