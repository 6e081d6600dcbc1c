//! An event held by the mouse.

use eframe::egui::Pos2;

use crate::app::actions::action::Action;
use crate::edits::event_set::SetEdit;
use crate::edits::schedule_edit::EventEdit;
use crate::edits::steps::{Steps, snapped};
use crate::scenario::{Event, Give, ranges};
use crate::units::HOUR_S;

/// A step of a flood's depth, cm.
pub const DEPTH_CM: f64 = 0.5;
/// The same without the timer's steps, cm.
pub const FINE_CM: f64 = 0.1;

/// The part of an event that is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// The bar: moves it.
    Body,
    /// Its top edge: sets the volume of a drip, the depth of a flood.
    Top,
    /// Its right edge: sets how long it lasts.
    End,
}

/// What a point of the mouse's way is worth.
#[derive(Clone, Copy, Debug, Default)]
pub struct Worth {
    /// A point across, h.
    pub hours: f64,
    /// A point up on a drip, mL per plant.
    pub ml: f64,
    /// A point up on a flood, cm.
    pub cm: f64,
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
    /// Without steps it moves by the second, the mL and the mm.
    #[must_use]
    pub fn edit(&self, pointer: Pos2, worth: Worth, steps: Option<Steps>) -> Action {
        let moved = f64::from(pointer.x - self.press.x) * worth.hours * HOUR_S;
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
                let up = f64::from(self.press.y - pointer.y);
                if let Give::Flood { depth_cm } = self.original.give {
                    let steps_in_cm = 1.0 / if steps.is_some() { DEPTH_CM } else { FINE_CM };
                    let depth_cm = (steps_in_cm * (depth_cm + up * worth.cm)).round() / steps_in_cm;
                    let depth_cm = depth_cm.clamp(1.0 / steps_in_cm, ranges::FLOOD_CM.1);
                    return Action::TrySet(SetEdit::Give(Give::Flood { depth_cm }));
                }
                let grown = up * worth.ml;
                let step = steps.map_or(1.0, |s| s.ml);
                let volume = snapped(self.original.ml().unwrap_or_default() + grown, step).max(step);
                Action::TryEvent(EventEdit::Volume { index: self.index, ml: volume })
            }
        }
    }
}
