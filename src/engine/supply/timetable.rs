//! The timetable: every event of every day, whatever called for it, with the EC it has.

use std::sync::Arc;

use super::light_clock::LightClock;
use super::pump;
pub use super::pump_day::{By, Call, PumpDay};
use super::tank::TankLog;
use crate::scenario::plan::on_day;
use crate::scenario::plans::together;
use crate::scenario::{DAY_S, Event, MAX_EVENTS, Plan, Rule, Scenario, Valve, When};

/// Days that a table is made for at most from its last plan on: more than are ever run or looked ahead, so that a round which is longer, such as that
/// of events every 11, 13 and 14 days, need not be whole.
const LONGEST: usize = 400;

/// Every event of every day of one valve.
#[derive(Clone, Debug)]
pub struct Timetable {
    /// Days in order; the last round of them stands for all that follow.
    days: Vec<Arc<PumpDay>>,
    /// Days after which it begins anew, at least 1.
    round: usize,
    /// What became of the tank, if there is one.
    pub tank: Option<Arc<TankLog>>,
}

impl Default for Timetable {
    fn default() -> Self {
        Self { days: Vec::new(), round: 1, tank: None }
    }
}

impl Timetable {
    /// These days, the last round of which (so many days, at least 1) stands for all that follow.
    #[must_use]
    pub fn new(days: Vec<Arc<PumpDay>>, round: usize, tank: Option<Arc<TankLog>>) -> Self {
        Self { days, round: round.max(1), tank }
    }

    /// Where a day (from 0) stands among the days kept.
    #[must_use]
    pub fn place(&self, day: usize) -> usize {
        place(day, self.days.len(), self.round)
    }

    /// The day, from 0, from which on its rounds are alike.
    #[must_use]
    pub fn steady_from(&self) -> usize {
        self.days.len().saturating_sub(self.round)
    }

    /// A day's events; days past the end are as in the last round.
    #[must_use]
    pub fn day(&self, day: usize) -> Option<&Arc<PumpDay>> {
        self.days.get(self.place(day))
    }

    /// A day's events alone.
    #[must_use]
    pub fn events(&self, day: usize) -> &[Event] {
        self.day(day).map_or(&[], |d| &d.events)
    }

    /// Events of a day that the tank gave less than they asked for, or nothing.
    #[must_use]
    pub fn short(&self, day: usize) -> u32 {
        self.day(day).map_or(0, |d| d.short)
    }

    /// The days that differ; the last round of them stands for all that follow.
    #[must_use]
    pub fn days(&self) -> &[Arc<PumpDay>] {
        &self.days
    }

    /// One of its days, from 0, and the one after it as the first two of another timetable.
    #[must_use]
    pub fn of_day(&self, day: usize) -> Self {
        let days = [day, day + 1].into_iter().filter_map(|d| self.day(d).cloned()).collect();
        Self { days, round: 1, tank: self.tank.clone() }
    }

    /// When a day's first event begins, s after its midnight.
    #[must_use]
    pub fn first_start(&self, day: usize) -> Option<f64> {
        self.events(day).first().map(Event::start_s)
    }

