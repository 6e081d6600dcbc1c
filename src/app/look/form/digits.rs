//! The digits of a number's field: what it shows, what arrow keys change it by, and that it sets no other number than it shows.

use crate::units::{Quantity, Units};

/// Between ends that lie further apart than this, times, a step is a tenth of the value.
const WIDE: f64 = 1e4;

/// How a field shows numbers and what they may be, in the unit shown.
#[derive(Clone, Copy, Debug)]
pub struct Digits {
    decimals: usize,
    step: f64,
    low: f64,
    high: f64,
}

impl Digits {
    /// The digits of a quantity between two ends.
    #[must_use]
    pub fn new(q: Quantity, units: Units, (low, high): (f64, f64)) -> Self {
        let decimals = q.decimals(units);
        let is_wide = low > 0.0 && high / low > WIDE && matches!(q, Quantity::LengthPerDay | Quantity::Plain(_, 1..));
        Self { decimals, step: if is_wide { 0.0 } else { q.step(units) }, low, high }
    }

    /// A value as the field shows it.
    #[must_use]
    pub fn written(self, value: f64) -> String {
        written(value, self.decimals)
    }

    /// The last digit that is shown of a value.
    fn last(self, value: f64) -> f64 {
        if is_long(value, self.decimals) { 10.0_f64.powf(value.abs().log10().floor() - 2.0) } else { smallest(self.decimals) }
    }

    /// What arrow keys change a value by.
    #[must_use]
    pub fn step(self, value: f64) -> f64 {
        let is_relative = self.step <= 0.0 || is_long(value, self.decimals);
        if is_relative { (0.1 * value.abs()).max(self.last(value)) } else { self.step }
    }

    /// What a point of a drag changes a value by.
    #[must_use]
    pub fn speed(self, value: f64) -> f64 {
        (value.abs() * 0.004).clamp(smallest(self.decimals) * 0.1, 1e5)
    }

    /// A value some steps on.
    #[must_use]
    pub fn stepped(self, value: f64, by: f64) -> f64 {
        self.settled(value + by * self.step(value))
    }

    /// The number nearest to a value that may be and is shown in full; where there is none, the nearest that may be.
    #[must_use]
    pub fn settled(self, value: f64) -> f64 {
        let held = value.max(self.low).min(self.high);
        let shown = self.read(held);
        if self.may_be(shown) {
            return shown;
        }
        let last = self.last(held);
        let inward = if shown > self.high { (held / last).floor() } else { (held / last).ceil() };
        let next = self.read(inward * last);
        if self.may_be(next) { next } else { held }
    }

    fn may_be(self, value: f64) -> bool {
        (self.low..=self.high).contains(&value)
    }

    /// The number that is read where a value is shown.
    fn read(self, value: f64) -> f64 {
        self.written(value).parse().unwrap_or(value)
    }
}

fn smallest(decimals: usize) -> f64 {
    10.0_f64.powi(-i32::try_from(decimals).unwrap_or(0))
}

/// Whether a value is shown by its leading digits.
fn is_long(value: f64, decimals: usize) -> bool {
    let size = value.abs();
    size > 0.0 && (size < 0.5 * smallest(decimals) || size >= 1e7)
}

/// A number as it is shown in a field: very small ones keep their leading digits.
#[must_use]
pub fn written(value: f64, decimals: usize) -> String {
    if is_long(value, decimals) {
        return format!("{value:.2e}");
    }
    let text = format!("{value:.decimals$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text };
    if text == "-0" { "0".to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{EcUnit, LengthUnit};

    #[test]
    fn steps_are_round_and_stay_within_the_ends() {
        let metric = Units::default();
        let length = Digits::new(Quantity::Length, metric, (0.5, 500.0));
        assert_eq!([length.stepped(10.0, -1.0), length.stepped(9.957, -1.0), length.stepped(0.7, -3.0)], [9.5, 9.5, 0.5]);
        let plants = Digits::new(Quantity::Plain("plants", 0), metric, (1.0, 1000.0));
        assert_eq!([plants.stepped(2.0, 1.0), plants.stepped(2.0, -2.0)], [3.0, 1.0]);
        let ks = Digits::new(Quantity::LengthPerDay, metric, (0.01, 1e6));
        assert_eq!([ks.stepped(120.0, 1.0), ks.stepped(0.02, -1.0), ks.stepped(0.05, 1.0)], [132.0, 0.01, 0.06]);
        let ppm = Units { ec: EcUnit::Ppm700, ..metric };
        assert_eq!(Digits::new(Quantity::Ec, ppm, (0.0, 14_000.0)).stepped(1470.0, 1.0), 1520.0);
    }

    #[test]
    fn what_is_settled_is_shown_in_full() {
        let inches = Units { length: LengthUnit::Inch, ..Units::default() };
        let ends = (Quantity::Length.shown(0.5, inches), Quantity::Length.shown(500.0, inches));
        let length = Digits::new(Quantity::Length, inches, ends);
        assert_eq!([length.settled(0.0), length.settled(1e9), length.settled(3.937_007)], [0.2, 196.85, 3.94]);
        let tiny = Digits::new(Quantity::Plain("1/cm", 4), Units::default(), (1e-9, 1e-3));
        assert_eq!([tiny.settled(1.2345e-6), tiny.settled(0.0), tiny.settled(1.0)], [1.23e-6, 1e-9, 1e-3]);
        // Ends too close for any number that is shown in full: the nearest that may be.
        let narrow = Digits::new(Quantity::Length, Units::default(), (3.11, 3.13));
        assert_eq!([narrow.settled(0.0), narrow.settled(3.12), narrow.settled(9.0)], [3.11, 3.12, 3.13]);
    }
}
