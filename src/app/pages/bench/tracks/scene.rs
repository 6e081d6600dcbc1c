//! What every track needs to draw itself.

use eframe::egui::accesskit::Role as Widget;
use eframe::egui::{Align2, Id, Rect, Sense, Stroke, Ui, WidgetInfo, pos2};

use super::chart::Chart;
use super::curves::{self, Layer, Moment, Role, Value, hours};
use super::dashes;
use super::measures::TITLE;
use super::span::{Span, time_of_day};
use crate::app::look::theme::{self, NOTE, TEXT, Tokens};
use crate::app::state::bench::Bench;
use crate::app::state::bench::overlay::Overlay;
use crate::app::state::days::Days;
use crate::engine::run::LaneRun;
use crate::projection::Projection;
use crate::scenario::Clock;
use crate::studies::spread::Spread;
use crate::units::{HOUR_S, Units};

/// What every track needs to draw itself. Hours count from the first midnight of what is shown.
pub struct Scene<'a> {
    /// Colours.
    pub t: &'a Tokens,
    /// The bench.
    pub bench: &'a Bench,
    /// Units that numbers are shown in.
    pub units: Units,
    /// What is drawn, what is shown last.
    layers: Vec<Layer<'a>>,
    /// What stands over it.
    over: Vec<(&'a Overlay, Layer<'a>)>,
    /// How sure the bench as it stands is, where that was asked.
    pub spread: Option<&'a Spread>,
    /// All the time there is to see.
    pub whole: Span,
    /// The time seen.
    pub span: Span,
    /// The time that the tracks are read at, h.
    pub cursor: Option<f64>,
}

/// All the time that the days shown hold.
#[must_use]
pub fn whole(bench: &Bench) -> Span {
    let shown = bench.shown();
    let first = if bench.days() == Days::All { 0 } else { shown.day };
    let last = if bench.days() == Days::All { shown.days() } else { shown.day + 1 };
    Span::new(hours(first), hours(last))
}

impl<'a> Scene<'a> {
    /// A scene of the bench.
    #[must_use]
    pub fn new(t: &'a Tokens, (bench, spread): (&'a Bench, Option<&'a Spread>), whole: Span, span: Span, cursor: Option<f64>) -> Self {
        let shown = bench.shown();
        let pinned = bench.pinned().map(|pin| Layer::pinned(pin, shown));
        let before = bench.ghost().map(|ghost| Layer::plain(ghost, Role::Before));
        let layers = pinned.into_iter().chain(before).chain([Layer::plain(shown, Role::Shown)]).collect();
        let over = bench.overlays().iter().map(|o| (o, dashes::layer(o, shown, bench.days()))).collect();
        Self { t, bench, units: bench.units, layers, over, spread, whole, span, cursor }
    }

