//! Events that cannot be known beforehand: a probe calls for them, or a tank gives them its EC. All lanes that matter go through the
//! days side by side, from event to event, and what comes of it is written down as a timetable.

use std::sync::Arc;

use rayon::prelude::*;

use super::clock::EventClock;
use super::ledger::Ledger;
use super::light_clock::LightClock;
use super::run::{Ready, repeats, stores};
use super::simulation::{RunError, Simulation};
use super::tank::Level;
use super::timetable::{By, Call, PumpDay, Timetable, day_foreseen, free_place};
use crate::scenario::plan::on_day;
use crate::scenario::{DAY_S, Give, MAX_EVENTS, Rule, Scenario, When};

/// When to stop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Until {
    /// After so many days, and the day that follows them.
    pub days: u32,
    /// Sooner, once a day repeats itself in every lane that matters and in the tank.
    pub settled: bool,
}

/// Whether a scenario's events hang on what happens.
#[must_use]
pub fn needed(scenario: &Scenario) -> bool {
    scenario.tank.is_some() || scenario.all_rules().any(Rule::listens)
}

/// The timetable of a scenario with feedback. `go_on` is asked before each day; `None` when it said no. Where a lane stops, what was
/// known up to there stands, and the lane's own run tells why.
#[must_use]
pub fn timetable(scenario: &Scenario, lanes: &[Ready], until: Until, go_on: &dyn Fn() -> bool) -> Option<Timetable> {
    let mut bench = Bench::new(scenario, lanes);
    let mut days: Vec<Arc<PumpDay>> = Vec::new();
    for day in 0..=until.days as usize {
        if !go_on() {
            return None;
        }
        let before = bench.stores();
        let last = day == until.days as usize;
        let Ok(calls) = bench.day(day, last) else { break };
        let short = bench.tank.as_ref().and_then(|t| t.log.days.get(day)).map_or(0, |d| d.short);
        days.push(Arc::new(PumpDay::new(scenario.plan_on(day), calls).fell_short(short)));
        let changes_are_over = scenario.plan_begins(scenario.changes.len()) <= day;
        if until.settled && changes_are_over && before.iter().zip(bench.stores()).all(|(a, b)| repeats(*a, b)) {
            break;
        }
    }
    if days.is_empty() {
        days.push(Arc::default());
    }
    Some(Timetable::new(days, bench.tank.map(|level| Arc::new(level.log))))
}

/// A lane among those that matter.
struct Runner<'a> {
    name: &'a str,
    plants: f64,
    dose: f64,
    simulation: Simulation,
    /// Its ledger when it was last looked at.
    seen: Ledger,
}

struct Bench<'a> {
    scenario: &'a Scenario,
    light: Option<LightClock>,
    runners: Vec<Runner<'a>>,
    tank: Option<Level>,
    now_s: f64,
    /// When the last event ended, s since the first midnight.
    last_end_s: f64,
}

impl<'a> Bench<'a> {
    fn new(scenario: &'a Scenario, lanes: &[Ready]) -> Self {
        let tank = Level::new(scenario);
        let heard = |name: &str| scenario.all_rules().any(|r| matches!(&r.when, When::Dry { lane, .. } if lane == name));
        let runner = |(lane, ready): (&'a crate::scenario::Lane, &Ready)| {
            (tank.is_some() || heard(&lane.name)).then(|| {
                let mut simulation = ready.simulation();
                simulation.follow(Arc::new(EventClock::silent()));
                let seen = *simulation.ledger();
                Runner { name: &lane.name, plants: f64::from(lane.plants), dose: lane.dose, simulation, seen }
            })
        };
        let runners = scenario.lanes.iter().zip(lanes).filter_map(runner).collect();
        Self { scenario, light: LightClock::of(scenario), runners, tank, now_s: 0.0, last_end_s: f64::NEG_INFINITY }
    }

    /// Stores of water and salt, of the lanes and of the tank.
    fn stores(&self) -> Vec<(f64, f64)> {
        let tank = self.tank.iter().map(|t| (t.litres(), t.litres() * t.ec()));
        self.runners.iter().map(|r| stores(&r.simulation)).chain(tank).collect()
    }

    /// Goes through a day, or only up to its first event, and returns its events.
    fn day(&mut self, day: usize, only_first: bool) -> Result<Vec<Call>, RunError> {
        let plan = self.scenario.plan_on(day);
        let rules = self.scenario.rules(plan);
        let foreseen = day_foreseen(self.scenario, plan, day, self.light.as_ref());
        let midnight = on_day(day, 0.0);
        let end = midnight + DAY_S;
        let mut calls: Vec<Call> = Vec::new();
        let mut coming = foreseen.iter().peekable();
        loop {
            let next_s = coming.peek().map_or(end, |c| midnight + c.event.start_s());
            let free = if calls.len() < MAX_EVENTS { self.called_before(day, rules, &foreseen, next_s)? } else { None };
            let call = match free {
                Some(call) => call,
                None => {
                    self.rest_until(next_s)?;
                    match coming.next() {
                        Some(call) => *call,
                        None => break,
                    }
                }
            };
            calls.extend(self.give(midnight, call)?);
            if only_first && !calls.is_empty() {
                return Ok(calls);
            }
        }
        if let Some(tank) = &mut self.tank {
            tank.end_day(end);
        }
        Ok(calls)
    }

