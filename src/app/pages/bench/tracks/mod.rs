//! The tracks: plots that share one clock axis, one above the other.
//!
//! `memory.rs` holds what is remembered between frames. A frame begins with `Tracks::follow`: what the mouse holds (`grip.rs`) becomes an
//! action before anything is drawn, so that every panel of the frame shows it. Then `layout.rs` says where each track stands, `scene.rs`
//! gathers what all of them need, and each draws itself in the file of its name. Lines go through `curves.rs`, which is handed a function of one
//! instant and so reads, draws and measures the same quantity; upright axes and labels are `chart.rs`. *Water in* alone is edited: its
//! bars are `bars.rs` (clock events) and `fixed_bars.rs` (those that rules called for, or of another schedule). `overlays.rs` draws what stands over
//! the tracks without being the bench's own: what is proposed and not taken, states that are compared. Time is kept in hours since the
//! first midnight of what is shown (`span.rs`, `view.rs`).

mod air;
mod bands;
mod bars;
mod beside;
mod caption;
pub(crate) mod chart;
mod clock_axis;
mod curves;
mod dashes;
mod demand;
mod drain;
pub(crate) mod fixed_bars;
pub mod grip;
mod keys;
mod layout;
mod measures;
mod memory;
mod overlays;
mod readout;
mod salt;
mod scene;
mod span;
mod spread_bands;
mod suction;
mod tank;
pub mod view;
mod water_content;
mod water_in;

use eframe::egui::{CursorIcon, Rect, RichText, ScrollArea, Sense, Stroke, Ui, pos2, vec2};

use self::measures::CLOCK;
pub use self::memory::Tracks;
use self::scene::Scene;
use crate::app::actions::action::Action;
use crate::app::look::theme::{self, TEXT, Tokens};
use crate::app::state::bench::Bench;
use crate::app::state::track_layout::Track;
use crate::projection::origin::Figure;
use crate::studies::spread::Spread;

impl Tracks {
    /// Draws all tracks.
    pub fn show(&mut self, ui: &mut Ui, t: &Tokens, (bench, spread): (&Bench, Option<&Spread>), actions: &mut Vec<Action>) {
        if !bench.shown().troubles.is_empty() {
            troubles(ui, t, bench);
        }
        if bench.shown().is_waiting() {
            waiting(ui, t, bench);
        }
        if bench.shown().run.lanes.is_empty() {
            return;
        }
        caption::show(ui, t, bench, actions);
        overlays::captions(ui, t, bench, actions);
        let room = ui.available_height();
        let least = self.layout.least_height();
        self.scrolls = room < least;
        if self.scrolls {
            ScrollArea::vertical().auto_shrink(false).show(ui, |ui| self.stack(ui, t, (bench, spread), least, actions));
        } else {
            self.stack(ui, t, (bench, spread), room, actions);
        }
    }

    fn stack(&mut self, ui: &mut Ui, t: &Tokens, (bench, spread): (&Bench, Option<&Spread>), height: f32, actions: &mut Vec<Action>) {
        let (all, _) = ui.allocate_exact_size(vec2(ui.available_width(), height - 2.0), Sense::hover());
        let plots = self.layout.plots(all);
        let (Some((_, first)), Some((_, last))) = (plots.first(), plots.last()) else { return };
        let first_time = self.plots.is_none();
        self.plots = Some((ui.layer_id(), Rect::from_min_max(first.min, last.max)));
        self.see(scene::whole(bench));
        if first_time {
            self.cursor = self.hour_under(ui.ctx());
        }
        let scene = Scene::new(t, (bench, spread), self.whole, self.span(), self.cursor.filter(|c| self.span().holds(*c)));
        let axis = Rect::from_min_max(pos2(first.left(), all.top()), pos2(first.right(), all.top() + CLOCK));
        let words = scene.cursor.map_or_else(|| "left and right move it".to_owned(), |hour| readout::words(&scene, hour));
        self.clock_axis(ui, &scene, axis, &words);
        for (track, plot) in &plots {
            match track {
                Track::WaterIn => self.water_in(ui, &scene, *plot, actions),
                Track::Content => water_content::show(ui, &scene, *plot),
                Track::Suction => suction::show(ui, &scene, *plot),
                Track::Salt => salt::show(ui, &scene, *plot),
                Track::Drain => drain::show(ui, &scene, *plot),
                Track::Demand => demand::show(ui, &scene, *plot),
                Track::Air => air::show(ui, &scene, *plot),
                Track::Tank => tank::show(ui, &scene, *plot),
            }
        }
        show_origin(ui, &scene, &plots);
        clock_axis::cursor_line(ui, &scene, plots.iter().map(|p| p.1), axis);
        actions.extend(self.layout.boundaries(ui, t, &plots, all).map(Action::Layout));
        if self.grip.is_some() {
            ui.ctx().set_cursor_icon(CursorIcon::Grabbing);
        }
    }
}

