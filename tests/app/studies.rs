//! The studies' pages, driven without a display: what they tell is what the study finds, it is found beside the frames, it can be given up,
//! and what it proposes is laid back as one change.

use std::path::Path;
use std::time::Instant;

use eframe::egui::{Key, Modifiers, Shape, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use slakeline::app::{App, AppOptions};
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{Scenario, file};
use slakeline::studies::grace::{grace, worst_words};

use crate::hand::{Window, choose, click, frames_until, scenario, undo_name};
use crate::painted::texts;

fn open(folder: &Path, scenario: &Scenario) -> Window {
    open_at(folder, scenario, 800.0)
}

fn open_at(folder: &Path, scenario: &Scenario, height: f32) -> Window {
    let path = folder.join("bench.ron");
    file::save(scenario, &path).unwrap();
    let options = AppOptions { path: Some(path), data_folder: Some(folder.to_path_buf()) };
    let builder = Harness::builder().with_size(vec2(1280.0, height)).with_max_steps(60).with_step_dt(1.0 / 60.0);
    let mut window = Window::from(builder.build_eframe(move |cc| App::new(cc, options)));
    window.run();
    click(&mut window, "Studies");
    window
}

/// A bare block alone: it settles within days.
fn block() -> Scenario {
    let mut scenario = demos().remove(2).1;
    scenario.lanes.remove(0);
    scenario
}

fn begin(window: &mut Window, label: &str) {
    window.get_by_label(label).click();
    window.step();
    window.step();
}

#[test]
fn grace_times_are_those_of_the_study() {
    let folder = tempfile::tempdir().unwrap();
    let bench = demos().remove(0).1;
    let mut window = open(folder.path(), &bench);
    assert!(window.state().studies().grace.answer().is_none(), "nothing is run before it is asked for");
    begin(&mut window, "Find out");
    frames_until(&mut window, "grace times are found", |w| w.state().studies().grace.share().is_none());
    window.run();
    for lane in grace(&bench, &Library::shipped(), &|| true).unwrap().unwrap() {
        window.get_by_label(&worst_words(&lane));
    }
    assert_eq!(scenario(&window), bench);
}

#[test]
fn a_schedule_found_is_taken_as_one_change() {
    let folder = tempfile::tempdir().unwrap();
    let bench = block();
    // Tall enough for the plot, too.
    let mut window = open_at(folder.path(), &bench, 2400.0);
    click(&mut window, "Schedule finder");
    begin(&mut window, "Find a schedule");
    // Frames go on meanwhile.
    assert!(window.state().studies().schedule.share().is_some());
    frames_until(&mut window, "a schedule is found", |w| w.state().studies().schedule.share().is_none());
    window.run();
    let answer = window.state().studies().schedule.answer().unwrap();
    assert!(answer.whole);
    let events = answer.found.as_ref().unwrap().events.clone();
    assert_ne!(bench.valves[0].schedule, events);
    click(&mut window, "Take this schedule");
    assert_eq!(scenario(&window).valves[0].schedule, events);
    assert_eq!(undo_name(&window), format!("Take the schedule found, {} events", events.len()));
    window.get_by_label_contains("The bench has changed since");
    window.get_by_label_contains("The schedule is on the bench");
    click(&mut window, "Bench");
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run();
    assert_eq!(scenario(&window), bench);
    // As it was then, it has not changed.
    click(&mut window, "Studies");
    let untrue = ["The bench has changed since", "The schedule is on the bench"];
    assert!(untrue.iter().all(|words| window.query_by_label_contains(words).is_none()));
    // On the plot of what can be traded no mark covers a number.
    let mut flat = Vec::new();
    window.output().shapes.iter().for_each(|s| flatten(&s.shape, &mut flat));
    let proposed = answer_point(&window);
    let number = flat.iter().rposition(|s| matches!(s, Shape::Text(text) if text.galley.text() == proposed)).unwrap();
    let mark = flat.iter().rposition(|s| matches!(s, Shape::Circle(_))).unwrap();
    assert!(mark < number, "the number {proposed} is drawn over the marks: {mark} {number}");
}

fn flatten<'s>(shape: &'s Shape, into: &mut Vec<&'s Shape>) {
    match shape {
        Shape::Vec(inner) => inner.iter().for_each(|s| flatten(s, into)),
        other => into.push(other),
    }
}