    /// The first event that a probe calls for before a time; the lanes stand at its start then.
    fn called_before(&mut self, day: usize, rules: &[Rule], foreseen: &[Call], next_s: f64) -> Result<Option<Call>, RunError> {
        let midnight = on_day(day, 0.0);
        let mut found: Option<(f64, Call)> = None;
        for (i, rule) in rules.iter().enumerate() {
            let When::Dry { lane, falls_to, pause_s } = &rule.when else { continue };
            let Some(runner) = self.runners.iter().find(|r| r.name == lane) else { continue };
            let from = (midnight + rule.first.seconds()).max(self.last_end_s + f64::from(*pause_s)).max(self.now_s);
            let to = found.as_ref().map_or(next_s, |f| f.0).min(midnight + rule.last.seconds());
            if from > to {
                continue;
            }
            let Some(at) = runner.dry_at(*falls_to, from, to)? else { continue };
            // What would run into an event of the clock waits until that is over.
            let Some(event) = free_place(rule, at - midnight, foreseen) else { continue };
            if midnight + event.start_s() < next_s - 1e-6 {
                let call = Call { event, ec: self.scenario.event_ec(&event), by: By::Rule(i) };
                found = Some((midnight + event.start_s(), call));
            }
        }
        let Some((at, call)) = found else { return Ok(None) };
        self.rest_until(at)?;
        Ok(Some(call))
    }

    /// Runs on without an event, filling the tank when its time comes; what fell due during an event is made up for at once.
    fn rest_until(&mut self, until_s: f64) -> Result<(), RunError> {
        while let Some(at) = self.tank.as_ref().and_then(Level::next_filling).filter(|at| *at < until_s) {
            self.run_to(at.max(self.now_s))?;
            if let Some(tank) = &mut self.tank {
                tank.fill_by_clock(self.now_s);
            }
        }
        self.run_to(until_s)
    }

    /// Runs all lanes to a time; what drained comes back to the tank.
    fn run_to(&mut self, until_s: f64) -> Result<(), RunError> {
        self.runners.par_iter_mut().map(|r| r.simulation.advance_to(until_s, |_| {})).collect::<Result<Vec<()>, _>>()?;
        self.now_s = until_s;
        let Some(tank) = &mut self.tank else { return Ok(()) };
        for runner in &mut self.runners {
            let passed = runner.simulation.ledger().since(&runner.seen);
            runner.seen = *runner.simulation.ledger();
            let litres = runner.plants * 1e-3;
            tank.take_back(litres * passed.water.drained(), litres * passed.salt.drained());
        }
        Ok(())
    }

    /// Gives an event, with what the tank holds; `None` where it holds nothing.
    fn give(&mut self, midnight: f64, mut call: Call) -> Result<Option<Call>, RunError> {
        let from_tank = call.event.ec.is_none();
        let mut given = true;
        if let Some(tank) = self.tank.as_mut().filter(|_| from_tank) {
            tank.before_event();
            tank.mark(self.now_s);
            call.ec = tank.ec();
            if let Give::Drip { ml } = call.event.give {
                let wanted: f64 = self.runners.iter().map(|r| r.plants * r.dose * ml * 1e-3).sum();
                if wanted > tank.litres() * (1.0 + 1e-9) {
                    tank.fell_short();
                    call.event.give = Give::Drip { ml: ml * tank.litres() / wanted };
                }
                given = call.event.ml().is_some_and(|ml| ml >= LEAST_ML);
            } else if tank.litres() < LEAST_LITRES {
                tank.fell_short();
                given = false;
            }
        }
        let before: Vec<Ledger> = self.runners.iter().map(|r| *r.simulation.ledger()).collect();
        for runner in self.runners.iter_mut().filter(|_| given) {
            runner.simulation.follow(Arc::new(EventClock::only(&call, runner.dose)));
        }
        let end = midnight + call.event.end_s();
        self.draw_while(end, from_tank && given, &before)?;
        for runner in &mut self.runners {
            runner.simulation.follow(Arc::new(EventClock::silent()));
        }
        self.last_end_s = end;
        Ok(given.then_some(call))
    }

    /// Runs through an event; what the lanes take is drawn before what drains comes back.
    fn draw_while(&mut self, end_s: f64, from_tank: bool, before: &[Ledger]) -> Result<(), RunError> {
        self.runners.par_iter_mut().map(|r| r.simulation.advance_to(end_s, |_| {})).collect::<Result<Vec<()>, _>>()?;
        if let Some(tank) = self.tank.as_mut().filter(|_| from_tank) {
            let taken = |(r, b): (&Runner<'_>, &Ledger)| r.plants * 1e-3 * r.simulation.ledger().since(b).water.applied;
            tank.draw(self.runners.iter().zip(before).map(taken).sum());
        }
        self.run_to(end_s)?;
        if let Some(tank) = &mut self.tank {
            tank.mark(end_s);
        }
        Ok(())
    }
}

/// Less than this is no event, mL per plant.
const LEAST_ML: f64 = 0.1;
/// A table is not flooded from less than this, L.
const LEAST_LITRES: f64 = 1.0;

impl Runner<'_> {
    /// When, between two times, the probe first reads a water content or less without any event; `None` if it does not.
    fn dry_at(&self, falls_to: f64, from_s: f64, to_s: f64) -> Result<Option<f64>, RunError> {
        let mut ahead = self.simulation.clone();
        ahead.advance_to(from_s, |_| {})?;
        let read = |s: &Simulation| s.column().probe_reading(&s.state().theta);
        let mut before = (ahead.time_s(), read(&ahead));
        if before.1 <= falls_to {
            return Ok(Some(from_s));
        }
        let mut crossed = None;
        ahead.advance_while(to_s, |s| {
            let now = (s.time_s(), read(s));
            if now.1 <= falls_to {
                let x = (before.1 - falls_to) / (before.1 - now.1);
                crossed = Some(before.0 + x * (now.0 - before.0));
            }
            before = now;
            crossed.is_none()
        })?;
        Ok(crossed)
    }
}
