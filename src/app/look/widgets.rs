//! What several pages and small windows draw alike: heads, rows of buttons, a menu's lines, a lane's name.

use eframe::egui::{Align, Button, CornerRadius, Layout, RichText, Sense, Ui, vec2};

use super::theme::{self, HEAD, Tokens};
use crate::app::actions::action::Action;
use crate::app::actions::shortcuts;

/// The head of a small window.
pub fn head(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(text).font(theme::strong(16.0)));
}

/// The buttons at the end of a small window, from the right.
pub fn buttons(ui: &mut Ui, add: impl FnOnce(&mut Ui)) {
    ui.add_space(6.0);
    // In a line of its own height: a window that has become lower does not leave them in its middle.
    ui.horizontal(|ui| ui.with_layout(Layout::right_to_left(Align::Center), add));
}

/// A menu's line for an action, with its key.
pub fn item(ui: &mut Ui, text: impl Into<String>, action: Action, enabled: bool, actions: &mut Vec<Action>) {
    let mut button = Button::new(text.into());
    if let Some(keys) = shortcuts::first(&action) {
        button = button.shortcut_text(shortcuts::plain(&ui.ctx().format_shortcut(&keys)));
    }
    if ui.add_enabled(enabled, button).clicked() {
        actions.push(action);
    }
}

/// A lane's name beside its colour.
pub fn lane_head(ui: &mut Ui, t: &Tokens, index: usize, name: &str) {
    ui.horizontal(|ui| {
        ui.set_min_height(20.0);
        let (rect, _) = ui.allocate_exact_size(vec2(10.0, 10.0), Sense::hover());
        ui.painter().rect_filled(rect, CornerRadius::same(2), t.lane(index));
        ui.label(RichText::new(format!("Lane {} · {name}", index + 1)).font(theme::strong(HEAD)));
    });
}
