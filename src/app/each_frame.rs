//! What happens in a frame, in its order: what jobs found, what keys and files ask for, drawing, and carrying out what was
//! asked for meanwhile.

use std::path::PathBuf;

use eframe::egui::{self, Ui, ViewportCommand};

use super::actions::action::{Action, Next, Page};
use super::frame::panels;
use super::pages::bench::tracks::Tracks;
use super::window::{App, AppOptions};
use super::windows::dialog::Dialog;
use super::windows::{change_log, exactness};
use crate::scenario::disk::special::is_no_file;

/// The window's icon, drawn by `assets/icon/draw.py`.
const ICON: &[u8] = include_bytes!("../../assets/icon/slakeline-256.png");

impl eframe::App for App {
    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        let ctx = ui.ctx().clone();
        if let Some((purpose, path)) = self.poll_picker() {
            self.use_path(&ctx, purpose, &path, true);
        }
        let mut actions = Vec::new();
        if self.windows.dialog.is_none() {
            actions.extend(self.keys(&ctx));
            actions.extend(dropped(&ctx));
            // A field and an open menu have Escape for themselves, and a drag is dropped by it first.
            let taken =
                (self.shell.typing && !self.windows.editor.is_open()) || self.pages.tracks.is_holding() || egui::Popup::is_any_open(&ctx);
            if !taken && ctx.input(|i| i.key_pressed(egui::Key::Escape)) {
                actions.push(Action::Escape);
            }
        }
        if matches!(self.windows.dialog, Some(Dialog::Climate(_))) {
            actions.extend(dropped(&ctx).filter(|action| matches!(action, Action::ImportClimate(_))));
        }
        if ctx.input(|i| i.viewport().close_requested()) && !self.shell.may_close && self.bench.document().is_changed() {
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
            actions.push(Action::Leave(Next::Close));
        }
        match self.pages.page {
            Page::Depth if self.windows.dialog.is_none() => self.pages.depth.keys(&ctx),
            Page::Depth | Page::Studies => {}
            Page::Bench => actions.extend(self.pages.tracks.follow(&ctx, self.bench.steps)),
        }
        // What keys and a held event ask for is done before anything is drawn: this frame shows it.
        for action in actions {
            self.carry_out(&ctx, action);
        }
        self.bench.follow(&ctx);
        self.follow_draft();
        self.studies.follow(self.bench.documents());
        self.follow_others();
        self.follow_opening();
        self.follow_saving(&ctx);
        self.follow_elsewhere(&ctx);
        self.follow_export();
        let mut asked = panels::show(ui, &mut self.shell, &mut self.pages, (&self.bench, &self.studies), &self.disk);
        change_log::show(&ctx, self.bench.document(), &mut self.windows.log_open, &mut asked);
        exactness::show(&ctx, &self.bench, &mut asked);
        // While a series is being tried, places in the schedule are not the document's.
        if self.pages.page == Page::Bench && !matches!(self.windows.dialog, Some(Dialog::Series(_))) {
            self.windows.editor.show(&ctx, &self.bench, &mut asked);
        }
        self.answer_dialog(&ctx);
        self.shell.ring.follow(&ctx);
        self.shell.ring.show(&ctx, Tracks::event_with_focus(&ctx, &self.bench).is_some());
        for action in asked {
            if self.carry_out(&ctx, action) {
                ctx.request_repaint();
            }
        }
        self.keep_recovery();
        self.shell.show_title(&ctx, self.bench.document(), self.disk.path.as_deref());
        self.shell.typing = ctx.text_edit_focused();
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        // The window only closes with all saved, or with the changes given up on purpose.
        self.shell.saving.finish();
        self.disk.recovery.finish(true);
    }
}

/// A file dropped on the window: a scenario, or a climate log by its ending.
fn dropped(ctx: &egui::Context) -> Option<Action> {
    let path = ctx.input(|i| i.raw.dropped_files.first().map(|f| f.path().to_path_buf()))?;
    let is_log = path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("csv"));
    Some(if is_log { Action::ImportClimate(Some(path)) } else { Action::Dropped(path) })
}

/// Opens the window, with a scenario file or with the first demo, and returns when it is closed.
///
/// # Errors
/// What the system says when it cannot open a window.
pub fn run(path: Option<PathBuf>) -> Result<(), String> {
    let viewport = egui::ViewportBuilder::default()
        .with_title("Slakeline")
        .with_app_id("slakeline")
        .with_inner_size([1280.0, 800.0])
        .with_min_inner_size([800.0, 520.0])
        .with_drag_and_drop(true);
    // Without its picture the window opens all the same.
    let viewport = match eframe::icon_data::from_png_bytes(ICON) {
        Ok(icon) => viewport.with_icon(icon),
        Err(_) => viewport,
    };
    // The toolkit keeps the window's place in a file of its own, and would wait for ever for a pipe of that name.
    let usual = eframe::storage_dir("slakeline").map(|folder| folder.join("app.ron"));
    let persistence_path = usual.filter(|path| is_no_file(path)).map(|path| path.with_file_name("app-place.ron"));
    let options = eframe::NativeOptions { viewport, persistence_path, ..Default::default() };
    let create = move |cc: &eframe::CreationContext<'_>| {
        let app = App::new(cc, AppOptions { path, data_folder: None });
        Ok(Box::new(app) as Box<dyn eframe::App>)
    };
    eframe::run_native("slakeline", options, Box::new(create))
        .map_err(|e| format!("no window can be opened: {e}. Without a display, the commands still work: try `slakeline simulate FILE`."))
}
