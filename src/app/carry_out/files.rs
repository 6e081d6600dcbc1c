//! Opens scenario files and puts benches in place of each other, and keeps every change against a crash.

use std::path::Path;
use std::sync::Arc;

use crate::app::state::left_work::About;
use crate::app::state::notice::Notice;
use crate::app::state::opening::{self, Opened, Source};
use crate::app::state::recovery::Kept;
use crate::app::window::App;
use crate::app::windows::dialog::Dialog;
use crate::edits::document::Document;
use crate::jobs::Broken;
use crate::scenario::file::{self, FileError};

impl App {
    /// Opens a file, unsaved changes or not: at once, or beside the frames where it takes longer; then the bench stays as it is until it is
    /// there. What cannot be opened is told in the window. False where that is known at once.
    pub fn open(&mut self, path: &Path) -> bool {
        self.open_from(path, Source { path: Some(path.to_path_buf()), ..Source::default() })
    }

    /// Reads a file and puts what is in it on the bench, as what it is.
    pub(in crate::app) fn open_from(&mut self, path: &Path, source: Source) -> bool {
        if opening::is_long(path)
            && let Some(wake) = self.bench.wake()
        {
            let order = self.bench.order_anew(Arc::clone(self.bench.document().scenario()));
            if self.disk.opening.read(&wake, path, source.clone(), order, self.bench.document().generation()) {
                return true;
            }
        }
        match file::load_known(path, self.bench.library()) {
            Ok((scenario, _)) if source.left.is_some() => self.put_on_bench(Document::unsaved(scenario), source),
            Ok((scenario, known)) => {
                let (document, source) = (Document::opened(scenario), Source { known: Some(known), ..source });
                if source.as_change { self.take_theirs(&document, source) } else { self.put_on_bench(document, source) }
            }
            Err(e) => {
                self.cannot_open(path, &e);
                return false;
            }
        }
        true
    }

    fn cannot_open(&mut self, path: &Path, e: &FileError) {
        if !path.exists() {
            self.disk.recent.forget(path);
        }
        self.windows.dialog = Some(Dialog::Failed { cause: e.to_string(), remedy: e.remedy().to_owned() });
    }

    /// Takes what was opened beside the frames.
    pub(in crate::app) fn follow_opening(&mut self) {
        match self.disk.opening.take(self.bench.document().generation()) {
            None => {}
            Some(Opened::Done { document, computed: Some(computed), source }) => {
                self.bench.replace_computed(document, *computed);
                self.has_come(source);
            }
            Some(Opened::Done { document, computed: None, source }) => self.take_theirs(&document, source),
            Some(Opened::Failed { error, path }) => self.cannot_open(&path.unwrap_or_default(), &error),
            Some(Opened::Overtaken(name)) => {
                self.shell.notice =
                    Some(Notice::refusal(format!("{name} was not opened, for the bench was changed meanwhile. Open it again.")));
            }
            Some(Opened::Broken(broken)) => self.tell_broken(&broken, "The bench is as it was."),
        }
        if let Some((broken, became)) = self.bench.broken() {
            self.tell_broken(&broken, became);
        }
    }

    pub(in crate::app) fn tell_broken(&mut self, broken: &Broken, became: &str) {
        let text = format!("{broken}. {became} The program is at fault. Please report it with the scenario file.");
        self.shell.notice = Some(Notice::lasting(text));
    }

    /// Puts a document on the bench in place of the one that is there, as soon as it is computed.
    pub(in crate::app) fn put_on_bench(&mut self, document: Document, source: Source) {
        self.disk.opening.cancel();
        if !self.bench.is_quick(document.scenario(), None)
            && let Some(wake) = self.bench.wake()
        {
            let order = self.bench.order_anew(Arc::clone(document.scenario()));
            if self.disk.opening.compute(&wake, document.clone(), source.clone(), order, self.bench.document().generation()) {
                return;
            }
        }
        self.bench.replace(document);
        self.has_come(source);
    }

    /// What is to be done once another document is on the bench.
    fn has_come(&mut self, source: Source) {
        self.disk.recent.put_on_bench(source.path.as_deref());
        self.pages.tracks.let_go();
        self.shell.notice = None;
        self.disk.recovered_generation = None;
        if let Some(left) = &source.left {
            self.has_taken_up(left);
        }
        self.is_now_in(source.path, source.known, true);
    }

