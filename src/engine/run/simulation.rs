//! One lane in motion: steps of its own choosing, landing on every change of supply, light and day.

pub mod checkpoint;
pub mod salt_map;

use std::cell::Cell;
use std::sync::Arc;

use serde::Serialize;

use super::ledger::Ledger;
use crate::engine::column::hydro::Hydro;
use crate::engine::column::layers::{Column, Layer};
use crate::engine::column::state::State;
use crate::engine::demand::load::Load;
use crate::engine::step::channel;
use crate::engine::step::salt::SaltStep;
use crate::engine::step::scheme::{FIRST, GAMMA};
use crate::engine::step::water::{Forcing, WaterStep};
use crate::engine::supply::clock::{EventClock, Supply};
use crate::scenario::DAY_S;

/// Why a run stopped before its end. What was reached up to there is kept.
#[derive(Clone, Debug, PartialEq, Serialize, thiserror::Error)]
#[error(
    "the water step did not converge at {} in layer {} (counted from the base), with steps down to {:.1e} s",
    instant(*time_s),
    layer + 1,
    step_s
)]
pub struct RunError {
    /// When, seconds since the first midnight; before that where a lane was being run in.
    pub time_s: f64,
    /// The layer that was furthest off, from 0 at the base.
    pub layer: usize,
    /// The shortest step tried, s.
    pub step_s: f64,
}

/// A time of a day of the run, or of one that a lane was run in by.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
fn instant(time_s: f64) -> String {
    let clock = crate::scenario::Clock::from_seconds(time_s.rem_euclid(DAY_S) as u32);
    let day = (time_s / DAY_S).floor();
    if day >= 0.0 {
        return format!("{clock} of day {}", day as u32 + 1);
    }
    let before = (-day) as u32;
    format!("{clock} of the run-in, {before} day{} before day 1", if before == 1 { "" } else { "s" })
}

impl RunError {
    /// What to do about it, in one line.
    #[must_use]
    pub fn remedy(&self) -> &'static str {
        "Give media of your own there another curve, a shipped medium's for example: one that is steep or conducts little while it is \
         nearly dry stops a run."
    }
}

/// What the solution took.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Stats {
    /// Steps taken.
    pub steps: u64,
    /// Steps tried and thrown away.
    pub rejected: u64,
    /// Newton iterations.
    pub iterations: u64,
    /// Salt stages that had to be closed in on, since their layers would not settle on their lines of uptake.
    pub salt_closed_in: u64,
}

/// One lane in motion.
#[derive(Clone)]
pub struct Simulation {
    column: Arc<Column>,
    clock: Arc<EventClock>,
    load: Arc<dyn Load>,
    feed_ec: f64,
    state: State,
    time: f64,
    ledger: Ledger,
    stats: Stats,
    hydro: Hydro,
    water: WaterStep,
    salt: SaltStep,
    step: f64,
    supply: Supply,
    /// Step lengths that worked when an event began, and when it ended.
    after_change: [f64; 2],
    /// Length that the last step could have had.
    first_step: f64,
    /// Why it goes no further, where it stopped before it began.
    stopped: Option<RunError>,
}

/// Share of the roots' vigour by which a step may miss what it foresaw, in units of `tolerance`.
const FORESEEN: f64 = 2.0;

/// First step tried after the first change of supply, s.
const CAREFUL_STEP_S: f64 = 4.0;

thread_local! {
    static BEGUN: Cell<u64> = const { Cell::new(0) };
}

/// Simulations that were begun on this thread so far. A reference for checks: no study begins one on the window's thread.
#[must_use]
pub fn begun_here() -> u64 {
    BEGUN.get()
}

impl Simulation {
    /// A lane at the first midnight.
    #[must_use]
    pub fn new(column: Arc<Column>, clock: Arc<EventClock>, load: Arc<dyn Load>, feed_ec: f64, state: State) -> Self {
        BEGUN.set(BEGUN.get() + 1);
        let (hydro, water, salt) = (Hydro::new(&column, &state), WaterStep::new(&column), SaltStep::new(&column));
        let mut ledger = Ledger::default();
        (ledger.water_stored, ledger.salt_stored) = stored(&column, &state);
        (ledger.water_at_start, ledger.salt_at_start) = (ledger.water_stored, ledger.salt_stored);
        let step = CAREFUL_STEP_S.min(column.solver.max_step_s);
        Self {
            column,
            clock,
            load,
            feed_ec,
            state,
            time: 0.0,
            ledger,
            stats: Stats::default(),
            hydro,
            water,
            salt,
            step,
            supply: Supply::Off,
            after_change: [CAREFUL_STEP_S; 2],
            first_step: CAREFUL_STEP_S,
            stopped: None,
        }
    }

    /// The same, which goes no further where there is a reason.
    #[must_use]
    pub(super) fn stopped_by(mut self, why: Option<RunError>) -> Self {
        self.stopped = why;
        self
    }

