//! The figures of the day, per lane: values, states in words, sentences of cause, lean by its parts; and what a change did.

mod parts_of_lean;
pub mod rows;

use std::sync::Arc;

use eframe::egui::accesskit::Role;
use eframe::egui::{
    CollapsingHeader, Color32, CornerRadius, Galley, Rect, RichText, Sense, Stroke, TextStyle, TextWrapMode, Ui, WidgetInfo, WidgetText,
    pos2, vec2,
};

use crate::app::actions::action::Action;
use crate::app::look::books;
use crate::app::look::theme::{self, HEAD, NOTE, TEXT, Tokens};
use crate::app::look::widgets::lane_head;
use crate::app::state::bench::Bench;
use crate::app::state::patience::LONGEST;
use crate::app::state::settling::Why;
use crate::engine::run::LaneRun;
use crate::figures::verdict::Mood;
use crate::projection::LaneReport;
use crate::projection::origin::Origin;
use crate::scenario::Lane;

use self::rows::{Listed, Row};

/// Least width of the column of states.
const STATE: f32 = 56.0;
/// Between two columns of a row.
const GAP: f32 = 5.0;
/// Kept free for the bar that scrolls.
const EDGE: f32 = 5.0;
/// Height of a row, and what an aim under its value adds.
const LINE: f32 = 19.0;
const UNDER: f32 = 13.0;

/// Draws the panel.
pub fn show(ui: &mut Ui, t: &Tokens, bench: &Bench, actions: &mut Vec<Action>) {
    ui.spacing_mut().item_spacing.y = 2.0;
    let shown = bench.shown();
    if shown.run.lanes.is_empty() {
        ui.label(RichText::new("No figures yet").font(theme::strong(HEAD)));
        let when = if shown.is_waiting() { "they are computed" } else { "a lane can be projected" };
        ui.label(RichText::new(format!("The day's figures stand here as soon as {when}.")).color(t.quiet));
    }
    for (index, lane, run) in shown.lanes() {
        lane_head(ui, t, index, &lane.name);
        books::in_figures(ui, t, run);
        match shown.reports.get(index).and_then(Option::as_ref) {
            Some(report) => lane_figures(ui, t, bench, (index, lane, run), report, actions),
            None => {
                let (why, colour) = match &run.error {
                    Some(stopped) => (format!("{stopped}. {}", stopped.remedy()), t.attention),
                    None if !shown.is_whole() => ("This day is being computed.".to_owned(), t.quiet),
                    None => ("The run did not reach this day.".to_owned(), t.attention),
                };
                ui.label(RichText::new(why).color(colour));
            }
        }
        ui.add_space(4.0);
    }
    if bench.settling_given_up() == Some(Why::TookLong) {
        let text = format!("Whether these figures stay is not known: no settled day within {} s. Show it to look on.", LONGEST.as_secs());
        ui.label(RichText::new(text).size(NOTE).color(t.quiet));
    }
    about(ui, t, &shown.scenario.note);
}

/// What the bench asks, where one looks when it is opened.
fn about(ui: &mut Ui, t: &Tokens, note: &str) {
    if !note.is_empty() {
        ui.add_space(6.0);
        ui.label(RichText::new("About this bench").font(theme::strong(HEAD)));
        ui.label(RichText::new(note).size(NOTE).color(t.quiet));
    }
}

fn lane_figures(
    ui: &mut Ui,
    t: &Tokens,
    bench: &Bench,
    (index, lane, run): (usize, &Lane, &LaneRun),
    report: &LaneReport,
    actions: &mut Vec<Action>,
) {
    let units = bench.units;
    let settled = bench.settles().and_then(|day| Some((day.reports.get(index)?.as_ref()?, *day.settled.as_ref()?.get(index)?)));
    let listed = Listed { lane, run, report, settled, presets: &bench.library().targets };
    let mut list = |ui: &mut Ui, rows: Vec<Row>| {
        for row in rows {
            let origin = row.figure.map(|figure| Origin { lane: index, figure });
            let on = origin.is_some() && origin == bench.origin;
            if show_row(ui, t, &row, on) {
                actions.push(Action::Origin(origin.filter(|_| !on)));
            }
        }
    };
    list(ui, rows::judged(&listed, units));
    ui.push_id(index, |ui| {
        ui.spacing_mut().interact_size.y = 18.0;
        let quiet = |text: String| RichText::new(text).size(NOTE + 0.5).color(t.quiet);
        parts_of_lean::show(ui, t, report);
        let all = CollapsingHeader::new(quiet("All figures of the day".to_owned())).id_salt("all");
        all.show_unindented(ui, |ui| list(ui, rows::further(report, units)));
    });
    ui.add_space(3.0);
    let sentences = report.causes(&bench.shown().scenario, lane, run, units);
    ui.label(RichText::new(sentences.join(" ")).size(NOTE).color(t.quiet));
}

