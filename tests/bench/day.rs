//! bench
use slakeline::engine::run::Workshop;
use slakeline::scenario::presets;
use std::time::Instant;
fn main() {
    let library = presets::Library::shipped();
    for w in &library.warnings {
        println!("{w}");
    }
    for (name, s) in presets::demos() {
        println!("{name} {:?}", s.validate(&library));
        let lanes = Workshop::default().ready(&s, &library).unwrap();
        for lane in &lanes {
            let mut times = vec![];
            let mut run = lane.run(1);
            for _ in 0..200 {
                let t = Instant::now();
                run = lane.run(1);
                times.push(t.elapsed().as_secs_f64());
            }
            times.sort_by(f64::total_cmp);
            let l = run.ledger();
            println!("{} layers {} ms/day {:.3} {:?} err {:?}", lane.name, lane.column.len(), times[100] * 1e3, run.stats, run.error);
            println!(
                "  closure {:e} {:e} applied {} drained {} up {}/{} evap {} wc {:.5} ec {:.5}",
                l.water_closure(),
                l.salt_closure(),
                l.water.applied,
                l.water.drained(),
                l.water.taken_up,
                l.water.demanded,
                l.water.evaporated,
                run.series.samples.last().unwrap().water_content,
                run.series.samples.last().unwrap().root_zone_ec
            );
            println!("  ns/layer-iteration {:.1}", times[100] * 1e9 / (run.stats.iterations as f64) / lane.column.len() as f64);
        }
    }
}
