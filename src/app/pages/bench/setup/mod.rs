//! The left side: a card per lane, then what all lanes share.
//!
//! `look/form.rs` is the one row builder: `Form::entry` makes the row of a number that stands in a table of `scenario::parameter`, and
//! `Field::new` one of any other: name, unit, range, hover text and a named step of the edit list. A drag is `TryField`, letting go `Keep`,
//! typing `SetField`. A row whose label and field do not fit side by side stands on two lines. A field that is entered and left as it stood
//! keeps every digit that it does not show. After every change `edits/fit.rs` fits what hangs on a lane's height or media (values per layer,
//! roots by height, outlet, mean water at the start), and the notice line tells it. `keys.rs` gives each lane a key that follows it when lanes
//! change places, so that what is unfolded stays so. `tests.rs` unfolds everything and sets each field to both its ends.

mod aims_form;
mod climate_form;
mod container_form;
mod entered;
mod keys;
mod lane_card;
mod medium_answers;
mod medium_form;
mod plant_form;
mod preset_menus;
mod probe_form;
mod rule_form;
mod schedule_form;
mod shared_form;
mod tank_form;
pub mod use_form;
mod valve_form;

pub use schedule_form::go_to as go_to_schedule;

use eframe::egui::{RichText, Ui};

use crate::app::actions::action::Action;
use crate::app::look::container_view::Drawn;
use crate::app::look::form::Form;
use crate::app::look::theme::{self, HEAD, Tokens};
use crate::app::state::bench::Bench;
use crate::edits::lanes;
use crate::scenario::MAX_LANES;

#[cfg(test)]
mod tests;

/// Draws the side. `hour` is the time of day under the pointer.
pub fn show(ui: &mut Ui, t: &Tokens, bench: &Bench, hour: Option<f64>, actions: &mut Vec<Action>) {
    let (shown, scenario) = (bench.shown(), &**bench.scenario());
    ui.spacing_mut().item_spacing.y = 3.0;
    let mut form = Form::new(bench, t, keys::of(ui, scenario), actions);
    let scale = lane_card::common_scale(scenario, ui.available_width());
    for index in 0..scenario.lanes.len() {
        lane_card::show(&mut form, ui, index, Drawn { shown, lane: bench.lane_drawn(index), hour, scale });
        ui.add_space(8.0);
    }
    add_lane(&mut form, ui);
    let start = ui.button("Start from a crop…");
    if start.on_hover_text("Crop, stage, container and climate in one place, for a lane that is there or a new one").clicked() {
        form.actions.push(Action::StartCrop);
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
