//! What the tests of the window share: opening it, clicking, choosing, typing, dropping files.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use eframe::egui::accesskit::Role;
use eframe::egui::{DroppedFile, Event, Key, Modifiers, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use slakeline::app::{App, AppOptions};
use slakeline::scenario::Scenario;

pub type Window = Harness<'static, App>;

/// The window with a data folder, so many points tall.
pub fn open_at(data: &Path, height: f32) -> Window {
    let options = AppOptions { path: None, data_folder: Some(data.to_path_buf()) };
    let builder = Harness::builder().with_size(vec2(1280.0, height)).with_max_steps(60).with_step_dt(1.0 / 10.0);
    let mut window = builder.build_eframe(move |cc| App::new(cc, options));
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

/// Chooses in the first menu of a label.
pub fn choose(window: &mut Window, label: &str, item: &str) {
    window.get_all_by_role_and_label(Role::ComboBox, label).next().unwrap_or_else(|| panic!("no menu \"{label}\"")).click();
    window.run();
    click(window, item);
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
