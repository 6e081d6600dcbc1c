//! Flushing a root zone: the engine between the two bounds of textbooks.

use slakeline::physics::salinity::well_mixed_washout;
use slakeline::scenario::{MediumChoice, Scenario};

use crate::common::{advance, case, require, simulation};

/// Share of the old salt left against volumes flushed (drain, over the water held when the flush began).
fn flush(scenario: &Scenario) -> Vec<(f64, f64)> {
    let mut simulation = simulation(scenario);
    let begin = 4.0 * 3600.0;
    advance(&mut simulation, begin - 600.0);
    let almost = simulation.ledger().water_stored;
    advance(&mut simulation, begin);
    let then = *simulation.ledger();
    assert!((then.water_stored / almost - 1.0).abs() < 1e-4, "the water has come to rest in its flow");
    (1..=720)
        .map(|minute| {
            advance(&mut simulation, begin + 60.0 * f64::from(minute));
            let now = simulation.ledger();
            let flushed = now.water.drained() - then.water.drained();
            (flushed / then.water_stored, now.salt_stored / then.salt_stored)
        })
        .collect()
}

/// Share left after some volumes.
fn left_after(curve: &[(f64, f64)], volumes: f64) -> f64 {
    let i = curve.partition_point(|p| p.0 < volumes);
    let (a, b) = (curve[i - 1], curve[i]);
    a.1 + (b.1 - a.1) * (volumes - a.0) / (b.0 - a.0)
}

/// Volumes until a share is left.
fn volumes_to(curve: &[(f64, f64)], share: f64) -> f64 {
    let i = curve.iter().position(|p| p.1 <= share).expect("flushed that far");
    let (a, b) = (curve[i - 1], curve[i]);
    a.0 + (b.0 - a.0) * (a.1 - share) / (a.1 - b.1)
}

fn in_medium(medium: &str) -> Scenario {
    let mut scenario = case("washout");
    scenario.lanes[0].container.parts[0].medium = MediumChoice::Preset(medium.to_owned());
    scenario
}

/// Check 7. Well-mixed limit e^(−V/Vw): .607/.368/.135/.050 at 0.5/1/2/3 (closed form; tolerance 6e-4, their rounding); plug
/// flow max(0, 1 − V/Vw) is the other bound. The engine lies between them, and at one volume clearly off both (0.03).
#[test]
fn flush_lies_between_the_bounds() {
    let curve = flush(&in_medium("stone wool, slab"));
    for (volumes, mixed) in [(0.5, 0.607), (1.0, 0.368), (2.0, 0.135), (3.0, 0.050)] {
        require("7 Washout", &format!("formula at {volumes}"), (well_mixed_washout(volumes) - mixed).abs(), 6e-4, "share");
    }
    let mut outside = 0.0_f64;
    for &(volumes, left) in &curve {
        let plug = (1.0 - volumes).max(0.0);
        outside = outside.max(plug - left).max(left - well_mixed_washout(volumes));
    }
    require("7 Washout", "outside the bounds by", outside, 1e-6, "share");
    let at_one = left_after(&curve, 1.0);
    println!("| 7 Washout | left after one volume (plug 0, mixed 0.368) | {at_one:.4} | | share |");
    assert!(at_one > 0.03 && at_one < 0.368 - 0.03, "{at_one}");
}

/// Check 11 (common practice, no source): stone wool has no exchange capacity, so it flushes in fewer volumes than coir; and
/// it is the exchange that does it: without it coir needs fewer volumes than with it.
#[test]
fn stone_wool_flushes_in_fewer_volumes_than_coir() {
    let volumes = |scenario: &Scenario| volumes_to(&flush(scenario), 0.1);
    let wool = volumes(&in_medium("stone wool, slab"));
    let coir = in_medium("coir pith");
    let mut bare = coir.clone();
    bare.lanes[0].exchange = false;
    let (coir, bare) = (volumes(&coir), volumes(&bare));
    println!("| 11 Trade | volumes to 10 % left: stone wool, coir without and with exchange | {wool:.3} {bare:.3} {coir:.3} | | |");
    assert!(wool < 0.9 * coir, "stone wool {wool}, coir {coir}");
    assert!(bare < 0.9 * coir, "without exchange {bare}, with {coir}");
    // Stone wool: R = 1 exactly, whatever the switch says.
    let mut off = in_medium("stone wool, slab");
    off.lanes[0].exchange = false;
    assert_eq!(volumes(&off), wool);
}
