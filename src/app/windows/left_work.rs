//! The small window that offers what windows that ended badly left, one by one.

use std::path::{Path, PathBuf};
use std::time::SystemTime;

use eframe::egui::{self, Frame, Id, Modal, RichText, ScrollArea, Ui};
use jiff::Timestamp;
use jiff::tz::TimeZone;

use crate::app::look::theme::{self, HEAD, NOTE, TEXT, Tokens};
use crate::app::look::widgets::{buttons, head};
use crate::app::state::left_work::{About, LeftWork};

/// What stands around what scrolls.
const AROUND: f32 = 300.0;

/// One of them, in words.
#[derive(Clone, Debug, PartialEq)]
struct Row {
    path: PathBuf,
    bench: String,
    file: String,
    when: String,
    what: String,
}

/// The window.
#[derive(Clone, Debug, PartialEq)]
pub struct LeftForm {
    rows: Vec<Row>,
    /// The one that is to be given up, until that is said again.
    sure: Option<PathBuf>,
    /// Frames it was drawn in, up to [`SETTLES`].
    drawn: u8,
}

/// Frames until it stands where it stays: it is put by the size that it had in the frame before.
const SETTLES: u8 = 4;

/// What was asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Asked {
    /// Put this one on the bench.
    Open(PathBuf),
    /// Give this one up.
    Discard(PathBuf),
    /// Close the window; all of them stay.
    Later,
}

impl LeftForm {
    /// The window with all that is left.
    #[must_use]
    pub fn new(left: &[LeftWork]) -> Self {
        let (now, zone) = (SystemTime::now(), TimeZone::system());
        let row = |left: &LeftWork| Row {
            path: left.path.clone(),
            bench: left.about.as_ref().map_or_else(|| "A bench that tells nothing of itself".to_owned(), |about| about.bench.clone()),
            file: file_in_words(&left.path, left.about.as_ref()),
            when: left.when.map_or_else(|| "at a time that is not known".to_owned(), |when| when_in_words(when, now, &zone)),
            what: left.about.as_ref().map(what_in_words).unwrap_or_default(),
        };
        Self { rows: left.iter().map(row).collect(), sure: None, drawn: 0 }
    }

    /// Draws it; returns what was asked for.
    pub fn show(&mut self, ctx: &egui::Context) -> Option<Asked> {
        let t = Tokens::now(ctx);
        let mut asked = None;
        if self.drawn < SETTLES {
            self.drawn += 1;
            ctx.request_repaint();
        }
        let frame = Frame::popup(&ctx.global_style()).inner_margin(18).corner_radius(8).fill(t.card);
        let response = Modal::new(Id::unique("work that was left")).frame(frame).show(ctx, |ui| {
            ui.set_width(560.0_f32.min(ctx.content_rect().width() - 60.0));
            ui.spacing_mut().item_spacing.y = 4.0;
            head(ui, "Work that was not saved");
            let ended = "Slakeline ended without being closed. This was on the bench then, and no file holds it.";
            ui.label(RichText::new(ended).color(t.quiet));
            let height = (ctx.content_rect().height() - AROUND).max(120.0);
            ScrollArea::vertical().max_height(height).auto_shrink([false, true]).show(ui, |ui| {
                for (index, row) in self.rows.iter().enumerate() {
                    ui.separator();
                    if let Some(answer) = one(ui, t, (index, row), &mut self.sure) {
                        asked = Some(answer);
                    }
                }
            });
            ui.separator();
            let stays = "What is neither opened nor discarded is offered again at the next start, and under File meanwhile.";
            ui.label(RichText::new(stays).size(NOTE).color(t.quiet));
            buttons(ui, |ui| {
                if ui.button("Later").clicked() {
                    asked = Some(Asked::Later);
                }
            });
        });
        asked.or_else(|| response.should_close().then_some(Asked::Later))
    }
}

fn one(ui: &mut Ui, t: &Tokens, (index, row): (usize, &Row), sure: &mut Option<PathBuf>) -> Option<Asked> {
    let mut asked = None;
    ui.label(RichText::new(&row.bench).font(theme::strong(HEAD)));
    ui.label(RichText::new(&row.file).size(TEXT));
    let quiet = |text: &str| RichText::new(text).size(NOTE).color(t.quiet);
    ui.label(quiet(&format!("Last change {}", row.when)));
    if !row.what.is_empty() {
        ui.label(quiet(&row.what));
    }
    ui.horizontal(|ui| {
        if sure.as_ref() == Some(&row.path) {
            ui.label(RichText::new("It is then gone for good.").color(t.attention));
            if ui.button("Discard for good").clicked() {
                asked = Some(Asked::Discard(row.path.clone()));
            }
            if ui.button("Keep").clicked() {
                *sure = None;
            }
            return;
        }
        let open = ui.button("Open");
        if index == 0 && ui.memory(|m| m.focused().is_none()) {
            open.request_focus();
        }
        if open.clicked() {
            asked = Some(Asked::Open(row.path.clone()));
        }
        if ui.button("Discard…").clicked() {
            *sure = Some(row.path.clone());
        }
    });
    asked
}

fn file_in_words(path: &Path, about: Option<&About>) -> String {
    match about {
        Some(About { file: Some(file), .. }) => format!("of {}", file.display()),
        Some(_) => "of no file: it was never saved".to_owned(),
        None => format!("kept as {}", path.display()),
    }
}

fn what_in_words(about: &About) -> String {
    let count = |n: usize, one: &str| if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") };
    let (lanes, days) = about.size;
    let size = format!("{}, {}", count(lanes, "lane"), count(days as usize, "day"));
    match &about.changes {
        (0, _) => size,
        (n, last) => format!("{size} · {}, the last: {last}", count(*n, "change")),
    }
}

/// A time as a date and a clock time of the house, where its zone is known, and how long ago it was.
fn when_in_words(when: SystemTime, now: SystemTime, zone: &TimeZone) -> String {
    let ago = now.duration_since(when).map_or_else(|_| "just now".to_owned(), |since| ago_in_words(since.as_secs()));
    let at = Timestamp::try_from(when).ok().filter(|_| !zone.is_unknown());
    match at {
        Some(at) => format!("on {}, {ago}", at.to_zoned_datetime(zone.clone()).strftime("%-d %B %Y at %H:%M")),
        None => ago,
    }
}

fn ago_in_words(seconds: u64) -> String {
    let (n, one) = match seconds {
        0..60 => return "less than a minute ago".to_owned(),
        60..3600 => (seconds / 60, "minute"),
        3600..86_400 => (seconds / 3600, "hour"),
        _ => (seconds / 86_400, "day"),
    };
    if n == 1 { format!("1 {one} ago") } else { format!("{n} {one}s ago") }
}

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use jiff::tz::Offset;

    use super::*;

    #[test]
    fn a_time_is_told_by_the_clock_of_the_house_and_by_how_long_ago_it_was() {
        let at = SystemTime::UNIX_EPOCH + Duration::from_secs(1_700_000_000);
        let after = |s: u64| at + Duration::from_secs(s);
        let zone = TimeZone::fixed(Offset::constant(1));
        assert_eq!(when_in_words(at, after(59), &zone), "on 14 November 2023 at 23:13, less than a minute ago");
        assert_eq!(when_in_words(at, after(7200), &zone), "on 14 November 2023 at 23:13, 2 hours ago");
        assert_eq!(when_in_words(at, after(86_400), &TimeZone::unknown()), "1 day ago");
        assert_eq!(when_in_words(after(9), at, &TimeZone::unknown()), "just now", "a clock that was set back");
    }
}
