//! The window, driven without a display: mouse, keys, files.

use std::path::PathBuf;

use eframe::egui::accesskit::Role;
use eframe::egui::{Key, Modifiers, Theme, pos2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use slakeline::app::{App, AppOptions};
use slakeline::scenario::{Clock, file, presets};

use crate::hand::{Dropped, OwnWindow as Window, Start};

fn open_with(size: [f32; 2], theme: Theme, path: Option<PathBuf>) -> Window {
    Start { path, size, theme: Some(theme), ..Start::default() }.open()
}

fn open() -> Window {
    open_with([1280.0, 800.0], Theme::Light, None)
}

impl Window {
    fn water(&self) -> Vec<f64> {
        self.harness.state().run().run.lanes[0].series.samples.iter().map(|s| s.water_content).collect()
    }
}

#[test]
fn the_first_start_shows_a_demo_already_drawn() {
    let window = open();
    let app = window.harness.state();
    assert_eq!(app.document().scenario().name, presets::demos()[0].1.name);
    assert!(!app.document().is_changed());
    assert!(app.run().troubles.is_empty());
    assert!(app.run().reports.iter().all(Option::is_some));
    assert!(app.run().run.lanes.len() >= 2);
    assert!(app.ghost().is_none());
}

#[test]
fn a_drag_moves_an_event_with_a_ghost_until_it_is_let_go() {
    let mut window = open();
    let (before, water) = (window.schedule(), window.water());
    let from = window.event("11:15").center();
    let to = from + vec2(-0.5 * window.hour("12:15", "13:15"), 0.0);
    window.grab(from, to);
    let app = window.harness.state();
    assert_eq!(window.schedule(), before, "the document stands still under the drag");
    assert!(app.ghost().is_some_and(|g| g.run.lanes[0].series.samples.len() == water.len()));
    assert_eq!(app.run().scenario.valves[0].schedule[4].start, Clock::hm(10, 45));
    assert_ne!(window.water(), water, "the picture answers while dragging");
    window.harness.get_by_label("Since you grabbed the 11:15 event");
    window.harness.get_by_label("moved 11:15 to 10:45");
    window.release(to);
    let app = window.harness.state();
    assert!(app.ghost().is_none());
    assert_eq!(window.schedule()[4].start, Clock::hm(10, 45));
    assert_eq!(app.document().log().len(), 1, "one drag is one step of the edit list");
    assert_eq!(app.document().next_undo().unwrap().name, "Move event 11:15 to 10:45");
    window.harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.harness.run();
    assert_eq!((window.schedule(), window.water()), (before, water));
    window.harness.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    window.harness.run();
    assert_eq!(window.schedule()[4].start, Clock::hm(10, 45));
}

#[test]
fn a_drag_past_other_events_never_overlaps_them() {
    let mut window = open();
    let from = window.event("11:15").center();
    let to = from + vec2(1.02 * window.hour("12:15", "13:15"), 0.0);
    window.grab(from, to);
    window.release(to);
    let schedule = window.schedule();
    assert!(schedule.windows(2).all(|w| w[0].end_s() <= w[1].start_s()), "{schedule:?}");
    // The keyboard stays with the event, though its place in the list has changed.
    window.harness.key_press(Key::ArrowUp);
    window.harness.run();
    assert_eq!(window.schedule().iter().filter(|e| e.ml() == Some(195.0)).count(), 1);
    let scenario = window.harness.state().document().scenario();
    assert!(scenario.validate(&presets::Library::shipped()).is_empty());
}

#[test]
fn the_top_edge_sets_the_volume_and_escape_takes_a_drag_back() {
    let mut window = open();
    let top = window.event("12:15").center_top();
    window.grab(top, top - vec2(0.0, 20.0));
    window.release(top - vec2(0.0, 20.0));
    let ml = window.schedule()[5].ml().unwrap();
    assert!(ml > 215.0 && ml % 5.0 == 0.0, "{ml}");
    assert!(window.harness.state().document().next_undo().unwrap().name.starts_with("Set event 12:15 to"));
    let before = window.schedule();
    let from = window.event("10:15").center();
    window.grab(from, from + vec2(30.0, 0.0));
    window.harness.key_press(Key::Escape);
    window.harness.step();
    window.release(from + vec2(30.0, 0.0));
    assert_eq!(window.schedule(), before);
    assert_eq!(window.harness.state().document().log().len(), 1);
}

#[test]
fn a_double_click_adds_and_delete_takes_away() {
    let mut window = open();
    let count = window.schedule().len();
    let at = pos2(window.event("12:15").center().x - 5.05 * window.hour("12:15", "13:15"), window.event("12:15").center().y);
    window.hover(at);
    for _ in 0..2 {
        window.button(at, true, Modifiers::NONE);
        window.button(at, false, Modifiers::NONE);
    }
    window.harness.run();
    let schedule = window.schedule();
    assert_eq!(schedule.len(), count + 1);
    assert_eq!(schedule[0].start, Clock::hm(7, 15));
    assert_eq!(window.harness.state().document().next_undo().unwrap().name, "Add event 07:15");
    window.harness.key_press(Key::Delete);
    window.harness.run();
    assert_eq!(window.schedule().len(), count);
    assert_eq!(window.harness.state().document().next_undo().unwrap().name, "Delete event 07:15");
}

#[test]
fn keys_and_screen_readers_nudge_events() {
    let mut window = open();
    window.harness.get_by_role_and_label(Role::Slider, "Event 12:15").focus();
    window.harness.run();
    for (key, start, ml) in [
        (Key::ArrowRight, Clock::hm(12, 20), 210.0),
        (Key::ArrowUp, Clock::hm(12, 20), 215.0),
        (Key::ArrowLeft, Clock::hm(12, 15), 215.0),
        (Key::ArrowDown, Clock::hm(12, 15), 210.0),
    ] {
        window.harness.key_press(key);
        window.harness.run();
        let event = window.schedule()[5];
        assert_eq!((event.start, event.ml()), (start, Some(ml)), "{key:?}");
    }
    let node = window.harness.get_by_role_and_label(Role::Slider, "Event 12:15");
    assert_eq!(node.accesskit_node().value().as_deref(), Some("210 mL over 5 min"));
    node.increment_accesskit();
    window.harness.run();
    assert_eq!(window.schedule()[5].ml(), Some(215.0));
}

#[test]
fn what_is_saved_opens_as_it_was() {
    let mut window = open();
    window.harness.get_by_role_and_label(Role::Slider, "Event 12:15").focus();
    window.harness.run();
    window.harness.key_press(Key::ArrowRight);
    window.harness.run();
    let path = window.data.path().join("bench-3.ron");
    assert!(window.harness.state_mut().save_to(&path));
    assert!(!window.harness.state().document().is_changed());
    let again = open_with([1024.0, 700.0], Theme::Dark, Some(path.clone()));
    assert_eq!(again.harness.state().document().scenario(), window.harness.state().document().scenario());
    assert_eq!(again.harness.state().path(), Some(path.as_path()));
}

#[test]
fn a_bad_file_is_told_and_leaves_the_bench() {
    let mut window = open();
    let bad = window.data.path().join("bad.ron");
    std::fs::write(&bad, "(format: 1, name: ").unwrap();
    let before = window.schedule();
    assert!(!window.harness.state_mut().open(&bad));
    window.harness.run();
    window.harness.get_by_label("That did not work");
    window.harness.get_by_label("Close").click();
    window.harness.run();
    assert!(window.harness.query_by_label("That did not work").is_none());
    assert_eq!(window.schedule(), before);
}

#[test]
fn unsaved_changes_are_asked_about() {
    let mut window = open();
    window.harness.get_by_role_and_label(Role::Slider, "Event 12:15").focus();
    window.harness.run();
    window.harness.key_press(Key::ArrowUp);
    window.harness.run();
    window.harness.key_press_modifiers(Modifiers::COMMAND, Key::N);
    window.harness.run();
    window.harness.get_by_label("Cancel").click();
    window.harness.run();
    assert!(window.harness.state().document().is_changed());
    window.harness.key_press_modifiers(Modifiers::COMMAND, Key::N);
    window.harness.run();
    window.harness.get_by_label("Discard").click();
    window.harness.run();
    let document = window.harness.state().document();
    assert!(!document.is_changed());
    assert_eq!(document.scenario().name, "New bench");
}

#[test]
fn a_crash_loses_nothing() {
    let mut window = open();
    window.harness.get_by_role_and_label(Role::Slider, "Event 12:15").focus();
    window.harness.run();
    window.harness.key_press(Key::ArrowUp);
    window.harness.run();
    let left = window.harness.state().document().scenario().clone();
    let Window { harness, data } = window;
    // Dropped without `on_exit`: what a crash leaves behind.
    drop(harness);
    let mut window = Start::default().in_folder(data);
    window.harness.get_by_label("Open").click();
    window.harness.run();
    assert_eq!(*window.harness.state().document().scenario(), left);
    assert!(window.harness.state().document().is_changed());
}

#[test]
fn a_typed_path_that_is_not_there_is_told() {
    let mut window = open();
    window.harness.get_by_label("File").click();
    window.harness.run();
    window.harness.get_by_label("Open a path…").click();
    window.harness.run();
    let nowhere = window.data.path().join("nothing.ron").display().to_string();
    window.harness.get_all_by_role(Role::TextInput).find(egui_kittest::Node::is_focused).unwrap().type_text(&nowhere);
    window.harness.run();
    window.harness.key_press(Key::Enter);
    window.harness.run();
    assert!(window.harness.query_by_label_contains("cannot be read").is_some());
    assert!(window.harness.query_by_label("Check the name, and that you may read the file.").is_some());
}

#[test]
fn a_file_dropped_on_the_window_opens() {
    let mut window = open();
    let mut scenario = presets::demos().remove(0).1;
    scenario.name = "Dropped".to_owned();
    let path = window.data.path().join("dropped.ron");
    file::save(&scenario, &path).unwrap();
    window.harness.input_mut().dropped_files.push(std::sync::Arc::new(Dropped(path)));
    window.harness.run();
    assert_eq!(window.harness.state().document().scenario().name, "Dropped");
}

#[test]
fn a_new_bench_is_modest_and_runs() {
    let mut window = open();
    window.harness.key_press_modifiers(Modifiers::COMMAND, Key::N);
    window.harness.run();
    let app = window.harness.state();
    let scenario = app.document().scenario();
    assert_eq!((scenario.name.as_str(), scenario.lanes.len(), scenario.valves[0].schedule.len()), ("New bench", 1, 0));
    assert!(scenario.validate(&presets::Library::shipped()).is_empty());
    assert!(app.run().troubles.is_empty() && !app.document().is_changed());
    assert_eq!(app.path(), None);
}

#[test]
fn recent_files_are_offered_and_missing_ones_dropped() {
    let mut window = open();
    let mut paths = Vec::new();
    for name in ["first", "second"] {
        let mut scenario = presets::demos().remove(0).1;
        scenario.name = name.to_owned();
        let path = window.data.path().join(format!("{name}.ron"));
        file::save(&scenario, &path).unwrap();
        assert!(window.harness.state_mut().open(&path));
        paths.push(path);
    }
    let Window { harness, data } = window;
    drop(harness);
    // Another session knows them.
    let options = AppOptions { path: None, data_folder: Some(data.path().to_path_buf()) };
    let mut harness = Harness::builder().with_size(vec2(1280.0, 800.0)).with_max_steps(60).build_eframe(move |cc| App::new(cc, options));
    harness.run();
    let choose = |harness: &mut Harness<'static, App>, name: &str| {
        for label in ["File", "Open recent", name] {
            harness.get_by_label_contains(label).click();
            harness.run();
        }
    };
    choose(&mut harness, "first.ron");
    assert_eq!(harness.state().document().scenario().name, "first");
    std::fs::remove_file(&paths[1]).unwrap();
    choose(&mut harness, "second.ron");
    harness.get_by_label("That did not work");
    harness.get_by_label("Close").click();
    harness.run();
    for label in ["File", "Open recent"] {
        harness.get_by_label_contains(label).click();
        harness.run();
    }
    assert!(harness.query_by_label("first.ron").is_some() && harness.query_by_label("second.ron").is_none());
}

