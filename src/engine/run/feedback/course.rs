//! The course that events took which hang on what happens, with the bench at every midnight: where the plan changes from a later day on, it is
//! found anew only from there, to the bit as from the start.

use std::sync::Arc;

use super::bench::{Bench, Midnight, matters};
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
    /// Whole days.
    days: Vec<Arc<PumpDay>>,
    /// The bench at the midnight that each of them begins with, and at the end of the last.
    midnights: Vec<Arc<Midnight>>,
    log: TankLog,
}

impl Course {
    /// Whole days it went through.
    #[must_use]
    pub fn days(&self) -> usize {
        self.days.len()
    }

    /// The course of a bench as it is now, and its timetable: days that are as they were stay, and it goes on from there. `go_on` is asked
    /// before each day; `None` when it said no. A lane that stops is left where it stopped, its own run tells why, and the others go on.
    #[must_use]
    pub fn turned_to(mut self, scenario: &Scenario, lanes: &[Ready], until: Until, go_on: &dyn Fn() -> bool) -> Option<(Timetable, Self)> {
        let round = scenario.round_days();
        let begins = scenario.plan_begins(scenario.changes.len());
        let kept = self.same_days(scenario, lanes).min(until.days as usize);
        self.days.truncate(kept);
        self.midnights.truncate(if kept == 0 { 0 } else { kept + 1 });
        let mut bench = Bench::new(scenario, lanes);
        match self.midnights.last().filter(|_| kept > 0) {
            Some(last) => bench.take_up(last, &self.log),
            None => self.midnights = vec![Arc::new(bench.midnight())],
        }
        // A round that lies wholly under the last plan, and is as the one before.
        let has_settled = |midnights: &[Arc<Midnight>], done: usize| {
            let repeat = |before: &Midnight, after: &Midnight| before.stores.iter().zip(&after.stores).all(|(a, b)| repeats(*a, *b));
            until.settled && done >= begins + round && repeat(&midnights[done - round], &midnights[done])
        };
        // Of a course that went further than it need have.
        let mut settled = (1..=kept).find(|done| has_settled(&self.midnights, *done));
        if let Some(done) = settled {
            self.days.truncate(done);
            self.midnights.truncate(done + 1);
            bench.take_up(&self.midnights[done], &self.log);
        }
        let mut table = self.days.clone();
        while settled.is_none() {
            if !go_on() {
                return None;
            }
            let day = self.days.len();
            let last = day == until.days as usize;
            let short = bench.short_so_far();
            let mut done = bench.day(day, last);
            done.short = bench.short_so_far() - short;
            let done = Arc::new(done);
            table.push(Arc::clone(&done));
            if last {
                break;
            }
            self.days.push(done);
            self.midnights.push(Arc::new(bench.midnight()));
            settled = Some(self.days.len()).filter(|done| has_settled(&self.midnights, *done));
        }
        let log = bench.log().map(|log| Arc::new(log.clone()));
        self.log = bench.log().cloned().unwrap_or_default();
        self.of = Some((scenario.clone(), lanes.to_vec()));
        Some((Timetable::new(table, round, log), self))
    }

    /// Whole days that another bench begins with as this one did.
    fn same_days(&self, scenario: &Scenario, lanes: &[Ready]) -> usize {
        let Some((before, lanes_before)) = &self.of else { return 0 };
        let around = |s: &Scenario| (s.feed.ec, s.light, s.tank, s.round_days());
        if around(before) != around(scenario) || before.climate != scenario.climate {
            return 0;
        }
        let (mine, theirs) = (those_that_matter(before, lanes_before), those_that_matter(scenario, lanes));
        let is_as_it_was = |((lane, ready), (other, as_now)): (&(&Lane, &Ready), &(&Lane, &Ready))| {
            let named = |lane: &Lane| (lane.name.clone(), lane.plants, lane.dose);
            named(lane) == named(other) && ready.is_lane_of(as_now)
        };
        if mine.len() != theirs.len() || !mine.iter().zip(&theirs).all(is_as_it_was) {
            return 0;
        }
        let same_plan = |day: &usize| {
            let (a, b) = (before.plan_on(*day), scenario.plan_on(*day));
            a == b && before.events(a) == scenario.events(b) && before.rules(a) == scenario.rules(b)
        };
        (0..self.days.len()).take_while(same_plan).count()
    }
}

/// The lanes of a bench that matter to the pump.
fn those_that_matter<'a>(scenario: &'a Scenario, lanes: &'a [Ready]) -> Vec<(&'a Lane, &'a Ready)> {
    scenario.lanes.iter().zip(lanes).filter(|(lane, _)| matters(scenario, lane)).collect()
}
