//! Events as bars: where they stand, how they are held, how they look.

use eframe::egui::{
    self, Align2, Color32, CornerRadius, CursorIcon, EventFilter, Id, Rect, Response, Sense, Shape, Stroke, StrokeKind, Ui, pos2, vec2,
};

use super::chart::Chart;
use super::curves::hours;
use super::grip::Worth;
use super::scene::Scene;
use crate::app::look::theme::{self, NOTE};
use crate::edits::lengths::lasting;
use crate::engine::supply::timetable::By;
use crate::scenario::{Event, Give};
use crate::units::{HOUR_S, Quantity, Units};

/// Least width of a bar, so that a short event can be seen and held.
const BAR: f32 = 6.0;
/// How far around a bar the mouse takes hold of it.
const REACH: f32 = 3.0;
/// How far around the top edge the mouse takes hold of that.
const EDGE: f32 = 5.0;
/// Room above the deepest flood, as a factor.
const HEADROOM: f64 = 1.5;

/// The upright ranges of the track: a flood's depth is no volume per plant and has one of its own.
pub struct Ranges {
    /// Volumes of drips, in the unit shown.
    pub volume: Chart,
    /// Depths of floods, in the unit shown.
    depth: Chart,
    /// Floods only: their depths are what the axis marks.
    floods_only: bool,
}

impl Ranges {
    /// Room above the largest event of a schedule.
    #[must_use]
    pub fn of(schedule: &[Event], units: Units, height: f32) -> Self {
        let deepest = |e: &Event| if let Give::Flood { depth_cm } = e.give { depth_cm } else { 0.0 };
        let most = |of: &dyn Fn(&Event) -> f64| schedule.iter().map(of).fold(0.0, f64::max);
        let volume = Quantity::Millilitres.shown((1.25 * most(&|e| e.ml().unwrap_or_default())).max(100.0), units);
        Self {
            volume: Chart::around(0.0, volume, f64::from(height / 36.0)),
            depth: Chart::around(0.0, Quantity::Length.shown((HEADROOM * most(&deepest)).max(0.1), units), f64::from(height / 36.0)),
            floods_only: !schedule.is_empty() && schedule.iter().all(|e| e.ml().is_none()),
        }
    }

    /// The range that the upright axis marks, and its unit.
    #[must_use]
    pub fn axis(&self, units: Units) -> (&Chart, String) {
        if self.floods_only {
            return (&self.depth, format!("{} of flood", Quantity::Length.unit(units)));
        }
        (&self.volume, format!("{} per plant", Quantity::Millilitres.unit(units)))
    }

    /// What a point across (h) and a point up (mL, cm) are worth.
    #[must_use]
    pub fn worth(&self, scene: &Scene<'_>, plot: Rect) -> Worth {
        Worth {
            hours: scene.span.hours() / f64::from(plot.width().max(1.0)),
            ml: Quantity::Millilitres.data(self.volume.per_point(plot), scene.units),
            cm: Quantity::Length.data(self.depth.per_point(plot), scene.units),
        }
    }
}

/// The widget of an event, by its place in the document's schedule.
#[must_use]
pub fn event_id(index: usize) -> Id {
    Id::unique("event").with(index)
}

/// One of the days that an event is drawn on.
#[derive(Clone, Copy, Debug)]
pub struct Place {
    /// The day, from 0.
    pub day: usize,
    /// Whether it is the first day seen: its copy is the one for keys and screen readers.
    pub first: bool,
}

/// Every day seen that goes by the plan on show.
pub fn places(scene: &Scene<'_>) -> impl Iterator<Item = Place> {
    let (plan, scenario, settled) = (scene.bench.plan(), scene.bench.document().scenario(), scene.shown().settled.is_some());
    let mine = scene.span.days().filter(move |day| settled || scenario.plan_on(plan.valve, *day) == plan);
    mine.enumerate().map(|(i, day)| Place { day, first: i == 0 })
}

/// Least width of a day whose copies of events can be held, points: narrower, they lie on one another, and there are many.
const DAY_WIDTH: f64 = 24.0;

/// Whether days are wide enough for the mouse to take hold of events on each.
#[must_use]
pub fn holdable(scene: &Scene<'_>, plot: Rect) -> bool {
    24.0 * f64::from(plot.width()) / scene.span.hours() >= DAY_WIDTH
}

/// Where a bar stands and how it is seen.
pub struct Look {
    /// Where it stands.
    pub rect: Rect,
    /// It is selected or held.
    pub selected: bool,
    /// The keyboard is with it.
    pub focused: bool,
    /// The share that the tank gave of it, where that is less than all.
    pub given: Option<f32>,
    /// It does not come on the day on which it stands.
    pub absent: bool,
}

