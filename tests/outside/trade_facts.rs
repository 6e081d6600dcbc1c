//! Check 11: what growers know, on the shipped media. Common practice, no source.
//!
//! That stone wool flushes in fewer volumes than coir stands in `washout`. "Solution feed pH 5.8–6.2" is not modelled: the
//! program holds no pH.

use slakeline::engine::column::capacity::{at_rest, container_capacity};
use slakeline::engine::run::Ready;
use slakeline::figures::Aims;
use slakeline::figures::day::{DayFigures, day_figures};
use slakeline::figures::lean::{Steered, lean};
use slakeline::physics::hydraulics::Main;
use slakeline::scenario::presets::Library;
use slakeline::scenario::{Clock, Event, Scenario, StartWater};

use crate::common::{advance, case, read, ready, require};

/// Stone wool holds 8–10 times its own weight of water at working moisture: a slab that holds so much stands in its working
/// range. At rest over its outlet, wetted by drip, 8 times is still free of water stress (above −60 cm everywhere), 10 times
/// does not drain yet (less than the slab keeps), and either leaves more than 10 % air. Heavier or lighter wool, or another
/// curve, would fail this. What the demo's block and slab come to is told beside it.
#[test]
fn stone_wool_holds_eight_to_ten_times_its_weight() {
    for times in [8.0, 10.0] {
        let mut scenario = case("washout");
        scenario.valves[0].schedule.clear();
        let own = Library::shipped().medium("stone wool, slab").unwrap().bulk_density_kg_m3;
        let theta = times * own / 1000.0;
        scenario.lanes[0].start.water = StartWater::Mean(theta);
        let lane = &ready(&scenario)[0];
        let mut simulation = lane.simulation();
        advance(&mut simulation, 86_400.0);
        let held = simulation.ledger().water_stored / lane.column.volume;
        require("11 Trade", &format!("slab at {times} times its weight keeps it"), (held - theta).abs(), 1e-3, "m³/m³");
        let driest = simulation.state().head.iter().copied().fold(0.0, f64::min);
        assert!(driest > lane.column.crop.stress.begins_cm, "{times} times: {driest} cm");
        assert!(lane.column.porosity() - held > 0.10);
    }
    // More than the slab keeps, even wetted by drip: 12.5 times drains.
    let kept = at_rest_by_weight(&case("washout"));
    println!("| 11 Trade | slab at rest, wetted by drip: times its own weight | {kept:.2} | > 10 | kg/kg |");
    assert!(kept > 10.0 && kept < 12.5);
    let scenario = read("demo/1-aubergine-two-root-zones.ron");
    let lane = &ready(&scenario)[0];
    let run = lane.run(3);
    let samples = run.series.span(2.0 * 86_400.0, 3.0 * 86_400.0);
    let mean: f64 =
        samples.windows(2).map(|w| 0.5 * (w[0].water_content + w[1].water_content) * (w[1].time_s - w[0].time_s) / 86_400.0).sum();
    println!("| 11 Trade | demo block on slab, day 3: times its own weight (told only) | {:.2} | 8–10 | kg/kg |", by_weight(lane, mean));
}

/// Water per dry weight at a mean water content, kg/kg.
fn by_weight(lane: &Ready, theta: f64) -> f64 {
    let column = &lane.column;
    let own = column.layers.iter().map(|l| l.volume * column.parts[l.part].medium.bulk_density_kg_m3).sum::<f64>() / column.volume;
    1000.0 * theta / own
}

fn at_rest_by_weight(scenario: &Scenario) -> f64 {
    let lane = &ready(scenario)[0];
    by_weight(lane, lane.column.mean(&at_rest(&lane.column, Main::Wetting, 0.0)))
}

/// The published anchors of the shipped slab: 12.4 kg/kg full and 11.2 kg/kg at −1 kPa (Acta Agrophysica 2007,
/// 10(1):113–120, published). Tolerance 15 %: sources of one medium differ by a factor of two, and the
/// preset is a generic fit.
#[test]
fn stone_wool_meets_its_anchors() {
    let lane = &ready(&case("washout"))[0];
    let part = &lane.column.parts[0];
    let (medium, own) = (&part.hydraulics, part.medium.bulk_density_kg_m3);
    let at = |suction| 1000.0 * medium.theta(medium.main(Main::Drying, suction).0) / own;
    require("11 Trade", "stone wool full against 12.4 kg/kg", (at(0.0) / 12.4 - 1.0).abs(), 0.15, "relative");
    require("11 Trade", "stone wool at −1 kPa against 11.2 kg/kg", (at(10.2) / 11.2 - 1.0).abs(), 0.15, "relative");
}

