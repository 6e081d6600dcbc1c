//! Choosing files: the system's dialog, waited for by a job, and what to do when the system has none.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use rfd::AsyncFileDialog;

use crate::app::actions::action::Next;
use crate::app::state::exporting::Exports;
use crate::jobs::{Job, Told, Wake};
use crate::scenario::Scenario;
use crate::sheet::answers::Form;
use crate::sheet::made::Results;

/// A dialog that answers "none" this soon was never seen by anyone.
const UNSEEN: Duration = Duration::from_millis(400);

/// What is told where the system has no dialog.
pub const NO_DIALOG: &str = "This system showed no file dialog. Install xdg-desktop-portal with a backend for your desktop, or zenity, \
    to have one. Until then, type the path here.";

/// Most letters of a bench's name that the name of its file has: the system allows 255 bytes, some letters have several, and the version
/// before has a longer name.
const LONGEST: usize = 60;

/// What is to be done with the chosen path.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// Open it.
    Open,
    /// Hold it beside the bench.
    Beside,
    /// Save to it, then go on.
    Save(Option<Next>),
    /// Read a climate log from it.
    Climate,
    /// Take a preset from it.
    Import,
    /// Write a preset to it.
    Export,
    /// Write results to it; over this file, where one is there.
    Results(Exports, Option<PathBuf>),
}

impl Purpose {
    /// Whether the file is written.
    #[must_use]
    pub fn saves(&self) -> bool {
        self.ending().is_some()
    }

    /// How the name of a file ends that is written, where no ending is typed.
    #[must_use]
    pub fn ending(&self) -> Option<&'static str> {
        match self {
            Self::Save(_) | Self::Export => Some("ron"),
            Self::Results(results, _) => Some(results.words().1),
            Self::Open | Self::Beside | Self::Climate | Self::Import => None,
        }
    }

    /// What the system's dialog is headed, what it calls the files, and how their names end.
    fn words(&self) -> (&'static str, &'static str, &'static [&'static str]) {
        match self {
            Self::Open => ("Open a scenario", "Slakeline scenario", &["ron"]),
            Self::Beside => ("Hold a scenario beside the bench", "Slakeline scenario", &["ron"]),
            Self::Save(_) => ("Save the scenario", "Slakeline scenario", &["ron"]),
            Self::Climate => ("Import a climate log", "Climate log", &["csv", "CSV", "tsv", "txt"]),
            Self::Import => ("Import a preset", "Slakeline preset", &["ron"]),
            Self::Export => ("Export a preset", "Slakeline preset", &["ron"]),
            Self::Results(Exports::Bench(Results::Series), _) => ("Export the series", "Series", &["csv"]),
            Self::Results(Exports::Bench(Results::Figures), _) => ("Export the figures", "Figures", &["json"]),
            Self::Results(Exports::Answer(_, Form::Csv), _) => ("Export the answer as a table", "Table", &["csv"]),
            Self::Results(Exports::Answer(_, Form::Json), _) => ("Export the whole answer", "Answer", &["json"]),
        }
    }
}

/// What became of a dialog.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Picked {
    /// A path was chosen.
    Path(PathBuf),
    /// The person changed their mind.
    Nothing,
    /// This system shows no file dialogs.
    NoDialog,
}

/// The system's file dialog while it is open.
pub struct Picker {
    job: Job<Option<PathBuf>>,
    open: Option<(Purpose, Instant)>,
    /// There was no thread to wait for it.
    unseen: bool,
}

impl Default for Picker {
    fn default() -> Self {
        Self { job: Job::new("The file dialog"), open: None, unseen: false }
    }
}

