//! What is not known of a bench: a list, with whose it is.
//!
//! The unknowns are drawn apart from each other; that α and conductivity, n and fullness of a medium go together is in what each of them
//! does. Lanes of the same medium share its unknowns: it is the same medium. Use and emitters are each lane's own.

use super::priors::{Kind, Priors};
use crate::engine::column::BuildError;
use crate::scenario::presets::Library;
use crate::scenario::{Demand, Event, Lane, Medium, Rule, Scenario, resolve};

/// Whose an unknown is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Whose {
    /// A lane's, by its place.
    Lane(usize),
    /// A medium's, by its place in [`Unknowns::media`].
    Medium(usize),
}

/// One unknown.
#[derive(Clone, Debug, PartialEq)]
pub struct Unknown {
    /// What it is.
    pub kind: Kind,
    /// Whose.
    pub whose: Whose,
    /// Its name within a lane.
    pub name: String,
    /// Its scatter, above 0.
    pub scatter: f64,
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
}

impl Unknowns {
    /// Of a scenario; a kind whose scatter is 0 is left out, and what has nothing to act on too.
    ///
    /// # Errors
    /// [`BuildError`] when a medium is not known.
    pub fn of(scenario: &Scenario, library: &Library, priors: &Priors) -> Result<Self, BuildError> {
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
        let mut unknowns = Self { list: Vec::new(), media, filled_with };
        unknowns.list_lanes(scenario, priors);
        unknowns.list_media(priors);
        Ok(unknowns)
    }

    fn push(&mut self, kind: Kind, whose: Whose, name: String, priors: &Priors) {
        let scatter = priors.of(kind);
        if scatter > 0.0 {
            self.list.push(Unknown { kind, whose, name, scatter });
        }
    }

    fn list_lanes(&mut self, scenario: &Scenario, priors: &Priors) {
        let drips = drips(scenario);
        for (i, lane) in scenario.lanes.iter().enumerate() {
            if uses(lane) {
                self.push(Kind::DailyUse, Whose::Lane(i), Kind::DailyUse.word().to_owned(), priors);
            }
            if drips {
                self.push(Kind::EmitterFlow, Whose::Lane(i), Kind::EmitterFlow.word().to_owned(), priors);
            }
        }
    }

    fn list_media(&mut self, priors: &Priors) {
        let names = told_apart(&self.media);
        // Drips fall on the top part.
        let on_top: Vec<usize> = self.filled_with.iter().filter_map(|parts| parts.last().copied()).collect();
        for (i, name) in names.iter().enumerate() {
            let channels = self.media[i].channelling > 0.0 && on_top.contains(&i);
            for kind in [Kind::PoreWidth, Kind::Conductivity, Kind::Filling, Kind::Channelling] {
                if kind != Kind::Channelling || channels {
                    self.push(kind, Whose::Medium(i), format!("{name}: {}", kind.word()), priors);
                }
            }
        }
    }

    /// The places in the list of those that bear on a lane.
    #[must_use]
    pub fn bearing_on(&self, lane: usize) -> Vec<usize> {
        let parts = &self.filled_with[lane];
        let bears = |u: &Unknown| match u.whose {
            Whose::Lane(own) => own == lane,
            Whose::Medium(medium) if u.kind == Kind::Channelling => parts.last() == Some(&medium),
            Whose::Medium(medium) => parts.contains(&medium),
        };
        (0..self.list.len()).filter(|&i| bears(&self.list[i])).collect()
    }
}

/// Whether a lane's plants use water.
fn uses(lane: &Lane) -> bool {
    !matches!(lane.demand, Demand::Measured { litres_per_day, .. } if litres_per_day <= 0.0)
}

/// Whether any event may come from above.
#[must_use]
pub fn drips(scenario: &Scenario) -> bool {
    let dripped = |e: &Event| !e.give.is_flood();
    let rules = |r: &Rule| !r.give.is_flood();
    scenario.plans().any(|plan| scenario.events(plan).iter().any(dripped)) || scenario.all_rules().any(rules)
}

/// Names of media, numbered where they would be the same.
fn told_apart(media: &[Medium]) -> Vec<String> {
    let named = |(i, medium): (usize, &Medium)| {
        let before = media[..i].iter().filter(|m| m.name == medium.name).count();
        if before == 0 { medium.name.clone() } else { format!("{} ({})", medium.name, before + 1) }
    };
    media.iter().enumerate().map(named).collect()
}
