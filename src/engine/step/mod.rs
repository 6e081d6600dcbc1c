//! Water and salt through a moment: faces between layers, contacts, surfaces and edges of the column, the two stages of a step, and what
//! the roots take of it.

pub mod between;
pub mod boundary;
pub mod channel;
pub mod contact;
pub mod lost;
pub mod salt;
pub mod salt_uptake;
pub mod scheme;
pub mod sums;
pub mod surface;
pub mod tridiagonal;
pub mod vigour;
pub mod water;
