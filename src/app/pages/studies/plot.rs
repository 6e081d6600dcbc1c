//! Plots of studies: two plain axes with round marks, and points on them.

use eframe::egui::accesskit::Role;
use eframe::egui::{Align2, Color32, Pos2, Rect, Response, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

use crate::app::look::shapes;
use crate::app::look::theme::{self, NOTE, Tokens};
use crate::app::pages::bench::tracks::chart::Chart;

/// Room left of a plot for numbers, and below it for numbers and a title.
const LEFT: f32 = 44.0;
const BELOW: f32 = 36.0;
const ABOVE: f32 = 20.0;

/// A plot as it was drawn.
pub struct Plot {
    /// Where its values stand.
    pub rect: Rect,
    x: Chart,
    y: Chart,
}

/// An axis: what it is, and its ends.
pub struct Axis<'a> {
    /// What it is, with its unit.
    pub title: &'a str,
    /// Least and most that stand on it.
    pub ends: (f64, f64),
    /// What stands on it are powers of two, and so are told the numbers.
    pub doubles: bool,
}

/// The hours of a day.
const HOURS: Chart = Chart { low: 0.0, high: 24.0, step: 4.0 };

impl<'a> Axis<'a> {
    /// An even axis.
    #[must_use]
    pub const fn even(title: &'a str, ends: (f64, f64)) -> Self {
        Self { title, ends, doubles: false }
    }

    fn chart(&self, marks: f64) -> Chart {
        if self.doubles {
            Chart { low: self.ends.0.floor(), high: self.ends.1.ceil(), step: 1.0 }
        } else if self.ends == (HOURS.low, HOURS.high) {
            HOURS
        } else {
            Chart::around(self.ends.0, self.ends.1, marks)
        }
    }
}

impl Plot {
    /// Draws the axes. `told` is what those hear who do not see it.
    pub fn axes(ui: &mut Ui, t: &Tokens, height: f32, x: &Axis<'_>, y: &Axis<'_>, told: &str) -> (Self, Response) {
        let width = ui.available_width().min(860.0);
        let (whole, response) = ui.allocate_exact_size(vec2(width, height), Sense::click());
        response.widget_info(|| WidgetInfo::labeled(Role::Figure, true, told));
        let rect = Rect::from_min_max(pos2(whole.left() + LEFT, whole.top() + ABOVE), pos2(whole.right() - 16.0, whole.bottom() - BELOW));
        let plot = Self { rect, x: x.chart(8.0), y: y.chart(5.0) };
        let paint = ui.painter();
        paint.rect(rect, 0, t.card, Stroke::new(1.0, t.rule), StrokeKind::Inside);
        for value in plot.x.marks() {
            let at = plot.at(value, plot.y.low).x;
            let text = if x.doubles { doubled(value) } else { number(value, plot.x.step) };
            paint.vline(at, rect.y_range(), Stroke::new(1.0, t.grid));
            paint.text(pos2(at, rect.bottom() + 4.0), Align2::CENTER_TOP, text, theme::plain(NOTE), t.quiet);
        }
        for value in plot.y.marks() {
            let at = plot.at(plot.x.low, value).y;
            paint.hline(rect.x_range(), at, Stroke::new(1.0, t.grid));
            paint.text(pos2(rect.left() - 6.0, at), Align2::RIGHT_CENTER, number(value, plot.y.step), theme::plain(NOTE), t.quiet);
        }
        paint.text(pos2(rect.right(), whole.bottom() - 2.0), Align2::RIGHT_BOTTOM, x.title, theme::plain(NOTE), t.quiet);
        paint.text(pos2(rect.left(), whole.top()), Align2::LEFT_TOP, y.title, theme::plain(NOTE), t.quiet);
        (plot, response)
    }

    /// Where a point stands.
    #[must_use]
    #[allow(clippy::cast_possible_truncation)]
    pub fn at(&self, x: f64, y: f64) -> Pos2 {
        let share = (x - self.x.low) / (self.x.high - self.x.low);
        pos2(self.rect.left() + self.rect.width() * share as f32, self.y.y(self.rect, y))
    }

    /// A line through points; where one is missing, it breaks off.
    pub fn line(&self, ui: &Ui, points: &[Option<(f64, f64)>], stroke: Stroke) {
        let paint = ui.painter().with_clip_rect(self.rect.expand(1.0));
        for pair in points.windows(2) {
            if let [Some(a), Some(b)] = pair {
                paint.line_segment([self.at(a.0, a.1), self.at(b.0, b.1)], stroke);
            }
        }
        for (x, y) in points.iter().flatten() {
            paint.circle_filled(self.at(*x, *y), 2.0, stroke.color);
        }
    }

    /// A band between two lines over the same places.
    pub fn band(&self, ui: &Ui, points: &[(f64, f64, f64)], fill: Color32) {
        let paint = ui.painter().with_clip_rect(self.rect);
        let (low, high): (Vec<Pos2>, Vec<Pos2>) = points.iter().map(|(x, low, high)| (self.at(*x, *low), self.at(*x, *high))).unzip();
        paint.add(shapes::between(&low, &high, fill));
    }

    /// On which side of a point a word stands: 1 to its right, -1 to its left, where there is no room to the right.
    #[must_use]
    pub fn side(&self, at: Pos2) -> f32 {
        if at.x > self.rect.right() - 60.0 { -1.0 } else { 1.0 }
    }

    /// A word beside a point.
    pub fn word(&self, ui: &Ui, at: Pos2, text: &str, colour: Color32) {
        let side = self.side(at);
        let align = if side > 0.0 { Align2::LEFT_CENTER } else { Align2::RIGHT_CENTER };
        ui.painter().text(pos2(at.x + 7.0 * side, at.y - 1.0), align, text, theme::plain(NOTE), colour);
    }

    /// A word beside a point, on a ground of its own: what is below it does not show through.
    pub fn word_over(&self, ui: &Ui, at: Pos2, text: &str, (colour, ground): (Color32, Color32)) {
        let galley = ui.painter().layout_no_wrap(text.to_owned(), theme::plain(NOTE), colour);
        let side = self.side(at);
        let left = if side > 0.0 { at.x + 7.0 } else { at.x - 7.0 - galley.size().x };
        let rect = Rect::from_min_size(pos2(left, at.y - 1.0 - 0.5 * galley.size().y), galley.size());
        ui.painter().rect_filled(rect.expand2(vec2(2.0, 0.0)), 2, ground);
        ui.painter().galley(rect.min, galley, colour);
    }
}

fn number(value: f64, step: f64) -> String {
    let decimals = usize::from(step < 0.999) + usize::from(step < 0.0999);
    format!("{value:.decimals$}")
}

/// A power of two as it is read.
fn doubled(power: f64) -> String {
    let value = power.exp2();
    if value >= 1.0 { format!("{value:.0}") } else { value.to_string() }
}
