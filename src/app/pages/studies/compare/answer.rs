//! What differs, side by side: a column for each bench.

use eframe::egui::{Grid, Id, Label, RichText, ScrollArea, Ui};
use serde_json::Value;

use super::super::figure_words;
use crate::app::look::theme::{self, HEAD, NOTE, TEXT, Tokens};
use crate::app::look::widgets::lane_head;
use crate::scenario::{Event, Give};
use crate::studies::compare::differences::text;
use crate::studies::compare::schedules::PlanComparison;
use crate::studies::compare::{Comparison, Difference, LaneComparison};
use crate::studies::told::FIGURES;
use crate::units::{Quantity, Units};

/// Width of a label, points.
const LABEL: f32 = 200.0;
/// Least and most width of a value, and the gap before it, points.
const CELL: (f32, f32) = (130.0, 240.0);
const GAP: f32 = 12.0;
/// Rows of a table that are drawn; a long schedule has more.
const ROWS: usize = 80;

/// Draws the answer.
pub fn show(ui: &mut Ui, t: &Tokens, units: Units, (found, letters): (&Comparison, &[char])) {
    ScrollArea::horizontal().id_salt("comparison, sideways").show(ui, |ui| {
        ui.vertical(|ui| {
            for (letter, (name, (days, ran))) in letters.iter().zip(found.files.iter().zip(found.days.iter().zip(&found.ran))) {
                let state = if *ran { format!("figures of day {days}") } else { "not run to its end: no figures".to_owned() };
                ui.add(Label::new(format!("{letter}  {name}: {state}")).truncate());
            }
            head(ui, "Setup");
            if found.setup.is_empty() {
                ui.label("Nothing in it differs.");
            } else {
                table(ui, t, (Id::unique("setup compared"), letters), &found.setup, |d| difference(d, units));
            }
            head(ui, "Schedule");
            if found.schedule.is_empty() {
                ui.label("Nothing in it differs.");
            }
            for (i, plan) in found.schedule.iter().enumerate() {
                schedule(ui, t, (units, i), letters, plan);
            }
            head(ui, "Figures of the last day");
            for (index, lane) in found.lanes.iter().enumerate() {
                figures(ui, t, (units, index), letters, lane);
            }
        });
    });
}

fn head(ui: &mut Ui, words: &str) {
    ui.add_space(8.0);
    ui.label(RichText::new(words).font(theme::strong(HEAD)));
}

/// A row: its label, what is told of it under the pointer, and a value for each bench.
struct Row {
    label: String,
    hover: String,
    cells: Vec<String>,
}

fn table<T>(ui: &mut Ui, t: &Tokens, (id, letters): (Id, &[char]), rows: &[T], row: impl Fn(&T) -> Row) {
    #[allow(clippy::cast_precision_loss)]
    let width = ((ui.available_width() - LABEL) / letters.len().max(1) as f32 - GAP).clamp(CELL.0, CELL.1);
    Grid::new(id).num_columns(1 + letters.len()).spacing([GAP, 2.0]).striped(true).show(ui, |ui| {
        cell(ui, LABEL, RichText::new(""), "");
        for letter in letters {
            cell(ui, width, RichText::new(letter.to_string()).font(theme::strong(TEXT)), "");
        }
        ui.end_row();
        for of in rows.iter().take(ROWS) {
            let Row { label, hover, cells } = row(of);
            cell(ui, LABEL, RichText::new(&label).color(t.quiet), &hover);
            for value in &cells {
                // What differs from the bench is told from what does not by its weight, too.
                let text = RichText::new(value);
                let other = cells.first().is_some_and(|first| first != value);
                cell(ui, width, if other { text.font(theme::strong(TEXT)) } else { text }, value);
            }
            ui.end_row();
        }
    });
    if rows.len() > ROWS {
        let text = format!("{} more; the exported answer has all of them.", rows.len() - ROWS);
        ui.label(RichText::new(text).size(NOTE).color(t.quiet));
    }
}

/// A text in a cell of its width; whole under the pointer.
fn cell(ui: &mut Ui, width: f32, text: RichText, hover: &str) {
    ui.scope(|ui| {
        ui.set_width(width);
        let label = ui.add(Label::new(text).truncate());
        if !hover.is_empty() {
            label.on_hover_text(hover);
        }
    });
}

/// What differs, in words where there are any.
fn difference(of: &Difference, units: Units) -> Row {
    let own = of.field.rsplit("\"]").next().unwrap_or_default().trim_start_matches('.');
    let what = match (of.words, own) {
        (Some(words), _) => words.to_owned(),
        (None, "") => "this lane".to_owned(),
        (None, own) => path_words(own),
    };
    let unit = of.quantity.map_or("", |q| q.unit(units));
    let what = if unit.is_empty() { what } else { format!("{what}, {unit}") };
    let label = of.lane.as_ref().map_or_else(|| what.clone(), |lane| format!("{lane}: {what}"));
    let value = |v: &Value| match (of.quantity, v.as_f64()) {
        (Some(quantity), Some(value)) => number(quantity.shown(value, units)),
        _ if v.is_null() => "–".to_owned(),
        _ => text(v),
    };
    Row { hover: format!("{label}\n{} in the file", of.field), label, cells: of.values.iter().map(value).collect() }
}

