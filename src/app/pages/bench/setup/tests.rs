//! The whole side, unfolded: what every field offers is a scenario that can be run, in any units.

use eframe::egui::accesskit::{Action as Ask, ActionData, ActionRequest, Role};
use eframe::egui::{Event, Key, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};

use crate::app::actions::action::Action;
use crate::app::look::painted::{cut, overlapping, texts};
use crate::app::look::theme::{self, Tokens};
use crate::app::state::bench::Bench;
use crate::edits::document::Document;
use crate::scenario::presets::{Library, demos};
use crate::scenario::{
    Air, Climate, Clock, Component, CropChoice, Curve, Filled, Give, LightLevel, LightSum, Medium, MediumChoice, Parameter, Probe, Refill,
    Roots, Rule, SaltStress, Scenario, StartSalt, StartWater, Tank, Targets, TypicalDay, When, resolve,
};
use crate::units::{EcUnit, LengthUnit, SuctionUnit, TemperatureUnit, Units, VolumeUnit};

struct Side {
    bench: Bench,
    actions: Vec<Action>,
    dressed: bool,
}

/// A bench that shows every kind of field.
fn everything() -> Scenario {
    let library = Library::shipped();
    let mut s = demos().remove(0).1;
    let own = |choice: &MediumChoice, curve: Option<Curve>| {
        let medium = resolve::medium(choice, &library).unwrap();
        let curve = curve.unwrap_or(medium.curve);
        MediumChoice::Custom(Box::new(Medium { name: "own".to_owned(), porosity: 0.97, curve, ..medium }))
    };
    let mut third = s.lanes[1].clone();
    third.name = "Third".to_owned();
    let [first, second] = &mut s.lanes[..] else { panic!("two lanes") };
    let slab = first.container.parts[0].medium.clone();
    first.container.parts[0].medium = own(&slab, None);
    let mut crop = resolve::crop(&first.crop, &library).unwrap();
    crop.name = "own crop".to_owned();
    crop.stress.salt = Some(SaltStress { threshold_ece: 2.0, slope_percent: 5.0 });
    (crop.guide_feed_ec, crop.guide_root_zone_ec) = (Some(2.0), Some(3.0));
    first.crop = CropChoice::Custom(Box::new(crop));
    first.roots = Roots::ByHeight(vec![(0.0, 0.0), (5.0, 1.0), (10.0, 0.0)]);
    first.start.water = StartWater::Mean(0.6);
    first.start.salt = StartSalt::Ec(3.0);
    first.targets = Targets {
        water_content: Some((0.5, 0.8)),
        dry_back_points: Some((2.0, 8.0)),
        drain_percent: Some((10.0, 20.0)),
        root_zone_ec: Some((2.0, 4.0)),
        lowest_air: Some(0.1),
    };
    let part = |name: &str, percent| Component { medium: name.to_owned(), percent };
    second.container.parts[0].medium = MediumChoice::Mix(vec![part("coir pith", 50.0), part("coarse perlite", 30.0), part("pumice", 20.0)]);
    second.start.water = StartWater::Head(-20.0);
    second.start.run_in_days = Some(2);
    second.roots = Roots::Tapering { halves_every_cm: 10.0 };
    let gardner = Curve::Gardner { theta_s: 0.9, theta_r: 0.05, a_per_cm: 0.005, ks_cm_per_day: 500.0 };
    third.container.parts[0].medium = own(&slab, Some(gardner));
    let mut fourth = third.clone();
    fourth.name = "Fourth".to_owned();
    let haverkamp = Curve::Haverkamp { theta_s: 0.9, theta_r: 0.05, alpha: 1e6, beta: 3.96, a: 1e6, gamma: 4.74, ks_cm_per_day: 500.0 };
    fourth.container.parts[0].medium = own(&slab, Some(haverkamp));
    s.lanes.extend([third, fourth]);
    s.lanes[0].probe = Some(Probe { height_cm: 5.0, length_cm: 4.0 });
    s.lanes[1].probe = s.lanes[0].probe;
    let air = Air { celsius: 22.0, humidity_percent: 70.0 };
    let level = LightLevel::Sun { mj_per_m2: 15.0 };
    s.climate = Some(Climate::Typical(TypicalDay { name: "own".to_owned(), source: String::new(), level, by_day: air, by_night: air }));
    let rule = |when, give, ec| Rule { when, first: Clock::hm(8, 0), last: Clock::hm(17, 0), seconds: 300, give, ec };
    let dry = When::Dry { lane: s.lanes[0].name.clone(), falls_to: 0.6, pause_s: 900 };
    s.valves[0].rules = vec![
        rule(When::Light(LightSum::Joules(200.0)), Give::Drip { ml: 100.0 }, Some(1.0)),
        rule(When::Light(LightSum::Moles(5.0)), Give::Flood { depth_cm: 2.0 }, None),
        rule(dry, Give::Drip { ml: 100.0 }, None),
    ];
    let (refill, filled) = (Refill::Water { ec: 0.4 }, Filled::At(Clock::hm(5, 0)));
    s.tank = Some(Tank { litres: 200.0, start_ec: Some(2.0), refill, filled, drain_returns: true });
    assert_eq!(s.validate(&library), []);
    s
}

