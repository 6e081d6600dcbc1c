//! Air and light against published tables.

use slakeline::physics::light::{Source, daily_light_integral};
use slakeline::physics::moist_air::{saturation_vapour_pressure, vapour_pressure_deficit, vapour_pressure_of_day};

use crate::common::require;

/// Check 8. Allen, Pereira, Raes & Smith 1998 (FAO-56), table 2.3, kPa. Published. Tolerance 0.0006: the table's rounding.
#[test]
fn saturation_pressure_of_table_2_3() {
    let table = [(5.0, 0.872), (10.0, 1.228), (15.0, 1.705), (20.0, 2.338), (25.0, 3.168), (30.0, 4.243), (35.0, 5.623), (40.0, 7.376)];
    let off = table.map(|(t, e)| (saturation_vapour_pressure(t) - e).abs()).into_iter().fold(0.0, f64::max);
    require("8 FAO-56", "table 2.3", off, 6e-4, "kPa");
}

/// Check 8. FAO-56 example 5: Tmax 25, Tmin 18 °C, RH 82/54 % → 1.70 kPa. Published. Tolerance 0.005: rounding.
#[test]
fn vapour_pressure_of_example_5() {
    let ea = vapour_pressure_of_day(18.0, 25.0, 54.0, 82.0);
    require("8 FAO-56", "example 5", (ea - 1.70).abs(), 0.005, "kPa");
}

/// The deficit is what is missing to saturation (definition): none at 100 %, all of it at 0 %.
#[test]
fn deficit_is_what_is_missing() {
    assert_eq!(vapour_pressure_deficit(25.0, 100.0), 0.0);
    let half = vapour_pressure_deficit(25.0, 50.0);
    require("8 FAO-56", "deficit at 25 °C, 50 %", (half - 0.5 * 3.168).abs(), 6e-4, "kPa");
}

/// Check 13. 700 µmol/m²/s for 12 h are 30.24 mol/m² (closed form). Tolerance: rounding.
#[test]
fn light_integral() {
    require("13 Light", "DLI of 700 µmol, 12 h", (daily_light_integral(700.0, 12.0) - 30.24).abs(), 1e-12, "mol/m²");
}

/// Check 13. Photons per joule: sun 4.57, high-pressure sodium 4.98 (Thimijan & Heins 1983, HortScience 18:818, published);
/// LED 4.9 (judgement). Tolerance: none.
#[test]
fn photons_per_joule() {
    for (source, factor) in [(Source::Sun, 4.57), (Source::Sodium, 4.98), (Source::Led, 4.9)] {
        assert_eq!(source.photons_per_joule(), factor);
        require("13 Light", &format!("{source:?}"), (source.par_watts(factor * 100.0) - 100.0).abs(), 1e-12, "W/m²");
    }
}
