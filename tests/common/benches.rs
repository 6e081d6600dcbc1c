//! Benches as growers build them, drawn from the shipped presets by a seed: every container, the media that such a container is filled with,
//! every crop, climate and feed, drip or flood, thirsty and modest. The same seed gives the same bench on every machine.
#![allow(dead_code, clippy::unwrap_used)] // helpers of checks stop at what fails

use fastrand::Rng;
use slakeline::engine::demand;
use slakeline::scenario::presets::Library;
use slakeline::scenario::resolve;
use slakeline::scenario::*;

/// The bench of a seed: one lane, two days.
pub fn bench(seed: u64, library: &Library) -> Scenario {
    let mut rng = Rng::with_seed(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x51AC_E11E);
    let mut container = pick(&mut rng, &library.containers).clone();
    fill(&mut rng, &mut container, library);
    if rng.u8(..8) == 0 {
        container.outlet_height_cm = *pick(&mut rng, &[1.0, 2.0, 3.0]);
    }
    let crop = pick(&mut rng, &library.crops).clone();
    let climate = pick(&mut rng, &library.climates).clone();
    let feed = Feed { ec: pick(&mut rng, &library.feeds[..]).ec };
    let litres = crop.canopy.map_or(0.5, |_| 1.0);
    let roots = match rng.u8(..4) {
        0 => Roots::Tapering { halves_every_cm: *pick(&mut rng, &[4.0, 10.0]) },
        1 => pick(&mut rng, &crop.stages).roots.clone(),
        _ => Roots::Uniform,
    };
    let lane = Lane {
        name: format!("{seed}: {} in {}", crop.name, container.name),
        plants: 1,
        valve: 0,
        crop: CropChoice::Preset(crop.name.clone()),
        demand: Demand::Measured { litres_per_day: litres, steady_share: 0.08 },
        roots,
        dose: 1.0,
        start: start(&mut rng, &container, library),
        targets: Targets::default(),
        probe: None,
        exchange: rng.u8(..6) > 0,
        boundaries: Boundaries::default(),
        container,
    };
    let mut scenario = Scenario {
        format: FORMAT,
        name: format!("bench {seed}"),
        note: String::new(),
        days: 2,
        light: climate.light,
        climate: Some(Climate::Typical(climate.climate.clone())),
        evaporation_mm_per_day: 2.0,
        feed,
        valves: vec![Valve::only(Vec::new())],
        pump: None,
        tank: None,
        lanes: vec![lane],
        solver: Solver::default(),
        changed_from: std::collections::BTreeMap::new(),
    };
    let ml = demand(&mut rng, &mut scenario, &crop);
    scenario.valves[0].schedule =
        if floods(&scenario.lanes[0].container, &mut rng) { flood_day(&mut rng, &scenario) } else { drip_day(&mut rng, &scenario, ml) };
    scenario
}

fn pick<'a, T>(rng: &mut Rng, from: &'a [T]) -> &'a T {
    &from[rng.usize(..from.len())]
}

/// Now and then another medium than the preset's: loose media in pots, bags and troughs, coir or wool in slabs.
fn fill(rng: &mut Rng, container: &mut Container, library: &Library) {
    if rng.bool() {
        return;
    }
    let lone = container.parts.len() == 1;
    let named = |words: &[&str]| -> Vec<String> {
        library.media.iter().map(|m| m.name.clone()).filter(|name| words.iter().any(|w| name.contains(w))).collect()
    };
    let wool = |part: &Part| matches!(&part.medium, MediumChoice::Preset(name) if name.contains("wool"));
    let media = if lone && wool(&container.parts[0]) {
        return;
    } else if lone {
        named(&["coir", "peat", "perlite", "pumice"])
    } else {
        named(&["coir", "wool, slab", "perlite"])
    };
    container.parts[0].medium = MediumChoice::Preset(pick(rng, &media).clone());
}

