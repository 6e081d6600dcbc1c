//! The small windows around events: the editor, the series, the keys and the list of changes; and the sides.

use super::*;

#[test]
fn an_event_is_edited_by_typing() {
    let mut window = open_day();
    window.key(Modifiers::COMMAND, Key::E);
    window.key(Modifiers::NONE, Key::Enter);
    assert!(window.harness.get_by_role_and_label(Role::TextInput, "Starts").is_focused(), "typing can begin at once");
    window.write("08:20");
    assert_eq!((window.starts()[0].as_str(), window.undo_name().as_str()), ("08:20", "Move event 08:00 20 min later"));
    window.type_in("Lasts", "90 s");
    assert_eq!(window.schedule()[0].seconds, 90);
    window.type_number("Volume", "137");
    assert_eq!((window.schedule()[0].ml(), window.undo_name().as_str()), (Some(137.0), "Set volume of event 08:20 to 137 mL"));
    let before = window.schedule();
    window.type_in("Starts", "half past eight");
    window.type_in("Lasts", "never");
    assert_eq!(window.schedule(), before);
    assert!(window.harness.query_by_label_contains("is no length; write 5 min, 90 s or 1:30").is_some());
    // Another event is never overlapped, whatever is typed.
    window.type_in("Starts", "09:02");
    assert!(is_sound(&window.schedule()));
    window.harness.get_by_role_and_label(Role::ComboBox, "Kind").click();
    window.harness.run();
    window.press("flood, from below");
    assert!(window.schedule().iter().any(|e| e.give == Give::Flood { depth_cm: 3.0 }));
    window.type_number("Depth", "4.5");
    assert!(window.schedule().iter().any(|e| e.give == Give::Flood { depth_cm: 4.5 }));
    window.key(Modifiers::NONE, Key::Escape);
    assert!(window.harness.query_by_role_and_label(Role::TextInput, "Starts").is_none());
    assert!(window.focused().is_some(), "the keyboard is back with the event");
}

/// Typed, read, undone; it stands on its days only, but on the first day seen it can be held on any.
#[test]
fn an_event_comes_every_so_many_days() {
    let mut window = open_day();
    window.click(window.event("09:00").center(), Modifiers::NONE);
    window.key(Modifiers::NONE, Key::F2);
    assert!(window.harness.query_by_label("First on day").is_none(), "every day has no first");
    window.type_number("Interval", "3");
    assert_eq!(
        (window.schedule()[1].days, window.undo_name().as_str()),
        (OnDays { every: 3, from: 1 }, "Set interval of event 09:00 to 3 days")
    );
    window.type_number("First day", "2");
    assert_eq!(window.schedule()[1].days, OnDays { every: 3, from: 2 });
    window.type_number("Interval", "1");
    assert_eq!(window.schedule()[1].days, OnDays::ALL);
    window.key(Modifiers::COMMAND, Key::Z);
    window.key(Modifiers::NONE, Key::Escape);
    let told = |window: &Window| {
        let node = window.harness.get_by_role_and_label(Role::Slider, "Event 09:00");
        node.accesskit_node().value().unwrap_or_default()
    };
    assert_eq!(told(&window), "100 mL over 5 min, every 3 days, first on day 2: not on this day");
    // Days that come together only after years are no trouble: it is said that nothing settles.
    for (start, every) in [("08:00", "11"), ("10:00", "13"), ("12:00", "14")] {
        window.click(window.event(start).center(), Modifiers::NONE);
        window.key(Modifiers::NONE, Key::F2);
        window.type_number("Interval", every);
        window.key(Modifiers::NONE, Key::Escape);
    }
    assert_eq!(window.schedule().iter().map(|e| e.days.every).collect::<Vec<_>>(), [11, 3, 13, 14]);
    window.press("All 3 days side by side");
    let copies =
        |start: &str| (2..=3).filter(|day| window.harness.query_by_label(&format!("Event {start} on day {day}")).is_some()).collect();
    let (nine, noon): (Vec<usize>, Vec<usize>) = (copies("09:00"), copies("12:00"));
    assert_eq!((nine, noon), (vec![2], vec![]), "an event of every 14 days is not there on the second and third");
}

#[test]
fn several_events_are_given_plain_water_together_and_it_is_read_on_them() {
    let mut window = open_day();
    window.click(window.event("09:00").center(), Modifiers::NONE);
    window.click(window.event("10:00").center(), Modifiers::SHIFT);
    window.key(Modifiers::NONE, Key::F2);
    window.harness.get_by_role_and_label(Role::ComboBox, "Feed").click();
    window.harness.run();
    window.press("plain water");
    assert_eq!(window.schedule().iter().map(|e| e.ec).collect::<Vec<_>>(), [None, Some(0.0), Some(0.0), None]);
    assert_eq!(window.undo_name(), "Give 2 events plain water");
    let node = window.harness.get_by_role_and_label(Role::Slider, "Event 09:00");
    assert_eq!(node.accesskit_node().value().as_deref(), Some("100 mL over 5 min, plain water"));
    window.type_number("EC", "1.2");
    assert_eq!(window.schedule()[2].ec, Some(1.2));
    window.type_in("Lasts", "8");
    assert_eq!((window.schedule()[1].seconds, window.schedule()[2].seconds), (480, 480));
    window.harness.get_by_role_and_label(Role::ComboBox, "Feed").click();
    window.harness.run();
    let feed = window.app().document().scenario().feed.ec;
    window.press(&format!("the bench's, {feed:.2} mS/cm"));
    assert!(window.schedule().iter().all(|e| e.ec.is_none()));
    window.press("Done");
    // A double-click opens the same for one. (So soon after a click it would be a triple one.)
    window.harness.run_steps(30);
    let at = window.event("12:00").center();
    window.hover(at);
    for _ in 0..2 {
        window.button(at, true, Modifiers::NONE);
        window.button(at, false, Modifiers::NONE);
    }
    window.harness.run();
    assert_eq!((window.app().picked(), window.schedule().len()), ([3].as_slice(), 4));
    window.harness.get_by_role_and_label(Role::TextInput, "Starts");
}

