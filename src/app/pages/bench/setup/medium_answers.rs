//! A medium of one's own by plain answers: what it keeps when it has drained, and how long it drips. The letters of its curve follow.

use eframe::egui::{Id, Ui};

use super::entered::own_medium;
use crate::app::look::form::{Field, Form};
use crate::edits::drained::{self, Kept};
use crate::scenario::parameter::medium::{MEDIUM, TOLD_AT};
use crate::scenario::{Curve, Medium, Scenario, ranges};
use crate::studies::dripping;
use crate::units::Quantity;

const HEAD: &str = "Soaked, then left to drain in a container this high:";

/// Draws the questions.
pub fn show(form: &mut Form<'_>, ui: &mut Ui, lane: usize, p: usize, m: &Medium) {
    if !drained::answers(m) {
        form.note(ui, "Its curve came from a file. It is set by its letters, under Advanced.");
        return;
    }
    let Some(filled) = form.scenario.lanes.get(lane).and_then(|l| l.container.parts.get(p)).map(|part| part.height_cm) else { return };
    let height = m.told_at_cm.unwrap_or(filled.clamp(ranges::TOLD_AT.0, ranges::TOLD_AT.1));
    form.note(ui, HEAD);
    for entry in MEDIUM.iter().filter(|entry| entry.name == TOLD_AT) {
        let field = Field::of(entry, &m.name, m, form.library);
        form.number(ui, &field, height, |s, v| {
            if let Some(medium) = own_medium(s, lane, p) {
                (entry.set)(medium, v);
            }
        });
    }
    for kept in [Kept::Water, Kept::Air] {
        keeps(form, ui, (lane, p), m, height, kept);
    }
    drips(form, ui, (lane, p), m, height);
}

/// Water or air when drained.
fn keeps(form: &mut Form<'_>, ui: &mut Ui, (lane, p): (usize, usize), m: &Medium, height: f64, kept: Kept) {
    let (label, hover, value) = match kept {
        Kept::Water => (
            "Water kept",
            "What it holds when no more drips out (container capacity). Its air stays as it is, and so does how long it drips.",
            drained::water(m, height),
        ),
        Kept::Air => (
            "Air kept",
            "Air between its particles when no more drips out. What it holds stays as it is, and so does how long it drips.",
            drained::air(m, height),
        ),
    };
    let range = drained::range(m, height, kept);
    let why = drained::beside(m, height, kept);
    let field = Field::new(label, &m.name, Quantity::Share, range, hover).since(why);
    form.number(ui, &field, value, |s, v| {
        answer(s, (lane, p), height, |medium| dripping::answered(medium, height, kept, v).ok());
    });
}

fn drips(form: &mut Form<'_>, ui: &mut Ui, (lane, p): (usize, usize), m: &Medium, height: f64) {
    let Some(minutes) = minutes_shown(ui, form.id(lane, ("drips", p)), m, height) else {
        form.note(ui, "So low a container of it does not drip, or drips for longer than a year.");
        return;
    };
    let hover =
        "How long it drips after it was soaked: until nineteen twentieths of what drains have left. Slow media stay wet after an event.";
    let field = Field::new("Drips for", &m.name, Quantity::Plain("min", 2), dripping::range(m, minutes), hover);
    form.number(ui, &field, minutes, |s, v| {
        answer(s, (lane, p), height, |medium| Some(dripping::for_minutes(medium, height, v)));
    });
}

/// Puts a medium in place of the one in hand; the height that it was told for stays with it.
fn answer(s: &mut Scenario, (lane, p): (usize, usize), height: f64, change: impl FnOnce(&Medium) -> Option<Medium>) {
    if let Some(medium) = own_medium(s, lane, p)
        && let Some(next) = change(medium)
    {
        *medium = Medium { told_at_cm: Some(height), ..next };
    }
}

/// How long it drips, kept while its curve stands: a drained container is a run.
fn minutes_shown(ui: &Ui, id: Id, m: &Medium, height: f64) -> Option<f64> {
    let of = (m.curve, m.full_up_to(), height);
    if let Some((kept, minutes)) = ui.data(|d| d.get_temp::<((Curve, f64, f64), Option<f64>)>(id))
        && kept == of
    {
        return minutes;
    }
    let minutes = dripping::minutes(m, height);
    ui.data_mut(|d| d.insert_temp(id, (of, minutes)));
    minutes
}
