//! The left side: a card per lane, then what all lanes share.

use eframe::egui::{DragValue, Label, RichText, Ui};

use super::action::Action;
use super::bench::Bench;
use super::lane_card;
use super::theme::{self, HEAD, Tokens};
use crate::scenario::{LightShape, MAX_DAYS, Scenario};

/// Draws the side. `hour` is the time of day under the pointer.
pub fn show(ui: &mut Ui, t: &Tokens, bench: &Bench, hour: Option<f64>, actions: &mut Vec<Action>) {
    let shown = bench.shown();
    let scale = lane_card::common_scale(&shown.scenario, ui.available_width());
    for (index, ..) in shown.lanes() {
        lane_card::show(ui, t, shown, index, hour, scale, actions);
        ui.add_space(8.0);
    }
    ui.label(RichText::new("All lanes").font(theme::strong(HEAD)));
    let scenario = &shown.scenario;
    let ec = Field {
        label: "Feed EC",
        hover: "EC of the nutrient solution at 25 °C. Stronger feed raises the root zone's EC, the more so the less drains.",
    };
    field(
        ui,
        ec,
        scenario,
        actions,
        |s| DragValue::new(&mut s.feed.ec).range(0.0..=20.0).speed(0.01).fixed_decimals(2).suffix(" mS/cm"),
        |s| format!("Set feed EC to {:.2} mS/cm", s.feed.ec),
    );
    let days = Field { label: "Days in a row", hover: "The same day is run this often; later days forget how the first began." };
    field(
        ui,
        days,
        scenario,
        actions,
        |s| DragValue::new(&mut s.days).range(1..=MAX_DAYS).speed(0.05),
        |s| format!("Set days in a row to {}", s.days),
    );
    let evaporation = Field {
        label: "Evaporation",
        hover: "From freely exposed wet surfaces. It dries open tops and fabric walls, and leaves salt behind.",
    };
    field(
        ui,
        evaporation,
        scenario,
        actions,
        |s| DragValue::new(&mut s.evaporation_mm_per_day).range(0.0..=30.0).speed(0.02).fixed_decimals(1).suffix(" mm/day"),
        |s| format!("Set evaporation to {:.1} mm/day", s.evaporation_mm_per_day),
    );
    let light = &scenario.light;
    let shape = if light.shape == LightShape::Sun { "sun" } else { "lamps" };
    fact(ui, t, "Light", &format!("{} to {}, {shape}", light.on, light.off));
    let given: f64 = scenario.schedule.iter().filter_map(crate::scenario::Event::ml).sum();
    fact(ui, t, "Given a day", &format!("{given:.0} mL a plant"));
    let events = scenario.schedule.len();
    fact(ui, t, "Events a day", &events.to_string());
    if !scenario.note.is_empty() {
        ui.add_space(8.0);
        ui.label(RichText::new("About this bench").font(theme::strong(HEAD)));
        ui.label(RichText::new(&scenario.note).size(theme::NOTE + 0.5).color(t.quiet));
    }
}

/// A field's words.
#[derive(Clone, Copy)]
pub struct Field<'a> {
    /// Beside it.
    pub label: &'a str,
    /// What it does to the root zone.
    pub hover: &'a str,
}

/// A number that is dragged or typed: shown while dragged, made when let go. `name` is what its change is called.
pub fn field(
    ui: &mut Ui,
    words: Field<'_>,
    scenario: &Scenario,
    actions: &mut Vec<Action>,
    value: impl for<'s> FnOnce(&'s mut Scenario) -> DragValue<'s>,
    name: impl Fn(&Scenario) -> String,
) {
    ui.horizontal(|ui| {
        let label = ui.label(words.label);
        ui.with_layout(eframe::egui::Layout::right_to_left(eframe::egui::Align::Center), |ui| {
            let mut after = scenario.clone();
            let response = ui.add(value(&mut after).update_while_editing(false)).labelled_by(label.id).on_hover_text(words.hover);
            if response.dragged() && response.changed() {
                actions.push(Action::TryField(name(&after), Box::new(after)));
            } else if response.drag_stopped() {
                actions.push(Action::Keep);
            } else if response.changed() {
                actions.push(Action::SetField(name(&after), Box::new(after)));
            }
        });
    });
}

/// A fact that is only shown.
pub fn fact(ui: &mut Ui, t: &Tokens, name: &str, value: &str) {
    ui.horizontal(|ui| {
        ui.label(name);
        ui.with_layout(eframe::egui::Layout::right_to_left(eframe::egui::Align::Center), |ui| {
            ui.add(Label::new(RichText::new(value).color(t.quiet)).truncate());
        });
    });
}
