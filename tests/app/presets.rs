//! Presets in the window, driven without a display: a bench from a crop, saving, and the page of own presets.

use std::path::Path;

use eframe::egui::accesskit::Role;
use eframe::egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use slakeline::scenario::CropChoice;
use slakeline::scenario::presets::{FeedPreset, Kind, Library, save_own};

use crate::hand::{Window, drop_file, open, open_at, scenario, type_number, undo_name};

pub const BAG: &str = "bag, coir, upright, 12 L";
pub const DRAFT: &str = "Draft a schedule for it, in place of the events there are";
pub const LAMPS: &str = "lamps 12/12, LED, 700 µmol";

pub fn new_bench(data: &Path) -> Window {
    let mut window = open(data);
    window.key_press_modifiers(Modifiers::COMMAND, Key::N);
    window.run();
    assert_eq!(scenario(&window).name, "New bench");
    window
}

pub fn library(data: &Path) -> Library {
    let library = Library::with_user_presets(&data.join("presets"));
    assert_eq!(library.warnings, [""; 0]);
    library
}

/// Clicks what was drawn last under a label: a window over the bench comes after the bench.
pub fn click(window: &mut Window, label: &str) {
    window.query_all_by_label(label).last().unwrap_or_else(|| panic!("{label}")).click();
    window.run();
}

/// Chooses in the first menu of a label.
pub fn choose(window: &mut Window, label: &str, item: &str) {
    window.get_all_by_role_and_label(Role::ComboBox, label).next().unwrap_or_else(|| panic!("{label}")).click();
    window.run();
    click(window, item);
}

pub fn type_text(window: &mut Window, label: &str, text: &str) {
    window.get_by_role_and_label(Role::TextInput, label).focus();
    window.run();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.event(eframe::egui::Event::Text(text.to_owned()));
    window.run();
}

pub fn says(window: &Window, words: &str) -> bool {
    window.query_all_by_label_contains(words).next().is_some()
}

pub fn undo(window: &mut Window) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run();
}

fn own_presets(window: &mut Window) {
    window.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::P);
    window.run();
    window.get_by_label("Own presets");
}

/// Whether the third day of a lane covers its use and drains a little.
pub fn stands_well(window: &Window, lane: usize) {
    let run = window.state().run();
    assert_eq!(run.troubles, Vec::<String>::new());
    let day = run.run.lanes[lane].day(2).unwrap();
    let drained = (day.water.outlet + day.water.overflow + day.water.channelled) / day.water.applied;
    assert!((0.05..0.35).contains(&drained), "{drained}");
}

/// What a schedule for all days takes away stands in the window, in the notice and in the list of changes.
#[test]
fn rules_and_later_schedules_that_go_are_told() {
    let data = tempfile::tempdir().unwrap();
    let ruled = slakeline::scenario::presets::demos().into_iter().find(|(name, _)| name.starts_with("10-light"));
    let bench = ruled.unwrap().1;
    assert_eq!((bench.all_rules().count(), bench.valves[0].changes.len()), (2, 1));
    let file = data.path().join("ruled.ron");
    std::fs::write(&file, slakeline::scenario::file::to_text(&bench).unwrap()).unwrap();
    let mut window = open(data.path());
    drop_file(&mut window, &file);
    let gone = "2 rules and 1 later schedule";
    click(&mut window, "Lane 1 menu");
    click(&mut window, "Use a preset per crop");
    click(&mut window, "basil, flood table, spring");
    assert!(says(&window, &format!("Gone: {gone}. One undo takes all of it back.")));
    assert_eq!(undo_name(&window), format!("Set lane 1 up as basil, flood table, spring, in place of {gone}"));
    assert!(scenario(&window).valves[0].changes.is_empty());
    undo(&mut window);
    assert_eq!(scenario(&window), bench);
    window.key_press_modifiers(Modifiers::COMMAND, Key::K);
    window.run();
    assert!(says(&window, &format!("With the events go {gone}.")));
    click(&mut window, DRAFT);
    assert!(!says(&window, "With the events go"), "without a draft they stay");
    click(&mut window, DRAFT);
    click(&mut window, "Set up");
    assert!(says(&window, &format!("A schedule is drafted. Gone: {gone}.")));
    assert!(undo_name(&window).ends_with(&format!(", in place of {gone}")), "{}", undo_name(&window));
    undo(&mut window);
    assert_eq!(scenario(&window), bench);
}

