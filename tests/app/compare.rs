//! States and files beside the bench: compared on their page, drawn over its tracks, and put in its place.

use std::sync::Arc;

use eframe::egui::accesskit::Role;
use eframe::egui::{Key, Modifiers, Theme};
use egui_kittest::kittest::{NodeT, Queryable};
use slakeline::app::state::days::Days;
use slakeline::app::state::others::{MOST, MOST_ON_TRACKS};
use slakeline::engine::run::simulation::begun_here;
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{Clock, Give, Lane, MAX_LANES, Scenario, StartSalt, StartWater, file};
use slakeline::studies::compare::{Waiting, compare};
use slakeline::units::{EcUnit, LengthUnit, SuctionUnit, TemperatureUnit, Units, VolumeUnit};

use crate::hand::{OwnWindow, Start, choose, click, frames_until, type_text, undo_name};
use crate::painted::{Painted, cut, overlapping, texts};

fn open(scenario: &Scenario, size: [f32; 2], theme: Theme) -> OwnWindow {
    open_with(scenario, size, theme, &Units::default())
}

fn open_with(scenario: &Scenario, size: [f32; 2], theme: Theme, units: &Units) -> OwnWindow {
    let data = tempfile::tempdir().unwrap();
    std::fs::write(data.path().join("units.ron"), file::options().to_string(units).unwrap()).unwrap();
    let path = data.path().join("bench.ron");
    file::save(scenario, &path).unwrap();
    Start { path: Some(path), size, theme: Some(theme), ..Start::default() }.in_folder(data)
}

fn usual(scenario: &Scenario) -> OwnWindow {
    open(scenario, [1280.0, 800.0], Theme::Light)
}

fn page(window: &mut OwnWindow) {
    click(&mut window.harness, "Studies");
    click(&mut window.harness, "Compare");
}

fn keep(window: &mut OwnWindow, name: &str) {
    type_text(&mut window.harness, "Name", name);
}

/// Ticks or unticks by the mouse.
fn tick(window: &mut OwnWindow, what: &str, name: &str) {
    let is_it = |label: &str| label.starts_with(what) && label.ends_with(&format!(": {name}"));
    let boxes: Vec<_> = window.harness.query_all_by_role(Role::CheckBox).collect();
    boxes.iter().find(|n| n.accesskit_node().label().is_some_and(|l| is_it(&l))).unwrap_or_else(|| panic!("no {what} of {name}")).click();
    drop(boxes);
    window.harness.run();
}

fn bench_page(window: &mut OwnWindow) {
    click(&mut window.harness, "Bench");
}

fn scenario(window: &OwnWindow) -> Scenario {
    Scenario::clone(window.app().document().scenario())
}

/// The comparison's own button: the list of studies has one of that name, too.
fn begin(window: &mut OwnWindow) {
    window.harness.get_all_by_label("Compare").last().unwrap().click();
    window.harness.step();
    window.harness.step();
}

/// Asks, and waits for the whole answer.
fn ask(window: &mut OwnWindow) {
    begin(window);
    frames_until(&mut window.harness, "it is compared", |w| w.state().studies().compare.share().is_none());
    window.harness.run();
}

fn says(window: &OwnWindow, what: &str) -> bool {
    window.harness.query_all_by_label_contains(what).next().is_some()
}

fn earlier(scenario: &Scenario) -> Scenario {
    let mut other = scenario.clone();
    other.valves[0].schedule[0].start = Clock::hm(7, 0);
    other.feed.ec += 0.4;
    other
}

#[test]
fn a_kept_state_is_compared_as_the_study_compares_it_and_not_within_a_frame() {
    let bench = demos().remove(0).1;
    let mut window = usual(&bench);
    page(&mut window);
    keep(&mut window, "Before the change");
    assert_eq!((window.app().bench().others.list().len(), scenario(&window)), (1, bench.clone()));
    assert!(says(&window, "Before the change") && window.app().studies().compare.answer().is_none());

    // The bench goes on; what was kept does not.
    let after = earlier(&bench);
    window.harness.state_mut().open(&{
        let path = window.data.path().join("after.ron");
        file::save(&after, &path).unwrap();
        path
    });
    window.harness.run();
    assert_eq!(scenario(&window), after);
    assert_eq!(*window.app().bench().others.list()[0].scenario, bench);
    page(&mut window);
    let (begun, stamp) = (begun_here(), window.app().run().stamp);
    ask(&mut window);
    assert_eq!(begun_here(), begun, "no run begins on the window's thread");
    assert_eq!((scenario(&window), window.app().run().stamp), (after.clone(), stamp));

    let benches = [("the bench as it stands".to_owned(), Arc::new(after)), ("Before the change".to_owned(), Arc::new(bench))];
    let waiting = Waiting { go_on: &|| true, progress: &|_| (), so_far: &|_| () };
    let found = compare(&benches, &Library::shipped(), &waiting).unwrap();
    assert_eq!(window.app().studies().compare.answer().unwrap().found.as_ref().unwrap(), &found);
    assert!(found.ran.iter().all(|ran| *ran) && !found.setup.is_empty() && !found.schedule.is_empty());
    // By the words that growers have for it, not by the field.
    assert!(says(&window, "EC of the feed") || says(&window, "Feed EC") || found.setup[0].words.is_some_and(|w| says(&window, w)));
    assert!(says(&window, "at 07:00"));

    // What is ticked then is what was compared.
    tick(&mut window, "compare", "Before the change");
    assert!(says(&window, "What is ticked above has changed since"));
}

