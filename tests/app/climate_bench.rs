//! Climate logs and the bench: exchanged for typical days, lanes that follow them, room in the window, long files.

use crate::climate_window::*;
use crate::hand::*;
use std::path::Path;
use std::time::Duration;

use eframe::egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{Climate, CropChoice, Demand, LightShape, file, resolve};

#[test]
fn a_log_replaces_another_climate_and_is_exchanged_for_a_typical_day() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    choose(&mut window, "Use", "from the climate");
    let demanded = |w: &Window| w.state().run().run.lanes[0].day(0).unwrap().water.demanded;
    let typical = demanded(&window);
    let lanes = scenario(&window).lanes;
    // Nothing but the climate changes: the lanes are run anew all the same.
    import(&mut window, Path::new(DEMO));
    for words in ["Run 7 days", "Compute the plants' use from it, in 1 lane"] {
        window.get_by_label_contains(words).click();
        window.run();
    }
    click(&mut window, "Use it");
    assert_eq!(scenario(&window).lanes, lanes);
    let logged = demanded(&window);
    assert!((logged / typical - 1.0).abs() > 0.02, "{logged} and {typical}");
    choose(&mut window, "Climate", "glasshouse, spring day");
    assert!(matches!(scenario(&window).climate, Some(Climate::Typical(_))));
    assert!((demanded(&window) / logged - 1.0).abs() > 0.02);
    assert!(shows(&window, "Climate values") && !shows(&window, "as logged"));
}

#[test]
fn a_log_called_like_a_preset_can_be_exchanged_for_it() {
    let data = tempfile::tempdir().unwrap();
    let path = changed(data.path(), "glasshouse, spring day.csv", |_| {});
    let mut window = open(data.path());
    import(&mut window, &path);
    click(&mut window, "Use it");
    choose(&mut window, "Climate", "glasshouse, spring day");
    assert!(matches!(scenario(&window).climate, Some(Climate::Typical(_))));
}

#[test]
fn however_much_is_wrong_the_small_window_fits_the_window() {
    let data = tempfile::tempdir().unwrap();
    let path = changed(data.path(), "much.csv", |lines| {
        for (k, line) in lines.iter_mut().enumerate().skip(1) {
            match k % 3 {
                0 => *line = line.replace("2026-", "yesterday "),
                1 => *line = line.replacen(',', ",9000,", 1),
                _ => {}
            }
        }
    });
    for height in [520.0, 800.0] {
        let mut window = open_at(data.path(), height);
        import(&mut window, &path);
        let button = window.get_by_label("Use it").rect();
        let title = window.get_by_label("Climate log much.csv").rect();
        assert!(button.bottom() < height && title.top() > 0.0, "{title:?} {button:?} in {height}");
        assert!(button.top() - title.bottom() > 0.5 * height, "and it uses the room there is: {title:?} {button:?}");
        click(&mut window, "Cancel");
        // A long list of days as well.
        import(&mut window, Path::new(DEMO));
        assert!(window.get_by_label("Use it").rect().bottom() < height);
    }
}

#[test]
fn setup_and_menu_offer_it_and_the_keyboard_takes_it() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    assert!(window.query_by_label("Import a climate log…").is_some(), "beside the climate in the setup");
    click(&mut window, "File");
    assert_eq!(window.query_all_by_label_contains("Import a climate log…").count(), 2, "and in the menu");
    window.key_press(Key::Escape);
    window.run();
    import(&mut window, Path::new(DEMO));
    // The way out that changes nothing is where Enter begins until the log is read; then it is the log.
    assert!(window.get_by_label("Use it").is_focused() || window.get_by_label("Cancel").is_focused());
    window.get_by_label("Use it").focus();
    window.run();
    window.key_press(Key::Enter);
    window.run();
    assert_eq!(log_rows(&scenario(&window)), 1008);
}

#[test]
fn use_from_the_climate_on_a_bench_without_one_keeps_its_light() {
    for shape in [LightShape::Sun, LightShape::Lamps] {
        let data = tempfile::tempdir().unwrap();
        let mut bench = demos().remove(0).1;
        bench.climate = None;
        bench.light.shape = shape;
        bench.light.off = slakeline::scenario::Clock::hm(21, 35);
        let path = data.path().join("dark.ron");
        file::save(&bench, &path).unwrap();
        let mut window = open(data.path());
        assert!(window.state_mut().open(&path));
        window.run();
        choose(&mut window, "Use", "from the climate");
        let after = scenario(&window);
        assert_eq!(after.light, bench.light, "its times stay");
        assert!(matches!(after.lanes[0].demand, Demand::Climate { .. }));
        let Some(Climate::Typical(day)) = &after.climate else { panic!("{:?}", after.climate) };
        let lamps = matches!(day.level, slakeline::scenario::LightLevel::Lamps { .. });
        assert_eq!(lamps, shape == LightShape::Lamps, "{}", day.name);
        assert_eq!(window.state().document().log().len(), 1, "both are one change");
    }
}