    /// Writes the recovery file when the document has changed since the last frame.
    pub(in crate::app) fn keep_recovery(&mut self) {
        let document = self.bench.document();
        if self.disk.recovered_generation != Some(document.generation()) {
            self.disk.recovered_generation = Some(document.generation());
            let kept = document.is_changed().then(|| Kept { scenario: Arc::clone(document.scenario()), about: self.about() });
            self.disk.recovery.keep(kept);
        }
        if let Some(cause) = self.disk.recovery.failure() {
            self.shell.notice = Some(Notice::lasting(format!("Changes cannot be kept against a crash: {cause}. Save often.")));
        }
    }

    /// What is told of the bench where another window finds its recovery file.
    fn about(&self) -> About {
        let document = self.bench.document();
        let scenario = document.scenario();
        let last = document.next_undo().map(|edit| edit.name.clone()).unwrap_or_default();
        About {
            bench: scenario.name.clone(),
            file: self.disk.path.clone(),
            known: self.disk.known,
            size: (scenario.lanes.len(), scenario.days),
            changes: (document.log().len(), last),
        }
    }
}

#[cfg(test)]
mod tests {
    use std::thread::sleep;
    use std::time::{Duration, Instant};

    use eframe::egui::vec2;
    use egui_kittest::Harness;
    use egui_kittest::kittest::Queryable;

    use crate::app::state::days::Days;
    use crate::app::{App, AppOptions};
    use crate::edits::schedule_edit::EventEdit;
    use crate::scenario::{Scenario, file, presets};

    type Window = Harness<'static, App>;

    /// Frame by frame, until something is so.
    fn until(window: &mut Window, is_so: impl Fn(&Window) -> bool) {
        let began = Instant::now();
        while !is_so(window) {
            assert!(began.elapsed() < Duration::from_secs(120));
            sleep(Duration::from_millis(5));
            window.step();
        }
    }

    fn says(window: &Window, what: &str) -> bool {
        window.query_all_by_label_contains(what).next().is_some()
    }

    /// What is on the bench: the document, and the picture of it.
    fn bench(window: &Window) -> (Scenario, u64) {
        (Scenario::clone(window.state().document().scenario()), window.state().run().stamp)
    }

    #[test]
    fn work_that_breaks_off_is_told_by_its_name_and_the_bench_lives_on() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("long.ron");
        let scenario = Scenario { days: 60, ..presets::demos().remove(0).1 };
        file::save(&scenario, &path).unwrap();
        let options = AppOptions { path: Some(path.clone()), data_folder: Some(folder.path().to_path_buf()) };
        let mut window: Window = Harness::builder().with_size(vec2(1280.0, 800.0)).build_eframe(move |cc| App::new(cc, options));
        until(&mut window, |w| !w.state().is_computing());
        window.state_mut().bench.show_days(Days::One(59));
        until(&mut window, |w| !w.state().is_computing());
        let before = bench(&window);
        assert_eq!(before.0.days, 60);
        let gone = "the demand is gone";
        let fewer = |s: &Scenario| {
            let mut fewer = s.clone();
            fewer.valves[0].schedule.remove(0);
            fewer
        };

        // A change: it is taken back, and can be made again.
        window.state_mut().bench.spoil_workshop(true);
        window.state_mut().bench.apply("Fewer events".to_owned(), fewer(&before.0));
        assert!(window.state().bench.is_behind());
        until(&mut window, |w| says(w, "Computing the bench broke off"));
        assert!(says(&window, gone) && says(&window, "Redo makes it again"));
        assert_eq!(bench(&window), before);
        assert!(window.state().document().next_redo().is_some_and(|edit| edit.name == "Fewer events"));

        // A change that is tried: it is dropped.
        window.state_mut().shell.notice = None;
        window.step();
        assert!(window.state_mut().bench.try_event(&EventEdit::Volume { index: 0, ml: 300.0 }));
        until(&mut window, |w| says(w, "Computing the bench broke off"));
        assert!(!window.state().bench.is_trying() && bench(&window) == before);

        // The settled day: why it is not found stands where it was asked for.
        window.state_mut().bench.show_days(Days::Settled);
        until(&mut window, |w| w.state().bench.settling_failed().is_some());
        window.step();
        assert!(says(&window, "Finding the settled day broke off: the demand is gone"));
        window.state_mut().bench.show_days(Days::One(59));

        // Another bench: the one before stays.
        window.state_mut().shell.notice = None;
        window.step();
        assert!(window.state_mut().open(&path));
        until(&mut window, |w| says(w, "Opening the bench broke off"));
        assert_eq!(bench(&window), before);

        // And all of it works as soon as nothing breaks.
        window.state_mut().bench.spoil_workshop(false);
        window.state_mut().bench.step_back(true);
        until(&mut window, |w| !w.state().is_computing());
        assert!(bench(&window).0 == fewer(&before.0) && bench(&window).1 != before.1 && window.state().run().is_whole());
    }
}