/// What differs is read in words and units, lane by lane, with no mark of a file; what differs never reads the same.
#[test]
fn what_differs_is_read_without_the_marks_of_a_file() {
    let mut bench = demos().remove(0).1;
    bench.days = 1;
    let mut other = bench.clone();
    other.lanes[0].targets.drain_percent = Some((40.0, 70.0));
    other.lanes[0].start.salt = StartSalt::Ec(7.0);
    other.lanes[1].start.water = StartWater::Head(-10.0);
    other.lanes[1].container.parts = bench.lanes[0].container.parts.clone();
    if let Give::Drip { ml } = &mut other.valves[0].schedule[0].give {
        *ml += 0.01;
    }
    let mut window = usual(&other);
    page(&mut window);
    keep(&mut window, "Other");
    let path = window.data.path().join("first.ron");
    file::save(&bench, &path).unwrap();
    assert!(window.harness.state_mut().open(&path));
    window.harness.run();
    page(&mut window);
    ask(&mut window);
    for words in ["Aim: drain, %", "10 to 20", "40 to 70", "EC at the start, mS/cm", "as wetted", "slab, block"] {
        assert!(says(&window, words), "{words}");
    }
    assert!(says(&window, "120 mL in 300 s") && says(&window, "120.01 mL in 300 s"));
    let marks = |text: &str| ["Preset(", "[", "{", "_", "AsWetted", "…"].iter().any(|mark| text.contains(mark));
    let told: Vec<String> = painted(&window).into_iter().map(|p| p.text).filter(|t| marks(t)).collect();
    let usual = ["Add a file…", "Export…"];
    assert!(told.iter().all(|t| usual.contains(&t.as_str())), "{told:?}");
}

#[test]
fn with_keys_alone_a_state_is_kept_compared_drawn_opened_and_removed() {
    let mut bench = demos().remove(0).1;
    bench.days = 1;
    let mut window = usual(&bench);
    page(&mut window);
    // Entering the name keeps the state.
    keep(&mut window, "Kept by keys");
    assert_eq!(window.app().bench().others.list().len(), 1);
    let press = |window: &mut OwnWindow, role: Role, label: &str| {
        window.harness.get_by_role_and_label(role, label).focus();
        window.harness.step();
        window.harness.key_press(Key::Space);
        window.harness.run();
    };
    press(&mut window, Role::CheckBox, "on the tracks: Kept by keys");
    assert!(window.app().bench().others.list()[0].drawn().is_some());
    press(&mut window, Role::CheckBox, "compare: Kept by keys");
    assert!(!window.app().bench().others.list()[0].compared);
    press(&mut window, Role::CheckBox, "compare: Kept by keys");
    window.harness.get_all_by_role_and_label(Role::Button, "Compare").last().unwrap().focus();
    window.harness.step();
    window.harness.key_press(Key::Enter);
    frames_until(&mut window.harness, "it is compared", |w| w.state().studies().compare.answer().is_some_and(|a| a.whole));
    window.harness.run();
    assert!(says(&window, "Nothing in it differs."));
    press(&mut window, Role::Button, "Open Kept by keys");
    assert!(says(&window, "The bench is like Kept by keys already.") && window.app().document().next_undo().is_none());
    press(&mut window, Role::Button, "Remove Kept by keys");
    assert!(window.app().bench().others.list().is_empty() && window.app().bench().others.on_tracks().next().is_none());
}

