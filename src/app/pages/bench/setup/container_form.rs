//! What a lane stands in: preset, outlet, and each part with its sizes, walls and medium.

use eframe::egui::Ui;

use super::entered::{named, part, whole};
use super::medium_form;
use crate::app::actions::action::Action;
use crate::app::look::form::{Field, Form};
use crate::edits::lanes;
use crate::edits::own_preset::OwnPreset;
use crate::scenario::{Part, Shape, Walls, ranges};
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
    let hover = "Above the base. Water below it cannot drain: it stands there and keeps the base wet.";
    let lane = format!("lane {}", index + 1);
    let field = Field::new("Outlet height", &lane, Quantity::Length, ranges::outlet(container), hover);
    form.number(ui, &field, container.outlet_height_cm, |s, v| s.lanes[index].container.outlet_height_cm = v);
    form.fold(ui, form.id(index, "own container"), "Keep this container", false, |form, ui| {
        let id = form.id(index, "container name");
        form.text(ui, id, ["Name", "The name it has in menus and on sheets"], &container.name, named, |form, text| {
            form.set(format!("Name container {text}"), |s| s.lanes[index].container.name = text);
        });
        if ui
            .button("Save as preset")
            .on_hover_text("Keeps this container in your own menus. A shipped preset is never replaced.")
            .clicked()
        {
            form.actions.push(Action::SavePreset(OwnPreset::Container(Box::new(container.clone()))));
        }
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
    let number = |form: &mut Form<'_>, ui: &mut Ui, field: Field<'_>, value, set: &dyn Fn(&mut Part, f64)| {
        form.number(ui, &field, value, |s, v| {
            let before = s.lanes[lane].container.height_cm();
            set(part(s, lane, p), v);
            lanes::stretch_roots(&mut s.lanes[lane], before);
        });
    };
    let of = now.name.as_str();
    let hover = "A taller part drains to more air at its top; the wet layer at the base stays as tall as it was.";
    let field = Field::new("Height", of, Quantity::Length, ranges::PART_HEIGHT, hover);
    number(form, ui, field, now.height_cm, &|p, v| p.height_cm = v);
    shape_fields(form, ui, lane, p, shape, &number);
    let hover = "How many plants share this part. More plants leave each a smaller root zone.";
    let plants = Quantity::Plain(if now.shared_by == 1 { "plant" } else { "plants" }, 0);
    let field = Field::new("Shared by", of, plants, ranges::SHARED_BY, hover);
    number(form, ui, field, f64::from(now.shared_by), &|p, v| p.shared_by = whole(v));
    let names = ["wrapped", "open", "fabric"].map(str::to_owned);
    let kinds = [Walls::Wrapped, Walls::Open, Walls::Fabric];
    let at = kinds.iter().position(|w| *w == walls).unwrap_or(0);
    let words = ["Walls", "Wrapped walls hold water in. Open ones let a flood enter. Fabric does so too, and dries through its sides."];
    if let Some(i) = form.choice(ui, form.id(lane, ("walls", p)), words, &names[at], &names) {
        form.set(format!("Set walls of {} to {}", now.name, names[i]), |s| part(s, lane, p).walls = kinds[i]);
    }
    let hover = "Share of the free top that evaporates. What evaporates leaves its salt behind.";
    let field = Field::new("Top that dries", of, Quantity::Share, ranges::SHARE, hover);
    number(form, ui, field, now.top_exposure(), &|p, v| p.top_exposed = Some(v));
    let hover = "Share of the side wall that evaporates, as fabric does. It dries the edge and leaves salt there.";
    let field = Field::new("Wall that dries", of, Quantity::Share, ranges::SHARE, hover);
    number(form, ui, field, now.wall_exposure(), &|p, v| p.wall_exposed = Some(v));
    medium_form::show(form, ui, lane, p);
}

type PartNumber<'f> = dyn Fn(&mut Form<'_>, &mut Ui, Field<'_>, f64, &dyn Fn(&mut Part, f64)) + 'f;

fn shape_fields(form: &mut Form<'_>, ui: &mut Ui, lane: usize, p: usize, shape: Shape, number: &PartNumber<'_>) {
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
    let hover = "A wider root zone holds more water per cm of height, so the same use dries it more slowly.";
    let of = form.scenario.lanes[lane].container.parts[p].name.as_str();
    let mut size = |label: &str, value: f64, set: &dyn Fn(&mut Part, f64)| {
        number(form, ui, Field::new(label, of, Quantity::Length, ranges::PART_SIZE, hover), value, set);
    };
    match shape {
        Shape::Rectangular { length_cm: l, width_cm: w } => {
            size("Length", l, &|p, v| p.shape = Shape::Rectangular { length_cm: v, width_cm: w });
            size("Width", w, &|p, v| p.shape = Shape::Rectangular { length_cm: l, width_cm: v });
        }
        Shape::Round { .. } => size("Diameter", shape.extent(0.0).0, &|p, v| p.shape = Shape::Round { diameter_cm: v }),
        Shape::TaperedRectangular { bottom_cm: b, top_cm: t } => {
            let make = |bottom_cm, top_cm| Shape::TaperedRectangular { bottom_cm, top_cm };
            size("Length at the base", b.0, &|p, v| p.shape = make((v, b.1), t));
            size("Width at the base", b.1, &|p, v| p.shape = make((b.0, v), t));
            size("Length at the top", t.0, &|p, v| p.shape = make(b, (v, t.1)));
            size("Width at the top", t.1, &|p, v| p.shape = make(b, (t.0, v)));
        }
        Shape::TaperedRound { bottom_diameter_cm: b, top_diameter_cm: t } => {
            let make = |b, t| Shape::TaperedRound { bottom_diameter_cm: b, top_diameter_cm: t };
            size("Diameter at the base", b, &|p, v| p.shape = make(v, t));
            size("Diameter at the top", t, &|p, v| p.shape = make(b, v));
        }
    }
}
