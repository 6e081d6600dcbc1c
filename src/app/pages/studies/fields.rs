//! Fields of a study's question: they are the page's own and change nothing on the bench.

use eframe::egui::{DragValue, Response, RichText, Ui};

use crate::app::look::theme::{NOTE, Tokens};
use crate::scenario::Clock;
use crate::units::{Quantity, Units};

/// Gap between the columns of a table of an answer: less where the page is narrow, so that the last column is whole.
#[must_use]
pub fn gap(ui: &Ui) -> f32 {
    const NARROW: f32 = 520.0;
    if ui.available_width() < NARROW { 5.0 } else { 18.0 }
}

/// Width of a label.
const LABEL: f32 = 190.0;

fn line(ui: &mut Ui, t: &Tokens, label: &str, hover: &str, add: impl FnOnce(&mut Ui, eframe::egui::Id)) {
    // In a narrow window what is said of a field stands below it.
    ui.horizontal_wrapped(|ui| {
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

/// What kind of number a field holds: how it is shown, and what follows its unit ("/h").
#[derive(Clone, Copy)]
pub struct Shown {
    /// How it is shown.
    pub quantity: Quantity,
    /// In which units.
    pub units: Units,
    /// What follows the unit.
    pub per: &'static str,
}

impl Shown {
    /// A number as it is shown in the units at hand.
    #[must_use]
    pub fn of(quantity: Quantity, units: Units) -> Self {
        Self { quantity, units, per: "" }
    }
}

/// A number of the data with its range, shown and set in units.
pub fn number(ui: &mut Ui, t: &Tokens, (label, hover): (&str, &str), value: &mut f64, range: (f64, f64), shown: Shown) {
    line(ui, t, label, hover, |ui, id| {
        drag(ui, value, range, shown).labelled_by(id);
    });
}

/// The field alone. What is not touched keeps its value to the bit.
fn drag(ui: &mut Ui, value: &mut f64, range: (f64, f64), Shown { quantity, units, per }: Shown) -> Response {
    let mut as_shown = quantity.shown(*value, units);
    let ends = quantity.shown(range.0, units)..=quantity.shown(range.1, units);
    let unit = quantity.unit(units);
    let decimals = quantity.decimals(units);
    let drag = DragValue::new(&mut as_shown)
        .range(ends)
        .clamp_existing_to_range(false)
        .speed(0.2 * quantity.step(units))
        .max_decimals(decimals)
        .suffix(suffix(&format!("{unit}{per}")))
        .custom_parser(move |text| {
            let text = if per.is_empty() { text } else { text.trim().trim_end_matches(per) };
            quantity.typed(text, units)
        });
    let response = ui.add(drag);
    if response.changed() {
        *value = quantity.data(as_shown, units).clamp(range.0, range.1);
    }
    response
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

/// A number of the data that may be left out.
pub fn bounded(
    ui: &mut Ui,
    t: &Tokens,
    (label, hover): (&str, &str),
    value: &mut Option<f64>,
    usual: f64,
    range: (f64, f64),
    shown: Shown,
) {
    line(ui, t, label, hover, |ui, id| {
        let mut on = value.is_some();
        if ui.checkbox(&mut on, "").labelled_by(id).changed() {
            *value = on.then_some(usual);
        }
        if let Some(value) = value {
            drag(ui, value, range, shown).labelled_by(id);
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
