//! What is not known of a bench: a list, with whose it is.
//!
//! Unknowns are drawn apart from each other. What goes together in a medium is moved by one of them: wide pores give up water early and
//! conduct well (similar media, Miller & Miller 1956, Journal of Applied Physics 27:324: α by a factor, conductivity by its square), and a
//! loose filling holds more when full, drains over a narrower range and weighs less (judgement). Lanes of the same medium share its
//! unknowns: it is the same medium. Use and emitters are each lane's own.

use crate::engine::column::BuildError;
use crate::numerics::normal::score;
use crate::scenario::parameter::medium::MEDIUM;
use crate::scenario::parameter::{Entry, Prior, Spread};
use crate::scenario::presets::Library;
use crate::scenario::{Demand, Event, Lane, Medium, Rule, Scenario, resolve};

/// Whose an unknown is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Whose {
    /// A lane's plants use another amount.
    Use(usize),
    /// The plant's own emitter in a lane gives another amount.
    Emitter(usize),
    /// A medium's, by its place in [`Unknowns::media`].
    Medium(usize),
}

/// What a score of 1 does to a number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Law {
    /// It is multiplied by e to this.
    Factor(f64),
    /// This is added, in the number's unit.
    Amount(f64),
}

impl Law {
    /// Of a prior: eight times in ten a score lies between −1.28 and 1.28.
    fn of(prior: &Prior) -> Self {
        let within = score(0.9);
        match prior.spread {
            Spread::Factor(factor) => Self::Factor(factor.ln() / within),
            Spread::Amount(amount) => Self::Amount(amount / within),
        }
    }

    fn times(self, by: f64) -> Self {
        match self {
            Self::Factor(s) => Self::Factor(s * by),
            Self::Amount(s) => Self::Amount(s * by),
        }
    }

    /// What becomes of a number at a score.
    #[must_use]
    pub fn moved(self, value: f64, score: f64) -> f64 {
        match self {
            Self::Factor(s) => value * (s * score).exp(),
            Self::Amount(s) => value + s * score,
        }
    }
}

/// One unknown.
#[derive(Clone, Debug, PartialEq)]
pub struct Unknown {
    /// Whose.
    pub whose: Whose,
    /// Its name within a lane.
    pub name: String,
    /// The numbers that it moves, by their names in the scenario's list or in the medium's; none for an emitter.
    pub moves: Vec<(String, Law)>,
    /// Where its scatter is from.
    pub provenance: &'static str,
}

/// All of a bench.
#[derive(Clone, Debug, PartialEq)]
pub struct Unknowns {
    /// One by one.
    pub list: Vec<Unknown>,
    /// The media of the bench, each once, as described.
    pub media: Vec<Medium>,
    /// Which of them each part of each lane is filled with.
    pub filled_with: Vec<Vec<usize>>,
    /// Scatter of the flow of emitters of one kind, as a share of the mean.
    pub emitter_cv: f64,
}

/// The first number of each of these that a medium has says how far its pores may be off.
const WIDTH: [&str; 2] = ["curve.alpha_per_cm", "curve.a_per_cm"];
const CONDUCTIVITY: &str = "curve.ks_cm_per_day";
/// What a looser filling moves, and which way.
const FILLING: [(&str, f64); 4] = [("porosity", 1.0), ("curve.theta_s", 1.0), ("curve.n", 1.0), ("bulk_density_kg_m3", -1.0)];
/// What only drips that fall on a medium make felt.
const CHANNELS: [&str; 2] = ["channelling", "channel_pick_up"];
/// What is felt only where exchange is switched on.
const HELD: &str = "exchange_ml_per_g";
const EMITTERS: &str =
    "classes of ASAE EP405 (from memory): below 0.05 excellent, to 0.07 average, to 0.11 marginal, to 0.15 poor; which it is: judgement";

