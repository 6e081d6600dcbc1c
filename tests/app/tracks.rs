//! The tracks, driven without a display: zoom, days, the settled day, the pin, the time read, their layout and units.

use eframe::egui::accesskit::Role;
use eframe::egui::{Event as Input, Key, Modifiers, MouseWheelSource, MouseWheelUnit, Pos2, Rect, TouchPhase, Vec2, pos2, vec2};
use egui_kittest::kittest::{NodeT, Queryable};
use slakeline::app::state::days::Days;
use slakeline::engine::run::Settled;
use slakeline::projection::prepared::runs_here;
use slakeline::scenario::{Clock, presets};

use crate::hand::{OwnWindow as Window, Start, close_menus, frames_until, show_last_day};

const AXIS: &str = "Time that the tracks are read at";

fn open_in(data: tempfile::TempDir, size: [f32; 2], pixels: f32) -> Window {
    Start { size, pixels, ..Start::default() }.in_folder(data)
}

fn open() -> Window {
    open_in(tempfile::tempdir().unwrap(), [1280.0, 800.0], 1.0)
}

impl Window {
    fn track(&self, name: &str) -> Rect {
        self.harness.get_by_label_contains(&format!("{name} track, ")).rect()
    }

    fn wheel(&mut self, at: Pos2, by: Vec2, modifiers: Modifiers) {
        self.hover(at);
        self.harness.event(Input::MouseWheel {
            unit: MouseWheelUnit::Point,
            delta: by,
            phase: TouchPhase::Move,
            source: MouseWheelSource::Wheel,
            modifiers,
        });
        self.harness.run();
    }

    fn menu(&mut self, path: &[&str]) {
        for label in path {
            // An item with keys is called by its keys, too.
            let found = self.harness.query_by_label(label);
            found.unwrap_or_else(|| self.harness.get_by_label_contains(label)).click();
            self.harness.run();
        }
        close_menus(&mut self.harness);
    }

    /// Chooses days in the list at the top right.
    fn choose(&mut self, name: &str) {
        self.harness.get_by_role_and_label(Role::ComboBox, "Showing").click();
        self.harness.run();
        // The choice in force is written on the list's own button, too.
        self.harness.get_all_by_label(name).last().unwrap().click();
        self.harness.run();
    }

    /// Lets frames pass until the settled day is shown.
    fn wait_until_settled(&mut self) {
        frames_until(&mut self.harness, "the settled day is shown", |w| w.state().run().settled.is_some());
        self.harness.run();
    }

    /// What the tracks say at the time read by keys.
    fn read(&self) -> String {
        self.harness.get_by_role_and_label(Role::Slider, AXIS).accesskit_node().value().unwrap()
    }
}

#[test]
fn ctrl_and_the_wheel_zoom_about_the_pointer_and_the_wheel_moves_along() {
    let mut window = open();
    let (whole, at) = (window.app().tracks().span(), window.event("12:15").center());
    let gap = window.event("13:15").center().x - at.x;
    window.wheel(at, vec2(0.0, 200.0), Modifiers::CTRL);
    let near = window.app().tracks().span();
    assert!(near.hours() < 0.8 * whole.hours(), "{near:?}");
    let (still, wide) = (window.event("12:15").center().x, window.event("13:15").center().x);
    assert!((still - at.x).abs() < 1.0, "what lies under the pointer stays: {still}, {}", at.x);
    let expected = gap * (whole.hours() / near.hours()) as f32;
    assert!((wide - still - expected).abs() < 1.5, "{} is not {expected}", wide - still);
    window.wheel(at, vec2(0.0, -120.0), Modifiers::NONE);
    let later = window.app().tracks().span();
    assert!(later.from_h > near.from_h + 0.1 && (later.hours() - near.hours()).abs() < 1e-6, "{later:?}");
    window.wheel(at, vec2(0.0, 1e5), Modifiers::SHIFT);
    assert_eq!(window.app().tracks().span().from_h, whole.from_h, "it ends at the day's start");
    let axis = window.harness.get_by_role_and_label(Role::Slider, AXIS).rect().center();
    window.hover(axis);
    for pressed in [true, false, true, false] {
        window.button(axis, pressed, Modifiers::NONE);
    }
    window.harness.run();
    assert_eq!(window.app().tracks().span(), whole);
}

