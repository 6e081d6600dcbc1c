//! Valves in the window: a lane gets one of its own, it is taken in hand, edited, undone, and goes again.

use eframe::egui::accesskit::Role;
use eframe::egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use slakeline::scenario::{Plan, Scenario};

use crate::hand::*;

/// Opens a lane's menu and clicks an entry.
fn from_menu(window: &mut Window, lane: usize, entry: &str) {
    click(window, &format!("Lane {lane} menu"));
    click(window, entry);
}

/// The valve chips above the tracks: names, and which is in hand.
fn in_hand(window: &Window) -> Vec<String> {
    let chips = window.query_all_by_role(Role::RadioButton).filter(|n| n.accesskit_node().label().is_some_and(|l| l.starts_with("Valve ")));
    let on = chips.filter(|n| n.accesskit_node().toggled() == Some(eframe::egui::accesskit::Toggled::True));
    on.filter_map(|n| n.accesskit_node().label()).collect()
}

fn starts(s: &Scenario, valve: usize) -> Vec<String> {
    s.events(Plan::first(valve)).iter().map(|e| e.start.to_string()).collect()
}

#[test]
fn a_duplicate_on_a_valve_of_its_own_is_edited_apart_by_keys_and_undone() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let before = scenario(&window);
    from_menu(&mut window, 1, "Duplicate on a valve of its own");
    let with = scenario(&window);
    assert_eq!((with.lanes.len(), with.valves.len(), with.lanes[1].valve), (3, 2, 1));
    assert_eq!(undo_name(&window), "Duplicate lane Block on slab on a valve of its own");
    assert_eq!(in_hand(&window), ["Valve Valve 2"]);
    // The first event of the valve in hand goes later by keys; the other valve's stays.
    window.key_press_modifiers(Modifiers::COMMAND, Key::E);
    window.run();
    window.key_press(Key::ArrowLeft);
    window.run();
    let moved = scenario(&window);
    assert_eq!(starts(&moved, 0), starts(&before, 0));
    assert_ne!(starts(&moved, 1), starts(&before, 0));
    assert!(undo_name(&window).ends_with(", Valve 2"), "{}", undo_name(&window));
    // What the lanes got differs, as their figures do.
    let run = window.state().run();
    assert_ne!(run.events(0, 0), run.events(1, 0));
    assert_ne!(run.run.lanes[0].series, run.run.lanes[1].series);
    assert_eq!(run.run.lanes[0].timetable.days(), run.run.lanes[2].timetable.days());
    // F6 takes the other valve in hand; a selection of the first is let go.
    window.key_press(Key::F6);
    window.run();
    assert_eq!((in_hand(&window), window.state().picked().len()), (vec!["Valve Valve 1".to_owned()], 0));
    window.key_press(Key::F6);
    window.run();
    assert_eq!(in_hand(&window), ["Valve Valve 2"]);
    for _ in 0..2 {
        window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
        window.run();
    }
    assert_eq!(scenario(&window), before);
    assert_eq!(in_hand(&window), Vec::<String>::new(), "one valve needs no choice");
}

#[test]
fn a_lane_moves_between_valves_by_its_menu_and_an_empty_valve_goes() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let before = scenario(&window);
    from_menu(&mut window, 2, "Give it a valve of its own");
    assert_eq!((scenario(&window).valves.len(), scenario(&window).lanes[1].valve), (2, 1));
    // What is drawn of the other valve is named, and a click on it takes that valve in hand.
    click(&mut window, "Valve Valve 1");
    assert_eq!(in_hand(&window), ["Valve Valve 1"]);
    let other = window.query_all_by_label_contains("of Valve 2").next();
    let at = other.expect("events of the other valve are named").rect().center();
    window.event(eframe::egui::Event::PointerMoved(at));
    window.run();
    for pressed in [true, false] {
        let button = eframe::egui::PointerButton::Primary;
        window.event(eframe::egui::Event::PointerButton { pos: at, button, pressed, modifiers: Modifiers::NONE });
        window.run();
    }
    // Where both give at one instant the bar of the valve in hand lies on top, and is selected instead.
    let chosen = in_hand(&window);
    assert!(chosen == ["Valve Valve 2"] || !window.state().picked().is_empty(), "{chosen:?}");
    from_menu(&mut window, 2, "Put it on Valve 1");
    assert_eq!(scenario(&window), before);
    // Lane 1 on a valve of its own, and then lane 2 follows it: the first valve goes.
    from_menu(&mut window, 1, "Give it a valve of its own");
    from_menu(&mut window, 2, "Put it on Valve 2");
    let after = scenario(&window);
    assert_eq!((after.valves.len(), after.valves[0].name.as_str()), (1, "Valve 2"));
    assert!(after.lanes.iter().all(|l| l.valve == 0));
}

#[test]
fn rules_drafts_freezing_and_later_schedules_are_the_valves_in_hand() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    from_menu(&mut window, 2, "Give it a valve of its own");
    let before = scenario(&window);
    click(&mut window, "Draft a schedule…");
    assert!(window.query_by_label("for lane 1 · Block on slab").is_none(), "its draft is for its own valve");
    click(&mut window, "for lane 2 · Round pot");
    let drafted = scenario(&window);
    assert_eq!(drafted.valves[0], before.valves[0]);
    assert_ne!(drafted.valves[1].schedule, before.valves[1].schedule);
    choose(&mut window, "Showing", "day 2 of 3");
    click(&mut window, "Another schedule from day 2");
    let later = scenario(&window);
    assert_eq!((later.valves[0].changes.len(), later.valves[1].changes.len()), (0, 1));
    click(&mut window, "Add a rule…");
    click(&mut window, "events by the probe of lane 2 · Round pot");
    let ruled = scenario(&window);
    assert_eq!((ruled.valves[0].all_rules().count(), ruled.rules(Plan { valve: 1, number: 1 }).len()), (0, 1));
    click(&mut window, "Freeze into clock events");
    assert_eq!(scenario(&window).all_rules().count(), 0);
    assert_eq!(scenario(&window).valves[0], before.valves[0], "the other valve was not touched");
}

