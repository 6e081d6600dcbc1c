//! The help in the window: every chapter opens from the menu, its links lead on, Escape closes it.

use eframe::egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use slakeline::help::CHAPTERS;

use super::hand::Start;

#[test]
fn every_chapter_opens_and_links_lead_on() {
    let mut window = Start::default().open();
    for chapter in &CHAPTERS {
        window.harness.get_by_label("Help").click();
        window.harness.run();
        window.harness.get_by_label(chapter.title()).click();
        window.harness.run();
        assert!(window.harness.query_by_label("Close").is_some(), "{} is open", chapter.title());
        // Its title stands in the row of chapters and above its text.
        assert_eq!(window.harness.query_all_by_label(chapter.title()).count(), 2, "{}", chapter.title());
        window.key(Modifiers::NONE, Key::Escape);
        assert!(window.harness.query_by_label("Close").is_none(), "{} is closed", chapter.title());
    }
}

#[test]
fn a_link_leads_to_another_chapter() {
    let mut window = Start { size: [1280.0, 1600.0], ..Start::default() }.open();
    window.harness.get_by_label("Help").click();
    window.harness.run();
    window.harness.get_by_label("Scenario and preset files").click();
    window.harness.run();
    window.harness.get_all_by_label("Climate logs").next().unwrap().click();
    window.harness.run();
    assert!(window.harness.query_by_label_contains("What you logged above the canopy").is_some());
    assert!(window.harness.query_by_label_contains("A scenario is a text file in RON").is_none());
}
