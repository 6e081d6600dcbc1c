//! Units: what the engine works in, and what is shown.
//!
//! The engine works in cm, mL, s, mS/cm at 25 °C and cm of pressure head everywhere.

use serde::{Deserialize, Serialize};

/// Centimetres of water column per kPa, as the whole project rounds it.
pub const CM_PER_KPA: f64 = 10.2;

/// Seconds in an hour.
pub const HOUR_S: f64 = 3600.0;
/// The same as a whole number.
pub const WHOLE_HOUR_S: u32 = 3600;
/// Hours in a day.
pub const DAY_H: f64 = 24.0;
/// Seconds in a day.
pub const DAY_S: f64 = DAY_H * HOUR_S;
/// The same as a whole number.
pub const WHOLE_DAY_S: u32 = 24 * WHOLE_HOUR_S;

/// Suction in kPa of a pressure head in cm; 0 for a positive head.
#[must_use]
pub fn suction_kpa(head_cm: f64) -> f64 {
    (-head_cm).max(0.0) / CM_PER_KPA
}

/// Millilitres in a US fluid ounce, exactly (NIST Handbook 44, appendix C; 1 in = 2.54 cm and 1 US gal = 231 in³).
pub const ML_PER_FL_OZ: f64 = 29.573_529_562_5;
/// Litres in a US gallon, exactly (128 fl oz; NIST Handbook 44, appendix C).
pub const L_PER_GAL: f64 = 3.785_411_784;
/// Centimetres in an inch, exactly (international yard and pound agreement, 1959).
pub const CM_PER_IN: f64 = 2.54;

/// How volumes are shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum VolumeUnit {
    /// Millilitres and litres.
    #[default]
    Metric,
    /// US fluid ounces and gallons.
    Us,
}

/// How lengths are shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum LengthUnit {
    /// Centimetres.
    #[default]
    Cm,
    /// Inches.
    Inch,
}

/// How temperatures are shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum TemperatureUnit {
    /// Degrees Celsius.
    #[default]
    Celsius,
    /// Degrees Fahrenheit.
    Fahrenheit,
}

/// How EC is shown. The ppm scales are meter conventions: EC in mS/cm times the scale's number.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum EcUnit {
    /// mS/cm at 25 °C.
    #[default]
    MsCm,
    /// ppm, 500 for 1 mS/cm.
    Ppm500,
    /// ppm, 640 for 1 mS/cm.
    Ppm640,
    /// ppm, 700 for 1 mS/cm.
    Ppm700,
}

/// How suction is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum SuctionUnit {
    /// Kilopascals.
    #[default]
    Kpa,
    /// Centimetres of water column.
    Cm,
}

/// What the user wants to read. It changes what is shown, never the data.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Units {
    /// Volumes.
    pub volume: VolumeUnit,
    /// Lengths.
    pub length: LengthUnit,
    /// Temperatures.
    pub temperature: TemperatureUnit,
    /// EC.
    pub ec: EcUnit,
    /// Suction.
    pub suction: SuctionUnit,
}

/// What a number is. The data's own unit stands with each.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Quantity {
    /// mL.
    Millilitres,
    /// L.
    Litres,
    /// cm.
    Length,
    /// cm, where a tenth of a millimetre counts.
    Thickness,
    /// cm/day.
    LengthPerDay,
    /// mm of water a day.
    WaterPerDay,
    /// °C.
    Temperature,
    /// mS/cm at 25 °C.
    Ec,
    /// Pressure head, cm, negative for suction: shown as suction.
    Head,
    /// A share 0–1, shown in percent.
    Share,
    /// Anything else: shown as it is, with a unit and a number of decimals.
    Plain(&'static str, usize),
}

