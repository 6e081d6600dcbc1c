//! Events that stand on *Water in* but are not edited there: called for by a rule, of another schedule, or of another valve.

use eframe::egui::accesskit::Role;
use eframe::egui::{Id, Pos2, Rect, Sense, Ui, WidgetInfo, vec2};

use super::bars::{self, Ranges, bar};
use super::scene::{Scene, day_of};
use crate::app::actions::action::Action;
use crate::engine::supply::timetable::{By, Call, PumpDay};

/// How far around a bar the mouse is on it.
const REACH: f32 = 3.0;

/// Draws them, and names them for those who hear the window. The one under the mouse is told; returns whether one was. A click on another
/// valve's takes that valve in hand.
pub fn show(ui: &Ui, scene: &Scene<'_>, plot: Rect, ranges: &Ranges, actions: &mut Vec<Action>) -> bool {
    let valves = scene.shown().scenario.valves.len();
    // The valve in hand is drawn last, over the others.
    let order = (0..valves).filter(|v| *v != scene.bench.valve()).chain([scene.bench.valve()]);
    order.fold(false, |told, valve| of_valve(ui, scene, (plot, ranges), valve, told, actions))
}

fn of_valve(ui: &Ui, scene: &Scene<'_>, (plot, ranges): (Rect, &Ranges), valve: usize, told: bool, actions: &mut Vec<Action>) -> bool {
    let pointer = ui.input(|i| i.pointer.hover_pos());
    let named = bars::holdable(scene, plot);
    let in_hand = valve == scene.bench.valve();
    let mut told = told;
    for day in scene.span.days() {
        let Some(pump) = scene.shown().pump_day(valve, day) else { continue };
        let mine = in_hand && of_plan_on_show(scene, pump);
        for (i, call) in pump.calls.iter().enumerate().filter(|(_, c)| !mine || matches!(c.by, By::Rule(_))) {
            let rect = bar(scene, plot, ranges, &call.event, day);
            bars::paint_called(ui, scene, plot, rect, matches!(call.by, By::Rule(_)), mine);
            let words = || format!("{} · {} · {}", call.event.start, bars::gives(&call.event, scene.units), why(scene, pump, call));
            let seen = rect.expand2(vec2(REACH, 0.0)).intersect(plot);
            if named {
                let sense = if in_hand { Sense::hover() } else { Sense::CLICK };
                let response = ui.interact(seen, Id::unique("event not edited").with((valve, day, i)), sense);
                let name = if scene.span.days().count() > 1 { format!("Day {}, {}", day + 1, words()) } else { words() };
                response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &name));
                if response.clicked() {
                    actions.push(Action::TakeValve(valve));
                }
            }
            if !told && pointer.is_some_and(|p| rect.expand2(vec2(REACH, 0.0)).contains(p)) {
                told = true;
                bars::told(ui, scene, plot, rect, &words());
            }
        }
    }
    told
}

/// The rule that called for the event drawn at a place, if one did.
pub fn rule_under(scene: &Scene<'_>, plot: Rect, ranges: &Ranges, at: Pos2) -> Option<usize> {
    let day = day_of(scene.span.hour(plot, at.x));
    scene.shown().pump_day(scene.bench.valve(), day)?.calls.iter().find_map(|call| {
        let By::Rule(rule) = call.by else { return None };
        bar(scene, plot, ranges, &call.event, day).expand2(vec2(REACH, 0.0)).contains(at).then_some(rule)
    })
}

fn of_plan_on_show(scene: &Scene<'_>, pump: &PumpDay) -> bool {
    pump.plan == scene.bench.plan() || scene.shown().settled.is_some()
}

/// What called for an event, and where that is changed.
fn why(scene: &Scene<'_>, pump: &PumpDay, call: &Call) -> String {
    let waited = if call.waited { ", later than set: the pump was busy" } else { "" };
    if pump.plan.valve != scene.bench.valve() {
        let name = scene.shown().scenario.valves.get(pump.plan.valve).map_or("", |v| v.name.as_str());
        return format!("of {name}{waited}: click to take that valve in hand");
    }
    match call.by {
        By::Rule(i) => {
            let how = if of_plan_on_show(scene, pump) { " (setup, Schedule)" } else { "" };
            format!("called for by rule {}{how}{waited}", i + 1)
        }
        By::Clock(_) => format!("of another schedule, {}: show that day to change it", scene.shown().scenario.plan_days(pump.plan)),
    }
}
