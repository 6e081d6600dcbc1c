//! The upright axis of a plot, and what is written into plots: readings beside a line, labels, notes.

use eframe::egui::{Align2, Color32, CornerRadius, Id, Pos2, Rect, Sense, Shape, Stroke, StrokeKind, Ui, UiBuilder, Vec2, pos2, vec2};
use egui_plot::{Line, Plot};

use super::span::Span;
use crate::app::look::theme::{self, NOTE, Tokens};

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

    /// What a point up is worth.
    #[must_use]
    pub fn per_point(&self, plot: Rect) -> f64 {
        (self.high - self.low) / f64::from(plot.height().max(1.0))
    }

    /// Marks, their numbers, and the hours.
    pub fn axes(&self, ui: &Ui, t: &Tokens, plot: Rect, span: Span) {
        let paint = ui.painter();
        for hour in span.marks(span.step(plot.width())) {
            paint.vline(span.x(plot, hour), plot.y_range(), Stroke::new(1.0, t.grid));
        }
        let decimals = usize::from(self.step < 0.999) + usize::from(self.step < 0.0999);
        for value in self.marks() {
            let y = self.y(plot, value);
            paint.hline(plot.x_range(), y, Stroke::new(1.0, t.grid));
            paint.text(pos2(plot.left() - 6.0, y), Align2::RIGHT_CENTER, format!("{value:.decimals$}"), theme::plain(NOTE), t.quiet);
        }
    }

    /// Curves on this range: the plot neither pans nor zooms, so that a drag meant for an event never moves the view.
    pub fn plot(&self, ui: &mut Ui, id: Id, rect: Rect, span: Span, curves: Vec<Line<'_>>) {
        let (low, high) = (self.low, self.high);
        ui.scope_builder(UiBuilder::new().max_rect(rect), move |ui| {
            Plot::new(id)
                .id(id)
                .width(rect.width())
                .height(rect.height())
                .show_axes(false)
                .show_grid(false)
                .show_background(false)
                .show_x(false)
                .show_y(false)
                .set_margin_fraction(Vec2::ZERO)
                .sense(Sense::hover())
                .allow_drag(false)
                .allow_zoom(false)
                .allow_scroll(false)
                .allow_boxed_zoom(false)
                .allow_axis_zoom_drag(false)
                .allow_double_click_reset(false)
                .cursor_color(Color32::TRANSPARENT)
                .show(ui, move |plot| {
                    plot.set_plot_bounds_x(span.from_h..=span.to_h);
                    plot.set_plot_bounds_y(low..=high);
                    for curve in curves {
                        plot.line(curve);
                    }
                });
        });
    }

    /// A band between two values, all the way across.
    pub fn band(&self, ui: &Ui, plot: Rect, (low, high): (f64, f64), fill: Color32) {
        let rect = Rect::from_x_y_ranges(plot.x_range(), self.y(plot, high)..=self.y(plot, low));
        ui.painter().with_clip_rect(plot).rect_filled(rect, 0, fill);
    }
}

/// A value at the time that is read.
pub struct Reading {
    /// Where it stands in the plot.
    pub y: f32,
    /// Its lane's colour.
    pub colour: Color32,
    /// What is written.
    pub text: String,
}

/// Which side of the line readings stand on, as long as there is room.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Before it.
    Left,
    /// After it.
    Right,
}

/// Height of a reading's frame, and of a line of readings.
const CHIP: f32 = 17.0;
const PITCH: f32 = CHIP + 1.0;

/// Values at the time that is read: a dot on each curve and a label beside the line. Labels that would meet are pushed apart, and
/// stand in several columns where a plot is too low for all of them.
pub fn readings(ui: &Ui, t: &Tokens, plot: Rect, x: f32, side: Side, mut values: Vec<Reading>) {
    values.retain(|v| v.y.is_finite());
    values.sort_by(|a, b| a.y.total_cmp(&b.y));
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let rows = ((plot.height() / PITCH) as usize).max(1);
    let columns = values.len().div_ceil(rows).max(1);
    let mut reach = 8.0;
    for column in 0..columns {
        // Every so many values go into a column, so that each stays near its curve.
        let own: Vec<&Reading> = values.iter().skip(column).step_by(columns).collect();
        let tops = apart(&own.iter().map(|v| v.y - 0.5 * CHIP).collect::<Vec<_>>(), plot.top(), plot.bottom());
        let mut widest = 0.0_f32;
        for (value, top) in own.into_iter().zip(tops) {
            let dot = pos2(x, value.y.clamp(plot.top(), plot.bottom()));
            ui.painter().circle(dot, 3.5, value.colour, Stroke::new(1.0, t.card));
            widest = widest.max(label_at(ui, t, plot, x, top + 0.5 * CHIP, (side, reach), value.colour, &value.text));
        }
        reach += widest + 3.0;
    }
}

