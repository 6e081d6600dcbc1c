//! What several cards need of what is entered: the part that a field is of, the numbers of a lane.

use eframe::egui::Ui;

use crate::app::look::form::Form;
use crate::scenario::parameter::Entry;
use crate::scenario::{Lane, Medium, MediumChoice, Part, Scenario};

/// The part a change is about; the card was drawn from the very scenario that is changed.
pub fn part(s: &mut Scenario, lane: usize, part: usize) -> &mut Part {
    &mut s.lanes[lane].container.parts[part]
}

/// The medium of one's own in a part, to be changed.
pub fn own_medium(s: &mut Scenario, lane: usize, p: usize) -> Option<&mut Medium> {
    if let MediumChoice::Custom(medium) = &mut part(s, lane, p).medium { Some(medium) } else { None }
}

/// Numbers of a lane.
pub fn lane_entries(form: &mut Form<'_>, ui: &mut Ui, index: usize, entries: &[Entry<Lane>]) {
    let Some(lane) = form.scenario.lanes.get(index) else { return };
    for entry in entries {
        form.entry(ui, entry, &format!("lane {}", index + 1), lane, |s| s.lanes.get_mut(index));
    }
}
