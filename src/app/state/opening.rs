//! A bench that is being opened: its file is read and it is computed beside the frames, and the one on the bench stays until then.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::bench::computing::{Computed, Order};
use crate::edits::document::Document;
use crate::jobs::{Broken, Job, Told, Underway, Wake};
use crate::scenario::Scenario;
use crate::scenario::disk::Stamp;
use crate::scenario::file::{self, FileError};

/// Files of more bytes than this are not read within a frame: an hour's climate of a year has more.
const LONG_FILE: u64 = 100_000;

/// Where a bench comes from.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Source {
    /// The file that it is saved to.
    pub path: Option<PathBuf>,
    /// What that file was like when it was last read or written here; `None` where it was not.
    pub known: Option<Stamp>,
    /// The recovery file that it was read from, where another window left it: no file holds it yet.
    pub left: Option<PathBuf>,
    /// It is another program's version of the bench that is there: a change of it.
    pub as_change: bool,
}

/// What is on the way to the bench.
struct Coming {
    number: u64,
    /// What it is called.
    name: String,
    /// Where it comes from.
    source: Source,
    /// The file that is read.
    read: Option<PathBuf>,
    /// The generation of the document on the bench when it was asked for.
    generation: u64,
}

/// What came of an opening.
pub enum Opened {
    /// It is there.
    Done {
        /// The document.
        document: Document,
        /// What was computed for it; nothing for a change of the bench that is there.
        computed: Option<Box<Computed>>,
        /// Where it comes from.
        source: Source,
    },
    /// The file cannot be read.
    Failed {
        /// Why.
        error: FileError,
        /// The file.
        path: Option<PathBuf>,
    },
    /// The bench was changed meanwhile: that is newer. What was to come is called so.
    Overtaken(String),
    /// It broke off.
    Broken(Broken),
}

/// A document, what was computed for it, and what its file is like.
type Come = (Document, Option<Box<Computed>>, Option<Stamp>);

/// Opens benches one at a time: the newest wins.
pub struct Opening {
    job: Job<Result<Come, FileError>>,
    coming: Option<Coming>,
}

impl Default for Opening {
    fn default() -> Self {
        Self { job: Job::new("Opening the bench"), coming: None }
    }
}

/// Whether a file is too long to be read within a frame.
#[must_use]
pub fn is_long(path: &Path) -> bool {
    path.metadata().is_ok_and(|m| m.len() > LONG_FILE)
}

impl Opening {
    /// Reads a file and computes what is in it. False where there is no thread to do it. `order` is for the bench that it is to come on; `generation` is
    /// its document's.
    pub fn read(&mut self, wake: &Wake, path: &Path, source: Source, order: Order, generation: u64) -> bool {
        let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned();
        let (file, words) = (path.to_path_buf(), format!("Reading {name}"));
        let (is_left, as_change) = (source.left.is_some(), source.as_change);
        let asked = self.job.ask(wake, move |work| {
            work.at(0.0, &words);
            let (scenario, known) = match file::load_known(&file, &order.library) {
                Ok(read) => read,
                Err(e) => return Some(Err(e)),
            };
            let document = if is_left { Document::unsaved(scenario) } else { Document::opened(scenario) };
            let order = Order { scenario: Arc::clone(document.scenario()), ..order };
            let computed = if as_change { None } else { Some(Box::new(order.computed(work, false, None)?)) };
            Some(Ok((document, computed, (!is_left).then_some(known))))
        });
        self.wait(asked, name, (source, Some(path.to_path_buf())), generation)
    }

    /// Computes a document that is to come on the bench.
    pub fn compute(&mut self, wake: &Wake, document: Document, source: Source, order: Order, generation: u64) -> bool {
        let name = Scenario::clone(document.scenario()).name;
        let asked = self.job.ask(wake, move |work| {
            let order = Order { scenario: Arc::clone(document.scenario()), ..order };
            let computed = Some(Box::new(order.computed(work, false, None)?));
            Some(Ok((document, computed, None)))
        });
        self.wait(asked, name, (source, None), generation)
    }

    fn wait(&mut self, asked: Result<u64, Broken>, name: String, (source, read): (Source, Option<PathBuf>), generation: u64) -> bool {
        self.coming = asked.ok().map(|number| Coming { number, name, source, read, generation });
        self.coming.is_some()
    }

    /// What came of it since this was last asked. `generation` is that of the document on the bench.
    pub fn take(&mut self, generation: u64) -> Option<Opened> {
        if let Some(coming) = self.coming.take_if(|c| c.generation != generation) {
            self.job.cancel();
            return Some(Opened::Overtaken(coming.name));
        }
        while let Some((number, told)) = self.job.take() {
            let Some(Coming { source, read, .. }) = self.coming.take_if(|c| c.number == number) else { continue };
            return match told {
                Told::Done(Ok((document, computed, known))) => {
                    Some(Opened::Done { document, computed, source: Source { known: known.or(source.known), ..source } })
                }
                Told::Done(Err(error)) => Some(Opened::Failed { error, path: read }),
                Told::Broken(broken) => Some(Opened::Broken(broken)),
                Told::SoFar(_) | Told::Nothing => None,
            };
        }
        None
    }

    /// What is being opened, and how far it is.
    #[must_use]
    pub fn underway(&self) -> Option<(&str, Underway)> {
        Some((&self.coming.as_ref()?.name, self.job.underway()?))
    }

    /// Gives it up: the bench stays as it is.
    pub fn cancel(&mut self) {
        self.job.cancel();
        self.coming = None;
    }
}
