//! How things look, whatever page they stand on: theme and type, colour ramps, the container to scale, rows of fields, and what small
//! windows share.

pub(crate) mod books;
pub(crate) mod container_view;
pub mod form;
pub(crate) mod ramp;
pub mod shapes;
pub mod theme;
pub(crate) mod widgets;

#[cfg(test)]
#[path = "../../../tests/common/painted.rs"]
pub(crate) mod painted;