#[test]
fn a_pump_with_a_limit_says_who_waited() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    from_menu(&mut window, 2, "Give it a valve of its own");
    click(&mut window, "The pump's limit is known");
    assert!(scenario(&window).pump.is_some());
    // Both give at the same times, and it feeds one: the second valve waits.
    let day = window.state().run().pump_day(1, 0).unwrap();
    assert!(day.waited() > 0 && window.state().run().pump_day(0, 0).unwrap().waited() == 0);
    let told = format!("The pump was busy: {} events came later than set.", day.waited());
    assert!(window.query_all_by_label_contains(&told).next().is_some(), "{told}");
}

#[test]
fn events_are_copied_from_one_valve_to_another() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    from_menu(&mut window, 2, "Give it a valve of its own");
    window.key_press_modifiers(Modifiers::COMMAND, Key::E);
    window.run();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.run();
    window.key_press(Key::Delete);
    window.run();
    assert_eq!(starts(&scenario(&window), 1), Vec::<String>::new());
    // From the other valve, as text, onto this one.
    window.key_press(Key::F6);
    window.run();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.run();
    window.event(eframe::egui::Event::Copy);
    window.step();
    let copied = window.output().platform_output.commands.iter().find_map(|command| match command {
        eframe::egui::OutputCommand::CopyText(text) => Some(text.clone()),
        _ => None,
    });
    let text = copied.expect("the events were copied");
    window.key_press(Key::F6);
    window.run();
    window.event(eframe::egui::Event::Paste(text));
    window.run();
    let after = scenario(&window);
    // They come where the tracks are read, as far apart as they were.
    let [from, onto] = [0, 1].map(|valve| after.events(Plan::first(valve)).to_vec());
    let kept = |events: &[slakeline::scenario::Event]| {
        let first = events[0].start_s();
        events.iter().map(|e| (e.start_s() - first, e.seconds, e.give, e.ec)).collect::<Vec<_>>()
    };
    assert_eq!((from.len(), kept(&onto)), (11, kept(&from)));
    assert!(undo_name(&window).ends_with(", Valve 2"), "{}", undo_name(&window));
}

#[test]
fn strip_and_tank_know_the_valves() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    from_menu(&mut window, 2, "Give it a valve of its own");
    // The strip lets another schedule of the valve in hand begin, and drops it.
    window.get_by_label_contains("Day 2 of 3").click_secondary();
    window.run();
    click(&mut window, "Another schedule from day 2");
    let with = scenario(&window);
    assert_eq!((with.valves[0].changes.len(), with.valves[1].changes.len()), (0, 1));
    window.key_press(Key::F6);
    window.run();
    // Of the valve now in hand none begins there: it can.
    window.get_by_label_contains("Day 2 of 3").click_secondary();
    window.run();
    assert!(window.query_by_label("Drop the schedule from day 2 on").is_none());
    window.key_press(Key::Escape);
    window.run();
    // All valves draw from one tank.
    click(&mut window, "One tank for all lanes");
    let run = window.state().run();
    let drawn = run.run.lanes[0].timetable.tank.as_ref().unwrap().days[0].drawn;
    let given = |i: usize| f64::from(run.scenario.lanes[i].plants) * run.run.lanes[i].day(0).unwrap().water.applied / 1000.0;
    assert!((drawn - given(0) - given(1)).abs() < 1e-6 * drawn, "{drawn} {} {}", given(0), given(1));
}

#[test]
fn sixteen_valves_with_long_names_stand_in_a_list_and_push_nothing_aside() {
    let mut scenario = slakeline::scenario::presets::demos().remove(0).1;
    scenario.lanes.truncate(1);
    for _ in 1..16 {
        slakeline::edits::valves::duplicate_on_own(&mut scenario, 0);
    }
    for (i, valve) in scenario.valves.iter_mut().enumerate() {
        valve.name = format!("The valve with a long name in the far corner of house {}", i + 1);
    }
    let axis = |scenario: &Scenario| {
        let data = tempfile::tempdir().unwrap();
        let path = data.path().join("bench.ron");
        slakeline::scenario::file::save(scenario, &path).unwrap();
        let window = Start { path: Some(path), ..Start::default() }.in_folder(data);
        let width = window.harness.get_by_label("Time that the tracks are read at").rect().width();
        (window, width)
    };
    let mut one = scenario.clone();
    one.lanes.iter_mut().for_each(|l| l.valve = 0);
    one.valves.truncate(1);
    let (mut many, width) = axis(&scenario);
    assert!((axis(&one).1 - width).abs() < 1.0, "{width}");
    let list = &mut many.harness;
    choose(list, "Valve in hand, above the tracks", &scenario.valves[11].name);
    assert!(list.state().document().next_undo().is_none(), "to take a valve in hand changes nothing");
    list.key_press_modifiers(Modifiers::COMMAND, Key::R);
    list.key_press(Key::Escape);
    list.run();
    list.key_press_modifiers(Modifiers::COMMAND, Key::I);
    list.run();
    assert!(undo_name(list).ends_with(&scenario.valves[11].name), "{}", undo_name(list));
}
