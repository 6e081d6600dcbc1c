//! Menus of presets for what has no card of its own: the feed, the targets, the schedule, and whole setups of a crop.

use eframe::egui::{Id, Ui};

use crate::app::actions::action::Action;
use crate::app::look::form::Form;
use crate::edits::called::Called;
use crate::edits::fit;
use crate::edits::own_preset::OwnPreset;
use crate::edits::plan_edit;
use crate::scenario::presets::{CropSetup, FeedPreset, SchedulePreset, TargetsPreset};
use crate::scenario::{Plan, Scenario, Solver, Targets, naming, resolve};

/// A menu of presets whose last entry saves what there is. Returns the one just chosen; one past the last is saving.
/// `own`: what it shows where the bench never was as a preset has it; `save`: its last entry.
fn menu(
    form: &mut Form<'_>,
    ui: &mut Ui,
    id: Id,
    words: [&str; 2],
    now: Option<&String>,
    names: &[&str],
    [own, save]: [&str; 2],
) -> Option<usize> {
    let mut entries: Vec<String> = names.iter().map(|n| (*n).to_owned()).collect();
    entries.push(save.to_owned());
    form.choice(ui, id, words, now.map_or(own, String::as_str), &entries)
}

/// The name that is proposed for what is called so.
fn proposed(called: Option<&str>, what: &str) -> String {
    naming::mine(called.map_or(what, naming::preset_of))
}

/// The feed of all lanes.
pub(super) fn feed(form: &mut Form<'_>, ui: &mut Ui) {
    let (feeds, ec) = (&form.library.feeds, form.scenario.feed.ec);
    let names: Vec<&str> = feeds.iter().map(|f| f.name.as_str()).collect();
    let now = Called::Feed.name(form.scenario, form.library);
    let words = ["Solution", "Sets the EC of the nutrient solution, as it is commonly mixed for a crop. The last entry saves your own."];
    let Some(i) = menu(form, ui, Id::unique("feed preset"), words, now.as_ref(), &names, ["own value", "save this feed…"]) else {
        return;
    };
    match feeds.get(i) {
        Some(feed) => {
            let ec = feed.ec;
            form.set(format!("Set feed to {}", feed.name), |s| s.feed.ec = ec);
        }
        None => {
            let feed =
                FeedPreset { name: proposed(now.as_deref(), "feed"), source: "saved from a bench".to_owned(), ec, note: String::new() };
            form.actions.push(Action::NamePreset(OwnPreset::Feed(Box::new(feed))));
        }
    }
}

/// What a lane aims for.
pub(super) fn targets(form: &mut Form<'_>, ui: &mut Ui, index: usize) {
    let Some(now) = form.scenario.lanes.get(index).map(|l| l.targets) else { return };
    let presets = &form.library.targets;
    let names: Vec<&str> = presets.iter().map(|p| p.name.as_str()).collect();
    let called = Called::Aims(index).name(form.scenario, form.library);
    let words = ["Aims", "Sets all bands below, as growers steer towards leaf or fruit (judgement). The last entry saves your own."];
    let own = if now == Targets::default() { "none" } else { "own values" };
    let Some(i) = menu(form, ui, form.id(index, "aims"), words, called.as_ref(), &names, [own, "save these targets…"]) else { return };
    match presets.get(i) {
        Some(preset) => {
            let targets = preset.targets;
            form.set(format!("Aim lane {} at {}", index + 1, preset.name), |s| s.lanes[index].targets = targets);
        }
        None if now == Targets::default() => {
            form.actions.push(Action::Say("There is no target to save yet. Switch one on first.".to_owned()));
        }
        None => {
            let preset =
                TargetsPreset { name: proposed(called.as_deref(), "targets"), source: "saved from a bench".to_owned(), targets: now };
            form.actions.push(Action::NamePreset(OwnPreset::Targets(Box::new(preset))));
        }
    }
}

