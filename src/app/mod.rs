//! The window. No physics and no file formats live here: panels draw what [`bench::Bench`] projects, and ask for changes
//! with [`action::Action`]; [`App`] makes them.

pub mod action;
mod background;
pub mod bench;
mod books;
pub mod change;
mod change_log;
mod climate_import;
mod commands;
mod container_view;
mod day_strip;
pub mod day_summary;
pub mod days;
mod depth;
mod dialogs;
mod event_editor;
pub mod event_set;
mod event_text;
pub mod exactness;
mod exactness_window;
mod figures_panel;
mod files;
mod focus;
mod key_sheet;
mod menu;
mod notice;
pub mod origin;
mod own_presets;
mod perform;
mod plan_edit;
mod preferences;
pub mod projection;
mod ramp;
mod recent;
mod recovery;
pub mod schedule_edit;
mod series;
mod settling;
mod setup;
mod shell;
pub mod shortcuts;
pub mod sides;
mod start_crop;
mod status;
pub mod steps;
pub mod theme;
pub mod tracks;

use std::path::{Path, PathBuf};

use eframe::egui::{self, Ui, ViewportCommand};

use self::action::{Action, Next, Page};
use self::bench::Bench;
use self::day_strip::DayStrip;
use self::depth::Depth;
use self::dialogs::Dialog;
use self::event_editor::EventEditor;
use self::files::Picker;
use self::notice::Notice;
use self::projection::Projection;
use self::recent::Recent;
use self::recovery::{Left, Recovery};
use self::sides::Sides;
use self::tracks::Tracks;
use crate::scenario::edit::Document;
use crate::scenario::presets::{self, Library};
use crate::scenario::{Scenario, file};

/// The window's icon, drawn by `assets/icon/draw.py`.
const ICON: &[u8] = include_bytes!("../../assets/icon/slakeline-256.png");

/// What stands on a new bench.
const FIRST_CONTAINER: &str = "pot, round, plastic, 12 L";

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
    bench: Bench,
    data: Option<PathBuf>,
    path: Option<PathBuf>,
    recovery: Recovery,
    recovered_generation: Option<u64>,
    picker: Picker,
    tracks: Tracks,
    page: Page,
    sides: Sides,
    strip: DayStrip,
    ring: focus::Ring,
    depth: Depth,
    /// Where the choice of theme is kept.
    theme_file: Option<PathBuf>,
    notice: Option<Notice>,
    dialog: Option<Dialog>,
    title: String,
    may_close: bool,
    log_open: bool,
    editor: EventEditor,
    recent: Recent,
    climate_reader: climate_import::Reader,
    /// A field was being typed in when the last frame ended.
    typing: bool,
}

