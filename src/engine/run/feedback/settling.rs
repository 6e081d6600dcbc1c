//! The search for the day that repeats itself where a tank gives its EC to the lanes and takes their drain back.
//!
//! Days of the whole bench lead from the salt of one midnight, in all layers and in the tank, to that of the next. Once water stands, it is learnt
//! from such rounds where the salt of all of them would stand still ([`FixedPoint`]): it is put there, two more rounds are run, and so on. As in
//! the search of a lane by itself, nothing is believed that was not run: the day found is run from midnight to midnight, in water that stands, and
//! what would still change is within [`LEFT`] of the salt.

use std::sync::Arc;

use nalgebra::DVector;

use super::bench::Bench;
use super::course::by_valve;
use crate::engine::run::lane::Ready;
use crate::engine::run::ledger::{Closure, Ledger};
use crate::engine::run::repeats::{SETTLED, repeats};
use crate::engine::run::settling::part_of_the_way;
use crate::engine::run::simulation::checkpoint::Checkpoint;
use crate::engine::supply::timetable::{PumpDay, Timetable};
use crate::numerics::fixed_point::FixedPoint;
use crate::scenario::{Rule, Scenario};

/// Share of all salt that may be left to change in a settled day.
const LEFT: f64 = SETTLED;
/// Share of the water that a round may still move where salt is learnt from: where salt holds plants back, it moves by half of that to and fro.
const CREEPS: f64 = 5e-4;
/// Rounds that are learnt from.
const KNOWN_BY: usize = 6;
/// What was learnt is worth nothing where it leaves more than this share unexplained.
const WORTH: f64 = 0.75;
/// Salt changes by no more than this factor at once; by no more than the second where salt holds plants back.
const AT_ONCE: [f64; 2] = [4.0, 1.25];
/// Share of the demand that salt takes from plants which are held back by it.
const HELD_BACK: f64 = 0.01;
/// Share of the last round's way that the next one goes, at most, where nothing was learnt.
const SLOWEST: f64 = 0.98;
/// Salt below this EC, mS/cm, is as none.
const AS_NONE: f64 = 0.01;
/// Days after which it is left to running on.
const MOST_DAYS: usize = 160;

/// What was found.
pub struct Together {
    /// About the day from which on days repeat themselves.
    pub settles_on: u32,
    /// The day found, from 0, as days were run.
    pub day: u32,
    /// Each lane at the midnight that it begins with.
    pub dawn: Vec<Checkpoint>,
    /// How the books of each lane close at their worst.
    pub closures: Vec<Closure>,
    /// What each valve gave up to then, through the round that begins then, and on the morning after.
    pub timetables: Vec<Arc<Timetable>>,
}

/// Whether a bench is looked at so: its lanes hang together through a tank, and no probe calls now sooner and now later.
#[must_use]
pub fn fits(scenario: &Scenario) -> bool {
    scenario.tank.is_some() && !scenario.all_rules().any(Rule::listens)
}

/// The day that repeats itself, of a bench that [fits], also where running on would take more than a year: the inner `None` where it was not found
/// soon, or a lane stopped, so that days are to be run on. `go_on` is asked before each day; the outer `None` when it said no.
#[must_use]
pub fn settled(scenario: &Scenario, lanes: &[Ready], go_on: &dyn Fn() -> bool) -> Option<Option<Together>> {
    let (round, begins) = (scenario.round_days(), scenario.last_plans_begin());
    let mut bench = Bench::new(scenario, lanes, Vec::new(), 0);
    let mut closures: Vec<Closure> = lanes.iter().map(Ready::closure).collect();
    let mut table: Vec<Vec<Arc<PumpDay>>> = Vec::new();
    let (mut learning, mut dawn) = (Learning::default(), Vec::new());
    while table.len() < begins + MOST_DAYS.max(20 * round) {
        let before = Midnight::of(&bench);
        let steady = table.len() >= begins;
        for _ in 0..if steady { round } else { 1 } {
            if !go_on() {
                return None;
            }
            dawn = bench.checkpoints();
            table.push(bench.day(table.len(), false).into_iter().map(Arc::new).collect());
        }
        if bench.has_stopped() {
            return Some(None);
        }
        let now = Midnight::of(&bench);
        closures.iter_mut().zip(&now.ledgers).for_each(|(closure, ledger)| *closure = closure.worse(Closure::of([ledger])));
        if !steady {
            continue;
        }
        match learning.judged((&before, &now), table.len(), round) {
            Step::RunOn => {}
            Step::Put(salt) => bench.put_salt(&salt),
            Step::Found(settles_on) => {
                let day = table.len() - 1;
                // All days of the round that begins with it, and the morning after.
                for more in 1..=round {
                    if !go_on() {
                        return None;
                    }
                    table.push(bench.day(table.len(), more == round).into_iter().map(Arc::new).collect());
                }
                let timetables = by_valve(&table, round, bench.log().map(|log| Arc::new(log.clone())).as_ref());
                let [settles_on, day] = [settles_on, day].map(|day| u32::try_from(day).unwrap_or(u32::MAX));
                return Some(Some(Together { settles_on, day, dawn, closures, timetables }));
            }
        }
    }
    Some(None)
}