/// Drained, a stone-wool slab keeps air: a little after soaking, at least 10 % when wetted by drip. And it exchanges nothing.
#[test]
fn stone_wool_keeps_air_and_exchanges_nothing() {
    for name in ["stone wool, slab", "stone wool, block"] {
        let medium = Library::shipped().medium(name).unwrap().clone();
        assert_eq!((medium.exchange_ml_per_g, medium.cec_cmol_kg), (0.0, 0.0), "{name}");
    }
    let lane = &ready(&case("washout"))[0];
    let soaked = lane.column.porosity() - container_capacity(&lane.column);
    let dripped = lane.column.porosity() - lane.column.mean(&at_rest(&lane.column, Main::Wetting, 0.0));
    println!("| 11 Trade | air of a drained 7.5 cm slab: soaked, dripped | {soaked:.3} {dripped:.3} | | m³/m³ |");
    assert!(soaked > 0.02 && dripped > 0.10, "soaked {soaked}, dripped {dripped}");
}

/// Coir, peat and coir/perlite exchange; their retardation at container capacity is what was set out (about 1.3 coir, 1.5 peat;
/// judgement). Tolerance 0.1.
#[test]
fn coir_and_peat_hold_salt_back() {
    for (name, retardation) in [("coir pith", 1.3), ("peat/perlite 70:30", 1.5)] {
        let mut scenario = case("drained");
        scenario.lanes.truncate(1);
        scenario.lanes[0].container.parts[0].medium = slakeline::scenario::MediumChoice::Preset(name.to_owned());
        scenario.lanes[0].container.parts[0].height_cm = 15.0;
        let lane = &ready(&scenario)[0];
        let r = 1.0 + lane.column.layers[0].held_salt / container_capacity(&lane.column);
        require("11 Trade", &format!("retardation of {name} (R = {r:.2})"), (r - retardation).abs(), 0.1, "");
    }
}

/// The figures of the second day of the first lane.
fn figures(scenario: &Scenario) -> DayFigures {
    let run = ready(scenario)[0].run(2);
    assert!(run.error.is_none());
    day_figures(&run, &scenario.lanes[0], 1).unwrap()
}

/// Of two root zones under the same events and the same demand the smaller one dries further, in points and in percent of its
/// peak, whatever the medium.
#[test]
fn the_smaller_root_zone_dries_further() {
    for medium in Library::shipped().media {
        let dry_back = |width_cm| {
            let mut scenario = read("demo/1-aubergine-two-root-zones.ron");
            scenario.lanes.truncate(1);
            let parts = &mut scenario.lanes[0].container.parts;
            parts.remove(0);
            parts[0].medium = slakeline::scenario::MediumChoice::Preset(medium.name.clone());
            parts[0].shape = slakeline::scenario::Shape::Rectangular { length_cm: 20.0, width_cm };
            scenario.lanes[0].start = slakeline::scenario::Start::default();
            scenario.lanes[0].targets = slakeline::scenario::Targets::default();
            figures(&scenario).dry_back.unwrap()
        };
        let (small, large) = (dry_back(15.0), dry_back(30.0));
        let both = small.points > 1.2 * large.points && small.percent_of_peak > 1.2 * large.percent_of_peak;
        assert!(both, "{}: small {small:?}, large {large:?}", medium.name);
    }
}

/// More dry-back leans generative, less leans vegetative: the same day with its last event three hours earlier dries back
/// further, and leans further to the generative side; dry-back's own part of the lean with it.
#[test]
fn more_dry_back_leans_generative() {
    let scenario = |last: u32| {
        let mut scenario = read("demo/1-aubergine-two-root-zones.ron");
        scenario.valves[0].schedule = (8..=last).map(|h| Event::drip(Clock::hm(h, 15), 5, 1900.0 / f64::from(last - 7))).collect();
        scenario
    };
    let lean_of = |scenario: &Scenario| {
        let f = figures(scenario);
        let light_s = Some(scenario.light.on.seconds());
        let dry_back = Aims::set(&scenario.lanes[0].targets).dry_back_points;
        let l =
            lean(&f, &scenario.lanes[0], Steered { events: &scenario.valves[0].schedule, light_s, feed_ec: scenario.feed.ec, dry_back });
        let part = |name: &str| l.parts.iter().find(|p| p.name == name).unwrap().push;
        (f.dry_back.unwrap().points, part("dry-back"), l.sum.unwrap())
    };
    let (early, late) = (lean_of(&scenario(13)), lean_of(&scenario(18)));
    println!("| 11 Trade | dry-back (points) and lean: last event 13:15, last 18:15 | {early:.2?} {late:.2?} | | |");
    assert!(early.0 > late.0 + 0.5 && early.1 > late.1 && early.2 > late.2, "{early:?} {late:?}");
    assert!(late.1 < 1.0 && early.1 > -1.0, "the scale is not stuck at an end");
}
