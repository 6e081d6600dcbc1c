//! Whole runs: every lane of a scenario over its days.

use std::sync::Arc;

use rayon::prelude::*;

use super::clock::EventClock;
use super::column::{BuildError, Column};
use super::feedback::{self, Until};
use super::ledger::Ledger;
use super::load::{self, Load};
use super::series::{Sample, Series};
use super::simulation::{RunError, Simulation, Stats};
use super::start;
use super::state::State;
use super::timetable::Timetable;
use crate::scenario::presets::Library;
use crate::scenario::{Climate, DAY_S, Lane, Light, Scenario, Solver};

/// A lane made ready to run.
#[derive(Clone)]
pub struct Ready {
    /// The lane's name.
    pub name: String,
    /// Its column.
    pub column: Arc<Column>,
    /// Every event of every day.
    pub timetable: Arc<Timetable>,
    /// The same as this lane receives them.
    pub clock: Arc<EventClock>,
    /// Its demand.
    pub load: Arc<dyn Load>,
    /// The feed's EC, mS/cm.
    pub feed_ec: f64,
    /// Its start.
    pub start: State,
    /// Days after which what drives it begins anew, at least 1.
    pub round: usize,
}

impl Ready {
    /// The lane at its first midnight.
    #[must_use]
    pub fn simulation(&self) -> Simulation {
        Simulation::new(Arc::clone(&self.column), Arc::clone(&self.clock), Arc::clone(&self.load), self.feed_ec, self.start.clone())
    }

    /// Runs the lane for whole days, keeping every step.
    #[must_use]
    pub fn run(&self, days: u32) -> LaneRun {
        let mut simulation = self.simulation();
        let mut series = Series::default();
        series.samples.push(Sample::of(&simulation));
        series.profiles.push(&simulation);
        let mut midnights = vec![*simulation.ledger()];
        let mut error = None;
        for day in 1..=days {
            let done = simulation.advance_to(f64::from(day) * DAY_S, |s| {
                series.samples.push(Sample::of(s));
                series.profiles.push(s);
            });
            if let Err(stopped) = done {
                error = Some(stopped);
                break;
            }
            midnights.push(*simulation.ledger());
        }
        // On to the next morning's first event, which ends the last night's dry-back.
        if let (None, Some(first)) = (&error, self.timetable.first_start(days as usize)) {
            let morning = f64::from(days) * DAY_S + first;
            let done = simulation.advance_to(morning, |s| {
                series.samples.push(Sample::of(s));
                series.profiles.push(s);
            });
            error = done.err();
        }
        let (name, column, timetable) = (self.name.clone(), Arc::clone(&self.column), Arc::clone(&self.timetable));
        LaneRun { name, column, timetable, series, midnights, stats: simulation.stats(), error }
    }

    /// Runs on day after day until a day repeats itself, at most `most_days`; where a log of several days drives it, until its whole round
    /// does.
    ///
    /// # Errors
    /// [`RunError`] when a step does not converge.
    pub fn settle(&self, most_days: u32) -> Result<Settled, RunError> {
        let mut simulation = self.simulation();
        let mut midnights = vec![stores(&simulation)];
        for day in 1..=most_days {
            simulation.advance_to(f64::from(day) * DAY_S, |_| {})?;
            midnights.push(stores(&simulation));
            if self.settles(&midnights) {
                return Ok(Settled::OnDay(day));
            }
        }
        Ok(Settled::NotWithin(most_days))
    }
}

impl Ready {
    /// Whether the last of the midnights so far ends a round of days that is as the one before: one day, or all days of a log.
    pub(super) fn settles(&self, midnights: &[(f64, f64)]) -> bool {
        let Some(last) = midnights.len().checked_sub(1) else { return false };
        let Some(before) = last.checked_sub(self.round).filter(|b| *b >= self.timetable.steady_from()) else { return false };
        repeats(midnights[before], midnights[last])
    }
}

/// Share by which a settled day may differ from the day before.
const SETTLED: f64 = 1e-3;

/// Whether a day that begins and ends with these stores of water and salt repeats itself.
pub(super) fn repeats(before: (f64, f64), after: (f64, f64)) -> bool {
    let still = |a: f64, b: f64| (a - b).abs() <= SETTLED * a.abs().max(b.abs());
    still(before.0, after.0) && still(before.1, after.1)
}

/// Stores of water and salt now.
pub(super) fn stores(simulation: &Simulation) -> (f64, f64) {
    (simulation.ledger().water_stored, simulation.ledger().salt_stored)
}

/// Whether a lane's day repeats itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Settled {
    /// This day (from 1) ends within 0.1 % of the day before in water and salt.
    OnDay(u32),
    /// No day did.
    NotWithin(u32),
}

/// A lane's run.
#[derive(Clone, Debug)]
pub struct LaneRun {
    /// The lane's name.
    pub name: String,
    /// Its column.
    pub column: Arc<Column>,
    /// The events it received.
    pub timetable: Arc<Timetable>,
    /// Every step.
    pub series: Series,
    /// The ledger at each midnight reached, the first one included.
    pub midnights: Vec<Ledger>,
    /// What the solution took.
    pub stats: Stats,
    /// Why it stopped before its end, if it did.
    pub error: Option<RunError>,
}

impl LaneRun {
    /// Whole days reached.
    #[must_use]
    pub fn days(&self) -> usize {
        self.midnights.len() - 1
    }

    /// What passed on a day (from 0); `None` if the run did not reach its end.
    #[must_use]
    pub fn day(&self, day: usize) -> Option<Ledger> {
        Some(self.midnights.get(day + 1)?.since(self.midnights.get(day)?))
    }

