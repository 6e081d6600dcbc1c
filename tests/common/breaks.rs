//! A bench whose finer run stops half-way.

use slakeline::engine::run::Workshop;
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{Scenario, Solver};
use slakeline::studies::exactness::{Broken, Exactness, exactness};

/// A bench whose own run converges and whose finer one does not: what may be left over in a step is more than rounding for the one and less
/// for the other. Where that lies is found by trying.
pub fn when_refined() -> Option<(Scenario, Exactness)> {
    let (library, mut scenario) = (Library::shipped(), demos().remove(0).1);
    scenario.lanes.truncate(1);
    scenario.days = 1;
    scenario.solver = Solver { layer_cm: 3.0, min_layers: 2, min_step_s: 1.0, convergence: 1e-9, ..scenario.solver };
    (1..=20).find_map(|k| {
        scenario.solver.tolerance = 1e-4 * 0.5_f64.powi(k);
        let found = exactness(&scenario, &library, &|| true, &|_| ()).unwrap().unwrap();
        let stopped = matches!(found.lanes[0].broken, Some(Broken::FinerStopped(_)));
        let own = || Workshop::default().ready(&scenario, &library).unwrap().for_its_days()[0].run(1);
        (stopped && own().error.is_none()).then(|| (scenario.clone(), found))
    })
}
