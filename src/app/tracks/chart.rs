//! What all plots share: a fixed view of one day, marks at round numbers, curves, readings under the pointer.

use eframe::egui::{self, Align2, Color32, CornerRadius, Id, Pos2, Rect, Sense, Shape, Stroke, StrokeKind, Ui, UiBuilder, pos2, vec2};
use egui_plot::{Line, LineStyle, Plot, PlotPoints, PlotTransform, PlotUi};

use crate::app::projection::Projection;
use crate::app::theme::{self, NOTE, Tokens};
use crate::engine::run::LaneRun;
use crate::engine::series::Sample;
use crate::scenario::DAY_S;

/// The upright range of a plot and its marks.
#[derive(Clone, Debug, PartialEq)]
pub struct Chart {
    /// Lowest value.
    pub low: f64,
    /// Highest value.
    pub high: f64,
    /// Between marks.
    pub step: f64,
}

impl Chart {
    /// A range that holds two values, opened to round marks, with about so many of them.
    #[must_use]
    pub fn around(low: f64, high: f64, marks: f64) -> Self {
        let span = (high - low).max(1e-6);
        let rough = span / marks.max(1.0);
        let power = 10_f64.powf(rough.log10().floor());
        let step = [1.0, 2.0, 5.0, 10.0].into_iter().map(|m| m * power).find(|s| *s >= rough * 0.999).unwrap_or(10.0 * power);
        Self { low: (low / step).floor() * step, high: (high / step).ceil() * step, step }
    }

    /// The values that are marked.
    pub fn marks(&self) -> impl Iterator<Item = f64> {
        let (low, high, step) = (self.low, self.high, self.step);
        (0..60_u8).map(move |k| low + f64::from(k) * step).take_while(move |v| *v <= high + 1e-9 * step)
    }

    /// Where a value stands in a plot.
    #[must_use]
    #[allow(clippy::cast_possible_truncation)]
    pub fn y(&self, plot: Rect, value: f64) -> f32 {
        plot.bottom() - plot.height() * ((value - self.low) / (self.high - self.low)) as f32
    }

    /// Marks, their numbers, and the hours.
    pub fn axes(&self, ui: &Ui, t: &Tokens, plot: Rect) {
        let paint = ui.painter();
        for hour in (0..=24_u8).step_by(3) {
            let x = plot.left() + plot.width() * f32::from(hour) / 24.0;
            paint.vline(x, plot.y_range(), Stroke::new(1.0, t.grid));
        }
        let decimals = usize::from(self.step < 0.999) + usize::from(self.step < 0.0999);
        for value in self.marks() {
            let y = self.y(plot, value);
            paint.hline(plot.x_range(), y, Stroke::new(1.0, t.grid));
            paint.text(pos2(plot.left() - 6.0, y), Align2::RIGHT_CENTER, format!("{value:.decimals$}"), theme::plain(NOTE), t.quiet);
        }
    }

    /// A lane's quantity through the day as a curve for a plot of a size.
    pub fn curve(&self, plot: Rect, points: Vec<[f64; 2]>, colour: Color32, width: f32) -> Line<'static> {
        let hours = 24.0 / f64::from(plot.width().max(1.0));
        let value = (self.high - self.low) / f64::from(plot.height().max(1.0));
        line(thinned(points, 0.6 * hours, 0.6 * value), colour, LineStyle::Solid, width)
    }

    /// The plot itself: it neither pans nor zooms, so that a drag meant for an event never moves the view.
    pub fn plot<'a>(&self, ui: &mut Ui, id: &'static str, rect: Rect, build: impl FnOnce(&mut PlotUi<'a>) + 'a) -> PlotTransform {
        let (low, high) = (self.low, self.high);
        ui.scope_builder(UiBuilder::new().max_rect(rect), move |ui| {
            Plot::new(id)
                .id(Id::unique(id))
                .width(rect.width())
                .height(rect.height())
                .show_axes(false)
                .show_grid(false)
                .show_background(false)
                .show_x(false)
                .show_y(false)
                .set_margin_fraction(egui::Vec2::ZERO)
                .sense(Sense::hover())
                .allow_drag(false)
                .allow_zoom(false)
                .allow_scroll(false)
                .allow_boxed_zoom(false)
                .allow_axis_zoom_drag(false)
                .allow_double_click_reset(false)
                .cursor_color(Color32::TRANSPARENT)
                .show(ui, move |plot| {
                    plot.set_plot_bounds_x(0.0..=24.0);
                    plot.set_plot_bounds_y(low..=high);
                    build(plot);
                })
                .transform
        })
        .inner
    }
}

