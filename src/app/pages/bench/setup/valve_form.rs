//! The valve in hand: which it is, what it is called, and the EC of what it gives.

use eframe::egui::{Id, Ui};

use crate::app::actions::action::Action;
use crate::app::look::form::{Form, named};
use crate::edits::{plan_edit, valves};
use crate::scenario::parameter::bench::VALVE;
use crate::scenario::{MAX_LANES, Valve};

/// Draws what there is to set of the valve in hand; of a bench's only one no more than its own EC could be, so nothing.
pub fn show(form: &mut Form<'_>, ui: &mut Ui) {
    let (at, scenario) = (form.plan.valve, form.scenario);
    let Some(valve) = scenario.valves.get(at).filter(|_| scenario.valves.len() > 1) else { return };
    let names: Vec<String> = scenario.valves.iter().map(|v| v.name.clone()).collect();
    let words = ["Valve", "The valve in hand: its events are edited, on Water in and here. The lanes on it get the same water."];
    if let Some(chosen) = form.choice(ui, Id::unique("valve in hand"), words, &valve.name, &names) {
        form.actions.push(Action::TakeValve(chosen));
    }
    let lanes: Vec<String> = scenario.lanes_on(at).map(|(i, lane)| format!("{} · {}", i + 1, lane.name)).collect();
    form.note(ui, &format!("On it: lane {}", lanes.join(", lane ")));
    form.fold(ui, Id::unique("valve fields"), "Name and EC of this valve", false, |form, ui| fields(form, ui, at, valve));
}

fn fields(form: &mut Form<'_>, ui: &mut Ui, at: usize, valve: &Valve) {
    let valves = &form.scenario.valves;
    let refuse = |text: &str| {
        let taken = valves.iter().enumerate().any(|(i, v)| i != at && v.name.trim() == text);
        if taken { Some(format!("Another valve is called \"{text}\"; schedules are told apart by the name.")) } else { named(text) }
    };
    let words = ["Valve name", "What this valve is called on the bench"];
    form.text(ui, Id::unique(("valve name", at)), words, &valve.name, refuse, |form, text| {
        form.set(format!("Rename valve {} to {text}", at + 1), |s| {
            if let Some(valve) = s.valves.get_mut(at) {
                valve.name = text;
            }
        });
        form.actions.push(Action::TakeValve(at));
    });
    let words = ["Own EC", "What this valve gives has an EC of its own, not the bench's feed; it is then not drawn from the tank"];
    if form.switch(ui, words, valve.ec.is_some()) {
        let ec = if valve.ec.is_some() { None } else { Some(form.scenario.feed.ec) };
        let what = if ec.is_some() { "Give an EC of its own" } else { "Give the bench's feed" };
        form.set(plan_edit::of_valve(form.scenario, at, what.to_owned()), |s| {
            if let Some(valve) = s.valves.get_mut(at) {
                valve.ec = ec;
            }
        });
    }
    for entry in VALVE {
        form.entry(ui, entry, &valve.name, valve, |s| s.valves.get_mut(at));
    }
}

/// Which valve a lane is on, where there is a choice.
pub fn of_lane(form: &mut Form<'_>, ui: &mut Ui, index: usize) {
    let scenario = form.scenario;
    if scenario.valves.len() < 2 {
        return;
    }
    let now = scenario.valve_of(index);
    let names: Vec<String> = scenario.valves.iter().map(|v| v.name.clone()).collect();
    let Some(name) = names.get(now) else { return };
    let words = ["Valve", "Which valve waters this lane. Its menu (…) gives it a valve of its own."];
    if let Some(chosen) = form.choice(ui, form.id(index, "valve of lane"), words, name, &names) {
        moved(form, index, chosen);
    }
}

fn moved(form: &mut Form<'_>, index: usize, valve: usize) {
    let to = form.scenario.valves.get(valve).map_or_else(String::new, |v| v.name.clone());
    form.set(format!("Put lane {} on {to}", index + 1), |s| valves::put(s, index, valve));
    let at = form.now().valve_of(index);
    form.actions.push(Action::TakeValve(at));
}

/// The entries of a lane's menu about valves. Tells whether one was chosen.
pub fn menu(form: &mut Form<'_>, ui: &mut Ui, index: usize) {
    let scenario = form.scenario;
    let Some(lane) = scenario.lanes.get(index) else { return };
    let full = scenario.lanes.len() >= MAX_LANES;
    let hover = "The same root zone once more, on a new valve that starts with this schedule: change it there and compare";
    if ui.add_enabled(!full, eframe::egui::Button::new("Duplicate on a valve of its own")).on_hover_text(hover).clicked() {
        ui.close();
        form.set(format!("Duplicate lane {} on a valve of its own", lane.name), |s| valves::duplicate_on_own(s, index));
        let at = form.now().valve_of(index + 1);
        form.actions.push(Action::TakeValve(at));
    }
    let hover = "A new valve for this lane alone, which starts with the schedule it has now";
    let own = eframe::egui::Button::new("Give it a valve of its own");
    if ui
        .add_enabled(valves::shares(scenario, index), own)
        .on_hover_text(hover)
        .on_disabled_hover_text("It is alone on its valve")
        .clicked()
    {
        ui.close();
        form.set(format!("Give lane {} a valve of its own", lane.name), |s| valves::put_on_own(s, index));
        let at = form.now().valve_of(index);
        form.actions.push(Action::TakeValve(at));
    }
    for (other, valve) in scenario.valves.iter().enumerate().filter(|(other, _)| *other != lane.valve) {
        if ui.button(format!("Put it on {}", valve.name)).clicked() {
            ui.close();
            moved(form, index, other);
        }
    }
}
