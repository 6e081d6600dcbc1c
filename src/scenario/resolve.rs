//! Fills in what a scenario only names: media and crops by preset name, mixes by their components.

use super::crop::{Crop, CropChoice};
use super::medium::{Curve, Medium, MediumChoice};
use super::presets::library::Library;
use crate::physics::mixing::{MixPart, mix_curves};

/// A name that no preset has, or a mix that cannot be made.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{kind} \"{name}\" {what}")]
pub struct Unresolved {
    kind: &'static str,
    name: String,
    what: &'static str,
}

/// The medium a part is filled with.
///
/// # Errors
/// [`Unresolved`] when a preset of that name is not in the library or a mix has components without a van Genuchten curve.
pub fn medium(choice: &MediumChoice, library: &Library) -> Result<Medium, Unresolved> {
    match choice {
        MediumChoice::Custom(medium) => Ok(Medium::clone(medium)),
        MediumChoice::Preset(name) => named(name, library).cloned(),
        MediumChoice::Mix(components) => {
            let parts =
                components.iter().map(|c| Ok((named(&c.medium, library)?, c.percent / 100.0))).collect::<Result<Vec<_>, Unresolved>>()?;
            mixed(&parts)
        }
    }
}

/// The media that a part is filled with, each by itself: one, or all components of a mix in their order.
///
/// # Errors
/// [`Unresolved`] when a preset of that name is not in the library.
pub fn ingredients<'a>(choice: &'a MediumChoice, library: &'a Library) -> Result<Vec<&'a Medium>, Unresolved> {
    match choice {
        MediumChoice::Custom(medium) => Ok(vec![medium]),
        MediumChoice::Preset(name) => Ok(vec![named(name, library)?]),
        MediumChoice::Mix(components) => components.iter().map(|c| named(&c.medium, library)).collect(),
    }
}

/// The crop of a lane.
///
/// # Errors
/// [`Unresolved`] when a preset of that name is not in the library.
pub fn crop(choice: &CropChoice, library: &Library) -> Result<Crop, Unresolved> {
    crop_of(choice, library).cloned()
}

/// The same where it stands.
///
/// # Errors
/// [`Unresolved`] when a preset of that name is not in the library.
pub fn crop_of<'a>(choice: &'a CropChoice, library: &'a Library) -> Result<&'a Crop, Unresolved> {
    match choice {
        CropChoice::Custom(crop) => Ok(crop),
        CropChoice::Preset(name) => {
            library.crop(name).ok_or_else(|| Unresolved { kind: "crop preset", name: name.clone(), what: "is not known" })
        }
    }
}

fn named<'l>(name: &str, library: &'l Library) -> Result<&'l Medium, Unresolved> {
    library.medium(name).ok_or_else(|| Unresolved { kind: "medium preset", name: name.to_owned(), what: "is not known" })
}

/// Volume-weighted mix. Only the retention and conductivity are refitted; everything else is a weighted mean.
fn mixed(parts: &[(&Medium, f64)]) -> Result<Medium, Unresolved> {
    let name = parts.iter().map(|(m, share)| format!("{} {:.0} %", m.name, share * 100.0)).collect::<Vec<_>>().join(" + ");
    let wrong = |what| Unresolved { kind: "mix", name: name.clone(), what };
    let mut curves = Vec::with_capacity(parts.len());
    for &(medium, share) in parts {
        let Curve::VanGenuchten { theta_s, theta_r, alpha_per_cm, n, ks_cm_per_day, l } = medium.curve else {
            return Err(wrong("has a component without a van Genuchten curve"));
        };
        curves.push(MixPart { share, theta_s, theta_r, alpha: alpha_per_cm, n, ks: ks_cm_per_day, l });
    }
    let fit = mix_curves(&curves).ok_or_else(|| wrong("cannot be fitted by one curve"))?;
    let mean = |value: fn(&Medium) -> f64| parts.iter().map(|(m, share)| value(m) * share).sum::<f64>();
    // Salt is exchanged per mass of medium, so the coefficients are weighted by mass.
    let density = mean(|m| m.bulk_density_kg_m3);
    let by_mass = |value: fn(&Medium) -> f64| parts.iter().map(|(m, share)| value(m) * m.bulk_density_kg_m3 * share).sum::<f64>() / density;
    Ok(Medium {
        source: "Estimate: mixed from its components by volume; measured mixes differ, since mixing fills pores.".to_owned(),
        porosity: mean(|m| m.porosity).clamp(fit.theta_s, 0.99),
        curve: Curve::VanGenuchten {
            theta_s: fit.theta_s,
            theta_r: fit.theta_r,
            alpha_per_cm: fit.alpha,
            n: fit.n,
            ks_cm_per_day: fit.ks,
            l: fit.l,
        },
        hysteresis_ratio: mean(|m| m.hysteresis_ratio),
        capillary_height_cm: None,
        channelling: mean(|m| m.channelling),
        channel_pick_up: mean(|m| m.channel_pick_up),
        bulk_density_kg_m3: density,
        cec_cmol_kg: by_mass(|m| m.cec_cmol_kg),
        exchange_ml_per_g: by_mass(|m| m.exchange_ml_per_g),
        dispersivity_cm: mean(|m| m.dispersivity_cm),
        diffusion_cm2_s: mean(|m| m.diffusion_cm2_s),
        told_at_cm: None,
        name,
    })
}
