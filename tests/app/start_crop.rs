//! A bench or a lane started from a crop, in one step.

use super::presets::*;
use crate::hand::{Window, open, open_at, scenario, type_number, undo_name};
use eframe::egui::accesskit::Role;
use eframe::egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use slakeline::scenario::presets::{Library, save_own};
use slakeline::scenario::{Climate, CropChoice, Demand, Roots, Start};
use std::path::Path;

#[test]
fn a_new_bench_starts_from_a_crop_in_four_clicks_and_one_edit() {
    let data = tempfile::tempdir().unwrap();
    let mut window = new_bench(data.path());
    let before = scenario(&window);
    // Aubergine and the stage "full" are chosen already.
    for label in ["Start from a crop…", BAG, LAMPS, "Set up"] {
        click(&mut window, label);
    }
    let now = scenario(&window);
    let (lane, shipped) = (&now.lanes[0], Library::shipped());
    let stage = shipped.crop("aubergine").unwrap().stages.iter().find(|s| s.name == "full").unwrap();
    assert_eq!((&lane.container, &lane.crop), (shipped.container(BAG).unwrap(), &CropChoice::Preset("aubergine".to_owned())));
    assert_eq!((lane.targets, &lane.roots), (stage.targets, &stage.roots));
    assert!(matches!(lane.demand, Demand::Climate { leaf_area_index: Some(lai), .. } if lai == stage.leaf_area_index));
    assert_eq!((now.climate.as_ref().map(Climate::name), now.light.off.hours(), now.feed.ec), (Some(LAMPS), 18.0, 2.1));
    assert!(!now.valves[0].schedule.is_empty());
    assert_eq!(lane.start, Start::run_in());
    stands_well(&window, 0);
    assert_eq!(window.state().document().log().len(), 1);
    assert_eq!(window.state().document().next_undo().unwrap().name, "Start lane 1 from aubergine, full");
    undo(&mut window);
    assert_eq!(scenario(&window), before);
}

#[test]
fn start_from_a_crop_adds_a_lane_and_leaves_the_schedule_when_told_so() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let before = scenario(&window);
    window.key_press_modifiers(Modifiers::COMMAND, Key::K);
    window.run();
    for label in ["tomato", "young", BAG, LAMPS, "a new lane", DRAFT, "Set up"] {
        click(&mut window, label);
    }
    let now = scenario(&window);
    assert_eq!((now.lanes.len(), &now.lanes[..2], &now.valves[0].schedule), (3, &before.lanes[..], &before.valves[0].schedule));
    assert_eq!(now.lanes[2].roots, Roots::Tapering { halves_every_cm: 4.0 });
    assert_eq!(now.feed.ec, 2.6);
    click(&mut window, "Draft a schedule…");
    click(&mut window, &format!("for lane 3 · {}", now.lanes[2].name));
    stands_well(&window, 2);
    undo(&mut window);
    undo(&mut window);
    assert_eq!(scenario(&window), before);
}

/// The whole window at its usual size, and by keyboard alone.
#[test]
fn start_from_a_crop_works_by_keyboard_in_a_low_window() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open_at(data.path(), 520.0);
    window.key_press_modifiers(Modifiers::COMMAND, Key::K);
    window.run();
    let button = window.get_by_label("Set up").rect();
    assert!(button.bottom() < 520.0, "{button}");
    assert!(window.get_by_role_and_label(Role::Button, "Set up").is_focused());
    window.get_all_by_label("lettuce").last().unwrap().focus();
    window.run();
    window.key_press(Key::Enter);
    window.run();
    window.get_by_role_and_label(Role::Button, "Set up").focus();
    window.run();
    window.key_press(Key::Enter);
    window.run();
    assert_eq!(scenario(&window).lanes[0].crop, CropChoice::Preset("lettuce".to_owned()));
}

/// A crop of the user's own that no use can be computed for.
fn house_crop(data: &Path) {
    let mut crop = Library::shipped().crops[0].clone();
    "house crop".clone_into(&mut crop.name);
    crop.canopy = None;
    save_own(&crop, &data.join("presets"), &Library::shipped()).unwrap();
}

/// Litres a day that the first lane is given as measured.
fn litres(window: &Window) -> f64 {
    let Demand::Measured { litres_per_day, .. } = scenario(window).lanes[0].demand else { panic!("it is not measured") };
    litres_per_day
}

#[test]
fn a_crop_without_a_canopy_leaves_a_computed_lane_with_the_litres_it_used() {
    let data = tempfile::tempdir().unwrap();
    house_crop(data.path());
    let mut window = open(data.path());
    choose(&mut window, "Use", "from the climate");
    let computed = scenario(&window);
    choose(&mut window, "Use", "measured");
    let used = litres(&window);
    assert!(used > 0.5, "{used}");
    undo(&mut window);
    // Chosen in the lane.
    choose(&mut window, "Crop", "house crop");
    assert!(says(&window, "\"house crop\" has no canopy values, so the use of lane 1 can no longer be computed"));
    assert_eq!((litres(&window), undo_name(&window).as_str()), (used, "Grow house crop in lane 1"));
    assert_eq!(scenario(&window).validate(&library(data.path())), []);
    assert!(window.state().run().troubles.is_empty());
    undo(&mut window);
    assert_eq!(scenario(&window), computed);
    // Started from, with a draft and without.
    for draft in [true, false] {
        window.key_press_modifiers(Modifiers::COMMAND, Key::K);
        window.run();
        click(&mut window, "house crop");
        click(&mut window, LAMPS);
        if !draft {
            click(&mut window, DRAFT);
        }
        click(&mut window, "Set up");
        assert!(says(&window, "\"house crop\" has no canopy values"));
        assert_eq!(litres(&window), used, "as it was under its own climate");
        assert_eq!(scenario(&window).validate(&library(data.path())), []);
        assert!(window.state().run().troubles.is_empty());
        undo(&mut window);
        assert_eq!(scenario(&window), computed);
    }
}

#[test]
fn start_from_a_crop_stays_open_with_what_stands_in_its_way() {
    let data = tempfile::tempdir().unwrap();
    house_crop(data.path());
    let mut window = open(data.path());
    type_number(&mut window, "Uses a day", "0");
    let before = scenario(&window);
    assert_eq!(litres(&window), 0.0);
    window.key_press_modifiers(Modifiers::COMMAND, Key::K);
    window.run();
    for label in ["house crop", BAG, LAMPS, "Set up"] {
        click(&mut window, label);
    }
    assert!(says(&window, "The plants of lane 1 use no water"));
    assert_eq!(scenario(&window), before);
    // The choices stand, and another one is another question.
    click(&mut window, DRAFT);
    assert!(!says(&window, "use no water"));
    click(&mut window, "Set up");
    let lane = &scenario(&window).lanes[0];
    assert_eq!((&lane.crop, lane.container.name.as_str()), (&CropChoice::Preset("house crop".to_owned()), BAG));
}