/// A field's path as it is read: the kinds of a choice, which begin with a capital letter, say nothing more.
fn path_words(path: &str) -> String {
    let is_field = |part: &&str| !part.starts_with(|c: char| c.is_ascii_uppercase());
    path.split('.').filter(is_field).map(|part| part.replace('_', " ")).collect::<Vec<_>>().join(", ")
}

/// A number as it was typed, without what arithmetic leaves behind it.
fn number(value: f64) -> String {
    let rounded = format!("{value:.6}");
    rounded.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn schedule(ui: &mut Ui, t: &Tokens, (units, index): (Units, usize), letters: &[char], plan: &PlanComparison) {
    let row = |label: &str, cell: &dyn Fn(usize) -> String| Row {
        label: label.to_owned(),
        hover: label.to_owned(),
        cells: (0..plan.plans.len()).map(cell).collect(),
    };
    let at = |clock: Option<crate::scenario::Clock>| clock.map_or_else(|| "–".to_owned(), |c| c.to_string());
    ui.label(format!("Valve {}, from day {} on:", plan.valve, plan.from_day));
    let dripped = format!("dripped in a day, {} a plant", Quantity::Millilitres.unit(units));
    let mut rows = vec![
        row("events of a day", &|i| plan.plans[i].events.to_string()),
        row(&dripped, &|i| {
            format!("{:.1$}", Quantity::Millilitres.shown(plan.plans[i].drip_ml, units), Quantity::Millilitres.decimals(units))
        }),
        row("first", &|i| at(plan.plans[i].first)),
        row("last", &|i| at(plan.plans[i].last)),
        row("rules", &|i| plan.plans[i].rules.to_string()),
    ];
    for event in &plan.events {
        rows.push(row(&format!("at {}", event.start), &|i| event.events[i].map_or_else(|| "–".to_owned(), |e| given(e, units))));
    }
    rows.extend(plan.rules.iter().map(|rule| difference(rule, units)));
    let id = Id::unique("schedules compared").with(index);
    let shown = |row: &Row| Row { label: row.label.clone(), hover: row.hover.clone(), cells: row.cells.clone() };
    table(ui, t, (id, letters), &rows, shown);
    ui.add_space(4.0);
}

/// What an event gives.
fn given(event: Event, units: Units) -> String {
    let what = match event.give {
        Give::Drip { ml } => Quantity::Millilitres.text(ml, units),
        Give::Flood { depth_cm } => format!("flood {}", Quantity::Length.text(depth_cm, units)),
    };
    let ec = event.ec.map_or_else(String::new, |ec| format!(", EC {}", Quantity::Ec.text(ec, units)));
    let days = if event.days.are_all() { String::new() } else { format!(", {}", event.days) };
    format!("{what} in {} s{ec}{days}", event.seconds)
}

fn figures(ui: &mut Ui, t: &Tokens, (units, index): (Units, usize), letters: &[char], lane: &LaneComparison) {
    let first = lane.names.iter().flatten().next().map_or("", String::as_str);
    lane_head(ui, t, index, first);
    for (letter, name) in letters.iter().zip(&lane.names) {
        match name {
            None => ui.label(RichText::new(format!("{letter} has no such lane.")).size(NOTE).color(t.quiet)),
            Some(name) if name != first => {
                ui.add(Label::new(RichText::new(format!("In {letter} it is called {name}.")).size(NOTE).color(t.quiet)).truncate())
            }
            Some(_) => continue,
        };
    }
    for (letter, why) in letters.iter().zip(&lane.failed) {
        if let Some(why) = why {
            ui.label(RichText::new(format!("{letter} failed: {why}. Do not rely on its figures.")).color(t.attention));
        }
    }
    let mut rows: Vec<Row> = Vec::new();
    for figure in &FIGURES {
        let Some(values) = lane.figures.get(figure.key).filter(|v| v.iter().any(Option::is_some)) else { continue };
        let label = format!("{}, {}", figure_words::words(figure.key), figure_words::unit(figure.key, units));
        let cells = values.iter().map(|v| figure_words::value(figure.key, *v, units)).collect();
        rows.push(Row { hover: label.clone(), label, cells });
    }
    for (aim, words) in &lane.words {
        let label = format!("aim: {}", figure_words::words(aim));
        let cells = words.iter().map(|w| w.unwrap_or("–").to_owned()).collect();
        rows.push(Row { hover: label.clone(), label, cells });
    }
    let id = Id::unique("figures compared").with(index);
    let shown = |row: &Row| Row { label: row.label.clone(), hover: row.hover.clone(), cells: row.cells.clone() };
    table(ui, t, (id, letters), &rows, shown);
    ui.add_space(6.0);
}
