//! Numbers of a scenario by name: listed, read and written.

use super::bench::{AIRS, BENCH, EVENT, LEVEL, PUMP, RULE, SOLVER, TANK, VALVE};
use super::crop::{CANOPY_OF, CROP, GUIDES};
use super::entry::{Entry, PERCENT, Prior};
use super::lane::{
    AIR, BANDS, COMPUTED, DOSE, EDGES, MEASURED, OUTLET, PLANTS, PROBE, Placed, ROOTS, START_RUN_IN, START_SALT, START_WATER,
};
use super::medium::MEDIUM;
use super::owner::Owner;
use super::part::{EXPOSED, HEIGHT, SHARED, SIZES};
use crate::scenario::bench::Scenario;
use crate::scenario::climate::{Climate, TypicalDay};
use crate::scenario::crop::{Crop, CropChoice};
use crate::scenario::lane::Lane;
use crate::scenario::medium::{Component, Medium, MediumChoice};
use crate::scenario::mix::{set_share, share_range};
use crate::scenario::naming::changed_from;
use crate::scenario::presets::library::Library;
use crate::scenario::ranges::Range;
use crate::scenario::resolve;
use crate::scenario::targets::Targets;
use crate::scenario::text::printable;
use crate::units::Quantity;

/// A number of a scenario that may vary.
#[derive(Clone, Debug, PartialEq)]
pub struct Parameter {
    /// Its name: the path that it has in a scenario file, `lanes[0].container.parts[1].medium.curve.n` for example. Values that a preset
    /// gives stand where values of one's own would.
    pub path: String,
    /// What growers call it.
    pub label: &'static str,
    /// How it is shown.
    pub quantity: Quantity,
    /// Unit of the value; empty for a plain number.
    pub unit: &'static str,
    /// Whether only whole numbers can be.
    pub whole: bool,
    /// What it may be beside what stands there now, ends included.
    pub range: Range,
    /// Its value.
    pub value: f64,
    /// How uncertain it is; `None` for what is chosen or read off a rule.
    pub prior: Option<Prior>,
}

/// Why a number cannot be read or written by its name. Nothing was changed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ParameterError {
    /// The scenario has no such number.
    #[error("\"{0}\" is no number of this scenario")]
    Unknown(String),
    /// The value cannot be.
    #[error("{path} is {value}; allowed: {} to {}{}{}", range.0, range.1, if unit.is_empty() { "" } else { " " }, unit)]
    OutOfRange {
        /// Its name.
        path: String,
        /// What was to be set.
        value: f64,
        /// What it may be.
        range: Range,
        /// Its unit.
        unit: &'static str,
    },
    /// Only whole numbers can be.
    #[error("{path} is {value}; only whole numbers can be")]
    NotWhole {
        /// Its name.
        path: String,
        /// What was to be set.
        value: f64,
    },
}

impl ParameterError {
    /// What to do about it, in one line.
    #[must_use]
    pub fn remedy(&self) -> &'static str {
        match self {
            Self::Unknown(_) => "Write the path as the scenario file has it, `lanes[0].dose` for example; lanes and parts count from 0.",
            Self::OutOfRange { .. } => "Give a value in that range.",
            Self::NotWhole { .. } => "Give a whole number.",
        }
    }
}

/// What tells of a number that an owner has, as one owner sees it.
fn told<T>(owner: Owner, entry: &Entry<T>, of: &T, library: &Library) -> Option<Parameter> {
    let value = (entry.get)(of, library)?;
    Some(Parameter {
        path: format!("{owner}{}", entry.name),
        label: entry.label,
        quantity: entry.quantity,
        unit: entry.unit,
        whole: entry.whole,
        range: entry.range(of, library),
        value,
        prior: entry.prior,
    })
}

/// The tables of each kind of owner.
fn lane_tables() -> impl Iterator<Item = &'static Entry<Lane>> {
    [PLANTS, DOSE, MEASURED, COMPUTED, ROOTS, OUTLET, START_WATER, START_SALT, START_RUN_IN, EDGES].into_iter().flatten()
}
fn part_tables() -> impl Iterator<Item = &'static Entry<crate::scenario::container::Part>> {
    [HEIGHT, SIZES, SHARED, EXPOSED].into_iter().flatten()
}
fn crop_tables() -> impl Iterator<Item = &'static Entry<Crop>> {
    [CROP, GUIDES, CANOPY_OF].into_iter().flatten()
}
fn target_tables() -> impl Iterator<Item = &'static Entry<Targets>> {
    BANDS.iter().flatten().chain(AIR)
}
fn day_tables() -> impl Iterator<Item = &'static Entry<TypicalDay>> {
    LEVEL.iter().chain(AIRS.iter().flatten())
}