impl Unknowns {
    /// Of a scenario, with the flow of emitters (a share of their mean), and all that the list of parameters tells times `scale` (0 or
    /// more). What stands at the low end of what it may be is none of that, and stays.
    ///
    /// # Errors
    /// [`BuildError`] when a medium is not known.
    pub fn of(scenario: &Scenario, library: &Library, emitter_cv: f64, scale: f64) -> Result<Self, BuildError> {
        let mut media: Vec<Medium> = Vec::new();
        let mut filled_with = Vec::with_capacity(scenario.lanes.len());
        for lane in &scenario.lanes {
            let mut parts = Vec::with_capacity(lane.container.parts.len());
            for part in &lane.container.parts {
                let unresolved = |cause| BuildError::Unresolved { lane: lane.name.clone(), cause };
                let medium = resolve::medium(&part.medium, library).map_err(unresolved)?;
                let known = media.iter().position(|m| *m == medium);
                parts.push(known.unwrap_or_else(|| {
                    media.push(medium);
                    media.len() - 1
                }));
            }
            filled_with.push(parts);
        }
        let mut unknowns = Self { list: Vec::new(), media, filled_with, emitter_cv };
        unknowns.list_lanes(scenario, library, scale);
        if scale > 0.0 {
            unknowns.list_media(scenario, library, scale);
        }
        Ok(unknowns)
    }

    fn list_lanes(&mut self, scenario: &Scenario, library: &Library, scale: f64) {
        let parameters = if scale > 0.0 { scenario.parameters(library) } else { Vec::new() };
        for (i, lane) in scenario.lanes.iter().enumerate() {
            let within = format!("lanes[{i}].demand.");
            for parameter in parameters.iter().filter(|p| uses(lane) && p.path.starts_with(&within) && p.value > p.range.0) {
                let Some(prior) = parameter.prior else { continue };
                self.list.push(Unknown {
                    whose: Whose::Use(i),
                    name: lowered(parameter.label),
                    moves: vec![(parameter.path.clone(), Law::of(&prior).times(scale))],
                    provenance: prior.provenance,
                });
            }
            if self.emitter_cv > 0.0 && drips(scenario, lane.valve) {
                let name = "emitter flow".to_owned();
                self.list.push(Unknown { whose: Whose::Emitter(i), name, moves: Vec::new(), provenance: EMITTERS });
            }
        }
    }

