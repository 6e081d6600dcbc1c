//! All lanes that matter side by side, from event to event through a day.

use std::sync::Arc;

use rayon::prelude::*;

use super::keeper::{Extent, Keeper};
use crate::engine::run::lane::Ready;
use crate::engine::run::ledger::Ledger;
use crate::engine::run::repeats::stores;
use crate::engine::run::simulation::Simulation;
use crate::engine::supply::clock::EventClock;
use crate::engine::supply::light_clock::LightClock;
use crate::engine::supply::tank::{Level, TankLog};
use crate::engine::supply::timetable::{By, Call, PumpDay, Timetable, day_foreseen, free_place};
use crate::scenario::plan::on_day;
use crate::scenario::{DAY_S, Give, Lane, MAX_EVENTS, Scenario, When};

/// A lane among those that matter.
struct Runner<'a> {
    name: &'a str,
    plants: f64,
    dose: f64,
    simulation: Simulation,
    /// Its ledger when it was last looked at.
    seen: Ledger,
    /// A step did not converge: it stands where it stopped.
    stopped: bool,
    /// Who keeps what it goes through.
    keeper: Option<Box<dyn Keeper + 'a>>,
}

/// The bench in motion.
pub(super) struct Bench<'a> {
    scenario: &'a Scenario,
    light: Option<LightClock>,
    runners: Vec<Runner<'a>>,
    tank: Option<Level>,
    now_s: f64,
    /// When the last event ended, s since the first midnight.
    last_end_s: f64,
    /// When the tank was filled by the clock today, s since the first midnight.
    fillings: Vec<f64>,
}

/// The bench but for its lanes as it stood at a midnight, to be taken up from there.
#[derive(Clone, Debug)]
pub(super) struct Midnight {
    /// The tank without its log, and how far that went.
    tank: Option<(Level, [usize; 2])>,
    last_end_s: f64,
    /// Stores of water and salt, of the lanes and of the tank.
    pub stores: Vec<(f64, f64)>,
}

/// Whether a lane matters to the pump: it is listened to, or it draws from the tank.
pub(in crate::engine::run) fn matters(scenario: &Scenario, lane: &Lane) -> bool {
    let heard = |name: &str| scenario.all_rules().any(|r| matches!(&r.when, When::Dry { lane, .. } if lane == name));
    scenario.tank.is_some() || heard(&lane.name)
}

impl<'a> Bench<'a> {
    /// With its lanes as they stand at the midnight that a day (from 0) begins with, which without keepers is the first.
    pub fn new(scenario: &'a Scenario, lanes: &[Ready], keepers: Vec<Box<dyn Keeper + 'a>>, day: usize) -> Self {
        let tank = Level::new(scenario);
        let mut keepers = keepers.into_iter();
        let runner = |(lane, ready): (&'a Lane, &Ready)| {
            matters(scenario, lane).then(|| {
                let mut keeper = keepers.next();
                let mut simulation = keeper.as_mut().map_or_else(|| ready.simulation(), |keeper| keeper.take_up(day));
                simulation.follow(Arc::new(EventClock::silent()));
                let seen = *simulation.ledger();
                Runner { name: &lane.name, plants: f64::from(lane.plants), dose: lane.dose, simulation, seen, stopped: false, keeper }
            })
        };
        let runners = scenario.lanes.iter().zip(lanes).filter_map(runner).collect();
        Self { scenario, light: LightClock::of(scenario), runners, tank, now_s: 0.0, last_end_s: f64::NEG_INFINITY, fillings: Vec::new() }
    }

    /// Tells the keepers that a day is over, and what was given up to now.
    pub fn day_over(&mut self, timetable: impl FnOnce() -> Arc<Timetable>) {
        if self.runners.iter().any(|r| r.keeper.is_some()) {
            let timetable = timetable();
            let keepers = self.runners.par_iter_mut().filter_map(|r| r.keeper.as_mut());
            keepers.for_each(|keeper| keeper.day_over(&timetable));
        }
    }

    /// Lets the keepers go: what is still to come is not theirs.
    pub fn leave_keepers(&mut self) {
        for runner in &mut self.runners {
            if let Some(mut keeper) = runner.keeper.take() {
                keeper.leave(&runner.simulation);
            }
        }
    }

    /// As it stands now, at a midnight.
    pub fn midnight(&self) -> Midnight {
        let tank = |tank: &Level| (tank.with_log(TankLog::default()), [tank.log.points.len(), tank.log.days.len()]);
        Midnight { tank: self.tank.as_ref().map(tank), last_end_s: self.last_end_s, stores: self.stores() }
    }

