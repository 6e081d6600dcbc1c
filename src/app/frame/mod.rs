//! What stands around the pages: menus, notices, the status line, the sides, and where the keyboard is.

pub mod day_choice;
mod notice_bar;
