//! Whether a day repeats itself is asked in one way: table, JSON and window tell the same day, however late. The window finds it aside, and
//! rests meanwhile.

use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use eframe::egui::accesskit::Role;
use egui_kittest::kittest::{NodeT, Queryable};
use slakeline::app::state::days::Days;
use slakeline::engine::run::Settled;
use slakeline::engine::run::settled::LOOK_AHEAD_DAYS;
use slakeline::scenario::presets::demos;
use slakeline::scenario::{Clock, Demand, Event, Lane, Scenario, file};

use crate::climate_window::shows;
use crate::hand::{Window, choose, click, frames_until, idles, open, type_number};

/// A pot that drains so little that its salt takes months, a slab that takes days, and a pot that never drains.
fn slow() -> Scenario {
    let mut scenario = demos().remove(0).1;
    scenario.valves[0].schedule = vec![Event::drip(Clock::hm(9, 0), 300, 600.0)];
    for lane in &mut scenario.lanes {
        lane.demand = Demand::Measured { litres_per_day: 0.4, steady_share: 0.1 };
    }
    scenario.lanes[1].dose = 1.5;
    let mut never = scenario.lanes[1].clone();
    (never.name, never.dose) = ("Never".to_owned(), 0.15);
    never.demand = Demand::Measured { litres_per_day: 0.09, steady_share: 0.1 };
    scenario.lanes.push(never);
    scenario
}

#[test]
fn table_json_and_window_tell_the_same_day_however_late() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("slow.ron");
    file::save(&slow(), &path).unwrap();
    let simulate = |options: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_slakeline"));
        command.arg("simulate").arg(&path).args(options).env("XDG_DATA_HOME", folder.path()).env("HOME", folder.path());
        let output = command.output().unwrap();
        assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8(output.stdout).unwrap()
    };
    let mut window = open(folder.path());
    assert!(window.state_mut().open(&path));
    window.run();
    choose(&mut window, "Showing", "settled day");
    frames_until(&mut window, "the settled day is shown", |w| w.state().run().settled.is_some());
    let settled = window.state().run().settled.clone().unwrap();
    let days: Vec<Option<u32>> = settled.iter().map(|s| if let Settled::OnDay(day) = s { Some(*day) } else { None }).collect();
    // One soon, one past what one would look ahead for a day's answer, one never.
    assert!(days[0].is_some_and(|d| d < 60) && days[1].is_some_and(|d| d > 60) && days[2].is_none(), "{days:?}");
    assert_eq!(settled[2], Settled::NotWithin(LOOK_AHEAD_DAYS));
    let words: Vec<String> = days
        .iter()
        .map(|d| d.map_or_else(|| format!("not settled in {LOOK_AHEAD_DAYS} days"), |day| format!("settled from about day {day} on")))
        .collect();
    let table = simulate(&[]);
    let told: Vec<&str> = table.lines().filter_map(|l| l.trim().strip_prefix("Day after day like this: ")).collect();
    assert_eq!(told, words.iter().map(|w| format!("{w}.")).collect::<Vec<_>>());
    let json: serde_json::Value = serde_json::from_str(&simulate(&["--figures", "-"])).unwrap();
    for ((lane, day), words) in json["lanes"].as_array().unwrap().iter().zip(&days).zip(&words) {
        assert_eq!((lane["settled_on_day"].as_u64(), lane["settled"].as_str()), (day.map(u64::from), Some(words.as_str())));
    }
}

/// A bench in the window.
fn with(folder: &Path, bench: &Scenario) -> Window {
    let path = folder.join("bench.ron");
    file::save(bench, &path).unwrap();
    let mut window = open(folder);
    assert!(window.state_mut().open(&path));
    window.run();
    window
}

fn is_settling(window: &Window) -> bool {
    window.state().bench().is_settling()
}

/// Lets frames pass while something is so, and tells how long it was.
fn while_it(window: &mut Window, is_so: impl Fn(&Window) -> bool) -> Duration {
    let began = Instant::now();
    frames_until(window, "it is over", |w| !is_so(w));
    began.elapsed()
}

