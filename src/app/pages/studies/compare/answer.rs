//! What differs, side by side: a column for each bench.

use eframe::egui::{Grid, Id, Label, RichText, ScrollArea, Ui};
use serde_json::Value;

use super::super::figure_words;
use super::values;
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
                setup(ui, t, (units, letters), found);
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

/// What differs in the setup: what all lanes share, then lane by lane.
fn setup(ui: &mut Ui, t: &Tokens, (units, letters): (Units, &[char]), found: &Comparison) {
    let mut groups: Vec<(Option<&str>, Vec<&Difference>)> = Vec::new();
    for difference in &found.setup {
        match groups.last_mut().filter(|g| g.0 == difference.lane.as_deref()) {
            Some((_, of)) => of.push(difference),
            None => groups.push((difference.lane.as_deref(), vec![difference])),
        }
    }
    for (i, (lane, of)) in groups.iter().enumerate() {
        if let Some(lane) = lane {
            let first = |l: &LaneComparison| l.names.iter().flatten().next().is_some_and(|name| name == lane);
            lane_head(ui, t, found.lanes.iter().position(first).unwrap_or(i), lane);
        }
        table(ui, t, (Id::unique("setup compared").with(i), letters), of, |d| difference(d, units));
    }
}

/// A row: its label, what is told of it under the pointer, and a value for each bench.
struct Row {
    label: String,
    hover: String,
    cells: Vec<Cell>,
}

/// A value: its words, what is told of it under the pointer, and whether it is another than the bench's.
struct Cell {
    text: String,
    hover: String,
    other: bool,
}

impl Row {
    /// What differs by its words.
    fn plain(label: String, cells: Vec<String>) -> Self {
        let first = cells.first().cloned();
        let cell = |text: String| Cell { hover: text.clone(), other: first.as_ref() != Some(&text), text };
        Self { hover: label.clone(), label, cells: cells.into_iter().map(cell).collect() }
    }
}

/// A table of what is not made into rows yet: only those that are drawn are.
fn table<T>(ui: &mut Ui, t: &Tokens, of: (Id, &[char]), rows: &[T], row: impl Fn(&T) -> Row) {
    let (all, drawn) = (rows.len(), rows.iter().take(ROWS).map(row).collect());
    drawn_table(ui, t, of, (drawn, all));
}

fn drawn_table(ui: &mut Ui, t: &Tokens, (id, letters): (Id, &[char]), (rows, all): (Vec<Row>, usize)) {
    #[allow(clippy::cast_precision_loss)]
    let width = ((ui.available_width() - LABEL) / letters.len().max(1) as f32 - GAP).clamp(CELL.0, CELL.1);
    Grid::new(id).num_columns(1 + letters.len()).spacing([GAP, 2.0]).striped(true).show(ui, |ui| {
        cell(ui, LABEL, RichText::new(""), "");
        for letter in letters {
            cell(ui, width, RichText::new(letter.to_string()).font(theme::strong(TEXT)), "");
        }
        ui.end_row();
        for Row { label, hover, cells } in rows {
            cell(ui, LABEL, RichText::new(&label).color(t.quiet), &hover);
            for Cell { text, hover, other } in cells {
                // What differs from the bench is told from what does not by its weight, too.
                let text = RichText::new(text);
                cell(ui, width, if other { text.font(theme::strong(TEXT)) } else { text }, &hover);
            }
            ui.end_row();
        }
    });
    if all > ROWS {
        let text = format!("{} more; the exported answer has all of them.", all - ROWS);
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
        (Some(words), own) if own.starts_with("targets.") => format!("Aim: {}", words.to_lowercase().replace(" ec", " EC")),
        (Some(words), _) => words.to_owned(),
        (None, "") => "This lane".to_owned(),
        (None, own) => path_words(own),
    };
    let unit = of.quantity.map_or("", |q| q.unit(units));
    let label = if unit.is_empty() { what } else { format!("{what}, {unit}") };
    let told = |v: &Value| values::told_at(own, v, of.quantity, units);
    let first = of.values.first();
    let cell = |v: &Value| {
        let other = first != Some(v);
        // What is not the same never reads the same.
        let words = if other && first.is_some_and(|first| told(first) == told(v)) { text(v) } else { told(v) };
        let hover = if v.is_object() || v.is_array() { format!("{words}\n{}", text(v)) } else { words.clone() };
        Cell { hover, text: words, other }
    };
    Row { hover: format!("{label}\n{} in the file", of.field), label, cells: of.values.iter().map(cell).collect() }
}

/// A field's path as it is read: the kinds of a choice, which begin with a capital letter, say nothing more.
fn path_words(path: &str) -> String {
    let is_field = |part: &&str| !part.starts_with(|c: char| c.is_ascii_uppercase());
    let words = path.split('.').filter(is_field).map(|part| part.replace('_', " ")).collect::<Vec<_>>().join(", ");
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn schedule(ui: &mut Ui, t: &Tokens, (units, index): (Units, usize), letters: &[char], plan: &PlanComparison) {
    let row = |label: &str, cell: &dyn Fn(usize) -> String| Row::plain(label.to_owned(), (0..plan.plans.len()).map(cell).collect());
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
        rows.push(Row { cells: events(&event.events, units), ..row(&format!("at {}", event.start), &|_| String::new()) });
    }
    rows.extend(plan.rules.iter().map(|rule| difference(rule, units)));
    let id = Id::unique("schedules compared").with(index);
    let all = rows.len();
    rows.truncate(ROWS);
    drawn_table(ui, t, (id, letters), (rows, all));
    ui.add_space(4.0);
}

/// What begins at a time: as it is read, or with all its digits where that reads like what is not the same.
fn events(events: &[Option<Event>], units: Units) -> Vec<Cell> {
    let first = events.first().copied().flatten();
    let usual = |q: Quantity, v: f64| q.text(v, units);
    let whole = |q: Quantity, v: f64| format!("{} {}", values::number(q.shown(v, units)), q.unit(units));
    let told = |e: Option<Event>, by: &dyn Fn(Quantity, f64) -> String| e.map_or_else(|| "–".to_owned(), |e| given(e, by));
    let cell = |event: &Option<Event>| {
        let other = *event != first;
        let reads_alike = other && told(*event, &usual) == told(first, &usual);
        let text = if reads_alike { told(*event, &whole) } else { told(*event, &usual) };
        Cell { hover: text.clone(), text, other }
    };
    events.iter().map(cell).collect()
}

/// What an event gives, its numbers told by `number`.
fn given(event: Event, number: &dyn Fn(Quantity, f64) -> String) -> String {
    let what = match event.give {
        Give::Drip { ml } => number(Quantity::Millilitres, ml),
        Give::Flood { depth_cm } => format!("flood {}", number(Quantity::Length, depth_cm)),
    };
    let ec = event.ec.map_or_else(String::new, |ec| format!(", EC {}", number(Quantity::Ec, ec)));
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
        rows.push(Row::plain(label, values.iter().map(|v| figure_words::value(figure.key, *v, units)).collect()));
    }
    for (aim, words) in &lane.words {
        let label = format!("aim: {}", figure_words::words(aim));
        rows.push(Row::plain(label, words.iter().map(|w| w.unwrap_or("–").to_owned()).collect()));
    }
    let id = Id::unique("figures compared").with(index);
    let all = rows.len();
    rows.truncate(ROWS);
    drawn_table(ui, t, (id, letters), (rows, all));
    ui.add_space(6.0);
}
