//! The figures of the day, per lane: values, states in words, sentences of cause, lean by its parts; and what a change did.

use eframe::egui::accesskit::Role;
use eframe::egui::{
    Align, Align2, Color32, CornerRadius, Layout, Rect, RichText, Sense, Stroke, TextStyle, TextWrapMode, Ui, WidgetInfo, WidgetText, pos2,
    vec2,
};

use super::action::Action;
use super::bench::Bench;
use super::change::signed;
use super::origin::{Figure, Origin};
use super::projection::LaneReport;
use super::theme::{self, HEAD, NOTE, TEXT, Tokens};
use crate::figures::verdict::{Mood, Verdict};

/// Width of the column of states.
const STATE: f32 = 78.0;

/// Draws the panel.
pub fn show(ui: &mut Ui, t: &Tokens, bench: &Bench, actions: &mut Vec<Action>) {
    ui.spacing_mut().item_spacing.y = 2.0;
    let shown = bench.shown();
    if shown.run.lanes.is_empty() {
        ui.label(RichText::new("No figures yet").font(theme::strong(HEAD)));
        ui.label(RichText::new("The day's figures stand here as soon as a lane can be projected.").color(t.quiet));
    }
    for (index, lane, run) in shown.lanes() {
        lane_head(ui, t, index, &lane.name);
        match shown.reports.get(index).and_then(Option::as_ref) {
            Some(report) => lane_figures(ui, t, bench, index, report, actions),
            None => {
                let why = run.error.as_ref().map_or_else(|| "The run did not reach this day.".to_owned(), ToString::to_string);
                ui.label(RichText::new(why).color(t.attention));
            }
        }
        ui.add_space(4.0);
    }
}

/// A lane's name beside its colour.
pub fn lane_head(ui: &mut Ui, t: &Tokens, index: usize, name: &str) {
    ui.horizontal(|ui| {
        ui.set_min_height(20.0);
        let (rect, _) = ui.allocate_exact_size(vec2(10.0, 10.0), Sense::hover());
        ui.painter().rect_filled(rect, CornerRadius::same(2), t.lane(index));
        ui.label(RichText::new(format!("Lane {} · {name}", index + 1)).font(theme::strong(HEAD)));
    });
}

/// A figure as it is listed.
struct Row<'a> {
    name: &'a str,
    value: String,
    verdict: Verdict,
    hover: &'a str,
    figure: Option<Figure>,
}

fn lane_figures(ui: &mut Ui, t: &Tokens, bench: &Bench, index: usize, report: &LaneReport, actions: &mut Vec<Action>) {
    let mut list = |ui: &mut Ui, rows: Vec<Row<'_>>| {
        for row in rows {
            let origin = row.figure.map(|figure| Origin { lane: index, figure });
            let on = origin.is_some() && origin == bench.origin;
            if show_row(ui, t, &row, on) {
                actions.push(Action::Origin(origin.filter(|_| !on)));
            }
        }
    };
    list(ui, judged(report));
    ui.push_id(index, |ui| {
        let head = RichText::new("All figures of the day").size(NOTE + 0.5).color(t.quiet);
        ui.collapsing(head, |ui| list(ui, further(report)));
    });
    ui.add_space(4.0);
    ui.label(RichText::new(report.sentences.join(" ")).size(NOTE).color(t.quiet));
    ui.add_space(3.0);
    lean(ui, t, report);
}

fn percent(x: f64) -> String {
    format!("{:.1} %", 100.0 * x)
}

fn or_none(text: Option<String>) -> String {
    text.unwrap_or_else(|| "none".to_owned())
}