#[test]
fn a_setup_is_saved_there_at_the_next_start_and_used_in_one_click() {
    let data = tempfile::tempdir().unwrap();
    let mut window = new_bench(data.path());
    for label in ["Start from a crop…", BAG, LAMPS, "Set up"] {
        click(&mut window, label);
    }
    window.get_all_by_role_and_label(Role::SpinButton, "Feed EC").next().unwrap().focus();
    window.run();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.event(eframe::egui::Event::Text("2.3".to_owned()));
    window.key_press(Key::Enter);
    window.run();
    let made = scenario(&window);
    assert_eq!(made.feed.ec, 2.3);
    click(&mut window, "Lane 1 menu");
    click(&mut window, "Save as a preset per crop…");
    // A shipped name is refused in place, with the reason.
    type_text(&mut window, "Name of the preset", "basil, flood table, spring");
    click(&mut window, "Save");
    assert!(says(&window, "is the name of a shipped preset, which stays as it is"));
    type_text(&mut window, "Name of the preset", "winter room");
    click(&mut window, "Save");
    assert!(says(&window, "Saved as preset \"winter room\""));
    assert_eq!(scenario(&window), made, "saving changes nothing on the bench");

    let mut again = new_bench(data.path());
    click(&mut again, "Lane 1 menu");
    click(&mut again, "Use a preset per crop");
    click(&mut again, "winter room");
    let now = scenario(&again);
    assert_eq!((&now.lanes[0].container, &now.lanes[0].demand), (&made.lanes[0].container, &made.lanes[0].demand));
    assert_eq!(
        (now.feed, &now.valves[0].schedule, &now.climate, now.light),
        (made.feed, &made.valves[0].schedule, &made.climate, made.light)
    );
    assert_eq!(again.state().document().log().len(), 1);
    stands_well(&again, 0);
    // The same name again is replaced only on consent.
    click(&mut again, "Lane 1 menu");
    click(&mut again, "Save as a preset per crop…");
    type_text(&mut again, "Name of the preset", "winter room");
    click(&mut again, "Save");
    assert!(says(&again, "You have a preset \"winter room\" already"));
    click(&mut again, "Replace");
    assert_eq!(Kind::Setup.own_names(&data.path().join("presets")), ["winter room"]);
    // Shipped ones stay as they were.
    assert_eq!(library(data.path()).setups[..3], Library::shipped().setups[..]);
}

#[test]
fn menus_offer_feeds_targets_and_schedules_and_save_them() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let before = scenario(&window);
    choose(&mut window, "Solution", "tomato, guide feed");
    assert_eq!(scenario(&window).feed.ec, 2.6);
    click(&mut window, "Targets");
    window.get_all_by_role_and_label(Role::ComboBox, "Aims").next().unwrap().click();
    window.run();
    click(&mut window, "stone wool slab, leaning generative");
    let shown = scenario(&window).lanes.iter().position(|l| l.targets.dry_back_points == Some((8.0, 14.0))).unwrap();
    choose(&mut window, "Schedule", "slab, sun, sixteen small events");
    assert_eq!(scenario(&window).valves[0].schedule.len(), 16);
    assert_eq!(window.state().document().log().len(), 3);
    for (menu, entry, name, kind) in [
        ("Solution", "save this feed…", "tank one", Kind::Feed),
        ("Aims", "save these targets…", "towards fruit", Kind::Targets),
        ("Schedule", "save this schedule…", "sixteen", Kind::Schedule),
    ] {
        choose(&mut window, menu, entry);
        type_text(&mut window, "Name of the preset", name);
        window.key_press(Key::Enter);
        window.run();
        assert!(says(&window, &format!("Saved as preset \"{name}\"")), "{name}");
        assert_eq!(kind.own_names(&data.path().join("presets")), [name]);
    }
    for _ in 0..3 {
        undo(&mut window);
    }
    assert_eq!(scenario(&window), before);
    let own = library(data.path());
    assert_eq!(own.targets.last().unwrap().targets.dry_back_points, Some((8.0, 14.0)), "lane {shown}");
    assert_eq!(own.schedules.last().unwrap().events.len(), 16);
}

