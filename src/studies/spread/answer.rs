//! The answer: what all members together say of each lane.

use std::collections::BTreeMap;

use serde::Serialize;

use super::bands::{self, Band, CurveBands};
use super::emitters::{self, Emitters, Tenth};
use super::members::{self, Ask, MemberLane, Members};
use super::shares::{Named, shares};
use super::unknowns::{Law, Unknown, Unknowns};
use crate::engine::run::feedback::Until;
use crate::engine::run::{Ready, Workshop};
use crate::figures::Aims;
use crate::scenario::other_grid::coarsened;
use crate::scenario::presets::Library;
use crate::scenario::{Lane, Scenario};
use crate::studies::StudyError;
use crate::studies::told::FIGURES;

/// How sure a bench's last day is.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Spread {
    /// Days run; what is told is of the last.
    pub days: u32,
    /// The seed.
    pub seed: u64,
    /// Members asked for.
    pub members: u32,
    /// They ran on the bench's own grid, not on the coarser one.
    pub own_grid: bool,
    /// Members run: fewer than asked for when it was stopped.
    pub ran: usize,
    /// Of those, members of which a lane failed: they count for nothing.
    pub failed: usize,
    /// Why the first of these failed.
    pub first_failure: Option<String>,
    /// What was drawn.
    pub unknowns: Vec<Drawing>,
    /// Units of the figures.
    pub units: BTreeMap<&'static str, &'static str>,
    /// In the scenario's order.
    pub lanes: Vec<LaneSpread>,
}

/// An unknown as it is told.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Drawing {
    /// Its name within the lanes that it bears on.
    pub unknown: String,
    /// These lanes.
    pub lanes: Vec<String>,
    /// The numbers that it moves, and how: each is where eight draws in ten lie.
    pub moves: BTreeMap<String, String>,
    /// Where its scatter is from.
    pub provenance: &'static str,
}

/// A lane.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LaneSpread {
    /// Its name.
    pub name: String,
    /// The figures of the bench as it stands; none where it does not converge.
    pub as_it_stands: BTreeMap<&'static str, f64>,
    /// Share of the members that meet each aim.
    pub chance: BTreeMap<&'static str, f64>,
    /// Bands of the figures: below the first value lies a tenth of the members, below the second half, below the third nine tenths.
    pub bands: BTreeMap<&'static str, Band>,
    /// Members that have no such figure, where there are any.
    pub without: BTreeMap<&'static str, usize>,
    /// First-order shares of the unknowns in the variance of the figures below, on their mean: share and standard error.
    pub shares: Named,
    /// The same of each figure that scatters enough for the question to matter.
    pub shares_by_figure: BTreeMap<&'static str, Named>,
    /// The tenth of the plants that emitters alone make driest; `None` where nothing drips, or a run failed.
    pub driest_tenth: Option<Tenth>,
    /// The tenth that emitters alone make saltiest.
    pub saltiest_tenth: Option<Tenth>,
    /// What the quarter of the plants that gets least is given, as a share of the mean.
    pub low_quarter: Option<f64>,
    /// Bands of the last day's curves.
    pub curves: CurveBands,
}

/// A lane before members are drawn.
struct Before {
    aims: Aims,
    as_it_stands: Option<MemberLane>,
    plants: Option<Emitters>,
}

/// Asks how sure a bench is. `go_on` is asked before each day of each run; once it says no, the answer is of the members run so far. `so_far`
/// is told after each member how many are done, and can have the answer of these.
///
/// # Errors
/// [`StudyError`] when a lane of the bench as it stands cannot be built.
pub fn spread(
    scenario: &Scenario,
    library: &Library,
    ask: &Ask,
    go_on: &(dyn Fn() -> bool + Sync),
    so_far: &(dyn Fn(usize, &dyn Fn() -> Spread) + Sync),
) -> Result<Spread, StudyError> {
    let coarser = (!ask.own_grid).then(|| coarsened(scenario));
    let scenario = coarser.as_ref().unwrap_or(scenario);
    let unknowns = Unknowns::of(scenario, library, ask.emitter_cv, ask.scale)?;
    let ready = Workshop::default().ready(scenario, library)?.timed(Until { days: scenario.days, settled: false }, go_on);
    let ready = ready.unwrap_or_default();
    let lanes = scenario.lanes.iter().enumerate();
    let before: Vec<Before> = lanes.map(|(i, lane)| before(scenario, (i, lane), ready.get(i), unknowns.emitters_of(i), go_on)).collect();
    let aims: Vec<Aims> = before.iter().map(|b| b.aims).collect();
    let answer = |members: &Members| answer(scenario, &unknowns, ask, members, &before);
    let part = |done: usize, members: &dyn Fn() -> Members| so_far(done, &|| answer(&members()));
    Ok(answer(&members::run((scenario, library), &unknowns, &aims, ask, go_on, &part)))
}

