//! The bar at the top: menus, the scenario's name, the day shown; and the keys that do the same.

use std::sync::OnceLock;

use eframe::egui::{self, Align, Button, Key, KeyboardShortcut, Label, Layout, MenuBar, Modifiers, RichText, ThemePreference, Ui};

use super::action::{Action, Next, Page};
use super::bench::Bench;
use super::days;
use super::theme::{self, Tokens};
use super::tracks::{self, Tracks};
use crate::scenario::{Scenario, presets};
use crate::units::{EcUnit, LengthUnit, SuctionUnit, TemperatureUnit, Units, VolumeUnit};

const CTRL_SHIFT: Modifiers = Modifiers { shift: true, ..Modifiers::COMMAND };
const NEW: KeyboardShortcut = KeyboardShortcut::new(Modifiers::COMMAND, Key::N);
const OPEN: KeyboardShortcut = KeyboardShortcut::new(Modifiers::COMMAND, Key::O);
const SAVE: KeyboardShortcut = KeyboardShortcut::new(Modifiers::COMMAND, Key::S);
const SAVE_AS: KeyboardShortcut = KeyboardShortcut::new(CTRL_SHIFT, Key::S);
const UNDO: KeyboardShortcut = KeyboardShortcut::new(Modifiers::COMMAND, Key::Z);
const REDO: KeyboardShortcut = KeyboardShortcut::new(CTRL_SHIFT, Key::Z);
const REDO_TOO: KeyboardShortcut = KeyboardShortcut::new(Modifiers::COMMAND, Key::Y);

/// What the keys ask for. A chord with Shift is taken before the one without.
#[must_use]
pub fn shortcuts(ctx: &egui::Context) -> Vec<Action> {
    let typing = ctx.text_edit_focused();
    let plain = tracks::keys(ctx);
    ctx.input_mut(|i| {
        let mut out = plain;
        for (keys, action) in [(SAVE_AS, Action::SaveAs), (SAVE, Action::Save)] {
            if i.consume_shortcut(&keys) {
                out.push(action);
            }
        }
        for (keys, next) in [(NEW, Next::New), (OPEN, Next::Choose)] {
            if i.consume_shortcut(&keys) {
                out.push(Action::Leave(next));
            }
        }
        // A field being typed in has its own undo.
        if !typing {
            for (keys, action) in [(REDO, Action::Redo), (REDO_TOO, Action::Redo), (UNDO, Action::Undo)] {
                if i.consume_shortcut(&keys) {
                    out.push(action);
                }
            }
        }
        out
    })
}

/// Draws the bar.
pub fn show(ui: &mut Ui, t: &Tokens, bench: &Bench, tracks: &Tracks, page: Page, actions: &mut Vec<Action>) {
    MenuBar::new().ui(ui, |ui| {
        ui.label(RichText::new("Slakeline").font(theme::strong(14.0)));
        ui.add_space(4.0);
        ui.menu_button("File", |ui| file_menu(ui, actions));
        ui.menu_button("Edit", |ui| edit_menu(ui, bench, actions));
        ui.menu_button("View", |ui| {
            view_menu(ui, bench.units, actions);
            ui.separator();
            tracks::view_menu(ui, tracks, bench, actions);
        });
        ui.menu_button("Help", |ui| {
            if ui.button("About Slakeline").clicked() {
                actions.push(Action::About);
            }
        });
        ui.add_space(8.0);
        for (to, name) in [(Page::Bench, "Bench"), (Page::Depth, "Depth")] {
            if ui.selectable_label(page == to, name).clicked() && page != to {
                actions.push(Action::Show(to));
            }
        }
        ui.add_space(8.0);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            days::show(ui, t, bench, actions);
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                let document = bench.document();
                let edited = if document.is_changed() { " — edited" } else { "" };
                let name = RichText::new(format!("{}{edited}", document.scenario().name)).color(t.quiet);
                ui.add(Label::new(name).truncate());
            });
        });
    });
}

fn item(ui: &mut Ui, text: impl Into<String>, keys: Option<KeyboardShortcut>, enabled: bool) -> bool {
    let mut button = Button::new(text.into());
    if let Some(keys) = keys {
        button = button.shortcut_text(ui.ctx().format_shortcut(&keys));
    }
    ui.add_enabled(enabled, button).clicked()
}

