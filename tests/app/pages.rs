//! Every page at three sizes in both themes; what idles, idles.

use eframe::egui::accesskit::Role;
use eframe::egui::{Key, Theme, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use slakeline::app::{App, AppOptions};

use crate::hand::{OwnWindow, Start, Window, close_menus, waits};

fn open(size: [f32; 2], theme: Theme) -> (Window, tempfile::TempDir) {
    let OwnWindow { harness, data } = Start { size, theme: Some(theme), ..Start::default() }.open();
    (harness, data)
}

#[test]
fn every_page_draws_at_every_size_in_both_themes_and_then_waits() {
    for size in [[800.0, 520.0], [1024.0, 700.0], [1920.0, 1200.0]] {
        for theme in [Theme::Light, Theme::Dark] {
            let (mut harness, _data) = open(size, theme);
            harness.get_by_label("Depth").click();
            harness.run();
            for quantity in ["Air", "Suction", "EC", "Water"] {
                harness.get_by_label(quantity).click();
                harness.run();
                harness.get_by_label_contains("Colours from");
                harness.step();
                assert!(waits(&harness), "{quantity} at {size:?} in {theme:?}");
            }
            harness.get_by_label("Bench").click();
            harness.run();
            harness.step();
            assert!(waits(&harness));
        }
    }
}

#[test]
fn space_plays_and_pauses_and_arrows_go_through_the_day() {
    let (mut harness, _data) = open([1280.0, 800.0], Theme::Light);
    harness.get_by_label("Depth").click();
    harness.run();
    harness.get_by_label("12:00");
    harness.key_press(Key::ArrowRight);
    harness.run();
    harness.get_by_label("12:05");
    harness.key_press(Key::Space);
    harness.step();
    harness.step();
    assert!(!waits(&harness), "it plays");
    harness.get_by_label("Pause");
    harness.key_press(Key::Space);
    harness.run();
    assert!(harness.query_by_label("12:05").is_none());
    harness.step();
    assert!(waits(&harness));
}

#[test]
fn a_clicked_figure_is_shown_on_the_tracks_until_escape() {
    let (mut harness, _data) = open([1280.0, 800.0], Theme::Light);
    let chosen = |h: &Harness<'static, App>| h.state().origin();
    harness.get_all_by_label_contains("Night dry-back:").next().unwrap().click();
    harness.run();
    let origin = chosen(&harness).unwrap();
    let stretches = origin.stretches(harness.state().run());
    assert!(stretches.len() == 1 && stretches[0].1 - stretches[0].0 > 3.0, "{stretches:?}");
    harness.key_press(Key::Escape);
    harness.run();
    assert!(chosen(&harness).is_none());
    for _ in 0..2 {
        harness.get_all_by_label_contains("Peak water:").next().unwrap().click();
        harness.run();
    }
    assert!(chosen(&harness).is_none(), "clicked again, it is no longer shown");
}

#[test]
fn the_fold_holds_all_figures() {
    let (mut harness, _data) = open([1280.0, 1400.0], Theme::Light);
    harness.get_all_by_label("All figures of the day").next().unwrap().click();
    harness.run();
    for name in ["Outside band:", "Drain EC:", "Highest suction:", "Applied:", "Drained:", "Taken up:", "Evaporated:"] {
        assert!(harness.query_by_label_contains(name).is_some(), "{name}");
    }
}

#[test]
fn the_choice_of_theme_is_remembered() {
    let (mut harness, data) = open([1280.0, 800.0], Theme::Light);
    for item in ["View", "Theme", "Dark"] {
        harness.get_by_label(item).click();
        harness.run();
    }
    let options = AppOptions { path: None, data_folder: Some(data.path().to_path_buf()) };
    let again = Harness::builder().build_eframe(move |cc| App::new(cc, options));
    assert_eq!(again.ctx.options(|o| o.theme_preference), eframe::egui::ThemePreference::Dark);
}

/// Every file below a folder.
fn files(folder: &std::path::Path) -> Vec<std::path::PathBuf> {
    let entries = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path());
    entries.flat_map(|path| if path.is_dir() { files(&path) } else { vec![path] }).collect()
}

/// Characters beyond plain letters in what a file can show: comments and tests are left out.
fn characters(path: &std::path::Path) -> std::collections::BTreeSet<char> {
    let text = std::fs::read_to_string(path).unwrap();
    let shipped = text.split("#[cfg(test)]\nmod tests {").next().unwrap();
    let shown = shipped.lines().map(|line| if line.trim_start().starts_with("//") { "" } else { line.split(" // ").next().unwrap() });
    shown.flat_map(str::chars).filter(|c| !c.is_ascii()).collect()
}

