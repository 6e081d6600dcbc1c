//! The values of a row: numbers, their ranges, and the units that they betray.

use super::columns::{Columns, Light, Moisture};
use super::findings::{Consent, Findings, Kind, Problem};
use super::lines::Separator;
use crate::physics::moist_air::saturation_vapour_pressure;
use crate::scenario::{file::printable, ranges};

/// A light sensor in the dark reads a little below zero: down to this is darkness, W/m² or µmol/m²/s.
const DARK: f64 = -20.0;
/// A humidity sensor in fog reads a little above 100 %: up to this is saturated air.
const FOG: f64 = 105.0;
/// Least humidity that is believed, percent: less is a fraction or a broken sensor.
const DRIEST: f64 = 2.0;

/// Reads the values of rows.
#[derive(Debug)]
pub(super) struct Values {
    separator: Separator,
    /// The decimal mark of the first number that had one: the others keep to it.
    mark: Option<char>,
    dark: usize,
    fog: usize,
}

/// What is wrong with a value, and the remedy.
type Wrong = (Kind, String, String);

impl Values {
    pub(super) fn new(separator: Separator) -> Self {
        Self { separator, mark: None, dark: 0, fog: 0 }
    }

    /// Shortwave radiation, temperature and humidity of a row; what is wrong is noted.
    pub(super) fn read(&mut self, line: u64, fields: &[String], columns: &Columns, findings: &mut Findings) -> Option<[f64; 3]> {
        let cell = |i: usize| fields.get(i).map_or("", String::as_str);
        let light = self.light(columns.light.1, cell(columns.light.0));
        let temperature = self.temperature(cell(columns.temperature));
        // A deficit is not to be judged by a temperature that could not be read.
        let celsius = *temperature.as_ref().unwrap_or(&20.0);
        let humidity = self.humidity(columns.moisture.1, cell(columns.moisture.0), celsius);
        let mut keep = |value: Result<f64, Wrong>| match value {
            Ok(value) => Some(value),
            Err((kind, what, remedy)) => {
                findings.note(Problem::of(kind, Some(line), what, remedy).unless(Consent::SkipBad), "Left out.");
                None
            }
        };
        let (light, temperature, humidity) = (keep(light), keep(temperature), keep(humidity));
        Some([light?, temperature?, humidity?])
    }

    fn light(&mut self, light: Light, cell: &str) -> Result<f64, Wrong> {
        let name = light.column();
        let value = self.number(name, cell)?;
        let most = if matches!(light, Light::Photons(_)) { ranges::PPFD.1 } else { ranges::LOG_LIGHT.1 };
        if !(DARK..=most).contains(&value) {
            let remedy = match light {
                _ if value < 0.0 => "Correct the sensor's zero.",
                Light::Photons(_) => "It may be lux: divide by the lux per µmol/m²/s of this light (about 54 for sun).",
                _ if value <= ranges::PPFD.1 => "It may be µmol/m²/s: then name the column ppfd_umol.",
                _ => "It may be lux: divide by the lux per W/m² of this light (about 110 for sun).",
            };
            return Err(out_of_range(name, cell, &format!("0 to {most}"), remedy));
        }
        self.dark += usize::from(value < 0.0);
        let value = value.max(0.0);
        Ok(match light {
            Light::Watts => value,
            Light::Photons(source) => source.shortwave(value),
            Light::Outside(share) => share * value,
        })
    }

    fn temperature(&mut self, cell: &str) -> Result<f64, Wrong> {
        const NAME: &str = "temperature_c";
        let value = self.number(NAME, cell)?;
        if (ranges::LOG_CELSIUS.0..=ranges::LOG_CELSIUS.1).contains(&value) {
            return Ok(value);
        }
        let remedy = match value {
            v if (250.0..=330.0).contains(&v) => "It may be kelvin: take 273.15 off.",
            v if (60.0..=140.0).contains(&v) => "It may be degrees Fahrenheit: take 32 off and multiply by 5/9.",
            v if (140.0..=600.0).contains(&v) => "It may be tenths of a degree: divide by 10.",
            _ => "Correct it: the sensor may have been broken or unplugged.",
        };
        Err(out_of_range(NAME, cell, &format!("{} to {} °C", ranges::LOG_CELSIUS.0, ranges::LOG_CELSIUS.1), remedy))
    }

