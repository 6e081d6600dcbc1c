//! The bar at the top: menus, the scenario's name, the day shown; what they show for keys is in `shortcuts`.

use std::path::Path;
use std::sync::OnceLock;

use eframe::egui::{Align, Label, Layout, MenuBar, RichText, ThemePreference, Ui};

use super::day_choice;
use crate::app::actions::action::{Action, Next, Page, Resize};
use crate::app::look::theme::{self, Tokens};
use crate::app::look::widgets::{item, scrolling, staying_menu};
use crate::app::pages::bench::tracks::{Tracks, view};
use crate::app::state::bench::Bench;
use crate::app::state::disk::Disk;
use crate::app::state::exporting::Exports;
use crate::app::state::sides::{Side, Sides};
use crate::app::state::text_size::{SIZES, TextSize};
use crate::app::windows::exactness;
use crate::edits::steps::{Steps, TIMES_S};
use crate::help::CHAPTERS;
use crate::scenario::{Scenario, presets};
use crate::sheet::made::Results;
use crate::units::{EcUnit, LengthUnit, Quantity, SuctionUnit, TemperatureUnit, Units, VolumeUnit};

/// Draws the bar.
pub fn show(
    ui: &mut Ui,
    t: &Tokens,
    bench: &Bench,
    tracks: &Tracks,
    disk: &Disk,
    (page, sides, strip, text_size): (Page, Sides, bool, TextSize),
    actions: &mut Vec<Action>,
) {
    MenuBar::new().ui(ui, |ui| {
        ui.label(RichText::new("Slakeline").font(theme::strong(14.0)));
        ui.add_space(4.0);
        ui.menu_button("File", |ui| scrolling(ui, |ui| file_menu(ui, disk, actions)));
        ui.menu_button("Edit", |ui| scrolling(ui, |ui| edit_menu(ui, bench, actions)));
        ui.menu_button("View", |ui| {
            scrolling(ui, |ui| {
                view_menu(ui, bench.units, text_size, actions);
                ui.separator();
                sides_menu(ui, sides, actions);
                let days = if strip { "Hide days" } else { "Show days" };
                item(ui, days, Action::DayStrip, bench.run_days() > 1, actions);
                ui.separator();
                view::view_menu(ui, tracks, bench, actions);
            });
        });
        ui.menu_button("Help", |ui| scrolling(ui, |ui| help_menu(ui, actions)));
        ui.add_space(8.0);
        for (to, name) in [(Page::Bench, "Bench"), (Page::Depth, "Depth"), (Page::Studies, "Studies")] {
            if ui.selectable_label(page == to, name).clicked() && page != to {
                actions.push(Action::Show(to));
            }
        }
        ui.add_space(8.0);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            day_choice::show(ui, t, bench, actions);
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                let document = bench.document();
                let edited = if document.is_changed() { " — edited" } else { "" };
                let name = &document.scenario().name;
                let file = disk.path.as_deref().and_then(Path::file_name);
                let text = file.map_or_else(|| format!("{name}{edited}"), |file| format!("{}{edited} · {name}", file.to_string_lossy()));
                let label = ui.add(Label::new(RichText::new(text).color(t.quiet)).truncate());
                label.on_hover_text(
                    disk.path.as_ref().map_or_else(|| "No file holds this bench yet".to_owned(), |p| p.display().to_string()),
                );
            });
        });
    });
}

fn help_menu(ui: &mut Ui, actions: &mut Vec<Action>) {
    ui.set_min_width(190.0);
    for (i, chapter) in CHAPTERS.iter().enumerate() {
        if ui.button(chapter.title()).clicked() {
            actions.push(Action::Help(i));
        }
    }
    ui.separator();
    item(ui, "Keys and mouse", Action::Keys, true, actions);
    let hover = "Runs it once more with thinner layers and a tighter tolerance, and tells the largest differences";
    if ui.button(exactness::TITLE).on_hover_text(hover).clicked() {
        actions.push(Action::Exactness);
    }
    if ui.button("About Slakeline").clicked() {
        actions.push(Action::About);
    }
}

