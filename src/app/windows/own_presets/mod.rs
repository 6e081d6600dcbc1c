//! The page of the user's own presets: what there is and where it is used; renaming, exporting, importing, deleting.
//!
//! `task.rs` is what is being done, `edits/preset_use.rs` tells where a preset is used, `name_form.rs` is the window that names one. A whole setup
//! is called a *preset per crop* here.

pub mod name_form;
pub mod task;

use std::path::{Path, PathBuf};

use eframe::egui::{self, Frame, Id, Label, Modal, RichText, ScrollArea, Ui, WidgetInfo, accesskit::Role};

use self::task::{Asked, Task};
use crate::app::look::theme::{self, HEAD, NOTE, Tokens};
use crate::app::look::widgets::{buttons, head};
use crate::app::state::bench::Bench;
use crate::edits::preset_use;
use crate::scenario::presets::Kind;

/// A preset of the user's own.
#[derive(Clone, Debug, PartialEq)]
struct Row {
    kind: Kind,
    name: String,
    used: String,
}

/// A preset that was deleted last, until something else is done.
#[derive(Clone, Debug, PartialEq)]
pub struct Deleted {
    /// Its kind.
    pub kind: Kind,
    /// Its name.
    pub name: String,
    /// Where it is kept.
    pub kept: PathBuf,
}

/// What the page is at.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OwnPresets {
    rows: Vec<Row>,
    /// Files that could not be read, and why.
    warnings: Vec<String>,
    folder: String,
    /// What is being done.
    pub task: Option<Task>,
    /// What was done last.
    pub told: String,
    /// What was deleted last.
    pub deleted: Option<Deleted>,
    /// The first field of a task, or the page's first button, is yet to get the keyboard.
    pub fresh: bool,
}

impl OwnPresets {
    /// The page as it opens.
    pub fn new(folder: Option<&Path>, bench: &Bench) -> Self {
        let mut page = Self { fresh: true, ..Self::default() };
        page.refresh(folder, bench);
        page
    }

    /// Reads anew what there is and where it is used.
    pub fn refresh(&mut self, folder: Option<&Path>, bench: &Bench) {
        self.rows.clear();
        let Some(folder) = folder else { return };
        self.folder = folder.display().to_string();
        self.warnings.clone_from(&bench.library().warnings);
        let scenario = bench.document().scenario();
        for kind in Kind::ALL {
            self.rows.extend(kind.own_names(folder).into_iter().map(|name| {
                let used = preset_use::words(kind, &name, bench.library(), scenario);
                Row { kind, name, used }
            }));
        }
    }

    /// Draws the page.
    pub fn show(&mut self, ctx: &egui::Context) -> Option<Asked> {
        let t = Tokens::now(ctx);
        let mut asked = None;
        // The drop that opened the page is in its first frame still.
        let opening = self.fresh;
        let frame = Frame::popup(&ctx.global_style()).inner_margin(18).corner_radius(8).fill(t.card);
        let response = Modal::new(Id::unique("own presets")).frame(frame).show(ctx, |ui| {
            let room = ctx.content_rect();
            ui.set_width(640.0_f32.min(room.width() - 60.0));
            ui.spacing_mut().item_spacing.y = 6.0;
            head(ui, "Own presets");
            let words = "What you saved from the setup. Shipped presets stay as they are and are not listed here.";
            ui.label(RichText::new(words).color(t.quiet));
            let height = (room.height() - 330.0).clamp(90.0, 340.0);
            ScrollArea::vertical().max_height(height).auto_shrink([false, true]).show(ui, |ui| self.list(ui, t, &mut asked));
            if !self.told.is_empty() {
                ui.label(RichText::new(&self.told).color(t.ink));
            }
            let fresh = std::mem::take(&mut self.fresh);
            if let Some(deleted) = self.deleted.as_ref().filter(|_| self.task.is_none()) {
                let back = ui.button(format!("Put \"{}\" back", deleted.name));
                if fresh {
                    back.request_focus();
                }
                if back.clicked() {
                    asked = Some(Asked::PutBack);
                }
            }
            if let Some(task) = &mut self.task {
                let frame = Frame::new().fill(t.panel).corner_radius(6).inner_margin(10);
                frame.show(ui, |ui| {
                    ui.set_width(ui.available_width());
                    if let Some(next) = task.show(ui, t, fresh) {
                        asked = Some(next);
                    }
                });
            }
            self.foot(ui, t, fresh, &mut asked);
        });
        if asked.is_none() && response.should_close() {
            return Some(if self.task.is_some() { Asked::Leave } else { Asked::Close });
        }
        // A file dropped while the page is open is looked at before it is taken in.
        let dropped = ctx.input(|i| i.raw.dropped_files.first().map(|f| f.path().display().to_string()));
        if let Some(path) = dropped.filter(|_| asked.is_none() && !opening) {
            return Some(Asked::Begin(Task::import(path)));
        }
        asked
    }

    fn list(&self, ui: &mut Ui, t: &Tokens, asked: &mut Option<Asked>) {
        for warning in &self.warnings {
            ui.label(RichText::new(warning).color(t.attention));
        }
        if self.rows.is_empty() {
            let words = "You have none yet. In the setup, \"Save as preset\" keeps a container, a medium, a crop or a climate of yours; the \
                menus of feed, targets and schedule end with saving; and a lane's menu saves it whole, as a preset per crop.";
            ui.label(words);
            return;
        }
        let mut before = None;
        for row in &self.rows {
            if before != Some(row.kind) {
                ui.label(RichText::new(row.kind.head()).font(theme::strong(HEAD)));
            }
            before = Some(row.kind);
            ui.horizontal(|ui| {
                ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                    // From the right: the last first.
                    for (verb, text) in [("Delete", "Delete"), ("Export", "Export…"), ("Rename", "Rename")] {
                        let button = ui.button(text);
                        let label = format!("{verb} {} {}", row.kind.one(), row.name);
                        button.widget_info(|| WidgetInfo::labeled(Role::Button, true, &label));
                        if button.clicked() {
                            *asked = Some(Asked::Begin(Task::of(verb, row.kind, &row.name)));
                        }
                    }
                    ui.with_layout(egui::Layout::top_down(egui::Align::Min), |ui| {
                        ui.spacing_mut().item_spacing.y = 0.0;
                        ui.add(Label::new(&row.name).truncate());
                        ui.add(Label::new(RichText::new(&row.used).size(NOTE).color(t.quiet)).truncate());
                    });
                });
            });
        }
    }

    fn foot(&self, ui: &mut Ui, t: &Tokens, fresh: bool, asked: &mut Option<Asked>) {
        let folder = RichText::new(format!("They lie in {}. What is deleted stays there, as .bak; Import… takes it back.", self.folder))
            .size(NOTE)
            .color(t.quiet);
        if self.folder.is_empty() {
            ui.label(RichText::new("This system has no place for presets of your own.").color(t.attention));
        } else {
            ui.label(folder);
        }
        buttons(ui, |ui| {
            let close = ui.button("Close");
            if fresh && self.task.is_none() && self.deleted.is_none() {
                close.request_focus();
            }
            if close.clicked() {
                *asked = Some(Asked::Close);
            }
            let import = ui.add_enabled(!self.folder.is_empty() && self.task.is_none(), egui::Button::new("Import…"));
            if import.on_hover_text("Take in a preset file of any kind. Dropping it on the window does the same.").clicked() {
                *asked = Some(Asked::Begin(Task::import(String::new())));
            }
        });
    }
}
