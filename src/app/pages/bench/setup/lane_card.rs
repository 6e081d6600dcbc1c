//! A lane's card: what stands there, drawn to scale, and what it holds.

use eframe::egui::{self, Align, CornerRadius, Frame, Label, Layout, Margin, Rect, RichText, Sense, Stroke, Ui, pos2, vec2};

use super::{aims_form, container_form, entered, medium_form, plant_form, preset_menus, probe_form, valve_form};
use crate::app::look::container_view::{self, Drawn};
use crate::app::look::form::{Form, named};
use crate::app::look::theme::{self, HEAD, NOTE, Tokens};
use crate::app::look::widgets::fold_button;
use crate::edits::{lanes, valves};
use crate::scenario::parameter::lane::PLANTS;
use crate::scenario::{Lane, MAX_LANES, Scenario};
use crate::units::{HOUR_S, Quantity, Units};

/// Points per cm that let every lane's container fit its drawing, so that sizes can be compared between cards.
#[must_use]
pub fn common_scale(scenario: &Scenario, card_width: f32) -> f32 {
    let room = drawing_size(card_width) - vec2(container_view::MARGIN, 0.0);
    let per = |lane: &Lane| {
        let (width, height) = container_view::size_cm(&lane.container);
        (room.x / width).min((room.y - container_view::PLANT) / height)
    };
    scenario.lanes.iter().map(per).fold(f32::INFINITY, f32::min).min(6.0)
}

fn drawing_size(card_width: f32) -> egui::Vec2 {
    vec2((card_width - 24.0 - 96.0).max(60.0), 118.0)
}

/// Draws a lane's card.
pub fn show(form: &mut Form<'_>, ui: &mut Ui, index: usize, drawn: Drawn<'_>) {
    let (t, units) = (form.t, form.units);
    let Some(lane) = form.scenario.lanes.get(index) else { return };
    let frame = Frame::new().fill(t.card).stroke(Stroke::new(1.0, t.rule)).corner_radius(6).inner_margin(Margin {
        left: 14,
        right: 10,
        top: 8,
        bottom: 8,
    });
    let card = frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        let mut is_open = true;
        ui.horizontal(|ui| {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                lane_menu(form, ui, index);
                ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                    is_open = fold_button(ui, form.id(index, "card"), true, &format!("lane {}", index + 1), "the whole card");
                    ui.add(Label::new(RichText::new(format!("Lane {} · {}", index + 1, lane.name)).font(theme::strong(HEAD))).truncate());
                });
            });
        });
        if !is_open {
            return;
        }
        ui.label(RichText::new(described(lane, units)).size(NOTE).color(t.quiet));
        ui.add_space(4.0);
        let size = drawing_size(ui.available_width() + 24.0);
        ui.horizontal_top(|ui| {
            let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
            if ui.is_rect_visible(rect) {
                container_view::paint(ui.painter(), t, rect, (lane, t.lane(index)), drawn);
            }
            response
                .widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Image, true, format!("Side view of lane {}", index + 1)));
            let at = response.hover_pos().unwrap_or_default();
            response.on_hover_ui_at_pointer(|ui| {
                ui.set_max_width(300.0);
                ui.label(container_view::explained(rect, lane, drawn, at, units));
            });
            ui.vertical(|ui| facts(ui, t, units, lane, drawn));
        });
        form.fold(ui, form.id(index, "stands in"), "Container and medium", false, |form, ui| container_form::show(form, ui, index));
        form.fold(ui, form.id(index, "plant"), "Crop and roots", index == 0, |form, ui| {
            plant_form::show(form, ui, index);
        });
        form.fold(ui, form.id(index, "start"), "Lane, dose and start", false, |form, ui| {
            lane_fields(form, ui, index, lane);
            valve_form::of_lane(form, ui, index);
            aims_form::start(form, ui, index);
            probe_form::show(form, ui, index);
        });
        form.fold(ui, form.id(index, "targets"), "Targets", false, |form, ui| aims_form::targets(form, ui, index));
    });
    let rect = card.response.rect;
    let edge = Rect::from_min_max(rect.min, pos2(rect.left() + 4.0, rect.bottom()));
    ui.painter().rect_filled(edge, CornerRadius { nw: 6, sw: 6, ne: 0, se: 0 }, t.lane(index));
}

