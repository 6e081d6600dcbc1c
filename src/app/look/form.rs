//! Fields of the setup cards: a number, a name, a time or a choice, each with words, a range and one step of the edit list.

use std::cell::RefCell;

use eframe::egui::{
    Align, CollapsingHeader, Color32, ComboBox, DragValue, Frame, Id, Layout, Margin, Response, RichText, Stroke, TextEdit, Ui,
};

use super::theme::{self, NOTE, Tokens};
use crate::app::actions::action::Action;
use crate::app::state::bench::Bench;
use crate::edits::fit;
use crate::scenario::Scenario;
use crate::scenario::parameter::Entry;
use crate::scenario::presets::Library;
use crate::scenario::ranges::Range;
use crate::units::{Quantity, Units};

/// Width of a number's field where there is room: fields stand in a column.
const FIELD: f32 = 82.0;
/// Its least width.
const LEAST_FIELD: f32 = 62.0;

/// Least width of a menu or a text.
const MENU: f32 = 96.0;

/// What the fields of a card work with.
pub struct Form<'a> {
    /// The scenario that fields speak of: changes start from it.
    pub scenario: &'a Scenario,
    /// The presets at hand.
    pub library: &'a Library,
    /// The units shown.
    pub units: Units,
    /// The colours.
    pub t: &'a Tokens,
    /// What is asked for.
    pub actions: &'a mut Vec<Action>,
    /// A key for each lane that follows it when lanes change places.
    pub keys: Vec<u64>,
    /// How many folds deep the next field stands.
    pub depth: usize,
    /// The plan on show, which events and rules are those of.
    pub plan: usize,
    /// What each lane's probe, or else its container, reads at midday of the day shown, m³/m³; half where it is not known.
    pub reads: Vec<f64>,
}

/// A number's words and bounds.
pub struct Field<'a> {
    label: &'a str,
    /// The name for those who hear it, where the label says only half.
    spoken: Option<&'a str>,
    what: String,
    quantity: Quantity,
    range: Range,
    hover: &'a str,
}

impl<'a> Field<'a> {
    /// A field: what stands beside it, what it belongs to ("lane 1"; empty for the bench), what it is, what it may be
    /// in the data's unit, and what it does to the root zone.
    #[must_use]
    pub fn new(label: &'a str, of: &str, quantity: Quantity, range: Range, hover: &'a str) -> Self {
        let what = if of.is_empty() { lower(label) } else { format!("{} of {of}", lower(label)) };
        Self { label, spoken: None, what, quantity, range, hover }
    }

    /// The field of a number that its owner has, by its entry.
    #[must_use]
    pub fn of<T>(entry: &Entry<T>, whose: &str, owner: &T, library: &Library) -> Self {
        Self::new(entry.label, whose, entry.quantity, entry.range(owner, library), entry.hover)
    }

    /// A field below its head: a short label is shown, the whole name is spoken and written in the edit list.
    #[must_use]
    pub fn shown_as(self, label: &'a str) -> Self {
        Self { spoken: Some(self.label), label, ..self }
    }

    /// The same number in other words for its unit.
    #[must_use]
    pub fn shown_in(self, quantity: Quantity) -> Self {
        Self { quantity, ..self }
    }
}

/// A label within a sentence: names in capitals keep them.
#[must_use]
pub fn lower(label: &str) -> String {
    let mut chars = label.chars();
    let (first, second) = (chars.next(), chars.clone().next());
    match first {
        Some(c) if !second.is_some_and(char::is_uppercase) => c.to_lowercase().chain(chars).collect(),
        _ => label.to_owned(),
    }
}

/// Told when an edit of one field moved what had been entered in another.
const FITTED: &str = "Start, roots, outlet or probe of a lane no longer fitted and were carried over to its new height, layers or media; \
    rules whose probe or climate is gone are gone, too. Undo brings all back.";

impl<'a> Form<'a> {
    /// A form on what stands on the bench.
    #[must_use]
    pub fn new(bench: &'a Bench, t: &'a Tokens, keys: Vec<u64>, actions: &'a mut Vec<Action>) -> Self {
        let scenario = &**bench.scenario();
        let reads = bench.shown().midday_readings();
        let read = |index: usize| bench.lane_drawn(index).and_then(|drawn| reads.get(drawn).copied()).unwrap_or(0.5);
        Self {
            scenario,
            library: bench.library(),
            units: bench.units,
            t,
            actions,
            keys,
            depth: 0,
            plan: bench.plan(),
            reads: (0..scenario.lanes.len()).map(read).collect(),
        }
    }
}

