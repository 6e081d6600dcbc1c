//! What is aimed for stands beside the figures, with where it comes from; a day that is as it should be but will not stay so is told; and
//! under a log the light is the log's own.

use std::path::Path;
use std::time::Duration;

use eframe::egui::accesskit::Role;
use egui_kittest::kittest::{NodeT, Queryable};
use slakeline::app::state::days::Days;
use slakeline::projection::LaneReport;
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{Climate, ClimateLog, Clock, Event, LogRow, Scenario, StartSalt, Targets, file};

use crate::climate_window::*;
use crate::hand::*;

/// The window with a bench of its own.
fn with(folder: &Path, bench: &Scenario) -> Window {
    let path = folder.join("bench.ron");
    file::save(bench, &path).unwrap();
    let mut window = open(folder);
    assert!(window.state_mut().open(&path));
    window.run();
    window
}

/// The words of a figure's row in a lane.
fn row(window: &Window, name: &str, lane: usize) -> String {
    let words = format!("{name}: ");
    let row = window.query_all_by_role(Role::Button).filter(|n| n.accesskit_node().label().is_some_and(|l| l.starts_with(&words)));
    row.map(|n| n.accesskit_node().label().unwrap()).nth(lane).unwrap_or_else(|| panic!("no row {name} of lane {lane}"))
}

fn wait_until_settled(window: &mut Window) {
    frames_until(window, "the settled day is found", |w| w.state().bench().settled().is_some());
    window.run();
}

fn show_settled(window: &mut Window) {
    if scenario(window).days == 1 {
        choose(window, "Showing", "settled day");
    } else {
        // A list of many days has to be scrolled; the strip's last cell is always there.
        let mut cells = window.query_all_by_role(Role::RadioButton);
        cells.rfind(|c| c.accesskit_node().label().is_some_and(|l| l.starts_with("The settled day"))).unwrap().click();
        drop(cells);
        window.run();
    }
    assert_eq!(window.state().bench().days(), Days::Settled);
}

#[test]
fn rows_have_their_aim_and_the_tooltip_says_where_it_comes_from() {
    let data = tempfile::tempdir().unwrap();
    let mut bench = demos().remove(0).1;
    // One lane with targets of its own, one with those of its crop's stage, one with a preset's.
    let library = Library::shipped();
    let full = library.crop("aubergine").unwrap().stages.last().unwrap().clone();
    bench.lanes[1].targets = full.targets;
    let mut third = bench.lanes[0].clone();
    (third.name, third.targets) = ("Third".to_owned(), library.targets[0].targets);
    bench.lanes.push(third);
    let mut window = with(data.path(), &bench);
    assert!(row(&window, "Peak water", 0).contains(" %, aim 70–80 "), "{}", row(&window, "Peak water", 0));
    assert!(row(&window, "Root-zone EC", 0).contains(", aim 2.6–3.4 "));
    assert!(row(&window, "Lowest air", 0).contains(" %, aim ≥ 10 enough"));
    let mut tooltip = |name: &str, lane: usize, says: &str| {
        let label = row(&window, name, lane);
        window.get_all_by_label(&label).next().unwrap().hover();
        window.run();
        std::thread::sleep(Duration::from_millis(10));
        for _ in 0..12 {
            window.step();
        }
        assert!(shows(&window, says), "{label}: \"{says}\" is not told");
    };
    tooltip("Peak water", 0, "Aim 70–80 %: set under Targets in the setup of this lane");
    tooltip("Root-zone EC", 1, "as aubergine, full, commonly has it");
    tooltip("Peak water", 1, "no target of water is set, so it follows from container and roots");
    tooltip("Drain", 2, &format!("of the targets \"{}\"", library.targets[0].name));
}

