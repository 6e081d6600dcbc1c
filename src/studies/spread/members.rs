//! Members: each the bench's days with a draw of its unknowns. Of a member is kept what is told of it, and nothing else: about 1.4 kB a lane.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

use super::drawn::{Drawn, drawn};
use super::unknowns::Unknowns;
use crate::engine::column::BuildError;
use crate::engine::run::feedback::{self, Until};
use crate::engine::run::series::Sample;
use crate::engine::run::{EachDay, LaneRun, Outcome, Ready, ReadyBench, Recorder, Watch, Workshop, batch};
use crate::engine::supply::clock::EventClock;
use crate::figures::day::{day_figures, hours_outside};
use crate::figures::{Aims, Measured};
use crate::numerics::normal::cut_score;
use crate::numerics::sampling::latin_column;
use crate::scenario::plan::on_day;
use crate::scenario::presets::Library;
use crate::scenario::ranges::Range;
use crate::scenario::{Event, Lane, PlanChange, Problem, Scenario};
use crate::studies::told::{self, AIMS, COUNT, Told};

/// How many members there may be: fewer have no tenths, and more tell nothing that these do not.
pub const MEMBERS: (u32, u32) = (10, 10_000);
/// Scatter of the flow of emitters of one kind that may be asked for, as a share of their mean.
pub const EMITTER_CV: Range = (0.0, 0.3);

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ask {
    /// How many members, within [`MEMBERS`].
    pub members: u32,
    /// The same seed draws the same members.
    pub seed: u64,
    /// Scatter of the flow of emitters of one kind, as a share of their mean, within [`EMITTER_CV`].
    pub emitter_cv: f64,
    /// How far all else may be off: times what the list of parameters says; 0 or more.
    pub scale: f64,
    /// On the bench's own grid instead of the coarser one: takes twice as long.
    pub own_grid: bool,
}

impl Default for Ask {
    fn default() -> Self {
        Self { members: 1000, seed: 1, emitter_cv: 0.07, scale: 1.0, own_grid: false }
    }
}

impl Ask {
    /// What cannot be asked, if so.
    #[must_use]
    pub fn problem(&self) -> Option<Problem> {
        let problem = |field: &str, value: String, (low, high): Range, why: &str| {
            Some(Problem { field: field.to_owned(), value, allowed: format!("{low} to {high}"), why: why.to_owned() })
        };
        let (low, high) = MEMBERS;
        if !(low..=high).contains(&self.members) {
            let why = "fewer have no lowest and highest tenth, and more tell nothing that these do not";
            return problem("--members", self.members.to_string(), (f64::from(low), f64::from(high)), why);
        }
        if !(EMITTER_CV.0..=EMITTER_CV.1).contains(&self.emitter_cv) {
            let why = "scatter of the flow of emitters of one kind, as a share of its mean";
            return problem("--emitter-cv", self.emitter_cv.to_string(), EMITTER_CV, why);
        }
        None
    }
}

/// Instants of the last day at which a member's curves are kept: every quarter of an hour, both midnights included.
pub const INSTANTS: usize = 97;
/// Time between two of them, s.
const EVERY_S: f64 = 900.0;

/// What is kept of an instant.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Instant {
    /// Water content of the whole container, m³/m³.
    pub water_content: f32,
    /// Air at the roots, m³/m³.
    pub root_air: f32,
    /// EC of the root zone, mS/cm.
    pub root_zone_ec: f32,
}

/// A lane of a member: its last day.
#[derive(Clone, Debug, PartialEq)]
pub struct MemberLane {
    /// In the order of [`told::FIGURES`]; no number where the day has none.
    pub figures: [f64; COUNT],
    /// In the order of [`told::AIM_KEYS`].
    pub met: [bool; AIMS],
    /// The day's curves.
    pub curves: Box<[Instant]>,
}

/// The members asked for, and their draws.
pub struct Members {
    /// Score of each unknown (outer) for each member (inner).
    pub scores: Vec<Vec<f64>>,
    /// The members, in their order; `None` for one that was not run any more.
    pub members: Vec<Option<Outcome<MemberLane>>>,
}

/// Draws and runs members side by side. What comes out hangs on the bench and on what is asked, and not on how many threads there are.
/// `aims` are each lane's. `go_on` is asked before each day of each lane; once it says no, no more members are begun. `so_far` is told after
/// each how many are, and what there is of all.
pub fn run(
    (scenario, library): (&Scenario, &Library),
    unknowns: &Unknowns,
    aims: &[Aims],
    ask: &Ask,
    go_on: &(dyn Fn() -> bool + Sync),
    so_far: &(dyn Fn(usize, &dyn Fn() -> Members) + Sync),
) -> Members {
    let count = ask.members as usize;
    let column = |i: usize| latin_column(count, i as u64, ask.seed).into_iter().map(cut_score).collect();
    let scores: Vec<Vec<f64>> = (0..unknowns.list.len()).map(column).collect();
    let numbers: Vec<usize> = (0..count).collect();
    let ready = |m: &usize| {
        let own: Vec<f64> = scores.iter().map(|s| s[*m]).collect();
        one(drawn(scenario, library, unknowns, &own), library, go_on)
    };
    let recorder = |_: &usize, lane: usize, ready: &Ready| last_day(ready, &scenario.lanes[lane], &aims[lane], scenario.days);
    let kept: Mutex<Vec<Option<Outcome<MemberLane>>>> = Mutex::new(vec![None; count]);
    let of_now = || Members { scores: scores.clone(), members: kept.lock().unwrap_or_else(PoisonError::into_inner).clone() };
    let finished = AtomicUsize::new(0);
    let done = |m: usize, outcome: &Outcome<Vec<Option<MemberLane>>>| {
        let member = match outcome {
            Err(why) => Some(Err(why.clone())),
            // Who ran to the end has a last day.
            Ok(lanes) => lanes.iter().map(|days| days.last().cloned().flatten()).collect::<Option<_>>().map(Ok),
        };
        if let Some(place) = kept.lock().unwrap_or_else(PoisonError::into_inner).get_mut(m) {
            *place = member;
        }
        so_far(finished.fetch_add(1, Ordering::Relaxed) + 1, &of_now);
    };
    // What was done up to a no is kept all the same.
    let _ = batch(&numbers, scenario.days, ready, recorder, Watch { go_on, done: &done });
    of_now()
}

