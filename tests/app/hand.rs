//! What the tests of the window share: opening it, clicking, choosing, typing, dropping files.

use std::ops::{Deref, DerefMut};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::thread::sleep;
use std::time::{Duration, Instant};

use eframe::egui::accesskit::Role;
use eframe::egui::{DroppedFile, Event, Key, Modifiers, PointerButton, Popup, Pos2, Rect, Theme, vec2};
use egui_kittest::kittest::{NodeT, Queryable};
use egui_kittest::{Harness, Node};
use slakeline::app::{App, AppOptions};
use slakeline::scenario::{self, Scenario};

/// A window without a display.
pub struct Window(Harness<'static, App>);

impl Deref for Window {
    type Target = Harness<'static, App>;

    fn deref(&self) -> &Self::Target {
        &self.0
    }
}

impl DerefMut for Window {
    fn deref_mut(&mut self) -> &mut Self::Target {
        &mut self.0
    }
}

impl From<Harness<'static, App>> for Window {
    fn from(harness: Harness<'static, App>) -> Self {
        Self(harness)
    }
}

impl Window {
    /// Draws until nothing is drawn anew, and until what was asked for is computed: longer benches are, beside the frames.
    pub fn run(&mut self) {
        self.0.run();
        let began = Instant::now();
        while self.0.state().is_computing() {
            assert!(began.elapsed() < LONG, "it was not computed within {LONG:?}");
            sleep(Duration::from_millis(2));
            self.0.run();
        }
    }
}

/// No test waits longer for anything.
const LONG: Duration = Duration::from_secs(300);

/// Draws frame after frame until something is so, while jobs go on beside them.
pub fn frames_until(window: &mut Window, what: &str, is_so: impl Fn(&Window) -> bool) {
    let began = Instant::now();
    while !is_so(window) {
        assert!(began.elapsed() < LONG, "{what}: not within {LONG:?}");
        sleep(Duration::from_millis(5));
        window.step();
    }
}

/// A window with a data folder of its own, which lasts as long as it does.
pub struct OwnWindow {
    pub harness: Window,
    pub data: tempfile::TempDir,
}

/// How a window with a folder of its own starts.
pub struct Start {
    pub path: Option<PathBuf>,
    pub size: [f32; 2],
    pub theme: Option<Theme>,
    pub pixels: f32,
}

impl Default for Start {
    fn default() -> Self {
        Self { path: None, size: [1280.0, 800.0], theme: None, pixels: 1.0 }
    }
}

impl Start {
    /// Opens it with a folder that may hold what an earlier one left.
    pub fn in_folder(self, data: tempfile::TempDir) -> OwnWindow {
        let options = AppOptions { path: self.path, data_folder: Some(data.path().to_path_buf()) };
        let builder = Harness::builder().with_size(vec2(self.size[0], self.size[1])).with_pixels_per_point(self.pixels);
        let builder = builder.with_max_steps(60).with_step_dt(1.0 / 60.0);
        let builder = if let Some(theme) = self.theme { builder.with_theme(theme) } else { builder };
        let mut harness = Window(builder.build_eframe(move |cc| App::new(cc, options)));
        harness.run();
        OwnWindow { harness, data }
    }

    pub fn open(self) -> OwnWindow {
        self.in_folder(tempfile::tempdir().unwrap())
    }
}

impl OwnWindow {
    pub fn app(&self) -> &App {
        self.harness.state()
    }

    pub fn schedule(&self) -> Vec<scenario::Event> {
        self.app().document().scenario().valves[0].schedule.clone()
    }

    /// The bar of the event that starts at a time.
    pub fn event(&self, start: &str) -> Rect {
        self.harness.get_by_role_and_label(Role::Slider, &format!("Event {start}")).rect()
    }

    /// Points per hour, from two events an hour apart.
    pub fn hour(&self, first: &str, second: &str) -> f32 {
        self.event(second).center().x - self.event(first).center().x
    }

    pub fn hover(&mut self, at: Pos2) {
        self.harness.hover_at(at);
        self.harness.step();
    }

    /// Presses the mouse's first button at a place, or lets it go.
    pub fn button(&mut self, at: Pos2, pressed: bool, modifiers: Modifiers) {
        self.harness.event(Event::PointerButton { pos: at, button: PointerButton::Primary, pressed, modifiers });
        self.harness.step();
    }

