//! The depth page: the root zones by height and time in colour, and as they stand at one instant.
//!
//! `raster.rs` turns a run's profiles into pictures, in the units shown; this file keeps the pictures until scenario, day, quantity, units or
//! lanes change, and draws them with a scale of round steps. Its clock is its own: play, Space, arrows (Shift: an hour) and a drag on a picture
//! move it, and nothing repaints while it rests. The colour map is in `look/ramp.rs`.

mod raster;
mod scale;

use eframe::egui::accesskit::Role;
use eframe::egui::{
    Align2, Color32, Context, Key, Label, Modifiers, Rect, RichText, ScrollArea, Sense, Shape, Slider, Stroke, TextureHandle,
    TextureOptions, Ui, WidgetInfo, pos2, vec2,
};

use self::raster::{Quantity, range, share};
use self::scale::{Scale, bar};
use crate::app::look::container_view;
use crate::app::look::theme::{self, HEAD, NOTE, TEXT, Tokens};
use crate::engine::run::LaneRun;
use crate::projection::Projection;
use crate::scenario::{Clock, Lane};
use crate::units::{self, HOUR_S, Units};

/// Hours of the day that pass in a second of play.
const HOURS_PER_SECOND: f64 = 1.0;
/// Hours that an arrow key goes.
const STEP: f64 = 5.0 / 60.0;
/// Room left of a picture for heights.
const GUTTER: f32 = 40.0;
/// Height of a lane's title.
const TITLE: f32 = 24.0;
/// Share of a column's height below which water that fills the pores is not marked.
const LEAST_TABLE: f64 = 0.02;
/// Room below a picture for hours.
const HOURS: f32 = 18.0;

/// What the page remembers between frames.
#[derive(Default)]
pub struct Depth {
    quantity: Quantity,
    /// Lanes not shown.
    hidden: Vec<usize>,
    hour: Option<f64>,
    playing: bool,
    drawn: Option<Drawn>,
}

/// Pictures kept until the run, the day, the quantity or the lanes change.
struct Drawn {
    /// The run.
    stamp: u64,
    day: usize,
    quantity: Quantity,
    units: Units,
    hidden: Vec<usize>,
    scale: Scale,
    lanes: Vec<Option<Picture>>,
}

struct Picture {
    texture: TextureHandle,
    table: Vec<(f64, f64)>,
}

impl Depth {
    /// Space plays and pauses, left and right go through the day, as long as no control holds the keyboard.
    pub fn keys(&mut self, ctx: &Context) {
        if ctx.memory(|m| m.focused().is_some()) {
            return;
        }
        ctx.input_mut(|i| {
            if i.consume_key(Modifiers::NONE, Key::Space) {
                self.playing = !self.playing;
            }
            let keys = [(Key::ArrowLeft, -1.0), (Key::ArrowRight, 1.0)];
            // With Shift first: without it, both would be taken.
            for (held, key, by) in
                [(Modifiers::SHIFT, 1.0), (Modifiers::NONE, STEP)].iter().flat_map(|h| keys.map(|k| (h.0, k.0, k.1 * h.1)))
            {
                let times = i.count_and_consume_key(held, key);
                if times > 0 {
                    #[allow(clippy::cast_precision_loss)]
                    self.go(self.hour() + by * times as f64);
                }
            }
        });
    }

    fn hour(&self) -> f64 {
        self.hour.unwrap_or(12.0)
    }

    fn go(&mut self, hour: f64) {
        self.hour = Some(hour.clamp(0.0, 24.0));
    }