fn file_menu(ui: &mut Ui, disk: &Disk, actions: &mut Vec<Action>) {
    let recent = &disk.recent;
    ui.set_min_width(220.0);
    item(ui, "New bench", Action::Leave(Next::New), true, actions);
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
    item(ui, "Open…", Action::Leave(Next::Choose), true, actions);
    ui.add_enabled_ui(!recent.listed().is_empty(), |ui| {
        ui.menu_button("Open recent", |ui| {
            for path in recent.listed() {
                let name = path.file_name().map_or_else(|| path.display().to_string(), |n| n.to_string_lossy().into_owned());
                if ui.button(name).on_hover_text(path.display().to_string()).clicked() {
                    actions.push(Action::Leave(Next::Open(path.clone())));
                }
            }
            ui.separator();
            if ui.button("Forget these").clicked() {
                actions.push(Action::ForgetRecent);
            }
        });
    });
    let mut reopens = disk.reopens.last;
    let hover = "The next session begins with the file that is on the bench when this one ends. Without it, with the first demo.";
    if ui.checkbox(&mut reopens, "Reopen the last bench at start").on_hover_text(hover).changed() {
        actions.push(Action::Reopen(reopens));
    }
    if ui.button("Open a path…").clicked() {
        actions.push(Action::Leave(Next::Type));
    }
    if !disk.left.is_empty() {
        item(ui, format!("Work that was not saved ({})…", disk.left.len()), Action::LeftWork, true, actions);
    }
    ui.separator();
    item(ui, "Save", Action::Save, true, actions);
    item(ui, "Save as…", Action::SaveAs, true, actions);
    if ui.button("Save to a path…").clicked() {
        actions.push(Action::SaveByPath);
    }
    ui.separator();
    item(ui, "Import a climate log…", Action::ImportClimate(None), true, actions);
    if ui.button("Import a climate log from a path…").clicked() {
        actions.push(Action::ImportClimateByPath);
    }
    item(ui, "Own presets…", Action::OwnPresets, true, actions);
    ui.separator();
    item(ui, "Export the series (CSV)…", Action::Export(Exports::Bench(Results::Series)), true, actions);
    item(ui, "Export the figures (JSON)…", Action::Export(Exports::Bench(Results::Figures)), true, actions);
    ui.separator();
    item(ui, "Quit", Action::Leave(Next::Close), true, actions);
}

/// The demos, read once.
fn demos() -> &'static [Scenario] {
    static DEMOS: OnceLock<Vec<Scenario>> = OnceLock::new();
    DEMOS.get_or_init(|| presets::demos().into_iter().map(|(_, s)| s).collect())
}

fn edit_menu(ui: &mut Ui, bench: &Bench, actions: &mut Vec<Action>) {
    ui.set_min_width(250.0);
    let document = bench.document();
    let undo = document.next_undo().map_or_else(|| "Undo".to_owned(), |e| format!("Undo: {}", e.name));
    let redo = document.next_redo().map_or_else(|| "Redo".to_owned(), |e| format!("Redo: {}", e.name));
    item(ui, undo, Action::Undo, document.next_undo().is_some(), actions);
    item(ui, redo, Action::Redo, document.next_redo().is_some(), actions);
    item(ui, "Change log", Action::ChangeLog, true, actions);
    ui.separator();
    item(ui, "Start from a crop…", Action::StartCrop, true, actions);
    ui.separator();
    item(ui, "Add event", Action::AddEvent, true, actions);
    item(ui, "Add a series…", Action::AddSeries, true, actions);
    item(ui, "Next valve", Action::NextValve, bench.scenario().valves.len() > 1, actions);
    ui.separator();
    let chosen = !bench.picked().is_empty();
    item(ui, "Select all events", Action::SelectAll, !bench.schedule().is_empty(), actions);
    item(ui, "Edit selected…", Action::TypeSelected, chosen, actions);
    item(ui, "Cut", Action::Cut, chosen, actions);
    item(ui, "Copy", Action::Copy, chosen, actions);
    item(ui, "Paste", Action::Paste, true, actions);
    item(ui, "Duplicate", Action::DuplicateSelected, chosen, actions);
    item(ui, "Delete", Action::DeleteSelected, chosen, actions);
    ui.separator();
    ui.menu_button("Timer's steps", |ui| steps_menu(ui, bench, actions));
}

