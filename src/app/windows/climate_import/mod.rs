//! The small window that takes a climate log: what was read, what stands in the way, and what may be done about it. The bench is
//! as it was until the log is taken.
//!
//! `reader.rs` reads beside the frames: each choice asks again under a new number, and an answer of another number is dropped. What a consent
//! settles is what stands without it, so the file is read once more for each consent that is given. `choices.rs` offers what `Options` knows,
//! and what is done with the log; `found.rs` draws problems in groups or the table of days; `carry_out/climate.rs` opens it and acts. The form
//! holds no scenario: *Use it* makes one from the bench and hands it over as one named change. Its height is what the window leaves; its top
//! stays, so that no box moves away under the mouse.

mod choices;
mod found;
mod lanes;
mod reader;

use std::path::{Path, PathBuf};

use eframe::egui::{Align, Align2, Area, Button, Context, Frame, Id, Label, Layout, Modal, Order, RichText, ScrollArea, Ui, UiKind, vec2};

use self::lanes::{Lanes, many};
use self::reader::{Answer, count};
pub use self::reader::{Reader, Request};
use crate::app::look::theme::{self, NOTE, Tokens};
use crate::edits::lengths::every;
use crate::readings::{Options, Reading};
use crate::scenario::file::printable;
use crate::scenario::presets::Library;
use crate::scenario::{Climate, Scenario};
use crate::units::Units;

/// Widest that it is, points.
const WIDTH: f32 = 640.0;
/// What stands around its content: margins, and room to the window's edges.
const AROUND: f32 = 72.0;
/// Height of a button.
const BUTTON: f32 = 22.0;
/// Least height of what scrolls.
const LEAST: f32 = 72.0;
/// Up to so many days the bench runs all of a log unless told otherwise: more make it slow to drag (judgement).
const DAYS_AT_ONCE: u32 = 31;

/// A log that is to be taken, and what was chosen so far.
#[derive(Clone, Debug, PartialEq)]
pub struct ClimateForm {
    path: PathBuf,
    options: Options,
    /// The zone as it is typed.
    zone: String,
    /// What was asked for last: its number, or why it cannot be read.
    asked: Result<u64, String>,
    /// What the options were then.
    asked_with: Options,
    answer: Option<Answer>,
    /// Whether the answer is to what was asked last.
    answered: bool,
    run_days: bool,
    compute_use: bool,
    /// Height of what does not scroll, as it was drawn last, points.
    rest: f32,
}

/// What the window asks for.
#[derive(Clone, Debug, PartialEq)]
pub enum Asked {
    /// Nothing.
    Nothing,
    /// Read the file again: something else was chosen.
    Read,
    /// Make this change, under this name.
    Take(String, Box<Scenario>),
    /// Choose another file.
    Another,
    /// Close.
    Cancel,
}

impl ClimateForm {
    /// A form for a file that is yet to be read.
    #[must_use]
    pub fn new(path: &Path) -> Self {
        Self {
            path: path.to_path_buf(),
            options: Options::default(),
            zone: String::new(),
            asked: Ok(0),
            asked_with: Options::default(),
            answer: None,
            answered: false,
            run_days: true,
            compute_use: true,
            rest: 260.0,
        }
    }

    /// The file.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// How it is to be read.
    #[must_use]
    pub fn options(&self) -> &Options {
        &self.options
    }

    /// Notes what was asked for.
    pub fn waits_for(&mut self, asked: Result<u64, String>) {
        (self.asked, self.answered) = (asked, false);
        self.asked_with = self.options.clone();
    }

    /// Takes an answer, or why there is none, if it is the one that is waited for.
    pub fn take(&mut self, number: u64, answer: Result<Answer, String>) {
        if self.asked != Ok(number) {
            return;
        }
        let answer = match answer {
            Ok(answer) => answer,
            Err(why) => {
                self.asked = Err(why);
                return;
            }
        };
        if let (None, Ok(reading)) = (self.reading(), &answer.read) {
            self.run_days = reading.days <= DAYS_AT_ONCE;
        }
        (self.answer, self.answered) = (Some(answer), true);
    }

    fn file_name(&self) -> String {
        let name = self.path.file_name().unwrap_or(self.path.as_os_str());
        printable(&name.to_string_lossy(), 60)
    }

    fn reading(&self) -> Option<&Reading> {
        self.answer.as_ref()?.read.as_ref().ok()
    }

    /// Why the log cannot be taken as things stand.
    fn why_not(&self) -> Option<String> {
        if let Err(why) = &self.asked {
            return Some(format!("It cannot be read: {why}."));
        }
        if self.zone_is_wrong() {
            return Some("Correct the zone, or empty the field.".to_owned());
        }
        let Some(answer) = self.answer.as_ref().filter(|_| self.answered) else { return Some("The file is being read.".to_owned()) };
        match &answer.read {
            Err(problems) => {
                let all = count(problems);
                let how = match count(problems.iter().filter(|p| p.consent.is_some() || p.asks.is_some())) {
                    0 => "Correct the file.".to_owned(),
                    n if n == all => format!("{} can be settled above.", if n == 1 { "It" } else { "They" }),
                    n => format!("{n} of them can be settled above."),
                };
                let stand = if all == 1 { "stands" } else { "stand" };
                Some(format!("{} {stand} in the way. {how}", many(all, "problem")))
            }
            Ok(_) => answer.refused.as_ref().map(|refused| format!("{refused}. {}", refused.remedy())),
        }
    }

