//! All lanes that matter side by side, from event to event through a day.

use std::sync::Arc;

use rayon::prelude::*;

use super::keeper::{Extent, Keeper};
use crate::engine::run::lane::Ready;
use crate::engine::run::ledger::Ledger;
use crate::engine::run::repeats::stores;
use crate::engine::run::simulation::Simulation;
use crate::engine::run::simulation::checkpoint::Checkpoint;
use crate::engine::supply::clock::EventClock;
use crate::engine::supply::light_clock::LightClock;
use crate::engine::supply::pump::{PumpLoad, put_off};
use crate::engine::supply::tank::{Level, TankLog};
use crate::engine::supply::timetable::{By, Call, PumpDay, Timetable, day_foreseen, free_place};
use crate::scenario::plan::on_day;
use crate::scenario::{Clock, DAY_S, Give, Lane, MAX_EVENTS, Plan, Scenario, When};

/// A lane among those that matter.
struct Runner<'a> {
    name: &'a str,
    valve: usize,
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
    /// When the last event of each valve ended, s since the first midnight.
    last_end_s: Vec<f64>,
    /// When the tank was filled by the clock today, s since the first midnight.
    fillings: Vec<f64>,
}

/// What a valve goes through on a day.
struct Line {
    plan: Plan,
    /// What clock and light call for.
    foreseen: Vec<Call>,
    /// Of those, how many had their turn.
    begun: usize,
    /// How many were called for, by whatever.
    tried: usize,
    /// What was called for and waits for the pump, up to when (s since the first midnight).
    waiting: Option<(Call, f64)>,
    /// The event that goes on.
    open: Option<Open>,
    done: PumpDay,
}

/// An event that goes on.
struct Open {
    call: Call,
    /// s since the first midnight.
    end_s: f64,
    /// It is given, and not only its time goes by.
    given: bool,
    /// Litres that it draws from the tank, where it does.
    drawn: Option<f64>,
}

impl Line {
    /// When the next event is due (s since the first midnight), and when it was first.
    fn due(&self, midnight: f64) -> Option<(f64, Clock)> {
        if self.open.is_some() {
            return None;
        }
        let next = self.foreseen.get(self.begun).map(|call| (midnight + call.event.start_s(), call.event.start));
        self.waiting.map(|(call, until)| (until, call.event.start)).or(next)
    }
}