/// The share of a component of a mix.
fn component(owner: Owner, mix: &[Component], index: usize) -> Option<Parameter> {
    let value = mix.get(index)?.percent;
    let (path, range) = (format!("{owner}percent"), share_range(mix.len()));
    Some(Parameter { path, label: "Share", quantity: PERCENT.0, unit: PERCENT.1, whole: false, range, value, prior: None })
}

fn mix(lane: &Lane, part: usize) -> Option<&[Component]> {
    match &lane.container.parts.get(part)?.medium {
        MediumChoice::Mix(components) => Some(components),
        _ => None,
    }
}

/// A medium of one's own out of whatever a part is filled with.
fn own_medium(choice: &MediumChoice, library: &Library) -> Option<Medium> {
    let medium = resolve::medium(choice, library).ok()?;
    Some(if matches!(choice, MediumChoice::Custom(_)) { medium } else { Medium { name: changed_from(&medium.name), ..medium } })
}

fn own_crop(choice: &CropChoice, library: &Library) -> Option<Crop> {
    let crop = resolve::crop(choice, library).ok()?;
    Some(if matches!(choice, CropChoice::Custom(_)) { crop } else { Crop { name: changed_from(&crop.name), ..crop } })
}

impl Scenario {
    /// Every number that may vary, in the order of the file. What is given layer by layer, and the rows of a climate log, are data and
    /// stand in no list.
    #[must_use]
    pub fn parameters(&self, library: &Library) -> Vec<Parameter> {
        Owner::all(self).into_iter().flat_map(|owner| self.of_owner(owner, None, library)).collect()
    }

    /// A number by its name.
    ///
    /// # Errors
    /// [`ParameterError::Unknown`].
    ///
    /// ```
    /// use slakeline::scenario::presets::{Library, demos};
    ///
    /// let (library, mut bench) = (Library::shipped(), demos().remove(0).1);
    /// bench.set_parameter("lanes[0].container.parts[0].medium.curve.n", 2.5, &library)?;
    /// let n = bench.parameter("lanes[0].container.parts[0].medium.curve.n", &library)?;
    /// assert_eq!((n.value, n.label, n.range.0), (2.5, "n", 1.05));
    /// assert!(bench.set_parameter("feed.ec", -1.0, &library).is_err());
    /// # Ok::<(), slakeline::scenario::ParameterError>(())
    /// ```
    pub fn parameter(&self, path: &str, library: &Library) -> Result<Parameter, ParameterError> {
        let (owner, name) = Owner::of(path);
        let found = self.of_owner(owner, Some(name), library).pop();
        found.filter(|p| p.path == path).ok_or_else(|| ParameterError::Unknown(printable(path, 120)))
    }

    /// Sets a number by its name. A preset medium or crop that is changed becomes one of the bench's own. What hangs on other values, as a
    /// start by layers does on a height, is left to [`crate::edits::fit`].
    ///
    /// # Errors
    /// [`ParameterError`]; nothing is changed then. A value that stands there already is never refused.
    pub fn set_parameter(&mut self, path: &str, value: f64, library: &Library) -> Result<(), ParameterError> {
        let now = self.parameter(path, library)?;
        if value.to_bits() == now.value.to_bits() {
            return Ok(());
        }
        if !(now.range.0..=now.range.1).contains(&value) {
            return Err(ParameterError::OutOfRange { path: now.path, value, range: now.range, unit: now.unit });
        }
        if now.whole && value.fract() != 0.0 {
            return Err(ParameterError::NotWhole { path: now.path, value });
        }
        let (owner, name) = Owner::of(path);
        self.put(owner, name, value, library);
        Ok(())
    }

