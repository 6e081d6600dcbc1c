//! The numbers of a medium, in the order of its form.

use super::entry::{CONTENT, Entry, LENGTH, SHARE, Spread, THIN};
use crate::scenario::medium::{Curve, Medium};
use crate::scenario::ranges::{self, Range};
use crate::units::Quantity;

const SOURCES: &str = "judgement: sources of one medium differ by a factor of two";
const GENERIC: &str = "judgement: generic values against one bag";

/// One value of a curve by its name, where that kind of curve has it.
fn place<'c>(curve: &'c mut Curve, name: &str) -> Option<&'c mut f64> {
    match (curve, name) {
        (Curve::VanGenuchten { theta_s: v, .. } | Curve::Gardner { theta_s: v, .. } | Curve::Haverkamp { theta_s: v, .. }, "theta_s")
        | (Curve::VanGenuchten { theta_r: v, .. } | Curve::Gardner { theta_r: v, .. } | Curve::Haverkamp { theta_r: v, .. }, "theta_r")
        | (Curve::VanGenuchten { alpha_per_cm: v, .. }, "alpha_per_cm")
        | (Curve::VanGenuchten { n: v, .. }, "n")
        | (Curve::VanGenuchten { l: v, .. }, "l")
        | (Curve::Gardner { a_per_cm: v, .. }, "a_per_cm")
        | (Curve::Haverkamp { alpha: v, .. }, "alpha")
        | (Curve::Haverkamp { beta: v, .. }, "beta")
        | (Curve::Haverkamp { a: v, .. }, "a")
        | (Curve::Haverkamp { gamma: v, .. }, "gamma") => Some(v),
        (
            Curve::VanGenuchten { ks_cm_per_day: v, .. }
            | Curve::Gardner { ks_cm_per_day: v, .. }
            | Curve::Haverkamp { ks_cm_per_day: v, .. },
            "ks_cm_per_day",
        ) => Some(v),
        _ => None,
    }
}

fn of(mut curve: Curve, name: &str) -> Option<f64> {
    place(&mut curve, name).copied()
}

fn put(medium: &mut Medium, name: &str, value: f64) {
    if let Some(v) = place(&mut medium.curve, name) {
        *v = value;
    }
}

/// A value after Gardner or Haverkamp beside the others of its curve: a plant can still dry it.
fn fit(medium: &Medium, name: &str, widest: Range) -> Range {
    let with = |v: f64| {
        let mut curve = medium.curve;
        if let Some(at) = place(&mut curve, name) {
            *at = v;
        }
        curve
    };
    of(medium.curve, name).map_or(widest, |value| ranges::fit_for_plants(widest, value, with))
}

/// A value of a curve by name.
macro_rules! curve {
    ($name:literal, $unit:expr, $range:expr) => {
        Entry::new(concat!("curve.", $name), $unit, $range, |m: &Medium, _| of(m.curve, $name), |m, v| put(m, $name, v))
    };
}

const ALPHA: &str = "Larger: the medium begins to drain at less suction, so it holds more air (per cm)";
const NARROW: &str = "Larger: the medium empties over a narrower range of suction";
const fn shape(unit: &'static str) -> (Quantity, &'static str) {
    (Quantity::Plain("", 4), unit)
}

/// The one that a run does not look at.
pub const TOLD_AT: &str = "told_at_cm";

