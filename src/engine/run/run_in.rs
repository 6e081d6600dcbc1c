//! Lanes that are run in: each begins its first day as some days like it leave it, with water, salt, the curves' memory and the roots'.
//!
//! Those days are run for the whole bench together, as any bench's days are, and every lane is taken from them at the midnight that its own end
//! on. What it carries from there is a checkpoint whose clock and books are set back. What was run stays as long as all it hangs on stays:
//! [`RunIns`] knows it again. See [`Scenario::run_in`].

use std::collections::BTreeMap;
use std::sync::Arc;

use rayon::prelude::*;

use super::dawn::RunIn;
use super::feedback::bench::matters;
use super::feedback::{self, Until};
use super::lane::Ready;
use super::ledger::Closure;
use super::simulation::RunError;
use crate::engine::supply::clock::EventClock;
use crate::engine::supply::timetable::Timetable;
use crate::scenario::plan::on_day;
use crate::scenario::{Lane, Scenario};

/// The days that a bench's lanes are run in by, ready to be run.
#[derive(Clone)]
pub(super) struct Days {
    /// See [`Scenario::run_in`].
    pub scenario: Scenario,
    /// Its lanes, to which nothing is given yet.
    pub lanes: Vec<Ready>,
    /// Days of each lane; 0 for one that begins at rest.
    pub count: Vec<u32>,
}

/// What was run of a lane.
#[derive(Clone)]
struct Known {
    /// The lane, as it went through those days.
    lane: Ready,
    days: u32,
    run_in: Arc<RunIn>,
}

/// What was given on days that hang on what happens.
#[derive(Clone)]
struct Given {
    days: Days,
    /// Of each valve.
    timetables: Timetables,
}

type Timetables = Vec<Arc<Timetable>>;

/// Run-ins that are known, with what each hangs on.
#[derive(Clone, Default)]
pub struct RunIns {
    lanes: Vec<Known>,
    given: Option<Arc<Given>>,
}

/// Who is asked before each day whether to go on, and by whom.
#[derive(Clone, Copy)]
pub(super) enum GoOn<'a> {
    /// By one thread: lanes are run one after the other.
    Here(&'a dyn Fn() -> bool),
    /// By any: lanes are run side by side.
    Beside(&'a (dyn Fn() -> bool + Sync)),
}

impl RunIns {
    /// The run-ins of these days, lane by lane (`None` for a lane that begins at rest), as far as they are known: `None` where one of them is not.
    pub(super) fn all_known(&self, days: &Days) -> Option<(Self, Vec<Option<Arc<RunIn>>>)> {
        let given = self.given_again(days)?;
        let timed = timed(days, &given.0);
        let found: Vec<Option<Known>> = timed.iter().zip(&days.count).map(|(lane, count)| self.find(lane, *count)).collect();
        let all = found.iter().zip(&days.count).all(|(found, count)| found.is_some() || *count == 0);
        all.then(|| Self::with(found, given.1))
    }

    /// The same, with those that are not known run. `None` when who was asked before each day said no.
    pub(super) fn run(&self, days: &Days, go_on: GoOn<'_>) -> Option<(Self, Vec<Option<Arc<RunIn>>>)> {
        let (timetables, given) = match self.given_again(days) {
            Some(given) => given,
            None => {
                let ask = || go_on.ask();
                let timetables =
                    feedback::timetable(&days.scenario, &days.lanes, Until { days: days.scenario.days, settled: false }, &ask)?;
                (timetables.clone(), Some(Arc::new(Given { days: days.clone(), timetables })))
            }
        };
        let lanes: Vec<(Ready, u32)> = timed(days, &timetables).into_iter().zip(days.count.iter().copied()).collect();
        let known = |(lane, count): &(Ready, u32), ask: &dyn Fn() -> bool| -> Option<Option<Known>> {
            if *count == 0 {
                return Some(None);
            }
            let known = || Some(Known { lane: lane.clone(), days: *count, run_in: Arc::new(run(lane, *count, ask)?) });
            Some(Some(self.find(lane, *count).map_or_else(known, Some)?))
        };
        let found: Option<Vec<Option<Known>>> = match go_on {
            GoOn::Here(ask) => lanes.iter().map(|lane| known(lane, ask)).collect(),
            GoOn::Beside(ask) => lanes.par_iter().map(|lane| known(lane, &|| ask())).collect(),
        };
        Some(Self::with(found?, given))
    }

    fn with(found: Vec<Option<Known>>, given: Option<Arc<Given>>) -> (Self, Vec<Option<Arc<RunIn>>>) {
        let run_ins = found.iter().map(|known| known.as_ref().map(|known| Arc::clone(&known.run_in))).collect();
        (Self { lanes: found.into_iter().flatten().collect(), given }, run_ins)
    }

    /// What is given on these days, where that is known without a run.
    fn given_again(&self, days: &Days) -> Option<(Timetables, Option<Arc<Given>>)> {
        if !feedback::needed(&days.scenario) {
            return Some((Timetable::foreseen(&days.scenario), None));
        }
        let given = self.given.as_ref().filter(|given| given.days.give_the_same(days))?;
        Some((given.timetables.clone(), Some(Arc::clone(given))))
    }

    /// A lane's run-in, wherever it stood before.
    fn find(&self, lane: &Ready, days: u32) -> Option<Known> {
        let same = |known: &&Known| {
            known.days == days && lane.is_lane_of(&known.lane) && known.lane.clock.parts_from(&lane.clock, days as usize).is_none()
        };
        self.lanes.iter().find(same).cloned()
    }
}

impl Days {
    /// Whether all that has a say in what is given is the same.
    fn give_the_same(&self, other: &Self) -> bool {
        let bare = |s: &Scenario| Scenario {
            name: String::new(),
            note: String::new(),
            lanes: Vec::new(),
            changed_from: BTreeMap::new(),
            ..s.clone()
        };
        // What the pump can give hangs on every lane.
        let drawn = |s: &Scenario| s.lanes.iter().map(|l| (l.valve, l.plants, l.dose)).collect::<Vec<_>>();
        let mattering = |days: &'_ Self| -> Vec<(String, f64, Ready)> {
            let lanes = days.scenario.lanes.iter().zip(&days.lanes).filter(|(lane, _)| matters(&days.scenario, lane));
            lanes.map(|(lane, ready): (&Lane, &Ready)| (lane.name.clone(), lane.dose, ready.clone())).collect()
        };
        let (mine, others) = (mattering(self), mattering(other));
        let same = |(a, b): (&(String, f64, Ready), &(String, f64, Ready))| a.0 == b.0 && a.1 == b.1 && a.2.is_lane_of(&b.2);
        let scenarios = (&self.scenario, &other.scenario);
        let around = bare(scenarios.0) == bare(scenarios.1) && drawn(scenarios.0) == drawn(scenarios.1);
        around && mine.len() == others.len() && mine.iter().zip(&others).all(same)
    }
}

