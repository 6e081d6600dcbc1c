//! The strip of days above the tracks: a cell for each day of a run of several, and one for the settled day.
//!
//! This file places the cells and takes clicks and keys, `cell.rs` paints one, `words.rs` says what they tell. What a day comes to is a
//! `DaySummary`: its light, the figures of each lane and the `DayState`. It is computed when it is first asked for and kept, so that a drag
//! pays for the days in sight and a year for no more than is looked at. While a change is tried the cells are of the run tried. Days that do
//! not fit are scrolled, and only those in sight are laid out. Tab stops at one cell, the day shown; arrows, Home and End go on from there.

mod cell;
mod strip;
mod words;

use eframe::egui::{
    Align2, CornerRadius, EventFilter, Grid, Id, Key, Modifiers, Rect, Response, RichText, ScrollArea, Sense, Stroke, StrokeKind, Tooltip,
    Ui, WidgetInfo, accesskit::Role, pos2, vec2,
};

use self::cell::{Cell, HEIGHT, ROWS};
use self::strip::Strip;
use crate::app::actions::action::Action;
use crate::app::look::theme::{self, NOTE, Tokens};
use crate::app::state::bench::Bench;
use crate::app::state::days::Days;
use crate::app::state::sides::StripWanted;
use crate::edits::plan_edit;

/// Room left of the cells for what their lines are.
const HEADS: f32 = 60.0;
/// Between two cells.
const GAP: f32 = 4.0;
/// Least and most width of a cell: seven and the settled day stand between both sides of a window of 1280 points.
const WIDTHS: (f32, f32) = (74.0, 128.0);
/// Room for the bar below cells that have to be scrolled.
const BAR: f32 = 10.0;
/// Lanes that a tooltip has columns for.
const COLUMNS: usize = 5;

/// What the strip remembers between frames.
#[derive(Debug, Default)]
pub struct DayStrip {
    /// Whether it is wanted.
    pub wanted: StripWanted,
    /// How far the days are scrolled, points.
    offset: f32,
    /// The days that were shown in the last frame and the room for them: others, or in other room, are scrolled to.
    seen: Option<(Days, f32)>,
    /// A cell was clicked: the keyboard goes to the strip with the next frame. In the same one, a cell drawn after it would give the
    /// keyboard up, because the click was elsewhere.
    clicked: bool,
}

impl DayStrip {
    /// Draws the strip where there are several days to choose from, and takes no room otherwise.
    pub fn show(&mut self, ui: &mut Ui, t: &Tokens, bench: &Bench, actions: &mut Vec<Action>) {
        let run = bench.plain();
        if !self.wanted.shown || run.days() < 2 || run.run.lanes.is_empty() {
            return;
        }
        let days = run.days();
        let room = ui.available_width();
        #[allow(clippy::cast_precision_loss)]
        let (count, gaps) = (days as f32, days as f32 * GAP);
        let width = ((room - HEADS - gaps) / (count + 1.0)).clamp(WIDTHS.0, WIDTHS.1).floor();
        let for_days = (room - HEADS - width - GAP).max(width);
        let all_days = count * (width + GAP) - GAP;
        let scrolls = all_days > for_days + 0.5;
        let marked = match bench.days() {
            Days::One(_) => Some(run.day),
            Days::Settled => Some(days),
            Days::All => None,
        };
        if std::mem::take(&mut self.clicked) {
            ui.memory_mut(|m| m.request_focus(stop_id()));
        }
        let strip = Strip { t, bench, days, width, marked };
        let (area, _) = ui.allocate_exact_size(vec2(room, HEIGHT + if scrolls { BAR } else { 0.0 }), Sense::hover());
        heads(ui, &strip, area, actions);
        let from = area.left() + HEADS;
        let middle = Rect::from_min_max(pos2(from, area.top()), pos2(from + for_days.min(all_days), area.bottom()));
        if scrolls {
            self.scrolled(ui, &strip, middle, (room, all_days), actions);
        } else {
            for day in 0..days {
                self.clicked |= strip.place(ui, day, strip.rect(middle.min, day), marked.unwrap_or(0), actions);
            }
        }
        self.seen = Some((bench.days(), room));
        let last = Rect::from_min_size(pos2(middle.right() + GAP, area.top()), vec2(width, HEIGHT));
        self.clicked |= strip.place(ui, days, last, marked.unwrap_or(0), actions);
    }

