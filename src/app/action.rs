//! What a panel asks for. Panels draw and ask; only [`super::App`] acts.

use std::path::PathBuf;

use eframe::egui::ThemePreference;

use super::days::Days;
use super::event_set::SetEdit;
use super::origin::Origin;
use super::schedule_edit::EventEdit;
use super::shortcuts::Command;
use super::sides::Side;
use super::steps::Steps;
use super::tracks::layout::Layout;
use crate::scenario::presets::{CropSetup, FeedPreset, SchedulePreset, TargetsPreset};
use crate::scenario::{ClimatePreset, Container, Crop, Medium, Scenario};
use crate::units::Units;

/// What takes the place of the document on the bench.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Next {
    /// A new bench.
    New,
    /// A demo, by its place in the list.
    Demo(usize),
    /// A file chosen in the system's dialog.
    Choose,
    /// A file whose path is typed.
    Type,
    /// This file.
    Open(PathBuf),
    /// Nothing: the window closes.
    Close,
}

/// A page of the window.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Page {
    /// Setup, tracks and figures.
    #[default]
    Bench,
    /// The root zones by height and time.
    Depth,
}

/// How the stretch of time shown changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Zoom {
    /// Shorter.
    In,
    /// Longer.
    Out,
    /// All of it.
    Whole,
}

/// What is saved for the user's own menus.
#[derive(Clone, Debug, PartialEq)]
pub enum OwnPreset {
    /// A container.
    Container(Box<Container>),
    /// A medium.
    Medium(Box<Medium>),
    /// A crop.
    Crop(Box<Crop>),
    /// A climate, with its light.
    Climate(Box<ClimatePreset>),
    /// A feed.
    Feed(Box<FeedPreset>),
    /// Targets.
    Targets(Box<TargetsPreset>),
    /// A schedule, with the light it was written for.
    Schedule(Box<SchedulePreset>),
    /// A lane with all that it is given.
    Setup(Box<CropSetup>),
}

/// One request.
#[derive(Clone, Debug)]
pub enum Action {
    /// Show a change of an event without making it.
    TryEvent(EventEdit),
    /// Make a change of an event.
    EditEvent(EventEdit),
    /// Show a change of the selected events without making it.
    TrySet(SetEdit),
    /// Make a change of the selected events.
    EditSet(SetEdit),
    /// Select these events and no others.
    Pick(Vec<usize>),
    /// The same without giving the keyboard to an event: it stays with the field that asked.
    EditSetQuietly(SetEdit),
    /// What a key or a menu item names.
    Do(Command),
    /// Snap to these steps from now on.
    Steps(Steps),
    /// Show or hide the list of all changes.
    ChangeLog,
    /// Go back or forward to the document as it was after so many changes.
    GoTo(usize),
    /// Show a change of a field without making it: its name and the scenario after it.
    TryField(String, Box<Scenario>),
    /// Make a change of a field.
    SetField(String, Box<Scenario>),
    /// Save a preset of the user's own; one of that name is replaced on consent.
    SavePreset(OwnPreset),
    /// Ask for a name, then save a preset of the user's own.
    NamePreset(OwnPreset),
    /// Take in a file that was dropped: a preset is imported, anything else opened.
    Dropped(PathBuf),
    /// Show numbers in these units from now on.
    Units(Units),
    /// Tell why something was refused.
    Say(String),
    /// Tell what else was done.
    Tell(String),
    /// Make the change being shown.
    Keep,
    /// Drop the change being shown.
    Drop,
    /// Select an event, or none.
    Select(Option<usize>),
    /// Give the selected event the keyboard: a move may have changed its place in the list.
    FocusSelected,
    /// Show where on the tracks a figure comes from, or no longer.
    Origin(Option<Origin>),
    /// Show a page.
    Show(Page),
    /// Show these days.
    ShowDays(Days),
    /// Keep what is shown as a reference.
    Pin,
    /// Give the reference up.
    Unpin,
    /// Show a longer, a shorter or another stretch of time.
    Zoom(Zoom),
    /// Show a side, or hide it.
    Side(Side),
    /// Show the strip of days, or hide it.
    DayStrip,
    /// Show these tracks, so high, from now on.
    Layout(Layout),
    /// Take the last change back.
    Undo,
    /// Make it again.
    Redo,
    /// Put something else on the bench, asking about unsaved changes first.
    Leave(Next),
    /// Save under the file's name, or ask for one.
    Save,
    /// Save under a name chosen in the system's dialog.
    SaveAs,
    /// Save under a path that is typed.
    SaveByPath,
    /// Forget which files were open.
    ForgetRecent,
    /// Light, dark or as the system has it.
    Theme(ThemePreference),
    /// Read a climate log: this one, or one chosen in the system's dialog.
    ImportClimate(Option<PathBuf>),
    /// Read a climate log whose path is typed.
    ImportClimateByPath,
    /// Find out how exact the bench is as it stands, and show it.
    Exactness,
    /// Give that up and show it no longer.
    CloseExactness,
    /// Show what this program is.
    About,
}
