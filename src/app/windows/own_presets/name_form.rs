//! The small window that asks what a preset is to be called, and saves it.

use eframe::egui::{self, Button, Frame, Id, Modal, RichText};

use super::task::field;
use crate::app::look::theme::Tokens;
use crate::app::look::widgets::{buttons, head};
use crate::edits::own_preset::OwnPreset;
use crate::scenario::presets::{Denied, Kind};

/// A preset that is to be saved, and the name typed so far.
#[derive(Clone, Debug, PartialEq)]
pub struct NameForm {
    pub preset: OwnPreset,
    pub name: String,
    pub why: String,
    /// One of the user's own has the name: it is replaced on consent.
    pub taken: bool,
    fresh: bool,
}

/// What the window asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Named {
    Save { over: bool },
    Cancel,
}

impl NameForm {
    /// A form for a preset under the name that it has.
    #[must_use]
    pub fn new(preset: OwnPreset) -> Self {
        let name = preset.name().chars().take(80).collect();
        Self { preset, name, why: String::new(), taken: false, fresh: true }
    }

    /// A form for a preset whose name one of the user's own has: it is replaced on consent.
    #[must_use]
    pub fn taken(preset: OwnPreset) -> Self {
        let form = Self::new(preset);
        Self { why: Denied::Taken(form.name.clone()).to_string(), taken: true, ..form }
    }

    /// Draws the window.
    pub fn show(&mut self, ctx: &egui::Context) -> Option<Named> {
        let t = Tokens::now(ctx);
        let mut asked = None;
        let frame = Frame::popup(&ctx.global_style()).inner_margin(18).corner_radius(8).fill(t.card);
        let response = Modal::new(Id::unique("name preset")).frame(frame).show(ctx, |ui| {
            ui.set_width(420.0);
            ui.spacing_mut().item_spacing.y = 8.0;
            let head_text = match self.preset.kind() {
                Kind::Setup => "Save as a preset per crop".to_owned(),
                kind => format!("Save as a preset: {}", kind.one()),
            };
            head(ui, &head_text);
            let what = match self.preset {
                OwnPreset::Setup(_) => {
                    "The lane as it stands, with its container, crop, use, roots, start and targets; and the light, climate, feed, schedule and rules."
                }
                OwnPreset::Schedule(_) => "The events of the day. On another bench they move with its light.",
                _ => "It stands in the menus from then on, on every bench.",
            };
            ui.label(RichText::new(what).color(t.quiet));
            let before = self.name.clone();
            let entered = field(ui, "Name of the preset", &mut self.name, 80, std::mem::take(&mut self.fresh));
            if self.name != before {
                self.why.clear();
                self.taken = false;
            }
            if !self.why.is_empty() {
                ui.label(RichText::new(&self.why).color(t.attention));
            }
            let ready = !self.name.trim().is_empty();
            buttons(ui, |ui| {
                let over = self.taken;
                let go = ui.add_enabled(ready, Button::new(if over { "Replace" } else { "Save" }));
                if go.clicked() || (entered && ready && !over) {
                    asked = Some(Named::Save { over });
                }
                if ui.button("Cancel").clicked() {
                    asked = Some(Named::Cancel);
                }
            });
        });
        asked.or_else(|| response.should_close().then_some(Named::Cancel))
    }
}
