//! A first day that is run in, in the window: new lanes have it, the form tells and changes it, and a drag neither waits for it nor hides that
//! what is drawn does not have it yet.

use eframe::egui::accesskit::Role;
use eframe::egui::{Modifiers, vec2};
use egui_kittest::kittest::Queryable;
use slakeline::engine::run::run_scenario;
use slakeline::projection::Projection;
use slakeline::projection::prepared::runs_here;
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{Clock, PlanChange, Scenario, Start as Begins, USUAL_RUN_IN_DAYS, file};

use crate::hand::*;

const AS_BEFORE: &str = "Day 1 begins as before, its run-in follows.";

/// The first demo, its lanes run in.
fn bench() -> Scenario {
    let mut scenario = demos().remove(0).1;
    scenario.lanes.iter_mut().for_each(|lane| lane.start.run_in_days = Some(USUAL_RUN_IN_DAYS));
    scenario
}

fn open_with(scenario: &Scenario) -> OwnWindow {
    let data = tempfile::tempdir().unwrap();
    let path = data.path().join("bench.ron");
    file::save(scenario, &path).unwrap();
    let mut window = Start { path: Some(path), ..Start::default() }.in_folder(data);
    frames_until(&mut window.harness, "it is open", |w| w.state().run().is_whole());
    window
}

/// Whether a picture is what a run from nothing gives.
fn is_true(shown: &Projection) -> bool {
    let whole = run_scenario(&shown.scenario, &Library::shipped()).unwrap();
    shown.is_whole() && shown.run.lanes.iter().zip(&whole.lanes).all(|(a, b)| a.midnights == b.midnights && a.stats == b.stats)
}

fn says(window: &OwnWindow, text: &str) -> bool {
    window.harness.query_by_label(text).is_some()
}

#[test]
fn new_lanes_are_run_in_and_can_begin_at_rest() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    assert!(scenario(&window).lanes.iter().all(|lane| lane.start.run_in_days.is_none()));
    click(&mut window, "Add lane…");
    click(&mut window, "pot, round, plastic, 12 L");
    assert_eq!(scenario(&window).lanes[2].start, Begins::run_in());
    assert!(is_true(window.state().run()));
    // What the form says is what there is, and a change of it is one step by its name.
    click(&mut window, "Lane, dose and start");
    choose(&mut window, "First day", "run in");
    assert_eq!(
        (scenario(&window).lanes[0].start.run_in_days, undo_name(&window)),
        (Some(USUAL_RUN_IN_DAYS), "Begin lane 1 run in".to_owned())
    );
    type_number(&mut window, "Run in for", "3");
    assert_eq!(
        (scenario(&window).lanes[0].start.run_in_days, undo_name(&window)),
        (Some(3), "Set run in for of lane 1 to 3 days".to_owned())
    );
    assert!(is_true(window.state().run()));
    for refused in ["0", "367", "soon"] {
        type_number(&mut window, "Run in for", refused);
        assert_eq!(scenario(&window).lanes[0].start.run_in_days, Some(3), "{refused}");
    }
    choose(&mut window, "First day", "at rest");
    assert_eq!(scenario(&window).lanes[0].start.run_in_days, None);
    assert!(window.query_by_role_and_label(Role::SpinButton, "Run in for").is_none() && is_true(window.state().run()));
}

#[test]
fn a_first_day_that_is_run_in_is_as_the_days_after_it() {
    let mut window = open_with(&Scenario { days: 2, ..bench() });
    window.harness.run();
    let shown = window.app().run();
    assert!(is_true(shown));
    for lane in &shown.run.lanes {
        let [first, second] = [0, 1].map(|day| lane.day(day).unwrap());
        assert!((first.water.drained() - second.water.drained()).abs() < 0.02 * first.water.applied, "{}", lane.name);
        let rest = run_scenario(&demos().remove(0).1, &Library::shipped()).unwrap();
        let of_rest = rest.lanes.iter().find(|l| l.name == lane.name).unwrap().day(0).unwrap();
        assert!((of_rest.salt_at_start / first.salt_at_start - 1.0).abs() > 0.1, "{}: rest is another day", lane.name);
    }
}