/// The bench at a midnight.
struct Midnight {
    /// Water and salt of each lane and of the tank.
    stores: Vec<(f64, f64)>,
    ledgers: Vec<Ledger>,
    /// As [`Bench::salt`] tells it.
    salt: Vec<f64>,
    /// Water of all plants and the tank, L.
    water: f64,
}

impl Midnight {
    fn of(bench: &Bench<'_>) -> Self {
        let (stores, salt) = (bench.stores(), bench.salt());
        Self { water: bench.litres(), stores, ledgers: bench.ledgers(), salt }
    }

    /// Salt in all, and what is as none.
    fn all(&self) -> f64 {
        self.salt.iter().sum::<f64>() + AS_NONE * self.water
    }
}

/// What comes after a round.
enum Step {
    RunOn,
    Put(Vec<f64>),
    /// On about which day, from 1, running on would have come there.
    Found(usize),
}

/// What was learnt so far.
struct Learning {
    seen: FixedPoint,
    /// Rounds to go until salt is looked at again: where it was put, the first is as water finds itself again.
    wait: u32,
    left_at: Option<Left>,
    held_back: bool,
}

/// Where running on was left.
struct Left {
    day: usize,
    salt: Vec<f64>,
    /// What the round before had added.
    added: Vec<f64>,
}

impl Default for Learning {
    fn default() -> Self {
        Self { seen: FixedPoint::new(KNOWN_BY), wait: 0, left_at: None, held_back: false }
    }
}

impl Learning {
    fn judged(&mut self, (before, now): (&Midnight, &Midnight), days: usize, round: usize) -> Step {
        if self.wait > 0 {
            self.wait -= 1;
            return Step::RunOn;
        }
        let rests = before.stores.iter().zip(&now.stores).all(|(a, b)| (a.0 - b.0).abs() <= CREEPS * b.0.max(a.0));
        if !rests {
            return Step::RunOn;
        }
        let added: Vec<f64> = now.salt.iter().zip(&before.salt).map(|(now, then)| now - then).collect();
        self.seen.see(before.salt.clone(), now.salt.clone());
        let near = LEFT * now.all();
        let guess = self.seen.guess().filter(|guess| guess.unexplained <= WORTH && guess.at.iter().all(|salt| salt.is_finite()));
        let moved: f64 = added.iter().map(|a| a.abs()).sum();
        let left = match &guess {
            Some(guess) => guess.at.iter().zip(&now.salt).map(|(to, now)| (to - now).abs()).sum(),
            None => moved / (1.0 - SLOWEST),
        };
        let still = before.stores.iter().zip(&now.stores).all(|(a, b)| repeats(*a, *b));
        if still && left <= near {
            return Step::Found(self.left_at.as_ref().map_or(days, |left| left.day + round * left.rounds_to(&now.salt, near)));
        }
        let Some(guess) = guess else { return Step::RunOn };
        self.left_at.get_or_insert_with(|| Left { day: days, salt: now.salt.clone(), added });
        let lost = |(now, before): (&Ledger, &Ledger)| {
            let passed = now.since(before);
            passed.lost.salt > HELD_BACK * passed.water.demanded
        };
        self.held_back |= now.ledgers.iter().zip(&before.ledgers).any(lost);
        self.wait = 1;
        Step::Put(within(AT_ONCE[usize::from(self.held_back)], now, &guess.at))
    }
}

impl Left {
    /// Rounds in which running on would have come near a point: each goes as large a share of the way as the last one did.
    fn rounds_to(&self, to: &[f64], near: f64) -> usize {
        const MOST: f64 = 1e4;
        let way = DVector::from_iterator(to.len(), to.iter().zip(&self.salt).map(|(to, from)| to - from));
        if way.lp_norm(1) <= near {
            return 0;
        }
        let share = (way.dot(&DVector::from_column_slice(&self.added)) / way.norm_squared()).clamp(0.0, 1.0);
        let rounds = if share > 0.0 { ((near / way.lp_norm(1)).ln() / (1.0 - share).ln()).ceil().clamp(1.0, MOST) } else { MOST };
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let whole = rounds as usize;
        whole
    }
}

/// As far towards a point as no salt changes by more than a factor.
fn within(factor: f64, now: &Midnight, to: &[f64]) -> Vec<f64> {
    #[allow(clippy::cast_precision_loss)]
    let least = AS_NONE * now.water / now.salt.len().max(1) as f64;
    part_of_the_way(&now.salt, to, factor, least)
}
