//! The figures of the day, per lane: values, states in words, sentences of cause, lean by its parts; and what a change did.

use eframe::egui::accesskit::Role;
use eframe::egui::{
    Align, Align2, Color32, CornerRadius, Layout, Rect, RichText, Sense, Stroke, TextStyle, TextWrapMode, Ui, WidgetInfo, WidgetText, pos2,
    vec2,
};

use super::bench::Bench;
use super::projection::LaneReport;
use super::theme::{self, HEAD, NOTE, TEXT, Tokens};
use crate::figures::verdict::{Mood, Verdict};

/// Width of the column of states.
const STATE: f32 = 78.0;

/// Draws the panel.
pub fn show(ui: &mut Ui, t: &Tokens, bench: &Bench) {
    ui.spacing_mut().item_spacing.y = 2.0;
    let shown = bench.shown();
    for (index, lane, run) in shown.lanes() {
        lane_head(ui, t, index, &lane.name);
        match shown.reports.get(index).and_then(Option::as_ref) {
            Some(report) => lane_figures(ui, t, report),
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

fn lane_figures(ui: &mut Ui, t: &Tokens, report: &LaneReport) {
    let (f, v) = (&report.figures, &report.verdicts);
    let percent = |x: f64| format!("{:.1} %", 100.0 * x);
    let or_none = |text: Option<String>| text.unwrap_or_else(|| "none".to_owned());
    row(ui, t, "Peak water", &percent(f.peak), v.peak, "Highest water content of the day, percent of the container's volume");
    let dry_back = or_none(f.dry_back.map(|d| format!("{:.1} pt", d.points)));
    row(
        ui,
        t,
        "Night dry-back",
        &dry_back,
        v.dry_back,
        "From the last peak of the day to the next morning's first event, points of volume",
    );
    row(ui, t, "Drain", &or_none(f.drain_fraction.map(percent)), v.drain, "Share of the water given that drained");
    row(ui, t, "Root-zone EC", &format!("{:.2}", f.root_zone_ec), v.root_zone_ec, "mS/cm at 25 °C, weighted by roots, mean of the day");
    row(ui, t, "Lowest air", &percent(f.lowest_air), v.lowest_air, "Least air around the roots during the day, percent of volume");
    row(ui, t, "Uptake met", &percent(f.uptake_met), v.uptake_met, "Share of what the plant asks for that it gets");
    ui.add_space(4.0);
    ui.label(RichText::new(report.sentences.join(" ")).size(NOTE).color(t.quiet));
    ui.add_space(3.0);
    lean(ui, t, report);
}

fn row(ui: &mut Ui, t: &Tokens, name: &str, value: &str, verdict: Verdict, hover: &str) {
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 19.0), Sense::hover());
    let state = if verdict.mood == Mood::Plain { "" } else { verdict.word };
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, format!("{name}: {value} {state}")));
    response.on_hover_text(hover);
    let paint = ui.painter();
    let y = rect.center().y;
    let text = |x: f32, align, text: &str, colour| paint.text(pos2(x, y), align, text, theme::plain(TEXT), colour);
    text(rect.left(), Align2::LEFT_CENTER, name, t.ink);
    text(rect.right() - STATE - 10.0, Align2::RIGHT_CENTER, value, t.ink);
    paint.text(pos2(rect.right() - STATE, y), Align2::LEFT_CENTER, state, theme::plain(NOTE + 0.5), mood(t, verdict.mood));
    paint.hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, t.grid));
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