    fn humidity(&mut self, moisture: Moisture, cell: &str, celsius: f64) -> Result<f64, Wrong> {
        let percent = match moisture {
            Moisture::Percent => self.number("humidity_pct", cell)?,
            Moisture::Deficit => {
                let deficit = self.number("vpd_kpa", cell)?;
                let most = saturation_vapour_pressure(celsius);
                // A hundredth below zero is rounding.
                if !(-0.05..=most * (1.0 - DRIEST / 100.0)).contains(&deficit) {
                    let remedy = match deficit {
                        d if d < 0.0 => "Correct it: a deficit is never below zero.",
                        d if d > 100.0 => "It may be pascals: divide by 1000.",
                        _ => "It may be hectopascals (millibars): divide by 10.",
                    };
                    return Err(out_of_range("vpd_kpa", cell, &format!("0 to {most:.2} kPa in air of {celsius:.1} °C"), remedy));
                }
                (100.0 * (1.0 - deficit / most)).clamp(DRIEST, 100.0)
            }
        };
        if !(DRIEST..=FOG).contains(&percent) {
            let remedy = match percent {
                p if p > 0.0 && p <= 1.0 => "It may be a fraction: multiply by 100.",
                p if p > 105.0 && p <= 1000.0 => "It may be tenths of a percent: divide by 10.",
                _ => "Correct it: the sensor may have been broken or unplugged.",
            };
            return Err(out_of_range("humidity_pct", cell, &format!("{DRIEST} to 100 %"), remedy));
        }
        self.fog += usize::from(percent > 100.0);
        Ok(percent.min(100.0))
    }

    /// A number as it is written, with a decimal point, or a comma where commas do not part columns.
    fn number(&mut self, name: &str, cell: &str) -> Result<f64, Wrong> {
        let wrong = |what: String, remedy: &str| Err((Kind::Unreadable, what, remedy.to_owned()));
        if cell.is_empty() || ["-", "--", "na", "n/a", "nan", "null", "none"].contains(&cell.to_ascii_lowercase().as_str()) {
            return wrong(format!("{name} is empty"), "Fill it in, or let bad rows be left out.");
        }
        let mark = cell.chars().find(|c| matches!(c, '.' | ','));
        if let (Some(mark), Some(first)) = (mark, self.mark)
            && mark != first
        {
            let what = format!("{name} is \"{}\", with another decimal mark than the rows before", printable(cell, 40));
            return wrong(what, "Write all numbers with a decimal point, and without marks between thousands.");
        }
        let plain = if self.separator.leaves_commas() { cell.replace(',', ".") } else { cell.to_owned() };
        match plain.parse::<f64>().ok().filter(|v| v.is_finite()) {
            Some(value) => {
                self.mark = self.mark.or(mark);
                Ok(value)
            }
            None => wrong(
                format!("{name} is \"{}\", which is no number", printable(cell, 40)),
                "Write it without unit and thousands marks; decimal commas need semicolons between columns.",
            ),
        }
    }

    /// Tells how many values were taken for darkness and for saturated air.
    pub(super) fn tell(&self, findings: &mut Findings) {
        if self.dark > 0 {
            findings.tell(format!("Light slightly below zero was taken for darkness in {} rows.", self.dark));
        }
        if self.fog > 0 {
            findings.tell(format!("Humidity slightly above 100 % was taken for 100 % in {} rows.", self.fog));
        }
    }
}

fn out_of_range(name: &str, cell: &str, allowed: &str, remedy: &str) -> Wrong {
    (Kind::Range, format!("{name} is {}; believed: {allowed}", printable(cell, 40)), remedy.to_owned())
}
