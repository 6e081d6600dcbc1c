//! What a lane stands in: preset, outlet, and each part with its sizes, walls and medium.

use eframe::egui::Ui;

use super::entered::{lane_entries, part};
use super::medium_form;
use crate::app::look::form::{Field, Form, Kept, named};
use crate::edits::own_preset::OwnPreset;
use crate::edits::{lanes, resize};
use crate::scenario::parameter::Entry;
use crate::scenario::parameter::lane::OUTLET;
use crate::scenario::parameter::part::{EXPOSED, HEIGHT, SHARED, SIZES};
use crate::scenario::{Container, Part, Scenario, Shape, Walls};
use crate::units::Quantity;

/// Draws the fields.
pub fn show(form: &mut Form<'_>, ui: &mut Ui, index: usize) {
    let Some(lane) = form.scenario.lanes.get(index) else { return };
    let container = &lane.container;
    let names: Vec<String> = form.library.containers.iter().map(|c| c.name.clone()).collect();
    let words =
        ["Container", "Another container holds another height of medium: a taller one drains to more air, a larger one dries more slowly"];
    if let Some(i) = form.choice(ui, form.id(index, "container"), words, &container.name, &names) {
        let chosen = form.library.containers[i].clone();
        form.set(format!("Put lane {} into {}", index + 1, chosen.name), |s| lanes::repot(&mut s.lanes[index], &chosen));
    }
    for p in (0..container.parts.len()).rev() {
        let part = &container.parts[p];
        form.fold(
            ui,
            form.id(index, ("part", p)),
            &format!("{} · {}", capital(&part.name), medium_form::name(&part.medium)),
            false,
            |form, ui| {
                part_fields(form, ui, index, p);
            },
        );
    }
    lane_entries(form, ui, index, OUTLET);
    form.fold(ui, form.id(index, "own container"), "Keep this container", false, |form, ui| {
        let kept = Kept {
            id: form.id(index, "container name"),
            words: ["Name", "The name it has in menus and on sheets"],
            what: "container",
            name: &container.name,
            button: ["Save as preset", "Keeps this container in your own menus. A shipped preset is never replaced."],
        };
        let rename = |s: &mut Scenario, name| s.lanes[index].container.name = name;
        let name = form.name_of(ui, &kept, rename);
        form.keep_button(ui, &kept, &name, rename, |s, name| {
            let container = s.lanes.get(index)?.container.clone();
            Some(OwnPreset::Container(Box::new(Container { name, ..container })))
        });
    });
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

fn part_fields(form: &mut Form<'_>, ui: &mut Ui, lane: usize, p: usize) {
    let now = &form.scenario.lanes[lane].container.parts[p];
    let (shape, walls) = (now.shape, now.walls);
    form.text(ui, form.id(lane, ("part name", p)), ["Name", "What this part is called"], &now.name, named, |form, text| {
        form.set(format!("Name part {text}"), |s| part(s, lane, p).name = text);
    });
    let of = now.name.as_str();
    let hover = "Medium of one plant's share. Height and shape stay, and the sizes across follow.";
    let field = Field::new("Medium a plant", of, Quantity::Litres, resize::litres_range(now), hover);
    form.number(ui, &field, resize::litres(now), |s, v| resize::to_litres(part(s, lane, p), v));
    entries(form, ui, lane, p, HEIGHT);
    shape_fields(form, ui, lane, p, shape);
    // One plant shares a part with no other: its unit stands in the singular.
    for entry in SHARED {
        let field = Field::of(entry, of, now, form.library).singular(Quantity::Plain("plant", 0));
        form.number(ui, &field, f64::from(now.shared_by), |s, v| (entry.set)(part(s, lane, p), v));
    }
    let names = ["wrapped", "open", "fabric"].map(str::to_owned);
    let kinds = [Walls::Wrapped, Walls::Open, Walls::Fabric];
    let at = kinds.iter().position(|w| *w == walls).unwrap_or(0);
    let words = ["Walls", "Wrapped walls hold water in. Open ones let a flood enter. Fabric does so too, and dries through its sides."];
    if let Some(i) = form.choice(ui, form.id(lane, ("walls", p)), words, &names[at], &names) {
        form.set(format!("Set walls of {} to {}", now.name, names[i]), |s| part(s, lane, p).walls = kinds[i]);
    }
    entries(form, ui, lane, p, EXPOSED);
    medium_form::show(form, ui, lane, p);
}

/// Numbers of a part; roots by height follow the container's height.
fn entries(form: &mut Form<'_>, ui: &mut Ui, lane: usize, p: usize, entries: &[Entry<Part>]) {
    let now = &form.scenario.lanes[lane].container.parts[p];
    for entry in entries {
        let Some(value) = (entry.get)(now, form.library) else { continue };
        let field = Field::of(entry, &now.name, now, form.library);
        form.number(ui, &field, value, |s, v| {
            let before = s.lanes[lane].container.height_cm();
            (entry.set)(part(s, lane, p), v);
            lanes::stretch_roots(&mut s.lanes[lane], before);
        });
    }
}

fn shape_fields(form: &mut Form<'_>, ui: &mut Ui, lane: usize, p: usize, shape: Shape) {
    let names = ["rectangular", "round", "rectangular, tapered", "round, tapered"].map(str::to_owned);
    let at = match shape {
        Shape::Rectangular { .. } => 0,
        Shape::Round { .. } => 1,
        Shape::TaperedRectangular { .. } => 2,
        Shape::TaperedRound { .. } => 3,
    };
    let words = ["Shape", "The cross-section. A taper leaves less medium, and less air, near the base."];
    if let Some(i) = form.choice(ui, form.id(lane, ("shape", p)), words, &names[at], &names) {
        let (low, high) = (shape.extent(0.0), shape.extent(1.0));
        let next = match i {
            0 => Shape::Rectangular { length_cm: high.0, width_cm: high.1 },
            1 => Shape::Round { diameter_cm: high.0 },
            2 => Shape::TaperedRectangular { bottom_cm: low, top_cm: high },
            _ => Shape::TaperedRound { bottom_diameter_cm: low.0, top_diameter_cm: high.0 },
        };
        form.set(format!("Make part {}", names[i]), |s| part(s, lane, p).shape = next);
    }
    entries(form, ui, lane, p, SIZES);
}
