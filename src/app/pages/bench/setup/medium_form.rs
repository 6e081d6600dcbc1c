//! The medium of a part: a preset, a mix by volume, or values of one's own.

use eframe::egui::accesskit::Role;
use eframe::egui::{Color32, Rect, Sense, Ui, WidgetInfo, pos2, vec2};

use super::entered::{named, part};
use crate::app::actions::action::Action;
use crate::app::look::form::{Field, Form};
use crate::app::look::theme::{self, NOTE, Tokens};
use crate::edits::lanes::set_share;
use crate::edits::own_preset::OwnPreset;
use crate::scenario::ranges::{self, Range};
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
    if let Some(i) = form.choice(ui, form.id(lane, ("medium", p)), words, &now, &menu) {
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
    shares_bar(ui, form.t, parts);
    for (i, component) in parts.iter().enumerate() {
        let label = format!("Component {}", i + 1);
        let words = [label.as_str(), "One medium of the mix: it brings its own water, air and drainage by its share"];
        if let Some(k) = form.choice(ui, form.id(lane, ("component", p, i)), words, &component.medium, &media) {
            form.set(format!("Mix in {}", media[k]), |s| {
                if let Some(c) = components(s, lane, p).and_then(|c| c.get_mut(i)) {
                    c.medium.clone_from(&media[k]);
                }
            });
        }
        let label = format!("Share {}", i + 1);
        let hover = "Share of the volume. The others keep their proportions, so that all sum to 100 %.";
        let least = ranges::MIX_PERCENT.0;
        #[allow(clippy::cast_precision_loss)] // a handful
        let range = (least, 100.0 - least * (parts.len() - 1) as f64);
        form.number(ui, &Field::new(&label, &component.medium, Quantity::Plain("%", 1), range, hover), component.percent, |s, v| {
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

/// The shares side by side: together they fill the bar, as they fill the volume.
fn shares_bar(ui: &mut Ui, t: &Tokens, parts: &[Component]) {
    let (bar, response) = ui.allocate_exact_size(vec2(ui.available_width(), 16.0), Sense::hover());
    let told: Vec<String> = parts.iter().map(|c| format!("{} {:.1} %", c.medium, c.percent)).collect();
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, format!("Mix: {}", told.join(", "))));
    let mut left = bar.left();
    for (i, part) in parts.iter().enumerate() {
        #[allow(clippy::cast_possible_truncation)]
        let right = (left + bar.width() * (part.percent / 100.0) as f32).min(bar.right());
        let piece = Rect::from_min_max(pos2(left, bar.top()), pos2(right, bar.bottom()));
        let at = 0.15 + 0.18 * f32::from(u8::try_from(i).unwrap_or(u8::MAX).min(5));
        ui.painter().rect_filled(piece, 2, t.ramp.at(at));
        let name =
            ui.painter().layout_no_wrap(format!("{}", i + 1), theme::strong(NOTE), if at < 0.5 { Color32::BLACK } else { Color32::WHITE });
        if name.size().x + 6.0 < piece.width() {
            ui.painter().galley(piece.center() - 0.5 * name.size(), name, Color32::BLACK);
        }
        left = right;
    }
    response.on_hover_text(told.join("\n"));
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
    form.text(ui, form.id(lane, ("medium name", p)), ["Medium's name", "The name it has in menus"], &m.name, named, |form, text| {
        form.set(format!("Name medium {text}"), |s| {
            if let MediumChoice::Custom(m) = &mut part(s, lane, p).medium {
                m.name = text;
            }
        });
    });
    form.fold(ui, form.id(lane, ("own values", p)), "Own values", true, |form, ui| {
        let mut number = |label: &str, quantity, range, value, set: &dyn Fn(&mut Medium, f64), hover: &str| {
            form.number(ui, &Field::new(label, &m.name, quantity, range, hover), value, |s, v| {
                if let MediumChoice::Custom(m) = &mut part(s, lane, p).medium {
                    set(m, v);
                }
            });
        };
        let (share, plain) = (Quantity::Share, Quantity::Plain);
        let hover = "Water and air together. What the water does not fill is air.";
        number("All pores", share, ranges::porosity(&m.curve), m.porosity, &|m, v| m.porosity = v, hover);
        let hover = "Water when soaked; some air stays trapped.";
        number("Holds when full", share, ranges::theta_s(m), m.curve.theta_s(), &|m, v| m.curve = with(m.curve, 0, v), hover);
        let hover = "Water that neither drains nor reaches roots.";
        number("Held too tightly", share, ranges::theta_r(&m.curve), m.curve.theta_r(), &|m, v| m.curve = with(m.curve, 1, v), hover);
        let hover = "How fast water runs through when full. Slow media stay wet longer after an event.";
        let ks = m.curve.ks_cm_per_day();
        number("Lets through", Quantity::LengthPerDay, ranges::KS, ks, &|m, v| m.curve = with(m.curve, 2, v), hover);
        for (at, label, hover, range, value) in shape_values(&m.curve) {
            number(label, plain("", 4), range, value, &|m, v| m.curve = with(m.curve, at, v), hover);
        }
        let hover = "How much drier it stays when wetted again than when drained: dry over wet suction; 1 is no difference.";
        number("Dry over wet", plain("times", 2), ranges::HYSTERESIS, m.hysteresis_ratio, &|m, v| m.hysteresis_ratio = v, hover);
        let usual = if matches!(m.curve, Curve::VanGenuchten { n, .. } if n < 2.0) { 1.0 } else { 0.0 };
        let stays = m.capillary_height_cm.unwrap_or(usual);
        let hover = "Height above free water up to which no pore empties: the medium stays full so far.";
        number("Full up to", Quantity::Thickness, ranges::CAPILLARY_HEIGHT, stays, &|m, v| m.capillary_height_cm = Some(v), hover);
        let hover = "Share of every drip that reaches the drain without wetting the medium.";
        number("Straight through", share, ranges::CHANNELLING, m.channelling, &|m, v| m.channelling = v, hover);
        let hover = "How far that water takes on the root zone's EC on its way. Larger: it carries more salt out, and less builds up.";
        let pick_up = ranges::CHANNEL_PICK_UP;
        number("Picks up salt", share, pick_up, m.channel_pick_up, &|m, v| m.channel_pick_up = v, hover);
        let hover = "Dry medium in a cubic metre. Salt is held per weight.";
        number("Dry weight", plain("kg/m³", 0), ranges::BULK_DENSITY, m.bulk_density_kg_m3, &|m, v| m.bulk_density_kg_m3 = v, hover);
        let hover = "CEC: how much salt the medium can hold on its surfaces. Shown; salt held is what counts.";
        number("Exchange", plain("cmol/kg", 1), ranges::CEC, m.cec_cmol_kg, &|m, v| m.cec_cmol_kg = v, hover);
        let hover = "Salt on the medium per salt in its water; more slows every change of EC.";
        number("Salt held", plain("mL/g", 2), ranges::EXCHANGE, m.exchange_ml_per_g, &|m, v| m.exchange_ml_per_g = v, hover);
        let hover = "How far salt is smeared as water passes (dispersivity).";
        number("Spread of salt", Quantity::Thickness, ranges::DISPERSIVITY, m.dispersivity_cm, &|m, v| m.dispersivity_cm = v, hover);
        let hover = "How fast salt evens out in still water (diffusion).";
        number("Drift of salt", plain("cm²/s", 6), ranges::DIFFUSION, m.diffusion_cm2_s, &|m, v| m.diffusion_cm2_s = v, hover);
    });
    save(form, ui, &MediumChoice::Custom(Box::new(m.clone())));
}

/// Place, label, hover, range and value of what shapes a curve.
fn shape_values(curve: &Curve) -> Vec<(usize, &'static str, &'static str, Range, f64)> {
    const ALPHA: &str = "Larger: the medium begins to drain at less suction, so it holds more air (per cm)";
    let fit = |at: usize, widest: Range, value: f64| ranges::fit_for_plants(widest, value, |v| with(*curve, at, v));
    let (scale, power) = (ranges::HAVERKAMP_SCALE, ranges::HAVERKAMP_POWER);
    match *curve {
        Curve::VanGenuchten { alpha_per_cm, n, l, .. } => vec![
            (3, "α, 1/cm", ALPHA, ranges::alpha(n), alpha_per_cm),
            (4, "n", "Larger: the medium empties over a narrower range of suction", ranges::n(alpha_per_cm), n),
            (5, "l", "How fast conductivity falls as it dries; usually 0.5", ranges::L, l),
        ],
        Curve::Gardner { a_per_cm, .. } => vec![(3, "a, 1/cm", ALPHA, fit(3, ranges::ALPHA, a_per_cm), a_per_cm)],
        Curve::Haverkamp { alpha, beta, a, gamma, .. } => vec![
            (3, "α, cm^β", "Larger: the medium holds its water against more suction", fit(3, scale, alpha), alpha),
            (4, "β", "Larger: the medium empties over a narrower range of suction", fit(4, power, beta), beta),
            (5, "A, cm^γ", "Larger: it conducts well at more suction", fit(5, scale, a), a),
            (6, "γ", "Larger: conductivity falls faster as it dries", fit(6, power, gamma), gamma),
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
