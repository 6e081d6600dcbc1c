//! The medium of a part: a preset, a mix by volume, or values of one's own.

use eframe::egui::{Id, Ui};

use super::container_form::{named, part};
use super::form::{Form, Number};
use super::lanes::set_share;
use crate::app::action::{Action, OwnPreset};
use crate::scenario::{Component, Curve, Medium, MediumChoice, Scenario, resolve};
use crate::units::Quantity;

/// What a medium is called on a card.
#[must_use]
pub fn name(choice: &MediumChoice) -> String {
    match choice {
        MediumChoice::Preset(name) => name.clone(),
        MediumChoice::Custom(medium) => medium.name.clone(),
        MediumChoice::Mix(parts) => parts.iter().map(|c| format!("{} {:.0} %", c.medium, c.percent)).collect::<Vec<_>>().join(" + "),
    }
}

/// Draws the fields.
pub fn show(form: &mut Form<'_>, ui: &mut Ui, lane: usize, p: usize) {
    let choice = &form.scenario.lanes[lane].container.parts[p].medium;
    let media: Vec<String> = form.library.media.iter().map(|m| m.name.clone()).collect();
    let mut menu = media.clone();
    menu.extend(["mix of media…", "own values…"].map(str::to_owned));
    let now = match choice {
        MediumChoice::Mix(_) => menu[media.len()].clone(),
        MediumChoice::Custom(_) => menu[media.len() + 1].clone(),
        MediumChoice::Preset(name) => name.clone(),
    };
    let words = ["Medium", "What the roots stand in: how much water it holds, how fast it drains, how much air is left"];
    if let Some(i) = form.choice(ui, Id::unique(("medium", lane, p)), words, &now, &menu) {
        let next = if let Some(name) = media.get(i) {
            Some(MediumChoice::Preset(name.clone()))
        } else if i == media.len() {
            begin_mix(form, choice)
        } else {
            resolve::medium(choice, form.library).ok().map(|m| {
                let name = format!("own {}", m.name).chars().take(80).collect();
                MediumChoice::Custom(Box::new(Medium { name, ..m }))
            })
        };
        if let Some(next) = next {
            let what = if i < media.len() {
                format!("Fill with {}", menu[i])
            } else {
                format!("Change medium to {}", menu[i].trim_end_matches('…'))
            };
            form.set(what, |s| part(s, lane, p).medium = next);
        }
    }
    match choice {
        MediumChoice::Preset(_) => {}
        MediumChoice::Mix(components) => mix(form, ui, lane, p, components),
        MediumChoice::Custom(medium) => custom(form, ui, lane, p, medium),
    }
}

/// Media that can stand in a mix.
fn mixable(form: &Form<'_>) -> Vec<String> {
    form.library.media.iter().filter(|m| matches!(m.curve, Curve::VanGenuchten { .. })).map(|m| m.name.clone()).collect()
}

fn begin_mix(form: &Form<'_>, now: &MediumChoice) -> Option<MediumChoice> {
    let media = mixable(form);
    let first = match now {
        MediumChoice::Preset(name) if media.contains(name) => name.clone(),
        _ => media.first()?.clone(),
    };
    let second = media.iter().find(|m| **m != first)?.clone();
    Some(MediumChoice::Mix(vec![Component { medium: first, percent: 70.0 }, Component { medium: second, percent: 30.0 }]))
}

fn components(s: &mut Scenario, lane: usize, p: usize) -> Option<&mut Vec<Component>> {
    match &mut part(s, lane, p).medium {
        MediumChoice::Mix(components) => Some(components),
        _ => None,
    }
}

fn share(parts: &mut [Component], index: usize, percent: f64) {
    let mut shares: Vec<f64> = parts.iter().map(|c| c.percent).collect();
    set_share(&mut shares, index, percent);
    parts.iter_mut().zip(shares).for_each(|(c, share)| c.percent = share);
}

