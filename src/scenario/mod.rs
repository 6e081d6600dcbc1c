//! Plain data a grower describes: root zones, schedule, light, feed. No physics, no results.
//!
//! A [`Scenario`] is read from and written to RON by [`mod@file`], checked by [`validate`](Scenario::validate), and completed
//! with [`presets`]. Everything that is computed from it lives on higher floors.

pub mod bench;
pub mod climate;
pub mod clock;
pub mod container;
pub mod crop;
pub mod day_light;
pub mod disk;
pub mod error;
pub mod file;
mod format_1;
pub mod lane;
pub mod lit;
pub mod medium;
pub mod mix;
pub mod naming;
pub mod other_grid;
pub mod parameter;
pub mod plan;
pub(crate) mod plans;
pub mod presets;
mod problem;
pub mod ranges;

pub mod resolve;
pub mod rule;
pub mod run_in;
pub mod schedule;
pub mod solver;
pub mod tank;
mod targets;
mod text;
mod validate;
pub mod valve;

pub use bench::{FORMAT, MAX_DAYS, MAX_EVENTS, MAX_LANES, MAX_RULES, Scenario};
pub use climate::{Air, Climate, ClimateLog, ClimatePreset, Lamp, LightLevel, LogRow, TypicalDay};
pub use clock::{Clock, DAY_S};
pub use container::{Container, Part, Shape, Walls};
pub use crop::{Canopy, Crop, CropChoice, Demand, Roots, SaltStress, Stage, Stress};
pub use day_light::DayLight;
pub use error::ScenarioError;
pub use lane::{Base, Boundaries, Inlet, Lane, Probe, Start, StartSalt, StartWater, Top, USUAL_RUN_IN_DAYS};
pub use medium::{Component, Curve, Medium, MediumChoice};
pub use parameter::{Parameter, ParameterError};
pub use plan::PlanChange;
pub use plans::Plan;
pub use problem::Problem;
pub use rule::{LightSum, Rule, When};
pub use schedule::{Event, Feed, Give, Light, LightShape, OnDays};
pub use solver::Solver;
pub use tank::{Filled, Refill, Tank};
pub use targets::Targets;
pub use valve::{MAX_VALVES, Pump, Valve};
