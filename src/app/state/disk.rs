//! What lies on disk for the bench: the file it was opened from, the files opened before it, and what is kept against a crash.

use std::path::PathBuf;

use super::dismissed::Dismissed;
use super::elsewhere::Watch;
use super::exporting::Exporting;
use super::left_work::LeftWork;
use super::opening::Opening;
use super::preferences::Reopens;
use super::recent::Recent;
use super::recovery::Recovery;
use crate::scenario::disk::{Since, Stamp};

/// What lies on disk for the bench.
#[derive(Default)]
pub struct Disk {
    /// The folder of the user's data, where there is a place for it.
    pub data: Option<PathBuf>,
    /// The file the document was opened from or saved to.
    pub path: Option<PathBuf>,
    /// What that file was like then; `None` where it is not there.
    pub known: Option<Stamp>,
    /// Watches it.
    pub watch: Watch,
    /// What became of it in other hands, as long as it is not decided what is to be done.
    pub elsewhere: Option<Since>,
    /// Results that are written to files.
    pub exporting: Exporting,
    /// What windows that ended badly left.
    pub left: Vec<LeftWork>,
    /// The bench that is being opened.
    pub opening: Opening,
    /// The files that were open last.
    pub recent: Recent,
    /// Whether the last of them is opened at the start.
    pub reopens: Reopens,
    /// The notes that were read and put aside.
    pub dismissed: Dismissed,
    /// The recovery file.
    pub recovery: Recovery,
    /// The generation of the document that the recovery file is of.
    pub recovered_generation: Option<u64>,
    /// Where the choice of theme is kept.
    pub theme_file: Option<PathBuf>,
}
