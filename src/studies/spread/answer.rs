//! The answer: what all members together say of each lane.

use std::collections::BTreeMap;

use serde::Serialize;

use super::bands::{self, Band, CurveBands};
use super::emitters::{self, Emitters, Tenth};
use super::members::{self, Ask, MemberLane, Members};
use super::priors::Kind;
use super::shares::{Named, shares};
use super::told::FIGURES;
use super::unknowns::{Unknown, Unknowns, drips};
use crate::engine::column::BuildError;
use crate::scenario::Scenario;
use crate::scenario::presets::Library;

/// How sure a bench's last day is.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Spread {
    /// Days run; what is told is of the last.
    pub days: u32,
    /// The seed.
    pub seed: u64,
    /// Members asked for.
    pub members: u32,
    /// Members run: fewer than asked for when it was stopped.
    pub ran: usize,
    /// Of those, members in which a lane did not converge. Their other lanes count.
    pub failed: usize,
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
    /// Its scatter, the s of the law.
    pub scatter: f64,
    /// What it does.
    pub law: &'static str,
    /// Where both are from.
    pub provenance: &'static str,
}

/// A lane.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LaneSpread {
    /// Its name.
    pub name: String,
    /// Members in which it did not converge.
    pub failed: usize,
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
    /// The tenth of the plants that emitters alone make driest; `None` where there are none, or they do not converge.
    pub driest_tenth: Option<Tenth>,
    /// The tenth that emitters alone make saltiest.
    pub saltiest_tenth: Option<Tenth>,
    /// What the quarter of the plants that gets least is given, as a share of the mean.
    pub low_quarter: Option<f64>,
    /// Bands of the last day's curves.
    pub curves: CurveBands,
}

/// Asks how sure a bench is. `go_on` is asked before each day of each run; once it says no, the answer is of the members run so far. `so_far`
/// is told after each member how many are done.
///
/// # Errors
/// [`BuildError`] when a lane of the bench as it stands cannot be built.
pub fn spread(
    scenario: &Scenario,
    library: &Library,
    ask: &Ask,
    go_on: &(dyn Fn() -> bool + Sync),
    so_far: &(dyn Fn(usize) + Sync),
) -> Result<Spread, BuildError> {
    let unknowns = Unknowns::of(scenario, library, &ask.priors)?;
    let ready = members::timed(scenario, library, go_on)?.unwrap_or_default();
    let lane = |i: usize| members::lane_of(ready.get(i)?, &scenario.lanes[i], 1.0, scenario.days, go_on)?;
    let as_it_stands: Vec<Option<MemberLane>> = (0..scenario.lanes.len()).map(lane).collect();
    let cv = if drips(scenario) { ask.priors.of(Kind::EmitterFlow) } else { 0.0 };
    let under = |i: usize| emitters::emitters(&emitters::groups(ready.get(i)?, scenario, i, cv, go_on)?);
    let plants: Vec<Option<Emitters>> = (0..scenario.lanes.len()).map(|i| if cv > 0.0 { under(i) } else { None }).collect();
    let members = members::run(scenario, library, &unknowns, ask, go_on, so_far);
    let told = |i: usize| lane_spread(scenario, i, &members, &unknowns, ask, as_it_stands[i].as_ref(), plants[i]);
    let ran = || members.members.iter().flatten();
    Ok(Spread {
        days: scenario.days,
        seed: ask.seed,
        members: ask.members,
        ran: ran().count(),
        failed: ran().filter(|m| m.iter().any(Option::is_none)).count(),
        unknowns: drawings(scenario, &unknowns),
        units: FIGURES.iter().map(|f| (f.key, f.unit)).collect(),
        lanes: (0..scenario.lanes.len()).map(told).collect(),
    })
}

fn lane_spread(
    scenario: &Scenario,
    lane: usize,
    members: &Members,
    unknowns: &Unknowns,
    ask: &Ask,
    as_it_stands: Option<&MemberLane>,
    plants: Option<Emitters>,
) -> LaneSpread {
    let ran = || members.members.iter().enumerate().filter_map(|(m, member)| Some((m, member.as_ref()?[lane].as_ref())));
    let good: Vec<(usize, &MemberLane)> = ran().filter_map(|(m, l)| Some((m, l?))).collect();
    let lanes: Vec<&MemberLane> = good.iter().map(|(_, l)| *l).collect();
    let scores: Vec<Vec<f64>> = members.scores.iter().map(|s| good.iter().map(|(m, _)| s[*m]).collect()).collect();
    let (bands, without) = bands::figure_bands(&lanes);
    let shares = shares(&lanes, &scores, unknowns, lane, ask.seed);
    let figures = |l: &MemberLane| FIGURES.iter().zip(l.figures).filter(|(_, v)| v.is_finite()).map(|(f, v)| (f.key, v)).collect();
    LaneSpread {
        name: scenario.lanes[lane].name.clone(),
        failed: ran().filter(|(_, l)| l.is_none()).count(),
        as_it_stands: as_it_stands.map(figures).unwrap_or_default(),
        chance: bands::chances(&lanes, &scenario.lanes[lane]),
        bands,
        without,
        shares: shares.all,
        shares_by_figure: shares.by_figure,
        driest_tenth: plants.map(|p| p.driest_tenth),
        saltiest_tenth: plants.map(|p| p.saltiest_tenth),
        low_quarter: plants.map(|p| p.low_quarter),
        curves: bands::curve_bands(&lanes),
    }
}

fn drawings(scenario: &Scenario, unknowns: &Unknowns) -> Vec<Drawing> {
    let bears = |i: usize| {
        let on = |lane: &usize| unknowns.bearing_on(*lane).contains(&i);
        (0..scenario.lanes.len()).filter(on).map(|lane| scenario.lanes[lane].name.clone()).collect()
    };
    let told = |(i, unknown): (usize, &Unknown)| Drawing {
        unknown: unknown.name.clone(),
        lanes: bears(i),
        scatter: unknown.scatter,
        law: unknown.kind.law(),
        provenance: unknown.kind.provenance(),
    };
    unknowns.list.iter().enumerate().map(told).collect()
}