    /// Days that do not all fit: only those in sight are laid out.
    fn scrolled(&mut self, ui: &mut Ui, strip: &Strip<'_>, middle: Rect, (room, all_days): (f32, f32), actions: &mut Vec<Action>) {
        let mut area = ScrollArea::horizontal().id_salt("days").auto_shrink(false).content_margin(0);
        if self.seen != Some((strip.bench.days(), room))
            && let Some(day) = strip.marked.filter(|day| *day < strip.days)
        {
            let cell = strip.rect(pos2(0.0, 0.0), day);
            self.offset = self.offset.max(cell.right() - middle.width()).min(cell.left());
            area = area.horizontal_scroll_offset(self.offset);
        }
        let mut inside = ui.new_child(eframe::egui::UiBuilder::new().max_rect(middle));
        inside.style_mut().always_scroll_the_only_direction = true;
        let shown = area.show_viewport(&mut inside, |ui, seen| {
            ui.set_min_size(vec2(all_days, HEIGHT));
            let origin = ui.min_rect().min;
            let from_left = |day: usize| strip.rect(pos2(0.0, 0.0), day).x_range();
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let first = (seen.left().max(0.0) / (strip.width + GAP)) as usize;
            let in_sight: Vec<usize> = (first..strip.days).take_while(|day| from_left(*day).intersects(seen.x_range())).collect();
            // Where the day shown is out of sight, Tab goes to the first that is whole.
            let whole = in_sight.iter().copied().find(|day| from_left(*day).min >= seen.left() - 0.5);
            let marked = strip.marked.filter(|m| *m == strip.days || in_sight.contains(m));
            let stop = marked.or(whole).unwrap_or(first);
            for day in in_sight {
                self.clicked |= strip.place(ui, day, strip.rect(origin, day), stop, actions);
            }
        });
        self.offset = shown.state.clamped_offset().x;
    }
}

impl Strip<'_> {
    /// Draws a cell and takes what is asked of it; tells whether it was clicked. `stop`: the place that Tab goes to.
    fn place(&self, ui: &Ui, place: usize, rect: Rect, stop: usize, actions: &mut Vec<Action>) -> bool {
        // Tab goes to one cell and arrows go on from there. Whichever it is, it has one id: the keyboard stays with it while the days
        // change under it, however fast keys come.
        let (id, sense) =
            if place == stop { (stop_id(), Sense::click()) } else { (Id::unique("day of the strip").with(place), Sense::CLICK) };
        let response = ui.interact(rect, id, sense);
        let cell = Cell::new(self, place);
        let on = self.marked == Some(place);
        response.widget_info(|| WidgetInfo::selected(Role::RadioButton, true, on, &cell.name));
        ui.ctx().accesskit_node_builder(id, |node| node.set_value(words::all(self.bench, place, self.days)));
        cell.paint(ui, self, rect, on, response.hovered() || response.has_focus());
        let clicked = response.clicked();
        if clicked && !on {
            actions.push(self.shows(place));
        }
        if response.has_focus()
            && let Some(to) = asked(ui, id, self.marked.unwrap_or(place), self.days)
        {
            actions.push(self.shows(to));
        }
        if place < self.days {
            response.context_menu(|ui| self.menu(ui, place, actions));
        }
        told(self, place, &response);
        clicked
    }

    /// What can be done with a day: another schedule begins on it, or goes again.
    fn menu(&self, ui: &mut Ui, day: usize, actions: &mut Vec<Action>) {
        let scenario = self.bench.document().scenario();
        let plan = scenario.plan_on(self.bench.valve(), day);
        let edit = if plan_edit::can_begin(scenario, plan.valve, day) {
            ui.button(format!("Another schedule from day {}", day + 1)).clicked().then(|| plan_edit::begun(scenario, plan.valve, day))
        } else if plan.number > 0 {
            ui.button(format!("Drop the schedule from day {} on", day + 1)).clicked().then(|| plan_edit::dropped(scenario, plan))
        } else {
            ui.label("The run begins with this day.");
            None
        };
        if let Some((name, after)) = edit {
            actions.extend([self.shows(day), Action::SetField(name, Box::new(after))]);
        }
    }

    /// Where a day's cell stands, from the first one's corner.
    fn rect(&self, first: eframe::egui::Pos2, day: usize) -> Rect {
        #[allow(clippy::cast_precision_loss)]
        let by = day as f32 * (self.width + GAP);
        Rect::from_min_size(first + vec2(by, 0.0), vec2(self.width, HEIGHT))
    }

    fn shows(&self, place: usize) -> Action {
        Action::ShowDays(if place < self.days { Days::One(place) } else { Days::Settled })
    }
}