impl Quantity {
    /// Shown value = data × times ÷ per + offset. Dividing by the exact constants keeps round numbers round.
    fn line(self, units: Units) -> [f64; 3] {
        match self {
            Self::Millilitres if units.volume == VolumeUnit::Us => [1.0, ML_PER_FL_OZ, 0.0],
            Self::Litres if units.volume == VolumeUnit::Us => [1.0, L_PER_GAL, 0.0],
            Self::Length | Self::Thickness | Self::LengthPerDay if units.length == LengthUnit::Inch => [1.0, CM_PER_IN, 0.0],
            Self::WaterPerDay if units.length == LengthUnit::Inch => [1.0, 10.0 * CM_PER_IN, 0.0],
            Self::Temperature if units.temperature == TemperatureUnit::Fahrenheit => [9.0, 5.0, 32.0],
            Self::Ec => match units.ec {
                EcUnit::MsCm => [1.0, 1.0, 0.0],
                EcUnit::Ppm500 => [500.0, 1.0, 0.0],
                EcUnit::Ppm640 => [640.0, 1.0, 0.0],
                EcUnit::Ppm700 => [700.0, 1.0, 0.0],
            },
            Self::Head if units.suction == SuctionUnit::Kpa => [-1.0, CM_PER_KPA, 0.0],
            Self::Head => [-1.0, 1.0, 0.0],
            Self::Share => [100.0, 1.0, 0.0],
            _ => [1.0, 1.0, 0.0],
        }
    }

    /// The value to show for one of the data.
    #[must_use]
    pub fn shown(self, value: f64, units: Units) -> f64 {
        let [times, per, offset] = self.line(units);
        value * times / per + offset
    }

    /// The value of the data for one that was typed.
    #[must_use]
    pub fn data(self, shown: f64, units: Units) -> f64 {
        let [times, per, offset] = self.line(units);
        (shown - offset) * per / times
    }

    /// A difference of two values of the data, as it is shown: offsets fall out.
    #[must_use]
    pub fn difference(self, by: f64, units: Units) -> f64 {
        self.shown(by, units) - self.shown(0.0, units)
    }

    /// The unit shown; empty for a bare number. Ppm name their scale: the same water reads differently on each.
    #[must_use]
    pub fn unit(self, units: Units) -> &'static str {
        match self {
            Self::Millilitres if units.volume == VolumeUnit::Us => "fl oz",
            Self::Millilitres => "mL",
            Self::Litres if units.volume == VolumeUnit::Us => "gal",
            Self::Litres => "L",
            Self::Length | Self::Thickness if units.length == LengthUnit::Inch => "in",
            Self::Length | Self::Thickness => "cm",
            Self::LengthPerDay | Self::WaterPerDay if units.length == LengthUnit::Inch => "in/day",
            Self::LengthPerDay => "cm/day",
            Self::WaterPerDay => "mm/day",
            Self::Temperature if units.temperature == TemperatureUnit::Fahrenheit => "°F",
            Self::Temperature => "°C",
            Self::Ec => match units.ec {
                EcUnit::MsCm => "mS/cm",
                EcUnit::Ppm500 => "ppm (500)",
                EcUnit::Ppm640 => "ppm (640)",
                EcUnit::Ppm700 => "ppm (700)",
            },
            Self::Head if units.suction == SuctionUnit::Kpa => "kPa",
            Self::Head => "cm",
            Self::Share => "%",
            Self::Plain(unit, _) => unit,
        }
    }

    /// A number that was typed, with or without its unit; the scale of ppm may go without saying.
    #[must_use]
    pub fn typed(self, text: &str, units: Units) -> Option<f64> {
        let (text, unit) = (text.trim(), self.unit(units));
        let bare = if unit.starts_with("ppm") { "ppm" } else { unit };
        let number = text.strip_suffix(unit).or_else(|| text.strip_suffix(bare)).unwrap_or(text);
        number.trim().replace('−', "-").replace(',', ".").parse().ok()
    }

    /// Decimals worth showing.
    #[must_use]
    pub fn decimals(self, units: Units) -> usize {
        let inch = usize::from(units.length == LengthUnit::Inch);
        match self {
            Self::Millilitres => usize::from(units.volume == VolumeUnit::Us),
            Self::Litres | Self::LengthPerDay => 2,
            Self::Thickness | Self::WaterPerDay => inch + 1 + usize::from(self == Self::Thickness),
            Self::Ec => {
                if units.ec == EcUnit::MsCm {
                    2
                } else {
                    0
                }
            }
            Self::Head => usize::from(units.suction == SuctionUnit::Kpa),
            Self::Length => 1 + inch,
            Self::Temperature | Self::Share => 1,
            Self::Plain(_, decimals) => decimals,
        }
    }

    /// What arrow keys change a shown value by, where its range is not so wide that a part of it serves better.
    #[must_use]
    pub fn step(self, units: Units) -> f64 {
        match self {
            Self::Plain(_, 0) => 1.0,
            Self::Ec if units.ec != EcUnit::MsCm => 50.0,
            _ => 5.0 * 10.0_f64.powi(-i32::try_from(self.decimals(units)).unwrap_or(0)),
        }
    }

    /// A value with its unit, as it is shown.
    #[must_use]
    pub fn text(self, value: f64, units: Units) -> String {
        let (shown, decimals, unit) = (self.shown(value, units), self.decimals(units), self.unit(units));
        // Nobody reads hundredths of a litre in a tank.
        let decimals = if self == Self::Litres && shown.abs() >= 9.95 { 1 } else { decimals };
        // No minus before a zero.
        let shown = if shown.abs() < 0.5 * 0.1_f64.powi(i32::try_from(decimals).unwrap_or(0)) { 0.0 } else { shown };
        let number = format!("{shown:.decimals$}");
        if unit.is_empty() { number } else { format!("{number} {unit}") }
    }
}

