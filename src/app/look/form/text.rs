//! A text of one line. What is being typed lasts from one frame to the next only, and belongs to one value of one document: a field that was
//! closed, folded or hidden meanwhile, or that now speaks of another bench, begins with what is set there.

use eframe::egui::{Id, Key, TextEdit, Ui};

use super::card::Form;
use super::rows::row;
use crate::app::actions::action::Action;

/// Most characters of a name.
const MOST: usize = 80;
/// Width of a field where there is room, points.
const WIDTH: f32 = 170.0;

/// What is being typed, and what it is to replace.
#[derive(Clone, Default)]
struct Draft {
    text: String,
    of: String,
    document: u64,
    pass: u64,
}

/// What stands in a field of text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Typed {
    /// As it stands, entered or not, without blanks around it.
    pub text: String,
    /// The field was just left with another text than it had.
    pub entered: bool,
}

/// Draws a field of text, most characters of it, for a value of a document.
pub fn typed(ui: &mut Ui, id: Id, document: u64, now: &str, (label, hover): (Id, &str), most: usize) -> Typed {
    let pass = ui.ctx().cumulative_pass_nr();
    let is_of_this = |d: &Draft| d.of == now && d.document == document && d.pass + 1 >= pass;
    let draft = ui.data_mut(|d| d.remove_temp::<Draft>(id)).filter(is_of_this);
    let is_begun = draft.is_some();
    let mut text = draft.map_or_else(|| now.to_owned(), |d| d.text);
    let edit = TextEdit::singleline(&mut text).id(id).desired_width(ui.available_width().min(WIDTH)).char_limit(most);
    let response = ui.add(edit).labelled_by(label).on_hover_text(hover);
    let trimmed = text.trim().to_owned();
    if response.has_focus() {
        ui.data_mut(|d| d.insert_temp(id, Draft { text, of: now.to_owned(), document, pass }));
        return Typed { text: trimmed, entered: false };
    }
    let entered = is_begun && trimmed != now && !ui.input(|i| i.key_pressed(Key::Escape));
    Typed { text: if entered { trimmed } else { now.to_owned() }, entered }
}

/// What became of a text in a frame.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Written {
    /// As it stands in the field, entered or not.
    pub text: String,
    /// It was just entered and refused: the field has its value from before again.
    pub is_refused: bool,
}

impl Form<'_> {
    /// A text, set when the field is left. Tells what stands in it.
    pub fn text(
        &mut self,
        ui: &mut Ui,
        id: Id,
        words: [&str; 2],
        now: &str,
        refuse: impl Fn(&str) -> Option<String>,
        set: impl FnOnce(&mut Self, String),
    ) -> Written {
        let mut written = Written { text: now.to_owned(), is_refused: false };
        row(ui, words[0], |ui, label| {
            let typed = typed(ui, id, self.document, now, (label, words[1]), MOST);
            written.text.clone_from(&typed.text);
            if !typed.entered {
                return;
            }
            if let Some(why) = refuse(&typed.text) {
                self.actions.push(Action::Say(why));
                written.is_refused = true;
            } else {
                set(self, typed.text);
            }
        });
        written
    }
}
