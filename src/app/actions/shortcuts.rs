//! Every key of the window in one table: the handling, the menus' key texts and the sheet under Help are made from it.

use eframe::egui::{Context, InputState, Key, KeyboardShortcut, Modifiers};

use super::action::{Action, Next, Nudge, Page, Resize, Zoom};
use crate::app::state::sides::Side;
use crate::app::state::text_size::TextSize;

/// When a key is meant for its action.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum When {
    /// Always.
    Always,
    /// While no field is being typed in: fields have the same key for themselves.
    NotTyping,
    /// While the keyboard is with an event.
    OnEvent,
    /// The toolkit or the system acts on it; the table only tells of it.
    Told,
}

/// An action, its keys and its words.
#[derive(Clone, Debug)]
pub struct Shortcut {
    /// What it asks for.
    pub action: Action,
    /// Any of these; the first is shown in menus.
    pub keys: &'static [KeyboardShortcut],
    /// When they are meant for it.
    pub when: When,
    /// What it does.
    pub words: &'static str,
    /// The head it stands under on the sheet.
    pub group: &'static str,
}

const CTRL: Modifiers = Modifiers::COMMAND;
const CTRL_SHIFT: Modifiers = Modifiers { shift: true, ..Modifiers::COMMAND };
const ALT: Modifiers = Modifiers::ALT;
const SHIFT: Modifiers = Modifiers::SHIFT;
const NONE: Modifiers = Modifiers::NONE;

const fn key(modifiers: Modifiers, key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(modifiers, key)
}

macro_rules! table {
    ($($group:literal { $($action:ident $(($($with:tt)*))? $when:ident [$(($m:expr, $k:ident)),*] $words:literal;)* })*) => {
        &[$($(Shortcut {
            action: Action::$action $(($($with)*))?,
            keys: &[$(key($m, Key::$k)),*],
            when: When::$when,
            words: $words,
            group: $group,
        },)*)*]
    };
}

/// All of them, in the order of the sheet.
pub static TABLE: &[Shortcut] = table! {
    "Files" {
        Leave(Next::New) Always [(CTRL, N)] "New bench";
        Leave(Next::Choose) Always [(CTRL, O)] "Open a file";
        Save Always [(CTRL, S)] "Save";
        SaveAs Always [(CTRL_SHIFT, S)] "Save under another name";
        ImportClimate(None) Always [(CTRL_SHIFT, O)] "Import a climate log";
        OwnPresets Always [(CTRL_SHIFT, P)] "Own presets";
        Leave(Next::Close) Told [(CTRL, Q)] "Quit";
    }
    "Window" {
        Show(Page::Bench) NotTyping [(CTRL, Num1)] "Bench page";
        Show(Page::Depth) NotTyping [(CTRL, Num2)] "Depth page";
        Show(Page::Studies) NotTyping [(CTRL, Num3)] "Studies page";
        Side(Side::Setup) Always [(NONE, F3)] "Show or hide the setup";
        Side(Side::Figures) Always [(NONE, F4)] "Show or hide the figures";
        DayStrip Always [(NONE, F5)] "Show or hide the strip of days";
        TextSize(Resize::Larger) Always [(CTRL, Plus), (CTRL, Equals)] "Larger text";
        TextSize(Resize::Smaller) Always [(CTRL, Minus)] "Smaller text";
        TextSize(Resize::To(TextSize { percent: 100 })) Always [(CTRL, Num0)] "Text of the usual size";
        ChangeLog Always [(CTRL, L)] "Change log";
        Keys Always [(NONE, F1)] "This sheet";
        Escape Told [(NONE, Escape)] "Drop a drag; close; select nothing";
    }
    "Changes" {
        StartCrop NotTyping [(CTRL, K)] "Start from a crop";
        Undo NotTyping [(CTRL, Z)] "Undo";
        Redo NotTyping [(CTRL_SHIFT, Z), (CTRL, Y)] "Redo";
    }
    "Time" {
        Zoom(Zoom::In) NotTyping [(NONE, PageUp)] "Nearer: a shorter time";
        Zoom(Zoom::Out) NotTyping [(NONE, PageDown)] "Further: a longer time";
        Zoom(Zoom::Whole) NotTyping [(SHIFT, PageDown)] "All of the time";
        Pin NotTyping [(NONE, P)] "Pin this state to compare against";
        Unpin NotTyping [(SHIFT, P)] "Unpin it";
    }
    "Events" {
        GoToEvents Always [(CTRL, E)] "Go to the events; Tab goes on";
        NextValve Always [(NONE, F6)] "Take the next valve in hand";
        GoToSchedule Always [(CTRL_SHIFT, E)] "Go to rules and schedule, in setup";
        AddEvent NotTyping [(NONE, Insert), (CTRL, I)] "Add an event";
        AddSeries NotTyping [(CTRL, R)] "Add a series of events";
        SelectAll NotTyping [(CTRL, A)] "Select all events";
        AlsoNext OnEvent [(SHIFT, ArrowRight)] "Select the next event too";
        AlsoPrevious OnEvent [(SHIFT, ArrowLeft)] "Select the one before too";
        Copy Told [(CTRL, C)] "Copy the selected events as text";
        Cut Told [(CTRL, X)] "Cut them";
        Paste Told [(CTRL, V)] "Paste events, here or on another bench";
    }
    "Selected events" {
        TypeSelected OnEvent [(NONE, Enter), (NONE, F2)] "Edit by typing";
        Nudge(Nudge::Later) OnEvent [(NONE, ArrowRight)] "Later by a step of the timer";
        Nudge(Nudge::Earlier) OnEvent [(NONE, ArrowLeft)] "Earlier by a step";
        Nudge(Nudge::LaterFine) OnEvent [(ALT, ArrowRight)] "Later by a minute";
        Nudge(Nudge::EarlierFine) OnEvent [(ALT, ArrowLeft)] "Earlier by a minute";
        Nudge(Nudge::More) OnEvent [(NONE, ArrowUp)] "More by a step of volume";
        Nudge(Nudge::Less) OnEvent [(NONE, ArrowDown)] "Less by a step";
        Nudge(Nudge::MoreFine) OnEvent [(ALT, ArrowUp)] "More by 1 mL, or a flood by 1 mm";
        Nudge(Nudge::LessFine) OnEvent [(ALT, ArrowDown)] "Less by as much";
        Nudge(Nudge::Longer) OnEvent [(CTRL, ArrowRight)] "Last longer";
        Nudge(Nudge::Shorter) OnEvent [(CTRL, ArrowLeft)] "Last less long";
        DuplicateSelected NotTyping [(CTRL, D)] "Duplicate";
        DeleteSelected OnEvent [(NONE, Delete), (NONE, Backspace)] "Delete";
    }
};

