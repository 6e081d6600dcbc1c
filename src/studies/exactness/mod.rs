//! How exact a bench's figures are computed: the same bench run with thinner layers and a tighter tolerance, and the largest differences.
//!
//! It tells the error of the computation alone. What is not known of media, plants and emitters is another matter, and far more.

pub mod aims;
pub mod words;

use std::fmt;

use serde::{Serialize, Serializer};

use crate::engine::column::Column;
use crate::engine::run::feedback::{self, Until};
use crate::engine::run::ledger::{Closure, Ledger};
use crate::engine::run::simulation::{RunError, Simulation};
use crate::engine::run::{Ready, Workshop};
use crate::engine::supply::timetable::Timetable;
use crate::figures::day::uptake_met;
use crate::scenario::other_grid::{THINNER, TIGHTER, refined};
use crate::scenario::presets::Library;
use crate::scenario::{Clock, DAY_S, Scenario};
use crate::studies::StudyError;

/// EC that differences are at least a share of, mS/cm: near none, a share of it says nothing (judgement).
const LEAST_EC: f64 = 0.1;

/// A bench held against its finer run.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Exactness {
    /// How many times as thin the layers of the finer run are.
    pub thinner: u32,
    /// How many times as tight its tolerance is.
    pub tighter: u32,
    /// Per lane, in the scenario's order.
    pub lanes: Vec<LaneExactness>,
    /// How the events that a probe or a tank has a say in differ; `None` where there are none such.
    pub calls: Option<CallsApart>,
}

/// The largest differences of a lane through all its days.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LaneExactness {
    /// Its name.
    pub lane: String,
    /// Layers of the bench as it is.
    pub layers: usize,
    /// Layers of the finer run.
    pub finer_layers: usize,
    /// Water content of the whole container, points (percent of the volume).
    pub water_points: Apart,
    /// Water content of the part that is furthest off, points.
    pub part_water_points: PartApart,
    /// Root-zone EC, percent of the finer run's (of at least 0.1 mS/cm).
    pub ec_percent: Apart,
    /// Uptake met, points of a day.
    pub uptake_points: DayApart,
    /// Drained in a day, mL per plant.
    pub drained_ml: DayApart,
    /// Share of a day's water that drained, points; days without water are left out.
    pub drain_points: DayApart,
    /// Why that is not all there is to say, if so.
    #[serde(serialize_with = "in_words")]
    pub broken: Option<Broken>,
}

/// A largest difference, and when it was.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Apart {
    /// How much, without its sign.
    pub by: f64,
    /// Seconds since the first midnight.
    pub at_s: f64,
    /// The largest share that a difference had of what is aimed at just then: 1 is the aim. See [`aims`].
    pub of_aim: f64,
}

/// A largest difference of a part.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct PartApart {
    /// The part; of a container of one part, its lower, middle or upper third.
    pub part: String,
    /// Its difference. `of_aim` is of all parts.
    #[serde(flatten)]
    pub apart: Apart,
}

/// A largest difference of a day.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct DayApart {
    /// How much, without its sign.
    pub by: f64,
    /// The day, from 1.
    pub day: usize,
}

/// How the events differ that a probe or a tank has a say in.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct CallsApart {
    /// Largest shift of an event, s, on days with as many events in both runs.
    pub shifted_s: DayApart,
    /// The first day, from 1, that has another number of events in the finer run, with both numbers.
    pub other_number: Option<(usize, usize, usize)>,
}

/// Why a lane cannot be compared to its end, or not at all.
#[derive(Clone, Debug, PartialEq)]
pub enum Broken {
    /// The bench's own run stopped: what is told is of the time before.
    OwnStopped(RunError),
    /// The finer run stopped: what is told is of the time before.
    FinerStopped(RunError),
    /// The finer run's books do not close: nothing can be held against it.
    FinerUnclosed(Closure),
}

impl fmt::Display for Broken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whose, error) = match self {
            Self::OwnStopped(error) => ("the bench's own", error),
            Self::FinerStopped(error) => ("the finer", error),
            Self::FinerUnclosed(closure) => return write!(f, "the finer run failed, {closure}: the differences say nothing"),
        };
        let (at, layer) = (instant(error.time_s), error.layer + 1);
        write!(f, "{whose} run stopped at {at}, in layer {layer} from the base: the differences are of the time before")
    }
}

fn in_words<S: Serializer>(broken: &Option<Broken>, serializer: S) -> Result<S::Ok, S::Error> {
    broken.as_ref().map(ToString::to_string).serialize(serializer)
}