#[test]
fn keys_zoom_and_dragging_the_hours_pans() {
    let mut window = open();
    let whole = window.app().tracks().span();
    window.key(Modifiers::NONE, Key::PageUp);
    window.key(Modifiers::NONE, Key::PageUp);
    let near = window.app().tracks().span();
    assert!((near.hours() - whole.hours() / 2.25).abs() < 1e-6, "{near:?}");
    window.key(Modifiers::NONE, Key::PageDown);
    assert!((window.app().tracks().span().hours() - whole.hours() / 1.5).abs() < 1e-6);
    window.key(Modifiers::NONE, Key::PageUp);
    let axis = window.harness.get_by_role_and_label(Role::Slider, AXIS).rect().center();
    let before = window.app().tracks().span();
    window.drag(axis, axis + vec2(-60.0, 0.0));
    let after = window.app().tracks().span();
    assert!(after.from_h > before.from_h + 0.3 && (after.hours() - before.hours()).abs() < 1e-6, "{before:?} {after:?}");
    window.key(Modifiers::SHIFT, Key::PageDown);
    assert_eq!(window.app().tracks().span(), whole);
    window.menu(&["View", "Zoom in"]);
    assert!(window.app().tracks().span().hours() < whole.hours());
}

#[test]
fn an_event_is_dragged_by_the_hours_that_are_seen() {
    let mut window = open();
    let at = window.event("12:15").center();
    window.wheel(at, vec2(0.0, 300.0), Modifiers::CTRL);
    let hour = window.event("13:15").center().x - window.event("12:15").center().x;
    let from = window.event("12:15").center();
    window.drag(from, from + vec2(-0.5 * hour, 0.0));
    assert_eq!(window.app().document().scenario().valves[0].schedule[5].start, Clock::hm(11, 45));
}

#[test]
fn all_days_stand_side_by_side_and_edits_act_on_the_schedule() {
    let mut window = open();
    window.choose("all 3 days");
    assert_eq!(window.app().bench().days(), Days::All);
    assert_eq!(window.app().tracks().span().hours(), 72.0);
    let third = |w: &Window, start: &str| w.harness.get_by_role_and_label(Role::Slider, &format!("Event {start} on day 3")).rect();
    let (first, last) = (window.event("12:15").center().x, third(&window, "12:15").center().x);
    let width = window.track("Water in").width();
    assert!((last - first - width * 2.0 / 3.0).abs() < 1.5, "two days apart: {}", last - first);
    let from = third(&window, "12:15").center();
    window.drag(from, from + vec2(1.5 * width / 72.0, 0.0));
    let schedule = &window.app().document().scenario().valves[0].schedule;
    assert_eq!((schedule[6].start, schedule.len()), (Clock::hm(13, 45), 11), "{schedule:?}");
    // The keyboard goes to the event's first copy.
    window.key(Modifiers::NONE, Key::ArrowUp);
    assert_eq!(window.app().document().scenario().valves[0].schedule[6].ml(), Some(215.0));
    assert!(window.waits());
    window.choose("day 2 of 3");
    assert_eq!((window.app().run().day, window.app().tracks().span().from_h), (1, 24.0));
}

