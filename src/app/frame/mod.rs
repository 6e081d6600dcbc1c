//! What stands around the pages: menus, notices, the status line, the sides, and where the keyboard is.

pub mod day_choice;
pub(crate) mod focus;
pub(crate) mod menu;
mod notice_bar;
pub(crate) mod panels;
pub(crate) mod status;
