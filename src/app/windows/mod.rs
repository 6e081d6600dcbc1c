//! The small windows over the bench: questions, forms, sheets. Each draws itself and returns what was answered; nothing here acts.

pub(crate) mod change_log;
pub(crate) mod climate_import;
pub(crate) mod dialog;
pub(crate) mod event_editor;
pub(crate) mod files;
pub(crate) mod key_sheet;
pub(crate) mod own_presets;
pub(crate) mod series;
pub(crate) mod start_crop;