fn mix(form: &mut Form<'_>, ui: &mut Ui, lane: usize, p: usize, parts: &[Component]) {
    let media = mixable(form);
    for (i, component) in parts.iter().enumerate() {
        let label = format!("Component {}", i + 1);
        if let Some(k) =
            form.choice(ui, Id::unique(("component", lane, p, i)), [&label, "One medium of the mix"], &component.medium, &media)
        {
            form.set(format!("Mix in {}", media[k]), |s| {
                if let Some(c) = components(s, lane, p).and_then(|c| c.get_mut(i)) {
                    c.medium.clone_from(&media[k]);
                }
            });
        }
        let label = format!("Share {}", i + 1);
        let what = format!("share of {}", component.medium);
        let words = Number {
            label: &label,
            what: &what,
            hover: "Share of the volume. The others keep their proportions, so that all sum to 100 %.",
            quantity: Quantity::Plain("%", 1),
            range: 0.1..=99.9,
        };
        form.number(ui, &words, component.percent, |s, v| {
            if let Some(c) = components(s, lane, p) {
                share(c, i, v);
            }
        });
    }
    ui.horizontal_wrapped(|ui| {
        if ui.add_enabled(parts.len() < 6, eframe::egui::Button::new("Add component")).clicked()
            && let Some(next) = media.iter().find(|m| parts.iter().all(|c| c.medium != **m)).or(media.first())
        {
            form.set(format!("Mix in {next}"), |s| {
                if let Some(c) = components(s, lane, p) {
                    c.push(Component { medium: next.clone(), percent: 0.1 });
                    share(c, parts.len(), 10.0);
                }
            });
        }
        if ui.add_enabled(parts.len() > 2, eframe::egui::Button::new("Remove last")).clicked() {
            form.set("Take a component out of the mix", |s| {
                if let Some(c) = components(s, lane, p) {
                    c.pop();
                    let sum: f64 = c.iter().map(|c| c.percent).sum();
                    c.iter_mut().for_each(|c| c.percent *= 100.0 / sum);
                }
            });
        }
    });
    form.note(ui, "An estimate: measured mixes differ, since mixing fills pores.");
    save(form, ui, &MediumChoice::Mix(parts.to_vec()));
}

fn save(form: &mut Form<'_>, ui: &mut Ui, choice: &MediumChoice) {
    if ui
        .button("Save medium as preset")
        .on_hover_text("Keeps this medium in your own menus. A shipped preset is never replaced.")
        .clicked()
    {
        match resolve::medium(choice, form.library) {
            Ok(medium) => {
                let name = medium.name.chars().take(80).collect();
                form.actions.push(Action::SavePreset(OwnPreset::Medium(Box::new(Medium { name, ..medium }))));
            }
            Err(e) => form.actions.push(Action::Say(e.to_string())),
        }
    }
}

fn custom(form: &mut Form<'_>, ui: &mut Ui, lane: usize, p: usize, m: &Medium) {
    form.text(ui, Id::unique(("medium name", lane, p)), ["Medium's name", "The name it has in menus"], &m.name, named, |form, text| {
        form.set(format!("Name medium {text}"), |s| {
            if let MediumChoice::Custom(m) = &mut part(s, lane, p).medium {
                m.name = text;
            }
        });
    });
    form.fold(ui, Id::unique(("own values", lane, p)), "Own values", true, |form, ui| {
        let mut number = |label: &str, hover: &str, unit: &'static str, decimals, range, value, set: &dyn Fn(&mut Medium, f64)| {
            let what = format!("{} of {}", label.to_lowercase(), m.name);
            let quantity = if unit == "%" { Quantity::Share } else { Quantity::Plain(unit, decimals) };
            form.number(ui, &Number { label, what: &what, hover, quantity, range }, value, |s, v| {
                if let MediumChoice::Custom(m) = &mut part(s, lane, p).medium {
                    set(m, v);
                }
            });
        };
        let (full, least) = (m.curve.theta_s(), m.curve.theta_r());
        number("All pores", "Water and air together. What the water does not fill is air.", "%", 1, full..=0.99, m.porosity, &|m, v| {
            m.porosity = v;
        });
        let most = m.porosity.min(0.99);
        number("Holds when full", "Water when soaked; some air stays trapped.", "%", 1, (least + 0.01).max(0.05)..=most, full, &|m, v| {
            m.curve = with(m.curve, 0, v);
        });
        number("Held too tightly", "Water that neither drains nor reaches roots.", "%", 1, 0.0..=full - 0.01, least, &|m, v| {
            m.curve = with(m.curve, 1, v);
        });
        number(
            "Conducts when full",
            "How fast water runs through when full. Slow media stay wet longer after an event.",
            "cm/day",
            2,
            0.01..=1e6,
            m.curve.ks_cm_per_day(),
            &|m, v| m.curve = with(m.curve, 2, v),
        );
        for (at, label, hover, low, high, value) in shape_values(&m.curve) {
            number(label, hover, "", 4, low..=high, value, &|m, v| m.curve = with(m.curve, at, v));
        }
        number(
            "Dry over wet suction",
            "How much drier it stays when wetted again than when drained; 1 is no difference.",
            "",
            2,
            1.0..=5.0,
            m.hysteresis_ratio,
            &|m, v| m.hysteresis_ratio = v,
        );
        let usual = if matches!(m.curve, Curve::VanGenuchten { n, .. } if n < 2.0) { 1.0 } else { 0.0 };
        number(
            "Stays full up to",
            "Suction, cm, below which no pore empties.",
            "cm",
            2,
            0.0..=5.0,
            m.capillary_height_cm.unwrap_or(usual),
            &|m, v| m.capillary_height_cm = Some(v),
        );
        number(
            "Runs straight through",
            "Share of every drip that reaches the drain without wetting the medium.",
            "%",
            1,
            0.0..=0.9,
            m.channelling,
            &|m, v| m.channelling = v,
        );
        number(
            "Dry weight",
            "kg of dry medium in a cubic metre. Salt is held per weight.",
            "kg/m³",
            0,
            1.0..=2500.0,
            m.bulk_density_kg_m3,
            &|m, v| m.bulk_density_kg_m3 = v,
        );
        number(
            "Exchange capacity",
            "CEC: how much salt the medium can hold on its surfaces. Shown; salt held is what counts.",
            "cmol/kg",
            1,
            0.0..=300.0,
            m.cec_cmol_kg,
            &|m, v| m.cec_cmol_kg = v,
        );
        number(
            "Salt held",
            "Salt on the medium per salt in its water; more slows every change of EC.",
            "mL/g",
            2,
            0.0..=100.0,
            m.exchange_ml_per_g,
            &|m, v| m.exchange_ml_per_g = v,
        );
        number(
            "Spread of salt",
            "How far salt is smeared as water passes (dispersivity).",
            "cm",
            2,
            0.0..=100.0,
            m.dispersivity_cm,
            &|m, v| m.dispersivity_cm = v,
        );
        number(
            "Drift of salt",
            "How fast salt evens out in still water (diffusion).",
            "cm²/s",
            6,
            0.0..=0.1,
            m.diffusion_cm2_s,
            &|m, v| m.diffusion_cm2_s = v,
        );
    });
    save(form, ui, &MediumChoice::Custom(Box::new(m.clone())));
}