    /// Draws the page.
    pub fn show(&mut self, ui: &mut Ui, t: &Tokens, shown: &Projection, units: Units) {
        if self.playing {
            let next = self.hour() + HOURS_PER_SECOND * f64::from(ui.input(|i| i.stable_dt).min(0.1));
            self.go(if next >= 24.0 { 0.0 } else { next });
            ui.ctx().request_repaint();
        }
        if let Some(why) = nothing(shown) {
            ui.label(RichText::new("Nothing to show by height").font(theme::strong(HEAD)));
            ui.label(RichText::new(why).color(t.quiet));
            return;
        }
        self.hidden.retain(|i| *i < shown.run.lanes.len());
        self.choices(ui, shown);
        self.draw_pictures(ui.ctx(), t, shown, units);
        ui.add_space(4.0);
        self.legend(ui, t, units);
        let chosen: Vec<usize> = (0..shown.run.lanes.len()).filter(|i| !self.hidden.contains(i)).collect();
        if chosen.is_empty() {
            ui.label(RichText::new("No lane is chosen. Choose one above.").color(t.quiet));
            return;
        }
        #[allow(clippy::cast_precision_loss)]
        let each = (ui.available_height() / chosen.len() as f32).max(170.0);
        let scale = common_scale(shown, &chosen, 0.8 * side_width(ui.available_width()), each - TITLE - HOURS);
        ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            for index in chosen {
                self.lane(ui, t, shown, units, index, [each, scale]);
            }
        });
    }

    /// What is shown, of which lanes, and when.
    fn choices(&mut self, ui: &mut Ui, shown: &Projection) {
        ui.horizontal_wrapped(|ui| {
            for quantity in Quantity::ALL {
                ui.selectable_value(&mut self.quantity, quantity, quantity.name()).on_hover_text(quantity.explained());
            }
            ui.separator();
            for (index, lane, _) in shown.lanes() {
                let mut on = !self.hidden.contains(&index);
                if ui.checkbox(&mut on, RichText::new(format!("Lane {}", index + 1))).on_hover_text(&lane.name).changed() {
                    self.hidden.retain(|i| *i != index);
                    if !on {
                        self.hidden.push(index);
                    }
                }
            }
            ui.separator();
            let word = if self.playing { "Pause" } else { "Play" };
            if ui
                .button(word)
                .on_hover_text("Space does the same. Left and right arrows go by five minutes, with Shift by an hour.")
                .clicked()
            {
                self.playing = !self.playing;
            }
            let mut hour = self.hour();
            ui.spacing_mut().slider_width = if ui.max_rect().width() < 700.0 { 90.0 } else { 150.0 };
            let slider = ui.add(Slider::new(&mut hour, 0.0..=24.0).show_value(false));
            slider.widget_info(|| WidgetInfo::slider(true, hour, "Time of day, hours"));
            if slider.changed() {
                self.go(hour);
            }
            ui.label(RichText::new(clock(self.hour())).font(theme::strong(TEXT)));
        });
    }

    /// What the colours stand for, and a line on what is seen.
    fn legend(&self, ui: &mut Ui, t: &Tokens, units: Units) {
        let Some(drawn) = &self.drawn else { return };
        ui.horizontal(|ui| {
            bar(ui, t, GUTTER, (self.quantity.unit(units), self.quantity.ramp(t)), drawn.scale);
            ui.add_space(14.0);
            let line = format!("{} Below a white line the pores are nearly full.", self.quantity.explained());
            ui.add(Label::new(RichText::new(line).size(NOTE).color(t.quiet)).wrap());
        });
    }

    /// Makes the pictures anew when what they show has changed.
    fn draw_pictures(&mut self, ctx: &Context, t: &Tokens, shown: &Projection, units: Units) {
        let same = |d: &Drawn| {
            let choice = d.quantity == self.quantity && d.units == units && d.hidden == self.hidden;
            choice && d.stamp == shown.stamp && d.day == shown.day
        };
        if self.drawn.as_ref().is_some_and(same) {
            return;
        }
        let (quantity, midnight) = (self.quantity, shown.midnight_s());
        let visible = |i: usize| !self.hidden.contains(&i);
        let ranges = shown.lanes().filter(|(i, ..)| visible(*i)).map(|(_, _, run)| range(run, quantity, units, midnight));
        let (low, high) = ranges.fold((f64::INFINITY, f64::NEG_INFINITY), |a, b| (a.0.min(b.0), a.1.max(b.1)));
        let scale = Scale::over(low, high);
        let picture = |(i, _, run): (usize, &Lane, &LaneRun)| {
            visible(i).then(|| Picture {
                texture: ctx.load_texture(
                    format!("depth {i}"),
                    raster::picture(run, quantity, units, midnight, scale.ends(), quantity.ramp(t)),
                    TextureOptions::LINEAR,
                ),
                table: raster::perched(run, midnight),
            })
        };
        let lanes = shown.lanes().map(picture).collect();
        let hidden = self.hidden.clone();
        self.drawn = Some(Drawn { stamp: shown.stamp, day: shown.day, quantity, units, hidden, scale, lanes });
    }

    fn lane(&mut self, ui: &mut Ui, t: &Tokens, shown: &Projection, units: Units, index: usize, [height, scale]: [f32; 2]) {
        let (Some(lane), Some(run)) = (shown.scenario.lanes.get(index), shown.run.lanes.get(index)) else { return };
        let (all, _) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
        let side = side_width(all.width());
        let plot = Rect::from_min_max(
            pos2(all.left() + GUTTER, all.top() + TITLE).round(),
            pos2(all.right() - side - 14.0, all.bottom() - HOURS).round(),
        );
        let dot = Rect::from_center_size(pos2(plot.left() + 5.0, all.top() + 0.5 * TITLE), vec2(10.0, 10.0));
        ui.painter().rect_filled(dot, 2, t.lane(index));
        let name = format!("Lane {} · {}", index + 1, lane.name);
        let head = pos2(plot.left() + 18.0, dot.center().y);
        let head = ui.painter().text(head, Align2::LEFT_CENTER, &name, theme::strong(HEAD), t.ink);
        let cm = units::Quantity::Length;
        let unit = format!("{}, {}, by height above the base, {}", self.quantity.phrase(), self.quantity.unit(units), cm.unit(units));
        if plot.width() > head.width() + 320.0 {
            ui.painter().text(pos2(head.right() + 10.0, head.center().y), Align2::LEFT_CENTER, unit, theme::plain(NOTE), t.quiet);
        }
        let response = ui.interact(plot, ui.scope_id().with(("depth", index)), Sense::click_and_drag());
        response.widget_info(|| WidgetInfo::labeled(Role::Image, true, format!("{name} by height and time")));
        if let Some(pointer) = response.interact_pointer_pos() {
            self.playing = false;
            self.go(24.0 * f64::from((pointer.x - plot.left()) / plot.width()));
        }
        let Some(drawn) = &self.drawn else { return };
        let paint = ui.painter().with_clip_rect(plot.expand2(vec2(GUTTER, HOURS)));
        let y = |z: f64| plot.bottom() - plot.height() * share(z, 0.0, run.column.height);
        let x = |hour: f64| plot.left() + plot.width() * share(hour, 0.0, 24.0);
        if let Some(picture) = drawn.lanes.get(index).and_then(Option::as_ref) {
            let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
            paint.image(picture.texture.id(), plot, whole, Color32::WHITE);
            // A film at the base is no line worth drawing.
            if picture.table.iter().any(|p| p.1 > LEAST_TABLE * run.column.height) {
                let line: Vec<_> = picture.table.iter().map(|p| pos2(x(p.0), y(p.1))).collect();
                paint.add(Shape::line(line.clone(), Stroke::new(3.0, Color32::from_black_alpha(110))));
                paint.add(Shape::line(line, Stroke::new(1.5, Color32::WHITE)));
                let at = picture.table.get(picture.table.len() / 40).map_or(0.0, |p| p.1);
                if at > LEAST_TABLE * run.column.height {
                    chip(ui, t, pos2(plot.left() + 6.0, y(at) - 4.0), Align2::LEFT_BOTTOM, "pores nearly full up to here");
                }
            }
        }
        parts(ui, t, units, plot, lane);
        for hour in (0..=24_u8).step_by(if plot.width() > 460.0 { 3 } else { 6 }) {
            let at = pos2(x(f64::from(hour)), plot.bottom() + 3.0);
            paint.text(at, Align2::CENTER_TOP, format!("{hour:02}:00"), theme::plain(NOTE), t.quiet);
        }
        paint.rect_stroke(plot, 0, Stroke::new(1.0, t.rule), eframe::egui::StrokeKind::Outside);
        let at = x(self.hour());
        paint.vline(at, plot.y_range(), Stroke::new(3.0, Color32::from_black_alpha(120)));
        paint.vline(at, plot.y_range(), Stroke::new(1.0, Color32::WHITE));
        let at_s = shown.midnight_s() + HOUR_S * self.hour();
        if let Some(hover) = response.hover_pos() {
            let z = run.column.height * f64::from((plot.bottom() - hover.y) / plot.height());
            let hour = 24.0 * f64::from((hover.x - plot.left()) / plot.width());
            let row = run.series.row(shown.midnight_s() + HOUR_S * hour);
            let layer = run.column.layers.iter().position(|l| z <= l.z + 0.5 * l.dz).unwrap_or_default();
            if let Some(value) = row.and_then(|row| self.quantity.value(run, row, layer, units)) {
                let decimals = drawn.scale.decimals() + 1;
                let words = format!("{}, {} up: {value:.decimals$} {}", clock(hour), cm.text(z, units), self.quantity.unit(units));
                response.on_hover_text_at_pointer(words);
            }
        }
        let (low, high) = drawn.scale.ends();
        let row = run.series.row(at_s);
        let value = |layer| self.quantity.value(run, row?, layer, units);
        let fill = |layer| value(layer).map_or(t.night, |v| self.quantity.ramp(t).at(share(v, low, high)));
        let fills: Vec<Color32> = (0..run.column.layers.len()).map(fill).collect();
        let room = Rect::from_min_max(pos2(all.right() - side, plot.top()), pos2(all.right(), plot.bottom()));
        container_view::section(ui.painter(), t, room, lane, run, at_s, scale, &fills);
        if let Some(sample) = run.series.at(at_s) {
            let ec = units::Quantity::Ec.text(sample.root_zone_ec, units);
            let words = format!("water {:.1} %, EC {ec}", 100.0 * sample.water_content);
            let whole = |words: String| ui.painter().layout_no_wrap(words, theme::plain(NOTE), t.ink);
            let line = whole(format!("at {}: {words}", clock(self.hour())));
            // The time stands beside the slider, too: it goes first where there is no room.
            let line = if line.size().x > room.width() { whole(words) } else { line };
            ui.painter().galley(pos2(room.center().x - 0.5 * line.size().x, plot.bottom() + 3.0), line, t.ink);
        }
    }
}

