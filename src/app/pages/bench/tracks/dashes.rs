//! How curves that are not the bench's own are drawn: each projection in a pattern of dashes of its own, with its mark.

use eframe::egui::{Align2, Pos2, Rect, Shape, Stroke, Ui, pos2};

use super::chart::{Chart, note};
use super::curves::{Layer, Value, points};
use super::span::Span;
use crate::app::look::theme::Tokens;
use crate::app::state::bench::overlay::Overlay;
use crate::app::state::days::Days;
use crate::projection::Projection;

/// Dashes and the gaps after them, points: dots and dashes, dots, long dashes, two dots and a dash.
const PATTERNS: [(&[f32], &[f32]); 4] =
    [(&[8.0, 1.5], &[3.5, 3.5]), (&[1.5], &[3.5]), (&[14.0], &[5.0]), (&[1.5, 1.5, 8.0], &[3.0, 3.0, 3.0])];
/// Strength of a line.
pub const WIDTH: f32 = 1.5;
/// Nearer than this to its forerunner a point of a line is left out.
const NEAR: f32 = 0.6;
/// Shares of a plot's width: where the first mark stands, and how far on the next of the same lane, and of the next lane.
const MARKS: [f32; 3] = [0.06, 0.2, 0.05];

/// A line in the pattern of an overlay, by its place.
pub fn dashed(path: &[Pos2], stroke: Stroke, place: usize) -> Vec<Shape> {
    let (dashes, gaps) = PATTERNS[place % PATTERNS.len()];
    Shape::dashed_line_with_offset(path, stroke, dashes, gaps, 0.0)
}

/// The layer of an overlay: on the same day where it goes day by day as what is shown does, else its one day on every day. Where it has no such
/// day its last stands there; beside all days it has as many as it has.
#[must_use]
pub fn layer<'a>(overlay: &'a Overlay, shown: &Projection, days: Days) -> Layer<'a> {
    let of = &overlay.projection;
    let only = if of.settled.is_some() || shown.settled.is_some() {
        Some(of.day)
    } else {
        (days != Days::All).then(|| shown.day.min(of.days() - 1))
    };
    Layer::over(of, &overlay.lanes, only)
}

/// The mark of a curve that was drawn: its letters, the way of the curve, and the places of overlay and lane.
pub struct Mark<'a> {
    text: &'a str,
    line: Vec<Pos2>,
    place: usize,
    lane: usize,
}

/// Draws a quantity of the lanes of an overlay. Returns the mark of each curve, for when all curves are drawn.
#[must_use]
pub fn lines<'a>(
    ui: &Ui,
    (t, span): (&Tokens, Span),
    (plot, chart): (Rect, &Chart),
    (overlay, place): (&'a Overlay, usize),
    layer: &Layer<'_>,
    value: Value<'_>,
) -> Vec<Mark<'a>> {
    let mut marks = Vec::new();
    let paint = ui.painter().with_clip_rect(plot);
    for (stands_for, run) in layer.lanes() {
        let colour = t.pinned(t.lane(stands_for));
        let mut all: Vec<Pos2> = Vec::new();
        for day in span.days() {
            let mut line: Vec<Pos2> = Vec::new();
            points(layer, run, day, span, value, |hour, v| {
                let at = pos2(span.x(plot, hour), chart.y(plot, v));
                if line.last().is_none_or(|p| (at.x - p.x).abs() > NEAR || (at.y - p.y).abs() > NEAR) {
                    line.push(at);
                }
            });
            paint.extend(dashed(&line, Stroke::new(WIDTH, colour), place));
            all.append(&mut line);
        }
        marks.push(Mark { text: &overlay.mark, line: all, place, lane: stands_for });
    }
    marks
}

impl Mark<'_> {
    /// Draws it at its curve, where the marks of others do not stand.
    pub fn show(&self, ui: &Ui, t: &Tokens, plot: Rect) {
        #[allow(clippy::cast_precision_loss)]
        let share = (MARKS[0] + MARKS[1] * self.place as f32 + MARKS[2] * (self.lane % 4) as f32).min(0.95);
        let wanted = plot.left() + share * plot.width();
        let nearest = self.line.iter().min_by(|a, b| (a.x - wanted).abs().total_cmp(&(b.x - wanted).abs()));
        if let Some(at) = nearest.filter(|p| plot.contains(**p)) {
            note(ui, t, *at, Align2::CENTER_CENTER, self.text, t.ink);
        }
    }
}
