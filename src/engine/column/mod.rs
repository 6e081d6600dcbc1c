//! What a root zone is: a stack of layers with their curves, its state, how it starts, what it holds at rest, and when its roots suffer.

pub mod capacity;
pub mod hydro;
pub mod layers;
pub mod made_from;
pub mod start;
pub mod state;
pub mod stress;

pub use layers::{BuildError, Column, Layer};
pub use state::State;
