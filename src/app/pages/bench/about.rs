//! What a bench asks: first of all that stands on the page until it is dismissed, then at the end of the figures.

use eframe::egui::{Align, Frame, Layout, Margin, RichText, ScrollArea, Stroke, Ui};

use crate::app::actions::action::Action;
use crate::app::look::theme::{self, HEAD, NOTE, Tokens};

/// Share of the height that it takes at most while it stands first; a longer one scrolls.
const SHARE: f32 = 0.34;

/// Draws it above the tracks, with the button that puts it aside.
pub fn first(ui: &mut Ui, t: &Tokens, note: &str, actions: &mut Vec<Action>) {
    let height = SHARE * ui.available_height();
    let frame = Frame::new().fill(t.card).stroke(Stroke::new(1.0, t.rule)).corner_radius(6).inner_margin(Margin::symmetric(10, 5));
    frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.spacing_mut().item_spacing.y = 2.0;
        ui.horizontal(|ui| {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let button = ui.small_button("Put aside").on_hover_text("It stands at the end of the figures then");
                if button.clicked() {
                    actions.push(Action::DismissNote);
                }
                ui.with_layout(Layout::left_to_right(Align::Center), head);
            });
        });
        ScrollArea::vertical().max_height(height).auto_shrink([false, true]).show(ui, |ui| words(ui, t, note));
    });
    ui.add_space(4.0);
}

/// Draws it where it stands once it was dismissed.
pub fn last(ui: &mut Ui, t: &Tokens, note: &str) {
    ui.add_space(6.0);
    head(ui);
    words(ui, t, note);
}

fn head(ui: &mut Ui) {
    ui.label(RichText::new("About this bench").font(theme::strong(HEAD)));
}

fn words(ui: &mut Ui, t: &Tokens, note: &str) {
    for part in parts(note).into_iter().filter(|p| !p.is_empty()) {
        let colour = if part.starts_with(TRY) { t.ink } else { t.quiet };
        ui.label(RichText::new(part).size(NOTE).color(colour));
    }
}

/// What begins the sentence that says what to do.
const TRY: &str = "Try:";

/// What is asked, what to try, and what else is told.
fn parts(note: &str) -> [&str; 3] {
    let Some(at) = note.find(TRY) else { return [note.trim(), "", ""] };
    let (before, rest) = note.split_at(at);
    let end = rest.find(". ").map_or(rest.len(), |end| end + 1);
    let (to_try, after) = rest.split_at(end);
    [before.trim(), to_try.trim(), after.trim()]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::presets::demos;

    #[test]
    fn what_to_try_stands_on_a_line_of_its_own_and_no_word_is_lost() {
        assert_eq!(parts("Who starves? Try: drag one. Invented data."), ["Who starves?", "Try: drag one.", "Invented data."]);
        assert_eq!(parts("Try: drag one"), ["", "Try: drag one", ""]);
        assert_eq!(parts("A bench of my own."), ["A bench of my own.", "", ""]);
        for (_, scenario) in demos() {
            let parts = parts(&scenario.note);
            assert_eq!(parts.join(" ").trim(), scenario.note.trim());
            assert!(parts[1].starts_with(TRY), "{}", scenario.name);
        }
    }
}
