//! The setup cards, driven without a display: fields, menus, lanes, units and presets.

use eframe::egui::accesskit::Role;
use eframe::egui::{Key, Modifiers, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use slakeline::app::{App, AppOptions};
use slakeline::scenario::MediumChoice;
use slakeline::scenario::presets::{Library, save_own};

use crate::hand::*;

#[test]
fn a_field_is_typed_undone_and_refused_in_words() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let before = scenario(&window);
    type_number(&mut window, "Feed EC", "3.1");
    assert_eq!(scenario(&window).feed.ec, 3.1);
    assert_eq!(undo_name(&window), "Set feed EC to 3.1 mS/cm");
    assert_eq!(window.state().document().log().len(), 1);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run();
    assert_eq!(scenario(&window), before);
    for nonsense in ["900", "moist", "-1", "nan", "1e999"] {
        type_number(&mut window, "Feed EC", nonsense);
        assert_eq!(scenario(&window), before, "{nonsense}");
        assert!(window.query_by_label_contains("is refused. It takes a number, 0 to 20 mS/cm.").is_some(), "{nonsense}");
    }
}

#[test]
fn a_preset_menu_changes_the_column() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let height = window.state().run().run.lanes[0].column.height;
    click(&mut window, "Container and medium");
    window.get_all_by_role_and_label(Role::ComboBox, "Container").next().unwrap().click();
    window.run();
    click(&mut window, "pot, square, tapered, plastic, 3 L");
    let app = window.state();
    assert_eq!(app.document().scenario().lanes[0].container.name, "pot, square, tapered, plastic, 3 L");
    assert_ne!(app.run().run.lanes[0].column.height, height);
    assert!(app.run().troubles.is_empty(), "{:?}", app.run().troubles);
}

#[test]
fn lanes_are_added_copied_moved_and_removed() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let names = |w: &Window| scenario(w).lanes.iter().map(|l| l.name.clone()).collect::<Vec<_>>();
    let first = names(&window);
    click(&mut window, "Add lane…");
    click(&mut window, "pot, round, plastic, 12 L");
    assert_eq!(names(&window).len(), first.len() + 1);
    for (item, expected) in
        [("Duplicate", format!("{} copy", first[0])), ("Move down", format!("{} copy", first[0])), ("Remove", format!("{} copy", first[0]))]
    {
        click(&mut window, "Lane 1 menu");
        click(&mut window, item);
        match item {
            "Duplicate" => assert_eq!(names(&window)[1], expected),
            "Move down" => assert_eq!(names(&window)[0], expected),
            _ => assert_eq!(names(&window)[0], first[0]),
        }
        assert!(window.state().run().troubles.is_empty());
    }
    for _ in 0..4 {
        window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
        window.run();
    }
    assert_eq!(names(&window), first);
}

#[test]
fn a_mix_sums_to_a_hundred_and_is_saved_for_the_menus() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    click(&mut window, "Container and medium");
    let part = scenario(&window).lanes[0].container.parts.len() - 1;
    let name = scenario(&window).lanes[0].container.parts[part].name.clone();
    let head = format!("{}{} ·", name[..1].to_uppercase(), &name[1..]);
    window.get_by_label_contains(&head).click();
    window.run();
    window.get_all_by_role_and_label(Role::ComboBox, "Medium").next().unwrap().click();
    window.run();
    click(&mut window, "mix of media…");
    type_number(&mut window, "Share 2", "45");
    let edge = window.get_all_by_role_and_label(Role::ComboBox, "Medium").next().unwrap().rect().right();
    assert!(edge < 264.0, "a long name never pushes fields out of the panel: {edge}");
    let scenario = scenario(&window);
    let MediumChoice::Mix(mix) = &scenario.lanes[0].container.parts[part].medium else { panic!("not a mix") };
    assert_eq!(mix.iter().map(|c| c.percent).collect::<Vec<_>>(), [55.0, 45.0]);
    assert!(window.state().run().troubles.is_empty());
    click(&mut window, "Save medium as preset");
    let library = Library::with_user_presets(&data.path().join("presets"));
    assert_eq!(library.warnings, [""; 0]);
    let saved = library.media.last().unwrap().name.clone();
    assert!(saved.contains("45 %"), "{saved}");
    window.get_all_by_role_and_label(Role::ComboBox, "Medium").next().unwrap().click();
    window.run();
    assert!(window.query_all_by_label(&saved).next().is_some(), "it stands in the menu at once");
}

