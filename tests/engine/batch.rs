//! Members of a batch: each is what it would be alone, whatever else runs beside it and on however many threads.

use crate::common;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use slakeline::engine::EngineError;
use slakeline::engine::column::BuildError;
use slakeline::engine::run::{EachDay, LaneRun, Midnights, Outcome, Ready, ReadyBench, Watch, Workshop, batch};
use slakeline::figures::{DayFigures, day_figures};
use slakeline::scenario::presets::Library;
use slakeline::scenario::*;

/// Members whose media, use and dose differ; one whose lanes share a tank, one that cannot be built and one that stops.
fn members() -> Vec<Scenario> {
    let demo = common::read("demo/1-aubergine-two-root-zones.ron");
    let mut out: Vec<Scenario> = (0..14_u32)
        .map(|i| {
            let mut member = demo.clone();
            let x = 0.8 + 0.03 * f64::from(i);
            for lane in &mut member.lanes {
                lane.dose = x;
                lane.demand = Demand::Measured { litres_per_day: 1.2 / x, steady_share: 0.1 };
            }
            member
        })
        .collect();
    out[3].tank = Some(Tank { litres: 80.0, start_ec: None, refill: Refill::Feed, filled: Filled::Always, drain_returns: true });
    out[5].lanes[1].container.parts[0].medium = MediumChoice::Preset("nothing".to_owned());
    out[9].solver = Solver { tolerance: 1e-8, convergence: 1e-9, min_step_s: 1.0, ..Solver::default() };
    out
}

fn ready(member: &Scenario) -> Result<ReadyBench, BuildError> {
    Workshop::default().ready(member, &Library::shipped())
}

type Kept = (Vec<Option<DayFigures>>, Vec<slakeline::engine::run::ledger::Ledger>);

fn figures(members: &[Scenario], watch: Watch<'_, Kept>) -> Option<Vec<Outcome<Kept>>> {
    let recorder = |member: &Scenario, i: usize, lane: &Ready| {
        let described = member.lanes[i].clone();
        (EachDay::of(lane, move |run: &LaneRun, day| day_figures(run, &described, day)), Midnights::default())
    };
    batch(members, 3, ready, recorder, watch)
}

#[test]
fn members_are_the_same_at_one_two_and_eight_threads_and_as_they_are_alone() {
    let members = members();
    let on = |threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| figures(&members, Watch::NOBODY)).unwrap()
    };
    let one = on(1);
    assert_eq!(one, on(2));
    assert_eq!(one, on(8));
    for (i, (member, outcome)) in members.iter().zip(&one).enumerate() {
        match outcome {
            Ok(lanes) => {
                let alone = slakeline::engine::run::run(&ready(member).unwrap().for_its_days(), 3);
                assert_eq!(lanes.len(), 2);
                for ((lane, run), (days, midnights)) in member.lanes.iter().zip(&alone.lanes).zip(lanes) {
                    assert_eq!(days, &(0..3).map(|day| day_figures(run, lane, day)).collect::<Vec<_>>());
                    assert_eq!(midnights, &run.midnights);
                }
            }
            Err(EngineError::Build(_)) => assert_eq!(i, 5),
            Err(EngineError::Ran { lane, why }) => {
                assert_eq!((i, lane), (9, &member.lanes[0].name));
                assert!(why.to_string().contains("did not converge"), "{why}");
            }
        }
    }
    assert_eq!(one.iter().filter(|m| m.is_err()).count(), 2);
}

#[test]
fn each_member_is_told_once_and_a_batch_that_is_given_up_ends() {
    let members = members();
    let told = Mutex::new(vec![0; members.len()]);
    let done = |i: usize, outcome: &Outcome<Kept>| {
        assert_eq!(outcome.is_err(), i == 5 || i == 9);
        told.lock().unwrap()[i] += 1;
    };
    assert!(figures(&members, Watch { done: &done, ..Watch::NOBODY }).is_some());
    assert_eq!(*told.lock().unwrap(), vec![1; members.len()]);
    let (asked, done) = (AtomicUsize::new(0), AtomicUsize::new(0));
    let go_on = || asked.fetch_add(1, Ordering::Relaxed) < 20;
    let count = |_: usize, _: &Outcome<Kept>| {
        done.fetch_add(1, Ordering::Relaxed);
    };
    assert!(figures(&members, Watch { go_on: &go_on, done: &count }).is_none());
    assert!(done.into_inner() < 5, "six days a member, and twenty were allowed");
    let nobody = figures(&[], Watch::NOBODY);
    assert_eq!(nobody, Some(Vec::new()));
}
