//! Benches as growers build them, and as they go wrong: too little water, too much of it, too much salt, several at once, and values that
//! meet. The same seed gives the same bench on every machine. Declare `benches` beside it.
#![allow(dead_code, clippy::unwrap_used)] // helpers of checks stop at what fails

use fastrand::Rng;
use slakeline::scenario::presets::Library;
use slakeline::scenario::resolve;
use slakeline::scenario::*;

use super::benches;

/// The bench of a seed: one lane, two days.
pub fn bench(seed: u64, library: &Library) -> Scenario {
    let mut rng = Rng::with_seed(seed.wrapping_mul(0xD6E8_FEB8_6659_FD93) ^ 0x0BAD_CAFE);
    let mut scenario = benches::bench(seed, library);
    match seed % 8 {
        0 => {}
        1 => dry(&mut rng, &mut scenario),
        2 => wet(&mut rng, &mut scenario),
        3 => salty(&mut rng, &mut scenario, library),
        4 => {
            dry(&mut rng, &mut scenario);
            salty(&mut rng, &mut scenario, library);
        }
        5 => {
            wet(&mut rng, &mut scenario);
            salty(&mut rng, &mut scenario, library);
        }
        6 => few_large(&mut rng, &mut scenario),
        _ => meeting(&mut rng, &mut scenario, library),
    }
    let problems = scenario.validate(library);
    assert!(problems.is_empty(), "bench {seed}: {problems:?}");
    scenario
}

fn pick<T: Copy>(rng: &mut Rng, from: &[T]) -> T {
    from[rng.usize(..from.len())]
}

/// The crop of the bench as values of its own, changed.
pub fn with_crop(scenario: &Scenario, library: &Library, change: impl FnOnce(&mut Crop)) -> Scenario {
    let mut scenario = scenario.clone();
    let mut crop = resolve::crop(&scenario.lanes[0].crop, library).unwrap();
    change(&mut crop);
    scenario.lanes[0].crop = CropChoice::Custom(Box::new(crop));
    scenario
}

/// Events left out, or none at all, and a root zone that begins dry.
fn dry(rng: &mut Rng, scenario: &mut Scenario) {
    let keep = pick(rng, &[0, 1, 1, 2]);
    let mut at = 0;
    scenario.valves[0].schedule.retain(|_| {
        at += 1;
        keep > 0 && at % (keep + 1) == 0
    });
    if rng.bool() {
        scenario.lanes[0].start.water = StartWater::Head(-pick(rng, &[60.0, 100.0, 200.0, 400.0]));
    }
}

/// An outlet that is too high, more water than is used, or events in the night.
fn wet(rng: &mut Rng, scenario: &mut Scenario) {
    let container = &mut scenario.lanes[0].container;
    let height = container.height_cm();
    let first = container.parts[0].height_cm;
    container.outlet_height_cm = (first * pick(rng, &[0.3, 0.6, 0.9])).min(0.9 * height);
    if rng.bool() {
        scenario.lanes[0].dose = pick(rng, &[1.5, 2.5]);
    }
    if rng.bool() {
        scenario.lanes[0].start.water = StartWater::AtCapacity;
    }
}

/// A feed or a start beyond what the crop bears.
fn salty(rng: &mut Rng, scenario: &mut Scenario, library: &Library) {
    let crop = resolve::crop(&scenario.lanes[0].crop, library).unwrap();
    let from = crop.stress.salt.map_or(4.0, |s| 2.0 * s.threshold_ece);
    if rng.bool() {
        scenario.feed.ec = from * pick(rng, &[1.1, 1.6]);
    }
    scenario.lanes[0].start.salt = StartSalt::Ec(from * pick(rng, &[1.0, 1.2, 1.6, 2.2]));
}

/// The day's water in one or two events: dry above and wet below.
fn few_large(rng: &mut Rng, scenario: &mut Scenario) {
    let sum: f64 = scenario.valves[0].schedule.iter().filter_map(Event::ml).sum();
    if sum <= 0.0 {
        return;
    }
    let (on, off) = (scenario.light.on.seconds(), scenario.light.off.seconds());
    let count = rng.u32(1..=2);
    let event = |k: u32| Event {
        start: Clock::from_hours(
            (on + (off - on) * pick(&mut Rng::with_seed(u64::from(k)), &[0.1, 0.5, 0.8]) + 3600.0 * f64::from(k)) / 3600.0,
        ),
        seconds: 1200,
        give: Give::Drip { ml: sum / f64::from(count) },
        ec: None,
        days: OnDays::ALL,
    };
    scenario.valves[0].schedule = (0..count).map(event).collect();
    scenario.sort_schedule();
    if scenario.valves[0].schedule.windows(2).any(|w| w[0].end_s() >= w[1].start_s()) {
        scenario.valves[0].schedule.truncate(1);
    }
}

/// Values that meet: an EC and the crop's threshold, a suction and where uptake begins to fall, no compensation, no demand, no event.
fn meeting(rng: &mut Rng, scenario: &mut Scenario, library: &Library) {
    let compensation = pick(rng, &[1.0, 1.0, 0.6, 0.05]);
    *scenario = with_crop(scenario, library, |crop| {
        crop.stress.compensation = compensation;
    });
    let CropChoice::Custom(crop) = scenario.lanes[0].crop.clone() else { return };
    let stress = crop.stress;
    if let Some(salt) = stress.salt.filter(|_| rng.bool()) {
        scenario.lanes[0].start.salt = StartSalt::Ec(2.0 * salt.threshold_ece);
        scenario.feed.ec = 2.0 * salt.threshold_ece;
    }
    if rng.bool() {
        scenario.lanes[0].start.water = StartWater::Head(pick(rng, &[stress.begins_cm, stress.stops_cm, 0.0]));
    }
    match rng.u8(..5) {
        0 => scenario.lanes[0].demand = Demand::Measured { litres_per_day: 0.0, steady_share: 0.08 },
        1 => scenario.valves[0].schedule.clear(),
        _ => {}
    }
}
