//! Members: each the bench's days with a draw of its unknowns. Of a member is kept what is told of it, and nothing else: about 1.4 kB a lane.

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;
use serde::Serialize;

use super::drawn::{Drawn, drawn};
use super::last_day::last_day;
use super::priors::{EMITTER_CV, Priors};
use super::told::{self, AIMS, COUNT, Told};
use super::unknowns::Unknowns;
use crate::engine::column::BuildError;
use crate::engine::run::feedback::Until;
use crate::engine::run::series::Sample;
use crate::engine::run::{Ready, Workshop};
use crate::engine::supply::clock::EventClock;
use crate::figures::day::{day_figures, hours_outside};
use crate::numerics::normal::cut_score;
use crate::numerics::sampling::latin_column;
use crate::scenario::presets::Library;
use crate::scenario::ranges::Range;
use crate::scenario::{DAY_S, Lane, Problem, Scenario};

/// How many members there may be: fewer have no tenths, and more tell nothing that these do not.
pub const MEMBERS: (u32, u32) = (10, 10_000);

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ask {
    /// How many members, within [`MEMBERS`].
    pub members: u32,
    /// The same seed draws the same members.
    pub seed: u64,
    /// How far the unknowns may be off.
    pub priors: Priors,
}

impl Default for Ask {
    fn default() -> Self {
        Self { members: 1000, seed: 1, priors: Priors::default() }
    }
}

impl Ask {
    /// What cannot be asked, if so.
    #[must_use]
    pub fn problem(&self) -> Option<Problem> {
        let (low, high) = MEMBERS;
        let problem = |field: &str, value: String, (low, high): Range, why: &str| {
            Some(Problem { field: field.to_owned(), value, allowed: format!("{low} to {high}"), why: why.to_owned() })
        };
        if !(low..=high).contains(&self.members) {
            let why = "fewer have no lowest and highest tenth, and more tell nothing that these do not";
            return problem("members", self.members.to_string(), (f64::from(low), f64::from(high)), why);
        }
        let cv = self.priors.emitter_cv;
        if !(EMITTER_CV.0..=EMITTER_CV.1).contains(&cv) {
            return problem(
                "emitter_cv",
                cv.to_string(),
                EMITTER_CV,
                "scatter of the flow of emitters of one kind, as a share of its mean",
            );
        }
        None
    }
}

/// Instants of the last day at which a member's curves are kept: every quarter of an hour, both midnights included.
pub const INSTANTS: usize = 97;
/// Time between two of them, s.
const EVERY_S: f64 = 900.0;

/// What is kept of an instant.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
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

/// A member: `None` for a lane that did not converge.
pub type Member = Vec<Option<MemberLane>>;

/// The members asked for, in their order, and their draws.
pub struct Members {
    /// Score of each unknown (outer) for each member (inner).
    pub scores: Vec<Vec<f64>>,
    /// The members; `None` for one that was not run any more.
    pub members: Vec<Option<Member>>,
}

/// Draws and runs members side by side. What comes out hangs on the bench and on what is asked, and not on how many threads there are.
/// `go_on` is asked before each day of each lane; once it says no, no more members are begun. `done` is told after each how many are.
pub fn run(
    scenario: &Scenario,
    library: &Library,
    unknowns: &Unknowns,
    ask: &Ask,
    go_on: &(dyn Fn() -> bool + Sync),
    done: &(dyn Fn(usize) + Sync),
) -> Members {
    let count = ask.members as usize;
    let column = |i: usize| latin_column(count, i as u64, ask.seed).into_iter().map(cut_score).collect();
    let scores: Vec<Vec<f64>> = (0..unknowns.list.len()).map(column).collect();
    let finished = AtomicUsize::new(0);
    let member = |m: usize| {
        let own: Vec<f64> = scores.iter().map(|s| s[m]).collect();
        let member = one(&drawn(scenario, library, unknowns, &own), library, go_on)?;
        done(finished.fetch_add(1, Ordering::Relaxed) + 1);
        Some(member)
    };
    let members = (0..count).into_par_iter().with_max_len(1).map(|m| if go_on() { member(m) } else { None }).collect();
    Members { scores, members }
}

/// Runs one member; `None` when `go_on` said no. A lane that cannot be built counts as one that did not converge.
#[must_use]
pub fn one(member: &Drawn, library: &Library, go_on: &(dyn Fn() -> bool + Sync)) -> Option<Member> {
    let Ok(lanes) = timed(&member.scenario, library, go_on) else { return Some(vec![None; member.flows.len()]) };
    let lanes = lanes?;
    let mut out = Vec::with_capacity(lanes.len());
    for ((ready, lane), &flow) in lanes.iter().zip(&member.scenario.lanes).zip(&member.flows) {
        out.push(lane_of(ready, lane, flow, member.scenario.days, go_on)?);
    }
    Some(out)
}

/// A bench's lanes with what the pump gives them; `Ok(None)` when `go_on` said no.
///
/// # Errors
/// [`BuildError`] when a lane cannot be built.
pub fn timed(scenario: &Scenario, library: &Library, go_on: &(dyn Fn() -> bool + Sync)) -> Result<Option<Vec<Ready>>, BuildError> {
    let ready = Workshop::default().ready(scenario, library)?;
    Ok(ready.timed(Until { days: scenario.days, settled: false }, &go_on))
}

/// Runs a lane's days under an emitter that gives `flow` times the lane's mean. The pump does not know of it: what a probe or a tank calls
/// for is what the mean of the lane calls for. The outer `None`: `go_on` said no; the inner: it did not converge.
#[must_use]
pub fn lane_of(ready: &Ready, lane: &Lane, flow: f64, days: u32, go_on: &(dyn Fn() -> bool + Sync)) -> Option<Option<MemberLane>> {
    // With the flow of the mean it is the bench's own clock, to the bit.
    let clock = if flow == 1.0 { Arc::clone(&ready.clock) } else { Arc::new(EventClock::new(&ready.timetable, lane.dose * flow)) };
    let run = last_day(&Ready { clock, ..ready.clone() }, days, go_on)?;
    if run.failure().is_some() {
        return Some(None);
    }
    let day = days as usize - 1;
    let Some(figures) = day_figures(&run, lane, day) else { return Some(None) };
    let hours_outside_band = lane.targets.water_content.map(|band| hours_outside(&run, day, band));
    let values = told::values(&Told { figures: &figures, hours_outside_band });
    let start = f64::from(days - 1) * DAY_S;
    let at = |k: u16| run.series.at(start + f64::from(k) * EVERY_S).map(|s| instant(&s)).unwrap_or_default();
    #[allow(clippy::cast_possible_truncation)]
    let curves = (0..INSTANTS as u16).map(at).collect();
    Some(Some(MemberLane { figures: values, met: told::met(&figures, lane), curves }))
}

#[allow(clippy::cast_possible_truncation)]
fn instant(sample: &Sample) -> Instant {
    Instant { water_content: sample.water_content as f32, root_air: sample.root_air as f32, root_zone_ec: sample.root_zone_ec as f32 }
}
