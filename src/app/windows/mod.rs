//! The small windows over the bench: questions, forms, sheets. Each draws itself and returns what was answered; nothing here acts.

pub(crate) mod change_log;
pub(crate) mod climate_import;
pub(crate) mod dialog;
pub(crate) mod event_editor;
pub(crate) mod exactness;
pub(crate) mod files;
pub(crate) mod help;
pub(crate) mod key_sheet;
pub(crate) mod left_work;
pub(crate) mod own_presets;
pub(crate) mod series;
pub(crate) mod start_crop;

use self::climate_import::Reader;
use self::dialog::Dialog;
use self::event_editor::EventEditor;
use self::files::Picker;

/// The small windows that are open.
#[derive(Default)]
pub struct Windows {
    /// The one that all else waits for.
    pub dialog: Option<Dialog>,
    /// The one in which selected events are typed.
    pub editor: EventEditor,
    /// Whether the list of all changes is open.
    pub log_open: bool,
    /// The system's file dialog.
    pub picker: Picker,
    /// Reads climate logs for the window that takes them.
    pub climate_reader: Reader,
}