#[test]
fn nothing_is_aimed_for_that_cannot_be_met() {
    let data = tempfile::tempdir().unwrap();
    let mut bench = demos().remove(1).1;
    bench.valves[0].schedule.retain(|e| e.give.is_flood());
    // A share of drain on a flood table, a dry-back that no night brings about, a band that no such pot holds.
    let beyond = Targets {
        drain_percent: Some((10.0, 20.0)),
        dry_back_points: Some((40.0, 50.0)),
        water_content: Some((0.88, 0.9)),
        ..bench.lanes[0].targets
    };
    bench.lanes[0].targets = beyond;
    let window = with(data.path(), &bench);
    assert!(row(&window, "Drain", 0).ends_with(" % runs back"), "{}", row(&window, "Drain", 0));
    for name in ["Night dry-back", "Peak water"] {
        let said = row(&window, name, 0);
        assert!(said.ends_with(" not judged") && !said.contains("aim"), "{said}");
    }
}

#[test]
fn a_figure_that_will_not_stay_in_range_says_what_it_settles_at() {
    let (mut stays, mut leaves) = (0, 0);
    for demo in [0, 1, 5] {
        let data = tempfile::tempdir().unwrap();
        let mut window = with(data.path(), &demos().remove(demo).1);
        wait_until_settled(&mut window);
        let ecs = |reports: &[Option<LaneReport>]| -> Vec<f64> { reports.iter().flatten().map(|r| r.figures.root_zone_ec).collect() };
        let (now, then) = (ecs(&window.state().run().reports), ecs(&window.state().bench().settled().unwrap().reports));
        for (lane, (now, then)) in now.into_iter().zip(then).enumerate() {
            let (low, high) = scenario(&window).lanes[lane].targets.root_zone_ec.unwrap();
            let is_in = |ec: f64| (low..=high).contains(&ec);
            let word = match (is_in(now), is_in(then)) {
                (true, true) => "in range".to_owned(),
                (true, false) => format!("settles at {then:.2}"),
                (false, _) => if now < low { "low" } else { "high" }.to_owned(),
            };
            stays += usize::from(word == "in range");
            leaves += usize::from(word.starts_with("settles"));
            assert_eq!(row(&window, "Root-zone EC", lane), format!("Root-zone EC: {now:.2}, aim {low}–{high} {word}"));
        }
        // What is shown is the settled day: then it is what it is.
        show_settled(&mut window);
        for lane in 0..scenario(&window).lanes.len() {
            assert!(!row(&window, "Root-zone EC", lane).contains("settles"));
        }
    }
    assert!(stays > 0 && leaves > 0, "{stays} stay and {leaves} leave: too few to tell anything");
}

#[test]
fn no_lean_is_told_where_there_is_none() {
    let data = tempfile::tempdir().unwrap();
    let mut bench = demos().remove(0).1;
    bench.valves[0].schedule.clear();
    let window = with(data.path(), &bench);
    assert_eq!(window.query_all_by_label("Lean: none to tell, nothing is given").count(), 2);
}

