//! Writes results of the bench to files, as commands do.

use std::path::Path;
use std::sync::Arc;

use eframe::egui::Context;

use crate::app::state::exporting::Exported;
use crate::app::state::notice::Notice;
use crate::app::state::waking;
use crate::app::window::App;
use crate::app::windows::dialog::Dialog;
use crate::app::windows::files::{Purpose, suggested_results};
use crate::sheet::made::Results;

impl App {
    /// Asks in the system's dialog where the results are to go.
    pub(in crate::app) fn choose_export(&mut self, ctx: &Context, results: Results) {
        let name = suggested_results(self.bench.document().scenario(), results);
        let folder = self.disk.path.as_deref().and_then(Path::parent);
        self.windows.picker.show(&waking::by(ctx), Purpose::Results(results, None), folder, &name);
    }

    /// Begins to write them. A file that is there is replaced where whoever named it was asked (`consented`), or names it again (`over`).
    pub(in crate::app) fn export_to(&mut self, ctx: &Context, results: Results, path: &Path, (consented, over): (bool, Option<&Path>)) {
        if self.is_own(path) {
            let cause = format!("{} is the bench itself, which the results would overwrite", path.display());
            self.windows.dialog = Some(Dialog::Failed { cause, remedy: "Give the results a name of their own.".to_owned() });
            return;
        }
        if path.exists() && !consented && over != Some(path) {
            let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
            let why = format!("{name} is there already. Export once more to replace it, or give another name.");
            let purpose = Purpose::Results(results, Some(path.to_path_buf()));
            self.windows.dialog = Some(Dialog::Path { purpose, text: path.display().to_string(), why });
            return;
        }
        let (scenario, library) = (Arc::clone(self.bench.document().scenario()), Arc::clone(self.bench.library()));
        if let Err(broken) = self.disk.exporting.begin(&waking::by(ctx), results, path, scenario, library) {
            self.tell_broken(&broken, "Nothing was exported.");
        }
    }

    /// Tells what came of an export.
    pub(in crate::app) fn follow_export(&mut self) {
        match self.disk.exporting.take() {
            None => {}
            Some(Exported::Done(path, None)) => self.shell.notice = Some(Notice::passing(format!("Exported to {}.", path.display()))),
            Some(Exported::Done(path, Some(wrong))) => {
                let text = format!("Exported to {}, but the run failed: {wrong}. Do not rely on its figures.", path.display());
                self.shell.notice = Some(Notice::lasting(text));
            }
            Some(Exported::Failed(cause, remedy)) => self.windows.dialog = Some(Dialog::Failed { cause, remedy }),
            Some(Exported::Broken(broken)) => self.tell_broken(&broken, "Nothing was exported."),
        }
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;
    use std::thread::sleep;
    use std::time::{Duration, Instant};

    use eframe::egui::vec2;
    use egui_kittest::Harness;
    use egui_kittest::kittest::Queryable;

    use crate::app::{App, AppOptions};
    use crate::scenario::{Scenario, file, presets};
    use crate::sheet::made::Results;

    type Window = Harness<'static, App>;

    fn window(data: &Path, scenario: &Scenario) -> Window {
        let path = data.join("bench.ron");
        file::save(scenario, &path).unwrap();
        let options = AppOptions { path: Some(path), data_folder: Some(data.to_path_buf()) };
        let mut window: Window = Harness::builder().with_size(vec2(1280.0, 800.0)).build_eframe(move |cc| App::new(cc, options));
        finish(&mut window);
        window
    }

    fn finish(window: &mut Window) {
        let began = Instant::now();
        window.step();
        while window.state().is_computing() {
            assert!(began.elapsed() < Duration::from_secs(300));
            sleep(Duration::from_millis(5));
            window.step();
        }
        window.step();
    }

    fn export(window: &mut Window, results: Results, to: &Path, consented: bool) {
        let ctx = window.ctx.clone();
        window.state_mut().export_to(&ctx, results, to, (consented, None));
        finish(window);
    }

    fn says(window: &Window, what: &str) -> bool {
        window.query_all_by_label_contains(what).next().is_some()
    }

    #[test]
    fn what_the_window_exports_is_to_the_byte_what_commands_write() {
        let data = tempfile::tempdir().unwrap();
        let place = |name: &str| data.path().join(name);
        // One lane and several; with events that hang on what happens, and a tank.
        let demos = presets::demos();
        let with_rules = demos.iter().position(|(_, s)| s.all_rules().count() > 0 && s.tank.is_some());
        let with_rules = with_rules.or_else(|| demos.iter().position(|(_, s)| s.all_rules().count() > 0)).unwrap();
        for (_, scenario) in [&demos[0], &demos[with_rules]] {
            let mut window = window(data.path(), scenario);
            for (results, option) in [(Results::Series, "--series"), (Results::Figures, "--figures")] {
                export(&mut window, results, &place("window"), true);
                assert!(says(&window, "Exported to "), "{option}");
                let arguments = ["slakeline", "simulate", "FILE", option, "OUT"].map(|word| match word {
                    "FILE" => place("bench.ron").into_os_string(),
                    "OUT" => place("command").into_os_string(),
                    word => word.into(),
                });
                let _ = crate::cli::main(arguments);
                let (ours, theirs) = (std::fs::read(place("window")).unwrap(), std::fs::read(place("command")).unwrap());
                assert!(ours.len() > 10_000 && ours == theirs, "{option} of {}", scenario.name);
                std::fs::remove_file(place("command")).unwrap();
            }
        }
    }

    #[test]
    fn an_export_replaces_no_file_unasked_and_never_the_bench() {
        let data = tempfile::tempdir().unwrap();
        let mut window = window(data.path(), &Scenario { days: 1, ..presets::demos().remove(0).1 });
        let (bench, there) = (data.path().join("bench.ron"), data.path().join("there.csv"));
        let before = std::fs::read(&bench).unwrap();
        export(&mut window, Results::Series, &bench, true);
        assert!(says(&window, "is the bench itself") && std::fs::read(&bench).unwrap() == before);
        window.state_mut().windows.dialog = None;
        std::fs::write(&there, "mine").unwrap();
        export(&mut window, Results::Series, &there, false);
        assert!(says(&window, "there.csv is there already") && std::fs::read_to_string(&there).unwrap() == "mine");
        // Named once more it is.
        window.get_by_label("Export").click();
        finish(&mut window);
        assert!(std::fs::read_to_string(&there).unwrap().starts_with("time_h,"));
        // What cannot be written is told.
        export(&mut window, Results::Series, &data.path().join("none/a.csv"), false);
        assert!(says(&window, "there is no folder"));
    }
}