/// What drags and arrow keys snap to.
fn steps_menu(ui: &mut Ui, bench: &Bench, actions: &mut Vec<Action>) {
    ui.set_min_width(190.0);
    let now = bench.steps;
    ui.label(RichText::new("Starts snap to").weak());
    for time_s in TIMES_S {
        let text = if time_s < 60 { format!("{time_s} s") } else { format!("{} min", time_s / 60) };
        if ui.radio(now.time_s == time_s, text).clicked() {
            actions.push(Action::Steps(Steps { time_s, ..now }));
            ui.close();
        }
    }
    ui.separator();
    ui.label(RichText::new("Volumes snap to").weak());
    for ml in Steps::volumes(bench.units) {
        let shown = Quantity::Millilitres.text(ml, bench.units);
        if ui.radio((now.ml - ml).abs() < 1e-9, shown).clicked() {
            actions.push(Action::Steps(Steps { ml, ..now }));
            ui.close();
        }
    }
    ui.separator();
    ui.label(RichText::new("Hold Alt to leave them.").weak());
}

fn view_menu(ui: &mut Ui, units: Units, text_size: TextSize, actions: &mut Vec<Action>) {
    ui.set_min_width(130.0);
    ui.menu_button("Theme", |ui| theme_menu(ui, actions));
    staying_menu(ui, "Units", |ui| scrolling(ui, |ui| units_menu(ui, units, actions)));
    staying_menu(ui, "Text size", |ui| text_size_menu(ui, text_size, actions));
}

/// Larger, smaller, and every size there is.
fn text_size_menu(ui: &mut Ui, now: TextSize, actions: &mut Vec<Action>) {
    ui.set_min_width(150.0);
    item(ui, "Larger", Action::TextSize(Resize::Larger), now.larger() != now, actions);
    item(ui, "Smaller", Action::TextSize(Resize::Smaller), now.smaller() != now, actions);
    item(ui, "As usual", Action::TextSize(Resize::To(TextSize::default())), now != TextSize::default(), actions);
    ui.separator();
    for percent in SIZES {
        let size = TextSize { percent };
        if ui.radio(size == now, format!("{percent} %")).clicked() && size != now {
            actions.push(Action::TextSize(Resize::To(size)));
        }
    }
}

fn theme_menu(ui: &mut Ui, actions: &mut Vec<Action>) {
    ui.set_min_width(130.0);
    let now = ui.ctx().options(|o| o.theme_preference);
    for (preference, text) in
        [(ThemePreference::System, "As the system"), (ThemePreference::Light, "Light"), (ThemePreference::Dark, "Dark")]
    {
        if ui.selectable_label(now == preference, text).clicked() {
            actions.push(Action::Theme(preference));
            ui.close();
        }
    }
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
            }
        }
    }
}

/// The part of the View menu that shows and hides the sides.
fn sides_menu(ui: &mut Ui, sides: Sides, actions: &mut Vec<Action>) {
    let width = ui.ctx().content_rect().width();
    for (side, name) in [(Side::Setup, "setup"), (Side::Figures, "figures")] {
        let verb = if sides.shows(side, width) { "Hide" } else { "Show" };
        item(ui, format!("{verb} {name}"), Action::Side(side), true, actions);
    }
}