/// The events of the day.
pub(super) fn schedule(form: &mut Form<'_>, ui: &mut Ui) {
    let (s, plan) = (form.scenario, form.plan);
    let presets = &form.library.schedules;
    let names: Vec<&str> = presets.iter().map(|p| p.name.as_str()).collect();
    let called = Called::Schedule(plan).name(s, form.library);
    let words =
        ["Schedule", "Events of a day in place of those there are; they move with the bench's light. The last entry saves your own."];
    let Some(i) = menu(form, ui, Id::unique("schedule preset"), words, called.as_ref(), &names, ["own events", "save this schedule…"])
    else {
        return;
    };
    match presets.get(i).map(|p| (p, p.under(&s.usual_light()))) {
        Some((preset, Ok(events))) => {
            let name = plan_edit::of_plan(s, plan, format!("Set schedule to {}", preset.name));
            form.set(name, |s| s.set_events(plan, events));
        }
        Some((_, Err(why))) => form.actions.push(Action::Say(why)),
        None => {
            let preset = SchedulePreset {
                name: proposed(called.as_deref(), "schedule"),
                source: "saved from a bench".to_owned(),
                light: Some(s.usual_light()),
                events: s.events(plan).to_vec(),
            };
            form.actions.push(Action::NamePreset(OwnPreset::Schedule(Box::new(preset))));
        }
    }
}

/// The entries of a lane's menu about whole setups.
pub(super) fn setups(form: &mut Form<'_>, ui: &mut Ui, index: usize) {
    let library = form.library;
    let menu = ui.menu_button("Use a preset per crop", |ui| {
        for setup in &library.setups {
            if ui.button(&setup.name).clicked() {
                ui.close();
                use_setup(form, setup, index);
            }
        }
    });
    let hover = "Sets this lane, its valve and what all lanes share: light, climate, feed, schedule and rules, in place of those there are. \
        Schedules from later days on are taken away. One undo takes all of it back.";
    menu.response.on_hover_text(hover);
    if ui.button("Save as a preset per crop…").on_hover_text("Keeps this lane with its light, climate, feed, schedule and rules").clicked()
    {
        ui.close();
        if let Some(setup) = saved(form.scenario, index, form) {
            form.actions.push(Action::NamePreset(OwnPreset::Setup(Box::new(setup))));
        }
    }
}

fn use_setup(form: &mut Form<'_>, setup: &CropSetup, index: usize) {
    let valve = form.scenario.valves.get(form.scenario.valve_of(index));
    let gone = valve.and_then(plan_edit::cleared);
    let of_name = gone.as_ref().map_or_else(String::new, |gone| format!(", in place of {gone}"));
    form.set(format!("Set lane {} up as {}{of_name}", index + 1, setup.name), |s| setup.put(s, index));
    let gone = gone.map_or_else(String::new, |gone| format!(" Gone: {gone}."));
    let whose = if form.scenario.valves.len() > 1 {
        "light and climate of all lanes, feed, schedule and rules of its valve"
    } else {
        "light, climate, feed, schedule and rules of all lanes"
    };
    form.also(&format!("Lane {} is set up; {whose} are those of the preset.{gone} One undo takes all of it back.", index + 1));
}

/// A lane as a setup: what was entered per layer follows the usual numerics, which any bench begins with.
fn saved(scenario: &Scenario, index: usize, form: &Form<'_>) -> Option<CropSetup> {
    let mut plain = Scenario { solver: Solver::default(), ..scenario.clone() };
    fit::fit(&mut plain, form.library);
    let lane = plain.lanes.get(index)?;
    let crop = resolve::crop(&lane.crop, form.library).map_or_else(|_| lane.name.clone(), |crop| crop.name);
    let name: String = format!("my {crop}, {}", lane.container.name).chars().take(80).collect();
    let plan = Plan { valve: plain.valve_of(index), number: form.plan.number };
    CropSetup::of(&plain, plan, index, &name)
}
