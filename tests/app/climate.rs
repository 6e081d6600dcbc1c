//! Climate logs in the window: dropped, typed, refused by line, mended with consent, taken and undone.

use crate::climate_window::*;
use crate::hand::*;
use std::path::Path;

use eframe::egui::accesskit::Role;
use eframe::egui::{Event, Key, Modifiers};
use egui_kittest::kittest::Queryable;
use slakeline::readings::{MAX_BYTES, Options, read_climate_file};
use slakeline::scenario::{Climate, Demand, Scenario};

#[test]
fn a_clean_log_is_dropped_taken_and_undone_as_one_change() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let (before, drawn) = (bytes(&window), window.state().run().run.lanes[0].day(0).unwrap().water.demanded);
    import(&mut window, Path::new(DEMO));
    assert!(shows(&window, "Climate log climate-week-under-glass.csv") && shows(&window, "7 days, 1,008 rows, one every 10 min."));
    assert!(shows(&window, "1 · 2026-04-13") && shows(&window, "7 · 2026-04-19"), "each day stands with its date");
    let reading = read_climate_file(DEMO.as_ref(), &Options::default()).unwrap();
    let light = slakeline::readings::day_climates(&reading.log)[3].shortwave_mj;
    assert!(shows(&window, &format!("{light:.2}")), "{light}");
    assert_eq!(bytes(&window), before, "nothing has changed yet");
    assert!(can_use(&window));
    click(&mut window, "Use it");
    let after = scenario(&window);
    assert_eq!((log_rows(&after), after.days), (1008, 7));
    assert!(after.lanes.iter().all(|lane| matches!(lane.demand, Demand::Climate { scale: 1.0, .. })));
    let app = window.state();
    assert_eq!(app.document().log().len(), 1, "one change of the edit list");
    assert_eq!(app.document().next_undo().unwrap().name, "Take climate from climate-week-under-glass.csv");
    assert_eq!((app.run().troubles.clone(), app.run().days()), (Vec::<String>::new(), 7));
    assert_ne!(app.run().run.lanes[0].day(0).unwrap().water.demanded, drawn);
    assert!(shows(&window, "7 days as logged, 1008 rows, one every 10 min."), "the setup tells what stands on the bench");
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run();
    assert_eq!(bytes(&window), before);
}

#[test]
fn boxes_leave_days_and_measured_use_as_they_are() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let before = scenario(&window);
    import(&mut window, Path::new(DEMO));
    for words in ["Run 7 days", "Compute the plants' use from it, in 2 lanes"] {
        assert!(is_ticked(&window, words), "{words}");
        window.get_by_label_contains(words).click();
        window.run();
    }
    assert!(shows(&window, "the log changes no curve"), "and it says what that means");
    click(&mut window, "Use it");
    let after = scenario(&window);
    assert_eq!(Scenario { climate: None, ..after.clone() }, Scenario { climate: None, ..before });
    assert_eq!(log_rows(&after), 1008);
}

#[test]
fn a_missing_column_names_line_and_remedy_and_nothing_is_taken() {
    let data = tempfile::tempdir().unwrap();
    let path = changed(data.path(), "no-humidity.csv", |lines| lines[0] = "time,light_w_m2,temperature_c,rel".to_owned());
    let mut window = open(data.path());
    let before = bytes(&window);
    import(&mut window, &path);
    assert!(shows(&window, "1 problem found, so nothing was taken."));
    assert!(window.query_by_label("line 1").is_some());
    assert!(shows(&window, "There is no column humidity_pct or vpd_kpa"));
    assert!(window.query_by_label("Name the column so in the first line, or add it.").is_some());
    assert!(shows(&window, "1 problem stands in the way.") && !can_use(&window));
    click(&mut window, "Use it");
    assert_eq!(bytes(&window), before);
    for nothing in ["Leave bad rows out", "Fill gaps"] {
        assert!(!shows(&window, nothing), "no consent settles a missing column");
    }
}

#[test]
fn light_in_another_unit_is_refused_by_line_and_left_out_with_consent() {
    let data = tempfile::tempdir().unwrap();
    let path = changed(data.path(), "lux.csv", |lines| {
        for k in [80, 90] {
            let mut cells: Vec<&str> = lines[k].split(',').collect();
            cells[1] = "2000";
            lines[k] = cells.join(",");
        }
    });
    let mut window = open(data.path());
    let before = bytes(&window);
    import(&mut window, &path);
    assert!(window.query_by_label("line 81").is_some() && window.query_by_label("line 91").is_some());
    assert!(shows(&window, "light_w_m2 is 2000; believed: 0 to 1500") && shows(&window, "It may be µmol/m²/s"));
    assert!(shows(&window, "Values that are not believed: 2") && !can_use(&window));
    tick(&mut window, "Leave bad rows out: settles 2 problems");
    // What they leave is a gap each.
    assert!(shows(&window, "long: settles 2 gaps"));
    assert!(shows(&window, "Gaps: 2") && shows(&window, "Leave bad rows out: settles 2 problems") && !can_use(&window));
    tick(&mut window, "Fill gaps by a straight line");
    assert!(can_use(&window) && shows(&window, "Left out.") && shows(&window, "Filled with a straight line."));
    assert_eq!(bytes(&window), before);
    click(&mut window, "Use it");
    let after = scenario(&window);
    let Some(Climate::Log(log)) = &after.climate else { panic!("{:?}", after.climate) };
    assert_eq!(log.rows.len(), 1008);
    assert!(log.source.contains("line 81: ") && log.source.contains("Left out."), "what was done stays with the log: {}", log.source);
    click(&mut window, "How it was read");
    assert!(shows(&window, "line 81: light_w_m2 is 2000"));
}