/// Name and number of plants.
fn lane_fields(form: &mut Form<'_>, ui: &mut Ui, index: usize, lane: &Lane) {
    let lanes = &form.scenario.lanes;
    let refuse = |text: &str| {
        let taken = lanes.iter().enumerate().any(|(i, l)| i != index && l.name.trim() == text);
        if taken { Some(format!("Another lane is called \"{text}\"; results are told apart by the name.")) } else { named(text) }
    };
    form.text(
        ui,
        form.id(index, "lane name"),
        ["Lane name", "What this root zone is called on the bench"],
        &lane.name,
        refuse,
        |form, text| {
            form.set(format!("Rename lane {} to {text}", index + 1), |s| s.rename_lane(index, &text));
        },
    );
    entered::lane_entries(form, ui, index, PLANTS);
}

/// Copies, moves and removes.
fn lane_menu(form: &mut Form<'_>, ui: &mut Ui, index: usize) {
    let count = form.scenario.lanes.len();
    let name = form.scenario.lanes.get(index).map(|l| l.name.clone()).unwrap_or_default();
    let menu = ui.menu_button("…", |ui| {
        let mut item = |text: &str, enabled: bool| {
            let clicked = ui.add_enabled(enabled, egui::Button::new(text)).clicked();
            if clicked {
                ui.close();
            }
            clicked
        };
        if item("Duplicate", count < MAX_LANES) {
            form.set(format!("Duplicate lane {name}"), |s| lanes::duplicate(s, index));
        }
        if item("Move up", index > 0) {
            form.set(format!("Move lane {name} up"), |s| s.lanes.swap(index, index - 1));
        }
        if item("Move down", index + 1 < count) {
            form.set(format!("Move lane {name} down"), |s| s.lanes.swap(index, index + 1));
        }
        if item("Remove", count > 1) {
            form.set(format!("Remove lane {name}"), |s| valves::remove_lane(s, index));
        }
        ui.separator();
        valve_form::menu(form, ui, index);
        ui.separator();
        preset_menus::setups(form, ui, index);
    });
    let label = format!("Lane {} menu", index + 1);
    menu.response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Button, true, label.clone()));
    menu.response.on_hover_text("Duplicate, move or remove this lane; give it a valve of its own; use a preset per crop or save it as one");
}

/// Media, size and number of plants.
fn described(lane: &Lane, units: Units) -> String {
    let mut media: Vec<String> = lane.container.parts.iter().map(|p| medium_form::name(&p.medium)).collect();
    media.dedup();
    let litres = Quantity::Litres.text(lane.container.volume_per_plant_ml() / 1000.0, units);
    let plants = if lane.plants == 1 { "plant" } else { "plants" };
    format!("{}\n{litres} a plant · {} {plants}", media.join(" under "), lane.plants)
}

fn facts(ui: &mut Ui, t: &Tokens, units: Units, lane: &Lane, drawn: Drawn<'_>) {
    let shown = drawn.shown;
    let Some((run, capacity)) = drawn.run().zip(drawn.lane.and_then(|index| shown.capacities.get(index))) else { return };
    let note = |text: String| RichText::new(text).size(NOTE).color(t.quiet);
    ui.add_space(container_view::PLANT * 0.4);
    let holds = capacity * run.column.volume / 1000.0;
    ui.label(note(format!("holds {}", Quantity::Litres.text(holds, units))))
        .on_hover_text("Container capacity: what stays after soaking and draining");
    ui.label(note(format!("air {:.0} %", 100.0 * (run.column.porosity() - capacity)))).on_hover_text("Air at container capacity");
    let outlet = lane.container.outlet_height_cm;
    if outlet > 0.0 {
        ui.label(note(format!("outlet {} up", Quantity::Length.text(outlet, units))))
            .on_hover_text("Water below the outlet's height stays in the container");
    }
    ui.add_space(6.0);
    let at = drawn.instant();
    if let Some(sample) = run.series.at(at) {
        let clock = crate::scenario::Clock::from_hours((at - shown.midnight_s()) / HOUR_S);
        ui.label(note(format!("at {}:", &clock.to_string()[..5])));
        ui.label(RichText::new(format!("water {:.1} %", 100.0 * sample.water_content)).size(NOTE));
        if let Some(probe) = sample.probe {
            ui.label(RichText::new(format!("probe {:.1} %", 100.0 * probe)).size(NOTE)).on_hover_text("Water content that the probe reads");
        }
        ui.label(RichText::new(format!("EC {}", Quantity::Ec.text(sample.root_zone_ec, units))).size(NOTE));
    }
}