#[test]
fn a_shipped_preset_is_never_replaced() {
    let data = tempfile::tempdir().unwrap();
    let library = Library::shipped();
    let mut crop = library.crops[0].clone();
    assert!(save_own(&crop, data.path(), &library).unwrap_err().to_string().contains("another name"));
    crop.name = "my / own: crop".to_owned();
    let first = save_own(&crop, data.path(), &library).unwrap();
    crop.uptake_ec = 1.9;
    assert_eq!(save_own(&crop, data.path(), &library).unwrap(), first, "one's own of that name is replaced");
    // Another name that would have the same file gets its own.
    assert_ne!(save_own(&slakeline::scenario::Crop { name: "my - own- crop".to_owned(), ..crop }, data.path(), &library).unwrap(), first);
    let own = Library::with_user_presets(data.path());
    assert_eq!(own.crop("my / own: crop").unwrap().uptake_ec, 1.9);
    assert_eq!(own.crops.len(), library.crops.len() + 2);
}

#[test]
fn units_change_what_is_shown_and_never_the_data() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let before = scenario(&window);
    for (unit, shown) in [("ppm, 700 scale", "ppm"), ("US fl oz and gal", "gal"), ("inches", "in")] {
        use_unit(&mut window, unit);
        assert_eq!(scenario(&window), before, "{shown}");
        assert!(!window.state().document().is_changed());
    }
    type_number(&mut window, "Feed EC", "1400");
    assert_eq!(scenario(&window).feed.ec, 2.0);
    // They hold for the next session.
    let units = window.state().units();
    drop(window);
    assert_eq!(open(data.path()).state().units(), units);
}

fn use_unit(window: &mut Window, unit: &str) {
    click(window, "View");
    click(window, "Units");
    click(window, unit);
    close_menus(window);
}

#[test]
fn us_units_there_and_back_leave_every_digit_as_it_was() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let before = scenario(&window);
    for fold in ["Container and medium", "Lane, dose and start", "Targets"] {
        click(&mut window, fold);
    }
    window.get_all_by_label("Slab · stone wool, slab").next().unwrap().click();
    window.run();
    for unit in ["inches", "US fl oz and gal", "ppm, 640 scale", "cm of water"] {
        use_unit(&mut window, unit);
    }
    // Every number is entered and left as it stands, by keyboard.
    let count = window.query_all_by_role(Role::SpinButton).count();
    assert!(count > 15, "{count}");
    for k in 0..count {
        window.query_all_by_role(Role::SpinButton).nth(k).unwrap().focus();
        window.run();
        window.key_press(Key::Enter);
        window.run();
    }
    for unit in ["cm", "mL and L", "mS/cm", "kPa"] {
        use_unit(&mut window, unit);
    }
    assert_eq!(scenario(&window), before);
    assert!(window.state().document().log().is_empty(), "{:?}", undo_name(&window));
}

#[test]
fn inches_typed_are_centimetres_kept() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    use_unit(&mut window, "inches");
    click(&mut window, "Container and medium");
    type_number(&mut window, "Outlet height", "1.5");
    assert_eq!(scenario(&window).lanes[0].container.outlet_height_cm, 3.81);
    assert_eq!(undo_name(&window), "Set outlet height of lane 1 to 1.5 in");
}

