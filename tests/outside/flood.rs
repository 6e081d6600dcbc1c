//! Flood feeding and evaporation: where the salt goes. The expectations are physical.

use slakeline::scenario::{Clock, Demand, Event, Give, MediumChoice, Scenario, StartSalt, StartWater, Walls};

use crate::common::{advance, case, ready, require, simulation};

/// EC at the top over EC at the base, and the whole salt, after some days.
fn after(scenario: &Scenario, days: u32) -> (f64, f64, f64) {
    let mut simulation = simulation(scenario);
    advance(&mut simulation, f64::from(days) * 86_400.0);
    let ec = &simulation.state().ec;
    (ec[ec.len() - 1], ec[0], simulation.ledger().salt_stored)
}

/// Water drawn up from below leaves its salt at the top: with floods the top is saltier than the base and than the feed, more
/// so with every week; watered from above with drain it is the base that is saltier.
#[test]
fn salt_rises_with_floods() {
    let flooded = case("flood");
    let (top, base, salt) = after(&flooded, 7);
    assert!(top > 1.5 * base && top > 1.5 * 1.8, "after a week {top} above, {base} below");
    let (later, _, more) = after(&flooded, 14);
    assert!(later > top + 0.5 && more > salt, "{top} after one week, {later} after two");
    let mut from_above = flooded.clone();
    from_above.valves[0].schedule = vec![Event::drip(Clock::hm(8, 0), 10, 110.0), Event::drip(Clock::hm(14, 0), 10, 110.0)];
    let (top, base, _) = after(&from_above, 14);
    assert!(base > top, "from above: {top} above, {base} below");
    println!("| Flood | top EC after 7 and 14 days of floods of EC 1.8 | {:.2} {later:.2} | | mS/cm |", after(&flooded, 7).0);
}

/// A rinse from above washes down what floods drew up: after two weeks of floods alone, one drip of plain water a day of about a third of
/// what the pot holds leaves less salt at the top than there was, and turns the column the right way up within three days (physical
/// reasoning: the top is where the water enters; common practice, no source, for doing so).
#[test]
fn a_rinse_from_above_washes_the_salt_down() {
    let scenario = case("flood");
    let lane = &ready(&scenario)[0];
    let mut simulation = lane.simulation();
    advance(&mut simulation, 14.0 * 86_400.0);
    let before = simulation.state().ec.clone();
    let holds = simulation.ledger().water_stored;
    let start = StartSalt::Layers(before.clone());
    let mut rinsed = scenario.clone();
    rinsed.lanes[0].start =
        slakeline::scenario::Start { water: StartWater::Layers(simulation.state().theta.clone()), salt: start, run_in_days: None };
    rinsed.valves[0].schedule = vec![Event { ec: Some(0.0), ..Event::drip(Clock::hm(9, 0), 30, holds / 3.0) }];
    let mut washed = ready(&rinsed)[0].simulation();
    advance(&mut washed, 3.0 * 86_400.0);
    let (top, base) = (before.len() - 1, 0);
    assert!(before[top] > 2.0 * before[base], "the floods left no crust: {before:?}");
    let after = &washed.state().ec;
    assert!(after[top] < 0.5 * before[top], "top {} from {}", after[top], before[top]);
    assert!(after[top] < after[base], "top {} base {}", after[top], after[base]);
    println!(
        "| 9 Flood table | top over base: {:.2} after floods, {:.2} after rinses | | | |",
        before[top] / before[base],
        after[top] / after[base]
    );
}

/// A flood wets what it reaches, both ways: a dry pot takes up solution through its outlet and gives none back until the table
/// is empty; a full pot takes none.
#[test]
fn a_flood_fills_a_dry_pot() {
    let mut scenario = case("flood");
    (scenario.evaporation_mm_per_day, scenario.lanes[0].demand) = (0.0, Demand::Measured { litres_per_day: 0.0, steady_share: 0.0 });
    scenario.lanes[0].start.water = StartWater::Head(-60.0);
    let lane = &ready(&scenario)[0];
    let mut simulation = lane.simulation();
    advance(&mut simulation, 8.0 * 3600.0);
    let before = *simulation.ledger();
    advance(&mut simulation, 8.0 * 3600.0 + 900.0);
    let flood = simulation.ledger().since(&before);
    assert!(flood.water.applied > 50.0 && flood.water.outlet < 1e-9, "{:?}", flood.water);
    // At the flood's end the base stands under pressure, and nothing is wetter than full.
    let state = simulation.state();
    assert!(state.head[0] > 2.0 && state.head[0] < 3.0, "{}", state.head[0]);
    advance(&mut simulation, 14.0 * 3600.0);
    let drained = simulation.ledger().since(&before).water.outlet;
    assert!(drained > 5.0 && drained < flood.water.applied, "{drained} mL of {} mL", flood.water.applied);
}

