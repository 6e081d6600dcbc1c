//! The line with which a study is begun, followed and given up; and what stands over its answer.

use eframe::egui::{Button, ProgressBar, RichText, Ui, vec2};

use crate::app::actions::action::Action;
use crate::app::look::theme::{self, Tokens};
use crate::app::look::widgets::head;
use crate::app::state::bench::Bench;
use crate::app::state::exporting::Exports;
use crate::app::state::studies::{Inquiry, Question, Study};
use crate::app::state::waking::LOOKS;
use crate::scenario::Scenario;
use crate::sheet::answers::Form;

/// Head and question of a study.
pub fn title(ui: &mut Ui, t: &Tokens, name: &str, what: &str) {
    head(ui, name);
    ui.label(RichText::new(what).color(t.quiet));
    ui.add_space(6.0);
}

/// Begins, follows or gives up; then the answer, where there is one.
pub fn answered<'a, T: Send + 'static>(
    ui: &mut Ui,
    t: &Tokens,
    bench: &Bench,
    inquiry: &'a Inquiry<T>,
    (study, verb, question): (Study, &str, Question),
    actions: &mut Vec<Action>,
) -> Option<&'a T> {
    ui.horizontal(|ui| match inquiry.share() {
        Some(share) => {
            ui.visuals_mut().extreme_bg_color = t.night;
            ui.add(ProgressBar::new(share).desired_width(260.0).show_percentage());
            if ui.add_sized([80.0, 22.0], Button::new("Cancel")).clicked() {
                actions.push(Action::GiveUp(study));
            }
            ui.ctx().request_repaint_after(LOOKS);
        }
        None => {
            if ui.add(Button::new(RichText::new(verb).font(theme::strong(theme::TEXT))).min_size(vec2(140.0, 26.0))).clicked() {
                actions.push(Action::Ask(Box::new(question)));
            }
            if inquiry.answer().is_some_and(|answer| answer.found.is_ok()) {
                ui.menu_button("Export…", |ui| {
                    for (words, form) in [("A table (CSV)…", Form::Csv), ("The whole answer (JSON)…", Form::Json)] {
                        if ui.button(words).clicked() {
                            actions.push(Action::Export(Exports::Answer(study, form)));
                        }
                    }
                });
            }
        }
    });
    let answer = inquiry.answer()?;
    ui.add_space(4.0);
    let is_of_another = || inquiry.asked().is_none_or(|(_, of)| Scenario::ne(of, bench.document().scenario()));
    if answer.of != (bench.documents(), bench.document().generation()) && is_of_another() {
        ui.label(RichText::new("The bench has changed since: this is of the bench as it was.").color(t.attention));
    }
    if !answer.whole {
        let text = if inquiry.share().is_some() { "What was found so far:" } else { "Given up; what was found up to then:" };
        ui.label(RichText::new(text).color(t.quiet));
    }
    match &answer.found {
        Ok(found) => Some(found),
        Err(why) => {
            ui.label(RichText::new(format!("{}.", why.trim_end_matches('.'))).color(t.attention));
            None
        }
    }
}