    /// What clock and light call for on each valve, until it repeats itself. Rules that listen to a probe and the tank are left out.
    #[must_use]
    pub fn foreseen(scenario: &Scenario) -> Vec<Arc<Self>> {
        let light = LightClock::of(scenario);
        let by_light = |valve: &Valve| valve.all_rules().any(|r| !r.listens());
        let varies = light.as_ref().is_some_and(|l| !l.repeats_daily());
        if scenario.pump.is_none() {
            // Each valve for itself.
            let one = |(i, valve): (usize, &Valve)| {
                let last = scenario.events(Plan { valve: i, number: valve.changes.len() });
                let round = together(last, if varies && by_light(valve) { scenario.log_days() } else { 1 }).min(LONGEST);
                let daily = valve.is_daily();
                let mut table: Vec<Arc<PumpDay>> = Vec::with_capacity(valve.last_begins() + round);
                for day in 0..valve.last_begins() + round {
                    let plan = scenario.plan_on(i, day);
                    match table.last().filter(|d| d.plan == plan && round == 1 && daily) {
                        Some(same) => table.push(Arc::clone(same)),
                        None => table.push(Arc::new(day_foreseen(scenario, plan, day, light.as_ref()))),
                    }
                }
                Arc::new(Self { days: table, round, tank: None })
            };
            return scenario.valves.iter().enumerate().map(one).collect();
        }
        let round =
            if varies && scenario.valves.iter().any(by_light) { scenario.round_days() } else { scenario.round_of_events() }.min(LONGEST);
        let daily = scenario.valves.iter().all(Valve::is_daily);
        let mut tables: Vec<Vec<Arc<PumpDay>>> = vec![Vec::new(); scenario.valves.len()];
        for day in 0..scenario.last_plans_begin() + round {
            let plans: Vec<Plan> = (0..tables.len()).map(|valve| scenario.plan_on(valve, day)).collect();
            if round == 1 && daily && tables.iter().zip(&plans).all(|(table, plan)| table.last().is_some_and(|d| d.plan == *plan)) {
                tables.iter_mut().for_each(|table| table.extend(table.last().cloned()));
                continue;
            }
            let called = plans.iter().map(|plan| day_foreseen(scenario, *plan, day, light.as_ref())).collect();
            for (table, given) in tables.iter_mut().zip(pump::shared(scenario, called)) {
                table.push(Arc::new(given));
            }
        }
        tables.into_iter().map(|days| Arc::new(Self { days, round, tank: None })).collect()
    }
}

/// Where a day stands among so many days, the last round of which stands for all that follow.
#[must_use]
pub(in crate::engine) fn place(day: usize, days: usize, round: usize) -> usize {
    let begin = days.saturating_sub(round);
    if day < days { day } else { begin + (day - begin) % round.min(days).max(1) }
}

/// What clock and light call for on one day of a plan.
#[must_use]
pub fn day_foreseen(scenario: &Scenario, plan: Plan, day: usize, light: Option<&LightClock>) -> PumpDay {
    let mut overfull = false;
    let clock = scenario.events(plan).iter().enumerate().filter(|(_, e)| e.days.has(day));
    let mut calls: Vec<Call> = clock.map(|(i, e)| Call::new(*e, scenario, plan.valve, By::Clock(i))).collect();
    calls.sort_by_key(|c| c.event.start);
    for (i, rule) in scenario.rules(plan).iter().enumerate() {
        if let (When::Light(sum), Some(light)) = (&rule.when, light) {
            let (mut from, last) = (on_day(day, rule.first.seconds()), on_day(day, rule.last.seconds()));
            let (begin, each) = (light.megajoules(from), light.megajoules_in(*sum));
            let mut count = 1.0;
            while let Some(at) = light.when(begin + count * each, from, last) {
                (from, count) = (at, count + 1.0);
                let Some(event) = free_place(rule, at - on_day(day, 0.0), &calls) else { break };
                if calls.len() >= MAX_EVENTS {
                    overfull = true;
                    break;
                }
                let place = calls.partition_point(|c| c.event.start <= event.start);
                calls.insert(place, Call::new(event, scenario, plan.valve, By::Rule(i)));
            }
        }
    }
    let events = calls.iter().map(|c| c.event).collect();
    PumpDay { plan, calls, events, overfull, ..PumpDay::default() }
}

/// A rule's event at the first free place from a time (s after midnight) on; `None` if there is none up to its latest start. A valve
/// gives one event at a time: what comes while it is open waits.
pub(in crate::engine) fn free_place(rule: &Rule, from_s: f64, calls: &[Call]) -> Option<Event> {
    let mut event = rule.event(from_s);
    for other in calls.iter().map(|c| &c.event) {
        if other.start_s() < event.end_s() && event.start_s() < other.end_s() {
            event = rule.event(other.end_s());
        }
    }
    (event.start <= rule.last && event.end_s() <= DAY_S).then_some(event)
}

/// A plan's schedule with the events that its rules called for on a day as events of the clock, as they were asked for.
#[must_use]
pub fn frozen(schedule: &[Event], day: &PumpDay) -> Vec<Event> {
    let called = day.calls.iter().chain(&day.missed).chain(&day.too_late).filter(|c| matches!(c.by, By::Rule(_))).map(|c| c.wanted);
    let mut events: Vec<Event> = schedule.iter().copied().chain(called).collect();
    events.sort_by_key(|e| (e.start, e.seconds));
    events
}
