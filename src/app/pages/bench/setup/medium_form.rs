//! The medium of a part: a preset, a mix by volume, or values of one's own.

use eframe::egui::accesskit::Role;
use eframe::egui::{Color32, Rect, Sense, Ui, WidgetInfo, pos2, vec2};

use super::entered::{own_medium, part};
use super::medium_answers;
use crate::app::actions::action::Action;
use crate::app::look::form::{Field, Form, Kept};
use crate::app::look::theme::{self, NOTE, Tokens};
use crate::edits::own_preset::OwnPreset;
use crate::scenario::mix::{in_tenths, set_share, share_range};
use crate::scenario::naming::own;
use crate::scenario::parameter::medium::{MEDIUM, TOLD_AT};
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
        MediumChoice::Custom(medium) => medium.name.clone(),
        MediumChoice::Preset(name) => name.clone(),
    };
    let words = ["Medium", "What the roots stand in: how much water it holds, how fast it drains, how much air is left"];
    if let Some(i) = form.choice(ui, form.id(lane, ("medium", p)), words, &now, &menu) {
        let next = if let Some(name) = media.get(i) {
            Some(MediumChoice::Preset(name.clone()))
        } else if i == media.len() {
            begin_mix(form, choice)
        } else if matches!(choice, MediumChoice::Custom(_)) {
            None
        } else {
            resolve::medium(choice, form.library).ok().map(|m| MediumChoice::Custom(Box::new(Medium { name: own(&m.name), ..m })))
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
        let range = share_range(parts.len());
        form.number(ui, &Field::new(&label, &component.medium, Quantity::Plain("%", 1), range, hover), component.percent, |s, v| {
            if let Some(c) = components(s, lane, p) {
                set_share(c, i, v);
                in_tenths(c, i);
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
                    set_share(c, parts.len(), 10.0);
                    in_tenths(c, parts.len());
                }
            });
        }
        if ui.add_enabled(parts.len() > 2, eframe::egui::Button::new("Remove last")).clicked() {
            form.set("Take a component out of the mix", |s| {
                if let Some(c) = components(s, lane, p) {
                    c.pop();
                    let sum: f64 = c.iter().map(|c| c.percent).sum();
                    c.iter_mut().for_each(|c| c.percent *= 100.0 / sum);
                    in_tenths(c, usize::MAX);
                }
            });
        }
    });
    form.note(ui, "An estimate: measured mixes differ, since mixing fills pores.");
    save_mix(form, ui, lane, p);
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

const SAVE: [&str; 2] = ["Save medium as preset", "Keeps this medium in your own menus. A shipped preset is never replaced."];

/// Saves a mix under the name that its shares make.
fn save_mix(form: &mut Form<'_>, ui: &mut Ui, lane: usize, p: usize) {
    if ui.button(SAVE[0]).on_hover_text(SAVE[1]).clicked() {
        let medium =
            form.now().lanes.get(lane).and_then(|l| l.container.parts.get(p)).map(|part| resolve::medium(&part.medium, form.library));
        match medium {
            Some(Ok(medium)) => {
                let name = medium.name.chars().take(80).collect();
                form.actions.push(Action::SavePreset(OwnPreset::Medium(Box::new(Medium { name, ..medium }))));
            }
            Some(Err(e)) => form.actions.push(Action::Say(e.to_string())),
            None => {}
        }
    }
}

fn custom(form: &mut Form<'_>, ui: &mut Ui, lane: usize, p: usize, m: &Medium) {
    let kept = Kept {
        id: form.id(lane, ("medium name", p)),
        words: ["Medium's name", "The name it has in menus"],
        what: "medium",
        name: &m.name,
        button: SAVE,
    };
    let rename = |s: &mut Scenario, name| {
        if let Some(medium) = own_medium(s, lane, p) {
            medium.name = name;
        }
    };
    let name = form.name_of(ui, &kept, rename);
    medium_answers::show(form, ui, lane, p, m);
    form.fold(ui, form.id(lane, ("own values", p)), "Advanced: all its values", false, |form, ui| {
        for entry in MEDIUM.iter().filter(|entry| entry.name != TOLD_AT) {
            form.entry(ui, entry, &m.name, m, |s| own_medium(s, lane, p));
        }
    });
    form.keep_button(ui, &kept, &name, rename, |s, name| {
        let MediumChoice::Custom(medium) = &s.lanes.get(lane)?.container.parts.get(p)?.medium else { return None };
        Some(OwnPreset::Medium(Box::new(Medium { name, ..Medium::clone(medium) })))
    });
}
