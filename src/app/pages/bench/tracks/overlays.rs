//! What stands over the tracks without being the bench's own, beside its curves (`dashes.rs`): its events as outlines in the same pattern, and
//! the lines that tell whose they are. Colour is the lane's; pattern and mark tell whose they are.

use eframe::egui::accesskit::Role as Widget;
use eframe::egui::{Align, Align2, Button, Id, Label, Layout, Rect, RichText, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use super::bars::{self, Ranges, bar};
use super::beside;
use super::chart::note;
use super::dashes::{WIDTH, dashed};
use super::scene::Scene;
use crate::app::actions::action::Action;
use crate::app::look::theme::{NOTE, Tokens};
use crate::app::state::bench::Bench;
use crate::app::state::bench::overlay::{Kind, Overlay};
use crate::engine::supply::timetable::Call;
use crate::scenario::Event;

/// Room for a mark above a bar, points.
const MARK: f32 = 12.0;
/// Least of a line above the tracks that one of several takes, points.
const LEAST: f32 = 150.0;

/// Every event that overlays give, so that the track has room for them.
pub fn events(bench: &Bench) -> Vec<Event> {
    let of = |o: &Overlay| {
        let (scenario, valves) = (&o.projection.scenario, o.valves());
        let plans = scenario.plans().into_iter().filter(|plan| valves.contains(&plan.valve));
        plans.flat_map(|plan| scenario.events(plan).to_vec()).collect::<Vec<_>>()
    };
    bench.overlays().iter().flat_map(of).collect()
}

/// Draws the events of the overlays as outlines; that under the mouse is told. Returns whether one was.
pub fn bars(ui: &Ui, scene: &Scene<'_>, plot: Rect, ranges: &Ranges, told: bool) -> bool {
    let named = bars::holdable(scene, plot);
    let pointer = ui.input(|i| i.pointer.hover_pos());
    let mut told = told;
    for (place, (overlay, layer)) in scene.over().enumerate() {
        for (valve, day) in overlay.valves().into_iter().flat_map(|v| scene.span.days().map(move |day| (v, day))) {
            let calls = layer.day(day).and_then(|day| layer.projection.pump_day(valve, day)).map_or(&[][..], |d| &d.calls[..]);
            for (i, call) in calls.iter().enumerate() {
                let rect = bar(scene, plot, ranges, &call.event, day);
                outline(ui, scene, plot, rect, (place, call));
                if i == 0 && rect.intersects(plot) {
                    // Those of several, which may begin together, stand beside each other.
                    #[allow(clippy::cast_precision_loss)]
                    let by = MARK * place as f32;
                    let above = pos2(rect.center().x - by, (rect.top() - 8.0).max(plot.top() + 6.0));
                    note(ui, scene.t, above, Align2::CENTER_CENTER, &overlay.mark, scene.t.ink);
                }
                let words = || {
                    let ec = bars::own_ec(&call.event, scene.units).map_or_else(String::new, |ec| format!(" · {ec}"));
                    format!("{} · {}{ec} · {}, {}", call.event.start, bars::gives(&call.event, scene.units), overlay.mark, overlay.name)
                };
                if named {
                    let response =
                        ui.interact(rect.intersect(plot), Id::unique("event laid over").with((place, valve, day, i)), Sense::hover());
                    response.widget_info(|| WidgetInfo::labeled(Widget::Label, true, words()));
                }
                if !told && pointer.is_some_and(|p| rect.expand2(vec2(2.0, 0.0)).contains(p)) {
                    told = true;
                    bars::told(ui, scene, plot, rect, &words());
                }
            }
        }
    }
    told
}

/// One event: open below, so that it is never taken for one of the bench's own.
fn outline(ui: &Ui, scene: &Scene<'_>, plot: Rect, rect: Rect, (place, call): (usize, &Call)) {
    let path = [rect.left_bottom(), rect.left_top(), rect.right_top(), rect.right_bottom()];
    let shapes = dashed(&path, Stroke::new(WIDTH, scene.t.ink), place);
    let paint = ui.painter().with_clip_rect(plot.expand2(vec2(1.0, 6.0)));
    paint.extend(shapes);
    if call.event.ec.is_some() {
        // Of an EC of its own, as bars are hollow: a bar across.
        paint.hline(rect.x_range(), rect.center().y, Stroke::new(WIDTH, scene.t.ink));
    }
}

/// What overlays are, for the corner of a track.
#[must_use]
pub fn key(bench: &Bench) -> Option<String> {
    let each: Vec<String> = bench.overlays().iter().map(|o| format!("{}: {}", o.mark, o.name)).collect();
    (!each.is_empty()).then(|| each.join(" · "))
}

/// The lines above the tracks that tell what stands over them, with what can be done about it.
pub fn captions(ui: &mut Ui, t: &Tokens, bench: &Bench, actions: &mut Vec<Action>) {
    for (place, overlay) in bench.overlays().iter().enumerate().filter(|o| o.1.kind == Kind::Proposed) {
        let words = format!("{}; its settled day", overlay.name);
        caption(ui, t, (&overlay.mark, &words), place, |ui| decide(ui, bench, actions));
    }
    if bench.proposal().is_some() && !bench.overlays().iter().any(|o| o.kind == Kind::Proposed) {
        let state = bench.proposal_failed().map_or_else(|| "it is being run".to_owned(), |why| format!("it cannot be drawn: {why}"));
        caption(ui, t, ("P", &format!("proposed, not taken: {state}")), bench.overlays().len(), |ui| decide(ui, bench, actions));
    }
    compared(ui, t, bench, actions);
}

/// The states beside the bench that stand on the tracks or are to, side by side.
fn compared(ui: &mut Ui, t: &Tokens, bench: &Bench, actions: &mut Vec<Action>) {
    let count = u8::try_from(bench.others.on_tracks().count()).map_or(1.0, f32::from);
    if count < 1.0 {
        return;
    }
    let width = ((ui.available_width() - (count - 1.0) * ui.spacing().item_spacing.x) / count - 1.0).max(LEAST);
    ui.horizontal_wrapped(|ui| {
        for other in bench.others.on_tracks() {
            let is_it = |o: &Overlay| o.kind == Kind::Compared && o.mark.starts_with(other.letter);
            let place = bench.overlays().iter().position(is_it).unwrap_or(bench.overlays().len());
            ui.allocate_ui(vec2(width, 20.0), |ui| {
                ui.set_max_width(width);
                caption(ui, t, (&other.letter.to_string(), &beside::words(bench, other)), place, |ui| beside::hide(ui, other, actions));
            });
        }
    });
}

/// Taking or dismissing what is proposed.
fn decide(ui: &mut Ui, bench: &Bench, actions: &mut Vec<Action>) {
    if ui.add(Button::new("Dismiss").small()).on_hover_text("Takes what is proposed off the tracks; the bench stays as it is.").clicked() {
        actions.push(Action::Propose(None));
    }
    let take = ui.add(Button::new("Take it").small()).on_hover_text("Puts it on the bench as one change. Undo brings the one before back.");
    if let Some(proposal) = bench.proposal().filter(|_| take.clicked()) {
        actions.push(Action::TakeProposal(Box::new(proposal.clone())));
    }
}

fn caption(ui: &mut Ui, t: &Tokens, (mark, words): (&str, &str), place: usize, buttons: impl FnOnce(&mut Ui)) {
    ui.horizontal(|ui| {
        ui.set_min_height(20.0);
        let (sample, _) = ui.allocate_exact_size(vec2(34.0, 12.0), Sense::hover());
        ui.painter().extend(dashed(&[sample.left_center(), sample.right_center()], Stroke::new(WIDTH, t.ink), place));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            buttons(ui);
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                let told = format!("{mark}: {words}");
                ui.add(Label::new(RichText::new(&told).size(NOTE).color(t.ink)).truncate()).on_hover_text(told);
            });
        });
    });
}
