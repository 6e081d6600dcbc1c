//! Fields of a study's question: they are the page's own and change nothing on the bench.

use eframe::egui::{DragValue, RichText, Ui};

use crate::app::look::theme::{NOTE, Tokens};
use crate::scenario::Clock;

/// Width of a label.
const LABEL: f32 = 190.0;

fn line(ui: &mut Ui, t: &Tokens, label: &str, hover: &str, add: impl FnOnce(&mut Ui, eframe::egui::Id)) {
    ui.horizontal(|ui| {
        let id = ui
            .allocate_ui_with_layout(
                eframe::egui::vec2(LABEL, 20.0),
                eframe::egui::Layout::left_to_right(eframe::egui::Align::Center),
                |ui| {
                    ui.set_width(LABEL);
                    ui.label(label).on_hover_text(hover).id
                },
            )
            .inner;
        add(ui, id);
        if !hover.is_empty() {
            ui.label(RichText::new(hover).size(NOTE).color(t.quiet));
        }
    });
}

/// A number with its unit and range.
pub fn number(ui: &mut Ui, t: &Tokens, (label, hover): (&str, &str), value: &mut f64, (low, high): (f64, f64), unit: &str, step: f64) {
    line(ui, t, label, hover, |ui, id| {
        ui.add(DragValue::new(value).range(low..=high).speed(step).max_decimals(3).suffix(suffix(unit))).labelled_by(id);
    });
}

/// A whole number.
pub fn whole(ui: &mut Ui, t: &Tokens, (label, hover): (&str, &str), value: &mut u32, (low, high): (u32, u32), unit: &str) {
    line(ui, t, label, hover, |ui, id| {
        ui.add(DragValue::new(value).range(low..=high).suffix(suffix(unit))).labelled_by(id);
    });
}

fn suffix(unit: &str) -> String {
    if unit.is_empty() { String::new() } else { format!(" {unit}") }
}

/// A number that may be left out.
pub fn bounded(ui: &mut Ui, t: &Tokens, (label, hover): (&str, &str), value: &mut Option<f64>, usual: f64, range: (f64, f64), unit: &str) {
    line(ui, t, label, hover, |ui, id| {
        let mut on = value.is_some();
        if ui.checkbox(&mut on, "").labelled_by(id).changed() {
            *value = on.then_some(usual);
        }
        if let Some(value) = value {
            ui.add(DragValue::new(value).range(range.0..=range.1).speed(0.1).suffix(format!(" {unit}"))).labelled_by(id);
        }
    });
}

/// A time of day, in steps of a quarter of an hour.
pub fn clock(ui: &mut Ui, t: &Tokens, (label, hover): (&str, &str), value: &mut Clock) {
    line(ui, t, label, hover, |ui, id| {
        let mut quarters = value.seconds() / 900.0;
        let shown = |v: f64| Clock::from_hours(v * 0.25).to_string();
        let drag = DragValue::new(&mut quarters)
            .range(0.0..=95.0)
            .speed(0.2)
            .max_decimals(0)
            .custom_formatter(move |v, _| shown(v))
            .custom_parser(|text| text.trim().parse::<Clock>().ok().map(|c| c.seconds() / 900.0));
        if ui.add(drag).labelled_by(id).changed() {
            *value = Clock::from_hours(quarters * 0.25);
        }
    });
}