    /// The ledger at the last step.
    #[must_use]
    pub fn ledger(&self) -> Ledger {
        self.series.samples.last().map(|s| s.ledger).unwrap_or_default()
    }
}

/// A run of all lanes.
#[derive(Clone, Debug, Default)]
pub struct Run {
    /// In the scenario's order.
    pub lanes: Vec<LaneRun>,
}

impl Run {
    /// Every event of every day.
    #[must_use]
    pub fn timetable(&self) -> Option<&Arc<Timetable>> {
        self.lanes.first().map(|l| &l.timetable)
    }

    /// Worst water closure of the lanes.
    #[must_use]
    pub fn water_closure(&self) -> f64 {
        self.lanes.iter().map(|l| l.ledger().water_closure()).fold(0.0, f64::max)
    }

    /// Worst salt closure of the lanes.
    #[must_use]
    pub fn salt_closure(&self) -> f64 {
        self.lanes.iter().map(|l| l.ledger().salt_closure()).fold(0.0, f64::max)
    }
}

/// Makes lanes ready, keeping the columns and loads of lanes that did not change: a column costs more than a day's run, the load of a week
/// of minutes as much as one.
#[derive(Clone, Default)]
pub struct Workshop {
    kept: Vec<Kept>,
}

/// What was made of a lane, and what it was made from.
#[derive(Clone)]
struct Kept {
    lane: Lane,
    solver: Solver,
    column: Arc<Column>,
    surroundings: Surroundings,
    load: Arc<dyn Load>,
}

/// What a lane's load hangs on besides the lane.
#[derive(Clone, PartialEq)]
struct Surroundings {
    light: Light,
    evaporation_mm_per_day: f64,
    climate: Option<Climate>,
}

impl Workshop {
    /// Makes a scenario ready.
    ///
    /// # Errors
    /// [`BuildError`] for the first lane that cannot be built. A scenario that passed validation always can.
    pub fn ready(&mut self, scenario: &Scenario, library: &Library) -> Result<ReadyBench, BuildError> {
        let (light, evaporation_mm_per_day) = (scenario.light, scenario.evaporation_mm_per_day);
        let surroundings = Surroundings { light, evaporation_mm_per_day, climate: scenario.climate.clone() };
        let mut kept = Vec::with_capacity(scenario.lanes.len());
        for lane in &scenario.lanes {
            let known = self.kept.iter().find(|k| k.lane == *lane && k.solver == scenario.solver);
            let column = match known {
                Some(known) => Arc::clone(&known.column),
                None => Arc::new(Column::build(lane, &scenario.solver, library)?),
            };
            let load = match known.filter(|k| k.surroundings == surroundings) {
                Some(known) => Arc::clone(&known.load),
                None => load::of(&lane.demand, &column.crop, scenario),
            };
            kept.push(Kept { lane: lane.clone(), solver: scenario.solver, column, surroundings: surroundings.clone(), load });
        }
        self.kept = kept;
        let ready = |kept: &Kept| Ready {
            name: kept.lane.name.clone(),
            timetable: Arc::default(),
            clock: Arc::new(EventClock::silent()),
            load: Arc::clone(&kept.load),
            feed_ec: scenario.feed.ec,
            start: start::state(&kept.column, &kept.lane.start, scenario.feed.ec),
            round: scenario.round_days(),
            column: Arc::clone(&kept.column),
        };
        Ok(ReadyBench { scenario: scenario.clone(), lanes: self.kept.iter().map(ready).collect() })
    }
}

/// A scenario whose lanes are ready, but for the timetable: what the pump does may hang on how long they run.
#[derive(Clone)]
pub struct ReadyBench {
    scenario: Scenario,
    lanes: Vec<Ready>,
}

impl ReadyBench {
    /// The columns of the lanes.
    pub fn columns(&self) -> impl Iterator<Item = &Arc<Column>> {
        self.lanes.iter().map(|l| &l.column)
    }

    /// Days of the scenario.
    #[must_use]
    pub fn days(&self) -> u32 {
        self.scenario.days
    }

    /// The lanes with the timetable of some days. `go_on` is asked now and then; `None` when it said no.
    #[must_use]
    pub fn timed(&self, until: Until, go_on: &dyn Fn() -> bool) -> Option<Vec<Ready>> {
        let timetable = if feedback::needed(&self.scenario) {
            feedback::timetable(&self.scenario, &self.lanes, until, go_on)?
        } else {
            Timetable::foreseen(&self.scenario)
        };
        let timetable = Arc::new(timetable);
        let timed = |(ready, lane): (&Ready, &Lane)| Ready {
            clock: Arc::new(EventClock::new(&timetable, lane.dose)),
            timetable: Arc::clone(&timetable),
            ..ready.clone()
        };
        Some(self.lanes.iter().zip(&self.scenario.lanes).map(timed).collect())
    }

    /// The lanes with the timetable of the scenario's own days.
    #[must_use]
    pub fn for_its_days(&self) -> Vec<Ready> {
        self.timed(Until { days: self.scenario.days, settled: false }, &|| true).unwrap_or_default()
    }
}

/// Runs ready lanes for whole days, side by side. The result does not depend on how many threads there are.
#[must_use]
pub fn run(lanes: &[Ready], days: u32) -> Run {
    let lanes = if lanes.len() < 2 { lanes.iter().map(|l| l.run(days)).collect() } else { lanes.par_iter().map(|l| l.run(days)).collect() };
    Run { lanes }
}

/// Makes a scenario ready and runs it for its days.
///
/// # Errors
/// [`BuildError`] when a lane cannot be built; lanes that stop early carry their own error.
pub fn run_scenario(scenario: &Scenario, library: &Library) -> Result<Run, BuildError> {
    Ok(run(&Workshop::default().ready(scenario, library)?.for_its_days(), scenario.days))
}