#[test]
fn own_presets_are_renamed_exported_deleted_put_back_and_imported() {
    let data = tempfile::tempdir().unwrap();
    let folder = data.path().join("presets");
    let feed = FeedPreset { name: "tank".to_owned(), source: String::new(), ec: 2.4, note: String::new() };
    save_own(&feed, &folder, &Library::shipped()).unwrap();
    let mut window = open_at(data.path(), 800.0);
    let before = scenario(&window);
    own_presets(&mut window);
    assert!(says(&window, "used by this bench"), "the demo's feed is 2.4");
    // Rename, by keyboard.
    window.get_by_label("Rename feed tank").focus();
    window.run();
    window.key_press(Key::Enter);
    window.run();
    assert!(window.get_by_role_and_label(Role::TextInput, "New name").is_focused());
    type_text(&mut window, "New name", "plain water");
    window.key_press(Key::Enter);
    window.run();
    assert!(says(&window, "is the name of a shipped preset"), "refused in place, with the reason");
    type_text(&mut window, "New name", "tank two");
    window.key_press(Key::Enter);
    window.run();
    assert!(says(&window, "\"tank\" is now called \"tank two\""));
    // Export; a file that is there is replaced only on consent.
    let out = data.path().join("out.ron");
    std::fs::write(&out, "a letter").unwrap();
    click(&mut window, "Export feed tank two");
    type_text(&mut window, "Path of the new file", &out.display().to_string());
    click(&mut window, "Export");
    assert!(says(&window, "is there already"));
    assert_eq!(std::fs::read_to_string(&out).unwrap(), "a letter");
    click(&mut window, "Replace");
    assert!(std::fs::read_to_string(&out).unwrap().contains("tank two"));
    // Delete asks, tells where it is kept, and can be taken back.
    click(&mut window, "Delete feed tank two");
    assert_eq!(Kind::Feed.own_names(&folder), ["tank two"], "it asks first");
    click(&mut window, "Delete it");
    assert!(Kind::Feed.own_names(&folder).is_empty());
    assert!(says(&window, ".ron.bak"));
    click(&mut window, "Put \"tank two\" back");
    assert_eq!(Kind::Feed.own_names(&folder), ["tank two"]);
    // Import: the name is taken, so another is asked for.
    click(&mut window, "Import…");
    type_text(&mut window, "Path of the preset file", &out.display().to_string());
    click(&mut window, "Import");
    assert!(says(&window, "You have a preset \"tank two\" already"));
    type_text(&mut window, "Import under the name", "tank three");
    click(&mut window, "Import");
    assert!(says(&window, "Imported the feed \"tank three\""));
    assert_eq!(Kind::Feed.own_names(&folder), ["tank three", "tank two"]);
    // Nonsense is told in place, and Escape leaves first the task, then the page.
    std::fs::write(&out, "a letter").unwrap();
    click(&mut window, "Import…");
    type_text(&mut window, "Path of the preset file", &out.display().to_string());
    click(&mut window, "Import");
    assert!(says(&window, "is no preset"));
    window.key_press(Key::Escape);
    window.run();
    assert!(window.query_by_label("Path of the preset file").is_none() && window.query_by_label("Own presets").is_some());
    window.key_press(Key::Escape);
    window.run();
    assert!(window.query_by_label("Own presets").is_none());
    assert_eq!(scenario(&window), before);
    let library = library(data.path());
    assert_eq!(library.feeds[..Library::shipped().feeds.len()], Library::shipped().feeds[..], "shipped ones stay");
}

/// The buttons in the cards save at once where the name is free, and ask where it is not.
#[test]
fn a_card_replaces_an_own_preset_only_on_consent_and_keeps_the_one_before() {
    let data = tempfile::tempdir().unwrap();
    let folder = data.path().join("presets");
    let mut crop = Library::shipped().crops[0].clone();
    "house crop".clone_into(&mut crop.name);
    let path = save_own(&crop, &folder, &Library::shipped()).unwrap();
    let first = format!("// As we measured it.\n{}", std::fs::read_to_string(&path).unwrap());
    std::fs::write(&path, &first).unwrap();
    let mut window = open(data.path());
    choose(&mut window, "Crop", "house crop");
    choose(&mut window, "Crop", "own values…");
    click(&mut window, "Own crop values");
    let name = |w: &mut Window, text: &str| {
        w.get_all_by_role_and_label(Role::TextInput, "Name").last().unwrap().focus();
        w.run();
        w.key_press_modifiers(Modifiers::COMMAND, Key::A);
        w.event(eframe::egui::Event::Text(text.to_owned()));
        w.key_press(Key::Enter);
        w.run();
    };
    name(&mut window, "house crop");
    assert!(matches!(&scenario(&window).lanes[0].crop, CropChoice::Custom(crop) if crop.name == "house crop"));
    click(&mut window, "Save crop as preset");
    assert!(says(&window, "You have a preset \"house crop\" already"));
    assert_eq!(std::fs::read_to_string(&path).unwrap(), first, "it asks first");
    click(&mut window, "Cancel");
    assert_eq!(std::fs::read_to_string(&path).unwrap(), first);
    click(&mut window, "Save crop as preset");
    click(&mut window, "Replace");
    assert!(says(&window, "Saved as preset \"house crop\"") && says(&window, ".bak"));
    assert!(std::fs::read_to_string(&path).unwrap().starts_with("// A preset of your own."));
    assert_eq!(std::fs::read_to_string(slakeline::scenario::file::backup_path(&path)).unwrap(), first);
    // A free name is saved at once.
    name(&mut window, "other crop");
    click(&mut window, "Save crop as preset");
    assert!(says(&window, "Saved as preset \"other crop\"") && !says(&window, "The one it replaced"));
    assert_eq!(Kind::Crop.own_names(&folder), ["house crop", "other crop"]);
}