#[test]
fn the_settled_day_comes_from_its_thread_and_follows_the_document() {
    let mut window = open();
    let plain = window.app().run().run.lanes[0].series.samples.len();
    window.choose("settled day");
    window.wait_until_settled();
    let run = window.app().run();
    let settled = run.settled.clone().unwrap();
    assert!(settled.iter().all(|s| matches!(s, Settled::OnDay(day) if *day > 3)), "{settled:?}");
    let lane = &run.run.lanes[0];
    let (first, last) = (lane.series.at(0.0).unwrap(), lane.series.at(86_400.0).unwrap());
    assert!((first.water_content - last.water_content).abs() < 1e-3 * first.water_content);
    assert!(!std::sync::Arc::ptr_eq(&run.scenario, window.app().document().scenario()), "pictures are told apart by this");
    assert!(lane.series.samples.len() < plain, "one day, not three");
    assert!(run.reports.iter().all(Option::is_some) && run.reports[0].as_ref().unwrap().figures.dry_back.is_some());
    window.harness.get_by_label_contains("Settled day: lane 1 from about day");
    assert!(window.waits(), "nothing is drawn while nothing happens");
    // While a change is tried, the plain run answers, and words say so.
    let from = window.event("12:15").center();
    window.hover(from);
    window.button(from, true, Modifiers::NONE);
    for k in 1..=4_u8 {
        window.hover(from - vec2(5.0 * f32::from(k), 0.0));
    }
    assert!(window.app().run().settled.is_none() && window.app().ghost().is_some_and(|g| g.settled.is_none()));
    window.harness.get_by_label_contains("While you try, day 3 of 3 is shown");
    let to = from - vec2(20.0, 0.0);
    window.button(to, false, Modifiers::NONE);
    window.harness.step();
    window.harness.get_by_label_contains("Settling… day 3 of 3 is shown meanwhile.");
    window.wait_until_settled();
    assert_eq!(window.app().run().scenario, *window.app().document().scenario(), "it is of the document as it is now");
    window.harness.get_by_label_contains(", settled");
    window.choose("day 3 of 3");
    assert!(window.app().run().settled.is_none());
}

#[test]
fn a_long_run_answers_a_drag_beside_the_frame() {
    let mut window = open();
    let mut scenario = presets::demos().remove(0).1;
    scenario.days = 60;
    let path = window.data.path().join("long.ron");
    slakeline::scenario::file::save(&scenario, &path).unwrap();
    assert!(window.harness.state_mut().open(&path));
    frames_until(&mut window.harness, "it is open", |w| w.state().document().scenario().days == 60 && !w.state().is_computing());
    show_last_day(&mut window.harness);
    assert_eq!(window.app().run().day, 59);
    let ran = runs_here();
    let from = window.event("12:15").center();
    let to = from - vec2(14.0, 0.0);
    window.hover(from);
    window.button(from, true, Modifiers::NONE);
    window.hover(from - vec2(7.0, 0.0));
    window.hover(to);
    let chosen = window.event("11:45").center();
    assert!((chosen.x - to.x).abs() < 3.0, "the bar follows at once: {chosen:?} {to:?}");
    assert_eq!(runs_here(), ran, "nothing is run within the frame");
    frames_until(&mut window.harness, "an answer", |w| w.state().run().scenario.valves[0].schedule[5].start != Clock::hm(12, 15));
    assert!(window.app().ghost().is_some_and(|g| g.scenario.valves[0].schedule[5].start == Clock::hm(12, 15)));
    // Let go before the newest answer: what is made is what was asked for last.
    let last = from + vec2(14.0, 0.0);
    window.hover(last);
    window.button(last, false, Modifiers::NONE);
    window.harness.run();
    let app = window.app();
    let made = app.document().scenario().valves[0].schedule[5].start;
    assert_eq!(made, Clock::hm(12, 45));
    assert_eq!((app.run().scenario.valves[0].schedule[5].start, app.ghost().is_none()), (made, true));
    assert!(app.run().reports.iter().all(Option::is_some) && window.waits());
}

#[test]
fn a_change_of_one_lane_runs_that_lane_only_and_gives_what_a_whole_run_gives() {
    let mut window = open();
    let before = window.app().run().run.lanes[1].clone();
    window.harness.get_all_by_role_and_label(Role::SpinButton, "Uses a day").next().unwrap().set_value_accesskit(1.9);
    window.harness.run();
    let run = window.app().run();
    assert!(window.app().document().is_changed());
    let whole = slakeline::engine::run::run_scenario(&run.scenario, &presets::Library::shipped()).unwrap();
    for (shown, fresh) in run.run.lanes.iter().zip(&whole.lanes) {
        assert_eq!((&shown.series, &shown.midnights), (&fresh.series, &fresh.midnights));
    }
    assert_eq!(run.run.lanes[1].series, before.series);
}