/// Draws a figure; true when it was clicked. Its aim stands beside its value, or under it where the line has no room.
fn show_row(ui: &mut Ui, t: &Tokens, row: &Row, on: bool) -> bool {
    let sense = if row.figure.is_some() { Sense::click() } else { Sense::hover() };
    let paint = ui.painter();
    let plain = |text: &str, size: f32, colour: Color32| paint.layout_no_wrap(text.to_owned(), theme::plain(size), colour);
    let name = plain(row.name, TEXT, t.ink);
    let state = plain(if on && row.mood == Mood::Plain { "shown" } else { &row.state }, NOTE + 0.5, mood(t, row.mood));
    let aim = row.aim.as_ref().map(|aim| plain(aim, NOTE, t.quiet));
    let room = ui.available_width() - EDGE - state.size().x.max(STATE) - GAP;
    let value = plain(&row.value, TEXT, t.ink);
    let followed = plain(&format!("{},", row.value), TEXT, t.ink);
    let beside = aim.as_ref().map_or(0.0, |aim| aim.size().x + 4.0);
    let under = aim.is_some() && name.size().x + GAP + followed.size().x + beside > room;
    let height = if under { LINE + UNDER } else { LINE };
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), height), sense);
    let aimed = row.aim.as_ref().map_or_else(String::new, |aim| format!(", {aim}"));
    let spoken = format!("{}: {}{aimed} {}", row.name, row.value, row.state);
    if row.figure.is_some() {
        response.widget_info(|| WidgetInfo::selected(Role::Button, true, on, &spoken));
    } else {
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
    }
    let paint = ui.painter();
    if on || response.has_focus() || (row.figure.is_some() && response.hovered()) {
        paint.rect_filled(rect.expand2(vec2(4.0, 0.0)), CornerRadius::same(3), t.night);
    }
    let y = rect.top() + 0.5 * LINE;
    // Words stand in a column; longer ones end at the edge.
    let state_left = rect.right() - EDGE - state.size().x.max(STATE);
    let right = rect.left() + room;
    let put = |left: f32, y: f32, galley: Arc<Galley>| {
        let top = y - 0.5 * galley.size().y;
        paint.galley(pos2(left, top), galley, t.ink);
    };
    put(rect.left(), y, name);
    put(state_left, y, state);
    match aim {
        Some(aim) if under => {
            put(right - value.size().x, y, value);
            put(right - aim.size().x, y + 0.5 * (LINE + UNDER) - 2.0, aim);
        }
        Some(aim) => {
            put(right - beside - followed.size().x, y, followed);
            put(right - aim.size().x, y + 0.5, aim);
        }
        None => put(right - value.size().x, y, value),
    }
    paint.hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, t.grid));
    let hint = if row.figure.is_some() { ". Click to see where on the tracks it comes from, click again or Escape to stop." } else { "" };
    response.on_hover_text(format!("{}{hint}", row.hover)).clicked()
}

fn mood(t: &Tokens, mood: Mood) -> Color32 {
    match mood {
        Mood::Good => t.good,
        Mood::Attention => t.attention,
        Mood::Plain => t.quiet,
    }
}

/// What the change being tried, or else the last one, did. It always has its place, so that nothing jumps when it speaks.
pub fn change_block(ui: &mut Ui, t: &Tokens, bench: &Bench) {
    ui.spacing_mut().item_spacing.y = 2.0;
    let Some(change) = bench.change() else {
        ui.label(RichText::new("What a change does").font(theme::strong(TEXT)));
        ui.label(RichText::new("Grab an event: what moving it does to the day's figures is told here.").size(NOTE + 0.5).color(t.quiet));
        return;
    };
    ui.label(RichText::new(&change.title).font(theme::strong(TEXT)));
    if !change.what.is_empty() {
        ui.label(RichText::new(&change.what).size(NOTE + 0.5));
    }
    for lane in &change.lanes {
        let said = lane.words(bench.units);
        let text = WidgetText::from(RichText::new(&said).size(NOTE + 0.5).color(t.ink));
        let room = ui.available_width() - 16.0;
        let words = text.into_galley(ui, Some(TextWrapMode::Wrap), room, TextStyle::Body);
        let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), words.size().y + 1.0), Sense::hover());
        let dot = Rect::from_min_size(pos2(rect.left(), rect.top() + 4.0), vec2(8.0, 8.0));
        ui.painter().rect_filled(dot, CornerRadius::same(2), t.lane(lane.lane));
        ui.painter().galley(pos2(rect.left() + 15.0, rect.top()), words, t.ink);
        let spoken = format!("{}: {said}", lane.name);
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
        response.on_hover_text(spoken);
    }
}
