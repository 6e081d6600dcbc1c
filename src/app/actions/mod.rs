//! The list of all that can be asked for, and the table of keys that ask for it.
//!
//! Pages, menus and small windows draw and ask; `carry_out` acts.

pub mod action;
pub mod shortcuts;