/// Why there is nothing to show, if so.
fn nothing(shown: &Projection) -> Option<&str> {
    if let Some(trouble) = shown.troubles.first().filter(|_| shown.run.lanes.is_empty()) {
        return Some(trouble);
    }
    if shown.is_waiting() {
        return Some("The bench is not computed yet. Its days stand here as soon as they are.");
    }
    if shown.run.lanes.is_empty() {
        return Some("There is no lane on this bench yet. Add one on the Bench page.");
    }
    (!shown.in_full(shown.day)).then_some("The layers of this day are being computed. They stand here in a moment.")
}

/// Heights where parts meet, and their names.
fn parts(ui: &Ui, t: &Tokens, units: Units, plot: Rect, lane: &Lane) {
    let whole = lane.container.height_cm().max(1e-6);
    let y = |z: f64| plot.bottom() - plot.height() * share(z, 0.0, whole);
    let mark = |z: f64| {
        let at = pos2(plot.left() - 6.0, y(z));
        let height = units::Quantity::Length.shown(z, units);
        ui.painter().text(at, Align2::RIGHT_CENTER, format!("{height:.1}"), theme::plain(NOTE), t.quiet);
    };
    let mut base = 0.0;
    mark(base);
    for part in &lane.container.parts {
        base += part.height_cm;
        mark(base);
        if base < whole - 1e-6 {
            ui.painter().hline(plot.x_range(), y(base), Stroke::new(2.0, t.chip_ink));
            ui.painter().hline(plot.x_range(), y(base), Stroke::new(1.0, t.chip));
        }
        chip(ui, t, pos2(plot.right() - 6.0, y(base) + 5.0), Align2::RIGHT_TOP, &part.name);
    }
}

