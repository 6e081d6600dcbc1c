//! Opens the small window that starts a lane from a crop, and does what it asks for.

use eframe::egui;

use crate::app::state::notice::Notice;
use crate::app::window::App;
use crate::app::windows::dialog::Dialog;
use crate::app::windows::start_crop::{Asked, Made, StartForm};

impl App {
    /// Opens the window.
    pub(in crate::app) fn ask_for_crop(&mut self) {
        self.pages.tracks.let_go();
        self.bench.drop_trial();
        let form = StartForm::of(self.bench.document().scenario(), self.bench.library());
        self.windows.dialog = Some(Dialog::StartCrop(Box::new(form)));
    }

    /// Draws the window and does what it asks for; true, for it was open.
    pub(in crate::app) fn answer_start_crop(&mut self, ctx: &egui::Context) -> bool {
        let Some(Dialog::StartCrop(form)) = &mut self.windows.dialog else { return true };
        let scenario = self.bench.document().scenario();
        match form.show(ctx, scenario, self.bench.library()) {
            None => return true,
            Some(Asked::Cancel) => {}
            Some(Asked::Do) => match form.made(scenario, self.bench.library(), self.bench.units) {
                Ok(Made { order: Some(order), .. }) => self.draft(ctx, order),
                Ok(made) => {
                    self.bench.apply(made.name, made.after);
                    self.shell.notice = Some(Notice::passing(made.told));
                }
                Err(why) => {
                    // It stays open: nothing chosen is lost.
                    form.why = why;
                    ctx.request_repaint();
                    return true;
                }
            },
        }
        self.windows.dialog = None;
        ctx.request_repaint();
        true
    }
}
