//! What was changed by hand is called so, driven without a display: feed, aims, stage and schedule, as containers, media, crops and climates
//! are (`names.rs`); by mouse and by keys; and in the file, too.

use eframe::egui::accesskit::Role;
use eframe::egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use slakeline::scenario::{Scenario, file, presets};

use crate::hand::{OwnWindow, Start, Window, choose, click, scenario, type_number};

/// How a value is changed.
#[derive(Clone, Copy, Debug)]
enum By {
    Typing,
    Arrows,
    Dragging,
}

fn opened(bench: &Scenario) -> OwnWindow {
    let data = tempfile::tempdir().unwrap();
    let path = data.path().join("bench.ron");
    file::save(bench, &path).unwrap();
    Start { path: Some(path), size: [1280.0, 3000.0], ..Start::default() }.in_folder(data)
}

fn shown(window: &Window, label: &str) -> String {
    window.get_all_by_role_and_label(Role::ComboBox, label).next().unwrap_or_else(|| panic!("{label}")).accesskit_node().value().unwrap()
}

fn changed(window: &mut OwnWindow, label: &str, by: By) {
    let field = window.harness.get_all_by_role_and_label(Role::SpinButton, label).next().unwrap_or_else(|| panic!("{label}"));
    let (value, at) = (field.accesskit_node().numeric_value().unwrap(), field.rect().center());
    match by {
        By::Typing => type_number(&mut window.harness, label, &format!("{:.2}", value * 1.07)),
        By::Arrows => {
            field.focus();
            window.harness.run();
            window.key(Modifiers::NONE, Key::ArrowUp);
        }
        By::Dragging => window.drag(at, at + eframe::egui::vec2(60.0, 0.0)),
    }
}

fn undone(window: &mut Window) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run();
}

/// A kind without a name of its own: its menu, a preset to choose there, and a field that belongs to it.
const KINDS: [(&str, &str, &str); 3] = [
    ("Solution", "aubergine, sweet pepper, guide feed", "Feed EC"),
    ("Aims", "coir, balanced", "Drain, most"),
    ("Stage", "young", "Leaf area"),
];

#[test]
fn feed_aims_and_stage_are_called_changed_and_have_their_name_back() {
    for by in [By::Typing, By::Arrows, By::Dragging] {
        for (menu, preset, field) in KINDS {
            let told = format!("{menu} by {by:?}");
            let mut bench = presets::demos().remove(0).1;
            bench.lanes[0].demand = slakeline::scenario::Demand::COMPUTED;
            bench.climate = Some(slakeline::scenario::Climate::Typical(presets::Library::shipped().climates[0].climate.clone()));
            let mut window = opened(&bench);
            click(&mut window.harness, "Targets");
            let preset = offered(&mut window.harness, menu, preset);
            choose(&mut window.harness, menu, &preset);
            assert_eq!(shown(&window.harness, menu), preset, "{told}");
            changed(&mut window, field, by);
            assert_eq!(shown(&window.harness, menu), format!("changed from {preset}"), "{told}");
            // Further changes add no more words.
            changed(&mut window, field, By::Arrows);
            assert_eq!(shown(&window.harness, menu), format!("changed from {preset}"), "{told}");
            // The file says it, too.
            let now = scenario(&window.harness);
            assert!(now.changed_from.values().any(|from| *from == preset), "{told}: {:?}", now.changed_from);
            let mut again = opened(&now);
            click(&mut again.harness, "Targets");
            assert_eq!(shown(&again.harness, menu), format!("changed from {preset}"), "{told}");
            // With its values it has its name back.
            choose(&mut window.harness, menu, &preset);
            assert_eq!(shown(&window.harness, menu), preset, "{told}");
            undone(&mut window.harness);
            assert_eq!(shown(&window.harness, menu), format!("changed from {preset}"), "{told}");
            for _ in 0..2 {
                undone(&mut window.harness);
            }
            assert_eq!(shown(&window.harness, menu), preset, "{told}");
        }
    }
}

/// A menu's own word for what is chosen in a test: its first entry that says it.
fn offered(window: &mut Window, menu: &str, words: &str) -> String {
    window.get_all_by_role_and_label(Role::ComboBox, menu).next().unwrap_or_else(|| panic!("{menu}")).click();
    window.run();
    let found = window.query_all_by_role(Role::Button).filter_map(|n| n.accesskit_node().label()).find(|l| l.contains(words));
    window.key_press(Key::Escape);
    window.run();
    found.unwrap_or_else(|| panic!("{menu} offers no {words}"))
}

fn schedule_name(window: &OwnWindow) -> String {
    shown(&window.harness, "Schedule")
}

#[test]
fn a_schedule_is_called_changed_however_its_events_are() {
    for way in 0..4 {
        let mut window = opened(&presets::demos().remove(0).1);
        let preset = offered(&mut window.harness, "Schedule", "slab");
        choose(&mut window.harness, "Schedule", &preset);
        assert_eq!(schedule_name(&window), preset);
        let first = window.schedule()[0].start.to_string();
        let bar = window.event(&first);
        match way {
            // Dragged, nudged by the arrow key, deleted, all of them moved.
            0 => window.drag(bar.center(), bar.center() + eframe::egui::vec2(25.0, 0.0)),
            1 => {
                window.drag(bar.center(), bar.center());
                window.key(Modifiers::NONE, Key::ArrowRight);
            }
            2 => {
                window.drag(bar.center(), bar.center());
                window.key(Modifiers::NONE, Key::Delete);
            }
            _ => {
                window.drag(bar.center(), bar.center());
                window.key(Modifiers::COMMAND, Key::A);
                window.key(Modifiers::NONE, Key::ArrowRight);
            }
        }
        assert_eq!(schedule_name(&window), format!("changed from {preset}"), "{way}");
        undone(&mut window.harness);
        assert_eq!(schedule_name(&window), preset, "{way}");
        // What takes its place is not a change of it.
        click(&mut window.harness, "Draft a schedule…");
        let lane = window.harness.query_all_by_label_contains("for lane 1 · ").next().unwrap();
        lane.click();
        window.harness.run();
        assert_eq!(schedule_name(&window), "own events", "{way}");
    }
}

/// A lane that is renamed or moved keeps what its aims were changed from; one that is grown with another crop has no stage of the one before.
#[test]
fn what_was_changed_stays_with_its_lane() {
    let mut bench = presets::demos().remove(0).1;
    bench.lanes[0].targets = presets::Library::shipped().targets[0].targets;
    let preset = presets::Library::shipped().targets[0].name.clone();
    let mut window = opened(&bench);
    click(&mut window.harness, "Targets");
    changed(&mut window, "Drain, most", By::Arrows);
    let name = format!("changed from {preset}");
    assert_eq!(shown(&window.harness, "Aims"), name);
    click(&mut window.harness, "Lane, dose and start");
    crate::hand::type_text(&mut window.harness, "Lane name", "by the door");
    assert_eq!(shown(&window.harness, "Aims"), name);
    click(&mut window.harness, "Lane 1 menu");
    click(&mut window.harness, "Move down");
    assert_eq!(scenario(&window.harness).changed_from.get("aims of by the door"), Some(&preset));
    click(&mut window.harness, "Lane 2 menu");
    click(&mut window.harness, "Duplicate");
    assert_eq!(scenario(&window.harness).changed_from.get("aims of by the door"), Some(&preset));
}
