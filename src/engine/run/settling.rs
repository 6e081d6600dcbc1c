//! The search for the day that repeats itself.
//!
//! Water settles in days, salt in months. So days are run until the water's cycle stands. From then on the salt of the layers at midnight is
//! taken for the point of a map: a round (a day, or all days of a log) leads from one point to the next. How the point reached hangs on the one
//! before is known from the round's own steps ([`SaltMap`]), so where salt would stand still is guessed by Newton's method; that water asks for
//! the salt, through the stress of the roots, is learnt from guess to guess ([`FixedPoint`]). The salt is put there, two more rounds are run,
//! and so on. Nothing is believed that was not run: the day that is found is run like any other from its first midnight to its last, in water
//! that stands, and what would still change is within [`LEFT`] of the salt. Where the salt would take longer than it may, days are run on, and
//! the last of them is shown.

use nalgebra::{DMatrix, DVector};

use super::lane::Ready;
use super::ledger::{Closure, Ledger};
use super::repeats::{SETTLED, Settled, still};
use super::simulation::checkpoint::Checkpoint;
use super::simulation::salt_map::SaltMap;
use super::simulation::{RunError, Simulation};
use crate::numerics::fixed_point::FixedPoint;
use crate::units::DAY_S;

/// Share of the water, and of the salt, that may be left to change in a settled day.
const LEFT: f64 = SETTLED;
/// Share of the water that a round may still move in a settled day.
const CREEPS: f64 = 1e-4;
/// Guesses that are learnt from.
const KNOWN_BY: usize = 5;
/// What was learnt is worth nothing where it leaves more than this share unexplained.
const WORTH: f64 = 0.5;
/// Salt of a layer changes by no more than this factor at once; by no more than the second where salt holds the plant back.
const AT_ONCE: [f64; 2] = [4.0, 1.25];
/// Share of the demand that salt takes from a plant which is held back by it.
const HELD_BACK: f64 = 0.01;
/// Water that moves by more than this share in a round is on its way: salt is left alone.
const MOVES_FAST: f64 = 5e-3;
/// Share of the last round's way that the next one goes, at most.
const SLOWEST: f64 = 0.98;
/// Salt is put on as long as running on would take so much longer than one looks ahead: about how long is known with that error.
const ABOUT: f64 = 1.25;
/// Salt below this EC, mS/cm, is as none.
const AS_NONE: f64 = 0.01;

/// What was found.
pub(super) struct Found {
    /// When the day repeats itself, or why the search stopped.
    pub ended: Result<Settled, RunError>,
    /// The lane at the first midnight of the day found, or of the last one run.
    pub dawn: Checkpoint,
    /// That day, from 0, as days were run.
    pub day: u32,
    /// How the books close at their worst.
    pub closure: Closure,
}

/// A search under way.
pub(super) struct Search<'a> {
    ready: &'a Ready,
    most_days: u32,
    /// Days that are run at most; less than are looked ahead where one does not wait.
    run_days: u32,
    simulation: Simulation,
    closure: Closure,
    /// Whole days run.
    days: u32,
    /// How far the water moved in the last round, mL; whether that was fast.
    moved: f64,
    moves_fast: bool,
    /// Salt may be put into the layers.
    may_put: bool,
    /// Rounds to go before it is asked where salt would stand still, and how many are gone in between where that is too far off.
    ask_in: u32,
    ask_again: u32,
    learnt: FixedPoint,
    /// Where salt was first put into the layers.
    left_at: Option<Left>,
    /// Salt held the plant back where it was put: water asks for it.
    held_back: bool,
}

/// Where running on was left.
#[derive(Clone)]
struct Left {
    day: u32,
    salt: Vec<f64>,
    /// What the round before had added.
    added: Vec<f64>,
}

impl<'a> Search<'a> {
    /// From a lane's first midnight on, at most so many days: where a log of several days drives it no more than whole rounds, so that all lanes
    /// end on the same day of the log.
    pub fn new(ready: &'a Ready, most_days: u32) -> Self {
        #[allow(clippy::cast_possible_truncation)]
        let (round, steady_from) = (ready.round as u32, ready.timetable.steady_from() as u32);
        let over = most_days.saturating_sub(steady_from) % round;
        let most_days = if most_days - over > steady_from { most_days - over } else { most_days };
        Self {
            ready,
            most_days,
            run_days: most_days,
            simulation: ready.simulation(),
            closure: ready.closure(),
            days: 0,
            moved: 0.0,
            moves_fast: true,
            may_put: !ready.fed_back,
            ask_in: 1,
            ask_again: 1,
            learnt: FixedPoint::new(KNOWN_BY),
            left_at: None,
            held_back: false,
        }
    }