/// A member's bench. The pump does not know of its emitters: what a probe or a tank calls for is what the mean of a lane calls for.
fn one(member: Drawn, library: &Library, go_on: &dyn Fn() -> bool) -> Result<ReadyBench, BuildError> {
    let mut scenario = member.scenario;
    if feedback::needed(&scenario) && member.flows.iter().any(|flow| *flow != 1.0) {
        let until = Until { days: scenario.days, settled: false };
        let bench = Workshop::default().ready(&scenario, library)?;
        if let Some(lanes) = bench.timed(until, go_on) {
            give(&mut scenario, &lanes);
        }
    }
    for (lane, flow) in scenario.lanes.iter_mut().zip(&member.flows) {
        lane.dose *= flow;
    }
    Workshop::default().ready(&scenario, library)
}

/// Puts what each valve gave on each day, and with what EC, in the place of rules, tank and pump.
fn give(scenario: &mut Scenario, lanes: &[Ready]) {
    scenario.tank = None;
    scenario.pump = None;
    let last = scenario.days;
    for (v, valve) in scenario.valves.iter_mut().enumerate() {
        let on_it = scenario.lanes.iter().zip(lanes).find(|(lane, _)| lane.valve == v);
        let Some((_, ready)) = on_it else { continue };
        let events = |day: usize| -> Vec<Event> {
            let calls = ready.timetable.day(day).map_or(&[][..], |d| &d.calls);
            calls.iter().map(|call| Event { ec: Some(call.ec), ..call.event }).collect()
        };
        valve.rules.clear();
        valve.schedule = events(0);
        // The morning after the last day ends its night.
        let change = |day: u32| PlanChange { from_day: day + 1, schedule: events(day as usize), rules: Vec::new() };
        valve.changes = (1..=last).map(change).collect();
    }
}

/// What a lane's last day is held against as the bench stands, and what it comes to: the outer `None` when `go_on` said no, the inner where
/// it does not get there.
pub fn as_it_stands(scenario: &Scenario, lane: usize, ready: &Ready, go_on: &dyn Fn() -> bool) -> Option<Option<(Aims, MemberLane)>> {
    let (described, last) = (&scenario.lanes[lane], scenario.days as usize - 1);
    let of_day = |run: &LaneRun, day: usize| {
        let aims = (day == last).then(|| Measured::of(scenario, described, run, day)).flatten()?.aims;
        Some((aims, member_lane(run, described, &aims, day)?))
    };
    ran(ready, scenario.days, EachDay::of(ready, of_day), go_on)
}

/// A lane's last day under an emitter that gives `flow` times the lane's mean: the outer `None` when `go_on` said no, the inner where it
/// does not get there.
pub fn under(ready: &Ready, lane: &Lane, aims: &Aims, (flow, days): (f64, u32), go_on: &dyn Fn() -> bool) -> Option<Option<MemberLane>> {
    let clock = Arc::new(EventClock::new(&ready.timetable, lane.dose * flow));
    let ready = Ready { clock, ..ready.clone() };
    ran(&ready, days, last_day(&ready, lane, aims, days), go_on)
}

/// Runs a lane and gives what was kept of its last day, `None` where it failed.
fn ran<T>(ready: &Ready, days: u32, mut recorder: impl Recorder<Kept = Vec<Option<T>>>, go_on: &dyn Fn() -> bool) -> Option<Option<T>> {
    let ended = ready.run_with(days, &mut recorder, go_on)?;
    Some(if ended.failure().is_some() { None } else { recorder.kept().pop().flatten() })
}

/// What is kept of a run: of its last day what is told of it, of the others nothing.
fn last_day<'a>(ready: &Ready, lane: &'a Lane, aims: &'a Aims, days: u32) -> impl Recorder<Kept = Vec<Option<MemberLane>>> + use<'a> {
    EachDay::of(ready, move |run: &LaneRun, day: usize| if day + 1 == days as usize { member_lane(run, lane, aims, day) } else { None })
}

fn member_lane(run: &LaneRun, lane: &Lane, aims: &Aims, day: usize) -> Option<MemberLane> {
    let figures = day_figures(run, lane, day)?;
    let hours_outside_band = aims.water_content.band().map(|band| hours_outside(run, day, band));
    let values = told::values(&Told { figures: &figures, hours_outside_band });
    let start = on_day(day, 0.0);
    let at = |k: u16| run.series.at(start + f64::from(k) * EVERY_S).map(|s| instant(&s)).unwrap_or_default();
    #[allow(clippy::cast_possible_truncation)]
    let curves = (0..INSTANTS as u16).map(at).collect();
    Some(MemberLane { figures: values, met: told::met(&figures, aims), curves })
}

#[allow(clippy::cast_possible_truncation)] // a curve's line is no thinner than that
fn instant(sample: &Sample) -> Instant {
    Instant { water_content: sample.water_content as f32, root_air: sample.root_air as f32, root_zone_ec: sample.root_zone_ec as f32 }
}
