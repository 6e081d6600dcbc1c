//! Opens the small window for a climate log, and does what it asks for.

use std::path::Path;
use std::sync::Arc;

use eframe::egui::Context;

use crate::app::actions::action::Action;
use crate::app::state::notice::Notice;
use crate::app::state::waking;
use crate::app::window::App;
use crate::app::windows::climate_import::{Asked, ClimateForm, Request};
use crate::app::windows::dialog::Dialog;
use crate::app::windows::files::Purpose;
use crate::edits::climate_use;

impl App {
    /// Begins to read a log: this one, or one that is chosen in the system's dialog first.
    pub(in crate::app) fn import_climate(&mut self, ctx: &Context, path: Option<&Path>) {
        let Some(path) = path else {
            self.windows.picker.show(&waking::by(ctx), Purpose::Climate, self.disk.path.as_deref().and_then(Path::parent), "");
            return;
        };
        self.pages.tracks.let_go();
        self.bench.drop_trial();
        self.windows.dialog = Some(Dialog::Climate(Box::new(ClimateForm::new(path))));
        self.read_climate(ctx);
    }

    /// The path of the log that is being read, to be corrected when it is typed.
    pub(in crate::app) fn climate_path(&self) -> String {
        if let Some(Dialog::Climate(form)) = &self.windows.dialog { form.path().display().to_string() } else { String::new() }
    }

    fn read_climate(&mut self, ctx: &Context) {
        let Some(Dialog::Climate(form)) = &mut self.windows.dialog else { return };
        let request = Request {
            path: form.path().to_path_buf(),
            options: form.options().clone(),
            scenario: Arc::clone(self.bench.document().scenario()),
            library: Arc::clone(self.bench.library()),
        };
        form.waits_for(self.windows.climate_reader.ask(&waking::by(ctx), request));
    }

    /// Tells what a climate that was just set does to lanes whose use is measured, after what is told anyway.
    pub(in crate::app) fn tell_measured_use(&mut self, told: Option<String>) {
        let measured = climate_use::told(self.bench.document().scenario(), self.bench.library());
        match (told, measured) {
            (told, Some(measured)) => {
                let text = told.map_or_else(|| measured.clone(), |told| format!("{told} {measured}"));
                self.shell.notice = Some(Notice::of_measured_use(text));
            }
            (Some(told), None) => self.shell.notice = Some(Notice::passing(told)),
            (None, None) => {}
        }
    }

    /// Computes the use of those lanes from the climate, as one step.
    pub(in crate::app) fn compute_use(&mut self) {
        if let Some((name, after)) = climate_use::computed(self.bench.document().scenario(), self.bench.library()) {
            self.shell.notice = Some(Notice::passing(format!("{name}: done. It is ±30 % until you scale it to what you measure.")));
            self.bench.apply(name, after);
        }
    }

    /// Draws the window and does what was asked for.
    pub(in crate::app) fn answer_climate(&mut self, ctx: &Context) {
        let found = self.windows.climate_reader.take();
        let Some(Dialog::Climate(form)) = &mut self.windows.dialog else { return };
        if let Some((number, answer)) = found {
            form.take(number, answer);
        }
        match form.show(ctx, self.bench.document().scenario(), self.bench.library(), self.bench.units) {
            Asked::Nothing => return,
            Asked::Read => self.read_climate(ctx),
            Asked::Another => {
                self.carry_out(ctx, Action::ImportClimate(None));
            }
            Asked::Take(name, scenario) => {
                self.windows.dialog = None;
                let told = format!("{name}: done. Undo brings back what was before.");
                self.bench.apply(name, *scenario);
                self.tell_measured_use(Some(told));
            }
            Asked::Cancel => {
                self.windows.climate_reader.cancel();
                self.windows.dialog = None;
            }
        }
        ctx.request_repaint();
    }
}