/// The figures that targets speak of.
fn judged(report: &LaneReport) -> Vec<Row<'static>> {
    let (f, v) = (&report.figures, &report.verdicts);
    let row = |name, value, verdict, figure, hover| Row { name, value, verdict, hover, figure: Some(figure) };
    let dry_back = or_none(f.dry_back.map(|d| format!("{:.1} pt", d.points)));
    vec![
        row("Peak water", percent(f.peak), v.peak, Figure::Peak, "Highest water content of the day, percent of the container's volume"),
        row(
            "Night dry-back",
            dry_back,
            v.dry_back,
            Figure::DryBack,
            "From the last peak of the day to the next morning's first event, points of volume",
        ),
        row("Drain", or_none(f.drain_fraction.map(percent)), v.drain, Figure::Drain, "Share of the water given that drained"),
        row(
            "Root-zone EC",
            format!("{:.2}", f.root_zone_ec),
            v.root_zone_ec,
            Figure::RootZoneEc,
            "mS/cm at 25 °C, weighted by roots, mean of the day",
        ),
        row(
            "Lowest air",
            percent(f.lowest_air),
            v.lowest_air,
            Figure::LowestAir,
            "Least air around the roots during the day, percent of volume",
        ),
        row("Uptake met", percent(f.uptake_met), v.uptake_met, Figure::Uptake, "Share of what the plant asks for that it gets"),
    ]
}

/// All other figures of the day, on demand.
fn further(report: &LaneReport) -> Vec<Row<'static>> {
    let f = &report.figures;
    let row = |name, value, figure, hover| Row { name, value, verdict: Verdict::PLAIN, hover, figure };
    let ml = |x: f64| format!("{x:.0} mL");
    let outside = or_none(f.hours_outside_band.map(|h| format!("{h:.1} h")));
    let drain_ec = or_none(f.drain_ec.map(|ec| format!("{ec:.2}")));
    vec![
        row("Container capacity", percent(f.container_capacity), None, "What stays after soaking and draining, percent of volume"),
        row("Lowest water", percent(f.lowest), None, "Lowest water content of the day, percent of volume"),
        row("Outside band", outside, Some(Figure::OutsideBand), "Hours with the water content outside its target band"),
        row("Drain EC", drain_ec, Some(Figure::Drain), "mS/cm of all that drained, weighted by flow"),
        row("EC change", signed(f.root_zone_ec_change, 2), Some(Figure::RootZoneEc), "Root-zone EC from midnight to midnight, mS/cm"),
        row(
            "Highest suction",
            format!("{:.1} kPa", f.highest_suction_kpa),
            Some(Figure::Suction),
            "How hard roots pull at the worst moment",
        ),
        row("Applied", ml(f.applied_ml), None, "Water given in the day, mL per plant"),
        row("Drained", ml(f.drained_ml), Some(Figure::Drain), "All that left as drain, mL per plant"),
        row("of that, overflow", ml(f.overflow_ml), None, "Found no way in and ran down the outside, mL per plant"),
        row("of that, channelled", ml(f.channelled_ml), None, "Ran straight through the medium, mL per plant"),
        row("Taken up", ml(f.taken_up_ml), None, "Taken up by roots, mL per plant"),
        row("Evaporated", ml(f.evaporated_ml), None, "Evaporated from open surfaces, mL per plant"),
    ]
}

/// Draws a figure; true when it was clicked.
fn show_row(ui: &mut Ui, t: &Tokens, row: &Row<'_>, on: bool) -> bool {
    let sense = if row.figure.is_some() { Sense::click() } else { Sense::hover() };
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 19.0), sense);
    let state = if row.verdict.mood == Mood::Plain { "" } else { row.verdict.word };
    let spoken = format!("{}: {} {state}", row.name, row.value);
    if row.figure.is_some() {
        response.widget_info(|| WidgetInfo::selected(Role::Button, true, on, &spoken));
    } else {
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
    }
    let clicked = response.clicked();
    let paint = ui.painter();
    if on || response.has_focus() || (row.figure.is_some() && response.hovered()) {
        paint.rect_filled(rect.expand2(vec2(4.0, 0.0)), CornerRadius::same(3), t.night);
    }
    let y = rect.center().y;
    let text = |x: f32, align, text: &str, colour| paint.text(pos2(x, y), align, text, theme::plain(TEXT), colour);
    text(rect.left(), Align2::LEFT_CENTER, row.name, t.ink);
    text(rect.right() - STATE - 10.0, Align2::RIGHT_CENTER, &row.value, t.ink);
    let shown = if on && state.is_empty() { "shown" } else { state };
    paint.text(pos2(rect.right() - STATE, y), Align2::LEFT_CENTER, shown, theme::plain(NOTE + 0.5), mood(t, row.verdict.mood));
    paint.hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, t.grid));
    let hint = if row.figure.is_some() { ". Click to see where on the tracks it comes from, click again or Escape to stop." } else { "" };
    response.on_hover_text(format!("{}{hint}", row.hover));
    clicked
}

