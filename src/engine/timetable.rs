//! The timetable: every event of every day, whatever called for it, with the EC it has.

use std::sync::Arc;

use super::light_clock::LightClock;
use super::tank::TankLog;
use crate::scenario::plan::on_day;
use crate::scenario::{DAY_S, Event, MAX_EVENTS, Rule, Scenario, When};

/// What called for an event.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// The clock: its place in the plan's schedule.
    Clock(usize),
    /// A rule: its place among the plan's rules.
    Rule(usize),
}

/// One event of a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Call {
    /// When, how long, how much. Less than was asked for where the tank ran out.
    pub event: Event,
    /// mS/cm.
    pub ec: f64,
    /// What called for it.
    pub by: By,
}

/// The events of a day, in order of their start; they never overlap.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PumpDay {
    /// The plan in force.
    pub plan: usize,
    /// With what called for them.
    pub calls: Vec<Call>,
    /// The same events alone.
    pub events: Vec<Event>,
    /// Events that the tank gave less than they asked for, or nothing: the latter are not among the calls.
    pub short: u32,
}

impl PumpDay {
    /// A day with these calls, in order of their start.
    #[must_use]
    pub fn new(plan: usize, calls: Vec<Call>) -> Self {
        let events = calls.iter().map(|c| c.event).collect();
        Self { plan, calls, events, short: 0 }
    }

    /// The same day, on which the tank fell short of some events.
    #[must_use]
    pub fn fell_short(self, short: u32) -> Self {
        Self { short, ..self }
    }
}

/// Every event of every day.
#[derive(Clone, Debug, Default)]
pub struct Timetable {
    /// Days in order; the last stands for all that follow.
    days: Vec<Arc<PumpDay>>,
    /// What became of the tank, if there is one.
    pub tank: Option<Arc<TankLog>>,
}

impl Timetable {
    /// These days, the last of which stands for all that follow.
    #[must_use]
    pub fn new(days: Vec<Arc<PumpDay>>, tank: Option<Arc<TankLog>>) -> Self {
        Self { days, tank }
    }

    /// A day's events. Days past the end are as the last.
    #[must_use]
    pub fn day(&self, day: usize) -> Option<&Arc<PumpDay>> {
        self.days.get(day).or(self.days.last())
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

    /// The days that differ; the last stands for all that follow.
    #[must_use]
    pub fn days(&self) -> &[Arc<PumpDay>] {
        &self.days
    }

    /// One of its days, from 0, and the one after it as the first two of another timetable.
    #[must_use]
    pub fn of_day(&self, day: usize) -> Self {
        let days = [day, day + 1].into_iter().filter_map(|d| self.day(d).cloned()).collect();
        Self { days, tank: self.tank.clone() }
    }

    /// When a day's first event begins, s after its midnight.
    #[must_use]
    pub fn first_start(&self, day: usize) -> Option<f64> {
        self.events(day).first().map(Event::start_s)
    }

    /// What clock and light call for, over so many days (at least 1) or until they repeat themselves. Rules that listen to a probe and
    /// the tank are left out.
    #[must_use]
    pub fn foreseen(scenario: &Scenario, days: usize) -> Self {
        let light = LightClock::of(scenario);
        let by_light = scenario.all_rules().any(|r| !r.listens());
        let varied = by_light && light.as_ref().is_some_and(|l| !l.repeats_daily());
        let last_change = scenario.plan_begins(scenario.changes.len());
        let count = if varied { days.max(last_change + 1) } else { last_change + 1 };
        let mut table: Vec<Arc<PumpDay>> = Vec::with_capacity(count);
        for day in 0..count {
            let plan = scenario.plan_on(day);
            match table.last().filter(|d| d.plan == plan && !varied) {
                Some(same) => table.push(Arc::clone(same)),
                None => table.push(Arc::new(PumpDay::new(plan, day_foreseen(scenario, plan, day, light.as_ref())))),
            }
        }
        Self { days: table, tank: None }
    }
}

/// What clock and light call for on one day.
#[must_use]
pub fn day_foreseen(scenario: &Scenario, plan: usize, day: usize, light: Option<&LightClock>) -> Vec<Call> {
    let call = |event: Event, by| Call { event, ec: scenario.event_ec(&event), by };
    let mut calls: Vec<Call> = scenario.events(plan).iter().enumerate().map(|(i, e)| call(*e, By::Clock(i))).collect();
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
                    break;
                }
                let place = calls.partition_point(|c| c.event.start <= event.start);
                calls.insert(place, call(event, By::Rule(i)));
            }
        }
    }
    calls
}

/// A rule's event at the first free place from a time (s after midnight) on; `None` if there is none up to its latest start. One pump
/// gives one event at a time: what comes while it runs waits.
pub(super) fn free_place(rule: &Rule, from_s: f64, calls: &[Call]) -> Option<Event> {
    let mut event = rule.event(from_s);
    for other in calls.iter().map(|c| &c.event) {
        if other.start_s() < event.end_s() && event.start_s() < other.end_s() {
            event = rule.event(other.end_s());
        }
    }
    (event.start <= rule.last && event.end_s() <= DAY_S).then_some(event)
}

/// A plan's schedule with the events that its rules called for on a day as events of the clock.
#[must_use]
pub fn frozen(schedule: &[Event], day: &PumpDay) -> Vec<Event> {
    let called = day.calls.iter().filter(|c| matches!(c.by, By::Rule(_))).map(|c| c.event);
    let mut events: Vec<Event> = schedule.iter().copied().chain(called).collect();
    events.sort_by_key(|e| (e.start, e.seconds));
    events
}
