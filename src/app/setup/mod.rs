//! The left side: a card per lane, then what all lanes share.

mod aims_form;
mod climate_form;
mod container_form;
mod keys;
mod lane_card;
mod medium_form;
mod plant_form;
mod preset_menus;
mod probe_form;
mod rule_form;
mod schedule_form;
mod shared_form;
mod tank_form;
pub mod use_form;

pub use schedule_form::go_to as go_to_schedule;

use eframe::egui::{Id, RichText, Ui};

use super::actions::action::Action;
use super::actions::shortcuts::Command;
use super::look::form::{Form, row};
use super::look::theme::{self, HEAD, Tokens};
use super::state::bench::Bench;
use crate::edits::lanes;
use crate::engine::capacity::container_capacity;
use crate::engine::column::Column;
use crate::scenario::presets::Library;
use crate::scenario::{Event, MAX_LANES, Scenario};
use crate::studies::first_schedule::first_schedule;

#[cfg(test)]
mod tests;

/// Draws the side. `hour` is the time of day under the pointer.
pub fn show(ui: &mut Ui, t: &Tokens, bench: &Bench, hour: Option<f64>, actions: &mut Vec<Action>) {
    let shown = bench.shown();
    let scenario = &*shown.scenario;
    ui.spacing_mut().item_spacing.y = 3.0;
    let mut form = Form::new(bench, t, keys::of(ui, scenario), actions);
    let scale = lane_card::common_scale(scenario, ui.available_width());
    for index in 0..scenario.lanes.len() {
        lane_card::show(&mut form, ui, shown, index, hour, scale);
        ui.add_space(8.0);
    }
    add_lane(&mut form, ui);
    let start = ui.button("Start from a crop…");
    if start.on_hover_text("Crop, stage, container and climate in one place, for a lane that is there or a new one").clicked() {
        form.actions.push(Action::Do(Command::StartCrop));
    }
    ui.add_space(8.0);
    ui.label(RichText::new("All lanes").font(theme::strong(HEAD)));
    shared_form::show(&mut form, ui);
    ui.add_space(8.0);
    schedule_form::show(&mut form, ui, bench);
    ui.add_space(8.0);
    tank_form::show(&mut form, ui, shown);
}

/// A lane more, standing in a container of the menu.
fn add_lane(form: &mut Form<'_>, ui: &mut Ui) {
    if form.scenario.lanes.len() >= MAX_LANES {
        form.note(ui, "The bench is full: 16 lanes.");
        return;
    }
    let library = form.library;
    let menu = ui.menu_button("Add lane…", |ui| {
        for container in &library.containers {
            if ui.button(&container.name).clicked() {
                form.set(format!("Add lane {}", container.name), |s| lanes::add(s, container, library));
                ui.close();
            }
        }
    });
    menu.response.on_hover_text("Another root zone under the same schedule, with the plant of the last lane");
}

/// A first schedule for a lane of a bench that has not been run yet.
///
/// # Errors
/// In words: the lane cannot be built, or its plants use nothing.
pub(super) fn draft_for(scenario: &Scenario, index: usize, library: &Library) -> Result<Vec<Event>, String> {
    let lane = scenario.lanes.get(index).ok_or("That lane is not there any more.")?;
    let column = Column::build(lane, &scenario.solver, library).map_err(|e| e.to_string())?;
    let uses = 1000.0 * use_form::litres(lane, &column.crop, scenario);
    let events = first_schedule(uses, container_capacity(&column) * column.volume, lane.dose, &scenario.light);
    if events.is_empty() { Err(format!("The plants of lane {} use no water, so there is nothing to give.", index + 1)) } else { Ok(events) }
}

/// A fact that is only shown.
fn fact(form: &Form<'_>, ui: &mut Ui, name: &str, value: &str) {
    row(ui, name, |ui, _: Id| {
        ui.label(RichText::new(value).color(form.t.quiet));
    });
}