/// As rest, soaked or run in; with the feed's salt or stronger.
fn start(rng: &mut Rng, container: &Container, library: &Library) -> Start {
    let water = match rng.u8(..4) {
        0 => StartWater::AsWetted,
        1 => StartWater::AtCapacity,
        _ => {
            let volume = container.volume_per_plant_ml();
            let mean = |value: &dyn Fn(&Curve) -> f64| -> f64 {
                let of = |p: &Part| value(&resolve::medium(&p.medium, library).unwrap().curve) * p.volume_per_plant_ml();
                container.parts.iter().map(of).sum::<f64>() / volume
            };
            let (low, high) = (mean(&Curve::theta_r), mean(&Curve::theta_s));
            StartWater::Mean(low + (0.35 + 0.5 * rng.f64()) * (high - low))
        }
    };
    let salt = if rng.bool() { StartSalt::Feed } else { StartSalt::Ec(*pick(rng, &[1.0, 2.5, 4.0, 6.0])) };
    Start { water, salt, ..Start::default() }
}

/// Sets what the plants ask for, from the climate or as measured, and returns it, mL a plant and day.
fn demand(rng: &mut Rng, scenario: &mut Scenario, crop: &Crop) -> f64 {
    // Modest to thirsty: a young plant, a plant that shades itself, a full one, one in a hot house.
    let scale = *pick(rng, &[0.3, 0.7, 1.0, 1.0, 1.3]);
    scenario.lanes[0].demand = Demand::Climate { leaf_area_index: None, plants_per_m2: None, scale };
    let computed = demand::of(&scenario.lanes[0].demand, crop, scenario).transpiration_ml(0.0, DAY_S);
    // A plant uses no more than three quarters of what its container holds: nobody grows a tomato in a herb pot.
    let most = 0.75 * scenario.lanes[0].container.volume_per_plant_ml();
    let ml = computed.min(most);
    if ml < computed {
        scenario.lanes[0].demand = Demand::Climate { leaf_area_index: None, plants_per_m2: None, scale: (scale * ml / computed).max(0.05) };
    }
    if rng.bool() {
        scenario.lanes[0].demand = Demand::Measured { litres_per_day: (ml * 1e-3 * 1000.0).round() / 1000.0, steady_share: 0.08 };
    }
    ml
}

/// Flood tables carry small pots and blocks.
fn floods(container: &Container, rng: &mut Rng) -> bool {
    let low = container.height_cm() <= 17.0 && container.parts.len() == 1;
    container.name.contains("flood") || (low && rng.u8(..3) == 0)
}

fn flood_day(rng: &mut Rng, scenario: &Scenario) -> Vec<Event> {
    let (on, off) = (scenario.light.on.seconds(), scenario.light.off.seconds());
    let count = rng.u32(1..=5);
    let depth_cm = *pick(rng, &[1.0, 2.0, 3.0, 4.0, 5.0]);
    let seconds = 60 * rng.u32(5..=20);
    let gap = (off - on - 3600.0) / f64::from(count);
    (0..count)
        .map(|k| Event {
            start: at(on + 1800.0 + gap * (f64::from(k) + 0.3 * rng.f64())),
            seconds,
            give: Give::Flood { depth_cm },
            ec: None,
            days: OnDays::ALL,
        })
        .collect()
}

fn drip_day(rng: &mut Rng, scenario: &Scenario, use_ml: f64) -> Vec<Event> {
    let (on, off) = (scenario.light.on.seconds(), scenario.light.off.seconds());
    // Short of the use, just enough, and with much drain.
    let ml = use_ml * *pick(rng, &[0.8, 1.1, 1.3, 1.6]);
    let volume = scenario.lanes[0].container.volume_per_plant_ml();
    // Two to six percent of the container at a time.
    let count = (ml / (volume * (0.02 + 0.04 * rng.f64()))).round().clamp(1.0, 30.0);
    let (first, last) = (on + 1800.0 * f64::from(rng.u32(0..4)), off - 1800.0 * f64::from(rng.u32(1..6)));
    let gap = (last - first) / count;
    let emitter_ml_s = *pick(rng, &[1.0, 2.0, 3.0]) / 3.6;
    let each = ml / count;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let seconds = ((each / emitter_ml_s).round() as u32).clamp(20, (0.9 * gap) as u32);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let count = count as u32;
    (0..count)
        .map(|k| Event { start: at(first + gap * f64::from(k)), seconds, give: Give::Drip { ml: each }, ec: None, days: OnDays::ALL })
        .collect()
}

fn at(seconds: f64) -> Clock {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    Clock::from_seconds((seconds / 60.0).round() as u32 * 60)
}