/// Whether an event comes on a day shown, from 0.
#[must_use]
pub fn comes(scene: &Scene<'_>, event: &Event, day: usize) -> bool {
    event.days.has(scene.shown().day_of_bench(day))
}

/// On which days an event comes, in words, and whether that is one; `None` where it comes every day.
fn days_words(scene: &Scene<'_>, event: &Event, day: usize) -> Option<String> {
    let not = if comes(scene, event, day) { "" } else { ": not on this day" };
    (!event.days.are_all()).then(|| format!("{}{not}", event.days))
}

/// The share (0 to below 1) that the tank gave of a clock event on a day, from 0; `None` where it gave all, or does not give it.
#[must_use]
pub fn fell_short(scene: &Scene<'_>, event: &Event, day: usize) -> Option<f32> {
    let pump =
        scene.shown().pump_day(scene.bench.valve(), day).filter(|d| d.short > 0 && event.ec.is_none() && comes(scene, event, day))?;
    let Some(call) = pump.calls.iter().find(|c| matches!(c.by, By::Clock(_)) && c.wanted.start == event.start) else {
        return Some(0.0);
    };
    let share = call.event.ml()? / event.ml()?;
    #[allow(clippy::cast_possible_truncation)]
    (share < 0.999).then_some(share as f32)
}

/// What the tank gave of an event, in words, where that is less than all.
fn given_words(scene: &Scene<'_>, event: &Event, day: usize) -> Option<String> {
    let share = f64::from(fell_short(scene, event, day)?);
    Some(match event.ml() {
        Some(ml) if share > 0.0 => format!("the tank gave {}", Quantity::Millilitres.text(share * ml, scene.units)),
        _ => "the tank was empty: nothing given".to_owned(),
    })
}

/// The parts of a bar that can be held.
pub struct Held {
    /// The bar; it takes the keyboard, too.
    pub body: Response,
    /// Its top edge.
    pub top: Response,
    /// Its right edge.
    pub end: Response,
}

/// Where an event stands on a day, from 0.
#[must_use]
pub fn bar(scene: &Scene<'_>, plot: Rect, ranges: &Ranges, event: &Event, day: usize) -> Rect {
    let x = |s: f64| scene.span.x(plot, hours(day) + s / HOUR_S);
    let (mut left, mut right) = (x(event.start_s()), x(event.end_s()));
    // Where several days stand side by side, bars of that width would run into one another.
    let least = if scene.span.hours() > 36.0 { 0.5 * BAR } else { BAR };
    if right - left < least {
        let middle = 0.5 * (left + right);
        (left, right) = (middle - 0.5 * least, middle + 0.5 * least);
    }
    let top = match event.give {
        Give::Drip { ml } => ranges.volume.y(plot, Quantity::Millilitres.shown(ml, scene.units)),
        Give::Flood { depth_cm } => ranges.depth.y(plot, Quantity::Length.shown(depth_cm, scene.units)),
    };
    let top = top.max(plot.top());
    Rect::from_min_max(pos2(left, top.min(plot.bottom() - 2.0)), pos2(right, plot.bottom()))
}

/// What an event gives, in the units shown.
#[must_use]
pub fn gives(event: &Event, units: Units) -> String {
    match event.give {
        Give::Drip { ml } => Quantity::Millilitres.text(ml, units),
        Give::Flood { depth_cm } => format!("flood {}", Quantity::Length.text(depth_cm, units)),
    }
}

/// What an event gives for its EC, if that is its own.
#[must_use]
pub fn own_ec(event: &Event, units: Units) -> Option<String> {
    event.ec.map(|ec| if ec == 0.0 { "plain water".to_owned() } else { format!("EC {}", Quantity::Ec.text(ec, units)) })
}