/// All of them.
pub static MEDIUM: &[Entry<Medium>] = &[
    Entry::<Medium>::new("porosity", CONTENT, (ranges::THETA_S.0, ranges::MOST_PORES), |m, _| Some(m.porosity), |m, v| m.porosity = v)
        .called("All pores", "Water and air together. What the water does not fill is air.")
        .beside(|m, _| ranges::porosity(&m.curve))
        .within(Spread::Amount(0.02), GENERIC),
    curve!("theta_s", CONTENT, ranges::THETA_S)
        .called("Holds when full", "Water when soaked; some air stays trapped.")
        .since("m³ of water in a m³ when full")
        .beside(|m, _| ranges::theta_s(m))
        .within(Spread::Amount(0.03), GENERIC),
    curve!("theta_r", CONTENT, (ranges::LEAST_THETA_R, ranges::THETA_S.1))
        .called("Held too tightly", "Water that neither drains nor reaches roots.")
        .beside(|m, _| ranges::theta_r(&m.curve))
        .within(Spread::Amount(0.02), GENERIC),
    curve!("ks_cm_per_day", (Quantity::LengthPerDay, "cm/day"), ranges::KS)
        .called("Lets through", "How fast water runs through when full. Slow media stay wet longer after an event.")
        .since("saturated conductivity, cm/day")
        .within(Spread::Factor(3.0), "judgement: conductivity near saturation is the least certain of all"),
    curve!("alpha_per_cm", shape("1/cm"), ranges::ALPHA)
        .called("α, 1/cm", ALPHA)
        .since("1/cm")
        .beside(|m, _| of(m.curve, "n").map_or(ranges::ALPHA, ranges::alpha))
        .within(Spread::Factor(1.4), SOURCES),
    curve!("n", shape(""), ranges::N)
        .called("n", NARROW)
        .since("the curve needs n above 1; below 1.05 it hardly drains")
        .beside(|m, _| of(m.curve, "alpha_per_cm").map_or(ranges::N, ranges::n))
        .within(Spread::Amount(0.1), SOURCES),
    curve!("l", shape(""), ranges::L)
        .called("l", "How fast conductivity falls as it dries; usually 0.5")
        .since("Mualem's exponent, usually 0.5")
        .within(Spread::Amount(0.5), "judgement"),
    curve!("a_per_cm", shape("1/cm"), ranges::ALPHA)
        .called("a, 1/cm", ALPHA)
        .since("1/cm")
        .beside(|m, _| fit(m, "a_per_cm", ranges::ALPHA))
        .within(Spread::Factor(1.4), SOURCES),
    curve!("alpha", shape("cm^β"), ranges::HAVERKAMP_SCALE)
        .called("α, cm^β", "Larger: the medium holds its water against more suction")
        .since("cm^β")
        .beside(|m, _| fit(m, "alpha", ranges::HAVERKAMP_SCALE))
        .within(Spread::Factor(2.0), SOURCES),
    curve!("beta", shape(""), ranges::HAVERKAMP_POWER)
        .called("β", NARROW)
        .since("exponent of the retention")
        .beside(|m, _| fit(m, "beta", ranges::HAVERKAMP_POWER))
        .within(Spread::Amount(0.2), SOURCES),
    curve!("a", shape("cm^γ"), ranges::HAVERKAMP_SCALE)
        .called("A, cm^γ", "Larger: it conducts well at more suction")
        .since("cm^γ")
        .beside(|m, _| fit(m, "a", ranges::HAVERKAMP_SCALE))
        .within(Spread::Factor(2.0), SOURCES),
    curve!("gamma", shape(""), ranges::HAVERKAMP_POWER)
        .called("γ", "Larger: conductivity falls faster as it dries")
        .since("exponent of the conductivity")
        .beside(|m, _| fit(m, "gamma", ranges::HAVERKAMP_POWER))
        .within(Spread::Amount(0.2), SOURCES),
    Entry::<Medium>::new(
        "hysteresis_ratio",
        (Quantity::Plain("times", 2), ""),
        ranges::HYSTERESIS,
        |m, _| Some(m.hysteresis_ratio),
        |m, v| m.hysteresis_ratio = v,
    )
    .called("Dry over wet", "How much drier it stays when wetted again than when drained: dry over wet suction; 1 is no difference.")
    .since("wetting against drying suction; 1 is none")
    .within(Spread::Factor(1.25), GENERIC),
    Entry::<Medium>::new(
        "capillary_height_cm",
        THIN,
        ranges::CAPILLARY_HEIGHT,
        |m, _| Some(m.full_up_to()),
        |m, v| m.capillary_height_cm = Some(v),
    )
    .called("Full up to", "Height above free water up to which no pore empties: the medium stays full so far.")
    .since("cm of suction below which the medium stays full"),
    Entry::<Medium>::new("channelling", SHARE, ranges::CHANNELLING, |m, _| Some(m.channelling), |m, v| m.channelling = v)
        .called("Straight through", "Share of every drip that reaches the drain without wetting the medium.")
        .since("share of a drip that runs straight through")
        .within(Spread::Amount(0.05), GENERIC),
    Entry::<Medium>::new("channel_pick_up", SHARE, ranges::CHANNEL_PICK_UP, |m, _| Some(m.channel_pick_up), |m, v| m.channel_pick_up = v)
        .called(
            "Picks up salt",
            "How far that water takes on the root zone's EC on its way. Larger: it carries more salt out, and less builds up.",
        )
        .since("how far that water takes on the root zone's EC")
        .within(Spread::Amount(0.2), GENERIC),
    Entry::<Medium>::new(
        "bulk_density_kg_m3",
        (Quantity::Plain("kg/m³", 0), "kg/m³"),
        ranges::BULK_DENSITY,
        |m, _| Some(m.bulk_density_kg_m3),
        |m, v| m.bulk_density_kg_m3 = v,
    )
    .called("Dry weight", "Dry medium in a cubic metre. Salt is held per weight.")
    .since("kg of dry medium in a cubic metre")
    .within(Spread::Factor(1.15), GENERIC),
    Entry::<Medium>::new(
        "cec_cmol_kg",
        (Quantity::Plain("cmol/kg", 1), "cmol/kg"),
        ranges::CEC,
        |m, _| Some(m.cec_cmol_kg),
        |m, v| m.cec_cmol_kg = v,
    )
    .called("Exchange", "CEC: how much salt the medium can hold on its surfaces. Shown; salt held is what counts.")
    .since("cmol/kg"),
    Entry::<Medium>::new(
        "exchange_ml_per_g",
        (Quantity::Plain("mL/g", 2), "mL/g"),
        ranges::EXCHANGE,
        |m, _| Some(m.exchange_ml_per_g),
        |m, v| m.exchange_ml_per_g = v,
    )
    .called("Salt held", "Salt on the medium per salt in its water; more slows every change of EC.")
    .since("mL/g; 0 is no exchange")
    .within(Spread::Factor(1.5), GENERIC),
    Entry::<Medium>::new("dispersivity_cm", THIN, ranges::DISPERSIVITY, |m, _| Some(m.dispersivity_cm), |m, v| m.dispersivity_cm = v)
        .called("Spread of salt", "How far salt is smeared as water passes (dispersivity).")
        .since("cm")
        .within(Spread::Factor(2.0), GENERIC),
    Entry::<Medium>::new(
        "diffusion_cm2_s",
        (Quantity::Plain("cm²/s", 6), "cm²/s"),
        ranges::DIFFUSION,
        |m, _| Some(m.diffusion_cm2_s),
        |m, v| m.diffusion_cm2_s = v,
    )
    .called("Drift of salt", "How fast salt evens out in still water (diffusion).")
    .since("cm²/s; salt in free water is about 1.5e-5")
    .within(Spread::Factor(1.5), GENERIC),
    Entry::<Medium>::new(TOLD_AT, LENGTH, ranges::TOLD_AT, |m, _| m.told_at_cm, |m, v| m.told_at_cm = Some(v))
        .called(
            "Test height",
            "Height of the container or ring that the answers below are for. Changing it changes no value of the medium.",
        )
        .since("height that water and air when drained are told for"),
];
