//! Writes results of the bench to files, as commands do.

use std::path::Path;
use std::sync::Arc;

use eframe::egui::Context;

use crate::app::state::exporting::{Exported, Exports};
use crate::app::state::notice::Notice;
use crate::app::state::waking;
use crate::app::window::App;
use crate::app::windows::dialog::Dialog;
use crate::app::windows::files::{Purpose, suggested_results};

impl App {
    /// Asks in the system's dialog where the results are to go.
    pub(in crate::app) fn choose_export(&mut self, ctx: &Context, results: Exports) {
        let name = suggested_results(self.bench.document().scenario(), results);
        let folder = self.disk.path.as_deref().and_then(Path::parent);
        self.windows.picker.show(&waking::by(ctx), Purpose::Results(results, None), folder, &name);
    }

    /// Begins to write them. A file that is there is replaced where whoever named it was asked (`consented`), or names it again (`over`).
    pub(in crate::app) fn export_to(&mut self, ctx: &Context, exports: Exports, path: &Path, (consented, over): (bool, Option<&Path>)) {
        if self.is_own(path) {
            let cause = format!("{} is the bench itself, which the results would overwrite", path.display());
            self.windows.dialog = Some(Dialog::Failed { cause, remedy: "Give the results a name of their own.".to_owned() });
            return;
        }
        if path.exists() && !consented && over != Some(path) {
            let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
            let why = format!("{name} is there already. Export once more to replace it, or give another name.");
            let purpose = Purpose::Results(exports, Some(path.to_path_buf()));
            self.windows.dialog = Some(Dialog::Path { purpose, text: path.display().to_string(), why });
            return;
        }
        let (scenario, library) = (Arc::clone(self.bench.document().scenario()), Arc::clone(self.bench.library()));
        let (exporting, wake) = (&mut self.disk.exporting, waking::by(ctx));
        let begun = match exports {
            Exports::Bench(results) => exporting.begin(&wake, results, path, scenario, library),
            Exports::Answer(study, form) => match self.studies.document(study, form, &library) {
                Some(document) => exporting.answer(&wake, exports, path, document),
                None => {
                    self.shell.notice =
                        Some(Notice::refusal(format!("The answer is gone with its bench: ask for the {} again.", study.what())));
                    return;
                }
            },
        };
        if let Err(broken) = begun {
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
    use std::ffi::OsString;
    use std::path::Path;
    use std::thread::sleep;
    use std::time::{Duration, Instant};

    use eframe::egui::vec2;
    use egui_kittest::Harness;
    use egui_kittest::kittest::Queryable;

    use crate::app::state::exporting::Exports;
    use crate::app::state::studies::{Question, Study, THE_BENCH};
    use crate::app::{App, AppOptions};
    use crate::scenario::{Scenario, file, presets};
    use crate::sheet::answers::Form;
    use crate::sheet::made::Results;
    use crate::studies::flush::Rinse;
    use crate::studies::spread::Ask;
    use crate::studies::{choose, finder};

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
        window.state_mut().export_to(&ctx, Exports::Bench(results), to, (consented, None));
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

    /// Of each study, asked as its page asks it and as its command does.
    #[test]
    fn answers_that_the_window_exports_are_to_the_byte_what_commands_write() {
        let data = tempfile::tempdir().unwrap();
        // A block alone: it settles within days.
        let mut bench = Scenario { days: 1, ..presets::demos().remove(2).1 };
        bench.lanes.remove(0);
        let mut window = window(data.path(), &bench);
        let place = |name: &str| data.path().join(name);
        let other = Scenario { days: 2, ..bench.clone() };
        file::save(&other, &place("other.ron")).unwrap();
        let few = choose::Asked { media: vec!["coir pith".to_owned()], litres: vec![2.0, 4.0], ..choose::Asked::of(&bench, 0) };
        let asked: [(Study, Question, &[&str]); 6] = [
            (Study::Grace, Question::Grace, &["grace", "bench.ron"]),
            (Study::Flush, Question::Flush(Rinse { to: 1.5, with: 0.4 }), &["flush", "bench.ron", "--to", "1.5", "--rinse", "0.4"]),
            (Study::Spread, Question::Spread(Ask { members: 60, ..Ask::default() }), &["spread", "bench.ron", "--members", "60"]),
            (Study::Choice, Question::Choice(few), &["choose", "bench.ron", "--medium", "coir pith", "--litres", "2,4"]),
            (Study::Schedule, Question::Schedule(finder::Asked::within_the_light(&bench)), &["find-schedule", "bench.ron"]),
            (
                Study::Compare,
                Question::Compare(vec![('B', place("other.ron").display().to_string(), std::sync::Arc::new(other))]),
                &["compare", "bench.ron", "other.ron"],
            ),
        ];
        for (study, question, command) in asked {
            let ctx = window.ctx.clone();
            window.state_mut().ask(&ctx, question);
            let began = Instant::now();
            while window.state().studies.is_working() {
                assert!(began.elapsed() < Duration::from_secs(300), "{study:?}");
                sleep(Duration::from_millis(5));
                window.step();
            }
            for (form, option) in [(Form::Csv, "--csv"), (Form::Json, "--json")] {
                window.state_mut().export_to(&ctx, Exports::Answer(study, form), &place("window"), (true, None));
                finish(&mut window);
                assert!(says(&window, "Exported to "), "{study:?}");
                let of = |word: &&str| if word.ends_with(".ron") { place(word).into_os_string() } else { OsString::from(*word) };
                let words = command.iter().map(of).chain([option.into(), place("command").into_os_string()]);
                let _ = crate::cli::main(std::iter::once(OsString::from("slakeline")).chain(words));
                let (ours, theirs) = (std::fs::read(place("window")).unwrap(), std::fs::read(place("command")).unwrap());
                // The bench on the window has no path of its own in an answer.
                let ours = String::from_utf8(ours).unwrap().replace(THE_BENCH, &place("bench.ron").display().to_string());
                assert!(ours.len() > 100 && ours.as_bytes() == theirs, "{option} of {study:?}: {ours}");
                std::fs::remove_file(place("command")).unwrap();
            }
        }
        // With another bench there is nothing left to export.
        window.state_mut().studies.follow(u64::MAX);
        let ctx = window.ctx.clone();
        window.state_mut().export_to(&ctx, Exports::Answer(Study::Grace, Form::Csv), &place("none.csv"), (true, None));
        finish(&mut window);
        assert!(says(&window, "ask for the grace times again") && !place("none.csv").exists());
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