impl Form<'_> {
    /// Makes a change under a name, as one step.
    pub fn set(&mut self, name: impl Into<String>, change: impl FnOnce(&mut Scenario)) {
        let (after, moved) = self.changed(change);
        self.actions.push(Action::SetField(name.into(), Box::new(after)));
        if moved {
            self.actions.push(Action::Tell(FITTED.to_owned()));
        }
    }

    /// Tells what else a change did, after what has been told of it.
    pub fn also(&mut self, text: &str) {
        match self.actions.last_mut() {
            Some(Action::Tell(told)) => *told = format!("{told} {text}"),
            _ => self.actions.push(Action::Tell(text.to_owned())),
        }
    }

    /// The scenario after a change, and whether anything else had to follow it.
    fn changed(&self, change: impl FnOnce(&mut Scenario)) -> (Scenario, bool) {
        let mut after = self.scenario.clone();
        change(&mut after);
        let moved = fit::fit(&mut after, self.library);
        (after, moved)
    }

    /// What a lane's fold or field is known by: it stays the lane's when lanes change places.
    #[must_use]
    pub fn id(&self, lane: usize, what: impl std::hash::Hash + std::fmt::Debug) -> Id {
        Id::unique((self.keys.get(lane).copied().unwrap_or(u64::MAX), what))
    }

    /// A number that is dragged or typed: tried while dragged, set when let go. What cannot be is refused in words.
    pub fn number(&mut self, ui: &mut Ui, field: &Field<'_>, value: f64, set: impl FnOnce(&mut Scenario, f64)) {
        let (q, units) = (field.quantity, self.units);
        // A range that other values leave empty is held at its low end.
        let (least, most) = (field.range.0, field.range.1.max(field.range.0));
        let ends = [q.shown(least, units), q.shown(most, units)];
        let (low, high) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
        let decimals = q.decimals(units);
        let smallest = 10_f64.powi(-i32::try_from(decimals).unwrap_or(0));
        let before = q.shown(value, units);
        let (mut shown, untouched) = (before, written(before, decimals));
        let bounds = format!("{} to {} {}", plain(low), plain(high), q.unit(units));
        let refused = RefCell::new(None);
        let width = (0.37 * ui.available_width()).clamp(LEAST_FIELD, FIELD);
        let room = width.max(text_width(ui, &format!("{untouched}{}", suffix(q.unit(units)))) + 2.0 * ui.spacing().button_padding.x);
        row_for(ui, room, field.label, |ui, label| {
            ui.spacing_mut().interact_size.x = width;
            let speed = (shown.abs() * 0.004).clamp(smallest * 0.1, 1e5);
            let drag = DragValue::new(&mut shown)
                .range(low..=high)
                .clamp_existing_to_range(false)
                .speed(speed)
                .custom_formatter(|v, _| written(v, decimals))
                .suffix(suffix(q.unit(units)))
                .update_while_editing(false)
                .custom_parser(|text| {
                    let typed = text.trim().trim_end_matches(q.unit(units)).trim().replace('−', "-").replace(',', ".");
                    // A field that is entered and left as it stood keeps every digit that it does not show.
                    if typed == untouched {
                        return Some(before);
                    }
                    let found = typed.parse::<f64>().ok().filter(|v| (low..=high).contains(v));
                    if found.is_none() {
                        let text: String = text.chars().take(30).collect();
                        *refused.borrow_mut() =
                            Some(format!("{}: \"{text}\" is refused. It takes a number, {bounds}.", field.spoken.unwrap_or(field.label)));
                    }
                    found
                });
            let mut response = ui.add(drag);
            match field.spoken {
                Some(name) => {
                    ui.ctx().accesskit_node_builder(response.id, |node| node.set_label(name));
                }
                None => response = response.labelled_by(label),
            }
            let response = response.on_hover_text(format!("{}\n{bounds}", field.hover));
            let name = |data: f64| format!("Set {} to {}", field.what, named(q, data, units));
            if response.dragged() && response.changed() {
                let data = q.data(shown, units).clamp(least, most);
                let after = self.changed(|s| set(s, data)).0;
                self.actions.push(Action::TryField(name(data), Box::new(after)));
            } else if response.drag_stopped() {
                self.actions.push(Action::Keep);
            } else if response.changed() {
                let data = q.data(shown, units).clamp(least, most);
                self.set(name(data), |s| set(s, data));
            }
        });
        if let Some(text) = refused.into_inner() {
            self.actions.push(Action::Say(text));
        }
    }

    /// The field of a number that an owner may have, by its entry; `place` finds the owner in the scenario that is changed.
    pub fn entry<T>(&mut self, ui: &mut Ui, entry: &Entry<T>, whose: &str, owner: &T, place: impl FnOnce(&mut Scenario) -> Option<&mut T>) {
        let Some(value) = (entry.get)(owner, self.library) else { return };
        let field = Field::of(entry, whose, owner, self.library);
        self.number(ui, &field, value, |s, v| {
            if let Some(owner) = place(s) {
                (entry.set)(owner, v);
            }
        });
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
            // A long name is cut in the field and told whole here.
            menu.response.labelled_by(label).on_hover_text(format!("{now}\n{}", words[1]));
        });
        chosen
    }

    /// A switch.
    pub fn switch(&mut self, ui: &mut Ui, words: [&str; 2], now: bool) -> bool {
        let mut on = now;
        ui.checkbox(&mut on, words[0]).on_hover_text(words[1]).changed()
    }

    /// A quiet line.
    pub fn note(&self, ui: &mut Ui, text: &str) -> Response {
        ui.label(RichText::new(text).size(NOTE).color(self.t.quiet))
    }

    /// What belongs to the line above stands a little in, along a line of its own.
    pub fn inset(&mut self, ui: &mut Ui, body: impl FnOnce(&mut Self, &mut Ui)) {
        let margin = Margin { left: 8, ..Margin::ZERO };
        let within = Frame::new().inner_margin(margin).show(ui, |ui| body(self, ui)).response.rect;
        ui.painter().vline(within.left() + 2.0, within.y_range(), Stroke::new(1.0, self.t.rule));
    }

    /// Unfolds a part, or folds it away, when it is drawn next.
    pub fn unfold(ui: &Ui, id: Id, open: bool) {
        ui.data_mut(|d| d.insert_temp(id.with("unfold"), open));
    }

    /// A part that is folded away until it is wanted.
    pub fn fold(&mut self, ui: &mut Ui, id: Id, head: &str, open: bool, body: impl FnOnce(&mut Self, &mut Ui)) {
        let fits = fitting(ui, head);
        let fold = CollapsingHeader::new(RichText::new(&fits).color(self.t.ink)).id_salt(id).default_open(open);
        let fold = fold.open(ui.data_mut(|d| d.remove_temp::<bool>(id.with("unfold"))));
        let inset = self.depth > 0;
        self.depth += 1;
        let shown = fold.show_unindented(ui, |ui| {
            if inset {
                self.inset(ui, body);
            } else {
                body(self, ui);
            }
            ui.add_space(4.0);
        });
        self.depth -= 1;
        if fits != head {
            shown.header_response.on_hover_text(head);
        }
    }
}