/// Makes a bar something to hold and to name. `index` is its place in the schedule, `count` how many there are.
pub fn hold(ui: &Ui, scene: &Scene<'_>, plot: Rect, rect: Rect, (index, count): (usize, usize), place: Place, event: &Event) -> Held {
    let units = scene.units;
    let id = if place.first { event_id(index) } else { event_id(index).with(place.day) };
    let low_top = rect.top().min(plot.bottom() - 12.0);
    let hit = Rect::from_min_max(pos2(rect.left() - REACH, low_top), pos2(rect.right() + REACH, rect.bottom()));
    // What is not seen cannot be held, but keys still reach it.
    let seen = hit.intersects(plot);
    let hit = if seen { hit.intersect(plot.expand2(vec2(REACH, 0.0))) } else { Rect::from_min_size(hit.min, vec2(0.0, 0.0)) };
    let sense = if place.first { Sense::click_and_drag() } else { Sense::CLICK | Sense::DRAG };
    let body = ui.interact(hit, id, sense);
    let ec = own_ec(event, units).map_or_else(String::new, |ec| format!(", {ec}"));
    let tank = given_words(scene, event, place.day).map_or_else(String::new, |words| format!(", {words}"));
    let days = days_words(scene, event, place.day).map_or_else(String::new, |words| format!(", {words}"));
    let words = format!("{} over {}{ec}{days}{tank}", gives(event, units), lasting(event));
    let name = if place.first { format!("Event {}", event.start) } else { format!("Event {} on day {}", event.start, place.day + 1) };
    body.widget_info(|| egui::WidgetInfo::slider(true, event.ml().unwrap_or_default(), name.clone()));
    ui.ctx().accesskit_node_builder(id, |node| {
        node.set_value(words);
        node.set_description(format!("{} of {count}", index + 1));
        node.add_action(egui::accesskit::Action::Increment);
        node.add_action(egui::accesskit::Action::Decrement);
    });
    if body.has_focus() {
        // Or arrow keys would carry the keyboard away.
        let filter = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
        ui.memory_mut(|m| m.set_focus_lock_filter(id, filter));
    }
    let edge = Rect::from_center_size(rect.center_top(), vec2(rect.width() + 2.0 * REACH, 2.0 * EDGE)).intersect(plot.expand(EDGE));
    let edge = if seen { edge } else { Rect::NOTHING };
    let top = ui.interact(edge, id.with("top"), Sense::DRAG).on_hover_cursor(CursorIcon::ResizeVertical);
    let side = Rect::from_min_max(pos2(rect.right(), rect.top() + EDGE), pos2(rect.right() + REACH + 1.0, rect.bottom()));
    let side = if seen { side.intersect(plot.expand2(vec2(REACH + 1.0, 0.0))) } else { Rect::NOTHING };
    let end = ui.interact(side, id.with("end"), Sense::DRAG).on_hover_cursor(CursorIcon::ResizeHorizontal);
    Held { body: body.on_hover_cursor(CursorIcon::Grab), top, end }
}

/// Draws a bar.
pub fn paint(ui: &Ui, scene: &Scene<'_>, plot: Rect, event: &Event, look: &Look) {
    let (t, rect) = (scene.t, look.rect);
    let paint = ui.painter().with_clip_rect(plot.expand2(vec2(1.0, 6.0)));
    let fill = if look.selected { t.event_strong } else { t.event };
    let radius = CornerRadius { nw: 2, ne: 2, sw: 0, se: 0 };
    match event.give {
        // So that it can be found and held all the same.
        _ if look.absent => {
            paint.rect_stroke(rect, radius, Stroke::new(1.0, if look.selected { t.event_strong } else { t.quiet }), StrokeKind::Inside);
        }
        // An event with an EC of its own is hollow.
        Give::Drip { .. } if event.ec.is_some() => {
            paint.rect(rect, radius, t.card, Stroke::new(1.5, fill), StrokeKind::Inside);
        }
        Give::Drip { .. } if look.given.is_some() => {
            let top = rect.bottom() - look.given.unwrap_or_default() * rect.height();
            paint.rect_filled(rect.with_min_y(top), CornerRadius::ZERO, fill);
            paint.rect_stroke(rect, radius, Stroke::new(1.0, t.attention), StrokeKind::Inside);
        }
        Give::Drip { .. } => {
            paint.rect_filled(rect, radius, fill);
        }
        Give::Flood { .. } if look.given.is_some() => {
            paint.rect_stroke(rect, radius, Stroke::new(1.0, t.attention), StrokeKind::Inside);
        }
        Give::Flood { .. } => {
            let ground = if event.ec.is_some() { t.card } else { t.band(fill) };
            paint.rect(rect, radius, ground, Stroke::new(1.5, fill), StrokeKind::Inside);
            let mut y = rect.top() + 5.0;
            while y < rect.bottom() - 2.0 {
                paint.hline(rect.x_range(), y, Stroke::new(1.0, fill));
                y += 5.0;
            }
        }
    }
    if look.selected {
        let handle = Rect::from_center_size(rect.center_top(), vec2(rect.width() + 4.0, 5.0));
        paint.rect(handle, CornerRadius::same(2), t.card, Stroke::new(1.5, t.event_strong), StrokeKind::Inside);
    }
    if look.focused {
        let ring = rect.expand2(vec2(3.0, 0.0)).with_min_y(rect.top() - 5.0);
        paint.add(Shape::rect_stroke(ring, CornerRadius::same(3), Stroke::new(1.5, t.ink), StrokeKind::Outside));
    }
}

