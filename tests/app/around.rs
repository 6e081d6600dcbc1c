//! What stands around the bench, driven without a display: its title, the files that were open, what is told, and where drags stop.

use std::path::{Path, PathBuf};

use eframe::egui::accesskit::Role;
use eframe::egui::{Key, Modifiers, Pos2, Rect, ViewportCommand, pos2, vec2};
use egui_kittest::kittest::{NodeT, Queryable};
use slakeline::app::state::days::Days;
use slakeline::scenario::{Clock, Event, Scenario, file, presets};

use crate::hand::{OwnWindow, Start, Window, choose, click, drop_file, frames_until, open, open_at, scenario, type_number};
use crate::presets::says;

fn bench(name: &str) -> Scenario {
    Scenario { name: name.to_owned(), ..presets::demos().remove(0).1 }
}

fn saved(folder: &Path, file: &str, name: &str) -> PathBuf {
    let path = folder.join(file);
    file::save(&bench(name), &path).unwrap();
    path
}

fn title(window: &Window) -> Option<String> {
    window.output().viewport_output.values().flat_map(|v| &v.commands).rev().find_map(|c| match c {
        ViewportCommand::Title(title) => Some(title.clone()),
        _ => None,
    })
}

/// The names in *Open recent*, from the top.
fn recent(window: &mut Window) -> Vec<String> {
    for label in ["File", "Open recent"] {
        window.get_all_by_label_contains(label).next().unwrap().click();
        window.run();
    }
    let mut found: Vec<(f32, String)> = window
        .query_all_by_role(Role::Button)
        .filter_map(|n| Some((n.rect().top(), n.accesskit_node().label()?)))
        .filter(|(_, label)| label.ends_with(".ron"))
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    for _ in 0..2 {
        window.key_press(Key::Escape);
        window.run();
    }
    found.into_iter().map(|(_, label)| label).collect()
}

#[test]
fn the_title_shows_the_file() {
    let data = tempfile::tempdir().unwrap();
    let path = saved(data.path(), "house-2.ron", "Two slabs");
    let mut window = open_at(data.path(), 800.0);
    let demo = scenario(&window).name;
    assert!(says(&window, &demo));
    window.input_mut().dropped_files.push(std::sync::Arc::new(crate::hand::Dropped(path)));
    window.step();
    assert_eq!(title(&window).as_deref(), Some("house-2.ron · Two slabs · Slakeline"));
    window.run();
    assert!(says(&window, "house-2.ron · Two slabs"));
    type_number(&mut window, "Feed EC", "3.1");
    assert!(says(&window, "house-2.ron — edited · Two slabs"));
}

#[test]
fn recent_files_keep_their_order_within_a_session() {
    let data = tempfile::tempdir().unwrap();
    let files = ["a.ron", "b.ron", "c.ron"].map(|name| saved(data.path(), name, name));
    let mut window = open_at(data.path(), 800.0);
    for path in &files {
        drop_file(&mut window, path);
    }
    assert_eq!(recent(&mut window), ["c.ron", "b.ron", "a.ron"]);
    drop_file(&mut window, &files[0]);
    assert_eq!(recent(&mut window), ["c.ron", "b.ron", "a.ron"], "what is opened again stays under the pointer");
    let mut next = open_at(data.path(), 800.0);
    assert_eq!(recent(&mut next), ["a.ron", "c.ron", "b.ron"], "the next session has the newest first");
}

#[test]
fn the_last_bench_reopens_at_start_unless_that_is_switched_off() {
    let data = tempfile::tempdir().unwrap();
    let path = saved(data.path(), "mine.ron", "Mine");
    let first = presets::demos()[0].1.name.clone();
    let mut window = open_at(data.path(), 800.0);
    assert_eq!(scenario(&window).name, first);
    drop_file(&mut window, &path);
    let mut window = open_at(data.path(), 800.0);
    assert_eq!((scenario(&window).name.as_str(), window.state().path()), ("Mine", Some(path.as_path())));
    // A demo was on the bench last: there is no file to open.
    window.key_press_modifiers(Modifiers::COMMAND, Key::N);
    window.run();
    let mut window = open_at(data.path(), 800.0);
    assert_eq!(scenario(&window).name, first);
    drop_file(&mut window, &path);
    for label in ["File", "Reopen the last bench at start"] {
        click(&mut window, label);
    }
    let mut window = open_at(data.path(), 800.0);
    assert_eq!(scenario(&window).name, first, "switched off, and that is kept");
    for label in ["File", "Reopen the last bench at start"] {
        click(&mut window, label);
    }
    drop_file(&mut window, &path);
    std::fs::remove_file(&path).unwrap();
    let window = open_at(data.path(), 800.0);
    assert_eq!(scenario(&window).name, first);
    assert!(says(&window, "mine.ron was on the bench last and is not there any more"));
}

