//! Water that runs straight through and picks salt up: washout in closed form, and what leaves with it.

use slakeline::scenario::presets::Library;
use slakeline::scenario::{Clock, CropChoice, Event, MediumChoice, Scenario, StartSalt, StartWater, resolve};

use crate::common::{advance, case, require, simulation};

/// A block without a plant, mixed nearly well, and given 2 L from 04:00 to 16:00, of which a share runs straight through.
fn block(channelling: f64, pick_up: f64) -> Scenario {
    let library = Library::shipped();
    let mut scenario = case("leaching");
    scenario.valves[0].schedule = vec![Event::drip(Clock::hm(4, 0), 720, 2000.0)];
    scenario.feed.ec = 1.0;
    let lane = &mut scenario.lanes[0];
    let CropChoice::Custom(crop) = &mut lane.crop else { panic!("a crop of its own") };
    crop.uptake_ec = 0.0;
    lane.demand = slakeline::scenario::Demand::Measured { litres_per_day: 0.0, steady_share: 1.0 };
    lane.start.salt = StartSalt::Ec(6.0);
    lane.start.water = StartWater::AtCapacity;
    let part = &mut lane.container.parts[0];
    let mut medium = resolve::medium(&part.medium, &library).unwrap();
    (medium.dispersivity_cm, medium.diffusion_cm2_s) = (100.0, 0.1);
    (medium.channelling, medium.channel_pick_up) = (channelling, pick_up);
    part.medium = MediumChoice::Custom(Box::new(medium));
    scenario
}

/// A well-mixed root zone loses what is above the feed's EC as e^(−V/Vw) with the volume V that enters it or changes places with what
/// is in it: (1 − β + p·β) of what is given (closed form, after check 7). Tolerance 0.002 of the start.
#[test]
fn what_runs_through_washes_out_its_share() {
    for (channelling, pick_up) in [(0.5, 0.0), (0.5, 0.3), (0.5, 1.0), (0.9, 0.6)] {
        let mut simulation = simulation(&block(channelling, pick_up));
        for hour in [8.0, 12.0, 16.0] {
            advance(&mut simulation, hour * 3600.0);
            let given = 2000.0 * (hour - 4.0) / 12.0;
            let ledger = simulation.ledger();
            let counts = given * (1.0 - channelling + pick_up * channelling);
            let expected = (-counts / ledger.water_stored).exp();
            let left = (ledger.salt_stored / ledger.water_stored - 1.0) / 5.0;
            let what = format!("left at {hour:.0} h, β {channelling}, p {pick_up}");
            require("7 Channelled", &what, (left - expected).abs(), 0.002, "share");
        }
    }
}

/// In each step, what runs through leaves with c_f + p·(c_root − c_f): between that with the root zone's EC before the step and that
/// with the EC after it. A root zone weaker than the feed takes salt from it.
#[test]
fn it_leaves_with_its_share_of_the_root_zones_ec() {
    for (start, feed) in [(6.0, 1.0), (0.2, 3.0)] {
        let mut scenario = block(0.5, 0.4);
        scenario.lanes[0].start.salt = StartSalt::Ec(start);
        scenario.feed.ec = feed;
        let mut simulation = simulation(&scenario);
        let mean = |s: &slakeline::engine::run::simulation::Simulation| s.ledger().salt_stored / s.ledger().water_stored;
        let (mut before, mut then, mut seen) = (mean(&simulation), *simulation.ledger(), 0);
        let mut off = 0.0_f64;
        simulation
            .advance_to(16.0 * 3600.0, |s| {
                let (now, after) = (s.ledger().since(&then), mean(s));
                if now.water.channelled > 0.0 {
                    let leaves = now.salt.channelled / now.water.channelled;
                    let by = |root: f64| feed + 0.4 * (root - feed);
                    let (low, high) = (by(before).min(by(after)), by(before).max(by(after)));
                    off = off.max(low - leaves).max(leaves - high);
                    seen += 1;
                }
                (before, then) = (after, *s.ledger());
            })
            .unwrap();
        assert!(seen > 20, "{seen} steps");
        require("7 Channelled", &format!("leaves with, start {start}, feed {feed}"), off, 1e-6, "mS/cm");
        assert!(simulation.ledger().salt_closure() <= 1e-9);
    }
}