#[test]
fn a_lane_that_never_settles_is_told() {
    let mut window = open();
    // Water that carries ever more salt into a large root zone that never drains.
    let mut scenario = presets::demos().remove(0).1;
    scenario.lanes.truncate(2);
    scenario.lanes.remove(0);
    scenario.lanes[0].demand = slakeline::scenario::Demand::Measured { litres_per_day: 0.1, steady_share: 0.1 };
    scenario.feed.ec = 6.0;
    scenario.valves[0].schedule = vec![slakeline::scenario::Event::drip(Clock::hm(9, 0), 5, 100.0)];
    let path = window.data.path().join("never.ron");
    slakeline::scenario::file::save(&scenario, &path).unwrap();
    assert!(window.harness.state_mut().open(&path));
    window.harness.run();
    window.choose("settled day");
    window.wait_until_settled();
    assert_eq!(window.app().run().settled, Some(vec![Settled::NotWithin(366)]));
    window.harness.get_by_label_contains("lane 1 did not settle within 366 days (the last is shown)");
}

#[test]
fn a_pinned_state_stays_until_it_is_unpinned() {
    let mut window = open();
    window.menu(&["View", "Pin this state"]);
    window.harness.get_by_label("pinned (dashes): as opened");
    let water = |w: &Window| w.app().bench().pinned().unwrap().projection.run.lanes[0].series.samples[200].water_content;
    let before = water(&window);
    assert!(
        window
            .app()
            .bench()
            .against_pin()
            .unwrap()
            .lanes
            .iter()
            .all(|l| l.words(slakeline::units::Units::default()) == "no figure of this day moves")
    );
    let from = window.event("12:15").center_top();
    window.drag(from, from + vec2(0.0, -25.0));
    assert_eq!(water(&window), before, "the reference stands still");
    assert!(window.app().bench().against_pin().unwrap().lanes[0].words(slakeline::units::Units::default()).contains("drain"));
    window.key(Modifiers::NONE, Key::P);
    assert!(window.app().bench().pinned().unwrap().name.starts_with("after Set event 12:15 to"));
    window.menu(&["Unpin"]);
    assert!(window.app().bench().pinned().is_none());
    assert!(window.harness.query_by_label_contains("pinned").is_none());
}

#[test]
fn the_time_read_moves_by_keys_and_every_track_says_its_value() {
    let mut window = open();
    crate::hand::choose(&mut window.harness, "Showing", "day 3 of 3");
    window.harness.get_by_role_and_label(Role::Slider, AXIS).focus();
    window.harness.run();
    assert!(window.read().starts_with("12:00; "), "{}", window.read());
    window.key(Modifiers::NONE, Key::ArrowRight);
    window.harness.key_press_modifiers(Modifiers::SHIFT, Key::ArrowRight);
    window.harness.run();
    let words = window.read();
    assert!(words.starts_with("13:05; "), "{words}");
    let lane = &window.app().run().run.lanes[0];
    let sample = lane.series.at(2.0 * 86_400.0 + (13.0 * 60.0 + 5.0) * 60.0).unwrap();
    let today = sample.ledger.since(&lane.midnights[2]).water;
    for expected in [
        format!("{:.0} mL so far", today.applied),
        "feed 2.40 mS/cm".to_owned(),
        format!("lane 1, water content {:.1} %, root zone {:.2} mS/cm", 100.0 * sample.water_content, sample.root_zone_ec),
        format!("drained {:.1} % so far", 100.0 * today.drained() / today.applied),
        " mL, all met".to_owned(),
    ] {
        assert!(words.contains(&expected), "\"{expected}\" is not in \"{words}\"");
    }
    // Lane 2 gives up only what runs straight through, which takes on 0.3 of what the root zone has above the feed.
    let pot = words.split("lane 2, water content").nth(1).unwrap_or_else(|| panic!("{words}"));
    let drain = pot.split("straight through ").nth(1).and_then(|t| t.split(' ').next()).and_then(|t| t.parse::<f64>().ok());
    let root_zone = window.app().run().run.lanes[1].series.at(sample.time_s).unwrap().root_zone_ec;
    let leaves = 2.4 + 0.3 * (root_zone - 2.4);
    assert!(drain.is_some_and(|ec| (ec - leaves).abs() < 0.03 && ec > 2.5), "{leaves}: {words}");
    window.harness.get_by_role_and_label(Role::Slider, AXIS).increment_accesskit();
    window.harness.run();
    assert!(window.read().starts_with("13:10; "), "{}", window.read());
    assert!(window.waits());
    // Zoomed in, the view follows the time.
    for _ in 0..8 {
        window.key(Modifiers::NONE, Key::PageUp);
    }
    let before = window.app().tracks().span();
    for _ in 0..12 {
        window.key(Modifiers::NONE, Key::ArrowRight);
    }
    let after = window.app().tracks().span();
    assert!(after.from_h > before.from_h && after.holds(48.0 + 14.0 + 10.0 / 60.0), "{before:?} {after:?}");
}

