//! Holds states and files beside the bench, and opens them in its place.

use std::path::Path;
use std::sync::Arc;

use eframe::egui::Context;

use crate::app::actions::action::WithOther;
use crate::app::state::notice::Notice;
use crate::app::state::others::{Failed, MOST, Whence};
use crate::app::state::waking;
use crate::app::window::App;
use crate::app::windows::dialog::Dialog;
use crate::app::windows::files::Purpose;
use crate::scenario::Scenario;

impl App {
    /// Holds the bench as it stands beside it.
    pub(in crate::app) fn keep_state(&mut self, name: String) {
        let (after, scenario) = (self.bench.stands_after(), Arc::clone(self.bench.document().scenario()));
        if !self.bench.others.keep(name, after, scenario) {
            self.tell_no_room();
        }
    }

    fn tell_no_room(&mut self) {
        self.shell.notice = Some(Notice::refusal(format!("{MOST} states are held beside the bench already. Remove one of them first.")));
    }

    /// Asks in the system's dialog for a file to be held beside the bench.
    pub(in crate::app) fn choose_other(&mut self, ctx: &Context) {
        if self.bench.others.has_room() {
            let folder = self.disk.path.as_deref().and_then(Path::parent);
            self.windows.picker.show(&waking::by(ctx), Purpose::Beside, folder, "");
        } else {
            self.tell_no_room();
        }
    }

    /// Begins to read a file that is to be held beside the bench.
    pub(in crate::app) fn read_other(&mut self, ctx: &Context, path: &Path) {
        if !self.bench.others.has_room() && !self.bench.others.holds(path) {
            return self.tell_no_room();
        }
        let library = Arc::clone(self.bench.library());
        if let Err(broken) = self.bench.others.read(&waking::by(ctx), path, &library) {
            self.tell_broken(&broken, "Nothing was read.");
        }
    }

    /// Does something with one that is held.
    pub(in crate::app) fn with_other(&mut self, ctx: &Context, id: u64, with: WithOther) {
        let Some(other) = self.bench.others.get(id) else { return };
        match with {
            WithOther::Compare(on) => self.bench.others.compare(id, on),
            WithOther::Draw(on) => self.bench.others.show(id, on),
            WithOther::Remove => self.bench.others.remove(id),
            WithOther::ReadAgain => {
                if let Whence::File(path, _) = other.from.clone() {
                    self.read_other(ctx, &path);
                }
            }
            WithOther::Open => {
                let (name, scenario) = (other.name.clone(), Scenario::clone(&other.scenario));
                let before = self.bench.document().generation();
                self.pages.tracks.let_go();
                self.bench.apply(format!("Open the state {name}"), scenario);
                let told = if self.bench.document().generation() == before {
                    format!("The bench is like {name} already.")
                } else {
                    format!("{name} is on the bench, as a change of it. Undo brings the one before back.")
                };
                self.shell.notice = Some(Notice::passing(told));
            }
        }
    }

    /// Tells what could not be read or drawn.
    pub(in crate::app) fn follow_others(&mut self) {
        // It waits until the small window that is open is answered.
        if self.windows.dialog.is_some() {
            return;
        }
        match self.bench.others_failed() {
            None => {}
            Some(Failed::File(e)) => {
                self.windows.dialog = Some(Dialog::Failed { cause: e.to_string(), remedy: e.remedy().to_owned() });
            }
            Some(Failed::Broken(broken)) => self.tell_broken(&broken, "The bench is as it was."),
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
    use crate::scenario::disk::Since;
    use crate::scenario::{Scenario, file, presets};

    type Window = Harness<'static, App>;

    fn until(window: &mut Window, what: &str, is_so: impl Fn(&Window) -> bool) {
        let began = Instant::now();
        while !is_so(window) {
            assert!(began.elapsed() < Duration::from_secs(120), "{what}");
            sleep(Duration::from_millis(5));
            window.step();
        }
        window.step();
        window.step();
    }

    fn says(window: &Window, what: &str) -> bool {
        window.query_all_by_label_contains(what).next().is_some()
    }

    /// The page of comparisons, with a bench of one day.
    fn window(data: &Path) -> Window {
        let (path, scenario) = (data.join("bench.ron"), Scenario { days: 1, ..presets::demos().remove(0).1 });
        file::save(&scenario, &path).unwrap();
        let options = AppOptions { path: Some(path), data_folder: Some(data.to_path_buf()) };
        let mut window: Window = Harness::builder().with_size(vec2(1280.0, 800.0)).build_eframe(move |cc| App::new(cc, options));
        until(&mut window, "it is open", |w| !w.state().is_computing());
        for label in ["Studies", "Compare"] {
            window.get_by_label(label).click();
            window.run();
        }
        window
    }

    fn read(window: &mut Window, path: &Path) {
        let ctx = window.ctx.clone();
        window.state_mut().read_other(&ctx, path);
        until(window, "it is read", |w| !w.state().bench.others.is_reading());
    }

    #[test]
    fn files_beside_the_bench_are_told_when_they_are_bad_or_become_others() {
        let data = tempfile::tempdir().unwrap();
        let mut window = window(data.path());
        let before = (window.state().document().generation(), window.state().run().stamp);
        // None, no text, no scenario, and one with a value that cannot be: each by name and cause, and nothing is held.
        let place = |name: &str| data.path().join(name);
        std::fs::write(place("bytes.ron"), [0xff, 0xfe, 0x00]).unwrap();
        std::fs::write(place("words.ron"), "what is this").unwrap();
        let mut spoilt = presets::demos().remove(1).1;
        spoilt.feed.ec = -3.0;
        std::fs::write(place("spoilt.ron"), file::to_text(&spoilt).unwrap()).unwrap();
        for (name, why) in [("none.ron", "none.ron"), ("bytes.ron", "bytes.ron"), ("words.ron", "words.ron"), ("spoilt.ron", "feed.ec")] {
            read(&mut window, &place(name));
            assert!(says(&window, name) && says(&window, why) && says(&window, "That did not work"), "{name}");
            assert!(window.state().bench.others.list().is_empty(), "{name}");
            window.get_by_label("Close").click();
            window.run();
        }

        let (path, other) = (place("other.ron"), presets::demos().remove(1).1);
        file::save(&other, &path).unwrap();
        read(&mut window, &path);
        assert_eq!(*window.state().bench.others.list()[0].scenario, other);
        // Changed by another program: what was read stands, until it is read again.
        let changed = Scenario { days: other.days + 1, ..other.clone() };
        file::save(&changed, &path).unwrap();
        let since = |w: &Window| w.state().bench.others.list()[0].since;
        until(&mut window, "it has changed", |w| matches!(since(w), Some(Since::Changed(_))));
        assert!(says(&window, "other.ron was changed by another program") && *window.state().bench.others.list()[0].scenario == other);
        window.get_by_label("Read other.ron again").click();
        until(&mut window, "it is read again", |w| since(w).is_none() && !w.state().bench.others.is_reading());
        assert_eq!((window.state().bench.others.list().len(), &*window.state().bench.others.list()[0].scenario), (1, &changed));
        // Gone.
        std::fs::remove_file(&path).unwrap();
        until(&mut window, "it is gone", |w| since(w) == Some(Since::Gone));
        assert!(says(&window, "other.ron is not there any more") && *window.state().bench.others.list()[0].scenario == changed);
        assert_eq!((window.state().document().generation(), window.state().run().stamp), before);
    }
}
