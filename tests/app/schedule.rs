//! What the pump is told, changed in the window: another schedule from a later day on, rules, the probe, the tank.

use eframe::egui::accesskit::Role;
use eframe::egui::{Key, Modifiers, PointerButton, Pos2, pos2};
use egui_kittest::kittest::{NodeT, Queryable};
use slakeline::engine::supply::timetable::{By, Call};
use slakeline::scenario::presets::Library;
use slakeline::scenario::{Event, When};

use crate::hand::*;

fn double_click(window: &mut Window, at: Pos2) {
    window.event(eframe::egui::Event::PointerMoved(at));
    window.run();
    for pressed in [true, false, true, false] {
        let (button, modifiers) = (PointerButton::Primary, Modifiers::NONE);
        window.event(eframe::egui::Event::PointerButton { pos: at, button, pressed, modifiers });
    }
    window.run();
}

/// Events of the run on a day, from 0, and the millilitres that lane 1 got.
fn on_day(window: &Window, day: usize) -> (usize, f64) {
    let run = window.state().run();
    (run.events(0, day).len(), run.run.lanes[0].day(day).unwrap().water.applied.round())
}

#[test]
fn another_schedule_begins_on_the_day_shown_and_is_edited_apart() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let before = scenario(&window);
    let whole = on_day(&window, 0);
    // What cannot be used is seen, and where.
    choose(&mut window, "Showing", "day 1 of 3");
    assert!(window.get_by_label("Another schedule from day 1").accesskit_node().is_disabled());
    choose(&mut window, "Showing", "day 3 of 3");
    click(&mut window, "Another schedule from day 3");
    assert_eq!(undo_name(&window), "Let another schedule begin on day 3");
    // A second click in the same place does not drop it again.
    let button = window.get_by_label("Another schedule from day 3");
    assert!(
        button.accesskit_node().is_disabled() && button.rect().intersect(window.get_by_label("Drop this schedule").rect()).is_negative()
    );
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
    assert_eq!(scenario(&window).valves[0].schedule, before.valves[0].schedule);
    // On day 2 the first schedule is edited: day 3 keeps its own.
    choose(&mut window, "Showing", "day 2 of 3");
    window.get_by_label("Event 11:15").focus();
    window.run();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.run();
    window.key_press(Key::Delete);
    window.run();
    assert_eq!(undo_name(&window), "Delete 11 events, days 1 to 2");
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
    click(&mut window, "events by light, J/cm²");
    assert!(window.query_by_label_contains("this bench has none").is_some());
    assert!(scenario(&window).valves[0].rules.is_empty());
    choose(&mut window, "Climate", "glasshouse, spring day");
    click(&mut window, "Add a rule…");
    click(&mut window, "events by light, J/cm²");
    assert_eq!(undo_name(&window), "Add a rule: events by light, J/cm²");
    let (count, ml) = on_day(&window, 2);
    assert!(count > 15 && ml > 2500.0, "{count} {ml}");
    assert_eq!(window.query_all_by_label_contains("called for by rule 1").count(), count - 11, "each is named");
    // A rule just added lies open.
    type_number(&mut window, "Light sum", "300");
    let fewer = on_day(&window, 2).0;
    assert!(fewer < count, "{fewer}");
    assert_eq!(undo_name(&window), "Set light sum of rule 1 to 300 J/cm²");
    // A double-click on a bar that the rule called for adds nothing into it, and says why.
    let clock = scenario(&window).valves[0].schedule.clone();
    let alone = |e: &Event| clock.iter().map(|c| (c.start_s() - e.start_s()).abs()).fold(f64::MAX, f64::min);
    let rules = |c: &&Call| matches!(c.by, By::Rule(_));
    let calls = window.state().run().pump_day(0, 2).unwrap().calls.clone();
    let called = calls.iter().filter(rules).map(|c| c.event).max_by(|a, b| alone(a).total_cmp(&alone(b))).unwrap();
    // From two clock events on the track: where an hour and the foot of a bar are.
    let (a, b) = (window.get_by_label("Event 08:15").rect(), window.get_by_label("Event 16:45").rect());
    let x = |s: f64| a.center().x + ((s - 8.25 * 3600.0 - 150.0) / (8.5 * 3600.0)) as f32 * (b.center().x - a.center().x);
    double_click(&mut window, pos2(x(called.start_s() + 150.0), a.bottom() - 8.0));
    assert_eq!(scenario(&window).valves[0].schedule, clock);
    assert!(window.query_by_label_contains("Rule 1 called for this event").is_some());
    // Lengths are written as in events; what is no length is refused and nothing moves.
    let length = |w: &mut Window, text: &str| type_text(w, "Lasts", text);
    length(&mut window, "4 min");
    assert_eq!((undo_name(&window).as_str(), scenario(&window).valves[0].rules[0].seconds), ("Let events of rule 1 last 4 min", 240));
    length(&mut window, "soon");
    assert!(window.query_by_label_contains("\"soon\" is refused").is_some());
    length(&mut window, "14 h");
    assert_eq!(scenario(&window).valves[0].rules[0].seconds, 240);
    // Frozen they are events like others, and the run stays as it was.
    let run = window.state().run().run.lanes[0].midnights.clone();
    click(&mut window, "Freeze into clock events");
    assert!(scenario(&window).valves[0].rules.is_empty() && scenario(&window).valves[0].schedule.len() == fewer);
    assert_eq!(window.state().run().run.lanes[0].midnights, run);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run();
    // Of two rules the second moves up when the first goes, but not its button under the mouse.
    click(&mut window, "Add a rule…");
    click(&mut window, "events by light, mol/m²");
    assert_eq!(window.get_all_by_label("Remove this rule").count(), 2);
    click(&mut window, "Remove this rule");
    assert_eq!(undo_name(&window), "Remove rule 1");
    assert!(scenario(&window).valves[0].rules.len() == 1 && window.query_by_label("Rule 1 · every 2.0 mol/m²").is_some());
    assert!(window.query_by_label("Remove this rule").is_none());
    click(&mut window, "Rule 1 · every 2.0 mol/m²");
    click(&mut window, "Remove this rule");
    assert!(scenario(&window).valves[0].rules.is_empty());
}