    /// Takes the rest of the bench up as it stood at the midnight that a day (from 0) begins with; `log` is the tank's, at least up to then.
    pub fn take_up(&mut self, at: &Midnight, log: &TankLog, day: usize) {
        self.tank = at.tank.as_ref().map(|(level, [points, days])| level.with_log(log.up_to(*points, *days)));
        (self.now_s, self.last_end_s) = (on_day(day, 0.0), at.last_end_s);
    }

    /// Events so far that the tank gave less than they asked for, or nothing.
    pub fn short_so_far(&self) -> u32 {
        self.tank.as_ref().map_or(0, Level::short_so_far)
    }

    /// What became of the tank so far.
    pub fn log(&self) -> Option<&TankLog> {
        self.tank.as_ref().map(|level| &level.log)
    }

    /// Stores of water and salt, of the lanes and of the tank.
    fn stores(&self) -> Vec<(f64, f64)> {
        let tank = self.tank.iter().map(|t| (t.litres(), t.litres() * t.ec()));
        self.runners.iter().map(|r| stores(&r.simulation)).chain(tank).collect()
    }

    /// Goes through a day, or only up to its first event.
    pub fn day(&mut self, day: usize, only_first: bool) -> PumpDay {
        let plan = self.scenario.plan_on(day);
        let foreseen = day_foreseen(self.scenario, plan, day, self.light.as_ref());
        let midnight = on_day(day, 0.0);
        let end = midnight + DAY_S;
        let mut done = PumpDay { plan, overfull: foreseen.overfull, ..PumpDay::default() };
        let mut tried = foreseen.calls.len();
        let mut coming = foreseen.calls.iter().peekable();
        loop {
            let next_s = coming.peek().map_or(end, |c| midnight + c.event.start_s());
            let called = self.called_before(day, plan, &foreseen.calls, next_s);
            // What a probe calls for past that is left out.
            done.overfull |= called.is_some() && tried >= MAX_EVENTS;
            let call = match called.filter(|_| tried < MAX_EVENTS) {
                Some(call) => {
                    tried += 1;
                    self.rest_until(midnight + call.event.start_s());
                    call
                }
                None => {
                    self.rest_until(next_s);
                    match coming.next() {
                        Some(call) => *call,
                        None => break,
                    }
                }
            };
            match self.give(midnight, call) {
                Some(given) => done.push(given),
                None => done.missed.push(call),
            }
            if only_first && !done.calls.is_empty() {
                break;
            }
        }
        done.filled_s = self.fillings.drain(..).map(|at| at - midnight).collect();
        // Of a day that is looked at for its first event alone the tank keeps no record.
        if let Some(tank) = self.tank.as_mut().filter(|_| !only_first) {
            tank.end_day(end);
        }
        done
    }

    /// The first event that a probe calls for before a time.
    fn called_before(&self, day: usize, plan: usize, foreseen: &[Call], next_s: f64) -> Option<Call> {
        let midnight = on_day(day, 0.0);
        let mut found: Option<(f64, Call)> = None;
        for (i, rule) in self.scenario.rules(plan).iter().enumerate() {
            let When::Dry { lane, falls_to, pause_s } = &rule.when else { continue };
            let Some(runner) = self.runners.iter().find(|r| r.name == lane) else { continue };
            let from = (midnight + rule.first.seconds()).max(self.last_end_s + f64::from(*pause_s)).max(self.now_s);
            let to = found.as_ref().map_or(next_s, |f| f.0).min(midnight + rule.last.seconds());
            let Some(at) = (from <= to).then(|| runner.dry_at(*falls_to, from, to)).flatten() else { continue };
            // What would run into an event of the clock waits until that is over.
            let Some(event) = free_place(rule, at - midnight, foreseen) else { continue };
            if midnight + event.start_s() < next_s - 1e-6 {
                found = Some((midnight + event.start_s(), Call::new(event, self.scenario, By::Rule(i))));
            }
        }
        found.map(|f| f.1)
    }

    /// Runs on without an event, filling the tank when its time comes; what fell due during an event is made up for at once, and what
    /// is due at the very end comes before what follows, unless that is another day.
    fn rest_until(&mut self, until_s: f64) {
        let day_ends = (until_s / DAY_S).fract() == 0.0;
        let due = |at: &f64| if day_ends { *at < until_s } else { *at <= until_s };
        while let Some(at) = self.tank.as_ref().and_then(Level::next_filling).filter(due) {
            if at >= self.now_s {
                self.fillings.push(at);
            }
            self.run_to(at.max(self.now_s));
            if let Some(tank) = &mut self.tank {
                tank.fill_by_clock(self.now_s);
            }
        }
        self.run_to(until_s);
    }