#[test]
fn under_a_log_the_light_is_the_logs_own() {
    let data = tempfile::tempdir().unwrap();
    let mut bench = demos().remove(0).1;
    (bench.light.on, bench.light.off) = (Clock::hm(1, 0), Clock::hm(23, 0));
    bench.valves[0].schedule = vec![Event::drip(Clock::hm(9, 0), 5, 900.0), Event::drip(Clock::hm(15, 55), 5, 900.0)];
    let mut window = with(data.path(), &bench);
    assert!(!window.get_by_role_and_label(Role::TextInput, "Lights on").accesskit_node().is_disabled());
    assert!(!shows(&window, "are not in use"));
    import(&mut window, Path::new(DEMO));
    // The use stays as it was measured.
    window.get_by_label_contains("Compute the plants' use from it").click();
    window.run();
    click(&mut window, "Use it");
    assert!(shows(&window, "Lights on, off and light like are not in use"));
    for label in ["Lights on", "Lights off"] {
        assert!(window.get_by_role_and_label(Role::TextInput, label).accesskit_node().is_disabled(), "{label}");
    }
    // Every day is as light as the log has it: the tracks are shaded by it, and sentences count from it.
    let lit: Vec<Vec<(f64, f64)>> = (0..7).map(|day| scenario(&window).lit(day)).collect();
    for (day, lit) in lit.iter().enumerate() {
        let (on, off) = (lit[0].0 / 3600.0, lit[lit.len() - 1].1 / 3600.0);
        assert!(on > 4.0 && off < 22.0, "day {day}: {on} to {off}");
        assert_eq!(window.state().run().lit(day), lit, "day {day}");
        let causes = window.state().run().reports_of(day)[0].clone().unwrap();
        let run = window.state().run();
        let said = causes.causes(&run.scenario, &run.scenario.lanes[0], &run.run.lanes[0], slakeline::units::Units::default()).join(" ");
        assert!(!said.contains("lights out") || said.contains(&format!("{:.1} h before lights out", off - 16.0)), "{said}");
    }
    assert!(lit.iter().any(|l| *l != lit[0]), "the days of the log differ, or there is nothing to tell");
    // What is measured falls with that light: before dawn no more than what falls evenly and the little of a dark sky.
    let run = &window.state().run().run.lanes[0];
    let at = |h: f64| run.series.at(h * 3600.0).unwrap().ledger.water.demanded;
    let (night, day) = (at(lit[0][0].0 / 3600.0) - at(0.0), at(24.0) - at(0.0));
    let even = 0.08 * day * lit[0][0].0 / 86_400.0;
    assert!((even..even + 0.002 * day).contains(&night), "{night} of {day}, evenly {even}");
    show_settled(&mut window);
    wait_until_settled(&mut window);
    let said: Vec<String> = window.query_all_by_label_contains("The round of").filter_map(|n| n.accesskit_node().label()).collect();
    assert!(shows(&window, "The round of 7 days repeats: lane 1 from about day"), "{said:?}");
    assert!(shows(&window, "Shown is day 7 of the log."));
    assert_eq!(window.state().run().lit(0), lit[6]);
}

/// Under a log one day is not held against another: what a figure settles at is told on the log's same day alone.
#[test]
fn under_a_log_a_figure_settles_at_the_same_day_of_the_log() {
    let data = tempfile::tempdir().unwrap();
    let mut bench = demos().remove(0).1;
    let logged = |day: u32, hour: u32, light: f32| LogRow(day * 86_400 + hour * 3600, light, 22.0, 70.0);
    let rows: Vec<LogRow> =
        (0..3).flat_map(|day| [logged(day, 0, 0.0), logged(day, 6, 150.0 + 60.0 * day as f32), logged(day, 20, 0.0)]).collect();
    bench.climate = Some(Climate::Log(ClimateLog { name: "three days".to_owned(), source: String::new(), lamp: None, rows: rows.into() }));
    bench.days = 6;
    bench.lanes[1].start.salt = StartSalt::Ec(2.3);
    bench.lanes[1].targets.root_zone_ec = Some((2.2, 3.4));
    let mut window = with(data.path(), &bench);
    wait_until_settled(&mut window);
    let settled = window.state().bench().settled().unwrap();
    let (of_log, then) = (settled.day_of_bench(0) % 3, settled.reports[1].as_ref().unwrap().figures.root_zone_ec);
    assert!(then > 3.4, "{then}");
    let (mut told, mut quiet) = (0, 0);
    for day in 0..6 {
        let label = format!("Day {} of 6", day + 1);
        window
            .query_all_by_role(Role::RadioButton)
            .find(|c| c.accesskit_node().label().is_some_and(|l| l.starts_with(&label)))
            .unwrap()
            .click();
        window.run();
        assert_eq!(window.state().run().day, day);
        let now = window.state().run().reports[1].as_ref().unwrap().figures.root_zone_ec;
        assert!((2.2..=3.4).contains(&now), "day {day}: {now}");
        let said = row(&window, "Root-zone EC", 1);
        let settles = said.contains(&format!("settles at {then:.2}"));
        assert_eq!(settles, day % 3 == of_log, "day {day}: {said}");
        (told, quiet) = (told + usize::from(settles), quiet + usize::from(said.ends_with("in range")));
    }
    assert_eq!((told, quiet), (2, 4));
}
