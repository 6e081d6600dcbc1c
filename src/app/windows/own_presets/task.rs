//! What is being done with a preset of the user's own: its fields, its buttons and what stands in the way.

use eframe::egui::{Button, Key, RichText, TextEdit, Ui};

use crate::app::look::theme::Tokens;
use crate::app::windows::files::{Purpose, file_name, in_documents};
use crate::scenario::presets::{Denied, Kind};

/// What is being done.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    Rename {
        kind: Kind,
        name: String,
        to: String,
    },
    Export {
        kind: Kind,
        name: String,
        path: String,
    },
    /// `name`: the one it is to have; asked for only when the file's cannot be.
    Import {
        path: String,
        name: Option<String>,
    },
    Delete {
        kind: Kind,
        name: String,
    },
}

/// What the page asks for.
#[derive(Clone, Debug, PartialEq)]
pub enum Asked {
    /// Close.
    Close,
    /// Begin this task.
    Begin(Task),
    /// Leave the task.
    Leave,
    /// The system's file dialog for the task's path.
    Choose,
    /// Do the task. `over`: what is in the way is replaced.
    Do {
        /// Whether what is in the way is replaced.
        over: bool,
    },
    /// Put back what was deleted last.
    PutBack,
}

/// A task and why it could not be done so far.
#[derive(Clone, Debug, PartialEq)]
pub struct Task {
    pub what: What,
    pub why: String,
    /// What is in the way may be replaced on consent.
    may_replace: bool,
}

impl Task {
    fn new(what: What) -> Self {
        Self { what, why: String::new(), may_replace: false }
    }

    /// The task that a row's button begins.
    pub fn of(verb: &str, kind: Kind, name: &str) -> Self {
        let name = name.to_owned();
        Self::new(match verb {
            "Rename" => What::Rename { kind, to: name.clone(), name },
            "Export" => What::Export { kind, path: in_documents(file_name(&name, "preset")).display().to_string(), name },
            _ => What::Delete { kind, name },
        })
    }

    /// Importing a file.
    pub fn import(path: String) -> Self {
        Self::new(What::Import { path, name: None })
    }

    /// Takes what stood in the way; a name that cannot be is asked for.
    pub fn deny(&mut self, denied: &Denied) {
        self.why = denied.to_string();
        self.may_replace =
            matches!((&self.what, denied), (What::Export { .. }, Denied::InTheWay(_)) | (What::Import { .. }, Denied::Taken(_)));
        if let (What::Import { name, .. }, Denied::Taken(taken) | Denied::Shipped(taken)) = (&mut self.what, denied) {
            name.get_or_insert_with(|| taken.clone());
        }
    }

    /// What a file dialog would be for.
    pub fn purpose(&self) -> Option<(Purpose, String)> {
        match &self.what {
            What::Export { name, .. } => Some((Purpose::Export, file_name(name, "preset"))),
            What::Import { .. } => Some((Purpose::Import, String::new())),
            _ => None,
        }
    }

    /// Takes a path from the file dialog.
    pub fn take_path(&mut self, chosen: String) {
        if let What::Export { path, .. } | What::Import { path, .. } = &mut self.what {
            *path = chosen;
            self.why.clear();
        }
    }

    /// Draws it. `fresh`: its first field gets the keyboard.
    pub fn show(&mut self, ui: &mut Ui, t: &Tokens, fresh: bool) -> Option<Asked> {
        let before = self.what.clone();
        let (verb, ready, entered) = self.fields(ui, fresh);
        if self.what != before {
            // Another name or place is another question.
            self.may_replace = false;
            self.why.clear();
        }
        if !self.why.is_empty() {
            ui.label(RichText::new(&self.why).color(t.attention));
        }
        let mut asked = (entered && ready && !self.may_replace).then_some(Asked::Do { over: false });
        ui.horizontal(|ui| {
            if self.may_replace {
                if ui.button("Replace").clicked() {
                    asked = Some(Asked::Do { over: true });
                }
            } else {
                let go = ui.add_enabled(ready, Button::new(verb));
                if fresh && matches!(self.what, What::Delete { .. }) {
                    go.request_focus();
                }
                if go.clicked() {
                    asked = Some(Asked::Do { over: false });
                }
            }
            if ui.button("Cancel").clicked() {
                asked = Some(Asked::Leave);
            }
            if self.purpose().is_some() && ui.button("Choose…").on_hover_text("The system's file dialog").clicked() {
                asked = Some(Asked::Choose);
            }
        });
        asked
    }

    /// The fields. Tells the word on the button, whether it can be pressed, and whether Enter was.
    fn fields(&mut self, ui: &mut Ui, fresh: bool) -> (&'static str, bool, bool) {
        match &mut self.what {
            What::Rename { kind, name, to } => {
                ui.label(format!("Rename the {} \"{name}\"", kind.one()));
                let entered = field(ui, "New name", to, 80, fresh);
                ("Rename it", !to.trim().is_empty() && to.trim() != name, entered)
            }
            What::Export { kind, name, path } => {
                ui.label(format!("Write the {} \"{name}\" to a file of its own", kind.one()));
                let entered = field(ui, "Path of the new file", path, 4000, fresh);
                ("Export", !path.trim().is_empty(), entered)
            }
            What::Import { path, name } => {
                ui.label("Take in a preset file of any kind");
                let asks = name.is_some();
                let mut entered = field(ui, "Path of the preset file", path, 4000, fresh && !asks);
                if let Some(name) = name {
                    entered |= field(ui, "Import under the name", name, 80, fresh);
                }
                ("Import", !path.trim().is_empty() && name.as_ref().is_none_or(|n| !n.trim().is_empty()), entered)
            }
            What::Delete { kind, name } => {
                ui.label(format!(
                    "Take the {} \"{name}\" out of your menus? Its file is kept beside the others, with .bak at its end.",
                    kind.one()
                ));
                ("Delete it", true, false)
            }
        }
    }
}

/// A text with its label above. Tells whether Enter was pressed in it.
pub fn field(ui: &mut Ui, label: &str, text: &mut String, most: usize, fresh: bool) -> bool {
    let id = ui.label(label).id;
    let response = ui.add(TextEdit::singleline(text).desired_width(f32::INFINITY).char_limit(most)).labelled_by(id);
    if fresh {
        response.request_focus();
    }
    response.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter))
}
