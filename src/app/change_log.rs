//! The list of all changes since the scenario was opened, with the present position; a click goes there.

use eframe::egui::{self, Id, RichText, ScrollArea, Window};

use super::App;
use super::action::Action;
use super::theme::Tokens;

impl App {
    /// Draws the list when it is open.
    pub(super) fn change_log(&mut self, ctx: &egui::Context, actions: &mut Vec<Action>) {
        if !self.log_open {
            return;
        }
        let t = Tokens::now(ctx);
        let document = self.bench.document();
        let now = document.log().len();
        let names = document.log().iter().map(|e| (e.name.as_str(), true)).chain(document.undone().map(|e| (e.name.as_str(), false)));
        let window = Window::new("Change log").id(Id::unique("change log")).open(&mut self.log_open).default_width(300.0).resizable(true);
        window.show(ctx, |ui| {
            ui.label(RichText::new("Click a change to go back or forward to it.").color(t.quiet));
            ScrollArea::vertical().max_height(360.0).auto_shrink([false, true]).show(ui, |ui| {
                for (i, (name, done)) in std::iter::once(("As it was opened", true)).chain(names).enumerate() {
                    let text = RichText::new(if done { format!("{i}. {name}") } else { format!("{i}. {name} (taken back)") });
                    let text = if done { text } else { text.color(t.quiet) };
                    if ui.selectable_label(i == now, text).clicked() && i != now {
                        actions.push(Action::GoTo(i));
                    }
                }
            });
        });
    }
}