    /// What is shown.
    #[must_use]
    pub fn shown(&self) -> &'a Projection {
        self.bench.shown()
    }

    /// Draws a quantity of every lane.
    pub fn lines(&self, ui: &mut Ui, id: &'static str, plot: Rect, chart: &Chart, value: Value<'_>) {
        let mut marks = Vec::new();
        for (place, (overlay, layer)) in self.over().enumerate() {
            marks.extend(dashes::lines(ui, (self.t, self.span), (plot, chart), (overlay, place), layer, value));
        }
        curves::lines(ui, self.t, Id::unique(id), (plot, chart), &self.layers, self.span, value);
        marks.iter().for_each(|mark| mark.show(ui, self.t, plot));
    }

    /// What stands over the tracks without being the bench's own.
    pub fn over(&self) -> impl Iterator<Item = (&'a Overlay, &Layer<'a>)> {
        self.over.iter().map(|(overlay, layer)| (*overlay, layer))
    }

    /// Draws a quantity of every lane shown that stands behind another.
    pub fn thin_lines(&self, ui: &mut Ui, id: &'static str, plot: Rect, chart: &Chart, value: Value<'_>) {
        curves::lines(ui, self.t, Id::unique(id), (plot, chart), &[Layer::plain(self.shown(), Role::Behind)], self.span, value);
    }

    /// Why the faint lines are drawn, if there are any: the change being tried comes before the reference.
    #[must_use]
    pub fn faintest(&self) -> Option<Role> {
        self.layers.iter().rev().nth(1).map(|l| l.role)
    }

    /// Lowest and highest value of all that could be seen, so that the range stands still while the view moves along.
    #[must_use]
    pub fn extent(&self, value: Value<'_>) -> Option<(f64, f64)> {
        curves::extent(self.layers.iter().chain(self.over.iter().map(|o| &o.1)), self.whole, value)
    }

    /// A quantity of a lane shown at an hour.
    #[must_use]
    pub fn read(&self, run: &LaneRun, hour: f64, value: impl Fn(&Moment<'_>) -> Option<f64>) -> Option<f64> {
        curves::read(&Layer::plain(self.shown(), Role::Shown), run, hour, &value)
    }

    /// An hour in words: the time of day, with the day where several are shown.
    #[must_use]
    pub fn when(&self, hour: f64) -> String {
        let day = day_of(hour);
        let end_of_day = hour - hours(day) > 24.0 - 1e-6;
        let clock = if end_of_day { Clock::END } else { time_of_day(hour) };
        if self.bench.days() == Days::All { format!("day {} {clock}", day + 1) } else { clock.to_string() }
    }

    /// A track's ground: title, light, midnights, upright axis.
    pub fn ground(&self, ui: &Ui, plot: Rect, words: [&str; 3], chart: &Chart) {
        let [name, unit, key] = words;
        let track = ui.interact(plot, Id::unique("track").with(name), Sense::hover());
        track.widget_info(|| WidgetInfo::labeled(Widget::Image, true, format!("{name} track, {unit}")));
        self.title(ui, plot, name, unit, key);
        self.daylight(ui, plot);
        chart.axes(ui, self.t, plot, self.span);
        for day in self.span.days().skip(1) {
            ui.painter().vline(self.span.x(plot, hours(day)), plot.y_range(), Stroke::new(1.5, self.t.quiet.gamma_multiply(0.6)));
        }
    }

    /// A track's title, its unit, and on the right what its lines mean.
    fn title(&self, ui: &Ui, plot: Rect, name: &str, unit: &str, key: &str) {
        let (t, paint) = (self.t, ui.painter());
        let y = plot.top() - 0.5 * TITLE + 1.0;
        let head = paint.text(pos2(plot.left(), y), Align2::LEFT_CENTER, name, theme::strong(TEXT), t.ink);
        let unit = paint.text(pos2(head.right() + 10.0, y + 0.5), Align2::LEFT_CENTER, unit, theme::plain(NOTE), t.quiet);
        let key = paint.layout_no_wrap(key.to_owned(), theme::plain(NOTE), t.quiet);
        if plot.right() - key.size().x > unit.right() + 16.0 {
            paint.galley(pos2(plot.right() - key.size().x, y - 0.5 * key.size().y + 0.5), key, t.quiet);
        }
    }

    /// Day and night behind a plot.
    fn daylight(&self, ui: &Ui, plot: Rect) {
        let paint = ui.painter().with_clip_rect(plot);
        paint.rect_filled(plot, 0, self.t.night);
        for day in self.span.days() {
            let x = |second: f64| self.span.x(plot, hours(day) + second / HOUR_S);
            for (on, off) in self.shown().lit(day) {
                paint.rect_filled(Rect::from_x_y_ranges(x(*on)..=x(*off), plot.y_range()), 0, self.t.day);
            }
        }
    }
}

/// The day an hour belongs to, from 0; the end of a day belongs to it.
#[must_use]
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
pub fn day_of(hour: f64) -> usize {
    (hour / 24.0 - 1e-9).floor().max(0.0) as usize
}