/// The bench but for its lanes as it stood at a midnight, to be taken up from there.
#[derive(Clone, Debug)]
pub(super) struct Midnight {
    /// The tank without its log, and how far that went.
    tank: Option<(Level, [usize; 2])>,
    last_end_s: Vec<f64>,
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
                Runner {
                    name: &lane.name,
                    valve: lane.valve,
                    plants: f64::from(lane.plants),
                    dose: lane.dose,
                    simulation,
                    seen,
                    stopped: false,
                    keeper,
                }
            })
        };
        let runners = scenario.lanes.iter().zip(lanes).filter_map(runner).collect();
        let last_end_s = vec![f64::NEG_INFINITY; scenario.valves.len()];
        Self { scenario, light: LightClock::of(scenario), runners, tank, now_s: 0.0, last_end_s, fillings: Vec::new() }
    }

    /// Tells the keepers that a day is over, and what each valve gave up to now.
    pub fn day_over(&mut self, timetables: impl FnOnce() -> Vec<Arc<Timetable>>) {
        if self.runners.iter().any(|r| r.keeper.is_some()) {
            let timetables = timetables();
            let keepers = self.runners.par_iter_mut().filter_map(|r| Some((r.valve, r.keeper.as_mut()?)));
            keepers.for_each(|(valve, keeper)| keeper.day_over(&timetables[valve]));
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
        Midnight { tank: self.tank.as_ref().map(tank), last_end_s: self.last_end_s.clone(), stores: self.stores() }
    }

    /// Takes the rest of the bench up as it stood at the midnight that a day (from 0) begins with; `log` is the tank's, at least up to then.
    pub fn take_up(&mut self, at: &Midnight, log: &TankLog, day: usize) {
        self.tank = at.tank.as_ref().map(|(level, [points, days])| level.with_log(log.up_to(*points, *days)));
        (self.now_s, self.last_end_s) = (on_day(day, 0.0), at.last_end_s.clone());
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
    pub fn stores(&self) -> Vec<(f64, f64)> {
        let tank = self.tank.iter().map(|t| (t.litres(), t.litres() * t.ec()));
        self.runners.iter().map(|r| stores(&r.simulation)).chain(tank).collect()
    }

    /// Goes through a day, or only up to the first event of each valve: what each valve gave.
    pub fn day(&mut self, day: usize, only_first: bool) -> Vec<PumpDay> {
        let midnight = on_day(day, 0.0);
        let end = midnight + DAY_S;
        let mut pump = PumpLoad::new(self.scenario);
        let line = |valve| {
            let plan = self.scenario.plan_on(valve, day);
            let foreseen = day_foreseen(self.scenario, plan, day, self.light.as_ref());
            let done = PumpDay { plan, overfull: foreseen.overfull, ..PumpDay::default() };
            Line { plan, tried: foreseen.calls.len(), foreseen: foreseen.calls, begun: 0, waiting: None, open: None, done }
        };
        let mut lines: Vec<Line> = (0..self.scenario.valves.len()).map(line).collect();
        loop {
            // What ends first goes before what begins then; of what begins, what was due first.
            let ends = lines.iter().enumerate().filter_map(|(v, l)| Some((l.open.as_ref()?.end_s, v)));
            let ends = ends.min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
            let begins = lines.iter().enumerate().filter_map(|(v, l)| l.due(midnight).map(|(at, asked)| (at.max(self.now_s), asked, v)));
            let begins = begins.min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)).then(a.2.cmp(&b.2)));
            let next_s = ends.map_or(end, |e| e.0).min(begins.map_or(end, |b| b.0));
            let called = self.called_before(day, &lines, next_s);
            // What a probe calls for past that is left out.
            let called = called.filter(|(valve, _)| {
                let overfull = lines[*valve].tried >= MAX_EVENTS;
                lines[*valve].done.overfull |= overfull;
                !overfull
            });
            if let Some((valve, call)) = called {
                lines[valve].tried += 1;
                self.begin((midnight, midnight + call.event.start_s()), (valve, call), &mut lines, &mut pump);
            } else if let Some((at, valve)) = ends.filter(|(at, _)| *at <= next_s) {
                self.finish((midnight, at), valve, &mut lines);
            } else if let Some((at, _, valve)) = begins {
                let line = &mut lines[valve];
                let call = line.waiting.take().map(|(call, _)| call).or_else(|| {
                    line.begun += 1;
                    line.foreseen.get(line.begun - 1).copied()
                });
                if let Some(call) = call {
                    self.begin((midnight, at), (valve, call), &mut lines, &mut pump);
                }
            } else {
                self.rest_until(end);
                break;
            }
            if only_first && lines.iter().all(|l| l.open.is_none() && !l.done.calls.is_empty()) {
                break;
            }
        }
        for line in &mut lines {
            line.done.stops_s.extend(self.fillings.iter().map(|at| at - midnight));
        }
        self.fillings.clear();
        // Of a day that is looked at for its first events alone the tank keeps no record.
        if let Some(tank) = self.tank.as_mut().filter(|_| !only_first) {
            tank.end_day(end);
        }
        lines.into_iter().map(|line| line.done).collect()
    }

    /// Goes on to a time at which something begins: the tank is filled only while nothing is open.
    fn go_to(&mut self, at_s: f64, lines: &[Line]) {
        if lines.iter().any(|l| l.open.is_some()) {
            self.run_to(at_s);
        } else {
            self.rest_until(at_s);
        }
    }

    /// A valve's event is due at a time (s since the first midnight): it begins, or waits for the pump.
    fn begin(&mut self, (midnight, at_s): (f64, f64), (valve, call): (usize, Call), lines: &mut [Line], pump: &mut PumpLoad) {
        let free = pump.free_from(valve, &call.event, at_s);
        if free > at_s {
            lines[valve].waiting = Some((call, free));
            return;
        }
        let Some(mut call) = put_off(&call, at_s - midnight) else {
            lines[valve].done.too_late.push(call);
            return;
        };
        // Who waits does not stop the others.
        self.go_to(at_s, lines);
        let end_s = midnight + call.event.end_s();
        pump.begin(valve, &mut call, [at_s, end_s]);
        let reserved = lines.iter().filter_map(|l| l.open.as_ref()?.drawn).sum();
        let short = self.short_so_far();
        let open = self.give((valve, call), end_s, reserved);
        let line = &mut lines[valve];
        line.done.short += self.short_so_far() - short;
        line.open = Some(open);
        let others = lines.iter_mut().enumerate().filter(|(other, _)| *other != valve);
        others.for_each(|(_, line)| line.done.stops_s.push(at_s - midnight));
    }

    /// A valve's event is over.
    fn finish(&mut self, (midnight, end_s): (f64, f64), valve: usize, lines: &mut [Line]) {
        let line = &mut lines[valve];
        let Some(open) = line.open.take() else { return };
        let short = self.short_so_far();
        if let (Some(tank), Some(litres)) = (&mut self.tank, open.drawn) {
            tank.draw(litres);
        }
        line.done.short += self.short_so_far() - short;
        self.run_to(end_s);
        if let Some(tank) = &mut self.tank {
            tank.mark(end_s);
        }
        self.last_end_s[valve] = end_s;
        if open.given {
            line.done.push(open.call);
        } else {
            line.done.missed.push(open.call);
        }
        let others = lines.iter_mut().enumerate().filter(|(other, _)| *other != valve);
        others.for_each(|(_, line)| line.done.stops_s.push(end_s - midnight));
    }

    /// The first event that a probe calls for before a time, and on which valve.
    fn called_before(&self, day: usize, lines: &[Line], next_s: f64) -> Option<(usize, Call)> {
        let midnight = on_day(day, 0.0);
        let mut found: Option<(f64, usize, Call)> = None;
        for (valve, line) in lines.iter().enumerate().filter(|(_, l)| l.open.is_none() && l.waiting.is_none()) {
            for (i, rule) in self.scenario.rules(line.plan).iter().enumerate() {
                let When::Dry { lane, falls_to, pause_s } = &rule.when else { continue };
                let Some(runner) = self.runners.iter().find(|r| r.name == lane) else { continue };
                let rested = self.last_end_s[valve] + f64::from(*pause_s);
                // A lane that is being watered is read when that is over.
                let from = (midnight + rule.first.seconds()).max(rested).max(self.now_s).max(runner.simulation.time_s());
                let to = found.as_ref().map_or(next_s, |f| f.0).min(midnight + rule.last.seconds());
                let Some(at) = (from <= to).then(|| runner.dry_at(*falls_to, from, to)).flatten() else { continue };
                // What would run into an event of the clock waits until that is over.
                let Some(event) = free_place(rule, at - midnight, &line.foreseen) else { continue };
                if midnight + event.start_s() < next_s - 1e-6 {
                    found = Some((midnight + event.start_s(), valve, Call::new(event, self.scenario, valve, By::Rule(i))));
                }
            }
        }
        found.map(|(_, valve, call)| (valve, call))
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
        // Lanes that are being watered stand where that is over: what they drained meanwhile comes back then.
        for runner in self.runners.iter_mut().filter(|r| r.stopped || r.simulation.time_s() <= until_s) {
            let passed = runner.simulation.ledger().since(&runner.seen);
            runner.seen = *runner.simulation.ledger();
            let litres = runner.plants * 1e-3;
            tank.take_back(litres * passed.water.drained(), litres * passed.salt.drained());
        }
    }

    /// Gives an event up to its end (s since the first midnight), with what the tank holds beyond what is reserved (L): the lanes on its valve
    /// go through it. There may be nothing in the tank, or too little for the table.
    fn give(&mut self, (valve, mut call): (usize, Call), end_s: f64, reserved: f64) -> Open {
        let drawn = self.scenario.draws(valve, &call.event);
        let mut given = true;
        if let Some(tank) = self.tank.as_mut().filter(|_| drawn) {
            tank.before_event();
            tank.mark(self.now_s);
            call.ec = tank.ec();
            if let Give::Drip { ml } = call.event.give {
                let wanted: f64 = self.runners.iter().filter(|r| r.valve == valve).map(|r| r.plants * r.dose * ml * 1e-3).sum();
                let left = tank.litres() - reserved;
                if wanted > left * (1.0 + 1e-9) {
                    tank.fell_short();
                    call.event.give = Give::Drip { ml: ml * left.max(0.0) / wanted };
                }
                given = call.event.ml().is_some_and(|ml| ml >= LEAST_ML);
            }
        }
        if !given {
            return Open { call, end_s, given, drawn: None };
        }
        let tried = drawn && call.event.give.is_flood();
        let left = self.tank.as_ref().map(|tank| tank.litres() - reserved);
        let mut mine: Vec<&mut Runner<'_>> = self.runners.iter_mut().filter(|r| r.valve == valve).collect();
        let before: Vec<Ledger> = mine.iter().map(|r| *r.simulation.ledger()).collect();
        // How much a flood takes is known only once it stood there.
        let stand = |r: &Runner<'_>| (r.simulation.clone(), r.seen, r.stopped, r.keeper.as_ref().map(|k| k.extent()));
        let without: Option<Vec<Stand>> = tried.then(|| mine.iter().map(|r| stand(r)).collect());
        for runner in &mut mine {
            runner.simulation.follow(Arc::new(EventClock::only(&call, runner.dose)));
        }
        mine.par_iter_mut().for_each(|r| r.advance(end_s));
        let taken = |(r, b): (&&mut Runner<'_>, &Ledger)| r.plants * 1e-3 * r.simulation.ledger().since(b).water.applied;
        let litres: f64 = mine.iter().zip(&before).map(taken).sum();
        if let Some(without) = without.filter(|_| left.is_some_and(|left| litres > left)) {
            for (runner, (simulation, seen, stopped, extent)) in mine.iter_mut().zip(without) {
                (runner.simulation, runner.seen, runner.stopped) = (simulation, seen, stopped);
                if let (Some(keeper), Some(extent)) = (&mut runner.keeper, extent) {
                    keeper.back_to(extent);
                }
            }
            given = false;
        }
        for runner in &mut mine {
            runner.simulation.follow(Arc::new(EventClock::silent()));
        }
        if let Some(tank) = self.tank.as_mut().filter(|_| !given) {
            tank.fell_short();
        }
        Open { call, end_s, given, drawn: (drawn && given).then_some(litres) }
    }
}