#[test]
fn a_preset_that_cannot_be_read_is_named_on_the_page() {
    let data = tempfile::tempdir().unwrap();
    let feeds = data.path().join("presets/feeds");
    std::fs::create_dir_all(&feeds).unwrap();
    std::fs::write(feeds.join("torn.ron"), "(name: \"torn\", ec:").unwrap();
    let mut window = open_at(data.path(), 800.0);
    own_presets(&mut window);
    assert!(says(&window, "torn.ron is not valid") && says(&window, "You have none yet"));
    click(&mut window, "Close");
    assert!(window.query_by_label("Own presets").is_none());
}

#[test]
fn what_the_bench_names_is_not_taken_from_under_it() {
    let data = tempfile::tempdir().unwrap();
    let folder = data.path().join("presets");
    let mut crop = Library::shipped().crops[0].clone();
    crop.name = "house crop".to_owned();
    save_own(&crop, &folder, &Library::shipped()).unwrap();
    let mut window = open(data.path());
    choose(&mut window, "Crop", "house crop");
    own_presets(&mut window);
    click(&mut window, "Delete crop house crop");
    click(&mut window, "Delete it");
    assert!(says(&window, "used by lane 1 of the bench, which would be left without it"));
    assert_eq!(Kind::Crop.own_names(&folder), ["house crop"]);
    assert!(window.state().run().troubles.is_empty());
}

#[cfg(unix)]
#[test]
fn a_dropped_device_is_refused_in_words() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open_at(data.path(), 800.0);
    let before = scenario(&window);
    drop_file(&mut window, Path::new("/dev/null"));
    assert!(says(&window, "/dev/null: cannot be read: this is a folder or a device, not a file"));
    assert_eq!(scenario(&window), before);
}

#[test]
fn the_menu_of_solutions_names_no_guide_of_another_crop() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let shown = |w: &Window| w.get_all_by_role_and_label(Role::ComboBox, "Solution").next().unwrap().accesskit_node().value().unwrap();
    // 2.2 mS/cm is the guide of cucumber; the bench grows aubergine.
    type_number(&mut window, "Feed EC", "2.2");
    assert_eq!(shown(&window), "own value");
    type_number(&mut window, "Feed EC", "2.1");
    assert!(shown(&window).contains("aubergine"), "{}", shown(&window));
}

#[test]
fn a_dropped_preset_is_imported_and_a_dropped_bench_opened() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open_at(data.path(), 800.0);
    let file = data.path().join("in.ron");
    std::fs::write(&file, "(name: \"dropped\", ec: 1.5)").unwrap();
    let before = scenario(&window);
    drop_file(&mut window, &file);
    assert!(says(&window, "Imported the feed \"dropped\""));
    assert_eq!(scenario(&window), before);
    // The same again: the name is taken, and the page asks.
    drop_file(&mut window, &file);
    assert!(says(&window, "You have a preset \"dropped\" already"));
    click(&mut window, "Replace");
    // While the page is open, it shows what was dropped and waits.
    std::fs::write(&file, "(name: \"dropped too\", ec: 1.5)").unwrap();
    drop_file(&mut window, &file);
    assert_eq!(Kind::Feed.own_names(&data.path().join("presets")), ["dropped"]);
    click(&mut window, "Import");
    click(&mut window, "Close");
    assert_eq!(Kind::Feed.own_names(&data.path().join("presets")), ["dropped", "dropped too"]);
    let bench = slakeline::scenario::presets::demos().remove(4).1;
    std::fs::write(&file, slakeline::scenario::file::to_text(&bench).unwrap()).unwrap();
    drop_file(&mut window, &file);
    assert_eq!(scenario(&window), bench);
}
