//! The figures of the day, per lane: values, states in words, sentences of cause, lean by its parts; and what a change did.

mod parts_of_lean;
mod row;
pub mod rows;

use eframe::egui::accesskit::Role;
use eframe::egui::{
    CollapsingHeader, CornerRadius, Id, Rect, RichText, ScrollArea, Sense, TextStyle, TextWrapMode, Ui, WidgetInfo, WidgetText, pos2, vec2,
};

use crate::app::actions::action::Action;
use crate::app::look::books;
use crate::app::look::theme::{self, HEAD, NOTE, TEXT, Tokens};
use crate::app::look::widgets::{fold_button, lane_head};
use crate::app::pages::bench::about;
use crate::app::state::bench::Bench;
use crate::app::state::dismissed::Dismissed;
use crate::app::state::patience::LONGEST;
use crate::app::state::settling::Why;
use crate::engine::run::LaneRun;
use crate::figures::verdict::Mood;
use crate::projection::LaneReport;
use crate::projection::origin::Origin;
use crate::scenario::Lane;
use crate::units::Units;

use self::rows::{Listed, Row};

/// From so many lanes on, what explains a lane's figures is folded away at first.
const SEVERAL: usize = 3;
/// From so many on, the figures of each are, under a line that says which of them ask for attention.
const MANY: usize = 5;
/// Share of the panel's height that what a change does takes at most; more of it scrolls.
const CHANGE: f32 = 0.3;

/// Told where what is drawn does not begin as its own run-in would leave it.
const BEGINS_AS_BEFORE: &str = "Day 1 begins as before, its run-in follows.";

/// Draws the panel.
pub fn show(ui: &mut Ui, t: &Tokens, bench: &Bench, dismissed: &Dismissed, actions: &mut Vec<Action>) {
    ui.spacing_mut().item_spacing.y = 2.0;
    let shown = bench.shown();
    if shown.run.lanes.is_empty() {
        ui.label(RichText::new("No figures yet").font(theme::strong(HEAD)));
        let when = if shown.is_waiting() { "they are computed" } else { "a lane can be projected" };
        ui.label(RichText::new(format!("The day's figures stand here as soon as {when}.")).color(t.quiet));
    }
    let count = shown.run.lanes.len();
    for (index, lane, run) in shown.lanes() {
        let is_open = head(ui, t, (index, &lane.name), count);
        books::in_figures(ui, t, run);
        match shown.reports.get(index).and_then(Option::as_ref) {
            Some(report) if is_open => lane_figures(ui, t, bench, (index, lane, run), report, actions),
            Some(report) => in_short(ui, t, &listed(bench, (index, lane, run), report), bench.units),
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
    let note = &shown.scenario.note;
    if !note.is_empty() && dismissed.holds(note) {
        about::last(ui, t, note);
    }
}

/// A lane's head. Tells whether its figures are unfolded; of a few lanes they always are.
fn head(ui: &mut Ui, t: &Tokens, (index, name): (usize, &str), count: usize) -> bool {
    if count < MANY {
        lane_head(ui, t, index, name);
        return true;
    }
    ui.horizontal(|ui| {
        let of = format!("the figures of lane {}", index + 1);
        let is_open = fold_button(ui, Id::unique("figures of a lane").with(index), false, &of, "the figures of this lane");
        lane_head(ui, t, index, name);
        is_open
    })
    .inner
}

/// What is known of a lane's day.
fn listed<'a>(bench: &'a Bench, (index, lane, run): (usize, &'a Lane, &'a LaneRun), report: &'a LaneReport) -> Listed<'a> {
    let settled = bench.settles(index).and_then(|day| Some((day.reports.get(index)?.as_ref()?, *day.settled.as_ref()?.get(index)?)));
    Listed { lane, run, report, settled, presets: &bench.library().targets }
}

/// Which figures of a folded lane ask for attention.
fn in_short(ui: &mut Ui, t: &Tokens, listed: &Listed<'_>, units: Units) {
    remarked(ui, t, listed.report, units);
    let rows = rows::judged(listed, units);
    let off: Vec<String> =
        rows.iter().filter(|r| r.mood == Mood::Attention).map(|r| format!("{} {}, {}", r.name, r.value, r.state)).collect();
    let (text, colour) =
        if off.is_empty() { ("no figure asks for attention".to_owned(), t.quiet) } else { (off.join(" · "), t.attention) };
    ui.label(RichText::new(text).size(NOTE).color(colour));
}

/// What of the figures is beyond belief stands above them.
fn remarked(ui: &mut Ui, t: &Tokens, report: &LaneReport, units: Units) {
    for remark in &report.remarks {
        ui.label(RichText::new(remark.words(units)).color(t.attention));
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
    let listed = listed(bench, (index, lane, run), report);
    let mut list = |ui: &mut Ui, rows: Vec<Row>| {
        for row in rows {
            let origin = row.figure.map(|figure| Origin { lane: index, figure });
            let on = origin.is_some() && origin == bench.origin;
            if row::show(ui, t, &row, on) {
                actions.push(Action::Origin(origin.filter(|_| !on)));
            }
        }
    };
    remarked(ui, t, report, units);
    list(ui, rows::judged(&listed, units));
    ui.push_id(index, |ui| {
        ui.spacing_mut().interact_size.y = 18.0;
        let quiet = |text: &str| RichText::new(text).size(NOTE + 0.5).color(t.quiet);
        let mut rest = |ui: &mut Ui| {
            parts_of_lean::show(ui, t, report);
            let all = CollapsingHeader::new(quiet("All figures of the day")).id_salt("all");
            all.show_unindented(ui, |ui| list(ui, rows::further(report, units)));
            ui.add_space(3.0);
            let sentences = report.causes(&bench.shown().scenario, lane, run, units);
            ui.label(RichText::new(sentences.join(" ")).size(NOTE).color(t.quiet));
        };
        if bench.shown().run.lanes.len() < SEVERAL {
            rest(ui);
        } else {
            CollapsingHeader::new(quiet("Why, lean and all figures")).id_salt("rest").show_unindented(ui, rest);
        }
    });
}

/// What the change being tried, or else the last one, did. It always has its place, so that nothing jumps when it speaks.
pub fn change_block(ui: &mut Ui, t: &Tokens, bench: &Bench) {
    // It never takes the room of the figures.
    let height = (CHANGE * ui.available_height()).max(60.0);
    ScrollArea::vertical().max_height(height).auto_shrink([false, true]).show(ui, |ui| change(ui, t, bench));
}

fn change(ui: &mut Ui, t: &Tokens, bench: &Bench) {
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
    if bench.shown().begins_as_before {
        ui.label(RichText::new(BEGINS_AS_BEFORE).size(NOTE + 0.5).color(t.attention));
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
