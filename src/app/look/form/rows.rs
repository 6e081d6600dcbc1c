//! Rows of a card: a label and what stands beside it, or below it where there is no room.

use eframe::egui::{Align, Color32, Id, Layout, Ui};

use crate::app::look::theme;

/// Least width of a menu or a text.
const MENU: f32 = 96.0;

/// A label at the left, a menu or a text at the right.
pub fn row(ui: &mut Ui, label: &str, add: impl FnOnce(&mut Ui, Id)) {
    row_for(ui, MENU, label, add);
}

/// A label at the left, a field at the right; where both do not fit, the field stands below its label.
/// `room` is the width that the field needs.
pub fn row_for(ui: &mut Ui, room: f32, label: &str, add: impl FnOnce(&mut Ui, Id)) {
    let field = |ui: &mut Ui, id: Id, add: &mut dyn FnMut(&mut Ui, Id)| {
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| add(ui, id));
    };
    let mut add = Some(add);
    let mut once = |ui: &mut Ui, id: Id| {
        if let Some(add) = add.take() {
            add(ui, id);
        }
    };
    if text_width(ui, label) + ui.spacing().item_spacing.x + room <= ui.available_width() {
        ui.horizontal(|ui| {
            let id = ui.label(label).id;
            field(ui, id, &mut once);
        });
    } else {
        let id = ui.label(label).id;
        ui.horizontal(|ui| field(ui, id, &mut once));
    }
}

pub(super) fn text_width(ui: &Ui, text: &str) -> f32 {
    ui.painter().layout_no_wrap(text.to_owned(), theme::plain(theme::TEXT), Color32::WHITE).size().x
}

/// A head that never pushes a card wider than its panel: the toolkit's folds do not cut theirs.
pub(super) fn fitting(ui: &Ui, head: &str) -> String {
    let room = ui.available_width() - 28.0;
    let mut text = head.to_owned();
    let mut kept = head.chars().count();
    while text_width(ui, &text) > room && kept > 4 {
        kept -= 1;
        text = head.chars().take(kept).collect::<String>().trim_end().to_owned() + "…";
    }
    text
}
