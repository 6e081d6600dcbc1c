//! How exact the projected day is on benches as growers build them: sixty random ones of the shipped presets, each beside itself at a
//! quarter of the layers' thickness and a tenth of the tolerance, and its uptake beside steps of ten seconds. `cargo bench --bench accuracy`
//! goes through 200 and prints how far they are off.

use crate::{apart, benches};
use rayon::prelude::*;
use slakeline::scenario::presets::Library;

/// All but one (seed 48, a flood into bone-dry peat: 0.13 point) within 0.1 point of water content (container and parts), 0.5 % of root-zone EC, 0.2 points of uptake met, and half
/// a point while a flood rises; none beyond 0.3 point and 1.5 %.
#[test]
fn benches_of_shipped_presets_are_within_the_limits() {
    let library = Library::shipped();
    let all: Vec<_> = (1..=60_u64).into_par_iter().map(|seed| (seed, apart::of(&benches::bench(seed, &library), &library))).collect();
    let mut beyond = Vec::new();
    for (seed, apart) in all {
        let apart = apart.unwrap_or_else(|failed| panic!("bench {seed}: {failed}"));
        let worst = apart.water.max(apart.part_water);
        assert!(worst <= 0.3 && apart.ec <= 1.5 && apart.uptake <= 0.2, "bench {seed}: {apart:?}");
        if !apart.within() {
            beyond.push((seed, apart));
        }
    }
    assert!(beyond.len() <= 1, "{beyond:?}");
}

/// The comparison can fail: with layers four times as thick, benches are told apart from themselves refined.
#[test]
fn thick_layers_are_beyond_the_limits() {
    let library = Library::shipped();
    let thick = |seed| {
        let mut scenario = benches::bench(seed, &library);
        (scenario.solver.layer_cm, scenario.solver.min_layers) = (4.0, 2);
        scenario.lanes[0].start.water = slakeline::scenario::StartWater::AsWetted;
        apart::of(&scenario, &library).unwrap_or_else(|failed| panic!("bench {seed}: {failed}")).within()
    };
    let within = (1..=20_u64).filter(|seed| thick(*seed)).count();
    assert!(within <= 6, "{within} of 20 are within the limits with layers of 4 cm");
}
