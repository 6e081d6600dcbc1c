//! How the studies' pages stand in narrow windows and in other units: no word is cut at its sides, and every value is in the units chosen.

use eframe::egui::Theme;
use egui_kittest::kittest::Queryable;
use slakeline::scenario::presets::demos;
use slakeline::scenario::{Scenario, file};
use slakeline::units::{EcUnit, LengthUnit, SuctionUnit, TemperatureUnit, Units, VolumeUnit};

use crate::hand::{OwnWindow, Start, click, frames_until};
use crate::painted::{cut, texts};

const US: Units = Units {
    volume: VolumeUnit::Us,
    length: LengthUnit::Inch,
    temperature: TemperatureUnit::Fahrenheit,
    ec: EcUnit::Ppm640,
    suction: SuctionUnit::Cm,
};

/// A bare block alone: it settles within days.
fn block() -> Scenario {
    let mut scenario = demos().remove(2).1;
    scenario.lanes.remove(0);
    scenario.days = 1;
    scenario
}

fn open(size: [f32; 2], units: Units) -> OwnWindow {
    let data = tempfile::tempdir().unwrap();
    let path = data.path().join("bench.ron");
    file::save(&block(), &path).unwrap();
    std::fs::write(data.path().join("units.ron"), file::options().to_string(&units).unwrap()).unwrap();
    let mut window = Start { path: Some(path), size, theme: Some(Theme::Dark), ..Start::default() }.in_folder(data);
    click(&mut window.harness, "Studies");
    window
}

/// Words that stand between others and end in a unit that was not chosen.
fn foreign(text: &str) -> bool {
    let words: Vec<&str> = text.split([' ', ',', ';', '.', '(', ')', '/', ':']).collect();
    let number = |w: &str| w.chars().next().is_some_and(|c| c.is_ascii_digit());
    text.contains("mS/cm") || words.windows(2).any(|w| number(w[0]) && ["L", "mL", "cm", "kPa"].contains(&w[1])) || text.contains("litre")
}

/// Begins what stands on a page and waits until it is told.
fn ask(window: &mut OwnWindow, page: &str, verb: &str) {
    click(&mut window.harness, page);
    window.harness.get_by_label(verb).click();
    window.harness.step();
    window.harness.step();
    frames_until(&mut window.harness, page, |w| {
        let s = w.state().studies();
        let begun = [s.grace.share(), s.schedule.share(), s.flush.share(), s.spread.share(), s.choice.share()];
        begun.iter().all(Option::is_none)
    });
    window.harness.run();
}

#[test]
fn every_value_of_a_study_is_in_the_units_chosen_and_no_word_is_cut() {
    // Tall enough for a page to be drawn whole, as narrow as a window may be, and narrower for text twice as large.
    let mut cut_there = Vec::new();
    for width in [640.0, 800.0, 1280.0] {
        let mut window = open([width, 2400.0], US);
        for (page, verb) in
            [("Grace time", "Find out"), ("Schedule finder", "Find a schedule"), ("Flush", "Find out"), ("Spread", "Find out")]
        {
            ask(&mut window, page, verb);
            let texts = texts(&window.harness.output().shapes);
            assert!(texts.len() > 30, "{page}: only {} texts", texts.len());
            let foreign: Vec<&str> = texts.iter().map(|p| p.text.as_str()).filter(|t| foreign(t)).collect();
            assert_eq!(foreign, [""; 0], "{page} at {width}");
            cut_there.extend(cut(&texts).into_iter().map(|text| format!("{page} at {width}: {text}")));
        }
        let ppm = |w: &OwnWindow| texts(&w.harness.output().shapes).iter().filter(|p| p.text.contains("ppm (640)")).count();
        click(&mut window.harness, "Flush");
        assert!(ppm(&window) >= 3, "salt is told in ppm");
    }
    assert_eq!(cut_there, Vec::<String>::new());
}

/// What stands on a page is asked in the data's own units: the words change with the units, the question and its answer do not.
#[test]
fn a_question_asked_in_other_units_is_the_same_question() {
    let [metric, us] = [Units::default(), US].map(|units| {
        let mut window = open([1280.0, 1600.0], units);
        ask(&mut window, "Flush", "Find out");
        let found = window.app().studies().flush.answer().unwrap().found.as_ref().unwrap().clone();
        (found[0].from_above.litres_per_plant, found[0].from_above.final_ec)
    });
    assert_eq!(metric, us);
}

#[test]
fn what_is_foreign_is_seen() {
    assert!(["EC 2.3 mS/cm", "rinsed with 2.5 L a plant", "0 L", "4 kPa", "litres a plant"].iter().all(|t| foreign(t)));
    assert!(!["0.6 gal a plant", "1280 ppm (640)", "L", "12 cmol"].iter().any(|t| foreign(t)));
}