/// A word on a picture, on a ground of its own so that it can be read on any colour.
fn chip(ui: &Ui, t: &Tokens, at: eframe::egui::Pos2, align: Align2, text: &str) {
    let galley = ui.painter().layout_no_wrap(text.to_owned(), theme::plain(NOTE), t.chip_ink);
    let rect = align.anchor_size(at, galley.size() + vec2(8.0, 2.0));
    ui.painter().rect_filled(rect, 3, t.chip.gamma_multiply(0.85));
    ui.painter().galley(rect.min + vec2(4.0, 1.0), galley, t.chip_ink);
}

/// Width of the cross-sections.
fn side_width(page: f32) -> f32 {
    (0.24 * page).clamp(164.0, 320.0)
}

/// Points per cm that let the chosen containers fit, so that sizes can be compared.
fn common_scale(shown: &Projection, chosen: &[usize], width: f32, height: f32) -> f32 {
    let sizes = chosen.iter().filter_map(|i| shown.scenario.lanes.get(*i)).map(|l| container_view::size_cm(&l.container));
    sizes.map(|(w, h)| (width / w).min((height - container_view::PLANT - 6.0) / h)).fold(24.0, f32::min).max(1.0)
}

fn clock(hour: f64) -> String {
    let text = Clock::from_hours((hour * 60.0).floor() / 60.0).to_string();
    text.get(..5).unwrap_or(&text).to_owned()
}