/// An instant of the run, s since the first midnight, as a time and a day.
fn instant(time_s: f64) -> String {
    let minutes = (time_s.rem_euclid(DAY_S) / 60.0).floor();
    format!("{}, day {:.0}", Clock::from_hours(minutes / 60.0), (time_s / DAY_S).floor() + 1.0)
}

impl Exactness {
    /// The first lane whose finer run failed, if one did.
    #[must_use]
    pub fn failed(&self) -> Option<(&LaneExactness, &Broken)> {
        let of = |l| Some((l, LaneExactness::finer_failure(l)?));
        self.lanes.iter().find_map(of)
    }
}

impl LaneExactness {
    fn new(coarse: &Ready, fine: &Ready) -> Self {
        Self {
            lane: coarse.name.clone(),
            layers: coarse.column.len(),
            finer_layers: fine.column.len(),
            water_points: Apart::default(),
            part_water_points: PartApart::default(),
            ec_percent: Apart::default(),
            uptake_points: DayApart::default(),
            drained_ml: DayApart::default(),
            drain_points: DayApart::default(),
            broken: None,
        }
    }

    fn finer_failure(&self) -> Option<&Broken> {
        self.broken.as_ref().filter(|b| !matches!(b, Broken::OwnStopped(_)))
    }

    /// Compares both runs as they stand at one instant. Of water content so much is asked just then, points.
    fn look(&mut self, coarse: &Simulation, fine: &Simulation, parts: &[Window], water_aim: f64) {
        let at_s = coarse.time_s();
        let both = [coarse, fine];
        let [a, b] = both.map(|s| s.ledger().water_stored / s.column().volume);
        self.water_points.take(100.0 * (a - b), at_s, water_aim);
        for part in parts {
            let [a, b] = [(coarse, &part.layers[0]), (fine, &part.layers[1])].map(|(s, shares)| mean(&s.state().theta, shares));
            if self.part_water_points.apart.take(100.0 * (a - b), at_s, water_aim) {
                self.part_water_points.part.clone_from(&part.name);
            }
        }
        let [a, b] = both.map(|s| s.column().root_zone_ec(&s.state().theta, &s.state().ec));
        self.ec_percent.take(100.0 * (a - b) / b.max(LEAST_EC), at_s, aims::EC_PERCENT);
    }

    /// Compares what passed on a day, from 1.
    fn look_at_day(&mut self, coarse: &Ledger, fine: &Ledger, day: usize) {
        let both = [coarse, fine];
        let [a, b] = both.map(uptake_met);
        self.uptake_points.take(100.0 * (a - b), day);
        let [a, b] = both.map(|l| l.water.drained());
        self.drained_ml.take(a - b, day);
        if both.iter().all(|l| l.water.applied > 0.0) {
            let [a, b] = both.map(|l| l.water.drained() / l.water.applied);
            self.drain_points.take(100.0 * (a - b), day);
        }
    }
}

impl Apart {
    /// Takes a difference, and tells whether it is the largest so far.
    fn take(&mut self, by: f64, at_s: f64, aim: f64) -> bool {
        self.of_aim = self.of_aim.max(by.abs() / aim);
        let larger = by.abs() > self.by;
        if larger {
            (self.by, self.at_s) = (by.abs(), at_s);
        }
        larger
    }
}

impl DayApart {
    fn take(&mut self, by: f64, day: usize) {
        if by.abs() > self.by || self.day == 0 {
            *self = Self { by: by.abs(), day };
        }
    }
}

/// Runs a scenario as it is and refined, and gives the largest differences. `go_on` is asked at every step; `None` when it said no. `so_far`
/// is told from time to time what share (0–1) is done.
///
/// # Errors
/// [`StudyError`] when a lane cannot be built.
pub fn exactness(
    scenario: &Scenario,
    library: &Library,
    go_on: &dyn Fn() -> bool,
    so_far: &dyn Fn(f64),
) -> Result<Option<Exactness>, StudyError> {
    let until = Until { days: scenario.days, settled: false };
    let mut timed = Vec::with_capacity(2);
    for scenario in [scenario, &refined(scenario)] {
        let Some(lanes) = Workshop::default().ready(scenario, library)?.timed(until, go_on) else { return Ok(None) };
        timed.push(lanes);
    }
    let [coarse, fine] = [&timed[0], &timed[1]];
    #[allow(clippy::cast_precision_loss)]
    let all = (coarse.len() * scenario.days as usize) as f64;
    let mut lanes = Vec::with_capacity(coarse.len());
    for (i, pair) in coarse.iter().zip(fine).enumerate() {
        #[allow(clippy::cast_precision_loss)]
        let before = (i * scenario.days as usize) as f64;
        let Some(lane) = compared(pair, scenario.days, go_on, &|day| so_far((before + f64::from(day)) / all)) else { return Ok(None) };
        lanes.push(lane);
    }
    let calls = match (coarse.first(), fine.first()) {
        (Some(a), Some(b)) if feedback::needed(scenario) => Some(calls_apart(&a.timetable, &b.timetable, scenario.days as usize)),
        _ => None,
    };
    Ok(Some(Exactness { thinner: THINNER, tighter: TIGHTER, lanes, calls }))
}

