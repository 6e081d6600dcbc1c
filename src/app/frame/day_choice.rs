//! The choice of the days shown, in the bar at the top.

use eframe::egui::{ComboBox, RichText, Ui};

use crate::app::actions::action::Action;
use crate::app::look::theme::Tokens;
use crate::app::state::bench::Bench;
use crate::app::state::days::Days;

/// Draws the choice.
pub fn show(ui: &mut Ui, t: &Tokens, bench: &Bench, actions: &mut Vec<Action>) {
    let days = bench.run_days();
    let mut choices: Vec<Days> = (0..days).map(Days::One).collect();
    if days > 1 {
        choices.push(Days::All);
    }
    choices.push(Days::Settled);
    let choice = ComboBox::from_id_salt("day").width(104.0).selected_text(bench.days().name(days)).show_ui(ui, |ui| {
        for days_shown in choices {
            if ui.selectable_label(days_shown == bench.days(), days_shown.name(days)).clicked() {
                actions.push(Action::ShowDays(days_shown));
            }
        }
    });
    // Right to left: what stands before the choice is added after it.
    let label = ui.label(RichText::new("Showing").color(t.quiet));
    let hover = "Which days the tracks show: one, all side by side, or the day that repeats itself when the schedule goes on";
    choice.response.labelled_by(label.id).on_hover_text(hover);
}
