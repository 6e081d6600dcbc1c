//! What a climate log holds, or what stands in the way of taking it.

use eframe::egui::{Align, Layout, RichText, Ui, vec2};

use super::reader::{Answer, count};
use crate::app::look::theme::{self, HEAD, NOTE, Tokens};
use crate::physics::light::Source;
use crate::readings::{DayClimate, Kind, MeanAir, Problem, Reading};
use crate::units::{Quantity, Units};

/// Width of the place of a problem.
const PLACE: f32 = 84.0;
/// Height of a line of the table.
const LINE: f32 = 18.0;
/// Widths of its columns.
const COLUMNS: [f32; 7] = [128.0, 84.0, 58.0, 72.0, 72.0, 72.0, 72.0];

/// Draws the problems in groups, or the days of the log. `source`: what light in µmol/m²/s comes from, if that was logged.
pub fn show(ui: &mut Ui, t: &Tokens, answer: &Answer, source: Option<Source>, units: Units) {
    match &answer.read {
        Err(problems) => groups(ui, t, problems),
        Ok(reading) => {
            if !reading.told.is_empty() {
                head(ui, "What was done and taken for granted");
                for sentence in &reading.told {
                    ui.label(RichText::new(sentence).size(NOTE + 0.5));
                }
                ui.add_space(6.0);
            }
            table(ui, t, reading, &answer.days, source, units);
        }
    }
}

fn head(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(text).font(theme::strong(HEAD)));
}

fn groups(ui: &mut Ui, t: &Tokens, problems: &[Problem]) {
    let mut kinds: Vec<Kind> = problems.iter().map(|p| p.kind).collect();
    kinds.sort_unstable();
    kinds.dedup();
    for kind in kinds {
        let group = || problems.iter().filter(move |p| p.kind == kind);
        let many = if kind == Kind::File { String::new() } else { format!(": {}", count(group())) };
        head(ui, &format!("{}{many}", name(kind)));
        for problem in group() {
            ui.horizontal_top(|ui| {
                let place = problem.line.map_or_else(|| "the file".to_owned(), |line| format!("line {line}"));
                cell(ui, PLACE, Layout::left_to_right(Align::Min), RichText::new(place).color(t.ink).strong());
                ui.vertical(|ui| {
                    ui.spacing_mut().item_spacing.y = 1.0;
                    ui.label(format!("{}.", capital(&problem.what)));
                    ui.label(RichText::new(&problem.remedy).color(t.quiet));
                });
            });
        }
        ui.add_space(6.0);
    }
}

fn name(kind: Kind) -> &'static str {
    match kind {
        Kind::File => "The file",
        Kind::Columns => "Columns",
        Kind::Unreadable => "Rows that cannot be read",
        Kind::Range => "Values that are not believed",
        Kind::Duplicate => "Times that stand twice",
        Kind::Order => "Times out of order",
        Kind::ClockChange => "Summer time",
        Kind::Gap => "Gaps",
        Kind::Span => "Days and steps",
    }
}

/// A sentence's beginning; the name of a column stays as it is.
fn capital(text: &str) -> String {
    let first_word = text.split(' ').next().unwrap_or_default();
    if first_word.contains('_') {
        return text.to_owned();
    }
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

fn cell(ui: &mut Ui, width: f32, layout: Layout, text: RichText) {
    ui.allocate_ui_with_layout(vec2(width, LINE), layout, |ui| {
        ui.set_min_width(width);
        ui.label(text);
    });
}

fn table(ui: &mut Ui, t: &Tokens, reading: &Reading, days: &[DayClimate], source: Option<Source>, units: Units) {
    let temperature = Quantity::Temperature.unit(units);
    let sum = if source.is_some() { "mol/m²" } else { "MJ/m²" };
    (ui.spacing_mut().item_spacing.y, ui.spacing_mut().interact_size.y) = (3.0, LINE);
    let quiet = |text: &str| RichText::new(text).size(NOTE + 0.5).color(t.quiet);
    line(ui, ["", "light", "light", "by day", "by day", "by night", "by night"].map(quiet));
    line(ui, ["Day", sum, "h", temperature, "deficit kPa", temperature, "deficit kPa"].map(quiet));
    for (i, day) in days.iter().enumerate() {
        // A year of days is longer than what is seen of it.
        if !ui.is_rect_visible(eframe::egui::Rect::from_min_size(ui.cursor().min, vec2(ui.available_width(), LINE))) {
            ui.add_space(LINE + ui.spacing().item_spacing.y);
            continue;
        }
        let date =
            reading.first_day.and_then(|first| first.checked_add(jiff::SignedDuration::from_hours(24 * i64::try_from(i).ok()?)).ok());
        let name = date.map_or_else(|| (i + 1).to_string(), |date| format!("{} · {date}", i + 1));
        let light = source.map_or(day.shortwave_mj, |source| source.ppfd(day.shortwave_mj));
        let ([warm, dry], [cool, damp]) = (air(day.by_day, units), air(day.by_night, units));
        line(ui, [name, format!("{light:.2}"), format!("{:.1}", day.light_h), warm, dry, cool, damp].map(RichText::new));
    }
}

fn line(ui: &mut Ui, cells: [RichText; 7]) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        for (i, (text, width)) in cells.into_iter().zip(COLUMNS).enumerate() {
            let layout = if i == 0 { Layout::left_to_right(Align::Center) } else { Layout::right_to_left(Align::Center) };
            cell(ui, width, layout, text);
        }
    });
}

fn air(mean: Option<MeanAir>, units: Units) -> [String; 2] {
    let shown = |m: MeanAir| [format!("{:.1}", Quantity::Temperature.shown(m.celsius, units)), format!("{:.2}", m.deficit)];
    mean.map_or_else(|| ["–", "–"].map(str::to_owned), shown)
}
