//! A medium of one's own, driven without a display: it opens with plain questions, letters and answers are one medium, and what cannot be had
//! together is told.

use eframe::egui::accesskit::Role;
use egui_kittest::kittest::{NodeT, Queryable};
use slakeline::edits::drained::{air, water};
use slakeline::scenario::{Curve, Medium, MediumChoice};
use slakeline::studies::dripping::minutes;

use crate::hand::{Window, choose, click, open_at, scenario, type_number, undo_name};
use crate::presets::says;

const ADVANCED: &str = "Advanced: all its values";
const LETTERS: [&str; 5] = ["α, 1/cm", "n", "l", "Held too tightly", "Lets through"];

fn medium(window: &Window) -> Medium {
    match &scenario(window).lanes[0].container.parts[0].medium {
        MediumChoice::Custom(medium) => Medium::clone(medium),
        other => panic!("{other:?}"),
    }
}

fn offered(window: &Window, label: &str) -> bool {
    window.query_all_by_role_and_label(Role::SpinButton, label).next().is_some()
}

fn shown(window: &Window, label: &str) -> f64 {
    let field = window.get_all_by_role_and_label(Role::SpinButton, label).next().unwrap_or_else(|| panic!("{label}"));
    field.accesskit_node().value().unwrap().split_whitespace().next().unwrap().parse().unwrap()
}

fn opened(data: &std::path::Path) -> Window {
    let mut window = open_at(data, 2600.0);
    click(&mut window, "Container and medium");
    let slab = window.query_all_by_label_contains(" · ").find(|n| n.accesskit_node().label().is_some_and(|l| l.starts_with("Slab · ")));
    slab.unwrap().click();
    window.run();
    choose(&mut window, "Medium", "own values…");
    window
}

#[test]
fn it_opens_with_plain_questions_and_the_letters_wait_under_advanced() {
    let data = tempfile::tempdir().unwrap();
    let mut window = opened(data.path());
    for question in ["Test height", "Water kept", "Air kept", "Drips for"] {
        assert!(offered(&window, question), "{question}");
    }
    assert!(LETTERS.iter().all(|letter| !offered(&window, letter)));
    click(&mut window, ADVANCED);
    assert!(LETTERS.iter().all(|letter| offered(&window, letter)));
}

#[test]
fn answers_and_letters_are_one_medium() {
    let data = tempfile::tempdir().unwrap();
    let mut window = opened(data.path());
    click(&mut window, ADVANCED);
    let height = scenario(&window).lanes[0].container.parts[0].height_cm;
    assert!((shown(&window, "Test height") - height).abs() < 1e-9, "it is told for the part that it fills");
    // Another height changes no value, and tells what a container of it would keep.
    let before = medium(&window);
    type_number(&mut window, "Test height", "20");
    assert_eq!(Medium { told_at_cm: None, ..medium(&window) }, before);
    assert!((shown(&window, "Water kept") - 100.0 * water(&before, 20.0)).abs() < 0.051);
    // What is answered is what is then shown and set, and the other answers stay.
    for (label, text) in [("Water kept", "55.5"), ("Air kept", "31"), ("Drips for", "12.5"), ("Water kept", "48")] {
        let others: Vec<(&str, f64)> = ["Water kept", "Air kept", "Drips for", "Test height"]
            .into_iter()
            .filter(|other| *other != label)
            .map(|other| (other, shown(&window, other)))
            .collect();
        type_number(&mut window, label, text);
        assert_eq!(shown(&window, label), text.parse::<f64>().unwrap(), "{label}");
        for (other, was) in others {
            assert!((shown(&window, other) - was).abs() < 0.011 * was.max(1.0), "{label}: {other} was {was}, is {}", shown(&window, other));
        }
        assert!(undo_name(&window).contains(text), "{}", undo_name(&window));
    }
    let now = medium(&window);
    assert!((water(&now, 20.0) - 0.48).abs() < 1e-6 && (air(&now, 20.0) - 0.31).abs() < 1e-6);
    assert!((minutes(&now, 20.0).unwrap() - 12.5).abs() < 1e-6);
    assert!(now.name.starts_with("changed from "), "{}", now.name);
    // The letters shown are those set, and a letter that is changed changes the answers.
    let Curve::VanGenuchten { alpha_per_cm, .. } = now.curve else { panic!() };
    assert!((shown(&window, "α, 1/cm") - alpha_per_cm).abs() < 1e-4);
    type_number(&mut window, "α, 1/cm", &format!("{:.4}", 0.5 * alpha_per_cm));
    assert!(shown(&window, "Water kept") > 48.05, "less suction drains less");
    assert!((shown(&window, "Water kept") - 100.0 * water(&medium(&window), 20.0)).abs() < 0.051);
    let slower = medium(&window).curve.ks_cm_per_day() / 2.0;
    let dripped = shown(&window, "Drips for");
    type_number(&mut window, "Lets through", &format!("{slower:.2}"));
    assert!((shown(&window, "Drips for") / dripped - 2.0).abs() < 0.01, "half as fast, twice as long");
}

#[test]
fn what_cannot_be_had_together_is_told() {
    let data = tempfile::tempdir().unwrap();
    let mut window = opened(data.path());
    type_number(&mut window, "Test height", "20");
    type_number(&mut window, "Water kept", "60");
    type_number(&mut window, "Air kept", "30");
    let before = medium(&window);
    type_number(&mut window, "Air kept", "45");
    assert!(says(&window, "Beside 60.0 % of water there is room for 39.0 % of air: no more than 99 % of a medium are pores."));
    assert_eq!(medium(&window), before);
}
