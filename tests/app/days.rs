//! The strip of days, driven without a display: what its cells tell, clicks and keys, hiding it, and a run of a year.

use eframe::egui::accesskit::Role;
use eframe::egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::{NodeT, Queryable};
use slakeline::app::state::days::Days;
use slakeline::engine::run::Settled;
use slakeline::figures::day_state::day_state;
use slakeline::figures::{Aims, DayFigures, day_figures};
use slakeline::readings::day_climates;
use slakeline::scenario::{Climate, ClimateLog, DayLight, LogRow, Scenario, file, presets};
use slakeline::units::Units;

use crate::hand::{OwnWindow as Window, Start, frames_until};

fn open_in(data: tempfile::TempDir, scenario: &Scenario) -> Window {
    let path = data.path().join("bench.ron");
    file::save(scenario, &path).unwrap();
    Start { path: Some(path), ..Start::default() }.in_folder(data)
}

fn open(scenario: &Scenario) -> Window {
    open_in(tempfile::tempdir().unwrap(), scenario)
}

/// The first demo over some days.
fn demo(days: u32) -> Scenario {
    Scenario { days, ..presets::demos().remove(0).1 }
}

impl Window {
    fn days(&self) -> Days {
        self.app().bench().days()
    }

    /// Names of the days laid out, in order.
    fn names(&self) -> Vec<String> {
        let cells = self.harness.query_all_by_role(Role::RadioButton);
        let names = cells.filter_map(|c| c.accesskit_node().label());
        names.filter(|n| n.starts_with("Day ") || n.starts_with("The settled day")).collect()
    }

    fn cell(&self, name: &str) -> egui_kittest::Node<'_> {
        let full = self.full(name);
        let mut cells = self.harness.query_all_by_role(Role::RadioButton);
        cells.find(|c| c.accesskit_node().label().as_deref() == Some(full.as_str())).unwrap()
    }

    /// A cell's whole name, from how it begins.
    fn full(&self, name: &str) -> String {
        let found: Vec<String> = self.names().into_iter().filter(|n| n.starts_with(name)).collect();
        assert_eq!(found.len(), 1, "{name} among {:?}", self.names());
        found[0].clone()
    }

    fn value(&self, name: &str) -> String {
        self.cell(name).accesskit_node().value().unwrap()
    }

    fn is_marked(&self, name: &str) -> bool {
        self.cell(name).accesskit_node().toggled() == Some(eframe::egui::accesskit::Toggled::True)
    }

    fn click_cell(&mut self, name: &str) {
        self.cell(name).click();
        self.harness.run();
    }

    fn figures(&self, day: usize) -> Vec<DayFigures> {
        let shown = self.app().bench().plain();
        shown.lanes().map(|(_, lane, run)| day_figures(run, lane, day).unwrap()).collect()
    }

    /// The cells tell what the figures of each day are.
    fn check(&self, days: usize) {
        assert_eq!(self.names().len(), days + 1, "a cell for each day and one for the settled day: {:?}", self.names());
        let lanes = &self.app().bench().plain().scenario.lanes;
        for day in 0..days {
            let name = format!("Day {} of {days}", day + 1);
            let (figures, full, value) = (self.figures(day), self.full(&name), self.value(&name));
            let aims: Vec<Aims> = self.app().bench().plain().reports_of(day).iter().map(|r| r.as_ref().unwrap().aims).collect();
            let state = day_state(figures.iter().zip(&aims).map(Some));
            assert!(full.ends_with(&state.words(lanes.len(), Units::default())), "{full}");
            for (lane, f) in figures.iter().enumerate() {
                let part = value.split("; ").nth(lane + 1).unwrap();
                assert!(part.starts_with(&format!("Lane {}: ", lane + 1)), "{value}");
                let drained = format!("Drain {:.1} %", 100.0 * f.drain_fraction.unwrap());
                let (taken, salt) = (format!("Taken up {:.0} mL", f.taken_up_ml), format!("Root-zone EC {:.2}", f.root_zone_ec));
                for told in [drained, taken, salt, format!("Peak water {:.1} %", 100.0 * f.peak)] {
                    assert!(part.contains(&told), "{told} is not in {part}");
                }
            }
        }
    }
}

#[test]
fn one_day_has_no_strip_and_loses_no_room() {
    let top = |w: &Window| w.harness.get_by_label_contains("Water in track, ").rect().top();
    let one = open(&demo(1));
    assert!(one.names().is_empty() && one.harness.query_by_label_contains("days side by side").is_none());
    let mut three = open(&demo(3));
    assert!(top(&three) > top(&one) + 60.0, "{} {}", top(&three), top(&one));
    three.key(Modifiers::NONE, Key::F5);
    assert!(three.names().is_empty());
    assert_eq!(top(&three), top(&one));
}

