//! The largest bench there may be: what takes long is computed beside the frames, tells how far it is, and can be given up. The bench is
//! then as it was, under the picture that stood before.

use std::sync::Arc;

use eframe::egui::accesskit::Role;
use eframe::egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::{NodeT, Queryable};
use slakeline::app::state::bench::computing::Beside;
use slakeline::app::state::days::Days;
use slakeline::projection::prepared::runs_here;
use slakeline::scenario::{Clock, Demand, Event, MAX_DAYS, MAX_LANES, Scenario, StartSalt, file, presets};

use crate::hand::{OwnWindow, Start, frames_until, show_last_day};

/// Sixteen lanes, a year, 64 layers: with as few and as long steps as there may be, since the window is what is tested. It drains nothing, so
/// that no day is as the one before.
fn largest() -> Scenario {
    let mut scenario = Scenario { days: MAX_DAYS, ..presets::demos().remove(0).1 };
    scenario.valves[0].schedule = vec![Event::drip(Clock::hm(9, 0), 10, 300.0), Event::drip(Clock::hm(15, 0), 10, 300.0)];
    let solver = &mut scenario.solver;
    (solver.min_layers, solver.max_layers, solver.layer_cm) = (64, 64, 0.05);
    (solver.tolerance, solver.convergence, solver.max_step_s) = (0.1, 1.0, 7200.0);
    let lane = scenario.lanes[0].clone();
    scenario.lanes = (1..=MAX_LANES).map(|k| slakeline::scenario::Lane { name: format!("Lane {k}"), ..lane.clone() }).collect();
    for lane in &mut scenario.lanes {
        lane.demand = Demand::Measured { litres_per_day: 0.6, steady_share: 0.1 };
        lane.start.salt = StartSalt::Ec(0.0);
    }
    scenario
}

/// What the bench is: the document, its changes, and the picture of it.
fn bench(window: &OwnWindow) -> (Arc<Scenario>, usize, u64, Days) {
    let app = window.app();
    let document = app.document();
    (Arc::clone(document.scenario()), document.log().len(), app.run().stamp, app.bench().days())
}

fn is_computing(window: &OwnWindow, what: Beside) -> bool {
    window.app().bench().running().is_some_and(|running| running.what == what)
}

/// Draws until the line at the bottom offers to give up what is being computed, then does so.
fn give_up(window: &mut OwnWindow, what: &str) {
    frames_until(&mut window.harness, what, |w| w.query_by_label("Cancel").is_some());
    assert!(window.harness.query_all_by_role(Role::ProgressIndicator).next().is_some(), "{what}: how far it is");
    // A pointer that holds an event cannot click; keys and screen readers can.
    window.harness.get_by_label("Cancel").click_accesskit();
    window.harness.step();
    window.harness.step();
    assert!(window.app().bench().running().is_none() && !window.app().is_computing(), "{what}: given up");
}

#[test]
fn whatever_takes_long_on_the_largest_bench_can_be_given_up_and_no_frame_waits_for_it() {
    let data = tempfile::tempdir().unwrap();
    let path = data.path().join("largest.ron");
    let scenario = largest();
    assert!(scenario.lanes.iter().all(|lane| scenario.solver.layers_of(&lane.container).iter().sum::<usize>() == 64));
    file::save(&scenario, &path).unwrap();
    let mut window = Start::default().in_folder(data);
    let ran = runs_here();
    // What is on the bench stays while another is being opened.
    let before = bench(&window);
    assert!(window.harness.state_mut().open(&path));
    give_up(&mut window, "opening");
    assert_eq!(bench(&window), before);
    assert!(window.harness.state_mut().open(&path));
    frames_until(&mut window.harness, "it is there", |w| w.state().document().scenario().lanes.len() == MAX_LANES);
    window.harness.run();
    // The last day is shown, so that all of them are waited for.
    show_last_day(&mut window.harness);
    frames_until(&mut window.harness, "the last day is there in full", |w| w.state().run().in_full(365));
    let opened = bench(&window);
    assert!(window.app().run().is_whole() && *opened.0 == scenario && opened.3 == Days::One(365));

    // A change is in the document at once, and out of it again when its curves are not waited for.
    grow(&mut window);
    assert!(window.app().document().is_changed() && bench(&window).2 == opened.2, "the last good picture stands");
    give_up(&mut window, "a change");
    assert_eq!(bench(&window), opened);
    assert!(window.app().document().next_redo().is_some(), "Redo makes it again");

    // A drag: it goes on while the pointer moves, and tells that it is behind.
    let at = window.event("09:00").center();
    window.grab(at, at + vec2(30.0, 0.0));
    let mut frames = 0_u8;
    let moved = |frames: u8| at + vec2(30.0 + f32::from(frames % 2) * 20.0, 0.0);
    while window.harness.query_by_label("Cancel").is_none() {
        frames = frames.checked_add(1).expect("a drag tells that it is being computed while the pointer moves");
        std::thread::sleep(std::time::Duration::from_millis(10));
        window.hover(moved(frames));
        assert!(window.app().bench().is_trying() && is_computing(&window, Beside::Trial));
    }
    assert_eq!(bench(&window), opened, "it is only tried");
    give_up(&mut window, "a drag");
    window.hover(moved(frames + 1));
    assert!(!window.app().bench().is_trying() && window.app().bench().running().is_none(), "it is let go of, and is not tried again");
    window.release(at);
    assert_eq!(bench(&window), opened);
    // Escape drops it, too, before anything is told of it.
    window.grab(at, at + vec2(30.0, 0.0));
    assert!(is_computing(&window, Beside::Trial));
    window.harness.key_press(Key::Escape);
    window.harness.step();
    assert!(!window.app().bench().is_trying() && window.app().bench().running().is_none());
    window.release(at);
    assert_eq!(bench(&window), opened);

    // A change taken back is computed like any other.
    grow(&mut window);
    frames_until(&mut window.harness, "a change is computed", |w| !w.state().is_computing());
    let changed = bench(&window);
    assert!(changed.1 == opened.1 + 1 && changed.2 != opened.2);
    window.harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.harness.step();
    assert!(*window.app().document().scenario() == opened.0 && bench(&window).2 == changed.2);
    give_up(&mut window, "undo");
    assert_eq!(bench(&window), changed);

    // The settled day.
    let is_settled = |cell: &egui_kittest::Node<'_>| cell.accesskit_node().label().is_some_and(|l| l.starts_with("The settled day"));
    window.harness.query_all_by_role(Role::RadioButton).find(is_settled).unwrap().click_accesskit();
    frames_until(&mut window.harness, "it is looked for", |w| w.state().bench().running().is_some_and(|r| r.what == Beside::Settled));
    assert_eq!(window.app().bench().days(), Days::Settled);
    give_up(&mut window, "the settled day");
    assert_eq!(bench(&window), changed);
    assert_eq!(runs_here(), ran, "no run was computed within a frame");
}

/// One change: the first event gets more, by a key.
fn grow(window: &mut OwnWindow) {
    window.harness.get_by_role_and_label(Role::Slider, "Event 09:00").focus();
    window.harness.step();
    window.harness.key_press(Key::ArrowUp);
    window.harness.step();
    assert!(is_computing(window, Beside::Document));
}