#[test]
fn a_long_log_is_read_beside_the_window_and_late_answers_are_dropped() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let before = bytes(&window);
    let path = minutes(data.path(), 100);
    drop_file(&mut window, &path);
    assert!(shows(&window, "Reading it.") && shows(&window, "The file is being read."), "the window draws while it is read");
    assert!(!can_use(&window));
    wait(&mut window);
    assert!(shows(&window, "100 days, 144,000 rows, one every 1 min.") && can_use(&window));
    click(&mut window, "Cancel");
    // An answer that comes after the window was closed is not taken for the next file's.
    drop_file(&mut window, &path);
    click(&mut window, "Cancel");
    std::thread::sleep(Duration::from_secs(2));
    let longer = minutes(data.path(), 130);
    drop_file(&mut window, &longer);
    assert!(shows(&window, "Reading it.") && !shows(&window, "100 days"));
    wait(&mut window);
    assert!(shows(&window, "130 days, 187,200 rows"));
    click(&mut window, "Cancel");
    assert_eq!(bytes(&window), before);
    import(&mut window, &longer);
    assert!(!is_ticked(&window, "Run 130 days"), "so many days are not run unless they are asked for");
    click(&mut window, "Use it");
    assert_eq!((log_rows(&scenario(&window)), scenario(&window).days), (187_200, 3));
    assert!(shows(&window, "130 days as logged, 187200 rows, one every 1 min."));
}

#[test]
fn a_lane_whose_crop_has_no_canopy_stays_measured_and_is_named() {
    let data = tempfile::tempdir().unwrap();
    let mut bench = demos().remove(0).1;
    let mut crop = resolve::crop(&bench.lanes[1].crop, &Library::shipped()).unwrap();
    crop.canopy = None;
    bench.lanes[1].crop = CropChoice::Custom(Box::new(crop));
    let path = data.path().join("no-canopy.ron");
    file::save(&bench, &path).unwrap();
    let mut window = open(data.path());
    assert!(window.state_mut().open(&path));
    window.run();
    // An ending in capitals is one, too.
    let log = changed(data.path(), "WEEK.CSV", |_| {});
    import(&mut window, &log);
    assert!(shows(&window, &format!("Use stays measured in {}: the crop has no canopy values.", bench.lanes[1].name)));
    click(&mut window, "Use it");
    let after = scenario(&window);
    assert!(matches!(after.lanes[0].demand, Demand::Climate { .. }));
    assert_eq!(after.lanes[1], bench.lanes[1]);
    assert_eq!(window.state().run().troubles, Vec::<String>::new());
}

#[test]
fn a_log_is_taken_onto_a_changed_bench_without_a_question() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    choose(&mut window, "Climate", "lamps 12/12, LED, 700 µmol");
    let before = bytes(&window);
    import(&mut window, Path::new(DEMO));
    click(&mut window, "Use it");
    assert_eq!(window.state().document().log().len(), 2);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run();
    assert_eq!(bytes(&window), before, "undo brings the climate before it back");
}

/// A climate does not touch a use that is measured: that is said with what it does change, all of it so, and it can be changed with a click.
#[test]
fn a_climate_set_over_a_measured_use_says_what_it_changes_and_offers_to_compute_it() {
    const OFFER: &str = "Compute the use from it, too";
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let before = window.state().run().run.lanes[1].day(0).unwrap().water;
    choose(&mut window, "Climate", "lamps 12/12, LED, 400 µmol");
    let after = window.state().run().run.lanes[1].day(0).unwrap().water;
    assert!((after.demanded / before.demanded - 1.0).abs() < 1e-9 && after.evaporated != before.evaporated);
    assert_eq!(scenario(&window).lit(0)[0], (6.0 * 3600.0, 18.0 * 3600.0), "the light is the climate's");
    assert!(shows(&window, "The measured litres a day of lanes 1 and 2 stay as entered"));
    assert!(shows(&window, "Evaporation follows the climate."));
    click(&mut window, OFFER);
    assert_eq!(undo_name(&window), "Compute the use of lanes 1 and 2 from the climate");
    assert!(scenario(&window).lanes.iter().all(|lane| lane.demand == Demand::COMPUTED));
    assert!(window.query_by_label(OFFER).is_none() && window.state().run().troubles.is_empty());
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run();
    assert!(scenario(&window).lanes.iter().all(|lane| matches!(lane.demand, Demand::Measured { .. })));
    // Nothing is offered where nothing is measured.
    for _ in 0..2 {
        choose(&mut window, "Use", "from the climate");
    }
    let mut bench = scenario(&window);
    bench.lanes.truncate(1);
    let path = data.path().join("computed.ron");
    file::save(&bench, &path).unwrap();
    assert!(window.state_mut().open(&path));
    window.run();
    choose(&mut window, "Climate", "glasshouse, spring day");
    assert!(window.query_by_label(OFFER).is_none());
}