#[test]
fn three_and_seven_days_are_named_and_tell_the_figures_of_each_day() {
    for days in [3, 7] {
        let window = open(&demo(days));
        window.check(days as usize);
        let right = window.harness.get_by_label_contains("Water in track, ").rect().right();
        assert!(window.cell("The settled day").rect().right() <= right + 16.0, "{days} days fit between the sides");
        assert!(window.value("Day 1 of").starts_with("Light for 14.0 h; Lane 1: "), "{}", window.value("Day 1 of"));
    }
}

#[test]
fn what_a_drag_tries_is_told_day_by_day() {
    let mut window = open(&demo(3));
    let before = window.value("Day 2 of");
    let from = window.harness.get_by_role_and_label(Role::Slider, "Event 12:15").rect().center_top();
    window.harness.drag_at(from);
    window.harness.step();
    for k in 1..=4_u8 {
        window.harness.hover_at(from - vec2(0.0, 10.0 * f32::from(k)));
        window.harness.step();
    }
    assert!(window.app().bench().is_trying());
    window.check(3);
    assert_ne!(window.value("Day 2 of"), before);
}

#[test]
fn a_click_and_keys_change_the_day_shown() {
    let mut window = open(&demo(7));
    assert!(window.days() == Days::One(0) && window.is_marked("Day 1 of"), "a bench opens at its first day");
    window.click_cell("Day 2 of");
    assert!(window.days() == Days::One(1) && window.app().run().day == 1);
    assert!(window.is_marked("Day 2 of") && !window.is_marked("Day 1 of"));
    assert_eq!(window.app().tracks().span().from_h, 24.0);
    window.cell("Day 6 of").click_accesskit();
    window.harness.run();
    assert_eq!(window.days(), Days::One(5), "a screen reader presses it, too");
    window.click_cell("Day 2 of");
    for (key, day) in [(Key::ArrowRight, 2), (Key::ArrowRight, 3), (Key::ArrowLeft, 2), (Key::Home, 0), (Key::ArrowLeft, 0), (Key::End, 6)]
    {
        window.key(Modifiers::NONE, key);
        assert_eq!(window.days(), Days::One(day), "after {key:?}");
    }
    assert!(window.cell("Day 7 of").accesskit_node().is_focused());
    window.key(Modifiers::NONE, Key::ArrowRight);
    assert_eq!(window.days(), Days::Settled);
    assert!(window.is_marked("The settled day"));
    window.key(Modifiers::NONE, Key::ArrowLeft);
    assert_eq!(window.days(), Days::One(6));
    window.harness.get_by_label("All 7 days side by side").click();
    window.harness.run();
    assert!(window.days() == Days::All && !window.is_marked("Day 7 of"));
    // The list at the top stays.
    window.harness.get_by_role_and_label(Role::ComboBox, "Showing").click();
    window.harness.run();
    window.harness.get_all_by_label("day 3 of 7").last().unwrap().click();
    window.harness.run();
    assert!(window.days() == Days::One(2) && window.is_marked("Day 3 of"));
}

#[test]
fn keys_that_come_with_every_frame_stay_with_the_strip() {
    let mut window = open(&demo(7));
    window.click_cell("Day 1 of");
    for day in 1..6 {
        window.harness.key_press(Key::ArrowRight);
        window.harness.step();
        window.harness.step();
        assert_eq!(window.days(), Days::One(day));
    }
    window.harness.run();
    assert!(window.cell("Day 6 of").accesskit_node().is_focused() && window.app().picked().is_empty());
}

#[test]
fn tab_stops_at_the_day_shown_and_not_at_each() {
    let mut window = open(&demo(7));
    window.click_cell("Day 4 of");
    window.harness.key_press_modifiers(Modifiers::SHIFT, Key::Tab);
    window.harness.run();
    assert!(window.harness.get_by_label("All 7 days side by side").accesskit_node().is_focused());
    window.key(Modifiers::NONE, Key::Tab);
    assert!(window.cell("Day 4 of").accesskit_node().is_focused());
    window.key(Modifiers::NONE, Key::Tab);
    assert!(window.harness.query_all_by_role(Role::RadioButton).all(|c| !c.accesskit_node().is_focused()), "it leaves the strip");
}