#[test]
fn closing_with_unsaved_changes_asks_first() {
    let mut window = open();
    let close = |window: &mut Window| {
        let id = window.harness.input_mut().viewport_id;
        window.harness.input_mut().viewports.entry(id).or_default().events.push(eframe::egui::ViewportEvent::Close);
        window.harness.run();
    };
    let asks = |window: &Window| window.harness.query_by_label("Save your changes first?").is_some();
    close(&mut window);
    assert!(!asks(&window), "nothing to ask about");
    window.harness.get_by_role_and_label(Role::Slider, "Event 12:15").focus();
    window.harness.run();
    window.harness.key_press(Key::ArrowUp);
    window.harness.run();
    close(&mut window);
    assert!(asks(&window));
    window.harness.get_by_label("Cancel").click();
    window.harness.run();
    assert!(!asks(&window));
    close(&mut window);
    window.harness.get_by_label("Discard").click();
    window.harness.run();
    close(&mut window);
    assert!(!asks(&window), "given up on purpose, the window may close");
}

#[test]
fn a_dropped_file_asks_about_unsaved_changes_too() {
    let mut window = open();
    window.harness.get_by_role_and_label(Role::Slider, "Event 12:15").focus();
    window.harness.run();
    window.harness.key_press(Key::ArrowUp);
    window.harness.run();
    let before = window.harness.state().document().scenario().clone();
    let path = window.data.path().join("dropped.ron");
    file::save(&presets::demos().remove(1).1, &path).unwrap();
    window.harness.input_mut().dropped_files.push(std::sync::Arc::new(Dropped(path)));
    window.harness.run();
    assert_eq!(*window.harness.state().document().scenario(), before);
    window.harness.get_by_label("Save your changes first?");
}

