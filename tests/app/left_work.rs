//! Work of windows that ended badly: all of it is offered, one by one, and none is lost before it is saved or given up.

use std::path::Path;

use eframe::egui::Key;
use egui_kittest::kittest::Queryable;
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{Scenario, file};

use crate::hand::{Start, Window, click, close_menus, open_at, scenario};

/// A window on a file of its own, with a change that no file holds; its name is the file's.
fn changed(data: &Path, name: &str) -> Window {
    let path = data.join(format!("{name}.ron"));
    file::save(&Scenario { name: name.to_owned(), ..demos().remove(0).1 }, &path).unwrap();
    let mut window = open_at(data, 800.0);
    later(&mut window);
    assert!(window.state_mut().open(&path));
    window.run();
    crate::hand::type_number(&mut window, "Feed EC", "3.5");
    window
}

/// Closes the offer, if one is made.
fn later(window: &mut Window) {
    if offers(window) {
        click(window, "Later");
    }
}

fn offers(window: &Window) -> bool {
    window.query_by_label("Work that was not saved").is_some()
}

fn says(window: &Window, words: &str) -> bool {
    window.query_all_by_label_contains(words).next().is_some()
}

/// What is offered, by the names of the benches.
fn offered(window: &Window, names: &[&str]) -> Vec<String> {
    names.iter().filter(|name| window.query_by_label(name).is_some()).map(|name| (*name).to_owned()).collect()
}

#[test]
fn the_work_of_every_window_that_died_is_offered_one_by_one() {
    let data = tempfile::tempdir().unwrap();
    let names = ["bench-1", "bench-2", "bench-3", "bench-4", "bench-5"];
    let windows: Vec<Window> = names.iter().map(|name| changed(data.path(), name)).collect();
    // All of them end without being closed.
    drop(windows);
    let mut window = open_at(data.path(), 1200.0);
    assert!(offers(&window));
    assert_eq!(offered(&window, &names), names);
    assert!(says(&window, "bench-3.ron") && says(&window, "minute") && says(&window, "the last: "), "file, time and what it was");
    let mut open = names.to_vec();
    while !open.is_empty() {
        if !offers(&window) {
            click(&mut window, "File");
            let item = format!("Work that was not saved ({})…", open.len());
            click(&mut window, &item);
        }
        assert_eq!(offered(&window, &open).len(), open.len());
        let top = |button: &egui_kittest::Node<'_>| button.rect().top();
        window.get_all_by_label("Open").min_by(|a, b| top(a).total_cmp(&top(b))).unwrap().click();
        window.run();
        assert!(!offers(&window), "it was opened");
        let bench = scenario(&window);
        let at = open.iter().position(|name| *name == bench.name).expect("it is one of those that were left");
        let name = open.remove(at);
        assert_eq!(bench.feed.ec, 3.5, "{name}");
        let path = data.path().join(format!("{name}.ron"));
        assert_eq!(window.state().path(), Some(path.as_path()), "it is saved to its own file");
        assert!(window.state().document().is_changed());
        // A crash now loses nothing either.
        drop(window);
        window = open_at(data.path(), 1200.0);
        assert_eq!(offered(&window, &names).len(), open.len() + 1, "after {name}");
        let row = window.get_by_label(name).rect();
        let below = window.get_all_by_label("Open").filter(|button| top(button) > row.bottom());
        below.min_by(|a, b| top(a).total_cmp(&top(b))).unwrap().click();
        window.run();
        assert_eq!(scenario(&window).name, name);
        assert!(window.state_mut().save_to(&path));
        window.run();
        assert_eq!(file::load(&path, &Library::shipped()).unwrap().feed.ec, 3.5);
    }
    drop(window);
    let window = open_at(data.path(), 1200.0);
    assert!(!offers(&window));
}

#[test]
fn the_keyboard_opens_and_discards_and_what_is_put_off_is_offered_again() {
    let data = tempfile::tempdir().unwrap();
    drop(changed(data.path(), "mine"));
    let mut window = open_at(data.path(), 800.0);
    assert!(window.get_by_label("Open").is_focused());
    window.key_press(Key::Escape);
    window.run();
    assert!(!offers(&window) && scenario(&window).feed.ec != 3.5);
    drop(window);
    let mut window = open_at(data.path(), 800.0);
    // Discarding asks again, and Keep takes it back.
    for (key, focused) in [(Key::Tab, "Discard…"), (Key::Enter, ""), (Key::Tab, "")] {
        window.key_press(key);
        window.run();
        assert!(focused.is_empty() || window.get_by_label(focused).is_focused());
    }
    assert!(says(&window, "gone for good"));
    click(&mut window, "Keep");
    assert!(!says(&window, "gone for good"));
    click(&mut window, "Discard…");
    click(&mut window, "Discard for good");
    assert!(!offers(&window));
    click(&mut window, "File");
    assert!(!says(&window, "Work that was not saved"));
    close_menus(&mut window);
    drop(window);
    assert!(!offers(&open_at(data.path(), 800.0)));
}

#[test]
fn what_cannot_be_read_is_told_and_stays() {
    let data = tempfile::tempdir().unwrap();
    let left = data.path().join("window-1.recovery.ron");
    std::fs::write(&left, "(format: 1, name: ").unwrap();
    let mut window = open_at(data.path(), 800.0);
    assert!(says(&window, "window-1.recovery.ron"));
    click(&mut window, "Open");
    assert!(says(&window, "That did not work"));
    click(&mut window, "Close");
    drop(window);
    assert!(left.exists());
    assert!(offers(&open_at(data.path(), 800.0)));
}

#[test]
fn unsaved_changes_are_asked_about_before_what_was_left_takes_their_place() {
    let data = tempfile::tempdir().unwrap();
    drop(changed(data.path(), "left"));
    let mut window = changed(data.path(), "newer");
    click(&mut window, "File");
    click(&mut window, "Work that was not saved (1)…");
    click(&mut window, "Open");
    window.get_by_label("Save your changes first?");
    click(&mut window, "Cancel");
    assert_eq!(scenario(&window).name, "newer");
    drop(window);
    let window = open_at(data.path(), 800.0);
    assert_eq!(offered(&window, &["left", "newer"]), ["left", "newer"]);
}

#[test]
fn a_file_that_is_asked_for_opens_and_what_was_left_is_offered_over_it() {
    let data = tempfile::tempdir().unwrap();
    drop(changed(data.path(), "left"));
    let path = data.path().join("asked.ron");
    file::save(&Scenario { name: "asked".to_owned(), ..demos().remove(0).1 }, &path).unwrap();
    let window = Start { path: Some(path), ..Start::default() }.in_folder(data);
    assert!(offers(&window.harness));
    assert_eq!(scenario(&window.harness).name, "asked");
}

#[test]
fn where_nothing_can_be_kept_the_window_says_so_at_once_and_once() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("file");
    std::fs::write(&file, "").unwrap();
    let mut window = open_at(&file, 800.0);
    let told = "Changes cannot be kept against a crash: ";
    assert!(says(&window, told));
    click(&mut window, "Dismiss");
    for ec in ["3.5", "3.6", "3.7"] {
        crate::hand::type_number(&mut window, "Feed EC", ec);
        assert!(!says(&window, told), "once");
    }
}