/// A quantity of a lane through the day shown, against hours.
pub fn curve(shown: &Projection, run: &LaneRun, value: impl Fn(&Sample) -> f64) -> Vec<[f64; 2]> {
    let midnight = shown.midnight_s();
    let hour = |s: f64| (s - midnight) / 3600.0;
    run.series.span(midnight, midnight + DAY_S).iter().map(|s| [hour(s.time_s), value(s)]).collect()
}

/// A curve without the points that lie on their forerunner as drawn: steps of a second would only blot its corners.
fn thinned(points: Vec<[f64; 2]>, hours: f64, value: f64) -> Vec<[f64; 2]> {
    let mut kept: Vec<[f64; 2]> = Vec::with_capacity(points.len());
    for point in points {
        let far = |last: &[f64; 2]| (point[0] - last[0]).abs() > hours || (point[1] - last[1]).abs() > value;
        if kept.last().is_none_or(far) {
            kept.push(point);
        }
    }
    kept
}

/// A drawn curve.
#[must_use]
pub fn line(points: Vec<[f64; 2]>, colour: Color32, style: LineStyle, width: f32) -> Line<'static> {
    Line::new("", PlotPoints::from(points)).color(colour).style(style).width(width).allow_hover(false).allow_band(false)
}

/// Values at the pointer's time: a dot on each curve and a label beside the line, pushed apart where they would meet.
pub fn readings(ui: &Ui, t: &Tokens, plot: Rect, x: f32, values: &[(f32, Color32, String)]) {
    let paint = ui.painter();
    let mut order: Vec<_> = values.iter().filter(|v| v.0.is_finite()).collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0));
    let height = 17.0;
    let mut tops: Vec<f32> = Vec::new();
    for (y, ..) in &order {
        let wanted = y - 0.5 * height;
        tops.push(tops.last().map_or(wanted, |above| wanted.max(above + height + 1.0)));
    }
    // Pushed down past the base: pull all of them up again.
    let over = tops.last().map_or(0.0, |last| (last + height - plot.bottom()).max(0.0));
    for ((y, colour, text), top) in order.into_iter().zip(tops) {
        paint.circle(pos2(x, *y), 3.5, *colour, Stroke::new(1.0, t.card));
        label_beside(ui, t, plot, x, top - over + 0.5 * height, *colour, text);
    }
}

/// A framed text right of a point, or left of it near the plot's end.
pub fn label_beside(ui: &Ui, t: &Tokens, plot: Rect, x: f32, y: f32, frame: Color32, text: &str) {
    let paint = ui.painter();
    let label = paint.layout_no_wrap(text.to_owned(), theme::plain(NOTE), t.ink);
    let size = vec2(label.size().x + 12.0, 17.0);
    let left = if x + 8.0 + size.x > plot.right() { x - 8.0 - size.x } else { x + 8.0 };
    let chip = Rect::from_min_size(pos2(left, (y - 0.5 * size.y).max(plot.top())), size);
    paint.rect(chip, CornerRadius::same(3), t.card, Stroke::new(1.0, frame), StrokeKind::Inside);
    paint.galley(chip.center() - 0.5 * label.size(), label, t.ink);
}

/// A short text inside a plot, on a ground that lets it be read over curves.
pub fn note(ui: &Ui, t: &Tokens, at: Pos2, align: Align2, text: &str, colour: Color32) {
    let paint = ui.painter();
    let label = paint.layout_no_wrap(text.to_owned(), theme::plain(NOTE - 0.5), colour);
    let rect = align.anchor_size(at, label.size());
    paint.add(Shape::rect_filled(rect.expand2(vec2(2.0, 0.0)), 2, t.paper.gamma_multiply(0.6)));
    paint.galley(rect.min, label, colour);
}

#[cfg(test)]
mod tests {
    use super::Chart;

    #[test]
    fn ranges_open_to_round_marks() {
        assert_eq!(Chart::around(53.2, 82.4, 4.0), Chart { low: 50.0, high: 90.0, step: 10.0 });
        assert_eq!(Chart::around(0.0, 0.0, 4.0).marks().count(), 2.min(Chart::around(0.0, 0.0, 4.0).marks().count()));
        let marks: Vec<f64> = Chart::around(0.0, 210.0, 3.0).marks().collect();
        assert_eq!(marks, [0.0, 100.0, 200.0, 300.0]);
    }
}
