//! What members say of other members.

use super::members::{self, Ask, MemberLane};
use super::unknowns::Unknowns;
use crate::engine::run::Workshop;
use crate::scenario::presets::{Library, demos};
use crate::studies::spread::bands::band;

/// Four in five of fresh members lie within the band of the members before them, within four binomial errors of both samples.
#[test]
fn a_band_holds_four_in_five_of_fresh_members() {
    let (library, mut scenario) = (Library::shipped(), demos().remove(0).1);
    scenario.lanes.truncate(1);
    scenario.days = 1;
    let ready = Workshop::default().ready(&scenario, &library).unwrap().for_its_days();
    let aims = members::as_it_stands(&scenario, 0, &ready[0], &|| true).unwrap().unwrap().0;
    let ask = Ask::default();
    let unknowns = Unknowns::of(&scenario, &library, ask.emitter_cv, ask.scale).unwrap();
    let of = |count: u32, seed: u64| -> Vec<MemberLane> {
        let ask = Ask { members: count, seed, ..ask };
        let ran = members::run((&scenario, &library), &unknowns, &[aims], &ask, &|| true, &|_, _| ());
        ran.members.into_iter().map(|m| m.unwrap().unwrap().remove(0)).collect()
    };
    let (known, fresh) = (of(600, 1), of(400, 2));
    let binomial = (0.8_f64 * 0.2 / 400.0).sqrt().hypot((0.8_f64 * 0.2 / 600.0).sqrt());
    for figure in ["lowest", "drained_ml", "root_zone_ec", "lowest_air", "peak"] {
        let at = crate::studies::told::place(figure).unwrap();
        let [low, _, high] = band(known.iter().map(|m| m.figures[at]).collect()).unwrap();
        let within = fresh.iter().filter(|m| (low..=high).contains(&m.figures[at])).count() as f64 / 400.0;
        assert!((within - 0.8).abs() < 4.0 * binomial, "{figure}: {within}");
        assert!(high > low);
    }
}
