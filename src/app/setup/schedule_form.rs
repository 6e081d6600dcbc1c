//! What the pump is told on the days shown: a first schedule, and another one from a later day on.

use eframe::egui::{RichText, Ui};

use super::form::Form;
use super::{rule_form, use_form};
use crate::app::action::Action;
use crate::app::bench::Bench;
use crate::app::days::Days;
use crate::app::plan_edit;
use crate::app::projection::Projection;
use crate::app::theme::{self, HEAD};
use crate::engine::timetable::frozen;
use crate::scenario::{Event, MAX_EVENTS};
use crate::studies::first_schedule::first_schedule;
use crate::units::Quantity;

/// Draws the section.
pub fn show(form: &mut Form<'_>, ui: &mut Ui, bench: &Bench) {
    let shown = bench.shown();
    ui.label(RichText::new("Schedule").font(theme::strong(HEAD)));
    super::preset_menus::schedule(form, ui);
    given(form, ui, shown);
    draft(form, ui, shown);
    rule_form::show(form, ui);
    freeze(form, ui, shown);
    changes(form, ui, bench);
}

/// What is given on the day shown.
fn given(form: &Form<'_>, ui: &mut Ui, shown: &Projection) {
    let events = shown.events(shown.day);
    let drips = events.iter().filter_map(Event::ml);
    let sum = Quantity::Millilitres.text(drips.clone().sum(), form.units);
    let text = match events.len() - drips.count() {
        0 => format!("{sum} a plant"),
        n if n == events.len() => "by flood".to_owned(),
        _ => format!("{sum} and floods"),
    };
    super::fact(form, ui, "Given that day", &text);
    super::fact(form, ui, "Events that day", &events.len().to_string());
}

/// A first schedule that suits one of the lanes, in place of the events there are.
fn draft(form: &mut Form<'_>, ui: &mut Ui, shown: &Projection) {
    let menu = ui.menu_button("Draft a schedule…", |ui| {
        for (index, lane, run) in shown.lanes() {
            if ui.button(format!("for lane {} · {}", index + 1, lane.name)).clicked() {
                ui.close();
                let holds = shown.capacities.get(index).copied().unwrap_or_default() * run.column.volume;
                let uses = 1000.0 * use_form::litres(lane, &run.column.crop, form.scenario);
                let events = first_schedule(uses, holds, lane.dose, &form.scenario.light);
                let plan = form.plan;
                if events.is_empty() {
                    form.actions.push(Action::Say(format!("The plants of lane {} use no water, so there is nothing to give.", index + 1)));
                } else {
                    form.set(format!("Draft a schedule for lane {}", index + 1), |s| {
                        *s.events_mut(plan) = events;
                        s.rules_mut(plan).clear();
                    });
                }
            }
        }
    });
    let hover = "Something to begin from, in place of the events and rules there are: what the plants of a lane use and a fifth more to drain, \
        in events of a twenty-fifth of what it holds, the closer together the more light there is (common practice, no source). \
        Undo brings the old events back.";
    menu.response.on_hover_text(hover);
}

/// The events of the rules as events of the clock.
fn freeze(form: &mut Form<'_>, ui: &mut Ui, shown: &Projection) {
    let (plan, scenario) = (form.plan, form.scenario);
    let Some(day) = shown.pump_day(shown.day).filter(|_| !scenario.rules(plan).is_empty()) else { return };
    let hover = "Writes what the rules called for on the day shown into the schedule, as events you can drag, and takes the rules out";
    if ui.button("Freeze into clock events").on_hover_text(hover).clicked() {
        let events = frozen(scenario.events(plan), day);
        if events.len() > MAX_EVENTS {
            form.actions
                .push(Action::Say("The rules call for more events than a schedule takes. Let them call less often first.".to_owned()));
            return;
        }
        form.set(format!("Freeze the rules as on day {}", shown.day + 1), |s| {
            *s.events_mut(plan) = events;
            s.rules_mut(plan).clear();
        });
    }
}

/// From when on the schedule on show is in force, and another one from the day shown.
fn changes(form: &mut Form<'_>, ui: &mut Ui, bench: &Bench) {
    let (plan, scenario) = (form.plan, form.scenario);
    if scenario.days < 2 && scenario.changes.is_empty() {
        return;
    }
    let until = scenario.changes.get(plan).map(|c| c.from_day - 1);
    let from = scenario.plan_begins(plan) + 1;
    let text = match until {
        Some(last) if last == from as u32 => format!("on day {from}"),
        Some(last) => format!("days {from} to {last}"),
        None if plan == 0 => "every day".to_owned(),
        None => format!("from day {from} on"),
    };
    super::fact(form, ui, "In force", &text);
    match bench.days() {
        Days::One(day) if plan_edit::can_begin(scenario, day) => {
            let hover = "From this day on the events are edited apart; the days before stay as they are";
            if ui.button(format!("Another schedule from day {}", day + 1)).on_hover_text(hover).clicked() {
                let (name, after) = plan_edit::begun(scenario, day);
                form.actions.push(Action::SetField(name, Box::new(after)));
            }
        }
        Days::One(_) => {}
        _ => {
            form.note(ui, "Show a later day to let another schedule begin on it.");
        }
    }
    if plan > 0 {
        let hover = "The days from here on go by the schedule before it again";
        if ui.button("Drop this schedule").on_hover_text(hover).clicked() {
            let (name, after) = plan_edit::dropped(scenario, plan);
            form.actions.push(Action::SetField(name, Box::new(after)));
        }
    }
}
