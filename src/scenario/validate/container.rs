//! Checks of containers, their parts and media.

use super::check::{Check, Number, quoted, unknown_preset};
use crate::scenario::container::{Container, Part};
use crate::scenario::medium::{Curve, Medium, MediumChoice};
use crate::scenario::parameter::medium::MEDIUM;
use crate::scenario::parameter::part::{EXPOSED, HEIGHT, SHARED, SIZES};
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
    for table in [HEIGHT, SHARED, SIZES, EXPOSED] {
        check.numbers(part, table, library);
    }
    match &part.medium {
        MediumChoice::Preset(name) if library.medium(name).is_none() => {
            unknown_preset(check, "medium", name, library.media.iter().map(|m| &m.name));
        }
        MediumChoice::Preset(_) => {}
        MediumChoice::Custom(medium) => check_medium(&mut check.at("medium"), medium, library),
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

pub(super) fn check_medium(check: &mut Check<'_>, medium: &Medium, library: &Library) {
    check.name(&medium.name);
    check.text("source", &medium.source);
    check.numbers(medium, MEDIUM, library);
    let curve = &medium.curve;
    let theta_r = curve.theta_r();
    let (least, most) = ranges::theta_r(curve);
    if !(least..=most).contains(&theta_r) {
        let why = "residual water content, below theta_s; every medium keeps a film";
        check.fail("curve.theta_r", Number(theta_r), format!("{} to {most:.2}", Number(least)), why);
    }
    let (least, most) = ranges::porosity(curve);
    if !(least..=most).contains(&medium.porosity) {
        check.fail("porosity", Number(medium.porosity), format!("{} to {}", Number(least), Number(most)), "all pores, at least theta_s");
    }
    if let Curve::VanGenuchten { alpha_per_cm, n, .. } = *curve {
        let (least, steepest) = ranges::n(alpha_per_cm);
        if n > steepest && n <= ranges::N.1 {
            let why = "a steeper curve with this alpha is empty long before 1000 cm of suction";
            check.fail("curve.n", Number(n), format!("{least} to {steepest:.2}"), why);
        }
    }
}