/// What the strip's last cell says.
fn cell(window: &Window) -> String {
    let mut cells = window.query_all_by_role(Role::RadioButton);
    let last = cells.rfind(|c| c.accesskit_node().label().is_some_and(|l| l.starts_with("The settled day")));
    last.unwrap().accesskit_node().value().unwrap()
}

fn can_cancel(window: &Window) -> bool {
    window.query_by_label("Cancel").is_some()
}

#[test]
fn it_is_found_aside_and_the_window_rests_meanwhile() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = with(folder.path(), &Scenario { days: 3, ..slow() });
    assert!(is_settling(&window) && cell(&window).contains("Settling…"), "{}", cell(&window));
    for _ in 0..40 {
        std::thread::sleep(Duration::from_millis(20));
        assert!(!can_cancel(&window));
        assert!(idles(&mut window), "nobody waits for it");
    }
    while_it(&mut window, is_settling);
    assert!(idles(&mut window) && window.state().bench().settled().is_some());
    assert!(cell(&window).contains("lane 3 did not settle within 366 days"), "{}", cell(&window));
    assert!(window.state().run().settled.is_none(), "it is not shown because it was found");
    // Another bench has another.
    type_number(&mut window, "Feed EC", "2.2");
    assert!(is_settling(&window) && window.state().bench().settled().is_none());
}

#[test]
fn what_is_given_up_is_left_alone_until_the_bench_changes_or_it_is_shown() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = with(folder.path(), &Scenario { days: 3, ..endless() });
    choose(&mut window, "Showing", "settled day");
    while_it(&mut window, |w| !can_cancel(w));
    click(&mut window, "Cancel");
    let given_up = |w: &Window| !is_settling(w) && cell(w).contains("given up: click to find it");
    assert!(given_up(&window) && window.state().bench().days() == Days::One(2), "{}", cell(&window));
    let began = Instant::now();
    while began.elapsed() < Duration::from_millis(1500) {
        std::thread::sleep(Duration::from_millis(50));
        assert!(given_up(&window));
        assert!(idles(&mut window), "it stays so");
    }
    choose(&mut window, "Showing", "settled day");
    assert!(is_settling(&window), "who asks again is answered");
    while_it(&mut window, |w| !can_cancel(w));
    click(&mut window, "Cancel");
    assert!(given_up(&window));
    type_number(&mut window, "Feed EC", "2.2");
    assert!(is_settling(&window) && !can_cancel(&window), "another bench");
    // A view that is left lets it go on aside.
    choose(&mut window, "Showing", "settled day");
    while_it(&mut window, |w| !can_cancel(w));
    choose(&mut window, "Showing", "day 1 of 3");
    assert!(is_settling(&window) && !can_cancel(&window));
}

/// A bench that is not settled within any time that nobody waits.
fn endless() -> Scenario {
    let mut scenario = slow();
    scenario.lanes = (0..16).map(|k| Lane { name: format!("Lane {k}"), ..scenario.lanes[2].clone() }).collect();
    scenario.solver.max_step_s = 120.0;
    scenario
}

#[test]
fn a_bench_that_takes_too_long_is_not_chased_and_that_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = with(folder.path(), &Scenario { days: 2, ..endless() });
    let lasted = while_it(&mut window, is_settling);
    assert!(lasted > Duration::from_secs(19), "{lasted:?}: the bench is to be a larger one");
    assert!(cell(&window).contains("not found within 20 s: click to look on"), "{}", cell(&window));
    assert!(shows(&window, "Whether these figures stay is not known: no settled day within 20 s."));
    let began = Instant::now();
    while began.elapsed() < Duration::from_millis(1500) {
        std::thread::sleep(Duration::from_millis(50));
        assert!(idles(&mut window) && !is_settling(&window), "it is left alone");
    }
    choose(&mut window, "Showing", "settled day");
    while_it(&mut window, |w| !can_cancel(w));
    assert!(is_settling(&window) && !shows(&window, "Whether these figures stay is not known"));
}
