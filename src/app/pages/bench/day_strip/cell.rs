//! One cell of the strip: what stands in it, and how it is painted.

use eframe::egui::text::{LayoutJob, TextFormat};
use eframe::egui::{Align2, Color32, CornerRadius, FontId, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Ui, pos2, vec2};

use super::strip::{Line, Strip};
use super::words;
use crate::app::look::theme::{self, NOTE, Tokens};
use crate::figures::verdict::Mood;
use crate::projection::day_summary::DaySummary;

/// Heights of the lines: title, light, use, drain, and the two of what is furthest off.
pub const ROWS: [f32; 6] = [16.0, 13.5, 13.5, 13.5, 13.5, 13.5];
/// Room above the first line and below the last.
const PAD: f32 = 3.0;
/// Room left and right of the lines.
const SIDE: f32 = 5.0;
/// Height of a cell.
pub const HEIGHT: f32 = 2.0 * PAD + ROWS[0] + 5.0 * ROWS[1];
/// Room that a lane's number needs with its mark; with less, the range is told.
const PER_LANE: f32 = 32.0;
/// The same for "day 177".
const PER_DAY: f32 = 52.0;
/// Size of the lines.
const SIZE: f32 = NOTE - 0.5;
/// Room from which a new schedule is told in full.
const NEW_SCHEDULE: f32 = 108.0;
/// Room for the mark before what is furthest off.
const MARK: f32 = 11.0;

/// The middle of a line, from the cell's top.
#[must_use]
pub fn row(line: usize) -> f32 {
    PAD + ROWS[..line].iter().sum::<f32>() + 0.5 * ROWS[line]
}

/// What stands in a cell.
#[derive(Debug)]
pub struct Cell {
    title: String,
    /// Light (or when the lanes settle), use and drain; what is said instead where nothing is known.
    lines: Result<[Line; 3], String>,
    state: String,
    mood: Mood,
    /// Another schedule begins on this day.
    begins: bool,
    /// What it is called for AccessKit.
    pub name: String,
}

impl Cell {
    /// The cell at a place; the one past the days is the settled day.
    pub fn new(strip: &Strip<'_>, place: usize) -> Self {
        let bench = strip.bench;
        let name = words::title(bench, place, strip.days);
        let lanes = bench.plain().scenario.lanes.len();
        let of = |title: String, first: Line, summary: &DaySummary| {
            let per_lane = |values: &[Option<f64>], text: &dyn Fn(f64) -> String| numbers(values, strip.width, text);
            let value = |f: fn(&crate::figures::DayFigures) -> Option<f64>| -> Vec<Option<f64>> {
                summary.reports.iter().map(|r| r.as_ref().and_then(|r| f(&r.figures))).collect()
            };
            let used = words::Used::of(bench);
            let taken = per_lane(&value(|f| Some(f.taken_up_ml)), &|ml| used.number(ml, bench.units));
            let drained = per_lane(&value(|f| f.drain_fraction), &|share| words::drained(share));
            Self {
                title,
                lines: Ok([first, taken, drained]),
                state: summary.state.words(lanes, bench.units),
                mood: summary.state.mood(),
                begins: place < strip.days && words::begins(bench, place),
                name: name.clone(),
            }
        };
        if place < strip.days {
            let title = format!("Day {}", place + 1);
            let Some(summary) = bench.plain().day_summary(place) else { return Self::silent(title, String::new(), name) };
            return of(title, Line::One(words::light(summary.light)), summary);
        }
        let title = "Settled".to_owned();
        match words::settled(bench) {
            Ok(found) => match found.day_summary(0) {
                Some(summary) => of(title, words::when(found, fits(lanes, strip.width, PER_DAY), strip.width < NEW_SCHEDULE), summary),
                None => Self::silent(title, String::new(), name),
            },
            Err(why) => Self::silent(title, why, name),
        }
    }

    /// A cell of which nothing is known yet.
    fn silent(title: String, why: String, name: String) -> Self {
        Self { title, lines: Err(why), state: String::new(), mood: Mood::Plain, begins: false, name }
    }

