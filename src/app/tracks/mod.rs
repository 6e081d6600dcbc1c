//! The tracks: plots that share one clock axis, one above the other.

mod bars;
mod chart;
mod drain;
mod grip;
mod keys;
mod salt;
mod water_content;
mod water_in;

use eframe::egui::accesskit::Role;
use eframe::egui::{
    Align2, Context, CursorIcon, Id, Key, LayerId, Modifiers, Pos2, Rect, RichText, ScrollArea, Sense, Stroke, Ui, WidgetInfo, pos2, vec2,
};

use self::chart::Chart;
use self::grip::Grip;
use super::action::Action;
use super::bench::Bench;
use super::steps::Steps;
use super::theme::{self, NOTE, TEXT, Tokens};
use crate::scenario::{Clock, Light};

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
/// Shares of the height of *Water in*, *Water content*, *Salt* and *Drain*.
const SHARES: [f32; 4] = [0.21, 0.38, 0.23, 0.18];

/// What the tracks remember between frames: what is held by the mouse, and the time under it.
#[derive(Debug, Default)]
pub struct Tracks {
    grip: Option<Grip>,
    /// The plots of the last frame, from the top one's top to the lowest one's base.
    plots: Option<(LayerId, Rect)>,
    /// What a point across (h) and a point up (mL) are worth in *Water in*.
    worth: (f64, f64),
    cursor: Option<f64>,
    /// Where the pointer was when the menu for adding was opened.
    menu_at: Option<Pos2>,
    /// Where a box that selects events was begun.
    box_from: Option<Pos2>,
    /// The selected event takes the keyboard when it is next drawn: a move may have changed its place in the list.
    follow_focus: bool,
}

/// What every track needs to draw itself.
pub struct Scene<'a> {
    /// Colours.
    pub t: &'a Tokens,
    /// The bench.
    pub bench: &'a Bench,
    /// Time of day under the pointer, h.
    pub cursor: Option<f64>,
}

impl Tracks {
    /// The time of day under the pointer, h.
    #[must_use]
    pub fn cursor(&self) -> Option<f64> {
        self.cursor
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
        self.cursor = self.hour_under(ctx);
        let grip = self.grip?;
        if ctx.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape)) {
            ctx.stop_dragging();
            self.grip = None;
            return Some(Action::Drop);
        }
        let pointer = ctx.input(|i| i.pointer.latest_pos())?;
        let steps = (!ctx.input(|i| i.modifiers.alt)).then_some(steps);
        Some(grip.edit(pointer, self.worth.0, self.worth.1, steps))
    }

    /// The time of day under the pointer, if it is over the plots.
    fn hour_under(&self, ctx: &Context) -> Option<f64> {
        let (layer, span) = self.plots?;
        let pointer = ctx.input(|i| i.pointer.hover_pos())?;
        let free = ctx.layer_id_at(pointer).is_none_or(|over| over == layer);
        let over = span.expand2(vec2(1.0, TITLE)).contains(pointer);
        (free && over).then(|| (24.0 * f64::from((pointer.x - span.left()) / span.width())).clamp(0.0, 24.0))
    }

    /// Draws all tracks.
    pub fn show(&mut self, ui: &mut Ui, t: &Tokens, bench: &Bench, actions: &mut Vec<Action>) {
        if !bench.shown().troubles.is_empty() {
            troubles(ui, t, bench);
        }
        if bench.shown().run.lanes.is_empty() {
            return;
        }
        let room = ui.available_height();
        let least = CLOCK + 4.0 * (TITLE + LEAST);
        if room >= least {
            self.stack(ui, t, bench, room, actions);
        } else {
            ScrollArea::vertical().auto_shrink(false).show(ui, |ui| self.stack(ui, t, bench, least, actions));
        }
    }

    fn stack(&mut self, ui: &mut Ui, t: &Tokens, bench: &Bench, height: f32, actions: &mut Vec<Action>) {
        let (all, _) = ui.allocate_exact_size(vec2(ui.available_width(), height - 2.0), Sense::hover());
        let plots = plot_rects(all);
        let first_time = self.plots.is_none();
        let (Some(first), Some(last)) = (plots.first(), plots.last()) else { return };
        let span = Rect::from_min_max(first.min, last.max);
        self.plots = Some((ui.layer_id(), span));
        if first_time {
            self.cursor = self.hour_under(ui.ctx());
        }
        clock_axis(ui, t, pos2(span.left(), all.top()), span.width(), self.cursor);
        let scene = Scene { t, bench, cursor: self.cursor };
        let [water_in, content, salt, drain] = plots;
        self.water_in(ui, &scene, water_in, actions);
        water_content::show(ui, &scene, content);
        salt::show(ui, &scene, salt);
        drain::show(ui, &scene, drain);
        show_origin(ui, t, bench, &plots);
        if let Some(hour) = self.cursor {
            cursor_line(ui, t, &plots, hour, all.top());
        }
        if self.grip.is_some() {
            ui.ctx().set_cursor_icon(CursorIcon::Grabbing);
        }
    }
}

