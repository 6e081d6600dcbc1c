//! The events of *Water in*, driven without a display: every gesture of the mouse, every key, the clipboard, the editor.

mod forms;

use eframe::egui::accesskit::Role;
use eframe::egui::{Event as Input, Key, Modifiers, OutputCommand, Pos2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use slakeline::app::{App, AppOptions};
use slakeline::scenario::{Clock, Event, Give, OnDays, file, presets};

use crate::hand::{OwnWindow as Window, Start};

fn open() -> Window {
    Start::default().open()
}

fn open_in(data: tempfile::TempDir, path: Option<std::path::PathBuf>) -> Window {
    Start { path, ..Start::default() }.in_folder(data)
}

/// A window with a day of its own: 08:00, 09:00, 10:00 and 12:00, 100 mL in 5 min each.
fn open_day() -> Window {
    let data = tempfile::tempdir().unwrap();
    let mut scenario = presets::demos().remove(0).1;
    scenario.valves[0].schedule = [8, 9, 10, 12].map(|h| Event::drip(Clock::hm(h, 0), 5, 100.0)).to_vec();
    let path = data.path().join("day.ron");
    file::save(&scenario, &path).unwrap();
    open_in(data, Some(path))
}

impl Window {
    fn starts(&self) -> Vec<String> {
        self.schedule().iter().map(|e| e.start.to_string()).collect()
    }

    fn hold(&mut self, modifiers: Modifiers) {
        self.harness.event(Input::ModifiersChanged(modifiers));
        self.harness.step();
    }

    fn click(&mut self, at: Pos2, modifiers: Modifiers) {
        self.hover(at);
        self.hold(modifiers);
        self.button(at, true, modifiers);
        self.button(at, false, modifiers);
        self.hold(Modifiers::NONE);
        self.harness.run();
    }

    fn press(&mut self, label: &str) {
        self.harness.get_all_by_label(label).next().unwrap_or_else(|| panic!("{label}")).click();
        self.harness.run();
    }

    fn undo_name(&self) -> String {
        self.app().document().next_undo().map(|e| e.name.clone()).unwrap_or_default()
    }

    fn edits(&self) -> usize {
        self.app().document().log().len()
    }

    /// What was put on the clipboard in the last frame.
    fn copied(&self) -> Option<String> {
        self.harness.output().platform_output.commands.iter().find_map(|c| match c {
            OutputCommand::CopyText(text) => Some(text.clone()),
            _ => None,
        })
    }

    /// The words of the screen reader for the event that has the keyboard.
    fn focused(&self) -> Option<String> {
        let all = self.harness.get_all_by_role(Role::Slider);
        all.filter(egui_kittest::Node::is_focused).find_map(|n| n.accesskit_node().label())
    }

    /// Sets a text field, as typing and Enter do.
    fn type_in(&mut self, label: &str, text: &str) {
        self.harness.get_all_by_role_and_label(Role::TextInput, label).next().unwrap().focus();
        self.harness.run();
        self.write(text);
    }

    /// The same for a number field.
    fn type_number(&mut self, label: &str, text: &str) {
        self.harness.get_all_by_role_and_label(Role::SpinButton, label).last().unwrap().focus();
        self.harness.run();
        self.write(text);
    }

    /// Types in place of what the field that has the keyboard holds.
    fn write(&mut self, text: &str) {
        self.key(Modifiers::COMMAND, Key::A);
        self.harness.event(Input::Text(text.to_owned()));
        self.harness.run();
        self.key(Modifiers::NONE, Key::Enter);
    }
}

/// Nothing overlaps, nothing passes midnight, all in order.
fn is_sound(schedule: &[Event]) -> bool {
    schedule.windows(2).all(|w| w[0].end_s() <= w[1].start_s()) && schedule.iter().all(|e| e.end_s() <= 86_400.0)
}

#[test]
fn the_right_edge_sets_how_long_an_event_lasts() {
    let mut window = open_day();
    let bar = window.event("10:00");
    let edge = Pos2::new(bar.right() - 1.0, bar.center().y);
    window.drag(edge, edge + vec2(0.5 * window.hour("08:00", "09:00"), 0.0));
    let event = window.schedule()[2];
    assert_eq!((event.start, event.ml()), (Clock::hm(10, 0), Some(100.0)));
    assert!(event.seconds > 1500 && event.seconds.is_multiple_of(60), "{}", event.seconds);
    assert!(window.undo_name().starts_with("Let event 10:00 last"), "{}", window.undo_name());
    // However far it is dragged, the next event keeps its place.
    let bar = window.event("10:00");
    let edge = Pos2::new(bar.right() - 1.0, bar.center().y);
    window.drag(edge, edge + vec2(5.0 * window.hour("08:00", "09:00"), 0.0));
    assert!(is_sound(&window.schedule()));
    assert_eq!(window.schedule()[2].seconds, 7200);
    assert_eq!(window.edits(), 2);
}

#[test]
fn clicks_and_boxes_select_and_a_group_moves_as_one() {
    let mut window = open_day();
    window.click(window.event("08:00").center(), Modifiers::NONE);
    assert_eq!(window.app().picked(), [0]);
    window.click(window.event("10:00").center(), Modifiers::COMMAND);
    assert_eq!(window.app().picked(), [0, 2]);
    window.click(window.event("10:00").center(), Modifiers::COMMAND);
    assert_eq!(window.app().picked(), [0]);
    window.click(window.event("10:00").center(), Modifiers::SHIFT);
    assert_eq!(window.app().picked(), [0, 1, 2]);
    let (a, b) = (window.event("09:00"), window.event("10:00"));
    window.drag(a.left_top() - vec2(12.0, 20.0), b.center() + vec2(10.0, 0.0));
    assert_eq!(window.app().picked(), [1, 2], "a box selects what it touches");
    assert_eq!(window.edits(), 0);
    let from = window.event("09:00").center();
    window.drag(from, from + vec2(0.5 * window.hour("08:00", "09:00"), 0.0));
    assert_eq!(window.starts(), ["08:00", "09:30", "10:30", "12:00"]);
    assert_eq!((window.edits(), window.undo_name().as_str()), (1, "Move 2 events 30 min later"));
    assert_eq!(window.app().picked(), [1, 2], "they stay selected");
    let hour = window.event("09:30").center().x - window.event("08:00").center().x;
    let hour = hour / 1.5;
    // Against others and against midnight the group stays where it fits, its distances kept.
    for hours in [1.5, 40.0, -60.0] {
        let first = window.schedule()[window.app().picked()[0]].start.to_string();
        let from = window.event(&first).center();
        window.drag(from, from + vec2(hours * hour, 0.0));
        let schedule = window.schedule();
        assert!(is_sound(&schedule), "{schedule:?}");
        let picked: Vec<f64> = window.app().picked().iter().map(|i| schedule[*i].start_s()).collect();
        assert_eq!(picked[1] - picked[0], 3600.0);
    }
    window.click(window.event("12:00").left_top() + vec2(1.5 * hour, -15.0), Modifiers::NONE);
    assert!(window.app().picked().is_empty(), "a click on empty space selects nothing");
}

#[test]
fn escape_drops_a_drag_a_group_and_a_box() {
    let mut window = open_day();
    let before = window.schedule();
    window.key(Modifiers::COMMAND, Key::A);
    assert_eq!(window.app().picked().len(), 4);
    let from = window.event("09:00").center();
    window.hover(from);
    window.button(from, true, Modifiers::NONE);
    window.hover(from + vec2(20.0, 0.0));
    window.hover(from + vec2(40.0, 0.0));
    window.harness.step();
    assert!(window.app().ghost().is_some());
    window.key(Modifiers::NONE, Key::Escape);
    assert!(window.app().ghost().is_none());
    window.button(from + vec2(40.0, 0.0), false, Modifiers::NONE);
    window.harness.run();
    assert_eq!((window.schedule(), window.edits()), (before, 0));
    window.click(window.event("08:00").center(), Modifiers::NONE);
    let corner = window.event("10:00").right_top() + vec2(20.0, -20.0);
    window.hover(corner);
    window.button(corner, true, Modifiers::NONE);
    window.hover(corner - vec2(40.0, -30.0));
    window.hover(corner - vec2(80.0, -40.0));
    window.key(Modifiers::NONE, Key::Escape);
    window.button(corner - vec2(80.0, -40.0), false, Modifiers::NONE);
    window.harness.run();
    assert_eq!(window.app().picked(), [0], "the box is dropped, what was selected stays");
}

#[test]
fn copies_travel_as_text_and_hostile_text_is_refused() {
    let mut window = open_day();
    window.click(window.event("09:00").center(), Modifiers::NONE);
    window.click(window.event("10:00").center(), Modifiers::SHIFT);
    window.harness.event(Input::Copy);
    window.harness.step();
    let text = window.copied().unwrap();
    window.harness.run();
    assert_eq!(window.edits(), 0);
    window.harness.event(Input::Cut);
    window.harness.step();
    assert_eq!(window.copied().as_deref(), Some(text.as_str()));
    window.harness.run();
    assert_eq!(window.starts(), ["08:00", "12:00"]);
    // Away from the tracks, they come back at their own times.
    window.hover(Pos2::new(5.0, 5.0));
    window.harness.event(Input::Paste(text.clone()));
    window.harness.run();
    assert_eq!(window.starts(), ["08:00", "09:00", "10:00", "12:00"]);
    assert_eq!((window.undo_name().as_str(), window.app().picked()), ("Paste 2 events", [1, 2].as_slice()));
    // Into another bench.
    let mut other = open();
    let count = other.schedule().len();
    other.harness.event(Input::Paste(text));
    other.harness.run();
    assert_eq!(other.schedule().len(), count + 2);
    assert!(is_sound(&other.schedule()));
    let before = other.schedule();
    let long = "(".repeat(1_500_000);
    for hostile in [
        "",
        "rm -rf /",
        "[(start:\"25:00\",seconds:60,give:Drip(ml:5))]",
        "[(start:\"08:00\",seconds:60,give:Drip(ml:1e300))]",
        "[(start:\"08:00\",seconds:60,give:Drip(ml:NaN))]",
        "[(start:\"23:59\",seconds:3600,give:Drip(ml:5))]",
        "[(start:\"08:00\",seconds:60,give:Drip(ml:5),ec:-3)]",
        "[(start:\"08:00\",seconds:60,give:Drip(ml:5)),(start:\"08:00\",seconds:60,give:Drip(ml:5))]",
        &long,
    ] {
        other.harness.event(Input::Paste(hostile.to_owned()));
        other.harness.run();
        assert_eq!(other.schedule(), before, "{}", &hostile[..hostile.len().min(60)]);
        assert!(other.harness.query_by_label_contains("What was copied is not a list of events").is_some());
        other.press("Dismiss");
    }
}

#[test]
fn keys_do_all_that_the_mouse_does() {
    let mut window = open_day();
    window.key(Modifiers::COMMAND, Key::E);
    assert_eq!((window.app().picked(), window.focused().as_deref()), ([0].as_slice(), Some("Event 08:00")));
    window.key(Modifiers::NONE, Key::Tab);
    assert_eq!((window.app().picked(), window.focused().as_deref()), ([1].as_slice(), Some("Event 09:00")));
    window.key(Modifiers::SHIFT, Key::Tab);
    assert_eq!(window.focused().as_deref(), Some("Event 08:00"));
    window.key(Modifiers::NONE, Key::ArrowRight);
    assert_eq!(window.starts()[0], "08:05");
    window.key(Modifiers::ALT, Key::ArrowLeft);
    assert_eq!(window.starts()[0], "08:04");
    window.key(Modifiers::ALT, Key::ArrowUp);
    assert_eq!(window.schedule()[0].ml(), Some(101.0));
    window.key(Modifiers::COMMAND, Key::ArrowRight);
    assert_eq!(window.schedule()[0].seconds, 360);
    window.key(Modifiers::COMMAND, Key::ArrowLeft);
    assert_eq!(window.schedule()[0].seconds, 300);
    window.key(Modifiers::SHIFT, Key::ArrowRight);
    assert_eq!((window.app().picked(), window.focused().as_deref()), ([0, 1].as_slice(), Some("Event 09:00")));
    window.key(Modifiers::NONE, Key::ArrowRight);
    assert_eq!(window.starts()[..2], ["08:09", "09:05"]);
    window.key(Modifiers::NONE, Key::ArrowUp);
    assert_eq!((window.schedule()[0].ml(), window.schedule()[1].ml()), (Some(106.0), Some(105.0)));
    window.key(Modifiers::COMMAND, Key::D);
    assert_eq!(window.schedule().len(), 6);
    assert!(is_sound(&window.schedule()));
    assert_eq!(window.undo_name(), "Duplicate 2 events");
    window.key(Modifiers::NONE, Key::Delete);
    assert_eq!((window.schedule().len(), window.undo_name().as_str()), (4, "Delete 2 events"));
    window.key(Modifiers::NONE, Key::Insert);
    assert_eq!((window.schedule().len(), window.app().picked().len()), (5, 1));
    assert!(window.focused().is_some(), "the new event has the keyboard");
    window.key(Modifiers::COMMAND, Key::A);
    window.key(Modifiers::NONE, Key::Backspace);
    assert!(window.schedule().is_empty());
    window.key(Modifiers::NONE, Key::Insert);
    assert_eq!(window.starts(), ["08:00"], "two hours after lights on");
    for _ in 0..window.edits() {
        window.key(Modifiers::COMMAND, Key::Z);
    }
    assert_eq!(window.starts(), ["08:00", "09:00", "10:00", "12:00"]);
}

#[test]
fn a_nudge_goes_past_a_neighbour_and_stops_at_midnight() {
    let mut window = open_day();
    window.key(Modifiers::COMMAND, Key::E);
    for _ in 0..12 {
        window.key(Modifiers::NONE, Key::ArrowRight);
        assert!(is_sound(&window.schedule()));
    }
    assert_eq!(window.starts(), ["09:00", "09:05", "10:00", "12:00"]);
    assert_eq!(window.focused().as_deref(), Some("Event 09:05"));
    for _ in 0..130 {
        window.key(Modifiers::NONE, Key::ArrowLeft);
    }
    assert_eq!(window.starts()[0], "00:00");
}

#[test]
fn screen_readers_hear_names_values_and_places_and_may_change_them() {
    let mut window = open_day();
    for (k, start) in ["08:00", "09:00", "10:00", "12:00"].iter().enumerate() {
        let name = format!("Event {start}");
        let node = window.harness.get_by_role_and_label(Role::Slider, &name);
        assert_eq!(node.accesskit_node().value().as_deref(), Some("100 mL over 5 min"));
        assert_eq!(node.accesskit_node().description().as_deref(), Some(format!("{} of 4", k + 1).as_str()));
    }
    window.harness.get_by_role_and_label(Role::Slider, "Event 10:00").increment_accesskit();
    window.harness.run();
    window.harness.get_by_role_and_label(Role::Slider, "Event 08:00").decrement_accesskit();
    window.harness.run();
    assert_eq!((window.schedule()[2].ml(), window.schedule()[0].ml()), (Some(105.0), Some(95.0)));
    // Tab goes through the events in the order of the day.
    window.key(Modifiers::COMMAND, Key::E);
    let mut heard = vec![window.focused().unwrap()];
    for _ in 0..3 {
        window.key(Modifiers::NONE, Key::Tab);
        heard.push(window.focused().unwrap());
    }
    heard.sort();
    assert_eq!(heard, ["Event 08:00", "Event 09:00", "Event 10:00", "Event 12:00"]);
}

#[test]
fn drags_snap_to_the_chosen_steps_and_alt_leaves_them() {
    let mut window = open_day();
    window.press("Edit");
    window.press("Timer's steps");
    window.press("15 min");
    window.press("Edit");
    window.press("Timer's steps");
    window.press("25 mL");
    let from = window.event("10:00").center();
    window.drag(from, from + vec2(0.4 * window.hour("08:00", "09:00"), 0.0));
    assert_eq!(window.starts()[2], "10:30");
    let top = window.event("10:30").center_top();
    window.drag(top, top - vec2(0.0, 17.0));
    let ml = window.schedule()[2].ml().unwrap();
    assert!(ml > 100.0 && ml % 25.0 == 0.0, "{ml}");
    window.hold(Modifiers::ALT);
    let from = window.event("10:30").center();
    window.drag(from, from + vec2(7.0, 0.0));
    let seconds = window.schedule()[2].start_s();
    assert!(seconds % 900.0 != 0.0 && seconds > 37_800.0, "{seconds}");
    // They hold for the next session.
    let steps = window.app().steps();
    assert_eq!((steps.time_s, steps.ml), (900, 25.0));
    let Window { harness, data } = window;
    drop(harness);
    assert_eq!(open_in(data, None).app().steps(), steps);
}

#[test]
fn the_edit_menu_names_what_is_undone_and_arrows_go_on_after_it() {
    let mut window = open_day();
    window.key(Modifiers::COMMAND, Key::E);
    window.key(Modifiers::NONE, Key::ArrowUp);
    window.press("Edit");
    assert!(window.harness.query_by_label_contains("Undo: Set event 08:00 to 105 mL").is_some());
    window.harness.get_by_label_contains("Undo: Set event").click();
    window.harness.run();
    assert_eq!(window.edits(), 0);
    window.press("Edit");
    assert!(window.harness.query_by_label_contains("Redo: Set event 08:00 to 105 mL").is_some());
    window.key(Modifiers::NONE, Key::Escape);
    window.key(Modifiers::COMMAND, Key::E);
    window.key(Modifiers::NONE, Key::ArrowRight);
    window.key(Modifiers::COMMAND, Key::Z);
    window.key(Modifiers::NONE, Key::ArrowUp);
    assert_eq!((window.starts()[0].as_str(), window.schedule()[0].ml()), ("08:00", Some(105.0)));
}

#[test]
fn an_empty_day_says_how_to_begin_and_runs() {
    let data = tempfile::tempdir().unwrap();
    let mut scenario = presets::demos().remove(0).1;
    scenario.valves[0].schedule.clear();
    let path = data.path().join("dry.ron");
    file::save(&scenario, &path).unwrap();
    let mut window = open_in(data, Some(path));
    assert!(window.app().run().troubles.is_empty());
    window.key(Modifiers::COMMAND, Key::E);
    window.harness.get_by_label_contains("There is no event yet. Insert adds one");
    // It passes by itself, and until then asks to be drawn again when its time is over.
    let delay = window.harness.output().viewport_output.values().map(|v| v.repaint_delay).min().unwrap();
    assert!(delay > std::time::Duration::from_secs(1) && delay < std::time::Duration::from_secs(30), "{delay:?}");
    let now = window.harness.ctx.input(|i| i.time);
    window.harness.input_mut().time = Some(now + 30.0);
    window.harness.run();
    assert!(window.harness.query_by_label_contains("There is no event yet").is_none());
    window.key(Modifiers::COMMAND, Key::I);
    assert_eq!(window.schedule().len(), 1);
}

#[test]
fn the_top_edge_of_a_flood_sets_its_depth() {
    let data = tempfile::tempdir().unwrap();
    let mut scenario = presets::demos().remove(0).1;
    let flood = |h| Event { start: Clock::hm(h, 0), seconds: 1800, give: Give::Flood { depth_cm: 3.0 }, ec: None, days: OnDays::ALL };
    scenario.valves[0].schedule = vec![flood(8), flood(12)];
    let path = data.path().join("floods.ron");
    file::save(&scenario, &path).unwrap();
    let mut window = open_in(data, Some(path));
    let depths = |window: &Window| -> Vec<Give> { window.schedule().iter().map(|e| e.give).collect() };
    // Two thirds of its height again are two thirds of its depth again.
    let bar = window.event("08:00");
    let height = bar.height();
    window.drag(bar.center_top(), bar.center_top() - vec2(0.0, 0.667 * height));
    assert_eq!(depths(&window), [Give::Flood { depth_cm: 5.0 }, Give::Flood { depth_cm: 3.0 }]);
    assert_eq!((window.undo_name(), window.edits()), ("Set event 08:00 to flood 5 cm".to_owned(), 1));
    // However far down, it stays a flood.
    let bar = window.event("12:00");
    window.drag(bar.center_top(), bar.center_top() + vec2(0.0, 400.0));
    assert_eq!(depths(&window)[1], Give::Flood { depth_cm: 0.5 });
}