    /// The same, given up after so many days run: what settles by then is found as it would be without.
    pub fn waiting(self, days: u32) -> Self {
        Self { run_days: days.min(self.most_days), ..self }
    }

    /// Runs it; `go_on` is asked before each day, `None` when it said no.
    pub fn run(mut self, go_on: &dyn Fn() -> bool) -> Option<Found> {
        #[allow(clippy::cast_possible_truncation)]
        let (round, steady_from) = (self.ready.round as u32, self.ready.timetable.steady_from() as u32);
        let mut dawn = self.simulation.checkpoint();
        while self.days < self.run_days {
            let (began, before) = (self.days, Store::of(&self.simulation));
            // Up to where each round is alike the days are run one by one.
            let steady = began >= steady_from;
            let mut map = (steady && self.asks()).then(|| SaltMap::from(&self.simulation));
            for _ in 0..if steady { round.min(self.run_days - began) } else { 1 } {
                if !go_on() {
                    return None;
                }
                dawn = self.simulation.checkpoint();
                let seen = |s: &Simulation| map.iter_mut().for_each(|m| m.see(s));
                if let Err(stopped) = self.simulation.advance_to(f64::from(self.days + 1) * DAY_S, seen) {
                    return Some(Found { ended: Err(stopped), dawn, day: self.days, closure: self.closure });
                }
                self.days += 1;
            }
            self.closure = self.closure.worse(Closure::of([self.simulation.ledger()]));
            if !steady || self.days - began < round {
                continue;
            }
            if let Some(day) = self.judged(&before, map.as_ref()) {
                return Some(Found { ended: Ok(Settled::OnDay(day)), dawn, day: self.days - 1, closure: self.closure });
            }
        }
        if self.left_at.is_some() && self.run_days == self.most_days {
            // What was put into the layers led nowhere: the last day is to be one that running on comes to.
            return Search { may_put: false, ..Self::new(self.ready, self.most_days) }.run(go_on);
        }
        Some(Found { ended: Ok(Settled::NotWithin(self.run_days)), dawn, day: self.days.saturating_sub(1), closure: self.closure })
    }

    /// Whether the next round is to tell where salt would stand still.
    fn asks(&self) -> bool {
        !self.ready.fed_back && !self.moves_fast && self.ask_in == 0
    }

    /// Looks at the round just run: about the day on which the lane settles, if this is it. Otherwise salt may be put into the layers.
    fn judged(&mut self, before: &Store, map: Option<&SaltMap>) -> Option<u32> {
        let now = Store::of(&self.simulation);
        let moved = now.water - before.water;
        let water_left = left_to_go(moved, std::mem::replace(&mut self.moved, moved));
        let stands = still(before.water, now.water);
        self.moves_fast = moved.abs() > MOVES_FAST * now.water;
        self.ask_in = self.ask_in.saturating_sub(1);
        if self.ready.fed_back {
            return (stands && still(before.all, now.all)).then_some(self.days);
        }
        let rests = stands && moved.abs() <= CREEPS * now.water && water_left <= LEFT * now.water;
        if now.salt == before.salt {
            return rests.then_some(self.days);
        }
        let matrix = map.filter(|_| !self.moves_fast)?.matrix();
        let to = stands_at(&matrix, &before.salt, &now.salt)?;
        self.learnt.see(before.salt.clone(), to.clone());
        let learnt = self.learnt.guess().filter(|guess| guess.unexplained <= WORTH).map_or_else(|| to.clone(), |guess| guess.at);
        let left = apart(&to, &now.salt).max(apart(&learnt, &now.salt));
        let near = LEFT * now.all;
        if rests && left <= near {
            let ran_on = self.left_at.as_ref().map(|left| left.day.saturating_add(self.days_to(&matrix, left, &now.salt, near)));
            return Some(ran_on.unwrap_or(self.days));
        }
        if !self.may_put || !rests {
            self.ask_in = 1;
            return None;
        }
        let added = || now.salt.iter().zip(&before.salt).map(|(now, then)| now - then).collect();
        let begin = self.left_at.clone().unwrap_or_else(|| Left { day: self.days, salt: now.salt.clone(), added: added() });
        let passed = now.ledger.since(&before.ledger);
        self.held_back |= passed.lost.salt > HELD_BACK * passed.water.demanded;
        let days = begin.day.saturating_add(self.days_to(&matrix, &begin, &learnt, near));
        if f64::from(days) > ABOUT * f64::from(self.most_days) {
            (self.ask_in, self.ask_again) = (self.ask_again, 2 * self.ask_again);
        } else {
            self.left_at = Some(begin);
            self.put(&now, &learnt);
            self.ask_in = 1;
        }
        None
    }

