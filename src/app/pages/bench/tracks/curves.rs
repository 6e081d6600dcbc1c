//! A quantity of the lanes over time: drawn as lines, read at an instant, measured for its range. Every track goes through here.

use eframe::egui::{Color32, Id, Rect, Ui};
use egui_plot::{Line, LineStyle, PlotPoints};

use super::chart::Chart;
use super::span::Span;
use crate::app::look::theme::Tokens;
use crate::app::state::bench::Pin;
use crate::engine::run::LaneRun;
use crate::engine::run::ledger::Ledger;
use crate::engine::run::series::Sample;
use crate::projection::Projection;
use crate::scenario::DAY_S;
use crate::units::HOUR_S;

/// Points of a line that lie nearer than this to their forerunner, both ways, are left out: they would only blot its corners.
const NEAR: f64 = 0.6;

/// A lane at an instant.
pub struct Moment<'a> {
    /// The ledger at the midnight before it.
    pub dawn: &'a Ledger,
    /// The step before.
    pub before: &'a Sample,
    /// The lane now.
    pub now: &'a Sample,
}

impl Moment<'_> {
    /// What passed since midnight.
    #[must_use]
    pub fn today(&self) -> Ledger {
        self.now.ledger.since(self.dawn)
    }

    /// What the last step moved of an amount, per hour; `None` where there is no step before.
    #[must_use]
    pub fn rate(&self, amount: impl Fn(&Ledger) -> f64) -> Option<f64> {
        let hours = (self.now.time_s - self.before.time_s) / HOUR_S;
        (hours > 0.0).then(|| (amount(&self.now.ledger) - amount(&self.before.ledger)) / hours)
    }
}

/// What a track draws of a lane; `None` where there is nothing to draw.
pub type Value<'a> = &'a dyn Fn(&Moment<'_>) -> Option<f64>;

/// Why a projection is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// Pinned as a reference.
    Pinned,
    /// As it was before the change being tried.
    Before,
    /// What is shown.
    Shown,
    /// What is shown, of a quantity that another stands before.
    Behind,
    /// Stands over the tracks without being the bench's own (`overlays.rs`).
    Over,
}

/// A projection among those drawn one over the other.
pub struct Layer<'a> {
    /// The projection.
    pub projection: &'a Projection,
    /// Why it is drawn.
    pub role: Role,
    /// The one day of it that stands for every day, if it does not go day by day.
    pub only: Option<usize>,
    /// The lanes of it that are drawn, where not all are: those that stand for a lane of the bench.
    drawn: Option<&'a [Option<usize>]>,
}

impl<'a> Layer<'a> {
    /// What is shown, or was before the change being tried.
    #[must_use]
    pub fn plain(projection: &'a Projection, role: Role) -> Self {
        Self { projection, role, only: None, drawn: None }
    }

    /// The reference: on the same day where it has that day, else by the day that was shown when it was pinned.
    #[must_use]
    pub fn pinned(pin: &'a Pin, shown: &Projection) -> Self {
        let one_day = pin.projection.settled.is_some() || shown.settled.is_some();
        Self { projection: &pin.projection, role: Role::Pinned, only: one_day.then_some(pin.projection.day), drawn: None }
    }

    /// What stands over the tracks; `drawn` tells for each lane which lane of the bench it stands for, if any.
    #[must_use]
    pub fn over(projection: &'a Projection, drawn: &'a [Option<usize>], only: Option<usize>) -> Self {
        Self { projection, role: Role::Over, only, drawn: Some(drawn) }
    }

    /// The lanes that are drawn, with the lane of the bench that each stands for.
    pub fn lanes(&self) -> impl Iterator<Item = (usize, &'a LaneRun)> {
        let drawn = self.drawn;
        self.projection.lanes().filter_map(move |(i, _, run)| {
            let stands_for = drawn.map_or(Some(i), |d| d.get(i).copied().flatten())?;
            Some((stands_for, run))
        })
    }

    /// The day of this projection that stands on a day of the picture; `None` where it stands over the tracks and has no such day.
    #[must_use]
    pub fn day(&self, shown: usize) -> Option<usize> {
        let (day, last) = (self.only.unwrap_or(shown), self.projection.days().saturating_sub(1));
        (self.role != Role::Over || day <= last).then_some(day.min(last))
    }
}

