//! How exact the projected day is, over random benches of the shipped presets. Run with
//! `cargo bench --no-default-features --bench accuracy -- [BENCHES] [FIRST SEED]`.
//!
//! Each bench runs as shipped and at a quarter of the layers' thickness with a tenth of the tolerance, and its uptake against steps of at
//! most ten seconds. Printed: median, 95 %, worst, and the benches that are furthest off.

#[path = "../common/apart.rs"]
mod apart;
#[path = "../common/benches.rs"]
mod benches;

use apart::Apart;
use rayon::prelude::*;
use slakeline::scenario::presets::Library;

/// A figure of the comparison.
type Figure = (&'static str, fn(&Apart) -> f64, &'static str);

const FIGURES: [Figure; 7] = [
    ("water content of the container", |a| a.water, "points"),
    ("water content of the worst part", |a| a.part_water, "points"),
    ("water content of the worst third of a lone part", |a| a.third_water, "points"),
    ("the same while a flood rises and ten minutes after", |a| a.flooded_water, "points"),
    ("root-zone EC", |a| a.ec, "%"),
    ("EC of the worst part", |a| a.part_ec, "%"),
    ("uptake met, against steps of ten seconds", |a| a.uptake, "points"),
];

fn main() {
    let numbers: Vec<u64> = std::env::args().filter_map(|a| a.parse().ok()).collect();
    let (count, first) = (numbers.first().copied().unwrap_or(200), numbers.get(1).copied().unwrap_or(1));
    let library = Library::shipped();
    let all: Vec<(u64, Result<Apart, String>)> = (first..first + count)
        .into_par_iter()
        .map(|seed| {
            let scenario = benches::bench(seed, &library);
            (seed, apart::of(&scenario, &library))
        })
        .collect();
    for (seed, failed) in all.iter().filter_map(|(s, a)| Some((s, a.as_ref().err()?))) {
        println!("bench {seed} did not run: {failed}");
    }
    let ran: Vec<(u64, &Apart)> = all.iter().filter_map(|(s, a)| Some((*s, a.as_ref().ok()?))).collect();
    println!("{} benches, seeds from {first}:", ran.len());
    for (words, figure, unit) in FIGURES {
        let mut sorted: Vec<(f64, u64)> = ran.iter().map(|(seed, a)| (figure(a), *seed)).collect();
        sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
        let at = |share: f64| sorted[((sorted.len() - 1) as f64 * share).round() as usize].0;
        let worst: Vec<String> = sorted.iter().rev().take(6).map(|(v, s)| format!("{v:.3} ({s})")).collect();
        println!("  {words}, {unit}: median {:.4}, 95 % {:.3}, worst {}", at(0.5), at(0.95), worst.join(", "));
    }
    let within = ran.iter().filter(|(_, a)| a.within()).count();
    println!("  within the limits: {within} of {}", ran.len());
    let steps: u64 = ran.iter().map(|(_, a)| a.steps).sum();
    let iterations: u64 = ran.iter().map(|(_, a)| a.iterations).sum();
    let layers: usize = ran.iter().map(|(_, a)| a.layers).sum();
    println!("  work: {steps} steps, {iterations} iterations, {layers} layers in all");
}
