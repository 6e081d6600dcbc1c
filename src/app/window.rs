//! The window's state, and how it starts.

use std::path::{Path, PathBuf};

use super::frame::Shell;
use super::look::theme;
use super::pages::Pages;
use super::pages::bench::tracks::Tracks;
use super::state::bench::Bench;
use super::state::disk::Disk;
use super::state::drafting::Drafting;
use super::state::notice::Notice;
use super::state::preferences;
use super::state::recent::Recent;
use super::state::recovery::Recovery;
use super::state::sides::Sides;
use super::state::studies::Studies;
use super::state::waking;
use super::windows::Windows;
use crate::edits::document::Document;
use crate::edits::new_bench::first_demo;
use crate::edits::steps::Steps;
use crate::projection::Projection;
use crate::projection::origin::Origin;
use crate::scenario::presets::Library;

/// How the window starts.
#[derive(Clone, Debug, Default)]
pub struct AppOptions {
    /// A scenario file to open; the first demo without one.
    pub path: Option<PathBuf>,
    /// Where recovery files and the user's presets live; the platform's place without one.
    pub data_folder: Option<PathBuf>,
}

/// The window's state.
pub struct App {
    /// The document with all that is computed from it and tried on it.
    pub(in crate::app) bench: Bench,
    /// Questions asked of it.
    pub(in crate::app) studies: Studies,
    pub(in crate::app) drafting: Drafting,
    /// What lies on disk for it.
    pub(in crate::app) disk: Disk,
    /// The pages, and which of them is shown.
    pub(in crate::app) pages: Pages,
    /// The small windows over them.
    pub(in crate::app) windows: Windows,
    /// What stands around them.
    pub(in crate::app) shell: Shell,
}

impl App {
    /// The window as it starts: the file asked for, the last one or the first demo, already drawn, and an offer of all that crashes left.
    #[must_use]
    pub fn new(cc: &eframe::CreationContext<'_>, options: AppOptions) -> Self {
        theme::install(&cc.egui_ctx);
        let data = options.data_folder.or_else(platform_folder);
        let theme_file = data.as_ref().map(|d| d.join("theme"));
        if let Some(choice) = theme_file.as_deref().and_then(theme::kept) {
            cc.egui_ctx.set_theme(choice);
        }
        let library = data.as_ref().map_or_else(Library::shipped, |d| Library::with_user_presets(&d.join("presets")));
        let (mut recovery, left) = Recovery::begin(data.as_deref());
        let unsafe_here = recovery.failure().map(|cause| format!("Changes cannot be kept against a crash: {cause}. Save often."));
        let told: Vec<String> = unsafe_here.into_iter().chain(library.warnings.first().cloned()).collect();
        let notice = (!told.is_empty()).then(|| Notice::lasting(told.join(" ")));
        let (recent, reopens) = (Recent::read(data.as_deref()), preferences::read_reopens(data.as_deref()));
        let dismissed = preferences::read_dismissed(data.as_deref());
        let mut bench = Bench::new(library, Document::opened(first_demo()));
        bench.wake_by(waking::by(&cc.egui_ctx));
        let mut app = Self {
            bench,
            studies: Studies::default(),
            drafting: Drafting::default(),
            disk: Disk { data, dismissed, recent, reopens, recovery, left, theme_file, ..Disk::default() },
            pages: Pages::default(),
            windows: Windows::default(),
            shell: Shell { notice, ..Shell::default() },
        };
        app.begin_with(options.path);
        app.bench.units = preferences::read(app.disk.data.as_deref());
        app.bench.steps = preferences::read_steps(app.disk.data.as_deref());
        app.pages.sides = preferences::read_sides(app.disk.data.as_deref());
        app.pages.strip.wanted = preferences::read_strip(app.disk.data.as_deref());
        app.pages.tracks.layout = preferences::read_layout(app.disk.data.as_deref());
        app.show_text_size(&cc.egui_ctx, preferences::read_text_size(app.disk.data.as_deref()));
        app.disk.recovered_generation = Some(app.bench.document().generation());
        app.show_left_work();
        app
    }

    /// Opens the file that was asked for, or else the last bench, where that is wanted.
    fn begin_with(&mut self, asked: Option<PathBuf>) {
        if let Some(path) = asked {
            self.open(&path);
            return;
        }
        let Some(last) = self.disk.recent.last().filter(|_| self.disk.reopens.last).map(Path::to_path_buf) else { return };
        if last.exists() {
            self.open(&last);
        } else if self.shell.notice.is_none() {
            let text = format!("{} was on the bench last and is not there any more. This is the first demo.", last.display());
            self.shell.notice = Some(Notice::passing(text));
        }
    }

    /// The units that numbers are shown in.
    #[must_use]
    pub fn units(&self) -> crate::units::Units {
        self.bench.units
    }

    /// The document on the bench.
    #[must_use]
    pub fn document(&self) -> &Document {
        self.bench.document()
    }

    /// The places of the selected events in the schedule, in order.
    #[must_use]
    pub fn picked(&self) -> &[usize] {
        self.bench.picked()
    }

    /// What drags and arrow keys snap to.
    #[must_use]
    pub fn steps(&self) -> Steps {
        self.bench.steps
    }

    /// What is drawn: the projection of the document, or of the change being tried.
    #[must_use]
    pub fn run(&self) -> &Projection {
        self.bench.shown()
    }

    /// The projection before the change being tried, drawn faintly while it is tried.
    #[must_use]
    pub fn ghost(&self) -> Option<&Projection> {
        self.bench.ghost()
    }

    /// Whether the bench, or one that is being opened, is computed beside the frames: what is drawn is then of before. Or whether the bench
    /// is being saved or exported, or a state beside it is read or drawn.
    #[must_use]
    pub fn is_computing(&self) -> bool {
        self.disk.opening.underway().is_some()
            || self.disk.exporting.underway().is_some()
            || self.shell.saving.is_underway()
            || self.bench.others.is_working()
            || self.drafting.is_underway()
            || self.bench.is_behind()
    }

    /// The bench.
    #[must_use]
    pub fn bench(&self) -> &Bench {
        &self.bench
    }

    /// Questions asked of the bench.
    #[must_use]
    pub fn studies(&self) -> &Studies {
        &self.studies
    }

    /// The tracks.
    #[must_use]
    pub fn tracks(&self) -> &Tracks {
        &self.pages.tracks
    }

    /// Which sides stand beside the tracks.
    #[must_use]
    pub fn sides(&self) -> Sides {
        self.pages.sides
    }

    /// The figure whose place on the tracks is shown.
    #[must_use]
    pub fn origin(&self) -> Option<Origin> {
        self.bench.origin
    }

    /// The file the document was opened from or saved to.
    #[must_use]
    pub fn path(&self) -> Option<&Path> {
        self.disk.path.as_deref()
    }
}

/// The platform's place for this program's data.
fn platform_folder() -> Option<PathBuf> {
    directories::ProjectDirs::from("", "", "slakeline").map(|d| d.data_dir().to_path_buf())
}
