//! What is typed and not entered, driven without a display: it never becomes anything that was not meant.

use eframe::egui::accesskit::Role;
use eframe::egui::{Event as Input, Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use slakeline::scenario::{Clock, Event, file, presets};

use crate::hand::{OwnWindow, Start, Window, click, drop_file, open, scenario};

/// A window with a day of its own: 08:00, 09:00 and 10:00.
fn open_day() -> OwnWindow {
    let data = tempfile::tempdir().unwrap();
    let mut bench = presets::demos().remove(0).1;
    bench.valves[0].schedule = [8, 9, 10].map(|h| Event::drip(Clock::hm(h, 0), 5, 100.0)).to_vec();
    let path = data.path().join("day.ron");
    file::save(&bench, &path).unwrap();
    Start { path: Some(path), size: [1280.0, 2600.0], ..Start::default() }.in_folder(data)
}

/// Gives a field the keyboard and types in place of what stands there, without entering it.
fn begin(window: &mut Window, role: Role, label: &str, text: &str) {
    window.get_all_by_role_and_label(role, label).next().unwrap_or_else(|| panic!("{label}")).focus();
    window.run();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.event(Input::Text(text.to_owned()));
    window.run();
}

fn first_start(window: &OwnWindow) -> String {
    window.schedule()[0].start.to_string()
}

#[test]
fn a_time_that_was_not_entered_does_not_move_the_event_back() {
    let mut window = open_day();
    window.key(Modifiers::COMMAND, Key::E);
    for key in [Key::F2, Key::Escape, Key::ArrowRight, Key::F2] {
        window.key(Modifiers::NONE, key);
    }
    assert_eq!(first_start(&window), "08:05");
    // What was typed and given up stays given up, whatever else is done meanwhile.
    window.harness.event(Input::Text("07:00".to_owned()));
    for key in [Key::Escape, Key::ArrowRight, Key::F2] {
        window.key(Modifiers::NONE, key);
    }
    let field = window.harness.get_by_role_and_label(Role::TextInput, "Starts");
    assert_eq!(field.accesskit_node().value().as_deref(), Some("08:10"));
    window.key(Modifiers::NONE, Key::Tab);
    assert_eq!((first_start(&window).as_str(), window.app().document().log().len()), ("08:10", 2));
}

/// A field that has the keyboard while another bench comes gives nothing to that bench: neither a text nor a number, even where both benches
/// have the same value.
#[test]
fn what_was_typed_for_one_bench_is_not_set_on_the_next() {
    let data = tempfile::tempdir().unwrap();
    let mut other = presets::demos().remove(0).1;
    other.name = "The other bench".to_owned();
    let path = data.path().join("other.ron");
    file::save(&other, &path).unwrap();
    for (role, label, text) in
        [(Role::TextInput, "Lights on", "04:45"), (Role::SpinButton, "Feed EC", "3.3"), (Role::SpinButton, "Uses a day", "1.1")]
    {
        let mut window = open(data.path());
        let now = scenario(&window);
        assert_eq!((now.light, now.feed), (other.light, other.feed), "the benches agree: a coincidence that must not matter");
        begin(&mut window, role, label, text);
        drop_file(&mut window, &path);
        assert_eq!(scenario(&window), other, "{label}");
        window.key_press(Key::Tab);
        window.run();
        window.key_press(Key::Enter);
        window.run();
        assert_eq!(scenario(&window), other, "{label}");
        assert!(!window.state().document().is_changed());
    }
}

#[test]
fn what_was_typed_in_a_side_that_is_hidden_is_dropped() {
    let mut window = open_day();
    let before = window.app().document().scenario().clone();
    for (role, label, text) in [(Role::TextInput, "Lights on", "04:45"), (Role::SpinButton, "Feed EC", "3.3")] {
        for hide in [
            vec![(Modifiers::NONE, Key::F3), (Modifiers::NONE, Key::F3)],
            vec![(Modifiers::COMMAND, Key::E), (Modifiers::COMMAND, Key::Num2), (Modifiers::COMMAND, Key::Num1)],
        ] {
            let by_focus = hide.len() == 3;
            begin(&mut window.harness, role, label, text);
            for (modifiers, key) in hide {
                window.key(modifiers, key);
            }
            if by_focus {
                // Going to the events leaves the field: that enters it. Taken back, nothing more comes.
                window.key(Modifiers::COMMAND, Key::Z);
            }
            let node = window.harness.get_all_by_role_and_label(role, label).next().unwrap();
            assert!(node.accesskit_node().value().is_some_and(|v| !v.contains(text)), "{label}");
            node.click();
            window.harness.run();
            window.key(Modifiers::NONE, Key::Enter);
            assert_eq!(*window.app().document().scenario(), before, "{label}");
        }
    }
}

/// With all events selected and the keyboard elsewhere, neither key takes any away.
#[test]
fn events_are_deleted_only_while_one_has_the_keyboard() {
    for key in [Key::Backspace, Key::Delete] {
        let mut window = open_day();
        window.key(Modifiers::COMMAND, Key::A);
        assert_eq!(window.app().picked().len(), 3);
        begin(&mut window.harness, Role::SpinButton, "Feed EC", "2.6");
        window.key(Modifiers::NONE, Key::Enter);
        assert_eq!(window.app().picked().len(), 3, "they stay selected");
        window.key(Modifiers::NONE, key);
        assert_eq!((window.schedule().len(), window.app().document().log().len()), (3, 1), "{key:?} with nothing focused");
        window.harness.get_all_by_label("Import a climate log…").last().unwrap().focus();
        window.harness.run();
        window.key(Modifiers::NONE, key);
        assert_eq!(window.schedule().len(), 3, "{key:?} on a button");
        window.key(Modifiers::COMMAND, Key::E);
        window.key(Modifiers::NONE, key);
        assert!(window.schedule().is_empty(), "{key:?} with the keyboard back at the events");
    }
}

/// Arrow keys go by a step of the field's own, and set what is shown.
#[test]
fn arrow_keys_step_by_what_is_shown() {
    let mut window = open_day();
    click(&mut window.harness, "Container and medium");
    let part = window.app().document().scenario().lanes[0].container.parts.len() - 1;
    let head = window.app().document().scenario().lanes[0].container.parts[part].name.clone();
    let node = window
        .harness
        .query_all_by_label_contains(" · ")
        .find(|n| n.accesskit_node().label().is_some_and(|l| l.to_lowercase().starts_with(&format!("{head} · "))));
    node.unwrap().click();
    window.harness.run();
    let of = |w: &OwnWindow| w.app().document().scenario().lanes[0].container.parts[part].clone();
    let height = of(&window).height_cm;
    window.harness.get_all_by_role_and_label(Role::SpinButton, "Height").next().unwrap().focus();
    window.harness.run();
    for (key, expected) in [(Key::ArrowDown, height - 0.5), (Key::ArrowDown, height - 1.0), (Key::ArrowUp, height - 0.5)] {
        window.key(Modifiers::NONE, key);
        assert_eq!(of(&window).height_cm, expected);
    }
    let shared = of(&window).shared_by;
    window.harness.get_all_by_role_and_label(Role::SpinButton, "Shared by").next().unwrap().focus();
    window.harness.run();
    window.key(Modifiers::NONE, Key::ArrowUp);
    window.key(Modifiers::NONE, Key::ArrowUp);
    assert_eq!(of(&window).shared_by, shared + 2);
    window.key(Modifiers::NONE, Key::ArrowDown);
    assert_eq!(of(&window).shared_by, shared + 1);
    // Below its least it stays.
    for _ in 0..5 {
        window.key(Modifiers::NONE, Key::ArrowDown);
    }
    assert_eq!(of(&window).shared_by, 1);
}