/// What keys do on the depth page while no control has the keyboard; the page takes them itself.
pub const DEPTH: [(&str, &str); 2] = [("Space", "Play or pause"), ("Left, Right", "By 5 minutes, with Shift by an hour")];

/// What keys do on the strip of days while one of its cells has the keyboard; the strip takes them itself.
pub const DAYS: [(&str, &str); 2] =
    [("Left, Right", "The day before or after, then the settled day"), ("Home, End", "The first or the last day")];

/// What the mouse does in *Water in*: gesture and meaning.
pub const GESTURES: [(&str, &str); 9] = [
    ("Drag a bar", "Move it, or all that are selected"),
    ("Drag its top edge", "Set the volume of a drip, the depth of a flood"),
    ("Drag its right edge", "Set how long it lasts"),
    ("Double-click a bar", "Edit it by typing"),
    ("Double-click empty space", "Add an event there"),
    ("Drag over empty space", "Select the events in a box"),
    ("Ctrl-click, Shift-click", "Select one more, or all up to it"),
    ("Hold Alt", "Leave the timer's steps"),
    ("Right-click", "A menu of what can be done there"),
];

/// What the keys of this frame ask for, and how often. `on_event`: an event has the keyboard. A chord is taken before the same key with fewer modifiers.
#[must_use]
pub fn pressed(ctx: &Context, on_event: bool) -> Vec<(&'static Action, u32)> {
    let typing = ctx.text_edit_focused();
    let mut found = Vec::new();
    ctx.input_mut(|input| {
        for modifiers in (0..=3).rev() {
            for shortcut in TABLE.iter().filter(|s| is_meant(s.when, typing, on_event)) {
                for keys in shortcut.keys.iter().filter(|k| count(k.modifiers) == modifiers) {
                    let times = taken(input, keys);
                    if times > 0 {
                        found.push((&shortcut.action, times));
                    }
                }
            }
        }
    });
    found
}

fn is_meant(when: When, typing: bool, on_event: bool) -> bool {
    match when {
        When::Always => true,
        When::NotTyping => !typing,
        When::OnEvent => on_event,
        When::Told => false,
    }
}

fn taken(input: &mut InputState, keys: &KeyboardShortcut) -> u32 {
    u32::try_from(input.count_and_consume_key(keys.modifiers, keys.logical_key)).unwrap_or(u32::MAX)
}

fn count(m: Modifiers) -> u8 {
    u8::from(m.shift) + u8::from(m.alt) + u8::from(m.command || m.ctrl)
}

/// Whether a key or a menu's line may ask for an action.
#[must_use]
pub fn holds(action: &Action) -> bool {
    TABLE.iter().any(|s| s.action == *action)
}

/// The key that a menu shows for an action.
#[must_use]
pub fn first(action: &Action) -> Option<KeyboardShortcut> {
    TABLE.iter().find(|s| s.action == *action).and_then(|s| s.keys.first().copied())
}

/// All keys of a line of the table, as a sheet shows them.
#[must_use]
pub fn all_keys(ctx: &Context, shortcut: &Shortcut) -> String {
    let texts: Vec<String> = shortcut.keys.iter().map(|k| plain(&ctx.format_shortcut(k))).collect();
    texts.join(" or ")
}

/// Arrow keys in words: the shipped font and screen readers have no need of symbols.
#[must_use]
pub fn plain(text: &str) -> String {
    text.replace('\u{23f4}', "Left").replace('\u{23f5}', "Right").replace('\u{23f6}', "Up").replace('\u{23f7}', "Down").replace("Arrow", "")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_actions_share_a_key() {
        let all: Vec<_> = TABLE.iter().flat_map(|s| s.keys.iter().map(move |k| (&s.action, *k))).collect();
        for (i, (action, keys)) in all.iter().enumerate() {
            for (other, same) in &all[i + 1..] {
                assert!(keys != same, "{action:?} and {other:?} share {keys:?}");
            }
        }
    }

    #[test]
    fn every_action_is_told_once() {
        for (i, s) in TABLE.iter().enumerate() {
            assert!(!s.keys.is_empty() && !s.words.is_empty(), "{:?}", s.action);
            assert!(TABLE[i + 1..].iter().all(|o| o.action != s.action), "{:?} stands twice", s.action);
        }
    }
}
