//! What the pump is told on the days shown: a first schedule, and another one from a later day on.

use eframe::egui::{Button, Context, Id, RichText, Ui};

use super::{rule_form, valve_form};
use crate::app::actions::action::Action;
use crate::app::look::form::Form;
use crate::app::look::theme::{self, HEAD};
use crate::app::state::bench::Bench;
use crate::app::state::days::Days;
use crate::app::state::drafting::Order;
use crate::edits::plan_edit;
use crate::engine::supply::timetable::frozen;
use crate::projection::{Projection, pump_words};
use crate::scenario::{Event, MAX_EVENTS};
use crate::studies::first_schedule;
use crate::units::Quantity;

/// Asks for the keyboard to be with the section's first control when it is drawn next.
pub fn go_to(ctx: &Context) {
    ctx.data_mut(|d| d.insert_temp(asked(), true));
}

fn asked() -> Id {
    Id::unique("go to the schedule section")
}

/// Draws the section.
pub fn show(form: &mut Form<'_>, ui: &mut Ui, bench: &Bench) {
    let shown = bench.shown();
    ui.label(RichText::new("Schedule").font(theme::strong(HEAD)));
    valve_form::show(form, ui);
    super::preset_menus::schedule(form, ui);
    given(form, ui, shown);
    draft(form, ui);
    rule_form::show(form, ui);
    freeze(form, ui, shown);
    changes(form, ui, bench);
}

/// What is given on the day shown.
fn given(form: &Form<'_>, ui: &mut Ui, shown: &Projection) {
    let valve = form.plan.valve;
    let events = shown.events(valve, shown.day);
    let drips = events.iter().filter_map(Event::ml);
    let sum = Quantity::Millilitres.text(drips.clone().sum(), form.units);
    let text = match events.len() - drips.count() {
        0 => format!("{sum} a plant"),
        n if n == events.len() => "by flood".to_owned(),
        _ => format!("{sum} and floods"),
    };
    form.fact(ui, "Given that day", &text);
    form.fact(ui, "Events that day", &events.len().to_string());
    let Some(day) = shown.pump_day(valve, shown.day) else { return };
    let overfull = day
        .overfull
        .then(|| format!("The rules call for more than {MAX_EVENTS} events that day: the rest is left out. Let them call less often."));
    for text in overfull.into_iter().chain(pump_words::sentences(day)) {
        ui.label(RichText::new(text).size(theme::NOTE).color(form.t.attention));
    }
}

/// A first schedule that suits one of the lanes, in place of the events there are.
fn draft(form: &mut Form<'_>, ui: &mut Ui) {
    let menu = ui.menu_button("Draft a schedule…", |ui| {
        for (index, lane) in form.scenario.lanes_on(form.plan.valve) {
            if ui.button(format!("for lane {} · {}", index + 1, lane.name)).clicked() {
                ui.close();
                let plan = form.plan;
                // That there is something to give is known at once.
                match first_schedule::for_lane(form.scenario, index, form.library) {
                    Err(why) => form.actions.push(Action::Say(why)),
                    Ok(_) => {
                        let name = plan_edit::of_plan(form.scenario, plan, format!("Draft a schedule for lane {}", index + 1));
                        let told = format!("A schedule is drafted for lane {}.", index + 1);
                        let order = Order { name, after: form.scenario.clone(), plan, lane: index, told };
                        form.actions.push(Action::Draft(Box::new(order)));
                    }
                }
            }
        }
    });
    let hover = "Something to begin from, in place of the events and rules there are: what a quick search finds for the aims of a lane on its \
        settled day, the events the closer together the more light there is. What is missed is said. Undo brings the old events back.";
    if ui.data_mut(|d| d.remove_temp::<bool>(asked())).is_some() {
        menu.response.request_focus();
    }
    menu.response.on_hover_text(hover);
}

/// The events of the rules as events of the clock.
fn freeze(form: &mut Form<'_>, ui: &mut Ui, shown: &Projection) {
    let (plan, scenario) = (form.plan, form.scenario);
    let Some(day) = shown.pump_day(plan.valve, shown.day).filter(|_| !scenario.rules(plan).is_empty()) else { return };
    let hover = "Writes what the rules called for on the day shown into the schedule, as events of the clock that you can drag, and takes the \
        rules out. Every day of this schedule then gets the events of the day shown.";
    if ui.button("Freeze into clock events").on_hover_text(hover).clicked() {
        let events = frozen(scenario.events(plan), day);
        if events.len() > MAX_EVENTS {
            form.actions
                .push(Action::Say("The rules call for more events than a schedule takes. Let them call less often first.".to_owned()));
            return;
        }
        let as_on = if shown.settled.is_some() { "the settled day".to_owned() } else { format!("day {}", shown.day + 1) };
        form.set(plan_edit::of_plan(scenario, plan, format!("Freeze the rules as on {as_on}")), |s| {
            s.set_events(plan, events);
            s.clear_rules(plan);
        });
    }
}

/// From when on the schedule on show is in force, and another one from the day shown.
fn changes(form: &mut Form<'_>, ui: &mut Ui, bench: &Bench) {
    let (plan, scenario) = (form.plan, form.scenario);
    let Some(valve) = scenario.valves.get(plan.valve) else { return };
    if scenario.days < 2 && valve.changes.is_empty() {
        return;
    }
    let text = if valve.changes.is_empty() { "every day".to_owned() } else { scenario.plan_days(plan) };
    form.fact(ui, "In force", &text);
    match bench.days() {
        Days::One(day) => another(form, ui, day),
        _ => {
            form.note(ui, "Show one day, from the second on, to let another schedule begin on it.");
        }
    }
    if plan.number > 0 {
        let hover = "The days from here on go by the schedule before it again";
        if ui.button("Drop this schedule").on_hover_text(hover).clicked() {
            let (name, after) = plan_edit::dropped(scenario, plan);
            form.actions.push(Action::SetField(name, Box::new(after)));
        }
    }
}

/// Another schedule from a day (from 0) on. The button keeps its place where it cannot be used: what follows it does not slip under
/// the mouse, and one sees that it is there.
fn another(form: &mut Form<'_>, ui: &mut Ui, day: usize) {
    let why_not = match day {
        0 => Some("The schedule of the first day is the one on show. Show a later day to let another begin on it.".to_owned()),
        _ if form.scenario.plan_begins(form.plan) == day => Some(format!("The schedule on show already begins on day {}.", day + 1)),
        _ => None,
    };
    let button = ui.add_enabled(why_not.is_none(), Button::new(format!("Another schedule from day {}", day + 1)));
    let hover = "From this day on the events are edited apart; the days before stay as they are";
    if button.on_hover_text(hover).on_disabled_hover_text(why_not.unwrap_or_default()).clicked() {
        let (name, after) = plan_edit::begun(form.scenario, form.plan.valve, day);
        form.actions.push(Action::SetField(name, Box::new(after)));
    }
}
