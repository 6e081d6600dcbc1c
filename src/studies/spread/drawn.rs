//! A member's bench: the scenario with a draw of its unknowns laid into it. What comes of a valid scenario is valid.

use std::collections::BTreeMap;

use super::unknowns::{Law, Unknowns, Whose};
use crate::edits::fit::fit;
use crate::scenario::parameter::medium::MEDIUM;
use crate::scenario::presets::Library;
use crate::scenario::{Medium, MediumChoice, Scenario};

/// Least flow of an emitter, as a share of the mean.
const LEAST_FLOW: f64 = 0.02;

/// A member.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawn {
    /// The bench as the pump serves it: every emitter of a lane gives the lane's mean.
    pub scenario: Scenario,
    /// Flow of the member's own emitter in each lane, as a share of the mean.
    pub flows: Vec<f64>,
}

/// The member of a draw: `scores` has one per unknown, in their order.
#[must_use]
pub fn drawn(scenario: &Scenario, library: &Library, unknowns: &Unknowns, scores: &[f64]) -> Drawn {
    let mut member = Drawn { scenario: scenario.clone(), flows: vec![1.0; scenario.lanes.len()] };
    let mut moves: Vec<Vec<(&str, Law, f64)>> = vec![Vec::new(); unknowns.media.len()];
    for (unknown, &score) in unknowns.list.iter().zip(scores) {
        match unknown.whose {
            Whose::Emitter(i) => member.flows[i] = flow(unknowns.emitter_cv * score),
            Whose::Use(_) => {
                for (path, law) in &unknown.moves {
                    let Ok(now) = member.scenario.parameter(path, library) else { continue };
                    let value = law.moved(now.value, score).clamp(now.range.0, now.range.1);
                    // It lies in its range.
                    let _ = member.scenario.set_parameter(path, value, library);
                }
            }
            Whose::Medium(i) => moves[i].extend(unknown.moves.iter().map(|(name, law)| (name.as_str(), *law, score))),
        }
    }
    let media: Vec<Medium> = unknowns.media.iter().zip(&moves).map(|(medium, moves)| moved(medium, moves, library)).collect();
    for (lane, parts) in member.scenario.lanes.iter_mut().zip(&unknowns.filled_with) {
        for (part, &medium) in lane.container.parts.iter_mut().zip(parts) {
            if !moves[medium].is_empty() {
                part.medium = MediumChoice::Custom(Box::new(media[medium].clone()));
            }
        }
    }
    // A start may hold no more than the member's media can.
    fit(&mut member.scenario, library);
    member
}

/// Flow of an emitter that is off by a share of the mean.
#[must_use]
pub fn flow(off_by: f64) -> f64 {
    (1.0 + off_by).max(LEAST_FLOW)
}

/// A medium whose numbers are moved, each as far as the others let it.
fn moved(medium: &Medium, moves: &[(&str, Law, f64)], library: &Library) -> Medium {
    let mut wanted: BTreeMap<&str, f64> = BTreeMap::new();
    let entry = |name: &str| MEDIUM.iter().find(|e| e.name == name);
    for (name, law, score) in moves {
        let Some(value) = wanted.get(name).copied().or_else(|| (entry(name)?.get)(medium, library)) else { continue };
        wanted.insert(name, law.moved(value, *score));
    }
    let mut out = medium.clone();
    // What one number may be hangs on another that is moved, too: the second time each finds them all in their place.
    for _ in 0..2 {
        for (name, value) in &wanted {
            let Some(entry) = entry(name) else { continue };
            let (low, high) = entry.range(&out, library);
            (entry.set)(&mut out, value.max(low).min(high));
        }
    }
    if out.curve.unfit_for_plants().is_some() && medium.curve.unfit_for_plants().is_none() {
        // A published problem's curve at the edge of what plants can dry keeps its shape.
        out.curve = medium.curve;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numerics::normal::CUT;
    use crate::scenario::presets::demos;
    use crate::scenario::{Curve, resolve};

    /// At the ends of all draws and at mixed ones, every demo stays a bench that can be; and the mean draw is the bench itself.
    #[test]
    fn what_comes_of_a_valid_bench_is_valid() {
        let library = Library::shipped();
        for (name, scenario) in demos() {
            let unknowns = Unknowns::of(&scenario, &library, 0.1, 1.0).unwrap();
            assert!(unknowns.list.len() >= 5, "{name}");
            for pattern in 0..8_usize {
                let score = |i: usize| match pattern {
                    0 => CUT,
                    1 => -CUT,
                    p => {
                        if (i / p).is_multiple_of(2) {
                            CUT
                        } else {
                            -CUT
                        }
                    }
                };
                let scores: Vec<f64> = (0..unknowns.list.len()).map(score).collect();
                let member = drawn(&scenario, &library, &unknowns, &scores);
                assert_eq!(member.scenario.validate(&library), [], "{name}, {pattern}");
                assert!(member.flows.iter().all(|f| *f > 0.0));
                assert_ne!(member.scenario, scenario);
            }
            let mean = drawn(&scenario, &library, &unknowns, &vec![0.0; unknowns.list.len()]);
            assert!(mean.flows.iter().all(|f| *f == 1.0));
            for (lane, parts) in mean.scenario.lanes.iter().zip(&unknowns.filled_with) {
                for (part, &medium) in lane.container.parts.iter().zip(parts) {
                    assert_eq!(resolve::medium(&part.medium, &library).unwrap(), unknowns.media[medium], "{name}");
                }
            }
        }
    }

    /// Wide pores conduct by the square of their width, and what is left of the conductivity is drawn for itself.
    #[test]
    fn conductivity_goes_with_the_width_of_pores() {
        let (library, scenario) = (Library::shipped(), demos().remove(0).1);
        let unknowns = Unknowns::of(&scenario, &library, 0.0, 1.0).unwrap();
        let place = |name: &str| unknowns.list.iter().position(|u| u.name.ends_with(name)).unwrap();
        let curve = |name: &str, score: f64| {
            let mut scores = vec![0.0; unknowns.list.len()];
            scores[place(name)] = score;
            let Whose::Medium(i) = unknowns.list[place(name)].whose else { panic!("{name}") };
            let at = unknowns.filled_with[0].iter().position(|m| *m == i).unwrap();
            let member = drawn(&scenario, &library, &unknowns, &scores);
            let medium = resolve::medium(&member.scenario.lanes[0].container.parts[at].medium, &library).unwrap();
            let Curve::VanGenuchten { alpha_per_cm, ks_cm_per_day, .. } = medium.curve else { panic!("{medium:?}") };
            (alpha_per_cm, ks_cm_per_day)
        };
        let (as_is, wide, leads) = (curve(": pore width", 0.0), curve(": pore width", 1.0), curve(": conductivity", 1.0));
        let alpha = wide.0 / as_is.0;
        assert!(alpha > 1.1 && (wide.1 / as_is.1 - alpha * alpha).abs() < 1e-9);
        assert!(leads.0 == as_is.0 && leads.1 > as_is.1);
        // Together they are off as far as the list of parameters says: eight times in ten within a factor of three.
        let both = (wide.1 / as_is.1).ln().hypot((leads.1 / as_is.1).ln());
        assert!((both * 1.281_551_565_544_6 - 3.0_f64.ln()).abs() < 1e-9, "{both}");
    }
}