    fn list_media(&mut self, scenario: &Scenario, library: &Library, scale: f64) {
        let names = told_apart(&self.media);
        for (i, (medium, named)) in self.media.iter().zip(&names).enumerate() {
            let holds = |(lane, parts): (&Lane, &Vec<usize>)| lane.exchange && parts.contains(&i);
            let exchanges = scenario.lanes.iter().zip(&self.filled_with).any(holds);
            // Drips fall on the top part.
            let topped = |(lane, parts): (&Lane, &Vec<usize>)| parts.last() == Some(&i) && drips(scenario, lane.valve);
            let on_top = scenario.lanes.iter().zip(&self.filled_with).any(topped);
            let felt = |e: &Entry<Medium>| (on_top || !CHANNELS.contains(&e.name)) && (exchanges || e.name != HELD);
            let laws: Vec<(&Entry<Medium>, Law, &Prior)> = MEDIUM
                .iter()
                .filter(|e| felt(e))
                .filter_map(|e| {
                    let (value, prior) = ((e.get)(medium, library)?, e.prior.as_ref()?);
                    (value > e.allowed.0).then(|| (e, Law::of(prior).times(scale), prior))
                })
                .collect();
            let of = |name: &str| laws.iter().find(|(e, ..)| e.name == name);
            let mut push = |name: &str, moves: Vec<(String, Law)>, provenance: &'static str| {
                if !moves.is_empty() {
                    self.list.push(Unknown { whose: Whose::Medium(i), name: format!("{named}: {name}"), moves, provenance });
                }
            };
            let (width, conducts) = (WIDTH.iter().find_map(|name| of(name)), of(CONDUCTIVITY));
            let mut rest = conducts.map(|(_, law, _)| *law);
            if let Some((entry, law, prior)) = width {
                let mut moves = vec![(entry.name.to_owned(), *law)];
                if let (Law::Factor(by), Some((conductivity, Law::Factor(all), _))) = (*law, conducts) {
                    moves.push((conductivity.name.to_owned(), Law::Factor(2.0 * by)));
                    // What is not known of it beside the pores' width.
                    let left = all * all - 4.0 * by * by;
                    rest = (left > 0.0).then(|| Law::Factor(left.sqrt()));
                }
                push("pore width", moves, prior.provenance);
            }
            if let (Some(rest), Some((entry, _, prior))) = (rest, conducts) {
                push("conductivity", vec![(entry.name.to_owned(), rest)], prior.provenance);
            }
            let filled = FILLING.iter().filter_map(|(name, way)| of(name).map(|(e, law, _)| (e.name.to_owned(), law.times(*way))));
            let filling: Vec<(String, Law)> = filled.collect();
            push("filling", filling.clone(), of("porosity").map_or("judgement", |(.., p)| p.provenance));
            for (entry, law, prior) in &laws {
                let moved = filling.iter().any(|(name, _)| name == entry.name);
                if !moved && !WIDTH.contains(&entry.name) && entry.name != CONDUCTIVITY {
                    push(&lowered(entry.label), vec![(entry.name.to_owned(), *law)], prior.provenance);
                }
            }
        }
    }

    /// Scatter of the flow of a lane's emitters; 0 where nothing drips.
    #[must_use]
    pub fn emitters_of(&self, lane: usize) -> f64 {
        if self.list.iter().any(|u| u.whose == Whose::Emitter(lane)) { self.emitter_cv } else { 0.0 }
    }

    /// The places in the list of those that bear on a lane.
    #[must_use]
    pub fn bearing_on(&self, lane: usize) -> Vec<usize> {
        let parts = &self.filled_with[lane];
        let bears = |u: &Unknown| match u.whose {
            Whose::Use(own) | Whose::Emitter(own) => own == lane,
            Whose::Medium(medium) if u.moves.iter().all(|(name, _)| CHANNELS.contains(&name.as_str())) => parts.last() == Some(&medium),
            Whose::Medium(medium) => parts.contains(&medium),
        };
        (0..self.list.len()).filter(|&i| bears(&self.list[i])).collect()
    }
}

/// A label within a sentence: names of variables stay as they are.
fn lowered(label: &str) -> String {
    let mut letters = label.chars();
    match letters.next() {
        Some(first) if label.chars().count() > 1 => first.to_lowercase().chain(letters).collect(),
        _ => label.to_owned(),
    }
}

/// Whether a lane's plants use water.
fn uses(lane: &Lane) -> bool {
    !matches!(lane.demand, Demand::Measured { litres_per_day, .. } if litres_per_day <= 0.0)
}

/// Whether any event may come from above to the lanes of a valve.
fn drips(scenario: &Scenario, valve: usize) -> bool {
    let dripped = |e: &Event| !e.give.is_flood();
    let rules = |r: &Rule| !r.give.is_flood();
    let plans = scenario.plans();
    let mut of_valve = plans.iter().filter(|plan| plan.valve == valve);
    of_valve.any(|plan| scenario.events(*plan).iter().any(dripped) || scenario.rules(*plan).iter().any(rules))
}

/// Names of media, numbered where they would be the same.
fn told_apart(media: &[Medium]) -> Vec<String> {
    let named = |(i, medium): (usize, &Medium)| {
        let before = media[..i].iter().filter(|m| m.name == medium.name).count();
        if before == 0 { medium.name.clone() } else { format!("{} ({})", medium.name, before + 1) }
    };
    media.iter().enumerate().map(named).collect()
}