impl GoOn<'_> {
    fn ask(self) -> bool {
        match self {
            Self::Here(ask) => ask(),
            Self::Beside(ask) => ask(),
        }
    }
}

/// The lanes of days with what is given on them.
fn timed(days: &Days, timetables: &[Arc<Timetable>]) -> Vec<Ready> {
    let timed = |(ready, lane): (&Ready, &Lane)| {
        let timetable = timetables.get(lane.valve).cloned().unwrap_or_default();
        Ready { clock: Arc::new(EventClock::new(&timetable, lane.dose)), timetable, ..ready.clone() }
    };
    days.lanes.iter().zip(&days.scenario.lanes).map(timed).collect()
}

/// Takes a lane through its days.
fn run(lane: &Ready, days: u32, go_on: &dyn Fn() -> bool) -> Option<RunIn> {
    let mut simulation = lane.simulation();
    let (mut closure, mut stopped) = (Closure::default(), None);
    for day in 1..=days as usize {
        if !go_on() {
            return None;
        }
        if let Err(error) = simulation.advance_to(on_day(day, 0.0), |_| {}) {
            stopped = Some(RunError { time_s: error.time_s - on_day(days as usize, 0.0), ..error });
            break;
        }
        closure = closure.worse(Closure::of([simulation.ledger()]));
    }
    Some(RunIn { dawn: simulation.checkpoint().begun_anew(), stopped, closure })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::run::lane::{Failed, LaneRun};
    use crate::engine::run::workshop::Workshop;
    use crate::scenario::presets::{Library, demos};

    #[test]
    fn a_run_in_whose_books_do_not_close_fails_the_run() {
        let mut scenario = demos().remove(0).1;
        scenario.lanes[0].start.run_in_days = Some(1);
        let lane = Workshop::default().ready(&scenario, &Library::shipped()).unwrap().for_its_days().remove(0);
        assert!(lane.run(1).failure().is_none());
        let good = lane.run_in.clone().unwrap();
        let bad = RunIn { dawn: good.dawn.clone(), stopped: None, closure: Closure { water: 1e-3, salt: 0.0 } };
        let lane = Ready { run_in: Some(Arc::new(bad)), ..lane };
        let unclosed = |run: &LaneRun| matches!(run.failure(), Some(Failed::Unclosed(c)) if c.water == 1e-3);
        assert!(unclosed(&lane.run(1)) && unclosed(&lane.settled_day(30, || true).unwrap().1));
        let ended = lane.run_with(1, &mut (), &|| true).unwrap();
        assert!(matches!(ended.failure(), Some(Failed::Unclosed(_))) && matches!(lane.settle(60), Err(Failed::Unclosed(_))));
    }
}