    /// Puts salt into the layers; not all of it where a layer's salt would change by too much.
    fn put(&mut self, now: &Store, to: &[f64]) {
        let factor = AT_ONCE[usize::from(self.held_back)];
        #[allow(clippy::cast_precision_loss)]
        let least = AS_NONE * now.water / now.salt.len() as f64;
        self.simulation.put_salt(&part_of_the_way(&now.salt, to, factor, least));
    }

    /// Days in which running on would have come near a point, from where it was left.
    fn days_to(&self, matrix: &DMatrix<f64>, left: &Left, to: &[f64], near: f64) -> u32 {
        #[allow(clippy::cast_possible_truncation)]
        let round = self.ready.round as u32;
        let most = 4 * self.most_days / round;
        let way = DVector::from_iterator(to.len(), to.iter().zip(&left.salt).map(|(t, f)| t - f));
        let rounds = if way.lp_norm(1) <= near {
            0
        } else if self.held_back {
            // The matrix does not know that water asks for the salt: each round goes as large a share of the way as the last one did.
            let share = way.dot(&DVector::from_column_slice(&left.added)) / way.norm_squared();
            let rounds = (near / way.lp_norm(1)).ln() / (1.0 - share.clamp(0.0, 1.0)).ln();
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let whole = rounds.ceil() as u32;
            if share > 0.0 { whole.clamp(1, most) } else { most }
        } else {
            rounds_to(matrix, way, near, most)
        };
        rounds * round
    }
}

/// As far from one point towards another as none of its salts changes by more than a factor and, where it grows, a least amount besides.
pub(super) fn part_of_the_way(now: &[f64], to: &[f64], factor: f64, least: f64) -> Vec<f64> {
    let share = now.iter().zip(to).fold(1.0, |share: f64, (&now, &to)| {
        let bound = if to > now { now * factor + least } else { now / factor };
        if (to > now) == (to > bound) && to != bound { share.min((bound - now) / (to - now)) } else { share }
    });
    now.iter().zip(to).map(|(now, to)| now + share * (to - now)).collect()
}

/// Rounds of a map until what is left of a way is so near, at most `most`.
fn rounds_to(matrix: &DMatrix<f64>, mut way: DVector<f64>, near: f64, most: u32) -> u32 {
    let is_near = |way: &DVector<f64>| way.lp_norm(1) <= near;
    let mut powers = vec![matrix.clone()];
    while !is_near(&(&powers[powers.len() - 1] * &way)) {
        if 1 << powers.len() > most {
            return most;
        }
        let last = &powers[powers.len() - 1];
        powers.push(last * last);
    }
    // Not near after the rounds gone; near after one more.
    let mut gone = 0;
    for (i, power) in powers.iter().enumerate().rev() {
        let next = power * &way;
        if !is_near(&next) {
            way = next;
            gone += 1 << i;
        }
    }
    gone + 1
}

/// A lane's store as a round begins or ends.
struct Store {
    /// mL.
    water: f64,
    /// Of each layer, mS/cm·mL.
    salt: Vec<f64>,
    /// Salt in all, and what is as none.
    all: f64,
    ledger: Ledger,
}

impl Store {
    fn of(simulation: &Simulation) -> Self {
        let ledger = *simulation.ledger();
        let all = ledger.salt_stored + AS_NONE * ledger.water_stored;
        Self { water: ledger.water_stored, salt: simulation.salt(), all, ledger }
    }
}

/// Where a map would stand still that leads from one point to another and is linear; `None` where it has no such point.
fn stands_at(matrix: &DMatrix<f64>, from: &[f64], to: &[f64]) -> Option<Vec<f64>> {
    let n = from.len();
    let added = DVector::from_iterator(n, to.iter().zip(from).map(|(t, f)| t - f));
    let way = (DMatrix::identity(n, n) - matrix).lu().solve(&added)?;
    let at: Vec<f64> = from.iter().zip(way.iter()).map(|(f, w)| f + w).collect();
    at.iter().all(|salt| salt.is_finite()).then_some(at)
}

/// How much is left to go where one round went so far, and the one before so far: as far as the same share each round leads.
fn left_to_go(now: f64, before: f64) -> f64 {
    let ratio = if before == 0.0 { SLOWEST } else { (now / before).clamp(0.0, SLOWEST) };
    now.abs() * ratio / (1.0 - ratio)
}

/// How much lies between two points, summed over the layers.
fn apart(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| (a - b).abs()).sum()
}
