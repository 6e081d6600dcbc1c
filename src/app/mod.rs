//! The window. No physics, no file formats and no figures live here.
//!
//! Pages and small windows draw what [`state::bench::Bench`] projects and ask with [`actions::action::Action`]; `carry_out` acts. The
//! rooms, from the lowest: `state` (what is remembered: plain data), `actions` (what can be asked for, and the keys), `look`, `pages`,
//! `windows`, `frame`, `window` (the whole of it), `carry_out`, `each_frame`. A room imports lower ones only.

pub mod actions;
mod carry_out;
mod each_frame;
mod frame;
pub mod look;
pub mod pages;
pub mod state;
mod window;
mod windows;

pub use self::each_frame::run;
pub use self::window::{App, AppOptions};
