//! Checks of containers, their parts and media.

use super::check::{Check, Number, quoted, unknown_preset};
use crate::scenario::container::{Container, Part, Shape};
use crate::scenario::medium::{Curve, Medium, MediumChoice};
use crate::scenario::presets::library::Library;
use crate::scenario::ranges;

pub(super) fn check_container(check: &mut Check<'_>, container: &Container, library: &Library) {
    check.name(&container.name);
    check.text("source", &container.source);
    if !check.count("parts", container.parts.len(), 1, ranges::MOST_PARTS, "parts stacked from the base up") {
        return;
    }
    for (i, part) in container.parts.iter().enumerate() {
        check_part(&mut check.item("parts", i), part, library);
    }
    let height = container.height_cm();
    if !(container.outlet_height_cm >= 0.0 && container.outlet_height_cm < height) {
        let allowed = format!("0 to below {}", Number(height));
        check.fail("outlet_height_cm", Number(container.outlet_height_cm), allowed, "the outlet is in the wall or base, below the top");
    }
}

fn check_part(check: &mut Check<'_>, part: &Part, library: &Library) {
    check.name(&part.name);
    check.range("height_cm", part.height_cm, ranges::PART_HEIGHT, "cm from the part's base to its top");
    check.whole("shared_by", part.shared_by, ranges::SHARED_BY, "plants that share the part");
    let lengths: Vec<(&str, f64)> = match part.shape {
        Shape::Rectangular { length_cm, width_cm } => vec![("shape.length_cm", length_cm), ("shape.width_cm", width_cm)],
        Shape::Round { diameter_cm } => vec![("shape.diameter_cm", diameter_cm)],
        Shape::TaperedRectangular { bottom_cm, top_cm } => vec![
            ("shape.bottom_cm.0", bottom_cm.0),
            ("shape.bottom_cm.1", bottom_cm.1),
            ("shape.top_cm.0", top_cm.0),
            ("shape.top_cm.1", top_cm.1),
        ],
        Shape::TaperedRound { bottom_diameter_cm, top_diameter_cm } => {
            vec![("shape.bottom_diameter_cm", bottom_diameter_cm), ("shape.top_diameter_cm", top_diameter_cm)]
        }
    };
    for (field, value) in lengths {
        check.range(field, value, ranges::PART_SIZE, "cm");
    }
    for (field, share) in [("top_exposed", part.top_exposed), ("wall_exposed", part.wall_exposed)] {
        if let Some(share) = share {
            check.range(field, share, ranges::SHARE, "a share of the surface");
        }
    }
    match &part.medium {
        MediumChoice::Preset(name) if library.medium(name).is_none() => {
            unknown_preset(check, "medium", name, library.media.iter().map(|m| &m.name));
        }
        MediumChoice::Preset(_) => {}
        MediumChoice::Custom(medium) => check_medium(&mut check.at("medium"), medium),
        MediumChoice::Mix(components) => {
            if !check.count("medium", components.len(), 2, 6, "components of a mix") {
                return;
            }
            for (i, component) in components.iter().enumerate() {
                let mut at = check.item("medium", i);
                at.range("percent", component.percent, ranges::MIX_PERCENT, "percent of the volume");
                match library.medium(&component.medium) {
                    None => unknown_preset(&mut at, "medium", &component.medium, library.media.iter().map(|m| &m.name)),
                    Some(m) if !matches!(m.curve, Curve::VanGenuchten { .. }) => {
                        at.fail("medium", quoted(&m.name), "a medium with a van Genuchten curve", "mixes are refitted to that curve");
                    }
                    Some(_) => {}
                }
            }
            let sum: f64 = components.iter().map(|c| c.percent).sum();
            if sum.is_nan() || (sum - 100.0).abs() > 0.01 {
                check.fail("medium", format!("a mix of {} %", Number(sum)), "shares that sum to 100", "a mix fills the whole volume");
            }
        }
    }
}

pub(super) fn check_medium(check: &mut Check<'_>, medium: &Medium) {
    check.name(&medium.name);
    check.text("source", &medium.source);
    check.range("hysteresis_ratio", medium.hysteresis_ratio, ranges::HYSTERESIS, "wetting against drying suction; 1 is none");
    if let Some(h) = medium.capillary_height_cm {
        check.range("capillary_height_cm", h, ranges::CAPILLARY_HEIGHT, "cm of suction below which the medium stays full");
    }
    check.range("channelling", medium.channelling, ranges::CHANNELLING, "share of a drip that runs straight through");
    check.range("channel_pick_up", medium.channel_pick_up, ranges::CHANNEL_PICK_UP, "how far that water takes on the root zone's EC");
    check.range("bulk_density_kg_m3", medium.bulk_density_kg_m3, ranges::BULK_DENSITY, "kg of dry medium in a cubic metre");
    check.range("cec_cmol_kg", medium.cec_cmol_kg, ranges::CEC, "cmol/kg");
    check.range("exchange_ml_per_g", medium.exchange_ml_per_g, ranges::EXCHANGE, "mL/g; 0 is no exchange");
    check.range("dispersivity_cm", medium.dispersivity_cm, ranges::DISPERSIVITY, "cm");
    check.range("diffusion_cm2_s", medium.diffusion_cm2_s, ranges::DIFFUSION, "cm²/s; salt in free water is about 1.5e-5");
    let curve = &medium.curve;
    let (theta_s, theta_r) = (curve.theta_s(), curve.theta_r());
    check.range("curve.theta_s", theta_s, ranges::THETA_S, "m³ of water in a m³ when full");
    let (least, most) = ranges::theta_r(curve);
    if !(least..=most).contains(&theta_r) {
        let why = "residual water content, below theta_s; every medium keeps a film";
        check.fail("curve.theta_r", Number(theta_r), format!("{} to {most:.2}", Number(least)), why);
    }
    let (least, most) = ranges::porosity(curve);
    if !(least..=most).contains(&medium.porosity) {
        check.fail("porosity", Number(medium.porosity), format!("{} to {}", Number(least), Number(most)), "all pores, at least theta_s");
    }
    check.range("curve.ks_cm_per_day", curve.ks_cm_per_day(), ranges::KS, "saturated conductivity, cm/day");
    match *curve {
        Curve::VanGenuchten { alpha_per_cm, n, l, .. } => {
            check.range("curve.alpha_per_cm", alpha_per_cm, ranges::ALPHA, "1/cm");
            check.range("curve.n", n, ranges::N, "the curve needs n above 1; below 1.05 it hardly drains");
            let (least, steepest) = ranges::n(alpha_per_cm);
            if n > steepest && n <= ranges::N.1 {
                let why = "a steeper curve with this alpha is empty long before 1000 cm of suction";
                check.fail("curve.n", Number(n), format!("{least} to {steepest:.2}"), why);
            }
            check.range("curve.l", l, ranges::L, "Mualem's exponent, usually 0.5");
        }
        Curve::Gardner { a_per_cm, .. } => check.range("curve.a_per_cm", a_per_cm, ranges::ALPHA, "1/cm"),
        Curve::Haverkamp { alpha, beta, a, gamma, .. } => {
            check.range("curve.alpha", alpha, ranges::HAVERKAMP_SCALE, "cm^β");
            check.range("curve.beta", beta, ranges::HAVERKAMP_POWER, "exponent of the retention");
            check.range("curve.a", a, ranges::HAVERKAMP_SCALE, "cm^γ");
            check.range("curve.gamma", gamma, ranges::HAVERKAMP_POWER, "exponent of the conductivity");
        }
    }
}
