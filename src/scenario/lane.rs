//! One root zone of the bench: container, crop, demand, start, targets and, for published problems, its boundaries.

use serde::{Deserialize, Serialize};

use super::container::Container;
use super::crop::{CropChoice, Demand, Roots};
use super::targets::Targets;
use super::valve::from_one;

/// One root zone: a plant's share of one container, under its valve's schedule.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lane {
    /// The name growers see; no two lanes share one.
    pub name: String,
    /// How many plants stand like this, 1–1,000,000.
    #[serde(default = "one_plant")]
    pub plants: u32,
    /// The index of its valve; in files, its number counted from 1.
    #[serde(default, with = "from_one", skip_serializing_if = "from_one::is_first")]
    pub valve: usize,
    /// What they stand in.
    pub container: Container,
    /// What they are.
    pub crop: CropChoice,
    /// What they ask for.
    pub demand: Demand,
    /// Where their roots are.
    #[serde(default)]
    pub roots: Roots,
    /// How many times the scheduled volume each plant gets: 2 with two drippers where the schedule counts one. 0.01–100.
    #[serde(default = "one")]
    pub dose: f64,
    /// How the first day begins.
    #[serde(default)]
    pub start: Start,
    /// What the grower aims for.
    #[serde(default)]
    pub targets: Targets,
    /// A probe in its root zone, if it has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub probe: Option<Probe>,
    /// Whether media with exchange hold back salt.
    #[serde(default = "yes")]
    pub exchange: bool,
    /// Edges of the column other than emitters and an outlet.
    #[serde(default, skip_serializing_if = "Boundaries::is_default")]
    pub boundaries: Boundaries,
}

fn one_plant() -> u32 {
    1
}
fn one() -> f64 {
    1.0
}
fn yes() -> bool {
    true
}

/// A probe of water content: it reads the mean over a stretch of height, which lies within the container.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Probe {
    /// Height of its middle above the container's base, cm.
    pub height_cm: f64,
    /// Height that it reads over, cm.
    pub length_cm: f64,
}

impl Probe {
    /// Its lower and upper end, cm above the base.
    #[must_use]
    pub fn ends(&self) -> (f64, f64) {
        (self.height_cm - 0.5 * self.length_cm, self.height_cm + 0.5 * self.length_cm)
    }
}

/// How the first day begins: at rest, as given here, or as days like it leave what began so.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Start {
    /// Water.
    pub water: StartWater,
    /// Salt.
    pub salt: StartSalt,
    /// Days like the first that come before it, 1–366; without them the first day begins at rest. See [`super::run_in`].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub run_in_days: Option<u32>,
}

/// Days that a new lane is run in (judgement): water has forgotten its start within days, and of the salt's way most is gone in a small root
/// zone. Where salt drifts for months more days would only have the crop and its weather stand still for longer than they do.
pub const USUAL_RUN_IN_DAYS: u32 = 14;

impl Start {
    /// How a new lane begins: wetted by drip and at the feed's EC, then run in, so that its first day is a usual one.
    #[must_use]
    pub fn run_in() -> Self {
        Self { run_in_days: Some(USUAL_RUN_IN_DAYS), ..Self::default() }
    }
}

/// Water at the start of the first day.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum StartWater {
    /// At rest over the outlet, on the wetting branch: a medium wetted from dry by drip.
    #[default]
    AsWetted,
    /// At rest over the outlet, on the drying branch: soaked full, then drained.
    AtCapacity,
    /// At rest, wetting branch, with this mean water content (m³/m³).
    Mean(f64),
    /// One pressure head everywhere, cm, on the drying branch.
    Head(f64),
    /// Water content of each layer from the base up (m³/m³), wetting branch.
    Layers(Vec<f64>),
}

/// Salt at the start of the first day.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum StartSalt {
    /// The feed's EC everywhere.
    #[default]
    Feed,
    /// One EC everywhere, mS/cm.
    Ec(f64),
    /// EC of each layer from the base up, mS/cm.
    Layers(Vec<f64>),
}

/// Edges of the column: emitters and an outlet for growers, heads and fluxes for published problems.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Boundaries {
    /// The top.
    pub top: Top,
    /// The base.
    pub base: Base,
    /// How solution that enters through the top carries its salt.
    pub inlet: Inlet,
}

impl Boundaries {
    fn is_default(&self) -> bool {
        *self == Self::default()
    }
}

/// The column's top.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub enum Top {
    /// Emitters, evaporation, overflow.
    #[default]
    Emitters,
    /// A pressure head held at the surface, cm.
    FixedHead(f64),
    /// A steady flux into the surface, cm/h.
    FixedFlux(f64),
}

/// The column's base.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub enum Base {
    /// The container's outlet: a seepage face.
    #[default]
    Outlet,
    /// A pressure head held at the base, cm.
    FixedHead(f64),
    /// Unit gradient: water leaves as fast as the lowest layer conducts.
    FreeDrainage,
    /// Nothing passes.
    Closed,
}

/// How solution that enters through the top carries its salt.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Inlet {
    /// With the water only (third type): what irrigation does.
    #[default]
    Flux,
    /// The surface is held at the feed's EC (first type).
    Concentration,
}