fn mood(t: &Tokens, mood: Mood) -> Color32 {
    match mood {
        Mood::Good => t.good,
        Mood::Attention => t.attention,
        Mood::Plain => t.quiet,
    }
}

/// The lean: its word, and each part as a mark between vegetative (left) and generative (right).
fn lean(ui: &mut Ui, t: &Tokens, report: &LaneReport) {
    ui.horizontal(|ui| {
        ui.label(RichText::new("Lean").size(TEXT));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| ui.label(RichText::new(report.lean.word()).size(TEXT)));
    });
    for part in &report.lean.parts {
        let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 15.0), Sense::hover());
        let side = if part.push < -0.05 {
            "vegetative"
        } else if part.push > 0.05 {
            "generative"
        } else {
            "neither way"
        };
        let words = format!("{}, {}: {side}", part.name, part.value);
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &words));
        response.on_hover_text(format!("{words}. Left of the middle is vegetative, right is generative."));
        let paint = ui.painter();
        let bar = Rect::from_min_max(pos2(rect.right() - STATE, rect.top()), pos2(rect.right(), rect.bottom()));
        let name = paint.layout(part.name.to_owned(), theme::plain(NOTE), t.quiet, f32::INFINITY);
        paint.galley(pos2(rect.left() + 8.0, rect.center().y - 0.5 * name.size().y), name, t.quiet);
        paint.hline(bar.x_range(), bar.center().y, Stroke::new(1.0, t.rule));
        paint.vline(bar.center().x, bar.shrink2(vec2(0.0, 4.0)).y_range(), Stroke::new(1.0, t.quiet));
        #[allow(clippy::cast_possible_truncation)]
        let x = bar.center().x + 0.5 * (bar.width() - 8.0) * part.push as f32;
        paint.circle_filled(pos2(x, bar.center().y), 3.5, t.ink);
    }
    if !report.lean.parts.is_empty() {
        let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 12.0), Sense::hover());
        let left = rect.right() - STATE;
        ui.painter().text(pos2(left - 4.0, rect.top()), Align2::LEFT_TOP, "veg.", theme::plain(10.0), t.quiet);
        ui.painter().text(pos2(rect.right() + 2.0, rect.top()), Align2::RIGHT_TOP, "gen.", theme::plain(10.0), t.quiet);
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
        let text = WidgetText::from(RichText::new(&lane.words).size(NOTE + 0.5).color(t.ink));
        let room = ui.available_width() - 16.0;
        let words = text.into_galley(ui, Some(TextWrapMode::Wrap), room, TextStyle::Body);
        let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), words.size().y + 1.0), Sense::hover());
        let dot = Rect::from_min_size(pos2(rect.left(), rect.top() + 4.0), vec2(8.0, 8.0));
        ui.painter().rect_filled(dot, CornerRadius::same(2), t.lane(lane.lane));
        ui.painter().galley(pos2(rect.left() + 15.0, rect.top()), words, t.ink);
        let spoken = format!("{}: {}", lane.name, lane.words);
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
        response.on_hover_text(spoken);
    }
}