impl App {
    /// The window as it starts: the file asked for, what a crash left, or the first demo, already drawn.
    #[must_use]
    pub fn new(cc: &eframe::CreationContext<'_>, options: AppOptions) -> Self {
        theme::install(&cc.egui_ctx);
        let data = options.data_folder.or_else(platform_folder);
        let theme_file = data.as_ref().map(|d| d.join("theme"));
        if let Some(choice) = theme_file.as_deref().and_then(theme::kept) {
            cc.egui_ctx.set_theme(choice);
        }
        let library = data.as_ref().map_or_else(Library::shipped, |d| Library::with_user_presets(&d.join("presets")));
        let (recovery, left) = Recovery::take_slot(data.as_deref(), &library);
        let mut notice = library.warnings.first().map(Notice::lasting);
        let document = match left {
            Left::Scenario(scenario) => {
                let text = "Slakeline ended without being closed last time. These are your changes up to then; no file holds them yet.";
                notice = Some(Notice::offering(text, options.path.clone()));
                Document::unsaved(*scenario)
            }
            Left::Unreadable(path) => {
                let text = format!("What an earlier session left cannot be read. It was put aside as {}.", path.display());
                notice = Some(Notice::lasting(text));
                Document::opened(first_demo())
            }
            Left::Nothing => Document::opened(first_demo()),
        };
        let recovering = document.is_changed();
        let recent = Recent::read(data.as_deref());
        let mut app = Self {
            bench: Bench::new(library, document),
            data,
            path: None,
            recovery,
            recovered_generation: None,
            picker: Picker::default(),
            tracks: Tracks::default(),
            page: Page::default(),
            sides: Sides::default(),
            strip: DayStrip::default(),
            ring: focus::Ring::default(),
            depth: Depth::default(),
            theme_file,
            notice,
            dialog: None,
            title: String::new(),
            may_close: false,
            log_open: false,
            editor: EventEditor::default(),
            recent,
            climate_reader: climate_import::Reader::default(),
            typing: false,
        };
        if !recovering && let Some(path) = options.path {
            app.open(&path);
        }
        app.bench.units = preferences::read(app.data.as_deref());
        app.bench.steps = steps::read(app.data.as_deref());
        app.sides = preferences::read_sides(app.data.as_deref());
        app.strip.wanted = preferences::read_strip(app.data.as_deref());
        app.tracks.layout = preferences::read_layout(app.data.as_deref());
        app.recovered_generation = Some(app.bench.document().generation());
        app
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
    pub fn steps(&self) -> steps::Steps {
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

    /// The bench.
    #[must_use]
    pub fn bench(&self) -> &Bench {
        &self.bench
    }

    /// The tracks.
    #[must_use]
    pub fn tracks(&self) -> &Tracks {
        &self.tracks
    }

    /// Which sides stand beside the tracks.
    #[must_use]
    pub fn sides(&self) -> Sides {
        self.sides
    }

    /// The figure whose place on the tracks is shown.
    #[must_use]
    pub fn origin(&self) -> Option<origin::Origin> {
        self.bench.origin
    }

    /// The file the document was opened from or saved to.
    #[must_use]
    pub fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// Opens a file at once, unsaved changes or not. What cannot be opened is told in the window; the bench stays as it is.
    pub fn open(&mut self, path: &Path) -> bool {
        match file::load(path, self.bench.library()) {
            Ok(scenario) => {
                self.put_on_bench(Document::opened(scenario), Some(path.to_path_buf()));
                self.recent.add(path);
                true
            }
            Err(e) => {
                if !path.exists() {
                    self.recent.forget(path);
                }
                self.dialog = Some(Dialog::Failed { cause: e.to_string(), remedy: e.remedy().to_owned() });
                false
            }
        }
    }

    /// Saves to a file. What cannot be saved is told in the window.
    pub fn save_to(&mut self, path: &Path) -> bool {
        match file::save(self.bench.document().scenario(), path) {
            Ok(()) => {
                self.bench.mark_saved();
                self.path = Some(path.to_path_buf());
                self.recent.add(path);
                self.recovery.keep(None);
                true
            }
            Err(e) => {
                self.dialog = Some(Dialog::Failed { cause: e.to_string(), remedy: e.remedy().to_owned() });
                false
            }
        }
    }

    fn put_on_bench(&mut self, document: Document, path: Option<PathBuf>) {
        self.bench.replace(document);
        self.tracks.let_go();
        self.path = path;
        self.notice = None;
        self.recovered_generation = None;
    }

    /// Writes the recovery file when the document has changed since the last frame.
    fn keep_recovery(&mut self) {
        let document = self.bench.document();
        if self.recovered_generation != Some(document.generation()) {
            self.recovered_generation = Some(document.generation());
            self.recovery.keep(document.is_changed().then(|| std::sync::Arc::clone(document.scenario())));
        }
        if let Some(cause) = self.recovery.failure() {
            self.notice = Some(Notice::lasting(format!("Changes cannot be kept against a crash: {cause}. Save often.")));
        }
    }
}

impl eframe::App for App {
    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        let ctx = ui.ctx().clone();
        if let Some((purpose, path)) = self.poll_picker() {
            self.use_path(&ctx, purpose, &path);
        }
        let mut actions = Vec::new();
        if self.dialog.is_none() {
            actions.extend(self.keys(&ctx));
            actions.extend(dropped(&ctx));
            // A field and an open menu have Escape for themselves, and a drag is dropped by it first.
            let taken = (self.typing && !self.editor.is_open()) || self.tracks.is_holding() || egui::Popup::is_any_open(&ctx);
            if !taken && ctx.input(|i| i.key_pressed(egui::Key::Escape)) {
                actions.push(Action::Do(shortcuts::Command::Escape));
            }
        }
        if matches!(self.dialog, Some(Dialog::Climate(_))) {
            actions.extend(dropped(&ctx).filter(|action| matches!(action, Action::ImportClimate(_))));
        }
        if ctx.input(|i| i.viewport().close_requested()) && !self.may_close && self.bench.document().is_changed() {
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
            actions.push(Action::Leave(Next::Close));
        }
        if self.page == Page::Depth {
            if self.dialog.is_none() {
                self.depth.keys(&ctx);
            }
        } else {
            actions.extend(self.tracks.follow(&ctx, self.bench.steps));
        }
        // What keys and a held event ask for is done before anything is drawn: this frame shows it.
        for action in actions {
            self.perform(&ctx, action);
        }
        self.bench.follow(&ctx);
        let mut asked = self.panels(ui);
        self.change_log(&ctx, &mut asked);
        exactness_window::show(&ctx, &self.bench, &mut asked);
        // While a series is being tried, places in the schedule are not the document's.
        if self.page == Page::Bench && !matches!(self.dialog, Some(Dialog::Series(_))) {
            self.editor.show(&ctx, &self.bench, &mut asked);
        }
        self.answer_dialog(&ctx);
        self.ring.follow(&ctx);
        self.ring.show(&ctx, Tracks::event_with_focus(&ctx, &self.bench).is_some());
        for action in asked {
            if self.perform(&ctx, action) {
                ctx.request_repaint();
            }
        }
        self.keep_recovery();
        self.show_title(&ctx);
        self.typing = ctx.text_edit_focused();
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        // The window only closes with all saved, or with the changes given up on purpose.
        self.recovery.finish(true);
    }
}

/// A file dropped on the window: a scenario, or a climate log by its ending.
fn dropped(ctx: &egui::Context) -> Option<Action> {
    let path = ctx.input(|i| i.raw.dropped_files.first().map(|f| f.path().to_path_buf()))?;
    let is_log = path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("csv"));
    Some(if is_log { Action::ImportClimate(Some(path)) } else { Action::Dropped(path) })
}