/// Points of a quantity of a lane on a day of the picture, hours of the picture against values; with one step beyond either end of
/// the stretch, so that a line runs on to the edges.
pub fn points(layer: &Layer<'_>, run: &LaneRun, shown_day: usize, span: Span, value: Value<'_>, mut each: impl FnMut(f64, f64)) {
    let Some(day) = layer.day(shown_day) else { return };
    let Some(dawn) = run.midnights.get(day) else { return };
    let (day_h, shown_h) = (hours(day), hours(shown_day));
    let samples = &run.series.samples;
    let second = |hour: f64| (hour - shown_h + day_h) * HOUR_S;
    let (from_s, to_s) = (second(span.from_h).max(day_h * HOUR_S), second(span.to_h).min(day_h * HOUR_S + DAY_S));
    let first = samples.partition_point(|s| s.time_s < from_s);
    let last = samples.partition_point(|s| s.time_s <= to_s);
    // The neighbours beyond the stretch belong to the line only if they belong to the day.
    let first = if from_s > day_h * HOUR_S { first.saturating_sub(1) } else { first };
    let last = if to_s < day_h * HOUR_S + DAY_S { (last + 1).min(samples.len()) } else { last };
    for i in first..last {
        let (before, now) = (&samples[i.saturating_sub(1)], &samples[i]);
        if let Some(v) = value(&Moment { dawn, before, now }) {
            each(now.time_s / HOUR_S - day_h + shown_h, v);
        }
    }
}

/// Hours before a day's midnight.
#[must_use]
#[allow(clippy::cast_precision_loss)]
pub fn hours(day: usize) -> f64 {
    24.0 * day as f64
}

/// A quantity of a lane at an hour of the picture.
#[must_use]
pub fn read(layer: &Layer<'_>, run: &LaneRun, hour: f64, value: Value<'_>) -> Option<f64> {
    // The end of a day still belongs to it.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let shown_day = ((hour / 24.0 - 1e-9).floor().max(0.0)) as usize;
    let day = layer.day(shown_day)?;
    let dawn = run.midnights.get(day)?;
    let time_s = (hour - hours(shown_day) + hours(day)) * HOUR_S;
    let now = run.series.at(time_s)?;
    let samples = &run.series.samples;
    let before = samples.get(samples.partition_point(|s| s.time_s < time_s).saturating_sub(1))?;
    value(&Moment { dawn, before, now: &now })
}

/// Lowest and highest value in a stretch, of all projections drawn; `None` without any.
#[must_use]
pub fn extent<'l>(layers: impl Iterator<Item = &'l Layer<'l>>, span: Span, value: Value<'_>) -> Option<(f64, f64)> {
    let mut found: Option<(f64, f64)> = None;
    for layer in layers {
        for (_, run) in layer.lanes() {
            for day in span.days() {
                points(layer, run, day, span, value, |_, v| {
                    let (low, high) = found.unwrap_or((v, v));
                    found = Some((low.min(v), high.max(v)));
                });
            }
        }
    }
    found
}

/// Draws a quantity of every lane: what is shown in full, what it was before faintly, and the reference in faint dashes.
/// Two drawings in one plot differ in their `id`.
pub fn lines(ui: &mut Ui, t: &Tokens, id: Id, (plot, chart): (Rect, &Chart), layers: &[Layer<'_>], span: Span, value: Value<'_>) {
    let (hour, upright) = (span.hours() / f64::from(plot.width().max(1.0)), chart.per_point(plot));
    let mut drawn: Vec<Line<'_>> = Vec::new();
    for layer in layers {
        for (lane, run) in layer.lanes() {
            for day in span.days() {
                let mut line: Vec<[f64; 2]> = Vec::new();
                points(layer, run, day, span, value, |x, y| {
                    let far = |p: &[f64; 2]| (x - p[0]).abs() > NEAR * hour || (y - p[1]).abs() > NEAR * upright;
                    if line.last().is_none_or(far) {
                        line.push([x, y]);
                    }
                });
                drawn.push(stroked(t, layer.role, t.lane(lane), line));
            }
        }
    }
    chart.plot(ui, id, plot, span, drawn);
}

fn stroked(t: &Tokens, role: Role, colour: Color32, line: Vec<[f64; 2]>) -> Line<'static> {
    let (colour, width, style) = match role {
        Role::Shown => (colour, 2.0, LineStyle::Solid),
        Role::Behind => (colour, 1.0, LineStyle::Solid),
        Role::Before => (t.ghost(colour), 1.5, LineStyle::Solid),
        Role::Pinned | Role::Over => (t.pinned(colour), 1.25, LineStyle::Dashed { length: 7.0 }),
    };
    Line::new("", PlotPoints::from(line)).color(colour).style(style).width(width).allow_hover(false).allow_band(false)
}
