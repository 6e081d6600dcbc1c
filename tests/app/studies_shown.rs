//! The studies' pages in other units: the words change with the units, the question and its answer do not.

use eframe::egui::Theme;
use egui_kittest::kittest::Queryable;
use slakeline::scenario::presets::demos;
use slakeline::scenario::{Scenario, file};
use slakeline::units::{EcUnit, LengthUnit, SuctionUnit, TemperatureUnit, Units, VolumeUnit};

use crate::hand::{OwnWindow, Start, click, frames_until};

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
