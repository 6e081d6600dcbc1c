//! The sheet of keys and mouse gestures, made from the table that the keys themselves are taken from.

use eframe::egui::{Align, Grid, Id, Layout, RichText, ScrollArea, Ui};

use crate::app::actions::shortcuts::{self, DAYS, DEPTH, GESTURES, TABLE};
use crate::app::look::theme::{self, HEAD, NOTE, Tokens};

/// Width of the column of keys, so that all words begin at one line.
const KEYS: f32 = 138.0;
/// Width from which there are two columns.
const TWO_COLUMNS: f32 = 700.0;

/// Draws the sheet; tells whether it is to be closed.
pub fn show(ui: &mut Ui, t: &Tokens) -> bool {
    ui.label(RichText::new("Keys and mouse").font(theme::strong(16.0)));
    let height = (ui.ctx().content_rect().height() - 150.0).clamp(160.0, 590.0);
    // A height that is known at once: the window does not grow under the mouse.
    ScrollArea::vertical().min_scrolled_height(height).max_height(height).auto_shrink([false, true]).show(ui, |ui| {
        if ui.available_width() < TWO_COLUMNS {
            first(ui, t);
            second(ui, t);
            return;
        }
        ui.columns(2, |columns| {
            if let [left, right] = columns {
                first(left, t);
                second(right, t);
            }
        });
    });
    ui.add_space(4.0);
    let close = ui.with_layout(Layout::right_to_left(Align::Center), |ui| ui.button("Close")).inner;
    if ui.memory(|m| m.focused().is_none()) {
        close.request_focus();
    }
    close.clicked()
}

fn first(ui: &mut Ui, t: &Tokens) {
    for group in ["Events", "Selected events", "Changes"] {
        keys(ui, t, group);
    }
    lines(ui, t, "Strip of days", &DAYS);
    lines(ui, t, "Depth page", &DEPTH);
}

fn second(ui: &mut Ui, t: &Tokens) {
    for group in ["Time", "Files", "Window"] {
        keys(ui, t, group);
    }
    lines(ui, t, "Mouse, in Water in", &GESTURES);
}

fn lines(ui: &mut Ui, t: &Tokens, head: &str, lines: &[(&'static str, &'static str)]) {
    ui.label(RichText::new(head).font(theme::strong(HEAD)));
    grid(ui, t, head, lines.iter().map(|(gesture, words)| ((*gesture).to_owned(), *words)));
    ui.add_space(4.0);
}

fn keys(ui: &mut Ui, t: &Tokens, group: &'static str) {
    ui.label(RichText::new(group).font(theme::strong(HEAD)));
    let ctx = ui.ctx().clone();
    let lines = TABLE.iter().filter(|s| s.group == group).map(|s| (shortcuts::all_keys(&ctx, s), s.words));
    grid(ui, t, group, lines);
    ui.add_space(8.0);
}

fn grid(ui: &mut Ui, t: &Tokens, id: &str, lines: impl Iterator<Item = (String, &'static str)>) {
    Grid::new(Id::unique("keys").with(id)).num_columns(2).min_row_height(0.0).min_col_width(KEYS).spacing([12.0, 2.0]).show(ui, |ui| {
        for (keys, words) in lines {
            ui.label(RichText::new(keys).size(NOTE).color(t.ink));
            ui.label(RichText::new(words).size(NOTE).color(t.quiet));
            ui.end_row();
        }
    });
}