#[test]
fn the_settled_cell_tells_when_each_lane_settles() {
    let mut window = open(&demo(3));
    let told = window.value("The settled day");
    assert!(told.contains("Settling…") || told.contains("from about day"), "it is found by itself: {told}");
    window.click_cell("The settled day");
    frames_until(&mut window.harness, "the settled day is shown", |w| w.state().run().settled.is_some());
    window.harness.run();
    let settled = window.app().run().settled.clone().unwrap();
    let value = window.value("The settled day");
    for (lane, settled) in settled.iter().enumerate() {
        let Settled::OnDay(day) = settled else { panic!("the demo settles") };
        assert!(value.contains(&format!("lane {} from about day {day}", lane + 1)), "{value}");
    }
    let drained = window.app().run().reports[0].as_ref().unwrap().figures.drain_fraction.unwrap();
    assert!(value.contains("Lane 1: ") && value.contains(&format!("Drain {:.1} %", 100.0 * drained)), "{value}");
    // The days of the run stay as they are beside it, and it is still known when one of them is shown.
    window.check(3);
    window.click_cell("Day 1 of");
    assert!(window.value("The settled day").contains("lane 1 from about day"));
}

#[test]
fn it_stays_hidden_until_it_is_wanted_again() {
    let mut window = open(&demo(3));
    for label in ["View", "Hide days"] {
        window.harness.get_by_label_contains(label).click();
        window.harness.run();
    }
    assert!(window.names().is_empty());
    let mut again = open_in(window.data, &demo(3));
    assert!(again.names().is_empty(), "it is kept");
    again.key(Modifiers::NONE, Key::F5);
    assert_eq!(again.names().len(), 4);
}

#[test]
fn a_year_lays_out_only_what_is_in_sight_and_computes_no_more() {
    let mut scenario = demo(366);
    scenario.lanes.truncate(1);
    // One event a day and thick layers: the run itself is not what is tested.
    scenario.valves[0].schedule = vec![slakeline::scenario::Event::drip(slakeline::scenario::Clock::hm(9, 0), 300, 1500.0)];
    scenario.solver.layer_cm = 2.0;
    let mut window = open(&scenario);
    let laid_out = |w: &Window| w.names().len();
    assert!((4..=12).contains(&laid_out(&window)), "{:?}", window.names());
    assert!(window.is_marked("Day 1 of 366"), "the day shown is in sight");
    let one = window.app().bench().plain().days_summarised();
    assert!(one <= 20, "{one} days were summed up");
    window.click_cell("Day 1 of 366");
    window.key(Modifiers::NONE, Key::End);
    assert!(window.days() == Days::One(365) && window.is_marked("Day 366 of"), "the last day comes into sight");
    window.key(Modifiers::NONE, Key::Home);
    assert!(window.days() == Days::One(0) && window.is_marked("Day 1 of 366"));
    assert!(window.cell("Day 1 of 366").accesskit_node().is_focused());
    for _ in 0..12 {
        window.key(Modifiers::NONE, Key::ArrowRight);
    }
    assert!(window.days() == Days::One(12) && window.is_marked("Day 13 of 366"), "it scrolls after the keys");
    let settled = window.cell("The settled day").rect();
    assert!(settled.right() <= window.harness.get_by_label_contains("Water in track, ").rect().right() + 16.0);
    assert!((4..=12).contains(&laid_out(&window)));
    assert!(window.app().bench().plain().days_summarised() <= 60);
}

#[test]
fn the_light_of_each_day_is_the_sum_of_its_log() {
    let row = |day: u32, hour: u32, light: f32| LogRow(day * 86_400 + hour * 3600, light, 21.0, 70.0);
    let rows: Vec<LogRow> = (0..3).flat_map(|d| [row(d, 0, 0.0), row(d, 6, 150.0 * (d + 1) as f32), row(d, 18, 0.0)]).collect();
    let log = ClimateLog { name: "three days".to_owned(), source: String::new(), lamp: None, rows: rows.into() };
    let scenario = Scenario { climate: Some(Climate::Log(log.clone())), ..demo(5) };
    let window = open(&scenario);
    let sums = day_climates(&log);
    for day in 0..5 {
        let mj = sums[day % 3].shortwave_mj;
        assert!(mj > 6.0);
        let DayLight::Shortwave(told) = scenario.day_light(day) else { panic!("a log gives radiation") };
        assert!((told - mj).abs() < 1e-9, "day {day}: {told}, {mj}");
        let value = window.value(&format!("Day {} of 5", day + 1));
        assert!(value.starts_with(&format!("Light {mj:.1} MJ/m² of shortwave; ")), "{value}");
    }
}