#[test]
fn figures_causes_and_changes_are_told_in_the_units_chosen() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    click(&mut window, "All figures of the day");
    let told = |window: &Window, words: &str| {
        let found = window.query_all_by_label_contains(words).next().unwrap_or_else(|| panic!("{words}"));
        let node = found.accesskit_node();
        node.label().or(node.value()).unwrap()
    };
    assert!(told(&window, "Applied: ").contains("mL"));
    type_number(&mut window, "Feed EC", "3");
    assert!(window.query_all_by_label_contains("mS/cm in the day").next().is_some());
    for unit in ["US fl oz and gal", "ppm, 500 scale", "cm of water"] {
        use_unit(&mut window, unit);
    }
    for words in ["Root-zone EC: ", "Applied: ", "Highest suction: ", "EC\u{a0}+", "Root-zone EC rises"] {
        let text = told(&window, words);
        let unit = match words {
            "Applied: " => "fl oz",
            "Highest suction: " => "cm",
            _ => "ppm (500)",
        };
        assert!(text.replace('\u{a0}', " ").contains(unit), "{text}");
    }
}

#[test]
fn what_is_unfolded_follows_its_lane() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    let named = |w: &Window, name: &str| w.query_all_by_role(Role::TextInput).any(|n| n.value().as_deref() == Some(name));
    let [first, second] = [0, 1].map(|i| scenario(&window).lanes[i].name.clone());
    window.get_all_by_label("Lane, dose and start").nth(1).unwrap().click();
    window.run();
    assert!(named(&window, &second) && !named(&window, &first));
    for (menu, item) in [("Lane 2 menu", "Move up"), ("Lane 1 menu", "Move down"), ("Lane 1 menu", "Duplicate")] {
        click(&mut window, menu);
        click(&mut window, item);
        assert!(named(&window, &second) && !named(&window, &first), "after {item}");
    }
}

#[test]
fn a_taller_part_carries_entered_values_over_and_tells_so() {
    let data = tempfile::tempdir().unwrap();
    let mut bench = slakeline::scenario::presets::demos().remove(0).1;
    let layers: usize = bench.solver.layers_of(&bench.lanes[0].container).iter().sum();
    bench.lanes[0].start.salt = slakeline::scenario::StartSalt::Layers(vec![3.0; layers]);
    let path = data.path().join("layers.ron");
    slakeline::scenario::file::save(&bench, &path).unwrap();
    let mut window = open(data.path());
    assert!(window.state_mut().open(&path));
    window.run();
    click(&mut window, "Container and medium");
    click(&mut window, "Slab · stone wool, slab");
    type_number(&mut window, "Height", "15");
    assert_eq!(scenario(&window).lanes[0].container.parts[0].height_cm, 15.0);
    assert!(window.state().run().troubles.is_empty(), "{:?}", window.state().run().troubles);
    assert!(window.query_by_label_contains("were carried over").is_some());
}

#[test]
fn use_is_computed_from_the_climate_and_scaled_to_what_is_measured() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    choose(&mut window, "Climate", "lamps 12/12, LED, 700 µmol");
    assert_eq!(scenario(&window).light.off, slakeline::scenario::Clock::hm(18, 0));
    choose(&mut window, "Use", "from the climate");
    choose(&mut window, "Crop", "tomato");
    let taken_up = |w: &Window| w.state().run().run.lanes[0].day(0).unwrap().water.demanded;
    // Computed by hand: 1.27 L for a full tomato canopy under these lamps.
    assert!((taken_up(&window) / 1270.0 - 1.0).abs() < 0.01, "{}", taken_up(&window));
    type_number(&mut window, "Uses a day", "1.5");
    assert!((taken_up(&window) / 1500.0 - 1.0).abs() < 0.005, "{}", taken_up(&window));
    assert!(window.query_by_label_contains("scaled × 1.18").is_some());
    click(&mut window, "Back to the formula");
    assert!((taken_up(&window) / 1270.0 - 1.0).abs() < 0.01);
    // What a lane's use is computed from cannot be taken away under it.
    let before = scenario(&window);
    choose(&mut window, "Climate", "none: use is measured");
    assert_eq!(scenario(&window), before);
    choose(&mut window, "Use", "measured");
    choose(&mut window, "Climate", "none: use is measured");
    assert_eq!(scenario(&window).climate, None);
    assert!((taken_up(&window) / 1270.0 - 1.0).abs() < 0.01, "what was computed stays as the amount");
}

