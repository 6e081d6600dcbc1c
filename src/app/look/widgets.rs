//! What several pages and small windows draw alike: heads, rows of buttons, a menu's lines, a lane's name.

use eframe::egui::accesskit::Role;
use eframe::egui::containers::menu::{MenuConfig, SubMenuButton};
use eframe::egui::{
    Align, Button, CornerRadius, Id, Label, Layout, PopupCloseBehavior, Rect, RichText, ScrollArea, Sense, Ui, WidgetInfo,
    collapsing_header, vec2,
};

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

/// A menu in a menu that stays open while several of its lines are chosen one after the other.
pub fn staying_menu(ui: &mut Ui, text: &str, add: impl FnOnce(&mut Ui)) {
    let stays = MenuConfig::new().close_behavior(PopupCloseBehavior::CloseOnClickOutside);
    SubMenuButton::new(text).config(stays).ui(ui, add);
}

/// A lane's name beside its colour.
pub fn lane_head(ui: &mut Ui, t: &Tokens, index: usize, name: &str) {
    ui.horizontal(|ui| {
        ui.set_min_height(20.0);
        let (rect, _) = ui.allocate_exact_size(vec2(10.0, 10.0), Sense::hover());
        ui.painter().rect_filled(rect, CornerRadius::same(2), t.lane(index));
        // A name that has no room is told whole under the pointer.
        ui.add(Label::new(RichText::new(format!("Lane {} · {name}", index + 1)).font(theme::strong(HEAD))).truncate());
    });
}

/// The button that folds something away, down to its head. Tells whether it is open; `opens` until it was clicked.
pub fn fold_button(ui: &mut Ui, id: Id, opens: bool, what: &str, hover: &str) -> bool {
    let was_open = ui.data(|d| d.get_temp::<bool>(id)).unwrap_or(opens);
    let (rect, response) = ui.allocate_exact_size(vec2(14.0, 18.0), Sense::click());
    let is_open = was_open != response.clicked();
    ui.data_mut(|d| d.insert_temp(id, is_open));
    let verb = if is_open { "Fold" } else { "Unfold" };
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("{verb} {what}")));
    let icon = response.clone().with_new_rect(Rect::from_center_size(rect.center(), vec2(11.0, 11.0)));
    collapsing_header::paint_default_icon(ui, f32::from(u8::from(is_open)), &icon);
    response.on_hover_text(format!("{verb} {hover}"));
    is_open
}

/// What may be longer than a low window is high: a menu's lines scroll there.
pub fn scrolling(ui: &mut Ui, add: impl FnOnce(&mut Ui)) {
    let room = ui.ctx().content_rect().height() - 60.0;
    ScrollArea::vertical().min_scrolled_height(room).max_height(room).show(ui, add);
}