#[test]
fn a_rule_of_a_probe_brings_the_probe_and_goes_with_it() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    click(&mut window, "Add a rule…");
    click(&mut window, "events by the probe of lane 1 · Block on slab");
    let made = scenario(&window);
    assert!(made.lanes[0].probe.is_some());
    assert!(matches!(&made.valves[0].rules[0].when, When::Dry { lane, .. } if lane == "Block on slab"));
    assert_eq!(made.validate(&Library::shipped()), []);
    assert!(window.state().run().troubles.is_empty());
    assert!(window.state().run().run.lanes[0].series.samples[0].probe.is_some());
    // The lane is renamed: the rule follows. The probe is taken out: the rule goes, and it is told.
    click(&mut window, "Lane, dose and start");
    type_text(&mut window, "Lane name", "Slab");
    assert!(matches!(&scenario(&window).valves[0].rules[0].when, When::Dry { lane, .. } if lane == "Slab"));
    click(&mut window, "Probe");
    assert!(scenario(&window).valves[0].rules.is_empty() && scenario(&window).lanes[0].probe.is_none());
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
    let cell = window.get_by_label_contains("Day 2 of 3, ").accesskit_node().value().unwrap();
    let night = format!("Tank that night {:.1} L, EC {:.2} mS/cm; refilled", log.days[1].litres, log.days[1].ec);
    assert!(cell.contains(&night), "{night}: {cell}");
    choose(&mut window, "Filled up", "never");
    assert_eq!(undo_name(&window), "Never fill the tank");
    type_number(&mut window, "Size", "20");
    assert_eq!(undo_name(&window), "Set size of the tank to 20 L");
    // It is told in the setup and beside the figures of both lanes, in the strip, and of every event that it did not give.
    assert_eq!(window.get_all_by_label_contains("The tank ran empty").count(), 3);
    assert!(window.query_by_label_contains("Day 3 of 3, attention: tank ran empty").is_some());
    choose(&mut window, "Showing", "day 3 of 3");
    let event = window.get_by_label("Event 12:15");
    assert_eq!(event.accesskit_node().value().unwrap(), "210 mL over 5 min, the tank was empty: nothing given");
    choose(&mut window, "Showing", "day 1 of 3");
    let values: Vec<String> = window.get_all_by_role(Role::Slider).filter_map(|n| n.accesskit_node().value()).collect();
    // The run's own event at 11:15 is what was left.
    let left = window.state().run().events(0, 0).iter().find(|e| e.start.to_string() == "11:15").and_then(Event::ml).unwrap();
    assert!(left < 189.0 && values.contains(&format!("190 mL over 5 min, the tank gave {left:.0} mL")), "{left} {values:?}");
    assert!(values.iter().any(|v| v == "120 mL over 5 min"), "{values:?}");
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
    assert_eq!((made.valves[0].changes.len(), made.valves[0].changes[0].from_day), (1, 2));
    assert_eq!(window.state().run().day, 1, "that day is shown");
    window.get_by_label_contains("Day 2 of 3").click_secondary();
    window.run();
    click(&mut window, "Drop the schedule from day 2 on");
    assert_eq!(scenario(&window), before);
}

