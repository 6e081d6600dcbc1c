//! Fields of the setup cards: a number, a name, a time or a choice, each with words, a range and one step of the edit list.

use std::cell::RefCell;
use std::ops::RangeInclusive;

use eframe::egui::{Align, CollapsingHeader, Color32, ComboBox, DragValue, Id, Layout, RichText, TextEdit, Ui};

use crate::app::action::Action;
use crate::app::theme::{self, NOTE, Tokens};
use crate::scenario::Scenario;
use crate::scenario::presets::Library;
use crate::units::{Quantity, Units};

/// What the fields of a card work with.
pub struct Form<'a> {
    /// The scenario shown: changes start from it.
    pub scenario: &'a Scenario,
    /// The presets at hand.
    pub library: &'a Library,
    /// The units shown.
    pub units: Units,
    /// The colours.
    pub t: &'a Tokens,
    /// What is asked for.
    pub actions: &'a mut Vec<Action>,
}

/// A number's words and bounds. `low` and `high` are those of validation, in the data's unit.
#[derive(Clone)]
pub struct Number<'a> {
    /// Beside it.
    pub label: &'a str,
    /// What the change is called: "Set … to 10 cm".
    pub what: &'a str,
    /// What it does to the root zone.
    pub hover: &'a str,
    /// What it is.
    pub quantity: Quantity,
    /// What it may be.
    pub range: RangeInclusive<f64>,
}

impl Form<'_> {
    /// Makes a change under a name, as one step.
    pub fn set(&mut self, name: impl Into<String>, change: impl FnOnce(&mut Scenario)) {
        let mut after = self.scenario.clone();
        change(&mut after);
        self.actions.push(Action::SetField(name.into(), Box::new(after)));
    }

    /// A number that is dragged or typed: tried while dragged, set when let go. What cannot be is refused in words.
    pub fn number(&mut self, ui: &mut Ui, words: &Number<'_>, value: f64, set: impl FnOnce(&mut Scenario, f64)) {
        let (q, units) = (words.quantity, self.units);
        let ends = [q.shown(*words.range.start(), units), q.shown(*words.range.end(), units)];
        let (low, high) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
        let decimals = q.decimals(units);
        let least = 10_f64.powi(-i32::try_from(decimals).unwrap_or(0));
        let mut shown = q.shown(value, units);
        let bounds = format!("{} to {} {}", plain(low), plain(high), q.unit(units));
        let refused = RefCell::new(None);
        row(ui, words.label, |ui, label| {
            let speed = (shown.abs() * 0.004).clamp(least * 0.1, 1e5);
            let drag = DragValue::new(&mut shown)
                .range(low..=high)
                .clamp_existing_to_range(false)
                .speed(speed)
                .custom_formatter(|v, _| written(v, decimals))
                .suffix(suffix(q.unit(units)))
                .update_while_editing(false)
                .custom_parser(|text| {
                    let typed = text.trim().trim_end_matches(q.unit(units)).trim().replace('−', "-").replace(',', ".");
                    let found = typed.parse::<f64>().ok().filter(|v| (low..=high).contains(v));
                    if found.is_none() {
                        let text: String = text.chars().take(30).collect();
                        *refused.borrow_mut() = Some(format!("{}: \"{text}\" is refused. It takes a number, {bounds}.", words.label));
                    }
                    found
                });
            let response = ui.add(drag).labelled_by(label).on_hover_text(format!("{}\n{bounds}", words.hover));
            let name = |data: f64| format!("Set {} to {}", words.what, named(q, data, units));
            if response.dragged() && response.changed() {
                let data = q.data(shown, units).clamp(*words.range.start(), *words.range.end());
                let mut after = self.scenario.clone();
                set(&mut after, data);
                self.actions.push(Action::TryField(name(data), Box::new(after)));
            } else if response.drag_stopped() {
                self.actions.push(Action::Keep);
            } else if response.changed() {
                let data = q.data(shown, units).clamp(*words.range.start(), *words.range.end());
                self.set(name(data), |s| set(s, data));
            }
        });
        if let Some(text) = refused.into_inner() {
            self.actions.push(Action::Say(text));
        }
    }

    /// A text, set when the field is left.
    pub fn text(
        &mut self,
        ui: &mut Ui,
        id: Id,
        words: [&str; 2],
        now: &str,
        refuse: impl Fn(&str) -> Option<String>,
        set: impl FnOnce(&mut Self, String),
    ) {
        row(ui, words[0], |ui, label| {
            let mut text = ui.data(|d| d.get_temp::<String>(id)).unwrap_or_else(|| now.to_owned());
            let edit = TextEdit::singleline(&mut text).id(id).desired_width(ui.available_width().min(170.0)).char_limit(80);
            let response = ui.add(edit).labelled_by(label).on_hover_text(words[1]);
            if response.has_focus() {
                ui.data_mut(|d| d.insert_temp(id, text));
            } else if ui.data_mut(|d| d.remove_temp::<String>(id)).is_some() {
                let escaped = ui.input(|i| i.key_pressed(eframe::egui::Key::Escape));
                let text = text.trim().to_owned();
                if escaped || text == now {
                } else if let Some(why) = refuse(&text) {
                    self.actions.push(Action::Say(why));
                } else {
                    set(self, text);
                }
            }
        });
    }

    /// A menu of choices. Returns the one just chosen.
    pub fn choice(&mut self, ui: &mut Ui, id: Id, words: [&str; 2], now: &str, choices: &[String]) -> Option<usize> {
        let mut chosen = None;
        row(ui, words[0], |ui, label| {
            let width = ui.available_width().min(170.0);
            let menu = ComboBox::from_id_salt(id).width(width).height(420.0).truncate().selected_text(now).show_ui(ui, |ui| {
                for (i, choice) in choices.iter().enumerate() {
                    if ui.selectable_label(choice == now, choice).clicked() && choice != now {
                        chosen = Some(i);
                        // Enter, unlike a click, leaves the list open.
                        ui.close();
                    }
                }
            });
            menu.response.labelled_by(label).on_hover_text(words[1]);
        });
        chosen
    }

    /// A switch.
    pub fn switch(&mut self, ui: &mut Ui, words: [&str; 2], now: bool) -> bool {
        let mut on = now;
        ui.checkbox(&mut on, words[0]).on_hover_text(words[1]).changed()
    }

    /// A quiet line.
    pub fn note(&self, ui: &mut Ui, text: &str) {
        ui.label(RichText::new(text).size(NOTE).color(self.t.quiet));
    }

    /// A part that is folded away until it is wanted.
    pub fn fold(&mut self, ui: &mut Ui, id: Id, head: &str, open: bool, body: impl FnOnce(&mut Self, &mut Ui)) {
        let head = fitting(ui, head);
        CollapsingHeader::new(RichText::new(head).color(self.t.ink)).id_salt(id).default_open(open).show_unindented(ui, |ui| {
            body(self, ui);
            ui.add_space(4.0);
        });
    }
}