/// Takes a lane and its finer self through the days side by side. The first goes by steps of its own, as it does on the bench; the second
/// lands where each of them ends, so that nothing has to be read between two steps.
fn compared((coarse, fine): (&Ready, &Ready), days: u32, go_on: &dyn Fn() -> bool, day_done: &dyn Fn(u32)) -> Option<LaneExactness> {
    let (mut a, mut b) = (coarse.simulation(), fine.simulation());
    let parts = windows(&coarse.column, &fine.column);
    let mut found = LaneExactness::new(coarse, fine);
    found.look(&a, &b, &parts, aims::WATER_POINTS);
    for day in 1..=days {
        let fast = aims::fast_times([&coarse.timetable, &fine.timetable], day as usize - 1);
        let (dawn_a, dawn_b) = (*a.ledger(), *b.ledger());
        while a.time_s() < f64::from(day) * DAY_S {
            if !go_on() {
                return None;
            }
            let step = a.advance_while(f64::from(day) * DAY_S, |_| false).map_err(Broken::OwnStopped);
            if let Err(broken) = step.and_then(|()| b.advance_to(a.time_s(), |_| {}).map_err(Broken::FinerStopped)) {
                found.broken = Some(broken);
                return Some(found);
            }
            found.look(&a, &b, &parts, aims::water_points(&fast, a.time_s()));
        }
        let closure = Closure::of([b.ledger()]);
        if !closure.closes() {
            found.broken = Some(Broken::FinerUnclosed(closure));
            return Some(found);
        }
        found.look_at_day(&a.ledger().since(&dawn_a), &b.ledger().since(&dawn_b), day as usize);
        day_done(day);
    }
    Some(found)
}

/// A stretch of height in both columns.
struct Window {
    name: String,
    /// The layers in it with their volumes that lie within.
    layers: [Vec<(usize, f64)>; 2],
}

/// Each part; of a lone part, its lower, middle and upper third, cut where the thicker layers meet.
fn windows(coarse: &Column, fine: &Column) -> Vec<Window> {
    let window = |name: String, layers: std::ops::Range<usize>| {
        let (Some(lowest), Some(highest)) = (coarse.layers.get(layers.start), coarse.layers[layers.clone()].last()) else { return None };
        let (low, high) = (lowest.z - 0.5 * lowest.dz, highest.z + 0.5 * highest.dz);
        Some(Window { name, layers: [coarse, fine].map(|column| within(column, low, high)) })
    };
    match coarse.parts.as_slice() {
        [_] => {
            let n = coarse.len();
            let thirds = ["lower third", "middle third", "upper third"].into_iter().zip(0..);
            thirds.filter_map(|(name, k)| window(name.to_owned(), k * n / 3..(k + 1) * n / 3)).collect()
        }
        parts => parts.iter().filter_map(|p| window(p.name.clone(), p.layers.clone())).collect(),
    }
}

/// The layers between two heights with their volumes in there. A thin layer that only rounding puts there is left out.
fn within(column: &Column, low: f64, high: f64) -> Vec<(usize, f64)> {
    let share = |l: &crate::engine::column::layers::Layer| (high.min(l.z + 0.5 * l.dz) - low.max(l.z - 0.5 * l.dz)) / l.dz;
    let layers = column.layers.iter().enumerate().map(|(i, l)| (i, share(l), l.volume));
    layers.filter(|(_, share, _)| *share > 1e-6).map(|(i, share, volume)| (i, share * volume)).collect()
}

fn mean(values: &[f64], shares: &[(usize, f64)]) -> f64 {
    let all: f64 = shares.iter().map(|s| s.1).sum();
    shares.iter().map(|&(i, volume)| volume * values[i]).sum::<f64>() / all
}

fn calls_apart(coarse: &Timetable, fine: &Timetable, days: usize) -> CallsApart {
    let mut apart = CallsApart { shifted_s: DayApart::default(), other_number: None };
    for day in 0..days {
        let (a, b) = (coarse.events(day), fine.events(day));
        if a.len() != b.len() {
            apart.other_number = apart.other_number.or(Some((day + 1, a.len(), b.len())));
            continue;
        }
        for (a, b) in a.iter().zip(b) {
            apart.shifted_s.take(a.start_s() - b.start_s(), day + 1);
        }
    }
    apart
}