/// What a search for the day that repeats itself asks of the bench, at midnights.
impl Bench<'_> {
    /// The lanes as they stand.
    pub fn checkpoints(&self) -> Vec<Checkpoint> {
        self.runners.iter().map(|r| r.simulation.checkpoint()).collect()
    }

    /// Their books.
    pub fn ledgers(&self) -> Vec<Ledger> {
        self.runners.iter().map(|r| *r.simulation.ledger()).collect()
    }

    /// Whether a lane stopped.
    pub fn has_stopped(&self) -> bool {
        self.runners.iter().any(|r| r.stopped)
    }

    /// Salt of all plants, mS/cm·L: layer by layer, lane by lane, and at last what is in the tank, where there is one.
    pub fn salt(&self) -> Vec<f64> {
        let of_lanes = self.runners.iter().flat_map(|r| r.simulation.salt().into_iter().map(|salt| salt * r.plants * 1e-3));
        of_lanes.chain(self.tank.iter().map(|tank| tank.ec() * tank.litres())).collect()
    }

    /// Water of all plants and of the tank, L.
    pub fn litres(&self) -> f64 {
        let of_lanes = self.runners.iter().map(|r| r.simulation.ledger().water_stored * r.plants * 1e-3);
        of_lanes.sum::<f64>() + self.tank.as_ref().map_or(0.0, Level::litres)
    }

    /// Puts other salt there, in the order of [`Self::salt`]; the books begin anew.
    pub fn put_salt(&mut self, salt: &[f64]) {
        let mut rest = salt;
        for runner in &mut self.runners {
            let (mine, others) = rest.split_at(runner.simulation.column().len().min(rest.len()));
            let per_plant: Vec<f64> = mine.iter().map(|salt| salt / (runner.plants * 1e-3)).collect();
            runner.simulation.put_salt(&per_plant);
            (runner.seen, rest) = (*runner.simulation.ledger(), others);
        }
        if let (Some(tank), Some(salt)) = (&mut self.tank, rest.first()) {
            tank.put_salt(*salt);
        }
    }
}

/// A lane as it stood before an event, and how much of it was kept.
type Stand = (Simulation, Ledger, bool, Option<Extent>);

/// Runs lanes to a time, side by side; one that does not converge stays where it stopped.
fn advance(runners: &mut [Runner<'_>], until_s: f64) {
    runners.par_iter_mut().for_each(|r| r.advance(until_s));
}

/// Less than this is no event, mL per plant.
const LEAST_ML: f64 = 0.1;

impl Runner<'_> {
    /// Runs it to a time, or up to where it does not converge.
    fn advance(&mut self, until_s: f64) {
        if self.stopped {
            return;
        }
        let keeper = &mut self.keeper;
        let advanced = self.simulation.advance_to(until_s, |now| keeper.iter_mut().for_each(|k| k.see(now)));
        self.stopped = advanced.is_err();
    }

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