    /// The numbers of an owner, or the one of a name.
    fn of_owner(&self, owner: Owner, name: Option<&str>, library: &Library) -> Vec<Parameter> {
        fn all<'e, T: 'static>(
            owner: Owner,
            name: Option<&str>,
            of: Option<&T>,
            entries: impl IntoIterator<Item = &'e Entry<T>>,
            library: &Library,
        ) -> Vec<Parameter> {
            let named = entries.into_iter().filter(|e| name.is_none_or(|n| n == e.name));
            of.map_or_else(Vec::new, |of| named.filter_map(|e| told(owner, e, of, library)).collect())
        }
        let lane = |l: usize| self.lanes.get(l);
        let part = |l: usize, p: usize| lane(l)?.container.parts.get(p);
        match owner {
            Owner::Bench => all(owner, name, Some(self), BENCH, library),
            Owner::Solver => all(owner, name, Some(&self.solver), SOLVER, library),
            Owner::Day => {
                let day = if let Some(Climate::Typical(day)) = &self.climate { Some(day) } else { None };
                all(owner, name, day, day_tables(), library)
            }
            Owner::Pump => all(owner, name, self.pump.as_ref(), PUMP, library),
            Owner::Tank => all(owner, name, self.tank.as_ref(), TANK, library),
            Owner::Valve(v) => all(owner, name, self.valves.get(v), VALVE, library),
            Owner::Event(plan, i) => {
                let event = if self.plans().contains(&plan) { self.events(plan).get(i) } else { None };
                all(owner, name, event, EVENT, library)
            }
            Owner::Rule(plan, i) => {
                let rule = if self.plans().contains(&plan) { self.rules(plan).get(i) } else { None };
                all(owner, name, rule, RULE, library)
            }
            Owner::Lane(l) => all(owner, name, lane(l), lane_tables(), library),
            Owner::Crop(l) => {
                let crop = lane(l).and_then(|l| resolve::crop_of(&l.crop, library).ok());
                all(owner, name, crop, crop_tables(), library)
            }
            Owner::Probe(l) => {
                let placed = lane(l).and_then(|l| Some(Placed { probe: l.probe?, container_cm: l.container.height_cm() }));
                all(owner, name, placed.as_ref(), PROBE, library)
            }
            Owner::Targets(l) => all(owner, name, lane(l).map(|l| &l.targets), target_tables(), library),
            Owner::Part(l, p) => all(owner, name, part(l, p), part_tables(), library),
            Owner::Medium(l, p) => {
                let medium = part(l, p).and_then(|p| resolve::medium(&p.medium, library).ok());
                all(owner, name, medium.as_ref(), MEDIUM, library)
            }
            Owner::Component(l, p, c) => {
                let found = lane(l).and_then(|l| component(owner, mix(l, p)?, c));
                found.filter(|_| name.is_none_or(|n| n == "percent")).into_iter().collect()
            }
        }
    }

    /// Sets a number that is there.
    fn put(&mut self, owner: Owner, name: &str, value: f64, library: &Library) {
        fn set<'e, T: 'static>(
            of: Option<&mut T>,
            entries: impl IntoIterator<Item = &'e Entry<T>>,
            (name, value): (&str, f64),
            library: &Library,
        ) {
            let Some(of) = of else { return };
            if let Some(entry) = entries.into_iter().find(|e| e.name == name && (e.get)(of, library).is_some()) {
                (entry.set)(of, value);
            }
        }
        let to = (name, value);
        match owner {
            Owner::Bench => set(Some(self), BENCH, to, library),
            Owner::Solver => set(Some(&mut self.solver), SOLVER, to, library),
            Owner::Day => {
                let day = if let Some(Climate::Typical(day)) = &mut self.climate { Some(day) } else { None };
                set(day, day_tables(), to, library);
            }
            Owner::Pump => set(self.pump.as_mut(), PUMP, to, library),
            Owner::Tank => set(self.tank.as_mut(), TANK, to, library),
            Owner::Valve(v) => set(self.valves.get_mut(v), VALVE, to, library),
            Owner::Event(plan, i) => set(self.events_mut(plan).and_then(|e| e.get_mut(i)), EVENT, to, library),
            Owner::Rule(plan, i) => set(self.rules_mut(plan).and_then(|r| r.get_mut(i)), RULE, to, library),
            Owner::Lane(l) => set(self.lanes.get_mut(l), lane_tables(), to, library),
            Owner::Crop(l) => {
                let Some(lane) = self.lanes.get_mut(l) else { return };
                let Some(mut crop) = own_crop(&lane.crop, library) else { return };
                set(Some(&mut crop), crop_tables(), to, library);
                lane.crop = CropChoice::Custom(Box::new(crop));
            }
            Owner::Probe(l) => {
                let Some(lane) = self.lanes.get_mut(l) else { return };
                let container_cm = lane.container.height_cm();
                let mut placed = lane.probe.map(|probe| Placed { probe, container_cm });
                set(placed.as_mut(), PROBE, to, library);
                lane.probe = placed.map(|p| p.probe);
            }
            Owner::Targets(l) => set(self.lanes.get_mut(l).map(|l| &mut l.targets), target_tables(), to, library),
            Owner::Part(l, p) => set(self.lanes.get_mut(l).and_then(|l| l.container.parts.get_mut(p)), part_tables(), to, library),
            Owner::Medium(l, p) => {
                let Some(part) = self.lanes.get_mut(l).and_then(|l| l.container.parts.get_mut(p)) else { return };
                let Some(mut medium) = own_medium(&part.medium, library) else { return };
                set(Some(&mut medium), MEDIUM, to, library);
                part.medium = MediumChoice::Custom(Box::new(medium));
            }
            Owner::Component(l, p, c) => {
                let Some(part) = self.lanes.get_mut(l).and_then(|l| l.container.parts.get_mut(p)) else { return };
                if let MediumChoice::Mix(components) = &mut part.medium {
                    set_share(components, c, value);
                }
            }
        }
    }
}