    /// The column.
    #[must_use]
    pub fn column(&self) -> &Arc<Column> {
        &self.column
    }

    /// The state now.
    #[must_use]
    pub fn state(&self) -> &State {
        &self.state
    }

    /// Now, seconds since the first midnight.
    #[must_use]
    pub fn time_s(&self) -> f64 {
        self.time
    }

    /// Whether an event begins or ends now.
    #[must_use]
    pub fn is_at_edge(&self) -> bool {
        self.clock.at(self.time).0 != self.supply
    }

    /// What passed so far.
    #[must_use]
    pub fn ledger(&self) -> &Ledger {
        &self.ledger
    }

    /// What the solution took so far.
    #[must_use]
    pub fn stats(&self) -> Stats {
        Stats { iterations: self.water.iterations, salt_closed_in: self.salt.closed_in, ..self.stats }
    }

    /// Runs on to a time, landing on it exactly; `seen` is called after every step.
    ///
    /// # Errors
    /// [`RunError`] when a step does not converge however short; the simulation stands at the last good state.
    pub fn advance_to(&mut self, until_s: f64, mut seen: impl FnMut(&Self)) -> Result<(), RunError> {
        self.advance_while(until_s, |s| {
            seen(s);
            true
        })
    }

    /// Goes by another clock from now on.
    pub fn follow(&mut self, clock: Arc<EventClock>) {
        self.clock = clock;
    }

    /// Goes on in another column of the same layers: one whose edges differ.
    pub fn stand_in(&mut self, column: Arc<Column>) {
        debug_assert_eq!(column.layers, self.column.layers);
        self.column = column;
    }

    /// Salt in each layer, mS/cm·mL, base first.
    #[must_use]
    pub fn salt(&self) -> Vec<f64> {
        let of = |(i, layer): (usize, &Layer)| self.state.ec[i] * (self.state.theta[i] + layer.held_salt) * layer.volume;
        self.column.layers.iter().enumerate().map(of).collect()
    }

    /// Puts other salt into the layers, mS/cm·mL, at least 0; the books begin anew.
    pub fn put_salt(&mut self, salt: &[f64]) {
        for (i, layer) in self.column.layers.iter().enumerate() {
            let room = (self.state.theta[i] + layer.held_salt) * layer.volume;
            if room > 0.0 {
                self.state.ec[i] = salt[i].max(0.0) / room;
            }
        }
        self.water.vigour.forget();
        (self.ledger.water_stored, self.ledger.salt_stored) = stored(&self.column, &self.state);
        self.ledger = self.ledger.begun_anew();
    }

    /// Runs on to a time, or up to the first step after which `goes_on` says no.
    ///
    /// # Errors
    /// [`RunError`] when a step does not converge however short; the simulation stands at the last good state.
    pub fn advance_while(&mut self, until_s: f64, mut goes_on: impl FnMut(&Self) -> bool) -> Result<(), RunError> {
        while self.time < until_s {
            if let Some(stopped) = &self.stopped {
                return Err(stopped.clone());
            }
            let (supply, change) = self.clock.at(self.time);
            if supply != self.supply {
                self.step = self.after_change[usize::from(supply == Supply::Off)];
            }
            let fresh = supply != self.supply;
            if fresh {
                self.water.vigour.forget();
            }
            self.supply = supply;
            let next_day = (self.time / DAY_S + 1e-12).floor() * DAY_S + DAY_S;
            let bend = self.load.next_bend(self.time).unwrap_or(f64::INFINITY);
            let mark = until_s.min(change).min(next_day).min(bend);
            self.step_towards(mark)?;
            if fresh {
                // The next such change begins with the step that this one turned out to bear.
                self.after_change[usize::from(supply == Supply::Off)] = self.first_step;
            }
            if !goes_on(self) {
                break;
            }
        }
        Ok(())
    }