#[test]
fn a_series_is_shown_before_it_is_added_and_clashes_are_the_users_choice() {
    let mut window = open_day();
    window.key(Modifiers::COMMAND, Key::R);
    assert!(window.harness.get_by_role_and_label(Role::TextInput, "From").is_focused());
    window.type_in("Until", "16:00");
    // Enter in a field has added it: eleven from 08:00, of which the first finds its time taken.
    assert_eq!((window.edits(), window.schedule().len()), (1, 14));
    window.key(Modifiers::COMMAND, Key::Z);
    window.key(Modifiers::COMMAND, Key::R);
    window.harness.get_by_label_contains("Adds");
    assert!(window.app().ghost().is_some(), "the tracks show it");
    assert_eq!(window.edits(), 0);
    window.harness.get_by_label_contains("It meets");
    window.press("Replace those it meets");
    let shown = window.app().run().scenario.valves[0].schedule.clone();
    assert!(is_sound(&shown));
    window.press("Add");
    assert_eq!((window.schedule(), window.edits()), (shown, 1));
    assert!(window.undo_name().contains("every 45 min in place of"), "{}", window.undo_name());
    window.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(window.starts(), ["08:00", "09:00", "10:00", "12:00"]);
    // What cannot be is told, and nothing can be added.
    window.key(Modifiers::COMMAND, Key::R);
    window.type_in("Every", "2 min");
    window.harness.get_by_label_contains("Each event would begin before the one before it has ended");
    assert!(window.app().ghost().is_none());
    window.key(Modifiers::NONE, Key::Escape);
    assert!(window.harness.query_by_label("Add a series of events").is_none());
    assert_eq!(window.edits(), 1 - 1);
    assert_eq!(window.starts(), ["08:00", "09:00", "10:00", "12:00"]);
}

#[test]
fn the_sheet_lists_every_key_and_the_log_every_change() {
    let mut window = open_day();
    window.key(Modifiers::NONE, Key::F1);
    for shortcut in slakeline::app::actions::shortcuts::TABLE {
        assert!(window.harness.query_all_by_label(shortcut.words).next().is_some(), "{}", shortcut.words);
    }
    window.press("Close");
    window.key(Modifiers::COMMAND, Key::E);
    window.key(Modifiers::NONE, Key::ArrowUp);
    window.key(Modifiers::NONE, Key::ArrowRight);
    window.key(Modifiers::COMMAND, Key::Z);
    window.key(Modifiers::COMMAND, Key::L);
    window.harness.get_by_label("As it was opened");
    window.harness.get_by_label("1. Set event 08:00 to 105 mL (the bench now)");
    window.press("2. Move event 08:00 to 08:05 (undone)");
    assert_eq!(window.starts()[0], "08:05");
    window.press("As it was opened");
    assert_eq!((window.starts()[0].as_str(), window.schedule()[0].ml(), window.edits()), ("08:00", Some(100.0), 0));
    window.key(Modifiers::NONE, Key::Escape);
    assert!(window.harness.query_by_label("As it was opened (the bench now)").is_none());
}

#[test]
fn a_series_is_of_floods_where_that_is_chosen() {
    let mut window = open_day();
    window.key(Modifiers::COMMAND, Key::R);
    window.press("flood");
    window.press("Add");
    let floods = window.schedule().iter().filter(|e| e.give == Give::Flood { depth_cm: 3.0 }).count();
    assert!(floods > 5 && window.edits() == 1, "{floods}");
    assert_eq!(window.schedule().iter().filter(|e| e.ml() == Some(100.0)).count(), 4, "drips keep their times");
    assert!(is_sound(&window.schedule()));
}

#[test]
fn sides_fold_away_and_stay_so_in_the_next_session() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().to_path_buf();
    let session = |width: f32| {
        let options = AppOptions { path: None, data_folder: Some(path.clone()) };
        let mut harness = Harness::builder().with_size(vec2(width, 700.0)).build_eframe(move |cc| App::new(cc, options));
        harness.run();
        harness
    };
    let sides = |harness: &Harness<'static, App>| {
        [harness.query_by_label("All lanes").is_some(), harness.query_all_by_label_contains("Peak water:").next().is_some()]
    };
    let mut wide = session(1280.0);
    assert_eq!(sides(&wide), [true, true]);
    wide.key_press(Key::F3);
    wide.run();
    assert_eq!(sides(&wide), [false, true]);
    drop(wide);
    assert_eq!(sides(&session(1280.0)), [false, true], "kept");
    // A narrow window has room for one: asking for the other puts it in its place.
    let mut narrow = session(700.0);
    assert_eq!(sides(&narrow), [false, true]);
    narrow.key_press(Key::F3);
    narrow.run();
    assert_eq!(sides(&narrow), [true, false]);
    // An enlarged small window leaves the tracks room: 8 h 30 min from the first event to the last.
    let small = session(640.0);
    let x = |start: &str| small.get_by_role_and_label(Role::Slider, &format!("Event {start}")).rect().center().x;
    assert!(x("16:45") - x("08:15") > 100.0, "{} to {}", x("08:15"), x("16:45"));
}
