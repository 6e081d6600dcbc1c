//! What is proposed: taking it, or seeing it on the tracks before.

use eframe::egui::{Button, RichText, Ui};

use crate::app::actions::action::{self, Action};
use crate::app::look::theme::{NOTE, Tokens};
use crate::app::state::bench::Bench;
use crate::app::state::bench::proposal::Proposal;
use crate::scenario::Event;
use crate::studies::finder::{Found, Point};

/// A point that is looked at, as a proposal.
pub fn of_point(found: &Found, point: &Point) -> Proposal {
    of(found, format!("Take a schedule of {} events", point.events.len()), &point.events, point.feed_ec)
}

/// What is proposed, to be drawn over the tracks or taken.
pub fn of(found: &Found, name: String, events: &[Event], feed_ec: f64) -> Proposal {
    // A lane that was given usual aims keeps them.
    let aims = found.scenario.lanes.iter().filter(|lane| found.starting_aims.contains(&lane.name));
    let aims = aims.map(|lane| (lane.name.clone(), lane.targets)).collect();
    Proposal { name, valve: found.valve - 1, events: events.to_vec(), feed_ec, aims }
}

/// Takes what is proposed, or shows it on the tracks before.
pub fn decide(ui: &mut Ui, t: &Tokens, bench: &Bench, proposal: Proposal, actions: &mut Vec<Action>) {
    let is_drawn = bench.proposal() == Some(&proposal);
    ui.horizontal(|ui| {
        let hover = "In place of the valve's schedule, rules and later schedules, as one change. Undo brings them back.";
        if ui.add(Button::new("Take this schedule")).on_hover_text(hover).clicked() {
            actions.push(Action::TakeProposal(Box::new(proposal.clone())));
        }
        let hover = "Its settled day over the bench's own curves, in dots and dashes with the mark P, until it is taken or dismissed.";
        if ui.add(Button::new("See it on the tracks")).on_hover_text(hover).clicked() {
            actions.extend([Action::Propose(Some(Box::new(proposal))), Action::Show(action::Page::Bench)]);
        }
        if is_drawn {
            if ui.add(Button::new("Dismiss")).clicked() {
                actions.push(Action::Propose(None));
            }
            ui.label(RichText::new("Drawn over the tracks of the bench with the mark P: proposed, not taken.").size(NOTE).color(t.quiet));
        }
    });
}