/// The cell that Tab goes to.
fn stop_id() -> Id {
    Id::unique("the day of the strip that has the keyboard")
}

/// The place that keys ask for: arrows go by a day and on to the settled day, Home and End to the run's first and last.
fn asked(ui: &Ui, id: Id, place: usize, days: usize) -> Option<usize> {
    let filter = EventFilter { horizontal_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|m| m.set_focus_lock_filter(id, filter));
    let to = ui.input_mut(|i| {
        let mut times = |key| i.count_and_consume_key(Modifiers::NONE, key);
        let (home, end) = (times(Key::Home), times(Key::End));
        let from = if home > 0 { 0 } else { place };
        let from = if end > 0 { days - 1 } else { from };
        (from + times(Key::ArrowRight)).min(days).saturating_sub(times(Key::ArrowLeft))
    });
    (to != place).then_some(to)
}

/// What the lines of the cells are, and the choice of all days.
fn heads(ui: &Ui, strip: &Strip<'_>, area: Rect, actions: &mut Vec<Action>) {
    let t = strip.t;
    let on = strip.bench.days() == Days::All;
    let rect = Rect::from_min_size(area.min + vec2(0.0, 1.0), vec2(HEADS - 4.0, ROWS[0] + 2.0));
    let response = ui.interact(rect, Id::unique("all days of the strip"), Sense::click());
    let name = format!("All {} days side by side", strip.days);
    response.widget_info(|| WidgetInfo::selected(Role::RadioButton, true, on, &name));
    let fill = if on { t.card } else { t.paper };
    let fill = if response.hovered() || response.has_focus() { t.night } else { fill };
    let line = if on { Stroke::new(1.5, t.ink) } else { Stroke::new(1.0, t.rule) };
    ui.painter().rect(rect, CornerRadius::same(4), fill, line, StrokeKind::Inside);
    ui.painter().text(rect.center(), Align2::CENTER_CENTER, "All days", theme::plain(NOTE - 0.5), t.ink);
    if response.clicked() && !on {
        actions.push(Action::ShowDays(Days::All));
    }
    response.on_hover_text(format!("Show {name} on the tracks"));
    for (line, text) in words::heads(strip.bench).into_iter().enumerate() {
        let y = area.top() + cell::row(line + 1);
        ui.painter().text(pos2(area.left() + 2.0, y), Align2::LEFT_CENTER, text, theme::plain(NOTE - 0.5), t.quiet);
    }
}

/// All figures of a day, as a tooltip of what the pointer is on. The keyboard is with the day shown, whose figures stand at the right
/// and in the cell's value: a tooltip of it would lie over the tracks.
fn told(strip: &Strip<'_>, place: usize, response: &Response) {
    Tooltip::for_enabled(response).width(560.0).show(|ui| {
        let small = |text: &str, colour| RichText::new(text).size(NOTE).color(colour);
        ui.label(RichText::new(words::title(strip.bench, place, strip.days)).font(theme::strong(NOTE + 0.5)));
        let more = [words::under(strip.bench, place, strip.days), words::tank(strip.bench, place, strip.days)];
        for line in more.into_iter().flatten() {
            ui.label(small(&line, strip.t.quiet));
        }
        let table = words::table(strip.bench, place, strip.days);
        Grid::new("all figures").min_row_height(0.0).spacing([14.0, 1.0]).show(ui, |ui| {
            ui.label("");
            for lane in table.lanes.iter().take(COLUMNS) {
                ui.label(small(lane, strip.t.ink));
            }
            ui.end_row();
            for (name, values) in &table.rows {
                ui.label(small(name, strip.t.quiet));
                for value in values.iter().take(COLUMNS) {
                    ui.label(small(value, strip.t.ink));
                }
                ui.end_row();
            }
        });
        if table.lanes.len() > COLUMNS {
            let more = format!("and {} lanes more: show the day to read them at the right", table.lanes.len() - COLUMNS);
            ui.label(small(&more, strip.t.quiet));
        }
    });
}