fn bench(units: Units) -> Bench {
    let mut bench = Bench::new(Library::shipped(), Document::opened(everything()));
    bench.units = units;
    bench
}

fn open(units: Units) -> Harness<'static, Side> {
    open_at(280.0, bench(units))
}

fn open_at(width: f32, bench: Bench) -> Harness<'static, Side> {
    let side = Side { bench, actions: Vec::new(), dressed: false };
    let builder = Harness::builder().with_size(vec2(width, 12_000.0)).with_max_steps(30).with_step_dt(0.2);
    let mut harness = builder.build_ui_state(
        |ui, side: &mut Side| {
            if !side.dressed {
                // The fonts are there from the next frame on.
                theme::install(ui.ctx());
                side.dressed = true;
                return;
            }
            super::show(ui, Tokens::now(ui.ctx()), &side.bench, None, &mut side.actions);
        },
        side,
    );
    harness.run();
    // Unfolded from the outside in.
    for heads in [
        &["Container and medium", "Crop and roots", "Lane, dose and start", "Targets", "Numerics", "Rule "][..],
        &[" · ", "Own crop values"],
        &["Advanced"],
    ] {
        for head in heads {
            for k in 0..harness.query_all_by_label_contains(head).count() {
                let node = harness.query_all_by_label_contains(head).nth(k).unwrap();
                let open = *head == "Crop and roots" && k == 0;
                // Cards are headed by "Lane 1 · …": a label, no fold.
                if !open && !name(&node).is_some_and(|l| l.starts_with("Lane ") && l.contains('·')) {
                    node.click();
                    harness.run();
                }
            }
        }
    }
    harness
}

fn name(node: &egui_kittest::Node<'_>) -> Option<String> {
    let node = node.accesskit_node();
    node.label().or(node.value())
}

/// What a field gives when assistive technology sets it to a value: the scenario it asks for.
fn set(harness: &mut Harness<'static, Side>, k: usize, value: f64) -> Option<(String, Scenario)> {
    harness.state_mut().actions.clear();
    let (target_node, target_tree) = harness.query_all_by_role(Role::SpinButton).nth(k).unwrap().accesskit_node().locate();
    let data = Some(ActionData::NumericValue(value));
    harness.event(Event::AccessKitActionRequest(ActionRequest { action: Ask::SetValue, target_tree, target_node, data }));
    harness.step();
    asked(harness)
}

/// The change that was just asked for.
fn asked(harness: &Harness<'static, Side>) -> Option<(String, Scenario)> {
    harness.state().actions.iter().find_map(|a| match a {
        Action::SetField(name, after) => Some((name.clone(), (**after).clone())),
        _ => None,
    })
}

const US: Units = Units {
    volume: VolumeUnit::Us,
    length: LengthUnit::Inch,
    temperature: TemperatureUnit::Fahrenheit,
    ec: EcUnit::Ppm640,
    suction: SuctionUnit::Cm,
};

