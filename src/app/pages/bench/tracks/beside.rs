//! The states beside the bench that stand on the tracks, in words.

use eframe::egui::Ui;

use crate::app::actions::action::{Action, WithOther};
use crate::app::state::bench::Bench;
use crate::app::state::days::Days;
use crate::app::state::others::Other;
use crate::app::state::waking::LOOKS;

/// Takes one off the tracks.
pub fn hide(ui: &mut Ui, other: &Other, actions: &mut Vec<Action>) {
    if ui.small_button("Hide").on_hover_text(format!("Takes {} off the tracks; it stays under Studies, Compare", other.name)).clicked() {
        actions.push(Action::Other(other.id, WithOther::Draw(false)));
    }
    if other.drawn().is_none() {
        ui.ctx().request_repaint_after(LOOKS);
    }
}

/// What is drawn of one, and where.
#[must_use]
pub fn words(bench: &Bench, other: &Other) -> String {
    let name = &other.name;
    let Some(drawn) = other.drawn() else { return format!("{name}: being computed") };
    if let Some(trouble) = drawn.troubles.first() {
        return format!("{name}: {trouble}");
    }
    let shown = bench.shown();
    let is_there = |name: &str| shown.scenario.lanes.iter().any(|l| l.name == name);
    let lanes = drawn.scenario.lanes.iter().filter(|l| is_there(&l.name)).count();
    if lanes == 0 {
        return format!("{name}: none of its lanes is called as one of the bench");
    }
    let (last, days) = (other.last_day(), shown.days());
    let day = match bench.days() {
        Days::All if last + 1 < days => format!(", up to day {}, its last", last + 1),
        Days::All => String::new(),
        Days::Settled if shown.settled.is_some() => format!(", its last day, {}: the settled day is the bench's alone", last + 1),
        _ if shown.day > last => format!(", day {}, its last", last + 1),
        _ => format!(", day {}", shown.day + 1),
    };
    let of = if lanes < shown.scenario.lanes.len() { format!(", {lanes} of {} lanes", shown.scenario.lanes.len()) } else { String::new() };
    format!("{name}{day}{of}")
}