#[test]
fn a_gap_is_filled_only_with_consent_and_up_to_the_length_allowed() {
    let data = tempfile::tempdir().unwrap();
    // Four hours.
    let path = changed(data.path(), "gap.csv", |lines| drop(lines.drain(200..223)));
    let mut window = open(data.path());
    let before = bytes(&window);
    import(&mut window, &path);
    assert!(window.query_by_label("line 201").is_some() && shows(&window, "4 h without rows"));
    tick(&mut window, "Fill gaps by a straight line");
    assert!(!can_use(&window), "four hours are more than the three that are filled");
    window.get_by_role_and_label(Role::SpinButton, "up to").focus();
    window.run();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.event(Event::Text("4".to_owned()));
    window.run();
    window.key_press(Key::Enter);
    window.run();
    wait(&mut window);
    assert!(shows(&window, "long: settles 1 gap") && can_use(&window), "it is read again at once");
    assert_eq!(bytes(&window), before);
    tick(&mut window, "Fill gaps by a straight line");
    assert!(!can_use(&window), "a consent can be taken back");
    tick(&mut window, "Fill gaps by a straight line");
    click(&mut window, "Use it");
    assert_eq!(log_rows(&scenario(&window)), 1008);
}

#[test]
fn cancel_and_escape_leave_the_bench_byte_for_byte() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let before = bytes(&window);
    for escape in [false, true] {
        import(&mut window, Path::new(DEMO));
        assert!(can_use(&window));
        if escape {
            window.key_press(Key::Escape);
            window.run();
        } else {
            click(&mut window, "Cancel");
        }
        assert!(window.query_by_label("Use it").is_none(), "it is closed");
        assert_eq!(bytes(&window), before);
        assert!(window.state().document().log().is_empty() && !window.state().document().is_changed());
    }
}

#[test]
fn a_missing_file_and_one_that_is_too_large_are_told_in_the_readers_words() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let before = bytes(&window);
    click(&mut window, "File");
    click(&mut window, "Import a climate log from a path…");
    let nowhere = data.path().join("nothing.csv").display().to_string();
    window.get_all_by_role(Role::TextInput).find(egui_kittest::Node::is_focused).unwrap().type_text(&nowhere);
    window.run();
    window.key_press(Key::Enter);
    window.run();
    wait(&mut window);
    assert!(window.query_by_label(&nowhere).is_some(), "the path is named");
    assert!(shows(&window, "The file cannot be read: ") && window.query_by_label("Check its name and that you may read it.").is_some());
    assert!(!can_use(&window));
    let large = data.path().join("large.csv");
    std::fs::File::create(&large).unwrap().set_len(MAX_BYTES + 1).unwrap();
    // Another may be dropped in its place.
    import(&mut window, &large);
    assert!(shows(&window, "The file has 21 MB; at most 20 MB are read.") && shows(&window, "Export fewer days"));
    let folder = data.path().join("folder.csv");
    std::fs::create_dir(&folder).unwrap();
    import(&mut window, &folder);
    assert!(shows(&window, "a folder or a device, not a file") && !can_use(&window));
    assert_eq!(bytes(&window), before);
}

#[test]
fn what_a_file_leaves_unsaid_is_asked_for() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let head = |name: &str| format!("time,{name},temperature_c,humidity_pct");
    let photons = changed(data.path(), "photons.csv", |lines| lines[0] = head("ppfd_umol"));
    import(&mut window, &photons);
    assert!(!can_use(&window));
    window.get_by_role_and_label(Role::RadioButton, "LED").click();
    window.run();
    wait(&mut window);
    assert!(can_use(&window) && window.query_by_label("mol/m²").is_some(), "light that was logged as photons is summed as photons");
    click(&mut window, "Cancel");
    let outside = changed(data.path(), "outside.csv", |lines| lines[0] = head("outside_w_m2"));
    import(&mut window, &outside);
    assert!(!can_use(&window));
    window.get_by_role_and_label(Role::SpinButton, "Share of the light outside that comes in").focus();
    window.run();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.event(Event::Text("0.65".to_owned()));
    window.run();
    window.key_press(Key::Enter);
    window.run();
    wait(&mut window);
    assert!(can_use(&window));
    click(&mut window, "Use it");
    let options = Options { transmission: Some(0.65), ..Options::default() };
    let Some(Climate::Log(log)) = scenario(&window).climate else { panic!("no log") };
    assert_eq!(log.rows, read_climate_file(&outside, &options).unwrap().log.rows);
}

#[test]
fn times_with_a_zone_are_told_by_the_zone_of_the_house() {
    let data = tempfile::tempdir().unwrap();
    let path = changed(data.path(), "utc.csv", |lines| {
        for line in &mut lines[1..] {
            *line = line.replacen(',', "Z,", 1);
        }
    });
    let mut window = open(data.path());
    import(&mut window, &path);
    assert!(shows(&window, "Times are in UTC") && can_use(&window));
    let type_zone = |window: &mut Window, text: &str| {
        window.get_by_role_and_label(Role::TextInput, "Zone of the house").focus();
        window.run();
        window.key_press_modifiers(Modifiers::COMMAND, Key::A);
        window.event(Event::Text(text.to_owned()));
        window.run();
        wait(window);
    };
    type_zone(&mut window, "noon");
    assert!(shows(&window, "Correct the zone") && !can_use(&window));
    type_zone(&mut window, "+01:00");
    // The log now begins at 01:00 and ends an hour into another day.
    assert!(shows(&window, "he log begins at 2026-04-13 01:00, 1 h after midnight"));
}
