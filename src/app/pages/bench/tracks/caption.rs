//! What must be said about the days shown, and what is pinned: the line above the tracks.

use eframe::egui::{Align, Label, Layout, RichText, Ui};

use crate::app::actions::action::Action;
use crate::app::look::theme::{NOTE, Tokens};
use crate::app::state::bench::Bench;
use crate::app::state::days::Days;
use crate::projection::settled::told;

/// Draws the line, where there is something to say.
pub fn show(ui: &mut Ui, t: &Tokens, bench: &Bench, actions: &mut Vec<Action>) {
    let said = about_days(bench);
    let pin = bench.pinned();
    if said.is_none() && pin.is_none() {
        return;
    }
    ui.horizontal(|ui| {
        ui.set_min_height(20.0);
        let quiet = |text: String| RichText::new(text).size(NOTE).color(t.quiet);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if let Some(pin) = pin {
                if ui.small_button("Unpin").clicked() {
                    actions.push(Action::Unpin);
                }
                let told = ui.add(Label::new(quiet(format!("pinned (dashes): {}", pin.name))).truncate());
                if let Some(against) = bench.against_pin() {
                    let lines: Vec<String> = against.lanes.iter().map(|l| format!("{}: {}", l.name, l.words(bench.units))).collect();
                    told.on_hover_text(format!("{}\n{}", against.title, lines.join("\n")));
                }
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                if let Some(said) = said {
                    ui.add(Label::new(quiet(said)).truncate());
                }
            });
        });
    });
}

/// What must be said about the days shown, if anything.
fn about_days(bench: &Bench) -> Option<String> {
    let days = bench.run_days();
    let last = format!("day {} of {days}", bench.shown().day + 1);
    match bench.days() {
        Days::One(day) if day >= bench.plain().reached => Some(format!("Day {} is being computed.", day + 1)),
        Days::One(_) => None,
        Days::All => Some(format!("All days side by side; the figures are of {last}.")),
        Days::Settled if bench.is_trying() => {
            Some(format!("While you try, {last} is shown, before and after; it settles when you let go."))
        }
        Days::Settled => Some(match (&bench.shown().settled, bench.settling_failed()) {
            (Some(_), _) => told(bench.shown()),
            (None, Some(why)) => format!("No settled day: {why}. Shown is {last}."),
            (None, None) if !bench.shown().troubles.is_empty() => "No settled day: the bench cannot be projected as it stands.".to_owned(),
            (None, None) => format!("Settling… {last} is shown meanwhile."),
        }),
    }
}
