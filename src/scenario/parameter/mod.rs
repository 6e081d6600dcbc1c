//! Every number that may vary: its name, unit, range and prior, written once.
//!
//! Tables of [`Entry`] say for a medium, a crop, a part, a lane and the bench what their numbers are. Validation and the setup's fields
//! read them; [`Scenario::parameters`](crate::scenario::Scenario::parameters) lists them by the paths of scenario files, for whatever
//! varies numbers by name. A new number gets a line in its table, and a field that shows it reads that line.

pub mod bench;
pub mod crop;
pub mod entry;
pub mod lane;
mod list;
pub mod medium;
mod owner;
pub mod part;

pub use entry::{Entry, Prior, Spread};
pub use list::{Parameter, ParameterError};