fn file_menu(ui: &mut Ui, actions: &mut Vec<Action>) {
    ui.set_min_width(220.0);
    if item(ui, "New bench", Some(NEW), true) {
        actions.push(Action::Leave(Next::New));
    }
    ui.menu_button("Demos", |ui| {
        for (index, scenario) in demos().iter().enumerate() {
            let button = ui.button(&scenario.name);
            let button = if scenario.note.is_empty() { button } else { button.on_hover_text(&scenario.note) };
            if button.clicked() {
                actions.push(Action::Leave(Next::Demo(index)));
            }
        }
    });
    ui.separator();
    if item(ui, "Open…", Some(OPEN), true) {
        actions.push(Action::Leave(Next::Choose));
    }
    if item(ui, "Open a path…", None, true) {
        actions.push(Action::Leave(Next::Type));
    }
    ui.separator();
    if item(ui, "Save", Some(SAVE), true) {
        actions.push(Action::Save);
    }
    if item(ui, "Save as…", Some(SAVE_AS), true) {
        actions.push(Action::SaveAs);
    }
    if item(ui, "Save to a path…", None, true) {
        actions.push(Action::SaveByPath);
    }
    ui.separator();
    if item(ui, "Quit", Some(KeyboardShortcut::new(Modifiers::COMMAND, Key::Q)), true) {
        actions.push(Action::Leave(Next::Close));
    }
}

/// The demos, read once.
fn demos() -> &'static [Scenario] {
    static DEMOS: OnceLock<Vec<Scenario>> = OnceLock::new();
    DEMOS.get_or_init(|| presets::demos().into_iter().map(|(_, s)| s).collect())
}

fn edit_menu(ui: &mut Ui, bench: &Bench, actions: &mut Vec<Action>) {
    ui.set_min_width(220.0);
    let document = bench.document();
    let undo = document.next_undo().map_or_else(|| "Undo".to_owned(), |e| format!("Undo: {}", e.name));
    let redo = document.next_redo().map_or_else(|| "Redo".to_owned(), |e| format!("Redo: {}", e.name));
    if item(ui, undo, Some(UNDO), document.next_undo().is_some()) {
        actions.push(Action::Undo);
    }
    if item(ui, redo, Some(REDO), document.next_redo().is_some()) {
        actions.push(Action::Redo);
    }
}

fn view_menu(ui: &mut Ui, units: Units, actions: &mut Vec<Action>) {
    ui.set_min_width(130.0);
    ui.label(RichText::new("Theme").weak());
    let now = ui.ctx().options(|o| o.theme_preference);
    for (preference, text) in
        [(ThemePreference::System, "As the system"), (ThemePreference::Light, "Light"), (ThemePreference::Dark, "Dark")]
    {
        if ui.selectable_label(now == preference, text).clicked() {
            actions.push(Action::Theme(preference));
            ui.close();
        }
    }
    ui.separator();
    ui.menu_button("Units", |ui| units_menu(ui, units, actions));
}

fn units_menu(ui: &mut Ui, now: Units, actions: &mut Vec<Action>) {
    ui.set_min_width(170.0);
    let groups: [(&str, Vec<(&str, Units)>); 5] = [
        (
            "Volume",
            vec![("mL and L", Units { volume: VolumeUnit::Metric, ..now }), ("US fl oz and gal", Units { volume: VolumeUnit::Us, ..now })],
        ),
        ("Length", vec![("cm", Units { length: LengthUnit::Cm, ..now }), ("inches", Units { length: LengthUnit::Inch, ..now })]),
        (
            "Temperature",
            vec![
                ("°C", Units { temperature: TemperatureUnit::Celsius, ..now }),
                ("°F", Units { temperature: TemperatureUnit::Fahrenheit, ..now }),
            ],
        ),
        (
            "EC",
            vec![
                ("mS/cm", Units { ec: EcUnit::MsCm, ..now }),
                ("ppm, 500 scale", Units { ec: EcUnit::Ppm500, ..now }),
                ("ppm, 640 scale", Units { ec: EcUnit::Ppm640, ..now }),
                ("ppm, 700 scale", Units { ec: EcUnit::Ppm700, ..now }),
            ],
        ),
        ("Suction", vec![("kPa", Units { suction: SuctionUnit::Kpa, ..now }), ("cm of water", Units { suction: SuctionUnit::Cm, ..now })]),
    ];
    for (head, choices) in groups {
        ui.label(RichText::new(head).weak());
        for (text, units) in choices {
            if ui.selectable_label(units == now, text).clicked() {
                actions.push(Action::Units(units));
                ui.close();
            }
        }
    }
}