/// The EC of the point that is proposed, as the plot has it.
fn answer_point(window: &Window) -> String {
    let found = window.state().studies().schedule.answer().unwrap().found.as_ref().unwrap();
    format!("{:.2}", found.points.iter().find(|p| p.proposed).unwrap().lanes[0].root_zone_ec)
}

/// What is looked at stands over the tracks with its name, in the figures of its own settled day, and nothing of the bench changes until it is
/// taken; dismissed, it leaves nothing.
#[test]
fn a_proposal_stands_over_the_tracks_until_it_is_taken_or_dismissed() {
    let folder = tempfile::tempdir().unwrap();
    let bench = block();
    // Tall, so that the points do not lie below the edge.
    let mut window = open_at(folder.path(), &bench, 2200.0);
    click(&mut window, "Schedule finder");
    begin(&mut window, "Find a schedule");
    frames_until(&mut window, "a schedule is found", |w| w.state().studies().schedule.share().is_none());
    window.run();
    let points = window.state().studies().schedule.answer().unwrap().found.as_ref().unwrap().points.clone();
    for at in [0, 1] {
        click(&mut window, "Next");
        frames_until(&mut window, "it is run", |w| !w.state().bench().overlays().is_empty());
        let over = &window.state().bench().overlays()[0];
        let figures = &over.projection.reports[0].as_ref().unwrap().figures;
        assert_eq!(figures.root_zone_ec, points[at].lanes[0].root_zone_ec, "what is drawn is what was found");
        assert_eq!(over.projection.scenario.valves[0].schedule, points[at].events);
        assert_eq!((over.lanes.clone(), scenario(&window)), (vec![Some(0)], bench.clone()));
    }
    window.get_by_label_contains("Drawn over the tracks of the bench");
    click(&mut window, "Bench");
    let named = |window: &Window, part: &str| window.query_all_by_label_contains(part).count();
    let words = format!("P: proposed, not taken: {} events", points[1].events.len());
    window.get_by_label(&format!("{words}; its settled day"));
    assert_eq!(named(&window, ", P, proposed, not taken"), 0);
    assert_eq!(named(&window, "· P, proposed, not taken"), points[1].events.len(), "each of its events is named");
    window.get_all_by_label("Dismiss").next().unwrap().click();
    window.run();
    assert!(window.state().bench().overlays().is_empty() && window.state().bench().proposal().is_none());
    assert_eq!((named(&window, "proposed, not taken"), scenario(&window)), (0, bench.clone()));
    click(&mut window, "Studies");
    click(&mut window, "Next");
    click(&mut window, "Bench");
    frames_until(&mut window, "it is run", |w| !w.state().bench().overlays().is_empty());
    window.run();
    click(&mut window, "Take it");
    assert_eq!(scenario(&window).valves[0].schedule, points[2].events);
    assert!(window.state().bench().overlays().is_empty());
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run();
    assert_eq!(scenario(&window), bench);
}