#[test]
fn a_stage_sets_leaves_roots_and_aims_and_a_schedule_is_drafted() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    choose(&mut window, "Climate", "lamps 12/12, LED, 700 µmol");
    click(&mut window, "Container and medium");
    choose(&mut window, "Container", "bag, coir, upright, 12 L");
    choose(&mut window, "Use", "from the climate");
    choose(&mut window, "Stage", "young");
    let young = scenario(&window).lanes[0].clone();
    choose(&mut window, "Stage", "full");
    let full = scenario(&window).lanes[0].clone();
    assert_ne!((&young.roots, young.targets), (&full.roots, full.targets));
    assert_eq!(full.targets.dry_back_points, Some((4.0, 9.0)));
    click(&mut window, "Draft a schedule…");
    click(&mut window, "for lane 1 · Block on slab");
    assert_eq!(undo_name(&window), "Draft a schedule for lane 1");
    let run = window.state().run();
    assert_eq!(run.troubles, Vec::<String>::new());
    // The day after the first: what is given covers the use, and something drains.
    let day = run.run.lanes[0].day(2).unwrap();
    let drained = (day.water.outlet + day.water.overflow + day.water.channelled) / day.water.applied;
    assert!((0.05..0.35).contains(&drained), "{drained}");
}

#[test]
fn an_own_climate_is_saved_and_there_at_the_next_start() {
    let data = tempfile::tempdir().unwrap();
    let mut window = open(data.path());
    choose(&mut window, "Climate", "lamps 18/6, LED, 200 µmol");
    click(&mut window, "Climate values");
    type_number(&mut window, "Light", "260");
    // What was changed is no longer called as the shipped one, and saving asks what it is to be called.
    click(&mut window, "Save climate as preset");
    assert_eq!(scenario(&window).climate.unwrap().name(), "changed from lamps 18/6, LED, 200 µmol");
    assert!(window.query_by_label("Save as a preset: climate").is_some());
    type_text(&mut window, "Name of the preset", "lamps 18/6, LED, 200 µmol");
    assert!(window.query_by_label_contains("is the name of a shipped preset, which stays as it is").is_some());
    click(&mut window, "Cancel");
    let field = |w: &Window| w.get_all_by_role_and_label(Role::TextInput, "Name").next().unwrap().focus();
    field(&window);
    window.run();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.event(eframe::egui::Event::Text("propagation room".to_owned()));
    window.run();
    window.key_press(Key::Enter);
    window.run();
    click(&mut window, "Save climate as preset");
    assert!(window.query_by_label_contains("Saved as preset \"propagation room\"").is_some());
    let mut again = open(data.path());
    choose(&mut again, "Climate", "propagation room");
    let now = scenario(&again);
    let Some(slakeline::scenario::Climate::Typical(day)) = &now.climate else { panic!("{:?}", now.climate) };
    assert_eq!(
        (day.level, now.light.on.hours()),
        (slakeline::scenario::LightLevel::Lamps { ppfd: 260.0, lamp: slakeline::scenario::Lamp::Led }, 3.0)
    );
}

#[test]
fn what_tab_reaches_is_scrolled_into_view() {
    let data = tempfile::tempdir().unwrap();
    let options = AppOptions { path: None, data_folder: Some(data.path().to_path_buf()) };
    let builder = Harness::builder().with_size(vec2(1280.0, 800.0)).with_max_steps(60).with_step_dt(1.0 / 10.0);
    let mut window = Window::from(builder.build_eframe(move |cc| App::new(cc, options)));
    window.run();
    let top = |window: &Window| window.get_by_label("All lanes").rect().top();
    let before = top(&window);
    assert!(before > 800.0, "the heading begins below the window: {before}");
    // From the fold of the last lane on, the fields of all lanes follow.
    window.get_all_by_label("Targets").last().unwrap().focus();
    window.run();
    for _ in 0..6 {
        window.key_press(Key::Tab);
        window.run();
    }
    assert!(top(&window) < before - 50.0, "{} from {before}", top(&window));
}