#[test]
fn save_writes_the_file_and_keeps_the_version_before_it() {
    let mut window = open();
    let path = window.data.path().join("bench.ron");
    assert!(window.harness.state_mut().save_to(&path));
    let before = std::fs::read_to_string(&path).unwrap();
    window.harness.get_by_role_and_label(Role::Slider, "Event 12:15").focus();
    window.harness.run();
    window.harness.key_press(Key::ArrowUp);
    window.harness.run();
    window.harness.key_press_modifiers(Modifiers::COMMAND, Key::S);
    window.harness.run();
    assert!(!window.harness.state().document().is_changed());
    let library = presets::Library::shipped();
    assert_eq!(file::load(&path, &library).unwrap(), **window.harness.state().document().scenario());
    assert_eq!(std::fs::read_to_string(path.with_extension("ron.bak")).unwrap(), before);
}

#[test]
fn fields_are_edits_with_names() {
    let mut window = open();
    window.harness.get_by_role_and_label(Role::SpinButton, "Feed EC").set_value_accesskit(3.0);
    window.harness.run();
    let document = window.harness.state().document();
    assert!((document.scenario().feed.ec - 3.0).abs() < 1e-9);
    assert_eq!(document.next_undo().unwrap().name, "Set feed EC to 3 mS/cm");
}

