//! The stretch of time that the tracks show, and where an hour stands in a plot.

use eframe::egui::{Rect, lerp, remap};

use crate::scenario::Clock;

/// The shortest stretch, h.
const LEAST_H: f64 = 0.5;
/// Least distance between two hours written on the clock axis, points.
const APART: f64 = 54.0;
/// Steps between marks, h: 5 min to a week.
const STEPS: [f64; 10] = [1.0 / 12.0, 0.25, 0.5, 1.0, 3.0, 6.0, 12.0, 24.0, 48.0, 168.0];

/// A stretch of time, hours since the first midnight of the run.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Span {
    /// Its start.
    pub from_h: f64,
    /// Its end, after the start.
    pub to_h: f64,
}

impl Span {
    /// From one hour to another.
    #[must_use]
    pub const fn new(from_h: f64, to_h: f64) -> Self {
        Self { from_h, to_h }
    }

    /// Its length, h.
    #[must_use]
    pub fn hours(self) -> f64 {
        self.to_h - self.from_h
    }

    /// Where an hour stands across a plot.
    #[must_use]
    #[allow(clippy::cast_possible_truncation)]
    pub fn x(self, plot: Rect, hour: f64) -> f32 {
        plot.left() + plot.width() * ((hour - self.from_h) / self.hours().max(1e-9)) as f32
    }

    /// The hour that stands at a place across a plot.
    #[must_use]
    pub fn hour(self, plot: Rect, x: f32) -> f64 {
        let width = f64::from(plot.width().max(1.0));
        self.from_h + self.hours() * f64::from(x - plot.left()) / width
    }

    /// Whether an hour lies in it, its ends included.
    #[must_use]
    pub fn holds(self, hour: f64) -> bool {
        (self.from_h - 1e-9..=self.to_h + 1e-9).contains(&hour)
    }

    /// The days it touches, from 0; at least one.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    pub fn days(self) -> impl Iterator<Item = usize> {
        let first = (self.from_h / 24.0 + 1e-9).floor().max(0.0) as usize;
        let last = (self.to_h / 24.0 - 1e-9).ceil().max(0.0) as usize;
        first..last.max(first + 1)
    }

    /// Held within a whole: never longer than it, moved where it sticks out.
    #[must_use]
    pub fn within(self, whole: Self) -> Self {
        let hours = self.hours().clamp(LEAST_H.min(whole.hours()), whole.hours());
        let from_h = self.from_h.clamp(whole.from_h, whole.to_h - hours);
        Self::new(from_h, from_h + hours)
    }

    /// Nearer by a factor (above 1) or further (below), with an hour standing still.
    #[must_use]
    pub fn zoomed(self, factor: f64, about_h: f64, whole: Self) -> Self {
        let hours = (self.hours() / factor.max(1e-6)).clamp(LEAST_H.min(whole.hours()), whole.hours());
        let share = remap(about_h, self.from_h..=self.to_h, 0.0..=1.0).clamp(0.0, 1.0);
        let from_h = about_h - share * hours;
        Self::new(from_h, from_h + hours).within(whole)
    }

    /// Later by some hours.
    #[must_use]
    pub fn moved(self, by_h: f64, whole: Self) -> Self {
        Self::new(self.from_h + by_h, self.to_h + by_h).within(whole)
    }

    /// Its middle.
    #[must_use]
    pub fn middle(self) -> f64 {
        lerp(self.from_h..=self.to_h, 0.5)
    }

    /// Hours between two marks, so that what is written at them has room in a width.
    #[must_use]
    pub fn step(self, width: f32) -> f64 {
        let least = APART * self.hours() / f64::from(width.max(1.0));
        STEPS.into_iter().find(|s| *s >= least).unwrap_or(STEPS[STEPS.len() - 1])
    }

    /// The hours that are marked, a step apart.
    pub fn marks(self, step: f64) -> impl Iterator<Item = f64> {
        let first = (self.from_h / step - 1e-9).ceil();
        (0..400_u16).map(move |k| (first + f64::from(k)) * step).take_while(move |h| *h <= self.to_h + 1e-9)
    }
}

/// The time of day of an hour since the first midnight, to the minute below.
#[must_use]
pub fn time_of_day(hour: f64) -> Clock {
    Clock::from_hours((hour.rem_euclid(24.0) * 60.0 + 1e-6).floor() / 60.0)
}

#[cfg(test)]
mod tests {
    use eframe::egui::{Rect, pos2};

    use super::*;

    const DAY: Span = Span::new(0.0, 24.0);

    #[test]
    fn hours_and_places_come_back() {
        let plot = Rect::from_min_max(pos2(100.0, 0.0), pos2(700.0, 50.0));
        let span = Span::new(30.0, 36.0);
        assert_eq!(span.x(plot, 33.0), 400.0);
        assert!((span.hour(plot, 400.0) - 33.0).abs() < 1e-9);
    }

    #[test]
    fn zooming_keeps_the_hour_under_the_pointer_and_stays_in_the_day() {
        let near = DAY.zoomed(2.0, 18.0, DAY);
        assert_eq!((near.hours(), (18.0 - near.from_h) / near.hours()), (12.0, 0.75));
        assert_eq!(near.zoomed(0.1, 18.0, DAY), DAY);
        assert_eq!(DAY.zoomed(1e9, 0.0, DAY), Span::new(0.0, LEAST_H));
        assert_eq!(near.moved(100.0, DAY), Span::new(12.0, 24.0));
    }

    #[test]
    fn marks_fit_the_stretch() {
        assert_eq!(DAY.step(620.0), 3.0);
        assert_eq!(DAY.step(300.0), 6.0);
        assert_eq!(Span::new(8.0, 10.0).step(620.0), 0.25);
        assert_eq!(Span::new(8.0, 8.5).step(620.0), 1.0 / 12.0);
        let marks: Vec<f64> = Span::new(8.1, 9.0).marks(0.25).collect();
        assert_eq!(marks, [8.25, 8.5, 8.75, 9.0]);
        assert_eq!(DAY.marks(3.0).count(), 9);
    }

    #[test]
    fn days_are_those_touched() {
        assert_eq!(DAY.days().collect::<Vec<_>>(), [0]);
        assert_eq!(Span::new(24.0, 48.0).days().collect::<Vec<_>>(), [1]);
        assert_eq!(Span::new(20.0, 49.0).days().collect::<Vec<_>>(), [0, 1, 2]);
        assert_eq!(time_of_day(36.25).to_string(), "12:15");
    }
}
