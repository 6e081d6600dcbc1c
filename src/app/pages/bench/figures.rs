//! The figures of the day, per lane: values, states in words, sentences of cause, lean by its parts; and what a change did.

use eframe::egui::accesskit::Role;
use eframe::egui::{
    Align2, CollapsingHeader, Color32, CornerRadius, Rect, RichText, Sense, Stroke, TextStyle, TextWrapMode, Ui, WidgetInfo, WidgetText,
    pos2, vec2,
};

use crate::app::actions::action::Action;
use crate::app::look::books;
use crate::app::look::theme::{self, HEAD, NOTE, TEXT, Tokens};
use crate::app::look::widgets::lane_head;
use crate::app::state::bench::Bench;
use crate::engine::run::LaneRun;
use crate::figures::verdict::{Mood, Verdict};
use crate::projection::LaneReport;
use crate::projection::origin::{Figure, Origin};
use crate::scenario::Lane;
use crate::units::{CM_PER_KPA, EcUnit, Quantity, Units, signed};

/// Width of the column of states.
const STATE: f32 = 78.0;

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

/// A figure as it is listed.
struct Row<'a> {
    name: &'a str,
    value: String,
    verdict: Verdict,
    /// The word where there is no verdict.
    otherwise: &'static str,
    hover: String,
    figure: Option<Figure>,
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
    let mut list = |ui: &mut Ui, rows: Vec<Row<'_>>| {
        for row in rows {
            let origin = row.figure.map(|figure| Origin { lane: index, figure });
            let on = origin.is_some() && origin == bench.origin;
            if show_row(ui, t, &row, on) {
                actions.push(Action::Origin(origin.filter(|_| !on)));
            }
        }
    };
    list(ui, judged(report, lane, units));
    ui.push_id(index, |ui| {
        ui.spacing_mut().interact_size.y = 18.0;
        let quiet = |text: String| RichText::new(text).size(NOTE + 0.5).color(t.quiet);
        if !report.lean.parts.is_empty() {
            let word = report.lean.word();
            let head = quiet(format!("Lean: {}", word.strip_prefix("leans ").unwrap_or(word)));
            let fold = CollapsingHeader::new(head).id_salt("lean").show_unindented(ui, |ui| lean(ui, t, report));
            fold.header_response
                .on_hover_text("Whether the day pushes the plant towards leaf or towards fruit, by its parts. Common practice.");
        }
        let all = CollapsingHeader::new(quiet("All figures of the day".to_owned())).id_salt("all");
        all.show_unindented(ui, |ui| list(ui, further(report, units)));
    });
    ui.add_space(3.0);
    let sentences = report.causes(&bench.shown().scenario, lane, run, units);
    ui.label(RichText::new(sentences.join(" ")).size(NOTE).color(t.quiet));
}

fn percent(x: f64) -> String {
    format!("{:.1} %", 100.0 * x)
}

fn or_none(text: Option<String>) -> String {
    text.unwrap_or_else(|| "none".to_owned())
}

/// The figures that targets speak of.
fn judged(report: &LaneReport, lane: &Lane, units: Units) -> Vec<Row<'static>> {
    let (f, v, aims) = (&report.figures, &report.verdicts, &lane.targets);
    let row = |name, value, verdict, aimed: bool, figure, hover: &str| {
        let hover = hover.to_owned();
        Row { name, value, verdict, otherwise: if aimed { "" } else { "no target" }, hover, figure: Some(figure) }
    };
    let dry_back = or_none(f.dry_back.map(|d| format!("{:.1} pt", d.points)));
    let night = "From the last peak of the day to the next morning's first event, points of volume";
    let ec = format!("{} at 25 °C, weighted by roots, mean of the day", Quantity::Ec.unit(units));
    let air = "Least air around the roots during the day, percent of volume";
    vec![
        row(
            "Peak water",
            percent(f.peak),
            v.peak,
            aims.water_content.is_some(),
            Figure::Peak,
            "Highest water content of the day, percent of the container's volume",
        ),
        row("Night dry-back", dry_back, v.dry_back, aims.dry_back_points.is_some(), Figure::DryBack, night),
        row(
            "Drain",
            or_none(f.drain_fraction.map(percent)),
            v.drain,
            aims.drain_percent.is_some(),
            Figure::Drain,
            "Share of the water given that drained",
        ),
        row("Root-zone EC", bare_ec(f.root_zone_ec, units), v.root_zone_ec, aims.root_zone_ec.is_some(), Figure::RootZoneEc, &ec),
        row("Lowest air", percent(f.lowest_air), v.lowest_air, aims.lowest_air.is_some(), Figure::LowestAir, air),
        row("Uptake met", percent(f.uptake_met), v.uptake_met, true, Figure::Uptake, "Share of what the plant asks for that it gets"),
    ]
}