/// The words above a bar: a flood's depth, an EC of its own. Left out where a neighbour or its words leave no room;
/// `taken` is what must stay free, and grows.
pub fn mark(ui: &Ui, scene: &Scene<'_>, plot: Rect, rect: Rect, event: &Event, taken: &mut Vec<Rect>) {
    let units = scene.units;
    let depth = event.ml().is_none().then(|| gives(event, units).replace("flood ", ""));
    let days = (!event.days.are_all()).then(|| format!("every {} d", event.days.every));
    let parts: Vec<String> = depth.into_iter().chain(own_ec(event, units).map(|e| e.replace(" mS/cm", ""))).chain(days).collect();
    if parts.is_empty() {
        return;
    }
    let label = ui.painter().layout_no_wrap(parts.join(", "), theme::plain(10.0), scene.t.quiet);
    let at = Rect::from_center_size(rect.center_top() - vec2(0.0, 13.0), label.size());
    let at = if at.top() < plot.top() { at.translate(vec2(0.0, plot.top() - at.top())) } else { at };
    if rect.intersects(plot) && taken.iter().all(|o| *o == rect || !o.expand(2.0).intersects(at)) {
        taken.push(at);
        ui.painter().galley(at.min, label, scene.t.quiet);
    }
}

/// An event that a series would add: an outline.
pub fn paint_wanted(ui: &Ui, scene: &Scene<'_>, plot: Rect, rect: Rect) {
    let stroke = Stroke::new(1.0, scene.t.event_strong);
    ui.painter().with_clip_rect(plot).rect(rect, CornerRadius::same(1), scene.t.band(scene.t.event), stroke, StrokeKind::Inside);
}

/// An event that is not edited here: called for by a rule (with a dot), or of another plan (paler).
pub fn paint_called(ui: &Ui, scene: &Scene<'_>, plot: Rect, rect: Rect, by_rule: bool, of_this_plan: bool) {
    let t = scene.t;
    let paint = ui.painter().with_clip_rect(plot.expand2(vec2(1.0, 6.0)));
    let stroke = Stroke::new(1.0, if of_this_plan { t.event_strong } else { t.event });
    paint.rect(rect, CornerRadius::same(1), t.band(t.event), stroke, StrokeKind::Inside);
    if by_rule {
        paint.circle_filled(rect.center_top() - vec2(0.0, 4.0), 2.0, t.event_strong);
    }
}

/// An event as it was, or one that a change would take out.
pub fn paint_ghost(ui: &Ui, plot: Rect, rect: Rect, colour: Color32) {
    ui.painter().with_clip_rect(plot).rect_filled(rect, CornerRadius::same(2), colour);
}

/// What an event is on a day (from 0), beside it, and how many are selected with it.
pub fn reading(ui: &Ui, scene: &Scene<'_>, plot: Rect, rect: Rect, (event, day): (&Event, usize), together: &[Event]) {
    let units = scene.units;
    let ec = own_ec(event, units).map_or_else(String::new, |ec| format!(" · {ec}"));
    let of = match together.len() {
        0 | 1 => String::new(),
        n => {
            let sum: f64 = together.iter().filter_map(Event::ml).sum();
            let sum = if sum > 0.0 { format!(", {} together", Quantity::Millilitres.text(sum, units)) } else { String::new() };
            format!(" · one of {n}{sum}")
        }
    };
    let tank = given_words(scene, event, day).map_or_else(String::new, |words| format!(" · {words}"));
    let days = days_words(scene, event, day).map_or_else(String::new, |words| format!(" · {words}"));
    told(ui, scene, plot, rect, &format!("{} · {} · {}{ec}{days}{of}{tank}", event.start, gives(event, units), lasting(event)));
}

/// A line about a bar, beside it.
pub fn told(ui: &Ui, scene: &Scene<'_>, plot: Rect, rect: Rect, text: &str) {
    let t = scene.t;
    let paint = ui.painter();
    let label = paint.layout_no_wrap(text.to_owned(), theme::plain(NOTE), t.chip_ink);
    let size = label.size() + vec2(14.0, 8.0);
    let right_of = rect.right() + 12.0;
    let left = if right_of + size.x > plot.right() { rect.left() - 12.0 - size.x } else { right_of };
    // A long line does not run out of the track on either side.
    let left = left.min(plot.right() - size.x).max(plot.left());
    // Above the other bars, not over them.
    let chip = Rect::from_min_size(pos2(left, plot.top() + 2.0), size);
    paint.rect_filled(chip, CornerRadius::same(4), t.chip);
    paint.galley(chip.center() - 0.5 * label.size(), label, t.chip_ink);
}

/// What there is to read on an empty schedule.
pub fn empty(ui: &Ui, scene: &Scene<'_>, plot: Rect) {
    let lines = [
        (theme::strong(NOTE + 0.5), "No water is given yet", scene.t.ink),
        (theme::plain(NOTE), "Double-click here, or press Insert, to add an event. Ctrl+R adds a series.", scene.t.quiet),
    ];
    for (i, (font, text, colour)) in lines.into_iter().enumerate() {
        let at = plot.center() + vec2(0.0, if i == 0 { -9.0 } else { 9.0 });
        ui.painter().text(at, Align2::CENTER_CENTER, text, font, colour);
    }
}
