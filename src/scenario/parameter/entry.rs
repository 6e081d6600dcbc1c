//! What is known of one number of a description: its name, words, unit, range and prior.

use crate::scenario::presets::library::Library;
use crate::scenario::ranges::Range;
use crate::units::Quantity;

/// How far the truth may lie from the value given: eight times in ten no further than this.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Spread {
    /// Between the value divided by this and times this; above 1.
    Factor(f64),
    /// Between the value less this and more this, in the number's unit.
    Amount(f64),
}

/// How uncertain a number is before anyone has measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Prior {
    /// How far off it may be.
    pub spread: Spread,
    /// Where that comes from: *published* with its source, *memory* or *judgement*.
    pub provenance: &'static str,
}

/// One number of a `T`, wherever a `T` stands.
pub struct Entry<T: 'static> {
    /// Its path within the `T`, as in a scenario file.
    pub name: &'static str,
    /// What growers call it.
    pub label: &'static str,
    /// What it does to the root zone.
    pub hover: &'static str,
    /// Why no other value can be; empty where it is judged together with others.
    pub why: &'static str,
    /// How it is shown.
    pub quantity: Quantity,
    /// Unit of the value in files; empty for a plain number.
    pub unit: &'static str,
    /// Whether only whole numbers can be.
    pub whole: bool,
    /// What it may be at the widest, whatever else stands beside it.
    pub allowed: Range,
    /// What it may be beside what stands there now.
    pub offered: fn(&T, &Library) -> Range,
    /// Its value; `None` where the `T` has no such number.
    pub get: fn(&T, &Library) -> Option<f64>,
    /// Sets it; nothing happens where the `T` has no such number.
    pub set: fn(&mut T, f64),
    /// How uncertain it is; `None` for what is chosen or read off a rule.
    pub prior: Option<Prior>,
}

impl<T> Entry<T> {
    /// A number that may be anything within a range.
    pub const fn new(
        name: &'static str,
        (quantity, unit): (Quantity, &'static str),
        allowed: Range,
        get: fn(&T, &Library) -> Option<f64>,
        set: fn(&mut T, f64),
    ) -> Self {
        let offered = |_: &T, _: &Library| (f64::NEG_INFINITY, f64::INFINITY);
        Self { name, label: "", hover: "", why: "", quantity, unit, whole: false, allowed, offered, get, set, prior: None }
    }

    /// Its label and what it does to the root zone.
    pub const fn called(self, label: &'static str, hover: &'static str) -> Self {
        Self { label, hover, ..self }
    }

    /// Why no other value can be.
    pub const fn since(self, why: &'static str) -> Self {
        Self { why, ..self }
    }

    /// Only whole numbers can be.
    pub const fn in_whole_numbers(self) -> Self {
        Self { whole: true, ..self }
    }

    /// What it may be hangs on what stands beside it.
    pub const fn beside(self, offered: fn(&T, &Library) -> Range) -> Self {
        Self { offered, ..self }
    }

    /// How uncertain it is.
    pub const fn within(self, spread: Spread, provenance: &'static str) -> Self {
        Self { prior: Some(Prior { spread, provenance }), ..self }
    }

    /// What it may be beside what stands there now: within what it may be at all.
    #[must_use]
    pub fn range(&self, of: &T, library: &Library) -> Range {
        let (low, high) = (self.offered)(of, library);
        (low.max(self.allowed.0), high.min(self.allowed.1))
    }
}

/// Plain numbers, without a unit.
pub const PLAIN: (Quantity, &str) = (Quantity::Plain("", 2), "");
/// Shares of a whole, 0–1.
pub const SHARE: (Quantity, &str) = (Quantity::Share, "share");
/// Volumes of water or air in a volume.
pub const CONTENT: (Quantity, &str) = (Quantity::Share, "m³/m³");
/// Electric conductivity at 25 °C.
pub const EC: (Quantity, &str) = (Quantity::Ec, "mS/cm");
/// Lengths.
pub const LENGTH: (Quantity, &str) = (Quantity::Length, "cm");
/// Lengths where a tenth of a millimetre counts.
pub const THIN: (Quantity, &str) = (Quantity::Thickness, "cm");
/// Pressure heads, negative for suction.
pub const HEAD: (Quantity, &str) = (Quantity::Head, "cm");
/// Percent.
pub const PERCENT: (Quantity, &str) = (Quantity::Plain("%", 1), "percent");

/// The whole number nearest to a value.
#[must_use]
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
pub fn whole(value: f64) -> u32 {
    value.round().max(0.0) as u32
}