#[test]
fn a_key_goes_to_the_schedule_section_and_shows_the_setup_if_it_is_hidden() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let go = Modifiers { shift: true, ..Modifiers::COMMAND };
    let draft = |w: &Window| w.query_by_label("Draft a schedule…").is_some_and(|n| n.accesskit_node().is_focused());
    assert!(!draft(&window));
    window.key_press_modifiers(go, Key::E);
    window.run();
    assert!(draft(&window));
    window.get_by_label("Event 11:15").focus();
    window.run();
    window.key_press(Key::F3);
    window.run();
    assert!(window.query_by_label("Draft a schedule…").is_none());
    window.key_press_modifiers(go, Key::E);
    window.run();
    assert!(draft(&window), "hidden, it comes back");
}

#[test]
fn what_is_selected_never_slips_onto_another_schedule() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    choose(&mut window, "Showing", "day 3 of 3");
    click(&mut window, "Another schedule from day 3");
    window.get_by_label("Event 08:15").focus();
    window.run();
    window.key_press(Key::Delete);
    window.run();
    let made = scenario(&window);
    for shows in ["all 3 days", "settled day", "day 3 of 3"] {
        choose(&mut window, "Showing", "day 1 of 3");
        window.get_by_label("Event 08:15").focus();
        window.run();
        choose(&mut window, "Showing", shows);
        window.key_press(Key::Delete);
        window.run();
        assert_eq!(scenario(&window), made, "{shows}");
    }
    // Dropped, the schedule on show is the first day's again: what was selected stood in another.
    window.get_by_label("Event 08:45").focus();
    window.run();
    click(&mut window, "Drop this schedule");
    let dropped = scenario(&window);
    window.key_press(Key::Delete);
    window.run();
    assert_eq!(scenario(&window), dropped);
    // Rules and drafts of a later schedule say so in the edit list.
    choose(&mut window, "Showing", "day 2 of 3");
    click(&mut window, "Another schedule from day 2");
    click(&mut window, "Draft a schedule…");
    click(&mut window, "for lane 1 · Block on slab");
    assert_eq!(undo_name(&window), "Draft a schedule for lane 1, from day 2 on");
}

#[test]
fn a_key_adds_an_event_at_the_time_of_day_under_the_pointer() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    choose(&mut window, "Showing", "all 3 days");
    let before = scenario(&window).valves[0].schedule.clone();
    // Between the bars of 11:15 on two days lie 24 hours: a place on the second day.
    let (first, second) = (window.get_by_label("Event 11:15").rect(), window.get_by_label("Event 11:15 on day 2").rect());
    let hour = (second.center().x - first.center().x) / 24.0;
    let at = pos2(second.center().x - 5.0 * hour, first.bottom() - 60.0);
    window.event(eframe::egui::Event::PointerMoved(at));
    window.run();
    window.key_press(Key::Insert);
    window.run();
    let after = scenario(&window).valves[0].schedule.clone();
    assert_eq!(after.len(), before.len() + 1);
    let added = after.iter().find(|e| !before.contains(e)).unwrap();
    assert!((added.start.hours() - 6.25).abs() < 0.3, "{}", added.start);
    // On a day of another schedule it says why not.
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run();
    choose(&mut window, "Showing", "day 3 of 3");
    click(&mut window, "Another schedule from day 3");
    choose(&mut window, "Showing", "all 3 days");
    let made = scenario(&window);
    window.event(eframe::egui::Event::PointerMoved(at));
    window.run();
    window.key_press(Key::Insert);
    window.run();
    assert_eq!(scenario(&window), made);
    assert!(window.query_by_label_contains("Day 2 goes by another schedule than the one on show").is_some());
}
