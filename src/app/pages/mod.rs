//! The pages of the window. A page is handed what to draw and asks with actions; what it remembers between frames is its own.

pub mod bench;
pub(crate) mod depth;