/// A number with its sign, and a true minus.
#[must_use]
pub fn signed(value: f64, decimals: usize) -> String {
    let text = format!("{:.decimals$}", value.abs());
    if text.bytes().all(|b| matches!(b, b'0' | b'.')) {
        text
    } else if value < 0.0 {
        format!("−{text}")
    } else {
        format!("+{text}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const US: Units = Units {
        volume: VolumeUnit::Us,
        length: LengthUnit::Inch,
        temperature: TemperatureUnit::Fahrenheit,
        ec: EcUnit::Ppm700,
        suction: SuctionUnit::Cm,
    };

    #[test]
    fn conversions_are_exact_and_come_back() {
        assert_eq!(Quantity::Millilitres.shown(29.573_529_562_5, US), 1.0);
        assert_eq!(Quantity::Length.shown(2.54, US), 1.0);
        assert_eq!(Quantity::Temperature.shown(100.0, US), 212.0);
        assert_eq!(Quantity::Ec.shown(2.0, US), 1400.0);
        assert_eq!(Quantity::Head.shown(-60.0, US), 60.0);
        assert!((128.0 * ML_PER_FL_OZ / 1000.0 - L_PER_GAL).abs() < 1e-12);
        assert_eq!(Quantity::WaterPerDay.shown(25.4, US), 1.0);
        assert_eq!(Quantity::Temperature.difference(5.0, US), 9.0);
        let kinds = [Quantity::Millilitres, Quantity::Litres, Quantity::Length, Quantity::Temperature, Quantity::Ec, Quantity::Head];
        for quantity in kinds.into_iter().chain([Quantity::Thickness, Quantity::LengthPerDay, Quantity::WaterPerDay]) {
            assert!((quantity.data(quantity.shown(7.3, US), US) - 7.3).abs() < 1e-12, "{quantity:?}");
        }
    }

    #[test]
    fn texts_carry_their_unit() {
        let metric = Units::default();
        assert_eq!(Quantity::Ec.text(2.4, metric), "2.40 mS/cm");
        assert_eq!(Quantity::Ec.text(2.4, US), "1680 ppm (700)");
        assert_eq!(Quantity::Head.text(-102.0, metric), "10.0 kPa");
        assert_eq!(Quantity::Head.text(0.0, metric), "0.0 kPa");
        assert_eq!(Quantity::Share.text(0.08, metric), "8.0 %");
        let litres = |l: f64| Quantity::Litres.text(l, metric);
        assert_eq!([litres(1.756), litres(9.97), litres(391.04), litres(0.0)], ["1.76 L", "10.0 L", "391.0 L", "0.00 L"]);
    }

    #[test]
    fn what_is_typed_may_name_its_unit_but_not_another_scale() {
        let typed = |text: &str| Quantity::Ec.typed(text, US);
        assert_eq!(
            ["1680", "1680 ppm", " 1680 ppm (700) ", "1680,5ppm"].map(typed),
            [Some(1680.0), Some(1680.0), Some(1680.0), Some(1680.5)]
        );
        assert_eq!(["1680 ppm (500)", "2.4 mS/cm", "ppm", ""].map(typed), [None; 4]);
        assert_eq!(Quantity::Head.typed("−6,5 kPa", Units::default()), Some(-6.5));
        assert_eq!(Quantity::Plain("", 1).typed("3", US), Some(3.0));
    }

    #[test]
    fn signs() {
        assert_eq!([signed(0.31, 1), signed(-0.3, 1), signed(-0.04, 1)], ["+0.3", "−0.3", "0.0"]);
    }
}