#[test]
fn a_study_that_is_given_up_keeps_what_it_found_and_leaves_the_bench() {
    let folder = tempfile::tempdir().unwrap();
    let bench = block();
    let mut window = open(folder.path(), &bench);
    click(&mut window, "Choice of root zone");
    begin(&mut window, "Hold them side by side");
    frames_until(&mut window, "the first root zones", |w| w.state().studies().choice.answer().is_some());
    let began = Instant::now();
    window.get_by_label("Cancel").click();
    window.step();
    window.step();
    assert!(window.state().studies().choice.share().is_none() && began.elapsed().as_secs() < 5);
    let kept = window.state().studies().choice.answer().unwrap();
    assert!(!kept.whole && kept.found.as_ref().is_ok_and(|points| !points.is_empty()));
    window.get_by_label_contains("Given up; what was found up to then");
    assert_eq!(scenario(&window), bench);
    // One of them is opened as it is told: on a valve of its own, with the schedule found for it. One undo takes it away.
    let found = kept.found.as_ref().unwrap().iter().find(|p| p.bench.is_some()).unwrap();
    let (name, of) = (format!("{} in {} L", found.medium, found.litres), found.bench.clone().unwrap());
    choose(&mut window, "Look closer at", &name);
    click(&mut window, "Open as a lane beside the others");
    let with = scenario(&window);
    let last = with.lanes.last().unwrap();
    assert_eq!((with.lanes.len(), with.valves.len(), last.valve), (bench.lanes.len() + 1, bench.valves.len() + 1, bench.valves.len()));
    assert_eq!(with.valves.last().unwrap().schedule, of.valves[0].schedule);
    assert_eq!((last.container.clone(), with.lane_feed_ec(bench.lanes.len())), (of.lanes[0].container.clone(), of.feed_ec(0)));
    assert_eq!(with.validate(&Library::shipped()), []);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run();
    assert_eq!(scenario(&window), bench);
}

/// Every page is drawn with its answer, and what cannot be is told in words.
#[test]
fn flush_and_spread_are_told() {
    let folder = tempfile::tempdir().unwrap();
    let mut bench = block();
    bench.days = 1;
    let mut window = open(folder.path(), &bench);
    click(&mut window, "Flush");
    begin(&mut window, "Find out");
    frames_until(&mut window, "the flush is tried", |w| w.state().studies().flush.share().is_none());
    window.run();
    assert!(window.state().studies().flush.answer().unwrap().found.is_ok());
    click(&mut window, "Spread");
    begin(&mut window, "Find out");
    frames_until(&mut window, "the spread is found", |w| w.state().studies().spread.share().is_none());
    window.run();
    window.get_by_label("Chance that a plant meets each aim");
    assert!(window.state().studies().spread.answer().unwrap().found.as_ref().is_ok_and(|s| s.ran == 1000));
    // Its bands stand on the tracks of the last day, until they are not wanted or the bench is another.
    let on_tracks = |window: &Window| texts(&window.output().shapes).iter().filter(|p| p.text.contains("eight of ten")).count();
    click(&mut window, "Bench");
    assert_eq!(on_tracks(&window), 2, "water content and salt");
    click(&mut window, "Studies");
    click(&mut window, "Bands on the tracks of day 1, too");
    click(&mut window, "Bench");
    assert_eq!(on_tracks(&window), 0);
    click(&mut window, "Studies");
    click(&mut window, "Bands on the tracks of day 1, too");
    click(&mut window, "Bench");
    window.key_press_modifiers(Modifiers::COMMAND, Key::I);
    window.run();
    assert_ne!(scenario(&window), bench);
    assert_eq!(on_tracks(&window), 0, "of another bench nothing is told");
}

#[test]
fn a_spread_that_is_given_up_keeps_what_its_members_tell() {
    let folder = tempfile::tempdir().unwrap();
    let bench = block();
    let mut window = open(folder.path(), &bench);
    click(&mut window, "Spread");
    begin(&mut window, "Find out");
    frames_until(&mut window, "the first members are told", |w| w.state().studies().spread.answer().is_some());
    window.get_by_label("Cancel").click();
    window.step();
    window.step();
    let kept = window.state().studies().spread.answer().unwrap();
    let found = kept.found.as_ref().unwrap();
    assert!(!kept.whole && (64..1000).contains(&found.ran), "{}", found.ran);
    assert!(found.lanes[0].bands["peak"][2] > found.lanes[0].bands["peak"][0]);
    window.get_by_label_contains(&format!("{} of 1000 plants", found.ran));
    window.get_by_label_contains("Given up; what was found up to then");
    assert_eq!(scenario(&window), bench);
}
