//! How long a batch takes, and the most memory it takes. Run with `cargo bench --bench batch`.
//!
//! A thousand members of the first demo's first lane for three days, figures only: its medium's α and Ks, its use and its dose vary, so that
//! every member has a column of its own.

use std::time::Instant;

use slakeline::engine::run::{EachDay, LaneRun, Ready, Watch, Workshop, batch};
use slakeline::figures::day_figures;
use slakeline::scenario::presets::{self, Library};
use slakeline::scenario::{Curve, Demand, MediumChoice, Scenario, resolve};

const MEMBERS: u32 = 1000;
const DAYS: u32 = 3;

/// A member by its number: four values spread over their ranges by rationally independent steps.
fn member(base: &Scenario, library: &Library, i: u32) -> Scenario {
    let spread = |step: f64, by: f64| 1.0 + by * (2.0 * (f64::from(i) * step).fract() - 1.0);
    let mut member = base.clone();
    let lane = &mut member.lanes[0];
    for part in &mut lane.container.parts {
        let mut medium = resolve::medium(&part.medium, library).expect("the medium is known");
        if let Curve::VanGenuchten { alpha_per_cm, ks_cm_per_day, .. } = &mut medium.curve {
            *alpha_per_cm *= spread(std::f64::consts::SQRT_2, 0.2);
            *ks_cm_per_day *= spread(3.0_f64.sqrt(), 0.3);
        }
        part.medium = MediumChoice::Custom(Box::new(medium));
    }
    lane.dose *= spread(5.0_f64.sqrt(), 0.1);
    if let Demand::Measured { litres_per_day, .. } = &mut lane.demand {
        *litres_per_day *= spread(7.0_f64.sqrt(), 0.2);
    }
    member
}

/// The most memory this process has taken, MB; `None` where the system does not tell.
fn most_memory() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|l| l.starts_with("VmHWM:"))?;
    Some(line.split_whitespace().nth(1)?.parse::<f64>().ok()? / 1024.0)
}

fn main() {
    let library = Library::shipped();
    let (name, mut base) = presets::demos().into_iter().next().expect("there is a demo");
    base.lanes.truncate(1);
    let numbers: Vec<u32> = (0..MEMBERS).collect();
    let make = |i: &u32| Workshop::default().ready(&member(&base, &library, *i), &library);
    let lane = base.lanes[0].clone();
    let recorder = |_: &u32, _: usize, ready: &Ready| EachDay::of(ready, |run: &LaneRun, day| day_figures(run, &lane, day));
    println!("{MEMBERS} members of {}, lane {} alone, {DAYS} days, figures only:", name, base.lanes[0].name);
    for threads in [1, 2, 8] {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
        let mut taken: Vec<f64> = Vec::new();
        let mut failed = 0;
        for _ in 0..3 {
            let begun = Instant::now();
            let outcomes = pool.install(|| batch(&numbers, DAYS, make, recorder, Watch::NOBODY)).expect("nobody gives it up");
            taken.push(begun.elapsed().as_secs_f64());
            failed = outcomes.iter().filter(|o| o.is_err()).count();
        }
        taken.sort_by(f64::total_cmp);
        println!("  {threads} threads: median {:.2} s (shortest {:.2}); {failed} failed", taken[1], taken[0]);
    }
    if let Some(megabytes) = most_memory() {
        println!("  most memory of the whole process: {megabytes:.0} MB");
    }
}