    /// Presses at one place and goes to another in a few steps, still holding.
    pub fn grab(&mut self, from: Pos2, to: Pos2) {
        self.hover(from);
        self.button(from, true, Modifiers::NONE);
        for k in 1..=5_u8 {
            self.hover(from + (to - from) * (f32::from(k) / 5.0));
        }
        self.harness.step();
    }

    pub fn release(&mut self, at: Pos2) {
        self.button(at, false, Modifiers::NONE);
        self.harness.run();
    }

    pub fn drag(&mut self, from: Pos2, to: Pos2) {
        self.grab(from, to);
        self.release(to);
    }

    pub fn key(&mut self, modifiers: Modifiers, key: Key) {
        self.harness.key_press_modifiers(modifiers, key);
        self.harness.run();
    }

    /// Whether it is idle after a frame.
    pub fn waits(&mut self) -> bool {
        idles(&mut self.harness)
    }
}

/// Whether a window is idle after a frame: it draws nothing anew within a second. Where a job that nobody waits for ends just then, it has a
/// frame or two of its own, and the window is idle after them.
pub fn idles(window: &mut Window) -> bool {
    let mut idle_once = || {
        window.step();
        waits(window)
    };
    idle_once() || (0..3).any(|_| idle_once()) && idle_once() && idle_once()
}

/// Whether a window that has just drawn draws nothing anew within a second.
pub fn waits(harness: &Window) -> bool {
    let delay = harness.output().viewport_output.values().map(|v| v.repaint_delay).min();
    delay.is_none_or(|d| d > Duration::from_secs(1))
}

/// The window with a data folder, so many points tall.
pub fn open_at(data: &Path, height: f32) -> Window {
    let options = AppOptions { path: None, data_folder: Some(data.to_path_buf()) };
    let builder = Harness::builder().with_size(vec2(1280.0, height)).with_max_steps(60).with_step_dt(1.0 / 10.0);
    let mut window = Window(builder.build_eframe(move |cc| App::new(cc, options)));
    window.run();
    window
}

/// Tall, so that no field lies below the edge.
pub fn open(data: &Path) -> Window {
    open_at(data, 2600.0)
}

pub fn scenario(window: &Window) -> Scenario {
    Scenario::clone(window.state().document().scenario())
}

pub fn undo_name(window: &Window) -> String {
    window.state().document().next_undo().unwrap().name.clone()
}

/// Clicks the first of a label.
pub fn click(window: &mut Window, label: &str) {
    window.get_all_by_label(label).next().unwrap_or_else(|| panic!("no \"{label}\"")).click();
    window.run();
}

/// Shows the last day of the bench, by the keys of the strip of days.
pub fn show_last_day(window: &mut Window) {
    let is_first = |cell: &Node<'_>| cell.accesskit_node().label().is_some_and(|label| label.starts_with("Day 1 of"));
    window.query_all_by_role(Role::RadioButton).find(is_first).unwrap().focus();
    window.step();
    window.key_press(Key::End);
    window.run();
}

/// Chooses in the first menu of a label.
pub fn choose(window: &mut Window, label: &str, item: &str) {
    window.get_all_by_role_and_label(Role::ComboBox, label).next().unwrap_or_else(|| panic!("no menu \"{label}\"")).click();
    window.run();
    click(window, item);
}

/// Closes what stays open of a menu.
pub fn close_menus(window: &mut Harness<'static, App>) {
    while Popup::is_any_open(&window.ctx) {
        window.key_press(Key::Escape);
        window.run();
    }
}

/// Types into the first field of a label, in place of what stands there.
fn type_into(window: &mut Window, role: Role, label: &str, text: &str) {
    window.get_all_by_role_and_label(role, label).next().unwrap().focus();
    window.run();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.event(Event::Text(text.to_owned()));
    window.run();
    window.key_press(Key::Enter);
    window.run();
}

pub fn type_number(window: &mut Window, label: &str, text: &str) {
    type_into(window, Role::SpinButton, label, text);
}

pub fn type_text(window: &mut Window, label: &str, text: &str) {
    type_into(window, Role::TextInput, label, text);
}

/// A file as the desktop hands it over when it is dropped.
#[derive(Debug)]
pub struct Dropped(pub PathBuf);

impl DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|e| e.to_string())
    }
}

pub fn drop_file(window: &mut Window, path: &Path) {
    window.input_mut().dropped_files.push(Arc::new(Dropped(path.to_path_buf())));
    window.run();
}
