//! Which valve is in hand, what must be said about the days shown, and what is pinned: the line above the tracks.

use eframe::egui::accesskit::Role;
use eframe::egui::{Align, Button, ComboBox, Label, Layout, RichText, Ui, WidgetInfo};

use crate::app::actions::action::Action;
use crate::app::look::theme::{NOTE, Tokens, plain};
use crate::app::state::bench::Bench;
use crate::app::state::days::Days;
use crate::projection::pump_words;
use crate::projection::settled::told;
use crate::scenario::Valve;
use crate::units::Quantity;

/// Share of the line that the valves' names may take side by side.
const SHARE: f32 = 0.7;

/// Draws the line, where there is something to say.
pub fn show(ui: &mut Ui, t: &Tokens, bench: &Bench, actions: &mut Vec<Action>) {
    let said = about_days(bench);
    let pin = bench.pinned();
    let several = bench.scenario().valves.len() > 1;
    if said.is_none() && pin.is_none() && !several {
        return;
    }
    ui.horizontal(|ui| {
        ui.set_min_height(20.0);
        let quiet = |text: String| RichText::new(text).size(NOTE).color(t.quiet);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if let Some(pin) = pin {
                if ui.small_button("Unpin").clicked() {
                    actions.push(Action::Unpin);
                }
                let told = ui.add(Label::new(quiet(format!("pinned (dashes): {}", pin.name))).truncate());
                if let Some(against) = bench.against_pin() {
                    let lines: Vec<String> = against.lanes.iter().map(|l| format!("{}: {}", l.name, l.words(bench.units))).collect();
                    told.on_hover_text(format!("{}\n{}", against.title, lines.join("\n")));
                }
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                if several {
                    valves(ui, t, bench, actions);
                }
                if let Some(said) = said {
                    ui.add(Label::new(quiet(said)).truncate());
                }
            });
        });
    });
}

/// The valves: the one in hand is edited below.
fn valves(ui: &mut Ui, t: &Tokens, bench: &Bench, actions: &mut Vec<Action>) {
    let scenario = bench.scenario();
    ui.label(RichText::new("Valve").size(NOTE).color(t.quiet));
    let width = |valve: &Valve| ui.painter().layout_no_wrap(valve.name.clone(), plain(NOTE), t.ink).size().x + 26.0;
    let widths: Vec<f32> = scenario.valves.iter().map(width).collect();
    let gaps = ui.spacing().item_spacing.x * widths.len() as f32;
    let room = SHARE * ui.available_width();
    let chosen = if widths.iter().sum::<f32>() + gaps <= room {
        widths.iter().enumerate().fold(None, |chosen, (i, width)| chip(ui, bench, i, *width).or(chosen))
    } else {
        menu(ui, bench, room)
    };
    actions.extend(chosen.map(Action::TakeValve));
    ui.add_space(8.0);
}

/// A valve as a button of its own; returns it where it was clicked.
fn chip(ui: &mut Ui, bench: &Bench, index: usize, width: f32) -> Option<usize> {
    let valve = bench.scenario().valves.get(index)?;
    let on = bench.valve() == index;
    let chip = Button::selectable(on, RichText::new(&valve.name).size(NOTE)).frame_when_inactive(true).truncate();
    let chip = ui.add_sized([width, 18.0], chip);
    chip.widget_info(|| WidgetInfo::selected(Role::RadioButton, true, on, format!("Valve {}", valve.name)));
    chip.on_hover_text(told_of(bench, index)).clicked().then_some(index)
}

/// The valves as a list, where they are too many, or called by too much, to stand side by side.
fn menu(ui: &mut Ui, bench: &Bench, room: f32) -> Option<usize> {
    let scenario = bench.scenario();
    let now = scenario.valves.get(bench.valve())?;
    let name = RichText::new(&now.name).size(NOTE);
    let list =
        ComboBox::from_id_salt("valve in hand, above the tracks").width(room.min(320.0)).height(420.0).truncate().selected_text(name);
    let list = list.show_ui(ui, |ui| {
        let mut chosen = None;
        for (i, valve) in scenario.valves.iter().enumerate() {
            let entry = ui.selectable_label(i == bench.valve(), &valve.name).on_hover_text(told_of(bench, i));
            if entry.clicked() {
                chosen = Some(i);
                ui.close();
            }
        }
        chosen
    });
    list.response.widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, "Valve in hand, above the tracks"));
    list.response.on_hover_text(told_of(bench, bench.valve()));
    list.inner.flatten()
}

/// What hangs on a valve, and what there is to say of it.
fn told_of(bench: &Bench, index: usize) -> String {
    let scenario = bench.scenario();
    let Some(valve) = scenario.valves.get(index) else { return String::new() };
    let lanes: Vec<String> = scenario.lanes_on(index).map(|(n, lane)| format!("lane {} · {}", n + 1, lane.name)).collect();
    let mut told = format!("{}: {}", valve.name, lanes.join(", "));
    if let Some(ec) = valve.ec {
        told = format!("{told}\nEC {} of its own", Quantity::Ec.text(ec, bench.units));
    }
    for sentence in bench.shown().pump_day(index, bench.shown().day).into_iter().flat_map(pump_words::sentences) {
        told = format!("{told}\n{sentence}");
    }
    told
}

/// What must be said about the days shown, if anything.
fn about_days(bench: &Bench) -> Option<String> {
    let days = bench.run_days();
    let last = format!("day {} of {days}", bench.shown().day + 1);
    match bench.days() {
        Days::One(day) if day >= bench.plain().reached => Some(format!("Day {} is being computed.", day + 1)),
        Days::One(_) => None,
        Days::All => Some(format!("All days side by side; the figures are of {last}.")),
        Days::Settled if bench.is_trying() => {
            Some(format!("While you try, {last} is shown, before and after; it settles when you let go."))
        }
        Days::Settled => Some(match (&bench.shown().settled, bench.settling_failed()) {
            (Some(_), _) => told(bench.shown()),
            (None, Some(why)) => format!("No settled day: {why}. Shown is {last}."),
            (None, None) if !bench.shown().troubles.is_empty() => "No settled day: the bench cannot be projected as it stands.".to_owned(),
            (None, None) => format!("Settling… {last} is shown meanwhile."),
        }),
    }
}
