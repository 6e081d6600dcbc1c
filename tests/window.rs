//! The real program in a real window: a bar is dragged with the mouse, Ctrl-S is pressed, and the file is read again.
//!
//! Runs only with `SLAKELINE_WINDOW_TEST` set, for it needs an X server of its own and the tools that drive it (Debian:
//! `xvfb xdotool` and what the window itself needs). Set, a missing tool is a failure.
#![cfg(target_os = "linux")]
#![allow(clippy::unwrap_used)]

use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

use slakeline::scenario::presets::{self, Library};
use slakeline::scenario::{Scenario, file};

/// A program that ends with the test.
struct Started(Child);

impl Drop for Started {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn start(command: &mut Command) -> Started {
    let name = format!("{:?}", command.get_program());
    Started(
        command
            .stdin(Stdio::null())
            .spawn()
            .unwrap_or_else(|e| panic!("{name} cannot be started: {e}. On Debian: apt install xvfb xdotool")),
    )
}

/// A display of its own: the server picks a free number and tells it.
fn server(folder: &Path) -> (Started, String) {
    let told = folder.join("display");
    let out = std::fs::File::create(&told).unwrap();
    let mut command = Command::new("Xvfb");
    command
        .args(["-displayfd", "1", "-screen", "0", "1280x800x24", "+extension", "GLX", "-nolisten", "tcp"])
        .stdout(out)
        .stderr(Stdio::null());
    let server = start(&mut command);
    let number = wait_for("the display", || {
        let text = std::fs::read_to_string(&told).ok()?;
        text.ends_with('\n').then(|| text.trim().to_owned())
    });
    (server, format!(":{number}"))
}

fn wait_for<T>(what: &str, mut look: impl FnMut() -> Option<T>) -> T {
    let began = Instant::now();
    loop {
        if let Some(found) = look() {
            return found;
        }
        assert!(began.elapsed() < Duration::from_secs(60), "{what} did not come within a minute");
        sleep(Duration::from_millis(100));
    }
}

/// One order to the mouse, the keyboard or the windows, and what it says.
fn order(display: &str, words: &[&str]) -> String {
    let done = Command::new("xdotool").args(words).env("DISPLAY", display).output();
    let done = done.unwrap_or_else(|e| panic!("xdotool cannot be started: {e}. On Debian: apt install xdotool"));
    // The toolkit needs a frame between one order and the next.
    sleep(Duration::from_millis(120));
    String::from_utf8_lossy(&done.stdout).trim().to_owned()
}

fn saved(path: &Path) -> Option<Scenario> {
    file::load(path, &Library::shipped()).ok()
}

#[test]
fn a_bar_dragged_in_a_real_window_is_in_the_file() {
    if std::env::var_os("SLAKELINE_WINDOW_TEST").is_none() {
        println!("skipped: set SLAKELINE_WINDOW_TEST=1 to drive the real window (needs xvfb and xdotool)");
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bench.ron");
    let before = presets::demos().remove(0).1;
    file::save(&before, &path).unwrap();
    let (_server, display) = server(folder.path());
    let mut program = Command::new(env!("CARGO_BIN_EXE_slakeline"));
    program.arg(&path).env("DISPLAY", &display).env_remove("WAYLAND_DISPLAY").env_remove("WAYLAND_SOCKET");
    for place in ["XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_RUNTIME_DIR"] {
        program.env(place, folder.path());
    }
    let _program = start(program.env("LIBGL_ALWAYS_SOFTWARE", "1"));
    let window = wait_for("the window", || {
        let found = order(&display, &["search", "--onlyvisible", "--name", "Slakeline"]);
        found.lines().next().map(str::to_owned)
    });
    sleep(Duration::from_millis(1500));
    order(&display, &["windowfocus", "--sync", &window]);

    // Where bars stand is read from the screen's own layout: the clock runs over the room between the panels.
    let index = 5;
    let moved = drag_event(&display, &window, &before, index);
    order(&display, &["key", "ctrl+s"]);
    let after = wait_for("the changed file", || saved(&path).filter(|s| s.valves[0].schedule != before.valves[0].schedule));
    assert_eq!(after.valves[0].schedule.len(), before.valves[0].schedule.len());
    for (k, (a, b)) in before.valves[0].schedule.iter().zip(&after.valves[0].schedule).enumerate() {
        if k == index {
            let minutes = (b.start_s() - a.start_s()) / 60.0;
            assert!((minutes - moved).abs() <= 6.0, "moved by {minutes} min, dragged by {moved}");
            assert_eq!((a.seconds, a.give), (b.seconds, b.give));
        } else {
            assert_eq!(a, b, "event {k} was not touched");
        }
    }
    let only_schedule = Scenario { valves: before.valves.clone(), ..after };
    assert_eq!(only_schedule, before, "nothing but the schedule changed");
}

/// Drags an event half an hour back, and tells the minutes it was dragged by. The same app, drawn without a window at the
/// same size, tells where its bar stands.
fn drag_event(display: &str, window: &str, scenario: &Scenario, index: usize) -> f64 {
    use eframe::egui::{accesskit::Role, vec2};
    use egui_kittest::{Harness, kittest::Queryable};
    use slakeline::app::{App, AppOptions};
    let data = tempfile::tempdir().unwrap();
    let path = data.path().join("same.ron");
    file::save(scenario, &path).unwrap();
    let options = AppOptions { path: Some(path), data_folder: Some(data.path().to_path_buf()) };
    let mut twin = Harness::builder().with_size(vec2(1280.0, 800.0)).build_eframe(move |cc| App::new(cc, options));
    twin.run();
    let at = |k: usize| {
        let start = scenario.valves[0].schedule[k].start;
        twin.get_by_role_and_label(Role::Slider, &format!("Event {start}")).rect().center()
    };
    let from = at(index);
    let minutes_between = (scenario.valves[0].schedule[index].start_s() - scenario.valves[0].schedule[index - 1].start_s()) / 60.0;
    let per_point = minutes_between / f64::from(from.x - at(index - 1).x);
    let by = -(30.0 / per_point).round();
    let place = |x: f64| [format!("{:.0}", f64::from(from.x) + x), format!("{:.0}", from.y)];
    let go = |x: f64| {
        let [x, y] = place(x);
        order(display, &["mousemove", "--window", window, &x, &y]);
    };
    go(0.0);
    order(display, &["mousedown", "1"]);
    for k in 1..=6 {
        go(by * f64::from(k) / 6.0);
    }
    order(display, &["mouseup", "1"]);
    by * per_point
}