#[test]
fn a_drag_begins_as_before_says_so_and_is_run_in_when_it_rests_or_is_let_go() {
    let mut window = open_with(&bench());
    let before = window.app().run().clone();
    assert!(is_true(&before) && !says(&window, AS_BEFORE));
    let from = window.event("12:15").center();
    let ran = runs_here();
    window.hover(from);
    window.button(from, true, Modifiers::NONE);
    window.hover(from - vec2(10.0, 0.0));
    window.hover(from - vec2(20.0, 0.0));
    assert!(runs_here() > ran, "the first days are there within the frame");
    let tried = window.app().run();
    assert!(tried.begins_as_before && tried.scenario.valves[0].schedule[5].start < Clock::hm(12, 15));
    let begins = |p: &Projection| p.run.lanes.iter().map(|l| l.midnights[0]).collect::<Vec<_>>();
    assert_eq!(begins(tried), begins(&before));
    window.harness.step();
    assert!(says(&window, AS_BEFORE) || !window.app().run().begins_as_before);
    // It rests.
    frames_until(&mut window.harness, "a drag that rests is run in", |w| w.state().run().is_whole());
    assert!(window.app().bench().is_trying());
    assert!(is_true(window.app().run()));
    assert!(!says(&window, AS_BEFORE));
    assert_ne!(begins(window.app().run()), begins(&before));
    // It goes on, and is let go of before it rests.
    let last = from - vec2(40.0, 0.0);
    window.hover(last);
    assert!(window.app().run().begins_as_before);
    window.button(last, false, Modifiers::NONE);
    assert!(!window.app().bench().is_trying());
    let made = window.app().document().scenario().clone();
    if window.app().run().begins_as_before {
        assert!(window.app().bench().is_behind() && says(&window, AS_BEFORE) && window.app().run().scenario == made);
    }
    frames_until(&mut window.harness, "what is made is run in", |w| !w.state().is_computing());
    window.harness.run();
    assert!(window.app().run().scenario == made && is_true(window.app().run()) && !says(&window, AS_BEFORE));
    // Undo leads back to what was there.
    window.key(Modifiers::COMMAND, eframe::egui::Key::Z);
    assert!(is_true(window.app().run()));
    assert_eq!(begins(window.app().run()), begins(&before));
}

#[test]
fn what_does_not_touch_the_first_day_begins_as_it_does() {
    let mut scenario = Scenario { days: 2, ..bench() };
    scenario.valves[0].changes = vec![PlanChange { from_day: 2, schedule: scenario.valves[0].schedule.clone(), rules: Vec::new() }];
    let mut window = open_with(&scenario);
    show_last_day(&mut window.harness);
    let from = window.event("12:15").center();
    window.grab(from, from - vec2(20.0, 0.0));
    assert!(window.app().bench().is_trying() && is_true(window.app().run()));
    window.release(from - vec2(20.0, 0.0));
    assert!(is_true(window.app().run()) && window.app().document().scenario().valves[0].changes[0].schedule != scenario.valves[0].schedule);
}

#[test]
fn a_field_that_is_set_is_run_in_beside_the_frames() {
    let mut window = open_with(&bench());
    window.harness.get_all_by_role_and_label(Role::SpinButton, "Uses a day").next().unwrap().set_value_accesskit(1.9);
    window.harness.step();
    window.harness.step();
    assert!(window.app().document().is_changed());
    assert!(!window.app().run().begins_as_before, "the last good picture stands, and says so");
    frames_until(&mut window.harness, "it is there", |w| !w.state().is_computing());
    window.harness.run();
    assert!(is_true(window.app().run()) && window.app().run().scenario == *window.app().document().scenario());
}
