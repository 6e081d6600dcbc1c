//! Small windows over the bench: questions, errors, a path to type.

use std::path::{Path, PathBuf};

use eframe::egui::{self, Frame, Id, Key, Modal, RichText, TextEdit, Ui};

use super::climate_import::ClimateForm;
use super::files::Purpose;
use super::help;
use super::key_sheet;
use super::left_work::LeftForm;
use super::own_presets::{OwnPresets, name_form::NameForm};
use super::series::SeriesForm;
use super::start_crop::StartForm;
use crate::app::actions::action::Next;
use crate::app::look::theme::Tokens;
use crate::app::look::widgets::{buttons, head};
use crate::app::state::exporting::Exports;
use crate::app::state::notice::Choice;
use crate::scenario::disk::Since;
use crate::sheet::answers::Form;
use crate::sheet::made::Results;

/// A window over the bench.
#[derive(Clone, Debug, PartialEq)]
pub enum Dialog {
    /// There are unsaved changes; what comes next waits.
    Unsaved(Next),
    /// Something failed: cause and remedy.
    Failed {
        /// What happened, in one line.
        cause: String,
        /// What to do, in one line.
        remedy: String,
    },
    /// The file holds something else than was last read or written here; what comes next waits.
    Elsewhere {
        /// What became of it.
        since: Since,
        /// The file.
        path: PathBuf,
        /// It is the one on the bench.
        own: bool,
        /// What was to follow the save.
        then: Option<Next>,
    },
    /// What windows that ended badly left.
    LeftWork(Box<LeftForm>),
    /// A path to type.
    Path {
        /// What it is for.
        purpose: Purpose,
        /// What has been typed.
        text: String,
        /// Why it has to be typed; empty when it was asked for.
        why: String,
    },
    /// What this program is.
    About,
    /// A chapter of the help, by its place.
    Help(usize),
    /// All keys and what the mouse does.
    Keys,
    /// A series of events to add.
    Series(Box<SeriesForm>),
    /// A climate log to take.
    Climate(Box<ClimateForm>),
    /// A name for a preset to be saved.
    NamePreset(Box<NameForm>),
    /// The user's own presets.
    OwnPresets(Box<OwnPresets>),
    /// What a lane is to begin with.
    StartCrop(Box<StartForm>),
}

/// What was answered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answer {
    /// Close the small window, change nothing.
    Cancel,
    /// Save first, then go on.
    SaveThen(Next),
    /// Go on, the changes are lost.
    Discard(Next),
    /// Save over what another program made of a file.
    KeepMine(PathBuf, Since, Option<Next>),
    /// Put what it made of it on the bench.
    TakeTheirs(PathBuf),
    /// Save beside it.
    SaveBeside(PathBuf, Option<Next>),
    /// Use a path that was typed.
    Typed(Purpose, String),
}

/// Draws a dialog; returns the answer when there is one.
#[must_use]
pub fn show(ctx: &egui::Context, dialog: &mut Dialog, name: &str) -> Option<Answer> {
    let t = Tokens::now(ctx);
    let mut answer = None;
    let frame = Frame::popup(&ctx.global_style()).inner_margin(18).corner_radius(8).fill(t.card);
    let response = Modal::new(Id::unique("dialog")).frame(frame).show(ctx, |ui| {
        ui.set_width(if matches!(dialog, Dialog::Keys | Dialog::Help(_)) {
            830.0_f32.min(ctx.content_rect().width() - 60.0)
        } else {
            420.0
        });
        ui.spacing_mut().item_spacing.y = 8.0;
        match dialog {
            Dialog::Unsaved(next) => answer = unsaved(ui, next, name),
            Dialog::Failed { cause, remedy } => answer = failed(ui, cause, remedy),
            Dialog::Elsewhere { since, path, own, then } => answer = elsewhere(ui, t, (*since, path, *own), then.as_ref()),
            Dialog::Path { purpose, text, why } => answer = path(ui, t, purpose, text, why),
            Dialog::About => answer = about(ui, t),
            Dialog::Help(at) => answer = help::show(ui, t, at).then_some(Answer::Cancel),
            Dialog::Keys => answer = key_sheet::show(ui, t).then_some(Answer::Cancel),
            // They have windows of their own shape.
            Dialog::Series(_)
            | Dialog::Climate(_)
            | Dialog::NamePreset(_)
            | Dialog::OwnPresets(_)
            | Dialog::StartCrop(_)
            | Dialog::LeftWork(_) => {
                answer = Some(Answer::Cancel);
            }
        }
    });
    answer.or_else(|| response.should_close().then_some(Answer::Cancel))
}

fn unsaved(ui: &mut Ui, next: &Next, name: &str) -> Option<Answer> {
    let mut answer = None;
    head(ui, "Save your changes first?");
    let then = if *next == Next::Close { "closing" } else { "opening another" };
    ui.label(format!("“{name}” has changes that no file holds yet. Save them before {then}?"));
    buttons(ui, |ui| {
        let save = ui.button("Save");
        if ui.memory(|m| m.focused().is_none()) {
            save.request_focus();
        }
        if save.clicked() {
            answer = Some(Answer::SaveThen(next.clone()));
        }
        if ui.button("Discard").clicked() {
            answer = Some(Answer::Discard(next.clone()));
        }
        if ui.button("Cancel").clicked() {
            answer = Some(Answer::Cancel);
        }
    });
    answer
}