/// A label at the left, a menu or a text at the right.
pub fn row(ui: &mut Ui, label: &str, add: impl FnOnce(&mut Ui, Id)) {
    row_for(ui, MENU, label, add);
}

/// A label at the left, a field at the right; where both do not fit, the field stands below its label.
/// `room` is the width that the field needs.
pub fn row_for(ui: &mut Ui, room: f32, label: &str, add: impl FnOnce(&mut Ui, Id)) {
    let field = |ui: &mut Ui, id: Id, add: &mut dyn FnMut(&mut Ui, Id)| {
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| add(ui, id));
    };
    let mut add = Some(add);
    let mut once = |ui: &mut Ui, id: Id| {
        if let Some(add) = add.take() {
            add(ui, id);
        }
    };
    if text_width(ui, label) + ui.spacing().item_spacing.x + room <= ui.available_width() {
        ui.horizontal(|ui| {
            let id = ui.label(label).id;
            field(ui, id, &mut once);
        });
    } else {
        let id = ui.label(label).id;
        ui.horizontal(|ui| field(ui, id, &mut once));
    }
}

/// A fact that is only shown.
pub fn fact(form: &Form<'_>, ui: &mut Ui, name: &str, value: &str) {
    row(ui, name, |ui, _: Id| {
        ui.label(RichText::new(value).color(form.t.quiet));
    });
}

fn text_width(ui: &Ui, text: &str) -> f32 {
    ui.painter().layout_no_wrap(text.to_owned(), theme::plain(theme::TEXT), Color32::WHITE).size().x
}

/// A head that never pushes a card wider than its panel: the toolkit's folds do not cut theirs.
fn fitting(ui: &Ui, head: &str) -> String {
    let room = ui.available_width() - 28.0;
    let mut text = head.to_owned();
    let mut kept = head.chars().count();
    while text_width(ui, &text) > room && kept > 4 {
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