    /// The bench with the log, and the name of that change.
    fn taken(&self, scenario: &Scenario, library: &Library) -> Option<Asked> {
        let reading = self.reading()?;
        // That it is sound with the log was found when the log was read.
        let mut after = Scenario { climate: Some(Climate::Log(reading.log.clone())), ..scenario.clone() };
        if self.run_days {
            after.days = reading.days;
        }
        if self.compute_use {
            Lanes::of(scenario, library).compute(&mut after);
        }
        Some(Asked::Take(format!("Take climate from {}", self.file_name()), Box::new(after)))
    }

    /// Draws the window. It is never higher than the program's: what was found scrolls.
    pub fn show(&mut self, ctx: &Context, scenario: &Scenario, library: &Library, units: Units) -> Asked {
        let t = Tokens::now(ctx);
        let room = ctx.content_rect().size();
        let mut asked = Asked::Nothing;
        let frame = Frame::popup(&ctx.global_style()).inner_margin(18).corner_radius(8).fill(t.card);
        let id = Id::unique("climate import");
        // Its top stays where it is, so that no box moves away under the mouse when a shorter list is found.
        let area = Area::new(id).kind(UiKind::Modal).order(Order::Foreground).anchor(Align2::CENTER_TOP, vec2(0.0, 0.25 * AROUND));
        let response = Modal::new(id).area(area).frame(frame).show(ctx, |ui| {
            ui.set_width(WIDTH.min(room.x - AROUND));
            ui.spacing_mut().item_spacing.y = 6.0;
            let top = ui.cursor().top();
            self.head(ui, t);
            self.reading_choices(ui, t);
            ui.separator();
            let height = (room.y - AROUND - self.rest).max(LEAST);
            let above = ui.cursor().top() - top;
            ScrollArea::vertical().min_scrolled_height(height).max_height(height).auto_shrink([false, true]).show(ui, |ui| {
                if let Some(answer) = &self.answer {
                    found::show(ui, t, answer, self.options.source, units);
                }
            });
            let below = ui.cursor().top();
            ui.separator();
            self.taking_choices(ui, t, scenario, library);
            self.buttons(ui, t, scenario, library, &mut asked);
            self.rest = above + ui.cursor().top() - below;
        });
        if asked == Asked::Nothing && response.should_close() {
            return Asked::Cancel;
        }
        if asked == Asked::Nothing && self.options != self.asked_with { Asked::Read } else { asked }
    }

    fn head(&self, ui: &mut Ui, t: &Tokens) {
        ui.label(RichText::new(format!("Climate log {}", self.file_name())).font(theme::strong(16.0)));
        let path = self.path.display().to_string();
        ui.add(Label::new(RichText::new(&path).size(NOTE).color(t.quiet)).truncate()).on_hover_text(&path);
        let (text, colour) = match self.answer.as_ref().map(|answer| &answer.read) {
            None => ("Reading it. This takes a moment if it is long.".to_owned(), t.quiet),
            Some(Ok(reading)) => (summary(reading), t.ink),
            Some(Err(problems)) => (format!("{} found, so nothing was taken.", many(count(problems), "problem")), t.attention),
        };
        ui.label(RichText::new(text).color(colour));
    }

    fn buttons(&self, ui: &mut Ui, t: &Tokens, scenario: &Scenario, library: &Library, asked: &mut Asked) {
        let why = self.why_not();
        ui.add_space(2.0);
        ui.allocate_ui_with_layout(vec2(ui.available_width(), 2.0 * BUTTON), Layout::right_to_left(Align::Min), |ui| {
            let use_it = ui.add_enabled(why.is_none(), Button::new("Use it"));
            if use_it.clicked() {
                *asked = self.taken(scenario, library).unwrap_or(Asked::Nothing);
            }
            if ui.button("Another file…").clicked() {
                *asked = Asked::Another;
            }
            let cancel = ui.button("Cancel");
            if cancel.clicked() {
                *asked = Asked::Cancel;
            }
            if ui.memory(|m| m.focused().is_none()) {
                if why.is_none() { use_it.request_focus() } else { cancel.request_focus() }
            }
            let text = why.unwrap_or_else(|| "The bench is as it was. Once taken, Undo brings it back.".to_owned());
            ui.with_layout(Layout::top_down(Align::Min), |ui| {
                ui.add_space(3.0);
                ui.add(Label::new(RichText::new(text).size(NOTE + 0.5).color(t.quiet)).wrap());
            });
        });
    }
}

/// Days, rows and step in a line.
fn summary(reading: &Reading) -> String {
    let days = many(reading.days as usize, "day");
    format!("{days}, {}, one every {}.", many(reading.log.rows.len(), "row"), every(reading.step_s))
}
