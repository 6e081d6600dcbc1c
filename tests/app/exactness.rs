//! *Help › How exact is this bench?*, driven without a display: what it tells is what the study finds, nothing waits for it, and it is given
//! up when the bench changes or the window is closed.

use std::path::Path;
use std::time::Instant;

use eframe::egui::accesskit::Role;
use eframe::egui::{Key, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use slakeline::app::state::exactness::Known;
use slakeline::app::{App, AppOptions};
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{Scenario, file};
use slakeline::studies::exactness::{Exactness, exactness, words};
use slakeline::units::Units;

use crate::breaks;
use crate::hand::{Window, click, close_menus, frames_until, idles};

const TITLE: &str = "How exact is this bench?";

fn open(folder: &Path, scenario: &Scenario, size: [f32; 2]) -> Window {
    let path = folder.join("bench.ron");
    file::save(scenario, &path).unwrap();
    let options = AppOptions { path: Some(path), data_folder: Some(folder.to_path_buf()) };
    let builder = Harness::builder().with_size(vec2(size[0], size[1])).with_max_steps(60).with_step_dt(1.0 / 60.0);
    let mut window = Window::from(builder.build_eframe(move |cc| App::new(cc, options)));
    window.run();
    window
}

fn demo(number: usize) -> Scenario {
    demos().remove(number - 1).1
}

/// Asks for it by the menu, and goes no further than a frame or two.
fn ask(window: &mut Window) {
    window.get_by_label("Help").click();
    window.run();
    window.get_by_label(TITLE).click();
    window.step();
    window.step();
}

fn known(window: &Window) -> Option<Known<'_>> {
    window.state().bench().exactness()
}

/// Frame by frame, until it is no longer being found.
fn wait(window: &mut Window) {
    frames_until(window, "it is found", |w| !matches!(known(w), Some(Known::Running(_))));
    window.run();
}

fn found(window: &Window) -> Exactness {
    match known(window) {
        Some(Known::Found(exactness)) => exactness.clone(),
        other => panic!("{other:?}"),
    }
}

fn by_study(scenario: &Scenario) -> Exactness {
    exactness(scenario, &Library::shipped(), &|| true, &|_| ()).unwrap().unwrap()
}

/// A bench that keeps the thread busy for as long as a test may take.
fn long() -> Scenario {
    let mut scenario = Scenario { days: 366, ..demo(1) };
    scenario.lanes.truncate(1);
    // The window's own run is not what is tested.
    (scenario.solver.layer_cm, scenario.solver.max_step_s) = (2.0, 1800.0);
    scenario
}

#[test]
fn it_tells_lane_by_lane_what_the_study_finds() {
    for number in [1, 10] {
        let folder = tempfile::tempdir().unwrap();
        let scenario = demo(number);
        let mut window = open(folder.path(), &scenario, [1280.0, 800.0]);
        assert!(known(&window).is_none(), "nothing is run before it is asked for");
        ask(&mut window);
        wait(&mut window);
        let told = found(&window);
        assert_eq!(told, by_study(&scenario));
        window.get_by_label(&format!("{}:", words::head(&told)));
        window.get_by_label(&words::aim());
        for line in told.lanes.iter().flat_map(|lane| words::lines(lane, Units::default())) {
            for text in [line.what.as_str(), &line.by, &line.when, line.aim()].into_iter().filter(|t| !t.is_empty()) {
                assert!(window.query_all_by_label(text).next().is_some(), "\"{text}\" of demo {number}");
            }
        }
        assert_eq!(told.calls.map(|c| window.query_all_by_label(&words::calls(&c)).count()), (number == 10).then_some(1));
        // The bench is as it was, and what idles, idles.
        assert!(!window.state().document().is_changed());
        assert!(idles(&mut window));
    }
}