/// Where the figure that was clicked comes from: its stretches or its instant, in the lane's colour.
fn show_origin(ui: &Ui, scene: &Scene<'_>, plots: &[(Track, Rect)]) {
    let Some(origin) = scene.bench.origin else { return };
    let wanted = tracks_of(origin.figure);
    let Some((_, plot)) = wanted.iter().find_map(|track| plots.iter().find(|p| p.0 == *track)) else { return };
    let colour = scene.t.lane(origin.lane);
    let paint = ui.painter().with_clip_rect(*plot);
    let midnight = curves::hours(scene.shown().day);
    for (from, to) in origin.stretches(scene.shown()) {
        let (from, to) = (scene.span.x(*plot, midnight + from), scene.span.x(*plot, midnight + to));
        if to - from < 2.0 {
            let half = if to > from { 0.5 * (to - from) } else { 5.0 };
            paint.vline(0.5 * (from + to), plot.y_range(), Stroke::new(if half < 5.0 { 1.0 } else { 2.0 }, colour));
        }
        paint.rect_filled(Rect::from_x_y_ranges(from..=to, plot.y_range()), 0, scene.t.band(colour));
        paint.hline(from..=to.max(from + 1.0), plot.bottom() - 1.5, Stroke::new(3.0, colour));
    }
}

/// The tracks that a figure is read from: on the first of them that is shown.
const fn tracks_of(figure: Figure) -> &'static [Track] {
    match figure {
        Figure::Suction => &[Track::Suction, Track::Content],
        Figure::Peak | Figure::DryBack | Figure::LowestAir | Figure::Uptake | Figure::OutsideBand => &[Track::Content],
        Figure::RootZoneEc => &[Track::Salt],
        Figure::Drain => &[Track::Drain],
    }
}

/// What stands in place of the tracks while there is nothing to see yet.
fn waiting(ui: &mut Ui, t: &Tokens, bench: &Bench) {
    let (head, text) = if bench.is_behind() {
        ("This bench is being computed", "Its curves stand here as soon as they are there. Everything can be changed meanwhile.")
    } else {
        ("This bench is not computed", "Compute, in the line below, does it.")
    };
    ui.add_space(12.0);
    ui.label(RichText::new(head).font(theme::strong(TEXT)));
    ui.label(RichText::new(text).color(t.quiet));
}

/// Why there is nothing, or not all, to see.
fn troubles(ui: &mut Ui, t: &Tokens, bench: &Bench) {
    let frame = eframe::egui::Frame::new().fill(t.card).stroke(Stroke::new(1.0, t.attention)).corner_radius(6).inner_margin(10);
    frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.label(RichText::new("This bench cannot be projected as it stands").font(theme::strong(TEXT)).color(t.attention));
        for trouble in bench.shown().troubles.iter().take(6) {
            ui.label(trouble);
        }
        ui.label(RichText::new("Change the value named, or take the last change back with Edit > Undo.").color(t.quiet));
    });
}
