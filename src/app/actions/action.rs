//! What a panel asks for. Panels draw and ask; only [`crate::app::App`] acts.

use std::path::PathBuf;

use eframe::egui::ThemePreference;

use crate::app::state::bench::computing::Beside;
use crate::app::state::bench::proposal::Proposal;
use crate::app::state::days::Days;
use crate::app::state::drafting::Order;
use crate::app::state::exporting::Exports;
use crate::app::state::notice::Choice;
use crate::app::state::sides::Side;
use crate::app::state::studies::{Question, Study};
use crate::app::state::text_size::TextSize;
use crate::app::state::track_layout::Layout;
use crate::edits::event_set::SetEdit;
use crate::edits::own_preset::OwnPreset;
use crate::edits::schedule_edit::EventEdit;
use crate::edits::steps::Steps;
use crate::projection::origin::Origin;
use crate::scenario::Scenario;
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
    /// What a window that ended badly left in this recovery file.
    Left(PathBuf),
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
    /// Questions asked of the bench.
    Studies,
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

/// How the size of the text changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Resize {
    /// The next larger one.
    Larger,
    /// The next smaller one.
    Smaller,
    /// This one.
    To(TextSize),
}

/// What is done with a state or file beside the bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WithOther {
    /// It is compared with the bench, or no longer.
    Compare(bool),
    /// Its curves stand on the tracks, or no longer.
    Draw(bool),
    /// Its file is read again.
    ReadAgain,
    /// It takes the place of what is on the bench, as one change.
    Open,
    /// It is let go of.
    Remove,
}

/// How keys change the selected events.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)] // the table of keys says what each does
pub enum Nudge {
    Later,
    Earlier,
    More,
    Less,
    LaterFine,
    EarlierFine,
    MoreFine,
    LessFine,
    Longer,
    Shorter,
}

/// One request: all that pages, small windows, menus and keys can ask for.
#[derive(Clone, Debug, PartialEq)]
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
    /// Take a valve in hand, by its index: its events are edited.
    TakeValve(usize),
    /// Take the next valve in hand; after the last comes the first.
    NextValve,
    /// The same without giving the keyboard to an event: it stays with the field that asked.
    EditSetQuietly(SetEdit),
    /// Move, enlarge or lengthen the selected events by a step.
    Nudge(Nudge),
    /// Add an event where one is likely to be wanted.
    AddEvent,
    /// Open the window that adds a series of events.
    AddSeries,
    /// Open the window in which the selected events are typed.
    TypeSelected,
    /// Delete the selected events.
    DeleteSelected,
    /// Put copies of the selected events at the next free place.
    DuplicateSelected,
    /// Select all events.
    SelectAll,
    /// Select the next event too, and go there.
    AlsoNext,
    /// Select the one before too, and go there.
    AlsoPrevious,
    /// Copy the selected events as text.
    Copy,
    /// Copy them and take them out.
    Cut,
    /// Take events in from text.
    Paste,
    /// Go to the events.
    GoToEvents,
    /// Go to rules and schedule in the setup.
    GoToSchedule,
    /// Close what is open, the last thing first; then select nothing.
    Escape,
    /// Show a chapter of the help, by its place.
    Help(usize),
    /// Show the sheet of keys.
    Keys,
    /// Show the user's own presets.
    OwnPresets,
    /// Open the window that starts a lane from a crop.
    StartCrop,
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
    /// Put what the bench asks aside: it stands first no longer.
    DismissNote,
    /// Tell why something was refused.
    Say(String),
    /// Tell what else was done.
    Tell(String),
    /// Tell what the climate that was just set does to lanes whose use is measured, and offer to compute it.
    TellMeasuredUse,
    /// Compute the use of those lanes from the climate.
    ComputeUse,
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
    /// Draw text, and everything with it, in another size.
    TextSize(Resize),
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
    /// Show what windows that ended badly left.
    LeftWork,
    /// Decide what is done about a file that another program, or another window, has changed.
    Elsewhere(Choice),
    /// Save under the file's name, or ask for one.
    Save,
    /// Save under a name chosen in the system's dialog.
    SaveAs,
    /// Save under a path that is typed.
    SaveByPath,
    /// Write results of the bench to a file that is chosen in the system's dialog.
    Export(Exports),
    /// Give that up.
    CancelExport,
    /// Open the last bench at the start from now on, or no longer.
    Reopen(bool),
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
    /// Give up what is being computed beside the frames: the bench is then as it was before.
    CancelComputing(Beside),
    /// Give up the bench that is being opened.
    CancelOpening,
    /// Compute the bench, where that was given up.
    Compute,
    /// Ask a question of the bench as it stands; its answer stands on its page.
    Ask(Box<Question>),
    /// Draft a schedule for a lane.
    Draft(Box<Order>),
    /// Draw a schedule over the tracks that is proposed and not taken; `None` dismisses it.
    Propose(Option<Box<Proposal>>),
    /// Make a schedule that is proposed the bench's own.
    TakeProposal(Box<Proposal>),
    /// Give a question up; what was found so far stays.
    GiveUp(Study),
    /// Hold the bench as it stands beside it, under a name.
    KeepState(String),
    /// Choose a file that is to be held beside the bench.
    ChooseOther,
    /// Do something with one of those that are held beside the bench, by its number.
    Other(u64, WithOther),
    /// Show what this program is.
    About,
}
