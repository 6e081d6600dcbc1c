//! What stands around the pages: menus, notices, the status line, the sides, and where the keyboard is.

pub mod day_choice;
pub(crate) mod focus;
pub(crate) mod menu;
mod notice_bar;
pub(crate) mod panels;
pub(crate) mod status;

use std::path::Path;

use eframe::egui::{Context, ViewportCommand};

use self::focus::Ring;
use super::actions::action::Next;
use super::state::notice::Notice;
use super::state::saving::Saving;
use super::state::text_size::TextSize;
use crate::edits::document::Document;

/// What stands around the pages, and what the window as a whole remembers between frames.
#[derive(Default)]
pub struct Shell {
    /// The line under the menu bar.
    pub notice: Option<Notice>,
    /// The ring around what has the keyboard.
    pub ring: Ring,
    /// The document that is being saved, and what is to follow.
    pub saving: Saving<Next>,
    /// The size of text.
    pub text_size: TextSize,
    /// The title that the window has.
    pub title: String,
    /// The window may close: all is saved, or given up on purpose.
    pub may_close: bool,
    /// A field was being typed in when the last frame ended.
    pub typing: bool,
}

impl Shell {
    /// Gives the window its title, when it has another: the file first, where there is one.
    pub fn show_title(&mut self, ctx: &Context, document: &Document, path: Option<&Path>) {
        let edited = if document.is_changed() { " (edited)" } else { "" };
        let name = &document.scenario().name;
        let title = match path.and_then(Path::file_name) {
            Some(file) => format!("{}{edited} · {name} · Slakeline", file.to_string_lossy()),
            None => format!("{name}{edited} · Slakeline"),
        };
        if title != self.title {
            ctx.send_viewport_cmd(ViewportCommand::Title(title.clone()));
            self.title = title;
        }
    }
}
