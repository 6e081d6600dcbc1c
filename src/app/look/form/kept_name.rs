//! What can be kept as a preset of one's own: the field of its name, and the button that keeps it under the name that stands there.

use eframe::egui::{Id, Ui};

use super::card::Form;
use crate::app::actions::action::Action;
use crate::edits::own_preset::OwnPreset;
use crate::scenario::{Scenario, naming};

/// Longest that a click lasts, s.
const CLICK_S: f64 = 0.8;

/// Why a name cannot be.
#[must_use]
pub fn named(text: &str) -> Option<String> {
    (text.is_empty() || text.chars().any(char::is_control)).then(|| "A name takes 1 to 80 printable characters.".to_owned())
}

/// What can be kept, and its words.
pub struct Kept<'a> {
    /// What the field of the name is known by.
    pub id: Id,
    /// What stands beside the field, and what the name is for.
    pub words: [&'a str; 2],
    /// What it is ("container").
    pub what: &'a str,
    /// Its name as it is.
    pub name: &'a str,
    /// The button, and what it does.
    pub button: [&'a str; 2],
}

impl Form<'_> {
    /// Draws the field. Tells the name to keep it under, where that was asked for by [`Form::keep_button`].
    pub fn name_of(&mut self, ui: &mut Ui, kept: &Kept<'_>, rename: impl Fn(&mut Scenario, String)) -> String {
        let written = self.text(ui, kept.id, kept.words, kept.name, named, |form, text| {
            form.set(format!("Name {} {text}", kept.what), |s| rename(s, text));
        });
        if written.is_refused {
            let now = ui.input(|i| i.time);
            ui.data_mut(|d| d.insert_temp(refusal(kept), now));
        }
        written.text
    }

    /// Draws the button: what is kept gets the name as it stands in the field, entered or not, and is then called so on the bench, too.
    pub fn keep_button(
        &mut self,
        ui: &mut Ui,
        kept: &Kept<'_>,
        name: &str,
        rename: impl Fn(&mut Scenario, String),
        preset: impl FnOnce(&Scenario, String) -> Option<OwnPreset>,
    ) {
        if !ui.button(kept.button[0]).on_hover_text(kept.button[1]).clicked() {
            return;
        }
        // The press on the button left the field: where its name was refused then, the one from before it is not meant.
        let refused = ui.data_mut(|d| d.remove_temp::<f64>(refusal(kept)));
        if refused.is_some_and(|at| ui.input(|i| i.time - at < CLICK_S)) {
            return;
        }
        if let Some(why) = named(name) {
            self.actions.push(Action::Say(why));
            return;
        }
        if name != kept.name {
            self.set(format!("Name {} {name}", kept.what), |s| rename(s, name.to_owned()));
        }
        // What nobody has named yet is no more than a change of a preset: it is asked for its name.
        let is_nameless = naming::is_changed(name);
        let name = if is_nameless { naming::mine(naming::preset_of(name)) } else { name.to_owned() };
        if let Some(preset) = preset(self.now(), name) {
            self.actions.push(if is_nameless { Action::NamePreset(preset) } else { Action::SavePreset(preset) });
        }
    }
}

fn refusal(kept: &Kept<'_>) -> Id {
    kept.id.with("refused")
}