#[test]
fn tracks_are_hidden_resized_and_kept_between_sessions() {
    let mut window = open();
    assert!(window.harness.query_by_label_contains("Demand track").is_none());
    window.menu(&["View", "Tracks", "Demand"]);
    window.key(Modifiers::NONE, Key::Escape);
    window.track("Demand");
    window.menu(&["View", "Tracks", "Salt"]);
    window.key(Modifiers::NONE, Key::Escape);
    assert!(window.harness.query_by_label_contains("Salt track").is_none());
    let (upper, lower) = (window.track("Water in").height(), window.track("Water content").height());
    let boundary = window.harness.get_by_role_and_label(Role::Splitter, "Boundary between Water in and Water content").rect();
    window.drag(boundary.center(), boundary.center() + vec2(0.0, 30.0));
    let moved = window.track("Water in").height() - upper;
    assert!((moved - 30.0).abs() < 7.0, "{moved}");
    assert!((window.track("Water content").height() - lower + moved).abs() < 2.0);
    let high = window.track("Water in").height();
    let Window { harness, data } = window;
    drop(harness);
    let mut again = open_in(data, [1280.0, 800.0], 1.0);
    again.track("Demand");
    assert!(again.harness.query_by_label_contains("Salt track").is_none());
    assert!((again.track("Water in").height() - high).abs() < 1.5);
    let boundary = again.harness.get_by_role_and_label(Role::Splitter, "Boundary between Water in and Water content").rect();
    again.hover(boundary.center());
    for pressed in [true, false, true, false] {
        again.button(boundary.center(), pressed, Modifiers::NONE);
    }
    again.harness.run();
    assert!((again.track("Water in").height() - upper).abs() < 1.5, "a double-click restores");
    again.harness.get_by_role_and_label(Role::Splitter, "Boundary between Water in and Water content").focus();
    again.harness.run();
    again.key(Modifiers::NONE, Key::ArrowDown);
    assert!((again.track("Water in").height() - upper - 10.0).abs() < 1.5);
}

#[test]
fn the_tracks_speak_in_the_units_chosen() {
    let mut window = open();
    let document = window.app().document().scenario().clone();
    window.menu(&["View", "Units", "US fl oz and gal"]);
    window.menu(&["View", "Units", "ppm, 700 scale"]);
    let value = |w: &Window| w.harness.get_by_role_and_label(Role::Slider, "Event 12:15").accesskit_node().value().unwrap();
    assert_eq!(value(&window), "7.1 fl oz over 5 min");
    window.harness.get_by_label("Water in track, fl oz per plant");
    window.harness.get_by_label("Salt track, EC, ppm (700) at 25 °C");
    window.harness.get_by_role_and_label(Role::Slider, AXIS).focus();
    window.harness.run();
    let words = window.read();
    assert!(words.contains("fl oz so far") && words.contains("feed 1680 ppm (700)"), "{words}");
    assert_eq!(*window.app().document().scenario(), document, "units change what is shown, never the data");
    // The bar is as high as before, and a drag of its top edge still sets the volume that the axis shows.
    let top = window.event("12:15").center_top();
    let plot = window.track("Water in");
    let per_point = 210.0 / f64::from(plot.bottom() - top.y);
    window.drag(top, top + vec2(0.0, -20.0));
    let ml = window.app().document().scenario().valves[0].schedule[5].ml().unwrap();
    assert!((ml - 210.0 - 20.0 * per_point).abs() < 6.0, "{ml}");
}