/// Place, label, hover, range and value of what shapes a curve.
fn shape_values(curve: &Curve) -> Vec<(usize, &'static str, &'static str, f64, f64, f64)> {
    const ALPHA: &str = "Larger: the medium begins to drain at less suction, so it holds more air (per cm)";
    match *curve {
        Curve::VanGenuchten { alpha_per_cm, n, l, .. } => vec![
            (3, "α, 1/cm", ALPHA, 1e-4, 5.0, alpha_per_cm),
            (4, "n", "Larger: the medium empties over a narrower range of suction", 1.05, 12.0, n),
            (5, "l", "How fast conductivity falls as it dries; usually 0.5", -2.0, 4.0, l),
        ],
        Curve::Gardner { a_per_cm, .. } => vec![(3, "a, 1/cm", ALPHA, 1e-4, 5.0, a_per_cm)],
        Curve::Haverkamp { alpha, beta, a, gamma, .. } => vec![
            (3, "α, cm^β", "Larger: the medium holds its water against more suction", 1e-3, 1e12, alpha),
            (4, "β", "Larger: the medium empties over a narrower range of suction", 0.5, 12.0, beta),
            (5, "A, cm^γ", "Larger: it conducts well at more suction", 1e-3, 1e12, a),
            (6, "γ", "Larger: conductivity falls faster as it dries", 0.5, 12.0, gamma),
        ],
    }
}

/// A curve with one value changed: 0 full, 1 residual, 2 conductivity, then those of its kind in order.
fn with(mut curve: Curve, at: usize, v: f64) -> Curve {
    match &mut curve {
        Curve::VanGenuchten { theta_s, theta_r, alpha_per_cm, n, ks_cm_per_day, l } => {
            set(at, v, [theta_s, theta_r, ks_cm_per_day, alpha_per_cm, n, l]);
        }
        Curve::Gardner { theta_s, theta_r, a_per_cm, ks_cm_per_day } => set(at, v, [theta_s, theta_r, ks_cm_per_day, a_per_cm]),
        Curve::Haverkamp { theta_s, theta_r, alpha, beta, a, gamma, ks_cm_per_day } => {
            set(at, v, [theta_s, theta_r, ks_cm_per_day, alpha, beta, a, gamma]);
        }
    }
    curve
}

fn set<const N: usize>(at: usize, v: f64, mut values: [&mut f64; N]) {
    if let Some(value) = values.get_mut(at) {
        **value = v;
    }
}
