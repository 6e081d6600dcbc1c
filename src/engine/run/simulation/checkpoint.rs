//! A lane at an instant, with all that steers the steps to come: taken up from there it goes on to the bit as if it had never stopped.

use std::fmt;
use std::sync::Arc;

use super::{BEGUN, Simulation, Stats};
use crate::engine::column::hydro::Hydro;
use crate::engine::column::layers::Column;
use crate::engine::column::state::State;
use crate::engine::demand::load::Load;
use crate::engine::run::ledger::Ledger;
use crate::engine::step::salt::SaltStep;
use crate::engine::step::water::WaterStep;
use crate::engine::supply::clock::{EventClock, Supply};
use crate::physics::hydraulics::Main;
use crate::physics::hysteresis::{Path, Turn};

/// Numbers kept of each layer.
const OF_LAYER: usize = 9;

/// A lane as it stood at an instant. It takes 72 bytes a layer, and 16 for each turn that a layer remembers; the working room of the steps,
/// ten times as much, is made anew when it is taken up.
#[derive(Clone)]
pub struct Checkpoint {
    column: Arc<Column>,
    time: f64,
    ledger: Ledger,
    stats: Stats,
    step: f64,
    supply: Supply,
    after_change: [f64; 2],
    first_step: f64,
    /// Per layer: the state's four numbers, how fast EC moved, and what the curves remember.
    layers: Box<[[f64; OF_LAYER]]>,
    /// Where two media touch, cm.
    contacts: Box<[f64]>,
    /// The branch each layer's path began on, and how many turns it took.
    paths: Box<[(Main, u8)]>,
    /// Those turns, layer by layer.
    turns: Box<[Turn]>,
}

impl fmt::Debug for Checkpoint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Checkpoint").field("time", &self.time).field("ledger", &self.ledger).finish_non_exhaustive()
    }
}

impl Checkpoint {
    /// When it was taken, s since the first midnight.
    #[must_use]
    pub fn time_s(&self) -> f64 {
        self.time
    }

    /// What had passed by then.
    #[must_use]
    pub fn ledger(&self) -> &Ledger {
        &self.ledger
    }

    /// The column it was taken of.
    #[must_use]
    pub fn column(&self) -> &Arc<Column> {
        &self.column
    }

    /// What the solution had taken by then.
    #[must_use]
    pub fn stats(&self) -> Stats {
        self.stats
    }

    /// The same as a first midnight: nothing has passed by then.
    #[must_use]
    pub(in crate::engine::run) fn begun_anew(self) -> Self {
        Self { time: 0.0, ledger: self.ledger.begun_anew(), stats: Stats::default(), ..self }
    }

    /// Bytes it takes.
    #[must_use]
    pub fn bytes(&self) -> usize {
        size_of::<Self>()
            + size_of_val(&*self.layers)
            + size_of_val(&*self.contacts)
            + size_of_val(&*self.paths)
            + size_of_val(&*self.turns)
    }
}

impl Simulation {
    /// The lane as it stands now, to be taken up again later.
    #[must_use]
    pub fn checkpoint(&self) -> Checkpoint {
        let state = &self.state;
        let of_layer = |(i, ([suction, stood_at, se, slope], rate)): (usize, ([f64; 4], &f64))| {
            [state.theta[i], state.head[i], state.ec[i], state.breath[i], *rate, suction, stood_at, se, slope]
        };
        // A path remembers eight turns at most.
        #[allow(clippy::cast_possible_truncation)]
        let path = |path: &Path| (path.root(), path.turns().len() as u8);
        Checkpoint {
            column: Arc::clone(&self.column),
            time: self.time,
            ledger: self.ledger,
            stats: self.stats(),
            step: self.step,
            supply: self.supply,
            after_change: self.after_change,
            first_step: self.first_step,
            layers: self.hydro.memory().zip(self.water.vigour.memory()).enumerate().map(of_layer).collect(),
            contacts: self.water.contact_memory().collect(),
            paths: state.path.iter().map(path).collect(),
            turns: state.path.iter().flat_map(Path::turns).copied().collect(),
        }
    }

    /// A lane as it stood at a checkpoint of its column, under the clock, demand and feed of now.
    #[must_use]
    pub fn taken_up(&self, from: &Checkpoint) -> Self {
        Self::resume(from, Arc::clone(&self.clock), Arc::clone(&self.load), self.feed_ec)
    }

    /// A lane as it stood at a checkpoint, under a clock, a demand and a feed's EC (mS/cm): where these are those of before, it goes on to the
    /// bit as it did then.
    #[must_use]
    pub fn resume(from: &Checkpoint, clock: Arc<EventClock>, load: Arc<dyn Load>, feed_ec: f64) -> Self {
        BEGUN.set(BEGUN.get() + 1);
        let column = Arc::clone(&from.column);
        let value = |k: usize| from.layers.iter().map(|l| l[k]).collect::<Vec<f64>>();
        let mut rest = &*from.turns;
        let path = |(root, turns): &(Main, u8)| {
            let (mine, others) = rest.split_at(usize::from(*turns).min(rest.len()));
            rest = others;
            Path::past(*root, mine)
        };
        let path = from.paths.iter().map(path).collect();
        let state = State { theta: value(0), head: value(1), ec: value(2), breath: value(3), path };
        let memory = from.layers.iter().map(|l| [l[5], l[6], l[7], l[8]]);
        let hydro = Hydro::recalled(&column, &state, memory);
        let (mut water, mut salt) = (WaterStep::new(&column), SaltStep::new(&column));
        water.vigour.recall(from.layers.iter().map(|l| l[4]));
        water.recall_contacts(from.contacts.iter().copied());
        (water.iterations, salt.closed_in) = (from.stats.iterations, from.stats.salt_closed_in);
        Self {
            column,
            clock,
            load,
            feed_ec,
            state,
            time: from.time,
            ledger: from.ledger,
            stats: from.stats,
            hydro,
            water,
            salt,
            step: from.step,
            supply: from.supply,
            after_change: from.after_change,
            first_step: from.first_step,
            stopped: None,
        }
    }
}