#[test]
fn no_frame_waits_for_it_and_cancel_gives_it_up() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open(folder.path(), &long(), [1280.0, 800.0]);
    ask(&mut window);
    let began = Instant::now();
    for _ in 0..5 {
        window.step();
    }
    assert!(matches!(known(&window), Some(Known::Running(share)) if share < 1.0), "{:?}", known(&window));
    // A frame of a year's bench takes a while here; its finer run takes far longer than five of them.
    let frames = began.elapsed();
    assert!(window.query_all_by_role(Role::ProgressIndicator).next().is_some());
    window.get_by_label("Cancel").click();
    window.step();
    window.step();
    assert!(known(&window).is_none() && window.query_by_label(TITLE).is_none(), "after {frames:?}");
    // The thread is free for another bench at once.
    let short = demo(2);
    let path = folder.path().join("short.ron");
    file::save(&short, &path).unwrap();
    assert!(window.state_mut().open(&path));
    ask(&mut window);
    let began = Instant::now();
    wait(&mut window);
    assert_eq!(found(&window), by_study(&short), "after {:?}", began.elapsed());
}

#[test]
fn a_change_of_the_bench_gives_it_up_and_it_can_be_asked_again() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open(folder.path(), &demo(1), [1280.0, 800.0]);
    for wait_first in [false, true] {
        ask(&mut window);
        if wait_first {
            wait(&mut window);
            found(&window);
        }
        window.get_all_by_role_and_label(Role::Slider, "Event 12:15").next().unwrap().focus();
        window.step();
        window.key_press(Key::ArrowUp);
        window.run();
        assert_eq!(known(&window), Some(Known::Outdated), "found before: {wait_first}");
        window.get_by_label_contains("The bench has changed since.");
        click(&mut window, "Find out again");
        wait(&mut window);
        let scenario = Scenario::clone(window.state().document().scenario());
        assert_eq!(found(&window), by_study(&scenario));
        window.key_press(Key::Escape);
        window.run();
        window.key_press(Key::Escape);
        window.run();
        assert!(known(&window).is_none());
    }
    assert_eq!(window.state().document().log().len(), 2, "two changes, and none by asking");
}

#[test]
fn another_day_shown_is_no_change_and_escape_closes_it() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = open(folder.path(), &demo(1), [1280.0, 800.0]);
    ask(&mut window);
    wait(&mut window);
    let cells = window.query_all_by_role(Role::RadioButton);
    let first = cells.into_iter().find(|c| c.accesskit_node().label().is_some_and(|l| l.starts_with("Day 1 of 3")));
    first.unwrap().click();
    window.run();
    assert_eq!(window.state().run().day, 0);
    found(&window);
    window.key_press(Key::Escape);
    window.run();
    assert!(known(&window).is_none() && window.query_by_label(TITLE).is_none());
}

#[test]
fn a_finer_run_that_stops_is_told_with_what_was_found_before() {
    let folder = tempfile::tempdir().unwrap();
    let (scenario, by_study) = breaks::when_refined().expect("one of these tolerances lies between");
    let mut window = open(folder.path(), &scenario, [1280.0, 800.0]);
    assert!(window.state().run().troubles.is_empty(), "its own run goes to its end");
    ask(&mut window);
    wait(&mut window);
    let broken = by_study.lanes[0].broken.as_ref().unwrap();
    window.get_by_label(&words::sentence(broken));
    window.get_by_label("Root-zone EC");
}

#[test]
fn it_fits_a_small_window_and_tells_volumes_in_the_units_shown() {
    let folder = tempfile::tempdir().unwrap();
    let mut scenario = demo(1);
    scenario.days = 1;
    for k in 0..6 {
        let lane = slakeline::scenario::Lane { name: format!("More {k}"), ..scenario.lanes[0].clone() };
        scenario.lanes.push(lane);
    }
    let mut window = open(folder.path(), &scenario, [800.0, 520.0]);
    for item in ["View", "Units", "US fl oz and gal"] {
        click(&mut window, item);
    }
    close_menus(&mut window);
    ask(&mut window);
    wait(&mut window);
    let told = found(&window);
    let foot = window.get_by_label(&words::aim()).rect();
    assert!(foot.bottom() < 520.0 && foot.right() < 800.0, "{foot:?}");
    let drained = words::lines(&told.lanes[0], window.state().units())[4].by.clone();
    assert!(drained.ends_with(" fl oz") && window.query_all_by_label(&drained).next().is_some(), "{drained}");
}