/// What counts, where a file is not as it was: nothing is written over unasked.
fn elsewhere(ui: &mut Ui, t: &Tokens, (since, path, own): (Since, &Path, bool), then: Option<&Next>) -> Option<Answer> {
    let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let (title, what) = match since {
        Since::Gone => ("The file is not there any more", format!("{name} was removed, or has another name now. Nothing was saved yet.")),
        _ if own => (
            "The file has changed",
            format!(
                "{name} was changed by another program, or in another window, since it was last read or saved here. Nothing was saved yet."
            ),
        ),
        _ => ("There is a file of that name", format!("{name} is there already. Nothing was saved yet.")),
    };
    head(ui, title);
    ui.label(what).on_hover_text(path.display().to_string());
    let mine = if own { Choice::KeepMine.word() } else { "Replace it" };
    let kept = if since == Since::Gone { "writes it again" } else { "writes yours over it; what is there is then kept beside it as .bak" };
    let mut lines = vec![format!("{mine} {kept}.")];
    if own && since != Since::Gone {
        lines.push("Take theirs puts it on the bench; Undo brings yours back.".to_owned());
    }
    lines.push("Save beside gives yours a name of its own.".to_owned());
    ui.label(RichText::new(lines.join(" ")).color(t.quiet));
    let mut answer = None;
    let to = || path.to_path_buf();
    buttons(ui, |ui| {
        let beside = ui.button(Choice::SaveBeside.word());
        // What loses nothing has the keyboard first.
        if ui.memory(|m| m.focused().is_none()) {
            beside.request_focus();
        }
        if beside.clicked() {
            answer = Some(Answer::SaveBeside(to(), then.cloned()));
        }
        if own && since != Since::Gone && ui.button(Choice::TakeTheirs.word()).clicked() {
            answer = Some(Answer::TakeTheirs(to()));
        }
        if ui.button(mine).clicked() {
            answer = Some(Answer::KeepMine(to(), since, then.cloned()));
        }
        if ui.button("Cancel").clicked() {
            answer = Some(Answer::Cancel);
        }
    });
    answer
}

fn failed(ui: &mut Ui, cause: &str, remedy: &str) -> Option<Answer> {
    head(ui, "That did not work");
    ui.label(cause);
    ui.label(RichText::new(remedy).weak());
    ui.label(RichText::new("The bench is as it was.").weak());
    let mut answer = None;
    buttons(ui, |ui| {
        let close = ui.button("Close");
        if ui.memory(|m| m.focused().is_none()) {
            close.request_focus();
        }
        if close.clicked() {
            answer = Some(Answer::Cancel);
        }
    });
    answer
}

fn path(ui: &mut Ui, t: &Tokens, purpose: &Purpose, text: &mut String, why: &str) -> Option<Answer> {
    let (title, what, hint, verb) = match purpose {
        Purpose::Open => ("Open a path", "Path of the scenario file", "~/bench-3.ron", "Open"),
        Purpose::Beside => ("Hold a file beside the bench", "Path of the scenario file", "~/bench-3.ron", "Read"),
        Purpose::Save(_) => ("Save to a path", "Path of the scenario file", "~/bench-3.ron", "Save"),
        Purpose::Climate => ("Import a climate log from a path", "Path of the log, a CSV file", "~/house-2-week-14.csv", "Read"),
        Purpose::Import => ("Import a preset from a path", "Path of the preset file", "~/my-slab.ron", "Import"),
        Purpose::Results(Exports::Answer(_, Form::Csv), _) => {
            ("Export the answer as a table", "Path of the CSV file", "~/answer.csv", "Export")
        }
        Purpose::Results(Exports::Answer(_, Form::Json), _) => {
            ("Export the whole answer", "Path of the JSON file", "~/answer.json", "Export")
        }
        Purpose::Results(Exports::Bench(Results::Series), _) => {
            ("Export the series", "Path of the CSV file", "~/bench-3-series.csv", "Export")
        }
        Purpose::Results(Exports::Bench(Results::Figures), _) => {
            ("Export the figures", "Path of the JSON file", "~/bench-3-figures.json", "Export")
        }
        Purpose::Export => ("Export a preset to a path", "Path of the preset file", "~/my-slab.ron", "Export"),
    };
    head(ui, title);
    if !why.is_empty() {
        ui.label(RichText::new(why).color(t.quiet));
    }
    let label = ui.label(what);
    let field = ui.add(TextEdit::singleline(text).desired_width(f32::INFINITY).hint_text(hint)).labelled_by(label.id);
    let entered = field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
    if ui.memory(|m| m.focused().is_none()) {
        field.request_focus();
    }
    let mut answer = None;
    buttons(ui, |ui| {
        let go = ui.add_enabled(!text.trim().is_empty(), egui::Button::new(verb));
        if go.clicked() || (entered && !text.trim().is_empty()) {
            answer = Some(Answer::Typed(purpose.clone(), text.clone()));
        }
        if ui.button("Cancel").clicked() {
            answer = Some(Answer::Cancel);
        }
    });
    answer
}

fn about(ui: &mut Ui, t: &Tokens) -> Option<Answer> {
    head(ui, concat!("Slakeline ", env!("CARGO_PKG_VERSION")));
    ui.label("Projects the root zone of a soilless crop through the day: water, air, suction, salt and drain for a schedule you can drag.");
    ui.label("A projection to think with. Check with a scale, a probe and the drain.");
    ui.label(
        RichText::new("Free under MIT or Apache-2.0, at your choice. Typeface: Inter, under the SIL Open Font License.").color(t.quiet),
    );
    let mut answer = None;
    buttons(ui, |ui| {
        if ui.button("Close").clicked() {
            answer = Some(Answer::Cancel);
        }
    });
    answer
}
