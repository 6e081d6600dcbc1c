//! Figures of a day as they are read: what each is called, and its value in the units shown.

use crate::units::{CM_PER_KPA, Quantity, Units};

/// A figure's, or an aim's, name as it is read.
#[must_use]
pub fn words(key: &str) -> String {
    match key {
        "drain_percent" | "drain_fraction" => "drain".to_owned(),
        "dry_back_points" => "night dry-back".to_owned(),
        other => other.replace('_', " ").replace(" ml", "").replace(" kpa", "").replace(" ec", " EC").replace("root zone", "root-zone"),
    }
}

/// How a figure is shown.
fn quantity(key: &str) -> Quantity {
    match key {
        "peak" | "lowest" | "lowest_air" | "container_capacity" | "drain_fraction" | "uptake_met" => Quantity::Share,
        "highest_suction_kpa" => Quantity::Head,
        "dry_back_points" => Quantity::Plain("points", 1),
        "hours_outside_band" => Quantity::Plain("h", 1),
        key if key.ends_with("_ml") => Quantity::Millilitres,
        key if key.ends_with("_ec") || key.ends_with("_ec_change") => Quantity::Ec,
        _ => Quantity::Plain("", 3),
    }
}

/// A figure's unit in the units shown.
#[must_use]
pub fn unit(key: &str, units: Units) -> &'static str {
    quantity(key).unit(units)
}

/// A figure's value in the units shown, without them; a dash where there is none.
#[must_use]
pub fn value(key: &str, value: Option<f64>, units: Units) -> String {
    let Some(value) = value.filter(|v| v.is_finite()) else { return "–".to_owned() };
    let quantity = quantity(key);
    let data = if quantity == Quantity::Head { -CM_PER_KPA * value } else { value };
    let decimals = if quantity == Quantity::Share { 1 } else { quantity.decimals(units) };
    let text = format!("{:.decimals$}", quantity.shown(data, units));
    // Nothing is less than nothing.
    if text.trim_start_matches(['-', '0', '.']).is_empty() { text.trim_start_matches('-').to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::studies::told::FIGURES;
    use crate::units::{EcUnit, VolumeUnit};

    #[test]
    fn every_figure_has_words_and_a_unit_and_is_shown_in_the_units_chosen() {
        let (metric, us) = (Units::default(), Units { volume: VolumeUnit::Us, ec: EcUnit::Ppm500, ..Units::default() });
        for figure in &FIGURES {
            assert!(!words(figure.key).contains('_') && !unit(figure.key, metric).is_empty(), "{}", figure.key);
        }
        assert_eq!(value("applied_ml", Some(295.735_295_625), us), "10.0");
        assert_eq!(
            (value("root_zone_ec", Some(2.5), metric), value("root_zone_ec", Some(2.5), us)),
            ("2.50".to_owned(), "1250".to_owned())
        );
        assert_eq!(
            (value("peak", Some(0.6537), metric), value("highest_suction_kpa", Some(1.0), metric)),
            ("65.4".to_owned(), "1.0".to_owned())
        );
        assert_eq!(
            (value("root_zone_ec_change", Some(-1e-9), metric), value("drain_ec", None, metric)),
            ("0.00".to_owned(), "–".to_owned())
        );
    }
}
