//! What the pump is told, changed in the window: another schedule from a later day on, rules, the probe, the tank.

use eframe::egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use slakeline::scenario::When;
use slakeline::scenario::presets::Library;

use crate::hand::*;

/// Events of the run on a day, from 0, and the millilitres that lane 1 got.
fn on_day(window: &Window, day: usize) -> (usize, f64) {
    let run = window.state().run();
    (run.events(day).len(), run.run.lanes[0].day(day).unwrap().water.applied.round())
}

#[test]
fn another_schedule_begins_on_the_day_shown_and_is_edited_apart() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let before = scenario(&window);
    let whole = on_day(&window, 0);
    click(&mut window, "Another schedule from day 3");
    assert_eq!(undo_name(&window), "Let another schedule begin on day 3");
    assert_eq!(on_day(&window, 2), whole, "it begins as the one before");
    assert!(window.query_by_label_contains("Day 3 of 3, on which another schedule begins").is_some(), "the strip tells");
    // An event deleted on day 3 stays on the days before.
    window.get_by_label("Event 11:15").focus();
    window.run();
    window.key_press(Key::Delete);
    window.run();
    assert_eq!(undo_name(&window), "Delete event 11:15, from day 3 on");
    assert_eq!((on_day(&window, 0), on_day(&window, 1)), (whole, whole));
    assert_eq!(on_day(&window, 2).0, whole.0 - 1);
    assert_eq!(scenario(&window).schedule, before.schedule);
    // On day 2 the first schedule is edited: day 3 keeps its own.
    choose(&mut window, "Showing", "day 2 of 3");
    window.get_by_label("Event 11:15").focus();
    window.run();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.run();
    window.key_press(Key::Delete);
    window.run();
    assert_eq!((on_day(&window, 0).0, on_day(&window, 2).0), (0, whole.0 - 1));
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run();
    // Side by side, the last day's schedule is what is edited; the others are told.
    choose(&mut window, "Showing", "all 3 days");
    assert!(window.query_by_label("Event 11:15").is_none());
    assert!(window.query_by_label("Event 12:15").is_some());
    choose(&mut window, "Showing", "day 3 of 3");
    click(&mut window, "Drop this schedule");
    assert_eq!(scenario(&window), before);
    assert_eq!(on_day(&window, 2), whole);
}

#[test]
fn rules_are_added_changed_frozen_and_taken_out() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    // Light is known from a climate alone.
    click(&mut window, "Add a rule…");
    click(&mut window, "an event when light falls, J/cm²");
    assert!(window.query_by_label_contains("this bench has none").is_some());
    assert!(scenario(&window).rules.is_empty());
    choose(&mut window, "Climate", "glasshouse, spring day");
    click(&mut window, "Add a rule…");
    click(&mut window, "an event when light falls, J/cm²");
    assert_eq!(undo_name(&window), "Add a rule: light falls, J/cm²");
    let (count, ml) = on_day(&window, 2);
    assert!(count > 15 && ml > 2500.0, "{count} {ml}");
    click(&mut window, "Rule 1 · every 100 J/cm²");
    type_number(&mut window, "Each", "300");
    let fewer = on_day(&window, 2).0;
    assert!(fewer < count, "{fewer}");
    assert_eq!(undo_name(&window), "Set each of rule 1 to 300 J/cm²");
    // Frozen they are events like others, and the run stays as it was.
    let run = window.state().run().run.lanes[0].midnights.clone();
    click(&mut window, "Freeze into clock events");
    assert!(scenario(&window).rules.is_empty() && scenario(&window).schedule.len() == fewer);
    assert_eq!(window.state().run().run.lanes[0].midnights, run);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run();
    click(&mut window, "Remove this rule");
    assert_eq!(undo_name(&window), "Remove rule 1");
    assert!(scenario(&window).rules.is_empty());
}

#[test]
fn a_rule_of_a_probe_brings_the_probe_and_goes_with_it() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    click(&mut window, "Add a rule…");
    click(&mut window, "an event when probe of lane 1 dries · Block on slab");
    let made = scenario(&window);
    assert!(made.lanes[0].probe.is_some());
    assert!(matches!(&made.rules[0].when, When::Dry { lane, .. } if lane == "Block on slab"));
    assert_eq!(made.validate(&Library::shipped()), []);
    assert!(window.state().run().troubles.is_empty());
    assert!(window.state().run().run.lanes[0].series.samples[0].probe.is_some());
    // The lane is renamed: the rule follows. The probe is taken out: the rule goes, and it is told.
    click(&mut window, "Lane, dose and start");
    type_text(&mut window, "Lane name", "Slab");
    assert!(matches!(&scenario(&window).rules[0].when, When::Dry { lane, .. } if lane == "Slab"));
    click(&mut window, "Probe");
    assert!(scenario(&window).rules.is_empty() && scenario(&window).lanes[0].probe.is_none());
    assert!(window.query_by_label_contains("rules whose probe or climate is gone are gone, too").is_some());
}

#[test]
fn a_tank_moves_the_feed_and_is_told() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let plain = window.state().run().run.lanes[0].midnights.clone();
    click(&mut window, "One tank for all lanes");
    assert_eq!(undo_name(&window), "Draw from a tank");
    assert_eq!(window.state().run().run.lanes[0].midnights, plain, "full of feed it changes nothing");
    click(&mut window, "Drain comes back");
    choose(&mut window, "Filled with", "water");
    assert_eq!(undo_name(&window), "Fill the tank with water");
    let log = window.state().run().run.timetable().unwrap().tank.clone().unwrap();
    assert!(log.days[2].ec < 2.3 && log.days[2].returned > 1.0, "{:?}", log.days);
    assert!(window.query_by_label_contains("Treat it as your local rules ask").is_some());
    choose(&mut window, "Filled up", "never");
    type_number(&mut window, "Holds", "20");
    assert!(window.query_by_label_contains("The tank ran empty").is_some());
    click(&mut window, "One tank for all lanes");
    assert!(scenario(&window).tank.is_none());
    assert_eq!(window.state().run().run.lanes[0].midnights, plain);
}

#[test]
fn a_days_cell_lets_another_schedule_begin_and_go() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let before = scenario(&window);
    window.get_by_label_contains("Day 2 of 3").click_secondary();
    window.run();
    click(&mut window, "Another schedule from day 2");
    let made = scenario(&window);
    assert_eq!((made.changes.len(), made.changes[0].from_day), (1, 2));
    assert_eq!(window.state().run().day, 1, "that day is shown");
    window.get_by_label_contains("Day 2 of 3").click_secondary();
    window.run();
    click(&mut window, "Drop the schedule from day 2 on");
    assert_eq!(scenario(&window), before);
}
