//! The list of all changes since the scenario was opened, with the present position; a click goes there.

use eframe::egui::{self, Id, RichText, ScrollArea, Window, pos2};

use crate::app::actions::action::Action;
use crate::app::look::theme::{NOTE, Tokens};
use crate::edits::document::Document;

/// Draws the list when it is open.
pub fn show(ctx: &egui::Context, document: &Document, open: &mut bool, actions: &mut Vec<Action>) {
    if !*open {
        return;
    }
    let t = Tokens::now(ctx);
    let now = document.log().len();
    let names = document.log().iter().chain(document.undone()).map(|e| e.name.as_str());
    let frame = egui::Frame::window(&ctx.global_style()).fill(t.card);
    let at = pos2(ctx.content_rect().center().x - 180.0, 240.0);
    let window = Window::new("Change log").id(Id::unique("change log")).frame(frame).open(open);
    window.default_width(340.0).default_pos(at).collapsible(false).resizable(true).show(ctx, |ui| {
        let words = match (now, document.undone().count()) {
            (0, 0) => "Nothing was changed yet. Every change will stand here, and a click goes back to it.".to_owned(),
            (_, 0) => "Every change, the newest below. A click goes back to it.".to_owned(),
            (_, n) => format!("Every change, the newest below. Undone and not lost: {n}. A click goes there."),
        };
        ui.label(RichText::new(words).size(NOTE).color(t.quiet));
        ui.separator();
        ScrollArea::vertical().max_height(380.0).auto_shrink([false, true]).stick_to_bottom(true).show(ui, |ui| {
            for (i, name) in std::iter::once("As it was opened").chain(names).enumerate() {
                let state = match i {
                    i if i == now => " (the bench now)",
                    i if i > now => " (undone)",
                    _ => "",
                };
                let text = if i == 0 { format!("{name}{state}") } else { format!("{i}. {name}{state}") };
                let text = RichText::new(text).color(if i > now { t.quiet } else { t.ink });
                if ui.selectable_label(i == now, text).clicked() && i != now {
                    actions.push(Action::GoTo(i));
                }
            }
        });
    });
}
