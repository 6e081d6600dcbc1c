//! Every page at three sizes in both themes; what idles, idles.
#![allow(clippy::unwrap_used)]

use std::time::Duration;

use eframe::egui::{Key, Theme, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use slakeline::app::{App, AppOptions};

fn open(size: [f32; 2], theme: Theme) -> (Harness<'static, App>, tempfile::TempDir) {
    let data = tempfile::tempdir().unwrap();
    let options = AppOptions { path: None, data_folder: Some(data.path().to_path_buf()) };
    let builder = Harness::builder().with_size(vec2(size[0], size[1])).with_theme(theme).with_max_steps(40);
    let mut harness = builder.build_eframe(move |cc| App::new(cc, options));
    harness.run();
    (harness, data)
}

fn waits(harness: &Harness<'static, App>) -> bool {
    let delay = harness.output().viewport_output.values().map(|v| v.repaint_delay).min();
    delay.is_none_or(|d| d > Duration::from_secs(1))
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
    harness.get_by_label("View").click();
    harness.run();
    harness.get_by_label("Dark").click();
    harness.run();
    let options = AppOptions { path: None, data_folder: Some(data.path().to_path_buf()) };
    let again = Harness::builder().build_eframe(move |cc| App::new(cc, options));
    assert_eq!(again.ctx.options(|o| o.theme_preference), eframe::egui::ThemePreference::Dark);
}