#[test]
fn a_state_is_opened_as_one_named_change_and_undo_brings_the_bench_back() {
    let bench = demos().remove(0).1;
    let mut window = usual(&bench);
    page(&mut window);
    keep(&mut window, "As it came");
    bench_page(&mut window);
    window.harness.get_by_role_and_label(Role::Slider, "Event 12:15").focus();
    window.harness.step();
    window.key(Modifiers::NONE, Key::ArrowUp);
    let changed = scenario(&window);
    assert_ne!(changed, bench);
    page(&mut window);
    click(&mut window.harness, "Open As it came");
    assert_eq!((scenario(&window), undo_name(&window.harness)), (bench, "Open the state As it came".to_owned()));
    bench_page(&mut window);
    window.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(scenario(&window), changed);
}

#[test]
fn what_is_given_up_leaves_the_bench_to_the_bit_and_keeps_what_differs() {
    let mut bench = demos().remove(0).1;
    bench.days = 300;
    let mut window = usual(&bench);
    page(&mut window);
    keep(&mut window, "Long");
    let before = (window.app().run().stamp, window.app().bench().days(), window.app().document().generation(), scenario(&window));
    begin(&mut window);
    frames_until(&mut window.harness, "what differs", |w| w.state().studies().compare.answer().is_some());
    assert!(window.app().studies().compare.share().is_some() && window.harness.query_all_by_role(Role::ProgressIndicator).next().is_some());
    window.harness.get_by_label("Cancel").click();
    window.harness.step();
    window.harness.step();
    let after = (window.app().run().stamp, window.app().bench().days(), window.app().document().generation(), scenario(&window));
    assert_eq!(before, after);
    let kept = window.app().studies().compare.answer().unwrap();
    let found = kept.found.as_ref().unwrap();
    assert!(!kept.whole && found.ran.iter().any(|ran| !ran) && found.setup.is_empty());
    assert!(says(&window, "Given up; what was found up to then") && says(&window, "not run to its end: no figures"));
}

/// Of a state on the tracks its curves are drawn by lines of another kind, in lanes of the same name, on the same day; and it is said.
#[test]
fn curves_of_a_state_stand_on_the_tracks_by_name_and_day() {
    let bench = demos().remove(0).1;
    let mut window = usual(&bench);
    let shapes = |window: &OwnWindow| window.harness.output().shapes.len();
    let alone = shapes(&window);
    page(&mut window);
    keep(&mut window, "Twin");
    tick(&mut window, "on the tracks", "Twin");
    assert!(window.app().bench().others.list()[0].on_tracks);
    bench_page(&mut window);
    assert!(says(&window, "B: Twin, day 1"));
    // Dashes are many strokes.
    assert!(shapes(&window) > alone + 20, "{} {alone}", shapes(&window));
    assert!(painted(&window).iter().filter(|p| p.text == "B").count() >= 6, "its letter stands on its curves");
    // The twin's curve is the bench's own: what is read of both at an instant is the same.
    let track = window.harness.get_by_label_contains("Water content track, ").rect();
    window.hover(track.center());
    window.harness.run();
    let told = window.harness.query_all_by_role(Role::Slider).find_map(|n| n.accesskit_node().value().filter(|v| v.contains("B Twin")));
    let told = told.expect("the instant in words tells of it");
    let of = |who: &str| {
        let rest = told.split(who).nth(1).unwrap();
        rest.split("water content ").nth(1).unwrap().split(" %").next().unwrap().to_owned()
    };
    assert_eq!(of("B Twin, lane 1"), of("lane 1, "), "{told}");
    choose(&mut window.harness, "Showing", "day 3 of 3");
    frames_until(&mut window.harness, "day 3", |w| w.state().bench().days() == Days::One(2));
    assert!(says(&window, "Twin, day 3"));
    click(&mut window.harness, "Hide");
    assert!(
        !says(&window, "Twin, day 3") && !window.app().bench().others.list()[0].on_tracks && window.app().bench().overlays().is_empty()
    );
    assert!(window.app().bench().others.list()[0].drawn().is_none(), "a run that nobody sees takes no room");
}