impl Picker {
    /// Whether a dialog is open.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.open.is_some()
    }

    /// Opens a dialog; only one at a time. Nothing but its own buttons closes it.
    pub fn show(&mut self, wake: &Wake, purpose: Purpose, folder: Option<&Path>, file_name: &str) {
        if self.is_open() {
            return;
        }
        let (title, kind, endings) = purpose.words();
        let mut dialog = AsyncFileDialog::new().add_filter(kind, endings).set_title(title);
        if let Some(folder) = folder {
            dialog = dialog.set_directory(folder);
        }
        // Some systems want the dialog made on the window's thread; waiting for it is done elsewhere.
        let (open, save) =
            if purpose.saves() { (None, Some(dialog.set_file_name(file_name).save_file())) } else { (Some(dialog.pick_file()), None) };
        let wait = move |_: &_| {
            let handle = match (open, save) {
                (Some(open), _) => pollster::block_on(open),
                (_, Some(save)) => pollster::block_on(save),
                _ => None,
            };
            Some(handle.map(|h| h.path().to_path_buf()))
        };
        self.unseen = self.job.ask(wake, wait).is_err();
        self.open = Some((purpose, Instant::now()));
    }

    /// What became of the dialog, once it has closed.
    pub fn poll(&mut self) -> Option<(Purpose, Picked)> {
        let began = self.open.as_ref()?.1;
        let picked = match self.job.take() {
            None if self.unseen => Picked::NoDialog,
            None => return None,
            Some((_, Told::Done(Some(path)))) => Picked::Path(path),
            Some((_, Told::Done(None))) if began.elapsed() >= UNSEEN => Picked::Nothing,
            Some(_) => Picked::NoDialog,
        };
        self.open.take().map(|(purpose, _)| (purpose, picked))
    }
}

/// A file name made from a scenario's name.
#[must_use]
pub fn suggested_name(scenario: &Scenario) -> String {
    file_name(&scenario.name, "bench")
}

/// A file name made from any name; `other` where nothing is left of it.
#[must_use]
pub fn file_name(from: &str, other: &str) -> String {
    let mut name = String::new();
    for c in from.chars().flat_map(char::to_lowercase).take(LONGEST) {
        if c.is_alphanumeric() {
            name.push(c);
        } else if !name.is_empty() && !name.ends_with('-') {
            name.push('-');
        }
    }
    let name = name.trim_end_matches('-');
    format!("{}.ron", if name.is_empty() { other } else { name })
}

/// The same in the person's documents, or their home.
#[must_use]
pub fn suggested_path(scenario: &Scenario) -> PathBuf {
    in_documents(suggested_name(scenario))
}

/// A file of a name in the person's documents, or their home.
#[must_use]
pub fn in_documents(name: String) -> PathBuf {
    match directories::UserDirs::new() {
        Some(dirs) => dirs.document_dir().unwrap_or_else(|| dirs.home_dir()).join(name),
        None => PathBuf::from(name),
    }
}

/// A name for results of a scenario.
#[must_use]
pub fn suggested_results(scenario: &Scenario, results: Exports) -> String {
    let (what, ending) = results.words();
    let bench = suggested_name(scenario);
    format!("{}-{}.{ending}", bench.trim_end_matches(".ron"), what.replace(' ', "-"))
}

/// A typed path: a leading `~` is the home folder, and a name without an ending gets this one, where it is given.
#[must_use]
pub fn typed_path(text: &str, ending: Option<&str>) -> Option<PathBuf> {
    let text = text.trim().trim_matches('"');
    if text.is_empty() {
        return None;
    }
    let mut path = match text.strip_prefix("~/").and_then(|rest| Some(directories::UserDirs::new()?.home_dir().join(rest))) {
        Some(path) => path,
        None => PathBuf::from(text),
    };
    if let Some(ending) = ending
        && path.extension().is_none()
    {
        path.set_extension(ending);
    }
    Some(path)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::presets;

    #[test]
    fn names_fit_any_file_system() {
        let mut scenario = presets::demos().remove(0).1;
        assert_eq!(suggested_name(&scenario), "aubergine-two-root-zones-on-one-pump.ron");
        scenario.name = "/ ..".to_owned();
        assert_eq!(suggested_name(&scenario), "bench.ron");
        scenario.name = "é".repeat(400);
        assert_eq!(suggested_name(&scenario).chars().count(), LONGEST + 4);
        assert!(suggested_results(&scenario, Exports::Bench(Results::Series)).len() < 250);
        assert_eq!(typed_path(" a/b ", Some("ron")), Some(PathBuf::from("a/b.ron")));
        assert_eq!(typed_path("  ", None), None);
    }
}