/// Walls that let a flood pass fill faster than a wrapped pot with a hole in its base.
#[test]
fn a_flood_enters_through_fabric() {
    let taken = |walls| {
        let mut scenario = case("flood");
        scenario.valves[0].schedule.truncate(1);
        scenario.valves[0].schedule[0].seconds = 30;
        scenario.valves[0].schedule[0].give = Give::Flood { depth_cm: 8.0 };
        scenario.lanes[0].start.water = StartWater::Head(-60.0);
        scenario.lanes[0].container.parts[0].walls = walls;
        let mut simulation = simulation(&scenario);
        advance(&mut simulation, 8.0 * 3600.0 + 30.0);
        simulation.ledger().water.applied
    };
    let (wrapped, open) = (taken(Walls::Wrapped), taken(Walls::Open));
    assert!(open > 1.5 * wrapped, "{wrapped} mL wrapped, {open} mL open");
}

/// Evaporation takes water and leaves the salt: without plant, drain or feed the salt stays to rounding while the water goes,
/// and EC rises as the water falls.
#[test]
fn evaporation_leaves_the_salt() {
    let mut scenario = case("flood");
    scenario.valves[0].schedule.clear();
    scenario.lanes[0].demand = Demand::Measured { litres_per_day: 0.0, steady_share: 0.0 };
    scenario.lanes[0].start.salt = StartSalt::Ec(2.0);
    scenario.lanes[0].exchange = false;
    scenario.lanes[0].container.parts[0].walls = Walls::Fabric;
    let mut simulation = simulation(&scenario);
    let (water, salt) = (simulation.ledger().water_stored, simulation.ledger().salt_stored);
    advance(&mut simulation, 5.0 * 86_400.0);
    let now = *simulation.ledger();
    let drained = now.water.outlet;
    require("Evaporation", "salt kept", ((now.salt_stored + now.salt.outlet) / salt - 1.0).abs(), 1e-9, "relative");
    assert!(now.water.evaporated > 50.0 && drained < 1.0, "{:?}", now.water);
    let mean_ec = now.salt_stored / now.water_stored;
    require("Evaporation", "mean EC", (mean_ec * now.water_stored / (2.0 * water) + now.salt.outlet / salt - 1.0).abs(), 1e-9, "relative");
    assert!(mean_ec > 2.1);
    // The layer that evaporates most is the saltiest.
    let ec = &simulation.state().ec;
    assert!(ec[ec.len() - 1] >= ec.iter().copied().fold(0.0, f64::max) - 1e-12, "{ec:?}");
}

/// Slits cut too high leave standing water below them, and so a wetter container.
#[test]
fn a_high_outlet_leaves_standing_water() {
    let held = |outlet_height_cm| {
        let mut scenario = case("washout");
        scenario.lanes[0].container.outlet_height_cm = outlet_height_cm;
        scenario.lanes[0].container.parts[0].medium = MediumChoice::Preset("stone wool, slab".to_owned());
        let mut simulation = simulation(&scenario);
        advance(&mut simulation, 86_400.0);
        (simulation.ledger().water_stored / simulation.column().volume, simulation.state().head[0], simulation.column().layers[0].z)
    };
    let (low, _, _) = held(0.0);
    let (high, head, centre) = held(2.0);
    // The base stands 2 cm (less half a layer) under the outlet's level.
    require("Outlet", "head at the base under an outlet at 2 cm", (head - (2.0 - centre)).abs(), 0.05, "cm");
    assert!(high > low + 0.01, "{low} with the outlet in the base, {high} at 2 cm");
}
