//! What the tests of climate logs in the window share.

use std::path::{Path, PathBuf};

use eframe::egui::accesskit::Toggled;
use egui_kittest::kittest::{NodeT, Queryable};
use slakeline::scenario::{Climate, Scenario, file};

use crate::hand::*;

pub const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/climate-week-under-glass.csv");

/// The bench as its file would be.
pub fn bytes(window: &Window) -> String {
    file::to_text(window.state().document().scenario()).unwrap()
}

pub fn shows(window: &Window, words: &str) -> bool {
    window.query_all_by_label_contains(words).next().is_some()
}

/// Waits until the file has been read; the window goes on drawing meanwhile.
pub fn wait(window: &mut Window) {
    window.step();
    frames_until(window, "the file is read", |w| !shows(w, "Reading it.") && !shows(w, "The file is being read."));
    window.run();
}

pub fn import(window: &mut Window, path: &Path) {
    drop_file(window, path);
    wait(window);
}

/// The log of the demo with some of its lines changed, as a file of its own.
pub fn changed(data: &Path, name: &str, change: impl FnOnce(&mut Vec<String>)) -> PathBuf {
    let mut lines: Vec<String> = std::fs::read_to_string(DEMO).unwrap().lines().map(str::to_owned).collect();
    change(&mut lines);
    let path = data.join(name);
    std::fs::write(&path, lines.join("\n") + "\n").unwrap();
    path
}

pub fn can_use(window: &Window) -> bool {
    !window.get_by_label("Use it").accesskit_node().is_disabled()
}

pub fn is_ticked(window: &Window, words: &str) -> bool {
    window.get_by_label_contains(words).accesskit_node().toggled() == Some(Toggled::True)
}

pub fn tick(window: &mut Window, words: &str) {
    window.get_by_label_contains(words).click();
    window.run();
    wait(window);
}

pub fn log_rows(scenario: &Scenario) -> usize {
    if let Some(Climate::Log(log)) = &scenario.climate { log.rows.len() } else { 0 }
}

/// A log of so many days of rows a minute apart.
pub fn minutes(data: &Path, days: u32) -> PathBuf {
    use std::fmt::Write as _;
    let mut text = "time,light_w_m2,temperature_c,humidity_pct\n".to_owned();
    for k in 0..days * 1440 {
        let (day, minute) = (k / 1440, k % 1440);
        let light = if (360..1080).contains(&minute) { 300 + minute % 7 } else { 0 };
        let date = jiff::civil::date(2026, 1, 1).saturating_add(jiff::SignedDuration::from_hours(24 * i64::from(day)));
        let _ = writeln!(text, "{date}T{:02}:{:02},{light},{}.5,75", minute / 60, minute % 60, 19 + minute % 5);
    }
    let path = data.join("minutes.csv");
    std::fs::write(&path, text).unwrap();
    path
}
