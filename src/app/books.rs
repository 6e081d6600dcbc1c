//! What is said of how the books of a run close: quietly where they do, and where they do not, that the run failed.

use eframe::egui::{RichText, Ui};

use super::theme::{self, NOTE, Tokens};
use crate::engine::ledger::{CLOSES_TO, Closure, is_closed};
use crate::engine::run::LaneRun;

/// What to do with a run whose books do not close.
const ADVICE: &str = "The run failed: do not rely on its figures. The program is at fault, not the bench. Please report it with the \
    scenario file.";

/// The words of the status line. What does not close is told whatever the room.
pub fn in_status(ui: &mut Ui, t: &Tokens, closure: Closure, has_room: bool) {
    for (what, share, meaning) in [
        ("water", closure.water, "Water missing or too much, as a share of all water handled"),
        ("salt", closure.salt, "Salt missing or too much, as a share of all salt handled"),
    ] {
        if !is_closed(share) {
            let said = RichText::new(format!("{what} does not close: the run failed")).font(theme::strong(NOTE)).color(t.attention);
            ui.label(said).on_hover_text(format!("{meaning}: {share:.1e}, where {CLOSES_TO:.0e} would be rounding. {ADVICE}"));
        } else if has_room {
            ui.label(RichText::new(format!("{what} closes to {}", part(share))).size(NOTE).color(t.quiet)).on_hover_text(meaning);
        }
    }
}

/// What stands above a lane's figures where they cannot be relied on.
pub fn in_figures(ui: &mut Ui, t: &Tokens, run: &LaneRun) {
    let closure = run.closure();
    if closure.closes() {
        return;
    }
    let said = format!("This run failed: {closure}. Do not rely on these figures.");
    let hover = format!(
        "Missing or too much, as a share of all handled: water {:.1e}, salt {:.1e}, where {CLOSES_TO:.0e} would be rounding. {ADVICE}",
        closure.water, closure.salt
    );
    ui.label(RichText::new(said).color(t.attention)).on_hover_text(hover);
}

/// A closure as a share: nothing at all is written so.
fn part(share: f64) -> String {
    if share == 0.0 { "0".to_owned() } else { format!("{share:.0e}") }
}