/// What some members tell.
fn answer(scenario: &Scenario, unknowns: &Unknowns, ask: &Ask, members: &Members, before: &[Before]) -> Spread {
    let failures = || members.members.iter().flatten().filter_map(|m| m.as_ref().err());
    Spread {
        days: scenario.days,
        seed: ask.seed,
        members: ask.members,
        own_grid: ask.own_grid,
        ran: members.members.iter().flatten().count(),
        failed: failures().count(),
        first_failure: failures().next().map(ToString::to_string),
        unknowns: drawings(scenario, unknowns),
        units: FIGURES.iter().map(|f| (f.key, f.unit)).collect(),
        lanes: before.iter().enumerate().map(|(i, b)| lane_spread(&scenario.lanes[i], i, members, unknowns, b)).collect(),
    }
}

fn before(scenario: &Scenario, (i, lane): (usize, &Lane), ready: Option<&Ready>, cv: f64, go_on: &(dyn Fn() -> bool + Sync)) -> Before {
    let stands = ready.and_then(|ready| members::as_it_stands(scenario, i, ready, go_on)).flatten();
    // A bench that does not run as it stands is held against its targets as they are set.
    let (aims, as_it_stands) = stands.map_or_else(|| (Aims::set(&lane.targets), None), |(aims, day)| (aims, Some(day)));
    let groups = ready.filter(|_| cv > 0.0).and_then(|ready| emitters::groups(ready, (lane, &aims), scenario.days, cv, go_on));
    Before { aims, as_it_stands, plants: groups.and_then(|groups| emitters::emitters(&groups)) }
}

fn lane_spread(described: &Lane, lane: usize, members: &Members, unknowns: &Unknowns, before: &Before) -> LaneSpread {
    let good = || members.members.iter().enumerate().filter_map(|(m, member)| Some((m, member.as_ref()?.as_ref().ok()?)));
    let lanes: Vec<&MemberLane> = good().filter_map(|(_, member)| member.get(lane)).collect();
    let scores: Vec<Vec<f64>> = members.scores.iter().map(|s| good().map(|(m, _)| s[m]).collect()).collect();
    let (bands, without) = bands::figure_bands(&lanes);
    let shares = shares(&lanes, &scores, unknowns, lane);
    let figures = |l: &MemberLane| FIGURES.iter().zip(l.figures).filter(|(_, v)| v.is_finite()).map(|(f, v)| (f.key, v)).collect();
    LaneSpread {
        name: described.name.clone(),
        as_it_stands: before.as_it_stands.as_ref().map(figures).unwrap_or_default(),
        chance: bands::chances(&lanes, &before.aims),
        bands,
        without,
        shares: shares.all,
        shares_by_figure: shares.by_figure,
        driest_tenth: before.plants.map(|p| p.driest_tenth),
        saltiest_tenth: before.plants.map(|p| p.saltiest_tenth),
        low_quarter: before.plants.map(|p| p.low_quarter),
        curves: bands::curve_bands(&lanes),
    }
}

fn drawings(scenario: &Scenario, unknowns: &Unknowns) -> Vec<Drawing> {
    let bears = |i: usize| {
        let on = |lane: &usize| unknowns.bearing_on(*lane).contains(&i);
        (0..scenario.lanes.len()).filter(on).map(|lane| scenario.lanes[lane].name.clone()).collect()
    };
    let law = |law: Law| match law {
        Law::Factor(_) => format!("divided or multiplied by {:.2}", law.moved(1.0, TENTH).max(law.moved(1.0, -TENTH))),
        Law::Amount(_) => format!("less or more by {:.3}", law.moved(0.0, TENTH).abs()),
    };
    let told = |(i, unknown): (usize, &Unknown)| Drawing {
        unknown: unknown.name.clone(),
        lanes: bears(i),
        moves: if unknown.moves.is_empty() {
            BTreeMap::from([("emitter flow".to_owned(), law(Law::Amount(unknowns.emitter_cv)))])
        } else {
            unknown.moves.iter().map(|(name, by)| (name.clone(), law(*by))).collect()
        },
        provenance: unknown.provenance,
    };
    unknowns.list.iter().enumerate().map(told).collect()
}

/// The score above which a tenth of a normal lies.
const TENTH: f64 = 1.281_551_565_544_6;
