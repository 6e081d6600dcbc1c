//! Which event the keyboard is with, and what the clipboard hands over.

use eframe::egui::{Context, Event as Input};

use super::bars::event_id;
use super::memory::Tracks;
use crate::app::actions::action::Action;
use crate::app::state::bench::Bench;
use crate::edits::event_set::SetEdit;
use crate::edits::event_text;
use crate::edits::steps::snapped;
use crate::scenario::Event;

impl Tracks {
    /// The event that the keyboard is with, by its place in the document's schedule.
    #[must_use]
    pub fn event_with_focus(ctx: &Context, bench: &Bench) -> Option<usize> {
        let focused = ctx.memory(eframe::egui::Memory::focused)?;
        (0..bench.schedule().len()).find(|i| event_id(*i) == focused)
    }

    /// Whether the mouse holds an event or draws a box.
    #[must_use]
    pub fn is_holding(&self) -> bool {
        self.grip.is_some() || self.box_from.is_some()
    }

    /// The bar of an event as it was last drawn.
    #[must_use]
    pub fn bar_of(ctx: &Context, index: usize) -> Option<eframe::egui::Rect> {
        ctx.read_response(event_id(index)).map(|r| r.rect)
    }

    /// Copy, cut and paste of events as text.
    pub fn clipboard(&self, ctx: &Context, bench: &Bench) -> Vec<Action> {
        // A field being typed in has its own; a label with marked text, too.
        if ctx.text_edit_focused() || self.is_holding() {
            return Vec::new();
        }
        let schedule = bench.schedule();
        let chosen: Vec<Event> = bench.picked().iter().filter_map(|i| schedule.get(*i).copied()).collect();
        let at = self.read_at().map(|(_, second)| snapped(second, bench.steps.start_s()));
        let elsewhere = self.read_at().and_then(|(day, _)| bench.other_plan(day));
        let mut actions = Vec::new();
        let events = ctx.input(|i| i.events.clone());
        for event in events {
            match event {
                Input::Copy | Input::Cut if !chosen.is_empty() => {
                    match event_text::to_text(&chosen) {
                        Ok(text) => ctx.copy_text(text),
                        Err(why) => {
                            actions.push(Action::Say(why.to_string()));
                            continue;
                        }
                    }
                    if matches!(event, Input::Cut) {
                        actions.push(Action::EditSet(SetEdit::Delete));
                    }
                }
                Input::Paste(text) => actions.push(match event_text::from_text(&text) {
                    Ok(events) => elsewhere.clone().map_or_else(|| Action::EditSet(SetEdit::Paste(events, at)), Action::Say),
                    Err(why) => Action::Say(why.to_string()),
                }),
                _ => {}
            }
        }
        actions
    }
}