fn ends_are_valid(units: Units) {
    let library = Library::shipped();
    let mut harness = open(units);
    let count = harness.query_all_by_role(Role::SpinButton).count();
    assert!(count > 120, "only {count} fields are unfolded");
    let (mut told, mut wrong) = (0, Vec::new());
    for k in 0..count {
        let node = harness.query_all_by_role(Role::SpinButton).nth(k).unwrap();
        let (label, node) = (name(&node).unwrap_or_default(), node.accesskit_node());
        let ends = [node.min_numeric_value().unwrap(), node.max_numeric_value().unwrap()];
        for end in ends {
            // A field that stands at its end already asks for nothing.
            let Some((name, after)) = set(&mut harness, k, end) else { continue };
            told += 1;
            let problems = after.validate(&library);
            if !problems.is_empty() {
                wrong.push(format!("{label} at {end} ({name}): {problems:?}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(told > count, "{told} changes from {count} fields");
}

#[test]
fn least_and_most_of_every_field_can_be_run() {
    ends_are_valid(Units::default());
}

#[test]
fn least_and_most_of_every_field_can_be_run_in_us_units() {
    ends_are_valid(US);
}

/// How far down a field follows others: roots and probe keep their place in a container that grows or shrinks, a probe's height its length.
fn follows(label: &str) -> u8 {
    let is_numbered = label.strip_prefix("Height ").is_some_and(|number| number.parse::<u32>().is_ok());
    if label == "Probe height" { 2 } else { u8::from(is_numbered || label == "Probe length") }
}

/// Asks many fields at once for something, in one frame, and makes what they ask for. Tells how many asked.
fn ask_all(harness: &mut Harness<'static, Side>, followers: u8, ask: impl Fn(f64, f64) -> (Ask, Option<f64>)) -> usize {
    harness.state_mut().actions.clear();
    let asked = harness.query_all_by_role(Role::SpinButton).filter(|node| follows(&name(node).unwrap_or_default()) == followers);
    let events: Vec<_> = asked
        .map(|node| {
            let node = node.accesskit_node();
            let (target_node, target_tree) = node.locate();
            let (action, value) = ask(node.min_numeric_value().unwrap(), node.max_numeric_value().unwrap());
            Event::AccessKitActionRequest(ActionRequest { action, target_tree, target_node, data: value.map(ActionData::NumericValue) })
        })
        .collect();
    harness.input_mut().events.extend(events);
    harness.step();
    let asked = std::mem::take(&mut harness.state_mut().actions);
    let sets: Vec<_> =
        asked.into_iter().filter_map(|a| if let Action::SetField(name, after) = a { Some((name, after)) } else { None }).collect();
    if let Some((name, after)) = sets.last() {
        harness.state_mut().bench.apply(name.clone(), Scenario::clone(after));
    }
    harness.run();
    sets.len()
}

/// Whatever fields are set to, they then show that very number: no digit more is kept than is shown.
fn shown_is_set(units: Units) {
    let mut harness = open(units);
    let count = harness.query_all_by_role(Role::SpinButton).count();
    // Odd numbers between the ends, near the lower one too, and a step of the arrow keys.
    for share in [Some(0.618_033_98), Some(0.012_345_67), None] {
        let ask = |least: f64, most: f64| match share {
            Some(share) => (Ask::SetValue, Some(least + share * (most - least))),
            None => (Ask::Increment, None),
        };
        let asked = (0..3).map(|followers| ask_all(&mut harness, followers, ask)).sum::<usize>();
        assert!(3 * asked > 2 * count, "{share:?} changes {asked} of {count} fields");
        let mut wrong = Vec::new();
        for node in harness.query_all_by_role(Role::SpinButton) {
            let (label, node) = (name(&node).unwrap_or_default(), node.accesskit_node());
            let (text, value) = (node.value().unwrap_or_default(), node.numeric_value().unwrap());
            // What is worked out from others, each of which shows what it is: set alone it is what was typed (`tests/app/own_medium.rs`).
            if ["Medium a plant", "Test height", "Water kept", "Air kept", "Drips for"].contains(&label.as_str()) {
                continue;
            }
            let shown = text.split_whitespace().next().and_then(|number| number.parse::<f64>().ok());
            if shown.is_none_or(|shown| (shown - value).abs() > 1e-9 * value.abs().max(1e-9)) {
                wrong.push(format!("{label}: shows {text:?}, is {value}"));
            }
        }
        assert!(wrong.is_empty(), "{share:?}:\n{}", wrong.join("\n"));
    }
}

/// An arrow key moves every field that is not at its end, by what can be seen.
fn arrows_move(units: Units) {
    let mut harness = open(units);
    let count = harness.query_all_by_role(Role::SpinButton).count();
    let mut still = Vec::new();
    for k in 0..count {
        let node = harness.query_all_by_role(Role::SpinButton).nth(k).unwrap();
        let before = node.accesskit_node().value().unwrap_or_default();
        let label = name(&node).unwrap_or_default();
        node.focus();
        harness.run_steps(2);
        let moved = [Key::ArrowUp, Key::ArrowDown].into_iter().any(|key| {
            harness.state_mut().actions.clear();
            harness.key_press(key);
            harness.step();
            asked(&harness).is_some_and(|(what, _)| !what.ends_with(&format!(" to {before}")))
        });
        if !moved {
            still.push(format!("{label} at {before}"));
        }
    }
    assert!(still.is_empty(), "{}", still.join("\n"));
}

#[test]
fn arrow_keys_move_every_field() {
    arrows_move(Units::default());
}

#[test]
fn what_is_shown_is_what_is_set() {
    shown_is_set(Units::default());
}

#[test]
fn what_is_shown_is_what_is_set_in_us_units() {
    shown_is_set(US);
}

#[test]
fn every_input_of_the_side_has_a_name() {
    let harness = open(Units::default());
    for role in [Role::SpinButton, Role::TextInput, Role::ComboBox, Role::CheckBox, Role::Button, Role::Image] {
        for node in harness.query_all_by_role(role) {
            assert!(name(&node).is_some_and(|l| !l.trim().is_empty()), "a {role:?} without a name: {node:?}");
        }
    }
}

#[test]
fn the_widest_values_run_into_no_label_in_any_units() {
    let library = Library::shipped();
    for end in [|range: (f64, f64)| range.0, |range: (f64, f64)| range.1] {
        let mut scenario = everything();
        let set = |s: &mut Scenario, p: &Parameter| s.set_parameter(&p.path, end(p.range), &library).is_ok();
        let count = everything().parameters(&library).iter().filter(|p| set(&mut scenario, p)).count();
        assert!(count > 100, "only {count} numbers stand at their ends");
        // Two lanes of one name: the bench is not run, which matters nothing here.
        scenario.lanes[1].name = scenario.lanes[0].name.clone();
        // The least and the usual width of the side, without its margins.
        for width in [204.0, 242.0] {
            let mut harness = open_at(width + 16.0, Bench::new(Library::shipped(), Document::opened(scenario.clone())));
            for units in all_units() {
                harness.state_mut().bench.units = units;
                harness.run();
                // A text that is typed may be longer than its field: it moves along in it.
                let typed: Vec<String> = harness.query_all_by_role(Role::TextInput).filter_map(|n| n.value()).collect();
                let mut texts = texts(&harness.output().shapes);
                texts.retain(|painted| !typed.contains(&painted.text));
                assert!(texts.len() > 300, "{} texts", texts.len());
                assert_eq!((cut(&texts), overlapping(&texts)), (vec![], vec![]), "{units:?} at {width}");
            }
        }
    }
}

/// Every way there is to show numbers.
fn all_units() -> Vec<Units> {
    let mut all = Vec::new();
    for volume in [VolumeUnit::Metric, VolumeUnit::Us] {
        for length in [LengthUnit::Cm, LengthUnit::Inch] {
            for temperature in [TemperatureUnit::Celsius, TemperatureUnit::Fahrenheit] {
                for ec in [EcUnit::MsCm, EcUnit::Ppm500, EcUnit::Ppm640, EcUnit::Ppm700] {
                    for suction in [SuctionUnit::Kpa, SuctionUnit::Cm] {
                        all.push(Units { volume, length, temperature, ec, suction });
                    }
                }
            }
        }
    }
    all
}
