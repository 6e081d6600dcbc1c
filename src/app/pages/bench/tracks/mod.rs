//! The tracks: plots that share one clock axis, one above the other.

mod air;
mod bars;
mod called;
mod caption;
mod chart;
mod clock_axis;
mod curves;
mod demand;
mod drain;
pub mod grip;
mod keys;
mod layout;
mod readout;
mod salt;
mod scene;
mod span;
mod tank;
mod view;
mod water_content;
mod water_in;

use eframe::egui::{Context, CursorIcon, Key, LayerId, Modifiers, Pos2, Rect, RichText, ScrollArea, Sense, Stroke, Ui, pos2, vec2};

use self::grip::Grip;
use self::scene::Scene;
pub use self::span::Span;
pub use self::view::view_menu;
use crate::app::actions::action::Action;
use crate::app::look::theme::{self, TEXT, Tokens};
use crate::app::state::bench::Bench;
use crate::app::state::track_layout::{Layout as TrackLayout, Track};
use crate::edits::steps::Steps;

/// Room left of the plots for the marks of the upright axes.
const GUTTER: f32 = 40.0;
/// Room right of the plots.
const MARGIN: f32 = 16.0;
/// Height of the clock axis.
const CLOCK: f32 = 18.0;
/// Height of a track's title.
const TITLE: f32 = 22.0;
/// Least height of a track's plot.
const LEAST: f32 = 62.0;

/// What the tracks remember between frames: what is held by the mouse, the time read, and the time seen.
#[derive(Debug, Default)]
pub struct Tracks {
    grip: Option<Grip>,
    /// The plots of the last frame, from the top one's top to the lowest one's base.
    plots: Option<(LayerId, Rect)>,
    /// Whether the last frame had to scroll them.
    scrolls: bool,
    /// What a point of the mouse's way is worth in *Water in*.
    worth: grip::Worth,
    /// The time read, hours since the first midnight of what is shown.
    cursor: Option<f64>,
    /// All the time there was to see in the last frame.
    whole: Span,
    /// The part of it that is seen, hours since its start; all of it without one.
    visible: Option<Span>,
    /// The time read by keys, hours since the start of the whole.
    marker: Option<f64>,
    axis_focused: bool,
    /// Which tracks are shown, and how high.
    pub layout: TrackLayout,
    /// Where the pointer was when the menu for adding was opened.
    menu_at: Option<Pos2>,
    /// Where a box that selects events was begun.
    box_from: Option<Pos2>,
    /// The selected event takes the keyboard when it is next drawn: a move may have changed its place in the list.
    follow_focus: bool,
}

impl Tracks {
    /// The time that the tracks are read at, hours since the midnight before the day that the figures are of.
    #[must_use]
    pub fn cursor(&self, bench: &Bench) -> Option<f64> {
        self.cursor.map(|hour| hour - bench.shown().midnight_s() / 3600.0)
    }

    /// The day that the tracks are read on, from 0, and the time of that day, s.
    #[must_use]
    pub fn read_at(&self) -> Option<(usize, f64)> {
        let hour = self.cursor?;
        let day = scene::day_of(hour);
        Some((day, (hour - curves::hours(day)) * 3600.0))
    }

    /// The time seen, hours since the first midnight of what is shown.
    #[must_use]
    pub fn span(&self) -> Span {
        let from_h = self.whole.from_h;
        self.visible.map_or(self.whole, |v| Span::new(v.from_h + from_h, v.to_h + from_h).within(self.whole))
    }

    /// Forgets what the mouse holds.
    pub fn let_go(&mut self) {
        self.grip = None;
    }

    /// The selected event takes the keyboard when it is next drawn.
    pub fn focus_selected(&mut self, is_some: bool) {
        self.follow_focus = is_some;
    }

    /// Follows the mouse before anything is drawn, so that every panel of this frame shows what the mouse asks for.
    pub fn follow(&mut self, ctx: &Context, steps: Steps) -> Option<Action> {
        let under = self.hour_under(ctx);
        if self.grip.is_none()
            && let Some(hour) = under
        {
            self.wheel(ctx, hour);
        }
        let marked = self.marker.filter(|_| self.axis_focused).map(|m| m + self.whole.from_h);
        // The wheel may have moved what lies under the pointer.
        self.cursor = self.hour_under(ctx).or(marked);
        let grip = self.grip?;
        if ctx.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape)) {
            ctx.stop_dragging();
            self.grip = None;
            return Some(Action::Drop);
        }
        let pointer = ctx.input(|i| i.pointer.latest_pos())?;
        let steps = (!ctx.input(|i| i.modifiers.alt)).then_some(steps);
        Some(grip.edit(pointer, self.worth, steps))
    }

    /// The time under the pointer, if it is over the plots.
    fn hour_under(&self, ctx: &Context) -> Option<f64> {
        let (layer, plots) = self.plots?;
        let pointer = ctx.input(|i| i.pointer.hover_pos())?;
        let free = ctx.layer_id_at(pointer).is_none_or(|over| over == layer);
        let over = plots.expand2(vec2(1.0, TITLE)).contains(pointer);
        let span = self.span();
        (free && over).then(|| span.hour(plots, pointer.x).clamp(span.from_h, span.to_h))
    }

    /// Draws all tracks.
    pub fn show(&mut self, ui: &mut Ui, t: &Tokens, bench: &Bench, actions: &mut Vec<Action>) {
        if !bench.shown().troubles.is_empty() {
            troubles(ui, t, bench);
        }
        if bench.shown().run.lanes.is_empty() {
            return;
        }
        caption::show(ui, t, bench, actions);
        let room = ui.available_height();
        let least = self.layout.least_height();
        self.scrolls = room < least;
        if self.scrolls {
            ScrollArea::vertical().auto_shrink(false).show(ui, |ui| self.stack(ui, t, bench, least, actions));
        } else {
            self.stack(ui, t, bench, room, actions);
        }
    }

    fn stack(&mut self, ui: &mut Ui, t: &Tokens, bench: &Bench, height: f32, actions: &mut Vec<Action>) {
        let (all, _) = ui.allocate_exact_size(vec2(ui.available_width(), height - 2.0), Sense::hover());
        let plots = self.layout.plots(all);
        let (Some((_, first)), Some((_, last))) = (plots.first(), plots.last()) else { return };
        let first_time = self.plots.is_none();
        self.plots = Some((ui.layer_id(), Rect::from_min_max(first.min, last.max)));
        self.see(scene::whole(bench));
        if first_time {
            self.cursor = self.hour_under(ui.ctx());
        }
        let scene = Scene::new(t, bench, self.whole, self.span(), self.cursor.filter(|c| self.span().holds(*c)));
        let axis = Rect::from_min_max(pos2(first.left(), all.top()), pos2(first.right(), all.top() + CLOCK));
        let words = scene.cursor.map_or_else(|| "left and right move it".to_owned(), |hour| readout::words(&scene, hour));
        self.clock_axis(ui, &scene, axis, &words);
        for (track, plot) in &plots {
            match track {
                Track::WaterIn => self.water_in(ui, &scene, *plot, actions),
                Track::Content => water_content::show(ui, &scene, *plot),
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
    let Some((_, plot)) = plots.iter().find(|p| p.0 as usize == origin.track()) else { return };
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