/// The platform's place for this program's data.
fn platform_folder() -> Option<PathBuf> {
    directories::ProjectDirs::from("", "", "slakeline").map(|d| d.data_dir().to_path_buf())
}

/// The scenario of the first start.
fn first_demo() -> Scenario {
    // Demos are embedded and each is run by a test; an empty bench says so in words should one ever be missing.
    presets::demos().into_iter().next().map_or_else(empty_scenario, |(_, s)| s)
}

fn empty_scenario() -> Scenario {
    use crate::scenario::{Clock, FORMAT, Feed, Light, LightShape, Solver};
    Scenario {
        format: FORMAT,
        name: "New bench".to_owned(),
        note: String::new(),
        days: 3,
        light: Light { on: Clock::hm(6, 0), off: Clock::hm(20, 0), shape: LightShape::Sun },
        climate: None,
        evaporation_mm_per_day: 2.0,
        feed: Feed { ec: 2.0 },
        schedule: Vec::new(),
        rules: Vec::new(),
        changes: Vec::new(),
        tank: None,
        lanes: Vec::new(),
        solver: Solver::default(),
    }
}

/// A bench to begin with: one pot of the presets, and no water yet.
fn new_bench(library: &Library) -> Scenario {
    let mut scenario = empty_scenario();
    let plain = library.containers.iter().find(|c| c.name == FIRST_CONTAINER).or(library.containers.first());
    if let Some(container) = plain {
        setup::lanes::add(&mut scenario, container, library);
        for lane in &mut scenario.lanes {
            lane.name = "First root zone".to_owned();
        }
    }
    scenario
}

/// Opens the window, with a scenario file or with the first demo, and returns when it is closed.
///
/// # Errors
/// What the system says when it cannot open a window.
pub fn run(path: Option<PathBuf>) -> Result<(), String> {
    let viewport = egui::ViewportBuilder::default()
        .with_title("Slakeline")
        .with_app_id("slakeline")
        .with_inner_size([1280.0, 800.0])
        .with_min_inner_size([800.0, 520.0])
        .with_drag_and_drop(true);
    // Without its picture the window opens all the same.
    let viewport = match eframe::icon_data::from_png_bytes(ICON) {
        Ok(icon) => viewport.with_icon(icon),
        Err(_) => viewport,
    };
    let options = eframe::NativeOptions { viewport, ..Default::default() };
    let create = move |cc: &eframe::CreationContext<'_>| {
        let app = App::new(cc, AppOptions { path, data_folder: None });
        Ok(Box::new(app) as Box<dyn eframe::App>)
    };
    eframe::run_native("slakeline", options, Box::new(create))
        .map_err(|e| format!("no window can be opened: {e}. Without a display, the commands still work: try `slakeline simulate FILE`."))
}