#[test]
fn the_shipped_fonts_have_every_character_that_can_be_shown() {
    let (harness, _data) = open([1280.0, 800.0], Theme::Light);
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut looked_at = std::collections::BTreeSet::new();
    for folder in ["src", "presets", "demo"] {
        for path in files(&root.join(folder)) {
            for c in characters(&path) {
                looked_at.insert(c);
                // Marks that turn text around are told apart in a check and never shown.
                let shown = !matches!(c, '\u{feff}' | '\u{200e}'..='\u{202e}');
                for font in [slakeline::app::look::theme::plain(13.0), slakeline::app::look::theme::strong(13.0)] {
                    assert!(!shown || harness.ctx.fonts_mut(|f| f.has_glyph(&font, c)), "no {c:?} for {}", path.display());
                }
            }
        }
    }
    assert!(looked_at.contains(&'²') && looked_at.contains(&'·'), "{looked_at:?}");
    assert!(!harness.ctx.fonts_mut(|f| f.has_glyph(&slakeline::app::look::theme::plain(13.0), '\u{1f980}')), "a missing one is told");
}

#[test]
fn every_demo_is_shown_whole_on_both_pages() {
    for (file, scenario) in slakeline::scenario::presets::demos() {
        let (mut harness, data) = open([1280.0, 3000.0], Theme::Dark);
        let path = data.path().join(&file);
        slakeline::scenario::file::save(&scenario, &path).unwrap();
        assert!(harness.state_mut().open(&path), "{file}");
        harness.run();
        // From the last to the first, so that what is unfolded moves nothing that is still to be.
        let heads = ["All figures of the day", "Lean: ", "Targets", "Lane, dose and start", "Container and medium"];
        for head in heads {
            for k in (0..harness.query_all_by_label_contains(head).count()).rev() {
                harness.query_all_by_label_contains(head).nth(k).unwrap().click();
                harness.run();
            }
        }
        assert!(harness.query_all_by_label("Outlet height").next().is_some(), "{file} is unfolded");
        harness.get_by_label("Depth").click();
        harness.run();
        for quantity in ["Air", "Suction", "EC", "Water"] {
            harness.get_by_label(quantity).click();
            harness.run();
        }
        for role in [Role::Slider, Role::Button, Role::CheckBox, Role::Image] {
            let nodes: Vec<_> = harness.query_all_by_role(role).collect();
            assert!(!nodes.is_empty(), "{role:?} on the depth page of {file}");
            for node in nodes {
                let node = node.accesskit_node();
                assert!(node.label().or(node.value()).is_some_and(|l| !l.trim().is_empty()), "a {role:?} without a name in {file}");
            }
        }
    }
}

#[test]
fn shift_and_an_arrow_go_by_an_hour_and_a_picture_is_scrubbed() {
    let (mut harness, _data) = open([1280.0, 800.0], Theme::Light);
    harness.get_by_label("Depth").click();
    harness.run();
    harness.key_press_modifiers(eframe::egui::Modifiers::SHIFT, Key::ArrowLeft);
    harness.run();
    harness.get_by_label("11:00");
    let picture = harness.query_all_by_label_contains("by height and time").next().unwrap().rect();
    harness.drag_at(picture.left_center() + vec2(0.25 * picture.width(), 0.0));
    harness.step();
    harness.drop_at(picture.left_center() + vec2(0.75 * picture.width(), 0.0));
    harness.run();
    harness.get_by_label("18:00");
}

#[test]
fn a_lane_is_chosen_and_the_depth_page_speaks_the_units_chosen() {
    let (mut harness, _data) = open([1280.0, 800.0], Theme::Light);
    harness.get_by_label("Depth").click();
    harness.run();
    let pictures = |h: &Harness<'static, App>| h.query_all_by_label_contains("by height and time").count();
    assert_eq!(pictures(&harness), 2);
    harness.get_by_label("Lane 2").click();
    harness.run();
    assert_eq!(pictures(&harness), 1);
    for (quantity, menu, unit) in [("Suction", "cm of water", "cm"), ("EC", "ppm, 500 scale", "ppm (500)")] {
        harness.get_by_label(quantity).click();
        harness.run();
        assert!(!harness.get_by_label_contains("Colours from").accesskit_node().label().unwrap().ends_with(unit));
        for item in ["View", "Units", menu] {
            harness.get_by_label(item).click();
            harness.run();
        }
        close_menus(&mut harness);
        let told = harness.get_by_label_contains("Colours from").accesskit_node().label().unwrap();
        assert!(told.ends_with(unit), "{told}");
    }
}

#[test]
fn both_lanes_figures_and_causes_stand_above_what_a_change_does() {
    let (harness, _data) = open([1280.0, 800.0], Theme::Light);
    let below = harness.get_by_label("What a change does").rect().top();
    assert_eq!(harness.query_all_by_label_contains("Lean: ").count(), 2);
    let causes: Vec<_> = harness.query_all_by_label_contains("before lights out").map(|n| n.rect()).collect();
    assert_eq!(causes.len(), 2);
    assert!(causes.iter().all(|r| r.bottom() < below && r.left() > 960.0), "{causes:?} above {below}");
}
