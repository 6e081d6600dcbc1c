//! bench
use slakeline::engine::run::{LaneRun, Workshop};
use slakeline::scenario::{DAY_S, Scenario, presets};
use std::time::Instant;
fn go(s: &Scenario, lib: &presets::Library) -> Vec<LaneRun> {
    let mut s = s.clone();
    s.days = 1;
    Workshop::default().ready(&s, lib).unwrap().iter().map(|l| l.run(1)).collect()
}
fn diff(a: &LaneRun, b: &LaneRun) -> (f64, f64, f64) {
    let mut d = (0.0f64, 0.0f64, 0.0f64);
    let mut i = 0.0;
    // compare at a's own samples
    for s in &a.series.samples {
        let _ = i;
        i = s.time_s;
        let r = b.series.at(s.time_s).unwrap();
        d.0 = d.0.max((s.water_content - r.water_content).abs() * 100.0);
        d.1 = d.1.max((s.root_zone_ec / r.root_zone_ec - 1.0).abs() * 100.0);
        d.2 = d.2.max((s.ledger.water.drained() - r.ledger.water.drained()).abs());
    }
    d
}
fn main() {
    if std::env::args().any(|a| a == "trace") {
        trace();
        return;
    }
    let library = presets::Library::shipped();
    let quick = std::env::args().any(|a| a == "quick");
    let demo = presets::demos().remove(0).1;
    let tols = if quick { vec![1e-2; 8] } else { vec![3e-3, 5e-3, 1e-2] };
    let mut refs = vec![];
    if !quick {
        let mut r = demo.clone();
        r.solver.tolerance = 1e-6;
        r.solver.max_step_s = 60.0;
        refs.push(go(&r, &library));
        let mut r = demo.clone();
        r.solver.tolerance = 2e-5;
        r.solver.layer_cm = 0.125;
        r.solver.max_layers = 1000;
        r.solver.max_step_s = 300.0;
        refs.push(go(&r, &library));
    }
    for tol in tols {
        for conv in [0.15] {
            let mut s = demo.clone();
            s.solver.tolerance = tol;
            s.solver.convergence = conv;
            s.solver.max_step_s = 1800.0;
            let lanes = Workshop::default().ready(&s, &library).unwrap();
            for (k, lane) in lanes.iter().enumerate() {
                let mut times = vec![];
                let mut stats = Default::default();
                for _ in 0..200 {
                    let t = Instant::now();
                    let mut sim = lane.simulation();
                    sim.advance_to(DAY_S, |_| {}).unwrap();
                    stats = sim.stats();
                    times.push(t.elapsed().as_secs_f64());
                }
                times.sort_by(f64::total_cmp);
                let run = lane.run(1);
                print!(
                    "tol {tol} conv {conv} {} ms/day {:.3} {:?} ns/li {:.1}",
                    lane.name,
                    times[5] * 1e3,
                    stats,
                    times[5] * 1e9 / (stats.iterations as f64) / lane.column.len() as f64
                );
                for r in &refs {
                    print!("  d {:.3?}", diff(&run, &r[k]));
                }
                println!();
            }
        }
    }
}
#[allow(dead_code)]
fn trace() {
    let library = presets::Library::shipped();
    let mut s = presets::demos().remove(0).1;
    s.solver.tolerance = 1e-2;
    s.solver.convergence = 0.15;
    s.solver.max_step_s = 1800.0;
    let lanes = Workshop::default().ready(&s, &library).unwrap();
    let mut sim = lanes[0].simulation();
    let mut last = 0.0;
    let mut it = 0;
    sim.advance_to(DAY_S, |x| {
        println!("t {:.3} dt {:.1} it {}", x.time_s() / 3600.0, x.time_s() - last, x.stats().iterations - it);
        last = x.time_s();
        it = x.stats().iterations;
    })
    .unwrap();
}