/// A file that is named when the program is started comes before the last bench.
#[test]
fn a_file_that_is_asked_for_is_opened() {
    let data = tempfile::tempdir().unwrap();
    let (last, asked) = (saved(data.path(), "last.ron", "Last"), saved(data.path(), "asked.ron", "Asked"));
    let mut window = open_at(data.path(), 800.0);
    drop_file(&mut window, &last);
    let window = Start { path: Some(asked), ..Start::default() }.in_folder(data);
    assert_eq!(window.app().document().scenario().name, "Asked");
}

#[test]
fn a_bench_opens_at_its_first_day_and_the_top_of_its_setup() {
    let data = tempfile::tempdir().unwrap();
    let path = saved(data.path(), "next.ron", "Next");
    let mut window = open_at(data.path(), 800.0);
    let head = |w: &Window| w.get_by_label("Lane 1 menu").rect().top();
    let top = head(&window);
    choose(&mut window, "Showing", "settled day");
    click(&mut window, "Container and medium");
    window.hover_at(pos2(120.0, 400.0));
    window.event(eframe::egui::Event::MouseWheel {
        unit: eframe::egui::MouseWheelUnit::Point,
        delta: vec2(0.0, -900.0),
        phase: eframe::egui::TouchPhase::Move,
        source: eframe::egui::MouseWheelSource::Wheel,
        modifiers: Modifiers::NONE,
    });
    window.run();
    assert!(head(&window) < top - 300.0, "it was scrolled");
    drop_file(&mut window, &path);
    assert_eq!((window.state().bench().days(), window.state().run().day), (Days::One(0), 0));
    assert_eq!(head(&window), top);
    assert!(window.query_by_role_and_label(Role::ComboBox, "Container").is_none(), "its folds are as at first");
}

#[test]
fn whole_lane_cards_fold_by_mouse_and_by_keys() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let fields = |w: &Window| w.get_all_by_label("Crop and roots").count();
    assert_eq!(fields(&window), 2);
    let second = window.get_by_label("Lane 2 menu").rect().top();
    click(&mut window, "Fold lane 1");
    assert_eq!(fields(&window), 1);
    assert!(window.get_by_label("Lane 2 menu").rect().top() < second - 200.0);
    window.get_by_label("Unfold lane 1").focus();
    window.run();
    window.key_press(Key::Space);
    window.run();
    assert_eq!((fields(&window), window.get_by_label("Lane 2 menu").rect().top()), (2, second));
}

/// Where everything stands that can be pointed at, but for the notice itself.
fn places(window: &Window) -> Vec<(String, Rect)> {
    let all = [Role::Button, Role::SpinButton, Role::ComboBox, Role::Slider, Role::CheckBox].into_iter();
    let nodes = all.flat_map(|role| window.query_all_by_role(role)).map(|n| (n.accesskit_node().label().unwrap_or_default(), n.rect()));
    nodes.filter(|(label, _)| label != "Dismiss").collect()
}