    /// Runs all lanes to a time; what drained comes back to the tank.
    fn run_to(&mut self, until_s: f64) {
        advance(&mut self.runners, until_s);
        self.now_s = until_s;
        let Some(tank) = &mut self.tank else { return };
        for runner in &mut self.runners {
            let passed = runner.simulation.ledger().since(&runner.seen);
            runner.seen = *runner.simulation.ledger();
            let litres = runner.plants * 1e-3;
            tank.take_back(litres * passed.water.drained(), litres * passed.salt.drained());
        }
    }

    /// Gives an event, with what the tank holds; `None` where it is not given: there is nothing in it, or too little for the table.
    fn give(&mut self, midnight: f64, mut call: Call) -> Option<Call> {
        let end = midnight + call.event.end_s();
        let drawn = call.event.ec.is_none() && self.tank.is_some();
        let mut given = true;
        if let Some(tank) = self.tank.as_mut().filter(|_| drawn) {
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
            }
        }
        if given {
            let before: Vec<Ledger> = self.runners.iter().map(|r| *r.simulation.ledger()).collect();
            // How much a flood takes is known only once it stood there.
            let stand = |r: &Runner<'_>| (r.simulation.clone(), r.seen, r.stopped, r.keeper.as_ref().map(|k| k.extent()));
            let without: Option<Vec<Stand>> = (drawn && call.event.give.is_flood()).then(|| self.runners.iter().map(stand).collect());
            for runner in &mut self.runners {
                runner.simulation.follow(Arc::new(EventClock::only(&call, runner.dose)));
            }
            advance(&mut self.runners, end);
            let taken = |(r, b): (&Runner<'_>, &Ledger)| r.plants * 1e-3 * r.simulation.ledger().since(b).water.applied;
            let litres: f64 = self.runners.iter().zip(&before).map(taken).sum();
            if let Some(tank) = self.tank.as_mut().filter(|_| drawn) {
                match without.filter(|_| litres > tank.litres()) {
                    Some(without) => {
                        tank.fell_short();
                        for (runner, (simulation, seen, stopped, extent)) in self.runners.iter_mut().zip(without) {
                            (runner.simulation, runner.seen, runner.stopped) = (simulation, seen, stopped);
                            if let (Some(keeper), Some(extent)) = (&mut runner.keeper, extent) {
                                keeper.back_to(extent);
                            }
                        }
                        given = false;
                    }
                    None => tank.draw(litres),
                }
            }
        }
        for runner in &mut self.runners {
            runner.simulation.follow(Arc::new(EventClock::silent()));
        }
        self.run_to(end);
        if let Some(tank) = &mut self.tank {
            tank.mark(end);
        }
        self.last_end_s = end;
        given.then_some(call)
    }
}

/// A lane as it stood before an event, and how much of it was kept.
type Stand = (Simulation, Ledger, bool, Option<Extent>);

/// Runs lanes to a time, side by side; one that does not converge stays where it stopped.
fn advance(runners: &mut [Runner<'_>], until_s: f64) {
    runners.par_iter_mut().filter(|r| !r.stopped).for_each(|r| {
        let keeper = &mut r.keeper;
        let advanced = r.simulation.advance_to(until_s, |now| keeper.iter_mut().for_each(|k| k.see(now)));
        r.stopped = advanced.is_err();
    });
}

/// Less than this is no event, mL per plant.
const LEAST_ML: f64 = 0.1;

impl Runner<'_> {
    /// When, between two times, the probe first reads a water content or less without any event; `None` if it does not.
    fn dry_at(&self, falls_to: f64, from_s: f64, to_s: f64) -> Option<f64> {
        if self.stopped {
            return None;
        }
        let mut ahead = self.simulation.clone();
        ahead.advance_to(from_s, |_| {}).ok()?;
        let read = |s: &Simulation| s.column().probe_reading(&s.state().theta);
        let mut before = (ahead.time_s(), read(&ahead));
        if before.1 <= falls_to {
            return Some(from_s);
        }
        let mut crossed = None;
        let went_on = ahead.advance_while(to_s, |s| {
            let now = (s.time_s(), read(s));
            if now.1 <= falls_to {
                let x = (before.1 - falls_to) / (before.1 - now.1);
                crossed = Some(before.0 + x * (now.0 - before.0));
            }
            before = now;
            crossed.is_none()
        });
        went_on.ok().and(crossed)
    }
}