/// Where the four plots stand within the room for all tracks.
fn plot_rects(all: Rect) -> [Rect; 4] {
    let room = all.height() - CLOCK - 4.0 * TITLE - 6.0;
    let mut top = all.top() + CLOCK;
    SHARES.map(|share| {
        let from = pos2(all.left() + GUTTER, top + TITLE);
        let to = pos2(all.right() - MARGIN, top + TITLE + room * share);
        top = to.y;
        Rect::from_min_max(from.round(), to.round())
    })
}

fn clock_axis(ui: &Ui, t: &Tokens, at: Pos2, width: f32, cursor: Option<f64>) {
    let every = if width > 460.0 { 3_u8 } else { 6 };
    for hour in (0..=24_u8).step_by(every.into()) {
        let x = at.x + width * f32::from(hour) / 24.0;
        // The time under the pointer takes the place of the hours beside it.
        let hidden = cursor.is_some_and(|c| (c - f64::from(hour)).abs() * f64::from(width) / 24.0 < 38.0);
        if hidden {
            continue;
        }
        ui.painter().text(pos2(x, at.y), Align2::CENTER_TOP, format!("{hour:02}:00"), theme::plain(NOTE), t.quiet);
    }
}

/// Where the figure that was clicked comes from: its stretches or its instant, in the lane's colour.
fn show_origin(ui: &Ui, t: &Tokens, bench: &Bench, plots: &[Rect]) {
    let Some(origin) = bench.origin else { return };
    let Some(plot) = plots.get(origin.track()) else { return };
    let colour = t.lane(origin.lane);
    #[allow(clippy::cast_possible_truncation)]
    let x = |hour: f64| plot.left() + plot.width() * (hour / 24.0) as f32;
    for (from, to) in origin.stretches(bench.shown()) {
        let (from, to) = (x(from), x(to));
        if to - from < 2.0 {
            let half = if to > from { 0.5 * (to - from) } else { 5.0 };
            ui.painter().vline(0.5 * (from + to), plot.y_range(), Stroke::new(if half < 5.0 { 1.0 } else { 2.0 }, colour));
        }
        ui.painter().rect_filled(Rect::from_x_y_ranges(from..=to, plot.y_range()), 0, t.band(colour));
        ui.painter().hline(from..=to.max(from + 1.0), plot.bottom() - 1.5, Stroke::new(3.0, colour));
    }
}

/// One line through all tracks at the time under the pointer, with the time at its head.
fn cursor_line(ui: &Ui, t: &Tokens, plots: &[Rect], hour: f64, top: f32) {
    let Some(first) = plots.first() else { return };
    #[allow(clippy::cast_possible_truncation)]
    let x = first.left() + first.width() * (hour / 24.0) as f32;
    for plot in plots {
        ui.painter().vline(x, plot.y_range(), Stroke::new(1.0, t.ink.gamma_multiply(0.75)));
    }
    let minutes = Clock::from_hours((hour * 60.0).floor() / 60.0);
    let label = ui.painter().layout_no_wrap(minutes.to_string(), theme::strong(NOTE), t.chip_ink);
    let chip = Rect::from_center_size(pos2(x, top + 0.5 * label.size().y), label.size() + vec2(10.0, 2.0));
    ui.painter().rect_filled(chip, 3, t.chip);
    ui.painter().galley(chip.center() - 0.5 * label.size(), label, t.chip_ink);
}

/// A track's title, its unit, and on the right what its lines mean.
fn title(ui: &Ui, t: &Tokens, plot: Rect, name: &str, unit: &str, key: &str) {
    let y = plot.top() - 0.5 * TITLE + 1.0;
    let paint = ui.painter();
    let head = paint.text(pos2(plot.left(), y), Align2::LEFT_CENTER, name, theme::strong(TEXT), t.ink);
    let unit = paint.text(pos2(head.right() + 10.0, y + 0.5), Align2::LEFT_CENTER, unit, theme::plain(NOTE), t.quiet);
    let key = paint.layout_no_wrap(key.to_owned(), theme::plain(NOTE), t.quiet);
    if plot.right() - key.size().x > unit.right() + 16.0 {
        paint.galley(pos2(plot.right() - key.size().x, y - 0.5 * key.size().y + 0.5), key, t.quiet);
    }
}

/// Day and night behind a plot.
fn daylight(ui: &Ui, t: &Tokens, plot: Rect, light: &Light) {
    let paint = ui.painter();
    paint.rect_filled(plot, 0, t.night);
    #[allow(clippy::cast_possible_truncation)]
    let x = |clock: Clock| plot.left() + plot.width() * (clock.hours() / 24.0) as f32;
    paint.rect_filled(Rect::from_x_y_ranges(x(light.on)..=x(light.off), plot.y_range()), 0, t.day);
}

/// A track's ground: title, light, upright axis.
fn ground(ui: &Ui, scene: &Scene<'_>, plot: Rect, words: [&str; 3], chart: &Chart) {
    let [name, unit, key] = words;
    let track = ui.interact(plot, Id::unique("track").with(name), Sense::hover());
    track.widget_info(|| WidgetInfo::labeled(Role::Image, true, format!("{name} track, {unit}")));
    title(ui, scene.t, plot, name, unit, key);
    daylight(ui, scene.t, plot, &scene.bench.shown().scenario.light);
    chart.axes(ui, scene.t, plot);
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
