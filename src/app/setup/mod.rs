//! The left side: a card per lane, then what all lanes share.

mod aims_form;
mod climate_form;
mod container_form;
pub(super) mod fit;
pub mod form;
mod keys;
mod lane_card;
pub mod lanes;
mod medium_form;
mod plant_form;
mod preset_menus;
mod shared_form;
pub(super) mod use_form;

use eframe::egui::{Id, RichText, Ui};

use self::form::Form;
use super::action::Action;
use super::bench::Bench;
use super::projection::Projection;
use super::shortcuts::Command;
use super::theme::{self, HEAD, Tokens};
use crate::engine::capacity::container_capacity;
use crate::engine::column::Column;
use crate::scenario::presets::Library;
use crate::scenario::{Event, MAX_LANES, Scenario};
use crate::studies::first_schedule::first_schedule;
use crate::units::Quantity;

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
    let drips = scenario.schedule.iter().filter_map(Event::ml);
    let given = Quantity::Millilitres.text(drips.clone().sum(), bench.units);
    let floods = scenario.schedule.len() - drips.count();
    let given = match floods {
        0 => format!("{given} a plant"),
        n if n == scenario.schedule.len() => "by flood".to_owned(),
        _ => format!("{given} and floods"),
    };
    fact(&form, ui, "Given a day", &given);
    fact(&form, ui, "Events a day", &scenario.schedule.len().to_string());
    preset_menus::schedule(&mut form, ui);
    draft(&mut form, ui, shown);
    if !scenario.note.is_empty() {
        ui.add_space(8.0);
        ui.label(RichText::new("About this bench").font(theme::strong(HEAD)));
        ui.label(RichText::new(&scenario.note).size(theme::NOTE + 0.5).color(t.quiet));
    }
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

/// A first schedule that suits one of the lanes, in place of the events there are.
fn draft(form: &mut Form<'_>, ui: &mut Ui, shown: &Projection) {
    let menu = ui.menu_button("Draft a schedule…", |ui| {
        for (index, lane, run) in shown.lanes() {
            if ui.button(format!("for lane {} · {}", index + 1, lane.name)).clicked() {
                ui.close();
                let holds = shown.capacities.get(index).copied().unwrap_or_default() * run.column.volume;
                let uses = 1000.0 * use_form::litres(lane, &run.column.crop, form.scenario);
                let events = first_schedule(uses, holds, lane.dose, &form.scenario.light);
                if events.is_empty() {
                    form.actions.push(Action::Say(format!("The plants of lane {} use no water, so there is nothing to give.", index + 1)));
                } else {
                    form.set(format!("Draft a schedule for lane {}", index + 1), |s| s.schedule = events);
                }
            }
        }
    });
    let hover = "Something to begin from, in place of the events there are: what the plants of a lane use and a fifth more to drain, \
        in events of a twenty-fifth of what it holds, the closer together the more light there is (common practice, no source). \
        Undo brings the old events back.";
    menu.response.on_hover_text(hover);
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
    form::row(ui, name, |ui, _: Id| {
        ui.label(RichText::new(value).color(form.t.quiet));
    });
}