#[test]
fn every_view_draws_in_small_windows_and_then_waits() {
    for (size, pixels) in [([1280.0, 800.0], 1.0), ([1024.0, 700.0], 1.0), ([640.0, 400.0], 2.0)] {
        let mut window = open_in(tempfile::tempdir().unwrap(), size, pixels);
        // The pointer is to rest over a track, not over what tells more of itself after a moment.
        window.menu(&["Put aside"]);
        window.menu(&["View", "Tracks", "Demand"]);
        window.key(Modifiers::NONE, Key::Escape);
        window.key(Modifiers::NONE, Key::P);
        for days in ["all 3 days", "settled day", "day 1 of 3"] {
            window.choose(days);
            if days == "settled day" {
                window.wait_until_settled();
            }
            window.hover(pos2(0.55 * size[0], 0.5 * size[1]));
            window.harness.run();
            assert!(window.waits(), "{days} at {size:?}");
        }
        window.harness.get_by_label("Depth").click();
        window.harness.run();
        assert!(window.waits());
    }
}

#[test]
fn suction_is_drawn_in_the_unit_shown_and_is_where_its_figure_comes_from() {
    let mut window = open();
    window.menu(&["View", "Tracks", "Suction"]);
    window.harness.get_by_label("Suction track, kPa around the roots");
    window.harness.get_by_role_and_label(Role::Slider, AXIS).focus();
    window.harness.run();
    let read = |w: &Window| w.harness.get_by_role_and_label(Role::Slider, AXIS).accesskit_node().value().unwrap();
    // What is read is what the series holds at that time.
    let told = read(&window);
    let hour = window.app().tracks().cursor(window.app().bench()).unwrap();
    let run = &window.app().run().run.lanes[0];
    let kpa = run.series.at(hour * 3600.0 + window.app().run().midnight_s()).unwrap().suction_kpa;
    assert!(told.contains(&format!("suction {kpa:.1} kPa")), "{kpa}: {told}");
    window.menu(&["View", "Units", "cm of water"]);
    window.harness.get_by_label("Suction track, cm around the roots");
    assert!(read(&window).contains(&format!("suction {:.0} cm", 10.2 * kpa)), "{}", read(&window));
}

#[test]
fn the_air_is_drawn_and_read_where_there_is_a_climate() {
    let mut window = open();
    window.menu(&["View", "Tracks", "Air"]);
    window.harness.get_by_label("Air track, vapour pressure deficit, kPa");
    window.harness.get_by_role_and_label(Role::Slider, AXIS).focus();
    window.harness.run();
    let read = |w: &Window| w.harness.get_by_role_and_label(Role::Slider, AXIS).accesskit_node().value().unwrap();
    assert!(!read(&window).contains("deficit"), "{}", read(&window));
    let mut scenario = presets::demos().remove(0).1;
    let spring = presets::Library::shipped().climates.into_iter().find(|c| c.climate.name == "glasshouse, spring day").unwrap();
    scenario.climate = Some(slakeline::scenario::Climate::Typical(spring.climate));
    let path = window.data.path().join("spring.ron");
    slakeline::scenario::file::save(&scenario, &path).unwrap();
    assert!(window.harness.state_mut().open(&path));
    window.harness.run();
    window.harness.get_by_role_and_label(Role::Slider, AXIS).focus();
    window.harness.run();
    let text = read(&window);
    assert!(text.contains("deficit 1.00 kPa") || text.contains("deficit 0.30 kPa"), "{text}");
}