    /// Takes one step that does not pass `mark`.
    fn step_towards(&mut self, mark: f64) -> Result<(), RunError> {
        let solver = &self.column.solver;
        let left = mark - self.time;
        loop {
            // Land on the mark without leaving a sliver before it.
            let wanted = self.step.min(solver.max_step_s);
            let dt = if left <= 1.05 * wanted {
                left
            } else if left < 2.0 * wanted {
                0.5 * left
            } else {
                wanted
            };
            let forcing = Forcing {
                supply: self.supply,
                transpiration: self.load.transpiration_ml(self.time, self.time + dt) / dt,
                evaporation: self.load.evaporation_cm(self.time, self.time + dt).over(dt),
            };
            // A step that landing on the mark made a sliver longer than the shortest is the shortest.
            let shortest = dt <= 1.1 * solver.min_step_s;
            let attempt = self.water.attempt(&self.column, &self.state, &mut self.hydro, &forcing, dt);
            let shorter = match attempt {
                Err(failed) => {
                    if shortest {
                        self.hydro = Hydro::new(&self.column, &self.state);
                        return Err(RunError { time_s: self.time, layer: failed.layer, step_s: dt });
                    }
                    0.2 * dt
                }
                Ok(()) => {
                    let inlet = match self.supply {
                        Supply::Drip { ec, .. } | Supply::Flood { ec, .. } => ec,
                        Supply::Off => self.feed_ec,
                    };
                    let water_error = self.water.error(&self.column, &self.state) / solver.tolerance;
                    let through = channel::rate(&self.column, self.supply);
                    self.salt.run(&self.column, &self.state, &self.water, inlet, through, dt);
                    let theta = &self.water.second.theta;
                    let missed = self.water.vigour.missed_by(&self.column, &self.state, theta, &self.salt.ec, dt);
                    let shift = missed / (FORESEEN * solver.tolerance);
                    let error = water_error.max(self.salt.error / (10.0 * solver.tolerance)).max(shift);
                    let floods = matches!(self.supply, Supply::Flood { .. });
                    let error = if self.water.overshot(floods, dt) { error.max(4.0) } else { error };
                    // What is no number is the worst of errors, not the least.
                    let error = if error.is_finite() { error } else { f64::MAX };
                    if error <= 1.0 || shortest {
                        let growth = (0.9 / error.max(1e-6).sqrt()).min(4.0);
                        self.commit(mark, dt, &forcing, inlet);
                        // A step cut short by a mark says nothing about the length the solution could bear.
                        self.step = if dt < 0.5 * wanted { wanted.max(dt * growth) } else { dt * growth };
                        self.first_step = 0.7 * dt * growth;
                        return Ok(());
                    }
                    dt * (0.9 / error.sqrt()).clamp(0.1, 0.7)
                }
            };
            self.stats.rejected += 1;
            self.step = shorter.max(solver.min_step_s);
            let heads = &self.state.head;
            self.hydro.evaluate(&self.column, &self.state, heads);
        }
    }

    /// Makes the step just tried the present.
    fn commit(&mut self, mark: f64, dt: f64, forcing: &Forcing, inlet_ec: f64) {
        let column = Arc::clone(&self.column);
        self.state.theta.copy_from_slice(&self.water.second.theta);
        self.state.head.copy_from_slice(&self.water.head);
        // The working room of the salt step now holds the EC before the step.
        std::mem::swap(&mut self.state.ec, &mut self.salt.ec);
        self.hydro.settle(&column, &mut self.state);
        self.water.vigour.settle(&column, &mut self.state, &self.salt.ec, dt);
        let end = self.time + dt;
        self.time = if (mark - end).abs() <= 1e-9 * mark.abs().max(1.0) { mark } else { end };
        self.stats.steps += 1;
        self.book(&column, dt, forcing, inlet_ec);
    }

    /// Enters the step into the ledger.
    fn book(&mut self, column: &Column, dt: f64, forcing: &Forcing, inlet_ec: f64) {
        let (water, salt) = (&mut self.ledger.water, &mut self.ledger.salt);
        for (weight, lost) in [(FIRST * dt, self.water.first.lost), (GAMMA * dt, self.water.second.lost)] {
            self.ledger.lost = self.ledger.lost.zip(&lost, |sum, share| sum + weight * forcing.transpiration * share);
        }
        for (weight, stage) in [(FIRST * dt, &self.water.first.flows), (GAMMA * dt, &self.water.second.flows)] {
            let inward: f64 = stage.side.iter().map(|q| q.max(0.0)).sum();
            let outward: f64 = stage.side.iter().map(|q| (-q).max(0.0)).sum();
            water.applied += weight * (stage.top.max(0.0) + stage.overflow + inward);
            water.outlet += weight * ((-stage.top).max(0.0) + outward);
            water.overflow += weight * stage.overflow;
            water.taken_up += weight * stage.uptake.iter().sum::<f64>();
            water.evaporated += weight * stage.evaporation.iter().sum::<f64>();
            salt.overflow += weight * stage.overflow * inlet_ec;
            salt.applied += weight * stage.overflow * inlet_ec;
        }
        let through = channel::rate(column, forcing.supply) * dt;
        if through > 0.0 {
            water.applied += through;
            water.channelled += through;
            salt.applied += through * inlet_ec;
            salt.channelled += through * inlet_ec + self.salt.flow.picked_up;
        }
        water.demanded += forcing.transpiration * dt;
        salt.applied += self.salt.flow.entered;
        salt.outlet += self.salt.flow.left;
        salt.taken_up += self.salt.flow.taken_up;
        (self.ledger.water_stored, self.ledger.salt_stored) = stored(column, &self.state);
    }
}

/// Water (mL) and salt (mS/cm·mL) in a state.
fn stored(column: &Column, state: &State) -> (f64, f64) {
    let (mut water, mut salt) = (0.0, 0.0);
    for (i, layer) in column.layers.iter().enumerate() {
        water += state.theta[i] * layer.volume;
        salt += state.ec[i] * (state.theta[i] + layer.held_salt) * layer.volume;
    }
    (water, salt)
}
