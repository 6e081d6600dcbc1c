//! A number that is dragged, typed or stepped by arrow keys.

use std::cell::RefCell;

use eframe::egui::{DragValue, Id, Key, Modifiers, Ui};

use super::card::{Form, lower};
use super::digits::{Digits, written};
use super::rows::{row_for, text_width};
use crate::app::actions::action::Action;
use crate::scenario::Scenario;
use crate::scenario::parameter::Entry;
use crate::scenario::presets::Library;
use crate::scenario::ranges::Range;
use crate::units::{Quantity, Units};

/// Width of a number's field where there is room: fields stand in a column.
const FIELD: f32 = 82.0;
/// Its least width.
const LEAST_FIELD: f32 = 62.0;

/// A number's words and bounds.
pub struct Field<'a> {
    label: &'a str,
    /// The name for those who hear it, where the label says only half.
    spoken: Option<&'a str>,
    what: String,
    quantity: Quantity,
    /// The same for exactly one of them, where that has a word of its own.
    one: Option<Quantity>,
    range: Range,
    hover: &'a str,
    /// Why nothing else can be, where the range alone does not tell.
    why: Option<String>,
}

impl<'a> Field<'a> {
    /// A field: what stands beside it, what it belongs to ("lane 1"; empty for the bench), what it is, what it may be
    /// in the data's unit, and what it does to the root zone.
    #[must_use]
    pub fn new(label: &'a str, of: &str, quantity: Quantity, range: Range, hover: &'a str) -> Self {
        let what = if of.is_empty() { lower(label) } else { format!("{} of {of}", lower(label)) };
        Self { label, spoken: None, what, quantity, one: None, range, hover, why: None }
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

    /// One alone stands in the singular.
    #[must_use]
    pub fn singular(self, one: Quantity) -> Self {
        Self { one: Some(one), ..self }
    }

    /// Why nothing beyond its range can be: told with a refusal.
    #[must_use]
    pub fn since(self, why: String) -> Self {
        Self { why: Some(why), ..self }
    }

    /// What a value is.
    fn quantity_of(&self, value: f64) -> Quantity {
        self.one.filter(|_| value.to_bits() == 1.0_f64.to_bits()).unwrap_or(self.quantity)
    }
}

impl Form<'_> {
    /// A number that is dragged or typed: tried while dragged, set when let go. What cannot be is refused in words.
    pub fn number(&mut self, ui: &mut Ui, field: &Field<'_>, value: f64, set: impl FnOnce(&mut Scenario, f64)) {
        let (q, units) = (field.quantity_of(value), self.units);
        // A range that other values leave empty is held at its low end.
        let (least, most) = (field.range.0, field.range.1.max(field.range.0));
        let ends = [q.shown(least, units), q.shown(most, units)];
        let (low, high) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
        let digits = Digits::new(q, units, (low, high));
        let before = q.shown(value, units);
        let (mut shown, untouched) = (before, digits.written(before));
        let bounds = format!("{} to {} {}", plain(low), plain(high), q.unit(units));
        let refused = RefCell::new(None);
        let width = (0.37 * ui.available_width()).clamp(LEAST_FIELD, FIELD);
        let room = width.max(text_width(ui, &format!("{untouched}{}", suffix(q.unit(units)))) + 2.0 * ui.spacing().button_padding.x);
        row_for(ui, room, field.label, |ui, label| {
            ui.spacing_mut().interact_size.x = width;
            let id = ui.next_auto_id();
            let by = arrows(ui, id);
            if by != 0.0 {
                shown = digits.stepped(before, by);
            }
            let speed = if ui.ctx().is_being_dragged(id) { digits.speed(before) } else { digits.step(before) };
            let drag = DragValue::new(&mut shown)
                .range(low..=high)
                .clamp_existing_to_range(false)
                .speed(speed)
                .custom_formatter(|v, _| digits.written(v))
                .suffix(suffix(q.unit(units)))
                .update_while_editing(false)
                .custom_parser(|text| {
                    // A field that is entered and left as it stood keeps every digit that it does not show.
                    if text.trim().trim_end_matches(q.unit(units)).trim() == untouched {
                        return Some(before);
                    }
                    let found = q.typed(text, units).filter(|v| (low..=high).contains(v));
                    if found.is_none() {
                        let text: String = text.chars().take(30).collect();
                        let (label, why) = (field.spoken.unwrap_or(field.label), field.why.as_deref().unwrap_or_default());
                        let told = format!("{label}: \"{text}\" is refused. It takes a number, {bounds}. {why}");
                        *refused.borrow_mut() = Some(told.trim_end().to_owned());
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
            let name = |data: f64| format!("Set {} to {}", field.what, named(field.quantity_of(data), data, units));
            // What is set is what is then shown: no digit more.
            let is_moved = by != 0.0 || response.changed();
            let moved = (is_moved && shown.to_bits() != before.to_bits())
                .then(|| digits.settled(shown))
                .filter(|v| v.to_bits() != before.to_bits());
            let moved = moved.map(|shown| q.data(shown, units).clamp(least, most));
            match moved {
                Some(data) if response.dragged() => {
                    let after = self.changed(|s| set(s, data)).0;
                    self.actions.push(Action::TryField(name(data), Box::new(after)));
                }
                _ if response.drag_stopped() => self.actions.push(Action::Keep),
                Some(data) => self.set(name(data), |s| set(s, data)),
                None => {}
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
}

/// How often arrow keys were pressed in a field that has the keyboard: up counts, down counts against it. The field itself gets none.
fn arrows(ui: &Ui, id: Id) -> f64 {
    if !ui.memory(|m| m.has_focus(id)) {
        return 0.0;
    }
    let pressed = |key| u32::try_from(ui.input_mut(|i| i.count_and_consume_key(Modifiers::NONE, key))).unwrap_or(0);
    f64::from(pressed(Key::ArrowUp)) - f64::from(pressed(Key::ArrowDown))
}

fn suffix(unit: &str) -> String {
    if unit.is_empty() { String::new() } else { format!(" {unit}") }
}

fn named(q: Quantity, data: f64, units: Units) -> String {
    format!("{}{}", written(q.shown(data, units), q.decimals(units)), suffix(q.unit(units)))
}

fn plain(value: f64) -> String {
    if value != 0.0 && !(1e-3..1e6).contains(&value.abs()) { format!("{value:.0e}") } else { written(value, 3) }
}
