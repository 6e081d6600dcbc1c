//! Which days are shown, and the choice of them in the bar at the top.

use eframe::egui::{ComboBox, RichText, Ui};

use super::action::Action;
use super::bench::Bench;
use super::look::theme::Tokens;
use crate::engine::run::Settled;

/// Which days are shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Days {
    /// One day of the run, from 0.
    One(usize),
    /// All days of the run side by side.
    All,
    /// The day that repeats itself.
    Settled,
}

impl Days {
    /// How the choice is called on a run of some days.
    #[must_use]
    pub fn name(self, days: usize) -> String {
        match self {
            Self::One(day) => format!("day {} of {days}", day + 1),
            Self::All => format!("all {days} days"),
            Self::Settled => "settled day".to_owned(),
        }
    }
}

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

/// What must be said about the days shown, if anything.
#[must_use]
pub fn caption(bench: &Bench) -> Option<String> {
    let days = bench.run_days();
    let last = format!("day {} of {days}", bench.shown().day + 1);
    match bench.days() {
        Days::One(_) => None,
        Days::All => Some(format!("All days side by side; the figures are of {last}.")),
        Days::Settled if bench.is_trying() => {
            Some(format!("While you try, {last} is shown, before and after; it settles when you let go."))
        }
        Days::Settled => Some(match (&bench.shown().settled, bench.settling_failed()) {
            (Some(lanes), _) => told(lanes),
            (None, Some(why)) => format!("No settled day: {why}. Shown is {last}."),
            (None, None) if !bench.shown().troubles.is_empty() => "No settled day: the bench cannot be projected as it stands.".to_owned(),
            (None, None) => format!("Settling… {last} is shown meanwhile."),
        }),
    }
}

/// When each lane settled.
pub(super) fn told(lanes: &[Settled]) -> String {
    let one = |(i, settled): (usize, &Settled)| match settled {
        Settled::OnDay(day) => format!("lane {} from day {day}", i + 1),
        Settled::NotWithin(days) => format!("lane {} did not settle within {days} days (the last is shown)", i + 1),
    };
    let told: Vec<String> = lanes.iter().enumerate().map(one).collect();
    format!("Settled day: {}.", told.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_did_not_settle_is_said() {
        let text = told(&[Settled::OnDay(9), Settled::NotWithin(60)]);
        assert!(text.contains("lane 1 from day 9, lane 2 did not settle within 60 days"), "{text}");
    }
}