#[test]
fn other_days_and_other_lanes_are_said() {
    let bench = demos().remove(0).1;
    let mut one_day = bench.clone();
    one_day.days = 1;
    one_day.lanes.pop();
    let mut window = usual(&one_day);
    page(&mut window);
    keep(&mut window, "One day");
    let mut renamed = bench.clone();
    renamed.lanes.iter_mut().enumerate().for_each(|(i, lane)| lane.name = format!("Another {i}"));
    for (name, other) in [("renamed.ron", &renamed), ("whole.ron", &bench)] {
        let path = window.data.path().join(name);
        file::save(other, &path).unwrap();
        assert!(window.harness.state_mut().open(&path));
        window.harness.run();
        page(&mut window);
        keep(&mut window, name);
    }
    for name in ["One day", "renamed.ron"] {
        tick(&mut window, "on the tracks", name);
    }
    bench_page(&mut window);
    choose(&mut window.harness, "Showing", "day 3 of 3");
    frames_until(&mut window.harness, "both are drawn", |w| w.state().bench().others.on_tracks().all(|o| o.drawn().is_some()));
    window.harness.run();
    assert!(says(&window, "One day, day 1, its last, 1 of 2 lanes"));
    assert!(says(&window, "renamed.ron: none of its lanes is called as one of the bench"));
    // Beside all days it has as many as it has.
    choose(&mut window.harness, "Showing", "All 3 days side by side");
    assert!(says(&window, "One day, up to day 1, its last, 1 of 2 lanes"));
    // Lanes of another name are told in the comparison.
    page(&mut window);
    tick(&mut window, "compare", "whole.ron");
    ask(&mut window);
    assert!(says(&window, "B has no such lane.") && says(&window, "In C it is called Another 0."));
}

#[test]
fn no_more_are_held_compared_or_drawn_than_can_be_told_apart() {
    let mut bench = demos().remove(0).1;
    bench.days = 1;
    let mut window = usual(&bench);
    page(&mut window);
    for k in 1..=MOST {
        keep(&mut window, &format!("State {k}"));
    }
    let others = &window.app().bench().others;
    assert_eq!((others.list().len(), others.compared().count()), (MOST, 3));
    let letters: String = others.list().iter().map(|o| o.letter).collect();
    assert_eq!(letters, "BCDEFGHI");
    keep(&mut window, "One too many");
    assert_eq!(window.app().bench().others.list().len(), MOST);
    for k in 1..=MOST_ON_TRACKS {
        tick(&mut window, "on the tracks", &format!("State {k}"));
    }
    tick(&mut window, "on the tracks", "State 4");
    assert_eq!(window.app().bench().others.on_tracks().count(), MOST_ON_TRACKS);
    // A letter and a place that were given back are taken again.
    click(&mut window.harness, "Remove State 2");
    keep(&mut window, "Next");
    tick(&mut window, "on the tracks", "Next");
    let next = window.app().bench().others.list().last().unwrap();
    assert!((next.letter, next.on_tracks) == ('C', true) && window.app().bench().others.on_tracks().count() == MOST_ON_TRACKS);
}

fn painted(window: &OwnWindow) -> Vec<Painted> {
    texts(&window.harness.output().shapes)
}

fn is_sound(window: &OwnWindow, when: &str) {
    let texts = painted(window);
    assert_eq!((cut(&texts), overlapping(&texts)), (Vec::<String>::new(), Vec::<String>::new()), "{when}");
}

/// Sixteen lanes with long names, on a valve each, in the units of the United States, beside a state with other valves and days.
#[test]
fn long_names_many_lanes_and_other_units_are_laid_out_soundly() {
    let us = Units {
        volume: VolumeUnit::Us,
        length: LengthUnit::Inch,
        temperature: TemperatureUnit::Fahrenheit,
        ec: EcUnit::Ppm500,
        suction: SuctionUnit::Cm,
    };
    let long = |k: usize| format!("Row {k}, east side of the teaching greenhouse, grafted plants on two stems");
    let mut many = Scenario { days: 1, ..demos().remove(0).1 };
    let two = many.lanes.clone();
    many.lanes = (0..MAX_LANES).map(|k| Lane { name: long(k + 1), ..two[k % 2].clone() }).collect();
    let few = Scenario { days: 2, ..demos().remove(0).1 };
    for (size, theme) in [([1280.0, 800.0], Theme::Dark), ([1024.0, 700.0], Theme::Light)] {
        let mut window = open_with(&few, size, theme, &us);
        page(&mut window);
        keep(&mut window, &long(99));
        let path = window.data.path().join("many.ron");
        file::save(&many, &path).unwrap();
        assert!(window.harness.state_mut().open(&path));
        window.harness.run();
        page(&mut window);
        tick(&mut window, "on the tracks", &long(99));
        ask(&mut window);
        assert!(says(&window, "B has no such lane.") || says(&window, "In B it is called"));
        assert!(says(&window, "fl oz"), "units of the United States");
        is_sound(&window, &format!("the page at {size:?}"));
        bench_page(&mut window);
        is_sound(&window, &format!("the tracks at {size:?}"));
    }
}