#[test]
fn a_scenario_that_cannot_run_is_told_in_words() {
    let mut window = open();
    let mut scenario = presets::demos().remove(0).1;
    scenario.lanes[0].container.parts[0].height_cm = -3.0;
    let path = window.data.path().join("bad.ron");
    std::fs::write(&path, file::to_text(&scenario).unwrap()).unwrap();
    assert!(!window.harness.state_mut().open(&path));
    window.harness.run();
    assert!(window.harness.query_by_label_contains("lanes[0].container.parts[0].height_cm").is_some());
}

#[test]
fn an_idle_window_asks_for_no_repaint() {
    let mut window = open();
    for _ in 0..3 {
        window.harness.step();
        let delay = window.harness.output().viewport_output.values().map(|v| v.repaint_delay).min();
        assert!(delay.is_none_or(|d| d > std::time::Duration::from_secs(1)), "{delay:?}");
    }
}

#[test]
fn every_size_and_theme_draws_every_demo() {
    for size in [[800.0, 520.0], [1024.0, 700.0], [1920.0, 1200.0]] {
        for theme in [Theme::Light, Theme::Dark] {
            let mut window = open_with(size, theme, None);
            window.hover(pos2(0.5 * size[0], 0.4 * size[1]));
            window.harness.run();
        }
    }
    let mut window = open();
    let folder = window.data.path().to_path_buf();
    for (name, scenario) in presets::demos() {
        let path = folder.join(&name);
        file::save(&scenario, &path).unwrap();
        assert!(window.harness.state_mut().open(&path), "{name}");
        window.harness.run();
        assert!(window.harness.state().run().troubles.is_empty(), "{name}: {:?}", window.harness.state().run().troubles);
    }
}