#[test]
fn a_notice_moves_nothing_and_keeps_away_from_the_pointer() {
    let data = tempfile::tempdir().unwrap();
    // So high that the field stands in sight: a field that is gone to is scrolled to.
    for (pointer, is_below) in [(pos2(500.0, 300.0), true), (pos2(640.0, 1145.0), false)] {
        let mut window = open_at(data.path(), 1200.0);
        type_number(&mut window, "Feed EC", "2.5");
        window.hover_at(pointer);
        window.run();
        let before = places(&window);
        // Refused, which is told; nothing else changes.
        type_number(&mut window, "Feed EC", "900");
        window.hover_at(pointer);
        window.run();
        let told = window.get_by_label_contains("\"900\" is refused").rect();
        assert_eq!(places(&window), before);
        assert_eq!(told.center().y > 600.0, is_below, "{told:?}");
        assert!(!told.expand(20.0).contains(pointer));
        // It stays where it came up when the pointer goes to it.
        window.get_by_label("Dismiss").hover();
        window.run();
        assert_eq!(window.get_by_label_contains("\"900\" is refused").rect(), told);
        window.get_by_label("Dismiss").click();
        window.run();
        assert!(!says(&window, "is refused"));
    }
}

/// A window with a day of its own: 08:00, 09:00 and 22:00.
fn open_day() -> OwnWindow {
    let data = tempfile::tempdir().unwrap();
    let mut bench = bench("Drags");
    bench.valves[0].schedule = [8, 9, 22].map(|h| Event::drip(Clock::hm(h, 0), 5, 100.0)).to_vec();
    let path = data.path().join("day.ron");
    file::save(&bench, &path).unwrap();
    Start { path: Some(path), ..Start::default() }.in_folder(data)
}

#[test]
fn a_drag_that_is_stopped_says_why() {
    let mut window = open_day();
    let hour = window.hour("08:00", "09:00");
    let says = |w: &OwnWindow, words: &str| w.harness.query_all_by_label_contains(words).next().is_some();
    let neighbour = "The event at 09:00 stops it: a valve gives one event at a time.";
    let from = window.event("08:00").center();
    let near = from + vec2(0.97 * hour, 0.0);
    window.grab(from, near);
    assert!(says(&window, neighbour));
    window.hover(from + vec2(0.5 * hour, 0.0));
    window.harness.step();
    assert!(!says(&window, "stops it"), "where it is free again nothing is said");
    window.hover(near);
    window.release(near);
    assert!(!says(&window, "stops it"));
    let night = window.event("22:00").center();
    window.grab(night, night + vec2(3.0 * hour, 0.0));
    assert!(says(&window, "Midnight stops it: a schedule is that of one day."));
    window.harness.key_press(Key::Escape);
    window.harness.step();
    window.release(night);
    let mut window = open_day();
    let bar = window.event("08:00");
    let edge = Pos2::new(bar.right() - 1.0, bar.center().y);
    window.grab(edge, edge + vec2(1.5 * hour, 0.0));
    assert!(says(&window, neighbour), "its end is stopped likewise");
}

#[test]
fn duplicated_events_land_beside() {
    let mut window = open_day();
    for (from, to) in [("09:00", "09:05"), ("22:00", "22:05")] {
        window.harness.get_by_role_and_label(Role::Slider, &format!("Event {from}")).focus();
        window.harness.run();
        window.key(Modifiers::COMMAND, Key::D);
        assert!(window.schedule().iter().any(|e| e.start.to_string() == to));
    }
    // Between its neighbours there is no room: the nearest place is before them, not in the night.
    window.harness.get_by_role_and_label(Role::Slider, "Event 09:00").focus();
    window.harness.run();
    window.key(Modifiers::COMMAND, Key::D);
    assert!(window.schedule().iter().any(|e| e.start == Clock::hm(8, 55)));
}

/// A change that is compared on the settled day is called settled once, however often that is found.
#[test]
fn settled_is_said_once() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open_at(data.path(), 800.0);
    choose(&mut window, "Showing", "settled day");
    let settle = |w: &mut Window| {
        frames_until(w, "the settled day is found", |w| w.state().bench().settled().is_some());
        w.run();
    };
    settle(&mut window);
    for ec in ["2.6", "2.7", "2.8"] {
        type_number(&mut window, "Feed EC", ec);
        settle(&mut window);
    }
    for (key, shift) in [(Key::Z, false), (Key::Z, true)] {
        window.key_press_modifiers(Modifiers { shift, ..Modifiers::COMMAND }, key);
        window.run();
        settle(&mut window);
    }
    assert!(says(&window, ", settled"));
    assert!(!says(&window, "settled, settled"));
}