    /// Paints it.
    pub fn paint(&self, ui: &Ui, strip: &Strip<'_>, rect: Rect, on: bool, lit: bool) {
        let (t, paint) = (strip.t, ui.painter());
        let fill = if lit {
            t.night
        } else if on {
            t.card
        } else {
            t.panel
        };
        let line = if on { Stroke::new(1.5, t.ink) } else { Stroke::new(1.0, t.rule) };
        paint.rect(rect, CornerRadius::same(4), fill, line, StrokeKind::Inside);
        let left = rect.left() + SIDE;
        let y = |line: usize| rect.top() + row(line);
        let font = if on { theme::strong(NOTE) } else { theme::plain(NOTE) };
        paint.text(pos2(left, y(0)), Align2::LEFT_CENTER, &self.title, font, t.ink);
        let room = rect.width() - 2.0 * SIDE;
        if self.begins {
            let text = if room < NEW_SCHEDULE { "new" } else { "new schedule" };
            paint.text(pos2(left + room, y(0)), Align2::RIGHT_CENTER, text, theme::strong(SIZE), t.event_strong);
        }
        match &self.lines {
            Ok(lines) => {
                for (k, line) in lines.iter().enumerate() {
                    numbers_at(paint, t, pos2(left, y(k + 1)), room, line);
                }
                let colour = match self.mood {
                    Mood::Good => t.good,
                    Mood::Attention => t.attention,
                    Mood::Plain => t.quiet,
                };
                mark(paint, pos2(left + 4.0, y(4)), self.mood, colour);
                let text = wrapped(&self.state, MARK, room, 2, colour);
                paint.galley(pos2(left, y(4) - 0.5 * ROWS[4]), paint.layout_job(text), colour);
            }
            Err(why) => {
                let text = wrapped(why, 0.0, room, 5, t.quiet);
                paint.galley(pos2(left, y(1) - 0.5 * ROWS[1]), paint.layout_job(text), t.quiet);
            }
        }
    }
}

/// Whether there is room for a number of each lane in a cell of a width.
fn fits(lanes: usize, width: f32, each: f32) -> bool {
    #[allow(clippy::cast_precision_loss)]
    let needed = lanes as f32 * each;
    lanes > 1 && needed <= width - 2.0 * SIDE
}

/// A number per lane where there is room, or else the range.
fn numbers(values: &[Option<f64>], width: f32, text: &dyn Fn(f64) -> String) -> Line {
    let one = |value: &Option<f64>| value.map_or_else(|| "–".to_owned(), text);
    if fits(values.len(), width, PER_LANE) {
        return Line::Lanes(values.iter().map(one).collect());
    }
    let known = || values.iter().flatten().copied();
    let (least, most) = (known().fold(f64::INFINITY, f64::min), known().fold(f64::NEG_INFINITY, f64::max));
    Line::One(match (least <= most, text(least), text(most)) {
        (false, ..) => "–".to_owned(),
        (true, a, b) if a == b => a,
        (true, a, b) => format!("{a} – {b}"),
    })
}

/// Numbers in ink, each after a mark in its lane's colour.
fn numbers_at(paint: &Painter, t: &Tokens, at: Pos2, room: f32, line: &Line) {
    match line {
        Line::One(text) => {
            paint.text(at, Align2::LEFT_CENTER, text, theme::plain(SIZE), t.ink);
        }
        Line::Lanes(texts) => {
            #[allow(clippy::cast_precision_loss)]
            let step = (room / texts.len().max(1) as f32).min(54.0);
            let mut x = at.x;
            for (lane, text) in texts.iter().enumerate() {
                paint.rect_filled(Rect::from_center_size(pos2(x + 1.5, at.y), vec2(3.0, 9.0)), CornerRadius::same(1), t.lane(lane));
                paint.text(pos2(x + 5.5, at.y), Align2::LEFT_CENTER, text, theme::plain(SIZE), t.ink);
                x += step;
            }
        }
    }
}

/// A state as a shape: a disc for good, a triangle for attention, a ring where there is nothing to judge by.
fn mark(paint: &Painter, at: Pos2, mood: Mood, colour: Color32) {
    match mood {
        Mood::Good => paint.circle_filled(at, 3.2, colour),
        Mood::Plain => paint.circle_stroke(at, 2.8, Stroke::new(1.2, colour)),
        Mood::Attention => {
            let corners = vec![at + vec2(0.0, -4.0), at + vec2(4.2, 3.4), at + vec2(-4.2, 3.4)];
            paint.add(Shape::convex_polygon(corners, colour, Stroke::NONE))
        }
    };
}

/// Words over a few rows, the first of them after some room.
fn wrapped(text: &str, after: f32, width: f32, rows: usize, colour: Color32) -> LayoutJob {
    let mut job = LayoutJob::default();
    let format =
        TextFormat { font_id: FontId::clone(&theme::plain(SIZE)), color: colour, line_height: Some(ROWS[1]), ..TextFormat::default() };
    job.append(text, after, format);
    job.wrap.max_width = width;
    job.wrap.max_rows = rows;
    job
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lanes_that_have_no_room_are_told_as_a_range() {
        let text = |x: f64| format!("{x:.1}");
        let line = |values: &[Option<f64>], width| match numbers(values, width, &text) {
            Line::One(one) => one,
            Line::Lanes(lanes) => lanes.join("|"),
        };
        assert_eq!(line(&[Some(1.61), Some(1.2)], 78.0), "1.6|1.2");
        assert_eq!(line(&[Some(1.61), None], 78.0), "1.6|–");
        assert_eq!(line(&[Some(1.61), Some(1.2), Some(1.4)], 78.0), "1.2 – 1.6");
        assert_eq!(line(&[Some(1.61), Some(1.61), Some(1.6)], 78.0), "1.6");
        assert_eq!(line(&[None, None, None], 78.0), "–");
        assert_eq!(line(&[Some(1.61)], 78.0), "1.6");
    }
}
