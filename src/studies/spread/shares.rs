//! Which unknown matters most: its first-order share of a figure's variance over the members, with a standard error.

use std::collections::BTreeMap;

use super::members::MemberLane;
use super::unknowns::Unknowns;
use crate::numerics::additive::{Additive, Share};
use crate::studies::told::{FIGURES, Figure};

/// Share (0–1) and its standard error, by the name of the unknown.
pub type Named = BTreeMap<String, Share>;

/// Which unknowns make the scatter of a lane's figures.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LaneShares {
    /// The mean over the figures below: each counts alike.
    pub all: Named,
    /// By figure: those that scatter enough for the question to matter.
    pub by_figure: BTreeMap<&'static str, Named>,
}

/// The shares of a lane's unknowns. `scores` are all unknowns' (outer) for the members given (inner). Empty where nothing scatters or
/// members are too few.
#[must_use]
pub fn shares(members: &[&MemberLane], scores: &[Vec<f64>], unknowns: &Unknowns, lane: usize) -> LaneShares {
    let bearing = unknowns.bearing_on(lane);
    let columns: Vec<Vec<f64>> = bearing.iter().map(|&i| scores[i].clone()).collect();
    let Some(additive) = Additive::new(&columns) else { return LaneShares::default() };
    let scattered: Vec<(&Figure, Vec<f64>)> = FIGURES.iter().enumerate().filter_map(|(i, f)| scattered(f, i, members)).collect();
    let outcomes: Vec<&[f64]> = scattered.iter().map(|(_, values)| values.as_slice()).collect();
    if outcomes.is_empty() {
        return LaneShares::default();
    }
    // Each figure by itself, and all of them alike.
    let alone = |i: usize| (0..outcomes.len()).map(|k| f64::from(u8::from(k == i))).collect();
    let mut weights: Vec<Vec<f64>> = (0..outcomes.len()).map(alone).collect();
    weights.push(vec![1.0; outcomes.len()]);
    let Some(mut found) = additive.shares(&outcomes, &weights) else { return LaneShares::default() };
    let named = |shares: &Vec<Share>| {
        let one = |(&i, &(share, error)): (&usize, &(f64, f64))| (unknowns.list[i].name.clone(), (share.clamp(0.0, 1.0), error));
        bearing.iter().zip(shares).map(one).collect::<Named>()
    };
    let all = found.pop().map(|s| named(&s)).unwrap_or_default();
    LaneShares { all, by_figure: scattered.iter().zip(&found).map(|((figure, _), s)| (figure.key, named(s))).collect() }
}

/// A figure's values, if all members have it and it scatters enough for the question to matter.
#[allow(clippy::cast_precision_loss)]
fn scattered<'f>(figure: &'f Figure, place: usize, members: &[&MemberLane]) -> Option<(&'f Figure, Vec<f64>)> {
    let least = figure.worth_asking?;
    let values: Vec<f64> = members.iter().map(|m| m.figures[place]).collect();
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    let variance = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / values.len() as f64;
    // What is no number for one member is none here.
    (variance.sqrt() >= least).then_some((figure, values))
}
