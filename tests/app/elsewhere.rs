//! A file that another program, or another window, changes while it is open: told when it happens, and asked about when it is saved.

use std::path::{Path, PathBuf};

use eframe::egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use slakeline::scenario::file::{self, backup_path};
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{Scenario, disk};

use crate::hand::{Window, click, frames_until, open_at, scenario, type_number};

fn named(name: &str) -> Scenario {
    Scenario { name: name.to_owned(), ..demos().remove(0).1 }
}

/// A window on a file.
fn opened(data: &Path) -> (Window, PathBuf) {
    let path = data.join("bench.ron");
    if !path.exists() {
        file::save(&named("mine"), &path).unwrap();
    }
    let mut window = open_at(data, 800.0);
    assert!(window.state_mut().open(&path));
    window.run();
    (window, path)
}

fn says(window: &Window, words: &str) -> bool {
    window.query_all_by_label_contains(words).next().is_some()
}

fn name_in(path: &Path) -> String {
    file::load(path, &Library::shipped()).unwrap().name
}

fn save(window: &mut Window) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    window.run();
}

const TOLD: &str = "bench.ron was changed by another program or window.";

#[test]
fn a_change_is_told_when_it_happens_and_each_choice_does_what_it_says() {
    for choice in ["Keep mine", "Take theirs", "Save beside"] {
        let data = tempfile::tempdir().unwrap();
        let (mut window, path) = opened(data.path());
        type_number(&mut window, "Feed EC", "3.5");
        file::save(&named("theirs"), &path).unwrap();
        frames_until(&mut window, "the change is told", |w| says(w, TOLD));
        assert!(says(&window, "changed elsewhere"), "in the line below, too");
        click(&mut window, choice);
        assert!(!says(&window, TOLD));
        let beside = data.path().join("bench-2.ron");
        match choice {
            "Keep mine" => {
                assert_eq!(name_in(&path), "theirs", "nothing is written yet");
                save(&mut window);
                assert_eq!((name_in(&path), name_in(&backup_path(&path))), ("mine".to_owned(), "theirs".to_owned()));
            }
            "Take theirs" => {
                assert!(scenario(&window).name == "theirs" && !window.state().document().is_changed());
                window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
                window.run();
                assert_eq!((scenario(&window).name.as_str(), scenario(&window).feed.ec), ("mine", 3.5));
            }
            _ => {
                assert_eq!((name_in(&path), name_in(&beside)), ("theirs".to_owned(), "mine".to_owned()));
                assert_eq!(window.state().path(), Some(beside.as_path()));
                assert!(!window.state().document().is_changed());
            }
        }
        // What was decided is not asked again.
        type_number(&mut window, "Feed EC", "3.6");
        save(&mut window);
        assert!(window.query_by_label("The file has changed").is_none() && !window.state().document().is_changed(), "{choice}");
    }
}

#[test]
fn saving_asks_where_it_was_not_told_before_and_nothing_is_written_over_unasked() {
    for choice in ["Cancel", "Keep mine", "Take theirs", "Save beside"] {
        let data = tempfile::tempdir().unwrap();
        let (mut window, path) = opened(data.path());
        type_number(&mut window, "Feed EC", "3.5");
        file::save(&named("theirs"), &path).unwrap();
        // At once: the watch has not looked yet, or has; saving asks all the same.
        save(&mut window);
        window.get_by_label("The file has changed");
        assert!(window.get_all_by_label("Save beside").any(|button| button.is_focused()), "what loses nothing has the keyboard");
        assert_eq!(name_in(&path), "theirs");
        window.get_all_by_label(choice).last().unwrap().click();
        window.run();
        assert!(window.query_by_label("The file has changed").is_none(), "{choice}");
        let beside = data.path().join("bench-2.ron");
        let is_changed = window.state().document().is_changed();
        match choice {
            "Cancel" => assert!(is_changed && name_in(&path) == "theirs"),
            "Keep mine" => assert!(!is_changed && name_in(&path) == "mine" && name_in(&backup_path(&path)) == "theirs"),
            "Take theirs" => assert!(!is_changed && scenario(&window).name == "theirs"),
            _ => assert!(!is_changed && name_in(&path) == "theirs" && name_in(&beside) == "mine"),
        }
    }
}

