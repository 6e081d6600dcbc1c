//! An event held by the mouse.

use eframe::egui::Pos2;

use crate::app::action::Action;
use crate::app::event_set::SetEdit;
use crate::app::schedule_edit::EventEdit;
use crate::app::steps::{Steps, snapped};
use crate::scenario::Event;

/// The part of an event that is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// The bar: moves it.
    Body,
    /// Its top edge: sets the volume.
    Top,
    /// Its right edge: sets how long it lasts.
    End,
}

/// An event held by the mouse: where it was taken, and what it was.
#[derive(Clone, Copy, Debug)]
pub struct Grip {
    /// Its place in the document's schedule.
    pub index: usize,
    /// The part that is held.
    pub part: Part,
    /// The event as it was.
    pub original: Event,
    /// Whether it is one of several that are selected and move together.
    pub group: bool,
    /// Where it was taken.
    pub press: Pos2,
}

impl Grip {
    /// What the mouse asks for: the original moved by the whole way from where it was taken, so that nothing drifts.
    /// `hours` and `ml` are what a point across and a point up are worth; without steps it moves by the second and the mL.
    #[must_use]
    pub fn edit(&self, pointer: Pos2, hours: f64, ml: f64, steps: Option<Steps>) -> Action {
        let moved = f64::from(pointer.x - self.press.x) * hours * 3600.0;
        match self.part {
            Part::Body => {
                let start_s = snapped(self.original.start_s() + moved, steps.map_or(1.0, Steps::start_s));
                if self.group {
                    return Action::TrySet(SetEdit::Move { by_s: start_s - self.original.start_s() });
                }
                Action::TryEvent(EventEdit::Move { index: self.index, start_s })
            }
            Part::End => {
                let step = steps.map_or(1.0, Steps::length_s);
                let seconds = snapped(f64::from(self.original.seconds) + moved, step).max(step);
                Action::TrySet(SetEdit::Last { seconds })
            }
            Part::Top => {
                let grown = f64::from(self.press.y - pointer.y) * ml;
                let step = steps.map_or(1.0, |s| s.ml);
                let volume = snapped(self.original.ml().unwrap_or_default() + grown, step).max(step);
                Action::TryEvent(EventEdit::Volume { index: self.index, ml: volume })
            }
        }
    }
}
