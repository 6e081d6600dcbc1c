//! What is held beside the bench: keeping, adding, ticking, opening, removing.

use eframe::egui::accesskit::Role;
use eframe::egui::{Button, Grid, Id, Key, Label, RichText, ScrollArea, TextEdit, Ui, WidgetInfo};

use crate::app::actions::action::{Action, WithOther};
use crate::app::look::theme::{self, NOTE, TEXT, Tokens};
use crate::app::state::bench::Bench;
use crate::app::state::others::{Other, Whence};
use crate::app::state::waking::LOOKS;
use crate::scenario::Scenario;
use crate::scenario::disk::Since;

/// Most characters of a name.
const MOST: usize = 80;
/// Width of a name where there is room, points.
const NAME: f32 = 190.0;
/// Below this width how large a state is stands under the pointer alone, points.
const NARROW: f32 = 700.0;

/// Draws the line that keeps and adds, and the list; `own` is the bench's letter.
pub fn show(ui: &mut Ui, t: &Tokens, bench: &Bench, (own, name): (char, &mut String), actions: &mut Vec<Action>) {
    let stands = bench.stands_after();
    ui.horizontal_wrapped(|ui| {
        let label = ui.label("Name");
        let hint = if stands == "as opened" { "As opened".to_owned() } else { stands.clone() };
        let field = TextEdit::singleline(name).desired_width(NAME).char_limit(MOST).hint_text(&hint);
        let field = ui.add(field).labelled_by(label.id);
        let entered = field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
        let hover =
            "Holds the bench as it stands beside it, for as long as the window is open. Without a name it is called by its last change.";
        let keep = ui.add_enabled(bench.others.has_room(), Button::new("Keep this state")).on_hover_text(hover);
        if keep.clicked() || (entered && bench.others.has_room()) {
            let typed = name.trim();
            actions.push(Action::KeepState(if typed.is_empty() { hint } else { typed.to_owned() }));
            name.clear();
        }
        if bench.others.is_reading() {
            ui.label(RichText::new("reading…").color(t.quiet));
            ui.ctx().request_repaint_after(LOOKS);
        } else if ui.button("Add a file…").on_hover_text("Reads a scenario file and holds it beside the bench. The bench stays").clicked()
        {
            actions.push(Action::ChooseOther);
        }
    });
    ui.add_space(2.0);
    ScrollArea::horizontal().id_salt("states, sideways").show(ui, |ui| list(ui, t, (bench, own), actions));
    for other in bench.others.list() {
        since(ui, t, other, actions);
    }
}

fn list(ui: &mut Ui, t: &Tokens, (bench, own): (&Bench, char), actions: &mut Vec<Action>) {
    let room = ui.available_width();
    Grid::new(Id::unique("states beside the bench")).num_columns(7).spacing([12.0, 4.0]).show(ui, |ui| {
        letter(ui, own);
        let own = if room < NARROW { "The bench" } else { "The bench as it stands" };
        named(ui, t, room, (own, &bench.stands_after()), bench.document().scenario());
        ui.label(RichText::new("compared").size(NOTE).color(t.quiet));
        ui.end_row();
        for other in bench.others.list() {
            row(ui, t, (bench, room), other, actions);
            ui.end_row();
        }
    });
    // Room for the bar that scrolls sideways.
    ui.add_space(8.0);
}

fn letter(ui: &mut Ui, letter: char) {
    ui.label(RichText::new(letter.to_string()).font(theme::strong(TEXT)));
}

/// A name that is told whole under the pointer where it has no room, and how large it is.
fn named(ui: &mut Ui, t: &Tokens, room: f32, (name, hover): (&str, &str), scenario: &Scenario) {
    let size = size(scenario);
    ui.scope(|ui| {
        ui.set_width((0.25 * room).clamp(90.0, NAME));
        ui.add(Label::new(name).truncate()).on_hover_text(format!("{name}\n{size}\n{hover}"));
    });
    if room >= NARROW {
        ui.label(RichText::new(size).size(NOTE).color(t.quiet));
    }
}

fn row(ui: &mut Ui, t: &Tokens, (bench, room): (&Bench, f32), other: &Other, actions: &mut Vec<Action>) {
    letter(ui, other.letter);
    let whence = match &other.from {
        Whence::Bench(after) => format!("kept from the bench, {after}"),
        Whence::File(path, _) => path.display().to_string(),
    };
    named(ui, t, room, (&other.name, &whence), &other.scenario);
    let mut ask = |with| actions.push(Action::Other(other.id, with));
    let tick = |ui: &mut Ui, on: bool, can: bool, words: &str, (hover, why): (&str, &str)| {
        let mut wanted = on;
        let tick = ui.add_enabled_ui(on || can, |ui| ui.checkbox(&mut wanted, words)).inner;
        tick.widget_info(|| WidgetInfo::selected(Role::CheckBox, on || can, wanted, format!("{words}: {}", other.name)));
        let changed = tick.changed();
        tick.on_hover_text(hover).on_disabled_hover_text(why);
        changed.then_some(wanted)
    };
    let told = ("Beside the bench, when it is compared next", "Three stand beside the bench already: take one of them away first");
    if let Some(on) = tick(ui, other.compared, bench.others.can_compare(), "compare", told) {
        ask(WithOther::Compare(on));
    }
    let told = (
        "Draws its curves faintly over those of the bench's lanes that have the same name",
        "Three stand on the tracks already: take one of them off first",
    );
    if let Some(on) = tick(ui, other.on_tracks, bench.others.can_draw(), "on the tracks", told) {
        ask(WithOther::Draw(on));
    }
    let button = |ui: &mut Ui, words: &str, hover: &str| {
        let button = ui.button(words);
        button.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("{words} {}", other.name)));
        button.on_hover_text(hover).clicked()
    };
    if button(ui, "Open", "Puts it on the bench in place of what is there, as one change. Undo brings that back") {
        ask(WithOther::Open);
    }
    if button(ui, "Remove", "Lets go of it. Its file stays as it is") {
        ask(WithOther::Remove);
    }
}

/// What became of a file since it was read.
fn since(ui: &mut Ui, t: &Tokens, other: &Other, actions: &mut Vec<Action>) {
    let Some(since) = other.since else { return };
    ui.horizontal_wrapped(|ui| {
        let (name, letter) = (&other.name, other.letter);
        let told = match since {
            Since::Gone => format!("{letter}: {name} is not there any more. What was read of it stands here."),
            _ => format!("{letter}: {name} was changed by another program since it was read. What was read then stands here."),
        };
        ui.label(RichText::new(told).color(t.attention));
        if since != Since::Gone && ui.small_button(format!("Read {name} again")).clicked() {
            actions.push(Action::Other(other.id, WithOther::ReadAgain));
        }
    });
}

fn size(scenario: &Scenario) -> String {
    let counted = |n: usize, one: &str| if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") };
    format!("{}, {}", counted(scenario.lanes.len(), "lane"), counted(scenario.days as usize, "day"))
}
