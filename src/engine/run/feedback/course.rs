//! The course that events took which hang on what happens, with the tank at every midnight: where the plan changes from a later day on, it is
//! found anew only from there, to the bit as from the start. The lanes at those midnights are their keepers'.

use std::sync::Arc;

use super::bench::{Bench, Midnight, matters};
use super::keeper::Keeper;
use super::until::Until;
use crate::engine::run::lane::Ready;
use crate::engine::run::repeats::repeats;
use crate::engine::supply::tank::TankLog;
use crate::engine::supply::timetable::{PumpDay, Timetable};
use crate::scenario::{Lane, Scenario};

/// The course of a bench through its days; an empty one to begin with.
#[derive(Clone, Default)]
pub struct Course {
    /// What it was found of.
    of: Option<(Scenario, Vec<Ready>)>,
    /// Whole days, of each what every valve gave.
    days: Vec<Vec<Arc<PumpDay>>>,
    /// The bench at the midnight that each of them begins with, and at the end of the last.
    midnights: Vec<Arc<Midnight>>,
    log: TankLog,
}

impl Course {
    /// The course of a bench as it is now, and the timetable of each valve: days that are as they were stay as far as the lanes' keepers stand on their
    /// midnights, and it goes on from there. There is a keeper for each lane that [matters], in their order, or none at all. `go_on` is asked
    /// before each day; `None` when it said no. A lane that stops is left where it stopped, its own run tells why, and the others go on.
    #[must_use]
    pub fn turned_to(
        mut self,
        scenario: &Scenario,
        lanes: &[Ready],
        keepers: Vec<Box<dyn Keeper + '_>>,
        until: Until,
        go_on: &dyn Fn() -> bool,
    ) -> Option<(Vec<Arc<Timetable>>, Self)> {
        let round = scenario.round_days();
        let begins = scenario.last_plans_begin();
        let (same, alike) = self.same_days(scenario, lanes, until.days as usize);
        let most = if !alike && keepers.iter().any(|keeper| keeper.looks_ahead()) { same.saturating_sub(1) } else { same };
        let stand = |day: &usize| !keepers.is_empty() && keepers.iter().all(|keeper| keeper.stands_on(*day));
        let kept = (1..=most).rev().find(stand).unwrap_or(0);
        self.days.truncate(kept);
        self.midnights.truncate(kept + 1);
        let mut bench = Bench::new(scenario, lanes, keepers, kept);
        match self.midnights.last().filter(|_| kept > 0) {
            Some(last) => bench.take_up(last, &self.log, kept),
            None => self.midnights = vec![Arc::new(bench.midnight())],
        }
        // A round that lies wholly under the last plan, and is as the one before.
        let has_settled = |midnights: &[Arc<Midnight>], done: usize| {
            let repeat = |before: &Midnight, after: &Midnight| before.stores.iter().zip(&after.stores).all(|(a, b)| repeats(*a, *b));
            until.settled && done >= begins + round && repeat(&midnights[done - round], &midnights[done])
        };
        let mut table = self.days.clone();
        let mut settled = false;
        while !settled {
            if !go_on() {
                return None;
            }
            let day = self.days.len();
            let last = day == until.days as usize;
            if last {
                bench.leave_keepers();
            }
            let done: Vec<Arc<PumpDay>> = bench.day(day, last).into_iter().map(Arc::new).collect();
            table.push(done.clone());
            if last {
                break;
            }
            self.days.push(done);
            self.midnights.push(Arc::new(bench.midnight()));
            bench.day_over(|| by_valve(&table, round, None));
            settled = has_settled(&self.midnights, self.days.len());
        }
        bench.leave_keepers();
        let log = bench.log().map(|log| Arc::new(log.clone()));
        self.log = bench.log().cloned().unwrap_or_default();
        self.of = Some((scenario.clone(), lanes.to_vec()));
        Some((by_valve(&table, round, log.as_ref()), self))
    }

    /// Whole days that another bench begins with as this one did, at most so many; and whether the day after them begins alike, too.
    fn same_days(&self, scenario: &Scenario, lanes: &[Ready], most: usize) -> (usize, bool) {
        let Some((before, lanes_before)) = &self.of else { return (0, false) };
        let ecs = |s: &Scenario| s.valves.iter().map(|v| v.ec).collect::<Vec<_>>();
        // What a pump has left hangs on all plants.
        let asks = |s: &Scenario| s.pump.map(|_| s.lanes.iter().map(|l| (l.valve, l.plants, l.dose)).collect::<Vec<_>>());
        let around = |s: &Scenario| (s.feed.ec, s.light, s.tank, s.pump, s.round_days(), ecs(s), asks(s));
        if around(before) != around(scenario) || before.climate != scenario.climate {
            return (0, false);
        }
        let (mine, theirs) = (those_that_matter(before, lanes_before), those_that_matter(scenario, lanes));
        let is_as_it_was = |((lane, ready), (other, as_now)): (&(&Lane, &Ready), &(&Lane, &Ready))| {
            let named = |lane: &Lane| (lane.name.clone(), lane.valve, lane.plants, lane.dose);
            named(lane) == named(other) && ready.is_lane_of(as_now)
        };
        if mine.len() != theirs.len() || !mine.iter().zip(&theirs).all(is_as_it_was) {
            return (0, false);
        }
        let same_plan = |day: &usize| {
            (0..scenario.valves.len()).all(|valve| {
                let (a, b) = (before.plan_on(valve, *day), scenario.plan_on(valve, *day));
                a == b && before.events(a) == scenario.events(b) && before.rules(a) == scenario.rules(b)
            })
        };
        let same = (0..self.days.len().min(most)).take_while(same_plan).count();
        (same, same_plan(&same))
    }
}

/// The timetable of each valve out of days of all of them.
pub(super) fn by_valve(days: &[Vec<Arc<PumpDay>>], round: usize, tank: Option<&Arc<TankLog>>) -> Vec<Arc<Timetable>> {
    let valves = days.first().map_or(0, Vec::len);
    let of = |valve: usize| days.iter().map(|day| Arc::clone(&day[valve])).collect();
    (0..valves).map(|valve| Arc::new(Timetable::new(of(valve), round, tank.cloned()))).collect()
}

/// The lanes of a bench that matter to the pump.
fn those_that_matter<'a>(scenario: &'a Scenario, lanes: &'a [Ready]) -> Vec<(&'a Lane, &'a Ready)> {
    scenario.lanes.iter().zip(lanes).filter(|(lane, _)| matters(scenario, lane)).collect()
}