#[test]
fn what_follows_a_save_follows_the_choice() {
    let data = tempfile::tempdir().unwrap();
    let (mut window, path) = opened(data.path());
    type_number(&mut window, "Feed EC", "3.5");
    file::save(&named("theirs"), &path).unwrap();
    window.key_press_modifiers(Modifiers::COMMAND, Key::N);
    window.run();
    click(&mut window, "Save");
    window.get_by_label("The file has changed");
    assert_eq!(scenario(&window).name, "mine");
    window.get_all_by_label("Save beside").last().unwrap().click();
    window.run();
    assert_eq!((scenario(&window).name.as_str(), name_in(&data.path().join("bench-2.ron")).as_str()), ("New bench", "mine"));
}

#[test]
fn a_file_that_is_removed_is_told_and_saved_again() {
    let data = tempfile::tempdir().unwrap();
    let (mut window, path) = opened(data.path());
    std::fs::remove_file(&path).unwrap();
    frames_until(&mut window, "it is told", |w| says(w, "bench.ron is not there any more"));
    // Without an answer saving asks; what is on the bench is in no file, changed or not.
    save(&mut window);
    window.get_by_label("The file is not there any more");
    assert!(!path.exists());
    window.get_all_by_label("Keep mine").last().unwrap().click();
    window.run();
    assert_eq!(name_in(&path), "mine");
    std::fs::remove_file(&path).unwrap();
    frames_until(&mut window, "it is told again", |w| says(w, "bench.ron is not there any more"));
    click(&mut window, "Keep mine");
    assert!(window.state().document().is_changed());
    save(&mut window);
    assert_eq!(name_in(&path), "mine");
}

#[test]
fn a_file_that_was_only_touched_or_saved_here_is_no_change() {
    let data = tempfile::tempdir().unwrap();
    let (mut window, path) = opened(data.path());
    let touched = std::time::SystemTime::now() + std::time::Duration::from_secs(1000);
    std::fs::File::options().append(true).open(&path).unwrap().set_modified(touched).unwrap();
    type_number(&mut window, "Feed EC", "3.5");
    save(&mut window);
    assert!(!window.state().document().is_changed());
    let stamp = disk::Stamp::of(&path).unwrap();
    // As long as the watch takes to look twice.
    for _ in 0..30 {
        std::thread::sleep(std::time::Duration::from_millis(50));
        window.step();
        assert!(!says(&window, TOLD));
    }
    assert_eq!(disk::Stamp::of(&path).unwrap(), stamp);
}

#[test]
fn two_windows_on_one_file_tell_each_other() {
    let data = tempfile::tempdir().unwrap();
    let (mut first, path) = opened(data.path());
    assert!(!says(&first, "open in another window"));
    let (mut second, _) = opened(data.path());
    assert!(says(&second, "bench.ron is open in another window, too."));
    type_number(&mut first, "Feed EC", "3.5");
    type_number(&mut second, "Feed EC", "4.5");
    save(&mut first);
    frames_until(&mut second, "the other's save is told", |w| says(w, TOLD));
    save(&mut second);
    second.get_by_label("The file has changed");
    assert_eq!(file::load(&path, &Library::shipped()).unwrap().feed.ec, 3.5);
    second.get_all_by_label("Keep mine").last().unwrap().click();
    second.run();
    assert_eq!(file::load(&path, &Library::shipped()).unwrap().feed.ec, 4.5);
    assert_eq!(file::load(&backup_path(&path), &Library::shipped()).unwrap().feed.ec, 3.5);
    frames_until(&mut first, "and so is that", |w| says(w, TOLD));
    drop((first, second));
    let (third, _) = opened(data.path());
    assert!(!says(&third, "open in another window"));
}

#[test]
fn a_name_that_is_typed_replaces_no_file_unasked() {
    let data = tempfile::tempdir().unwrap();
    let (mut window, _) = opened(data.path());
    let other = data.path().join("other.ron");
    file::save(&named("other"), &other).unwrap();
    click(&mut window, "File");
    click(&mut window, "Save to a path…");
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.event(eframe::egui::Event::Text(other.display().to_string()));
    window.run();
    window.key_press(Key::Enter);
    window.run();
    window.get_by_label("There is a file of that name");
    assert_eq!(name_in(&other), "other");
    click(&mut window, "Replace it");
    assert_eq!((name_in(&other), name_in(&backup_path(&other))), ("mine".to_owned(), "other".to_owned()));
    assert_eq!(window.state().path(), Some(other.as_path()));
}