/// Upper edges of labels, in order and not one over another, as near as can be to where they are wanted, between two heights.
fn apart(wanted: &[f32], top: f32, bottom: f32) -> Vec<f32> {
    let mut tops: Vec<f32> = Vec::with_capacity(wanted.len());
    for want in wanted {
        let want = want.max(top);
        tops.push(tops.last().map_or(want, |above| want.max(above + PITCH)));
    }
    // Pushed past the base: pull up what is in the way, from below.
    let mut base = bottom;
    for place in tops.iter_mut().rev() {
        *place = place.min(base - CHIP);
        base = *place - (PITCH - CHIP);
    }
    tops
}

/// How far a label may stand out of its plot at its sides, points.
const AROUND: f32 = 12.0;

/// A framed text beside a point, on the other side near the plot's end; none where neither side has room. Gives its width back.
#[allow(clippy::too_many_arguments)]
fn label_at(ui: &Ui, t: &Tokens, plot: Rect, x: f32, y: f32, (side, reach): (Side, f32), frame: Color32, text: &str) -> f32 {
    let paint = ui.painter();
    let label = paint.layout_no_wrap(text.to_owned(), theme::plain(NOTE), t.ink);
    let size = vec2(label.size().x + 12.0, CHIP);
    let (left, right) = (x - reach - size.x, x + reach);
    let at = match side {
        Side::Right if right + size.x > plot.right() => left,
        Side::Left if left < plot.left() => right,
        Side::Right => right,
        Side::Left => left,
    };
    let chip = Rect::from_min_size(pos2(at, y - 0.5 * size.y), size);
    if chip.left() < plot.left() - AROUND || chip.right() > plot.right() + AROUND {
        return size.x;
    }
    paint.rect(chip, CornerRadius::same(3), t.card, Stroke::new(1.0, frame), StrokeKind::Inside);
    paint.galley(chip.center() - 0.5 * label.size(), label, t.ink);
    size.x
}

/// A framed text right of a point, or left of it near the plot's end.
pub fn label_beside(ui: &Ui, t: &Tokens, plot: Rect, x: f32, y: f32, frame: Color32, text: &str) {
    label_at(ui, t, plot, x, y.max(plot.top() + 0.5 * CHIP), (Side::Right, 8.0), frame, text);
}

/// A short text inside a plot, on a ground that lets it be read over curves. Gives its place back.
pub fn note(ui: &Ui, t: &Tokens, at: Pos2, align: Align2, text: &str, colour: Color32) -> Rect {
    let paint = ui.painter();
    let label = paint.layout_no_wrap(text.to_owned(), theme::plain(NOTE - 0.5), colour);
    let rect = align.anchor_size(at, label.size());
    paint.add(Shape::rect_filled(rect.expand2(vec2(2.0, 0.0)), 2, t.paper.gamma_multiply(0.85)));
    paint.galley(rect.min, label, colour);
    rect
}

#[cfg(test)]
mod tests {
    use super::{CHIP, Chart, apart};

    #[test]
    fn ranges_open_to_round_marks() {
        assert_eq!(Chart::around(53.2, 82.4, 4.0), Chart { low: 50.0, high: 90.0, step: 10.0 });
        let marks: Vec<f64> = Chart::around(0.0, 210.0, 3.0).marks().collect();
        assert_eq!(marks, [0.0, 100.0, 200.0, 300.0]);
    }

    #[test]
    fn labels_never_meet_and_stay_inside() {
        let tops = apart(&[90.0, 91.0, 92.0, -5.0 + 98.0], 0.0, 100.0);
        assert!(tops.windows(2).all(|w| w[1] - w[0] >= CHIP), "{tops:?}");
        assert!(tops[0] >= 0.0 && tops[3] + CHIP <= 100.0, "{tops:?}");
        assert_eq!(apart(&[10.0, 50.0], 0.0, 100.0), [10.0, 50.0]);
    }
}