/// A label at the left, a field at the right.
pub fn row(ui: &mut Ui, label: &str, add: impl FnOnce(&mut Ui, Id)) {
    ui.horizontal(|ui| {
        let id = ui.label(label).id;
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| add(ui, id));
    });
}

/// A head that never pushes a card wider than its panel: the toolkit's folds do not cut theirs.
fn fitting(ui: &Ui, head: &str) -> String {
    let room = ui.available_width() - 28.0;
    let wide = |text: &str| ui.painter().layout_no_wrap(text.to_owned(), theme::plain(theme::TEXT), Color32::WHITE).size().x;
    let mut text = head.to_owned();
    let mut kept = head.chars().count();
    while wide(&text) > room && kept > 4 {
        kept -= 1;
        text = head.chars().take(kept).collect::<String>().trim_end().to_owned() + "…";
    }
    text
}

fn suffix(unit: &str) -> String {
    if unit.is_empty() { String::new() } else { format!(" {unit}") }
}

/// A number as it is shown in a field: very small ones keep their leading digits.
fn written(value: f64, decimals: usize) -> String {
    let size = value.abs();
    if size > 0.0 && (size < 0.5 * 0.1_f64.powi(i32::try_from(decimals).unwrap_or(0)) || size >= 1e7) {
        return format!("{value:.2e}");
    }
    let text = format!("{value:.decimals$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text };
    if text == "-0" { "0".to_owned() } else { text }
}

fn named(q: Quantity, data: f64, units: Units) -> String {
    format!("{}{}", written(q.shown(data, units), q.decimals(units)), suffix(q.unit(units)))
}

fn plain(value: f64) -> String {
    if value != 0.0 && !(1e-3..1e6).contains(&value.abs()) { format!("{value:.0e}") } else { written(value, 3) }
}