/// An EC: mS/cm go without saying, ppm does not.
fn bare_ec(ec: f64, units: Units) -> String {
    if units.ec == EcUnit::MsCm { format!("{ec:.2}") } else { Quantity::Ec.text(ec, units) }
}

/// All other figures of the day, on demand.
fn further(report: &LaneReport, units: Units) -> Vec<Row<'static>> {
    let f = &report.figures;
    let row =
        |name, value, figure, hover: &str| Row { name, value, verdict: Verdict::PLAIN, otherwise: "", hover: hover.to_owned(), figure };
    let volume = |x: f64| Quantity::Millilitres.text(x, units);
    let each = |what: &str| format!("{what}, {} per plant", Quantity::Millilitres.unit(units));
    let ec = |what: &str| format!("{what}, {}", Quantity::Ec.unit(units));
    let outside = or_none(f.hours_outside_band.map(|h| format!("{h:.1} h")));
    let drain_ec = or_none(f.drain_ec.map(|ec| bare_ec(ec, units)));
    let ec_change = signed(Quantity::Ec.difference(f.root_zone_ec_change, units), Quantity::Ec.decimals(units));
    let felt = ec(
        "Mean of the layers by root share, what salt stress goes by: a few nearly dry layers can drive it up where hardly any water could be sampled",
    );
    let suction = Quantity::Head.text(-CM_PER_KPA * f.highest_suction_kpa, units);
    vec![
        row("Container capacity", percent(f.container_capacity), None, "What stays after soaking and draining, percent of volume"),
        row("Lowest water", percent(f.lowest), None, "Lowest water content of the day, percent of volume"),
        row("Outside band", outside, Some(Figure::OutsideBand), "Hours with the water content outside its target band"),
        row("Drain EC", drain_ec, Some(Figure::Drain), &ec("EC of all that drained, weighted by flow")),
        row("EC change", ec_change, Some(Figure::RootZoneEc), &ec("Root-zone EC from midnight to midnight")),
        row("EC the roots feel", bare_ec(f.felt_ec, units), None, &felt),
        row("Highest suction", suction, Some(Figure::Suction), "How hard roots pull at the worst moment"),
        row("Applied", volume(f.applied_ml), None, &each("Water given in the day")),
        row("Drained", volume(f.drained_ml), Some(Figure::Drain), &each("All that left as drain")),
        row("– overflow", volume(f.overflow_ml), None, &each("Found no way in and ran down the outside")),
        row("– straight through", volume(f.channelled_ml), None, &each("Ran through the medium without wetting it")),
        row("Taken up", volume(f.taken_up_ml), None, &each("Taken up by roots")),
        row("Evaporated", volume(f.evaporated_ml), None, &each("Evaporated from open surfaces")),
    ]
}

/// All figures of a lane's day in the order of the panel: name and value with its state in words.
pub fn lines(report: &LaneReport, lane: &Lane, units: Units) -> Vec<(&'static str, String)> {
    let line = |row: Row<'static>| {
        let value = if row.verdict.mood == Mood::Plain { row.value } else { format!("{} {}", row.value, row.verdict.word) };
        (row.name, value)
    };
    judged(report, lane, units).into_iter().chain(further(report, units)).map(line).collect()
}

/// Draws a figure; true when it was clicked.
fn show_row(ui: &mut Ui, t: &Tokens, row: &Row<'_>, on: bool) -> bool {
    let sense = if row.figure.is_some() { Sense::click() } else { Sense::hover() };
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 19.0), sense);
    let state = if row.verdict.mood == Mood::Plain { row.otherwise } else { row.verdict.word };
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
    let shown = if on && (state.is_empty() || row.verdict.mood == Mood::Plain) { "shown" } else { state };
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

/// Each part of the lean as a mark between vegetative (left) and generative (right).
fn lean(ui: &mut Ui, t: &Tokens, report: &LaneReport) {
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
        response.on_hover_text(format!("{words}. Left of the middle is vegetative (leaf), right is generative (fruit)."));
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
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 13.0), Sense::hover());
    let ends = [(rect.right() - STATE - 6.0, Align2::LEFT_TOP, "leaf"), (rect.right(), Align2::RIGHT_TOP, "fruit")];
    for (x, align, word) in ends {
        ui.painter().text(pos2(x, rect.top()), align, word, theme::plain(NOTE - 1.0), t.quiet);
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
