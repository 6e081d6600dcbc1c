//! *Water in*: events as bars that are moved, sized, added and deleted by mouse and keys.

use eframe::egui::{
    self, Align2, CornerRadius, CursorIcon, EventFilter, Id, Key, Modifiers, Pos2, Rect, Response, Sense, Shape, Stroke, StrokeKind, Ui,
    pos2, vec2,
};

use super::Tracks;
use super::chart::{Chart, label_beside};
use super::curves::hours;
use super::grip::{Grip, Part};
use super::scene::{Scene, day_of};
use crate::app::action::Action;
use crate::app::schedule_edit::{EventEdit, SNAP_ML, SNAP_S, fresh, lasting, snapped};
use crate::app::theme::{self, NOTE};
use crate::scenario::{Event, Give, Scenario};
use crate::units::{Quantity, Units};

/// Least width of a bar, so that a short event can be seen and held.
const BAR: f32 = 6.0;
/// How far around a bar the mouse takes hold of it.
const REACH: f32 = 3.0;
/// How far around the top edge the mouse takes hold of that.
const EDGE: f32 = 5.0;
/// Share of the plot's height that a flood takes: its depth is no volume per plant.
const FLOOD: f32 = 0.55;

/// The widget of an event, by its place in the document's schedule.
#[must_use]
pub fn event_id(index: usize) -> Id {
    Id::unique("event").with(index)
}

impl Tracks {
    /// Draws the track and turns mouse and keys into requests.
    pub(super) fn water_in(&mut self, ui: &mut Ui, scene: &Scene<'_>, plot: Rect, actions: &mut Vec<Action>) {
        // The document's own range, so that the view stands still under a drag.
        let document = scene.bench.document().scenario();
        let chart = range(document, scene.units, plot.height());
        let key = match scene.span == scene.whole {
            true => "drag a bar to move it · its top edge for volume · double-click to add",
            false => "a part of the time: 0, or double-click on the hours, shows all",
        };
        let unit = format!("{} per plant", Quantity::Millilitres.unit(scene.units));
        scene.ground(ui, plot, ["Water in", &unit, key], &chart);
        let per_point = Quantity::Millilitres.data(chart.per_point(plot), scene.units);
        self.worth = (scene.span.hours() / f64::from(plot.width().max(1.0)), per_point);
        self.empty_space(ui, scene, plot, document, actions);
        let mut chip = None;
        for (place, (index, original)) in copies(scene, &document.schedule) {
            let held = self.grip.filter(|g| g.index == index);
            let event = held.and_then(|_| scene.bench.tried_event()).unwrap_or(*original);
            if held.is_some() {
                let ghost = bar(scene, plot, &chart, original, place);
                ui.painter().with_clip_rect(plot).rect_filled(ghost, CornerRadius::same(2), scene.t.ghost(scene.t.event));
            }
            let rect = bar(scene, plot, &chart, &event, place);
            if !place.first && !holdable(scene, plot) {
                paint(ui, scene, plot, rect, &event, scene.bench.selected == Some(index), false);
                continue;
            }
            let (body, top) = hold(ui, plot, rect, index, place, &event, scene.units);
            self.drag(ui, index, original, &body, &top, actions);
            if place.first {
                self.keys(ui, scene, index, original, &body, actions);
            }
            let selected = scene.bench.selected == Some(index) || held.is_some();
            paint(ui, scene, plot, rect, &event, selected, body.has_focus());
            let hovered = body.hovered() || top.hovered();
            if held.is_some() || (self.grip.is_none() && (hovered || body.has_focus())) {
                chip = Some((rect, event));
            }
            body.context_menu(|ui| {
                let delete = ui.button(format!("Delete event {}", original.start));
                if delete.clicked() {
                    actions.push(Action::EditEvent(EventEdit::Delete { index }));
                }
            });
        }
        if chip.is_none() {
            so_far(ui, scene, plot);
        }
        if let Some((rect, event)) = chip {
            reading(ui, scene, plot, rect, &event);
        }
        if document.schedule.is_empty() {
            let text = "no event yet: double-click here to give water";
            ui.painter().text(plot.center(), Align2::CENTER_CENTER, text, theme::plain(NOTE), scene.t.quiet);
        }
    }

    /// Adding: by double-click, or by the menu of empty space.
    fn empty_space(&mut self, ui: &Ui, scene: &Scene<'_>, plot: Rect, document: &Scenario, actions: &mut Vec<Action>) {
        let worth = self.worth;
        let space = ui.interact(plot, Id::unique("water in, empty space"), Sense::CLICK);
        let snap = !ui.input(|i| i.modifiers.alt);
        let fresh_at = |at: Pos2| {
            let hour = scene.span.hour(plot, at.x);
            let start = snapped((hour - hours(day_of(hour))) * 3600.0, SNAP_S, snap);
            let ml = snapped(f64::from(plot.bottom() - at.y) * worth.1, SNAP_ML, snap).max(SNAP_ML);
            fresh(&document.schedule, start, ml)
        };
        if space.double_clicked()
            && let Some(at) = space.interact_pointer_pos()
        {
            actions.push(Action::EditEvent(EventEdit::Add(fresh_at(at))));
        } else if space.clicked() {
            actions.push(Action::Select(None));
        }
        if space.secondary_clicked() {
            self.menu_at = space.interact_pointer_pos();
        }
        space.context_menu(|ui| {
            let Some(at) = self.menu_at else { return };
            let event = fresh_at(at);
            if ui.button(format!("Add event {}", event.start)).clicked() {
                actions.push(Action::EditEvent(EventEdit::Add(event)));
            }
        });
    }

    /// Takes hold of an event, or lets it go.
    fn drag(&mut self, ui: &Ui, index: usize, original: &Event, body: &Response, top: &Response, actions: &mut Vec<Action>) {
        for (response, part) in [(body, Part::Body), (top, Part::Top)] {
            if response.drag_started()
                && let Some(press) = ui.input(|i| i.pointer.press_origin())
            {
                self.grip = Some(Grip { index, part, original: *original, press });
                take_keyboard(body, index, actions);
            }
            if response.drag_stopped() && self.grip.take().is_some() {
                actions.extend([Action::Keep, Action::FocusSelected]);
            }
        }
        if body.clicked() || (body.gained_focus() && self.grip.is_none()) {
            take_keyboard(body, index, actions);
        }
    }

    /// Arrow keys, Delete, and what a screen reader asks for.
    fn keys(&mut self, ui: &Ui, scene: &Scene<'_>, index: usize, event: &Event, body: &Response, actions: &mut Vec<Action>) {
        let id = body.id;
        if scene.bench.selected == Some(index) && self.follow_focus {
            self.follow_focus = false;
            body.request_focus();
        }
        let focused = body.has_focus();
        if focused {
            let filter = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
            ui.memory_mut(|m| m.set_focus_lock_filter(id, filter));
        }
        let mut steps = (0.0, 0.0);
        ui.input_mut(|i| {
            use egui::accesskit::Action as Asked;
            let count = |n: usize| f64::from(u32::try_from(n).unwrap_or(0));
            steps.1 += SNAP_ML * count(i.num_accesskit_action_requests(id, Asked::Increment));
            steps.1 -= SNAP_ML * count(i.num_accesskit_action_requests(id, Asked::Decrement));
            if focused {
                for (modifiers, across, up) in [(Modifiers::ALT, 60.0, 1.0), (Modifiers::NONE, SNAP_S, SNAP_ML)] {
                    let mut key = |key| count(i.count_and_consume_key(modifiers, key));
                    steps.0 += across * (key(Key::ArrowRight) - key(Key::ArrowLeft));
                    steps.1 += up * (key(Key::ArrowUp) - key(Key::ArrowDown));
                }
            }
        });
        if steps.0 != 0.0 {
            actions.push(Action::EditEvent(EventEdit::Move { index, start_s: event.start_s() + steps.0 }));
        } else if steps.1 != 0.0
            && let Some(ml) = event.ml()
        {
            actions.push(Action::EditEvent(EventEdit::Volume { index, ml: (ml + steps.1).max(SNAP_ML) }));
        }
        let nothing_focused = ui.memory(|m| m.focused().is_none());
        let meant = focused || (scene.bench.selected == Some(index) && nothing_focused);
        let delete =
            |i: &mut egui::InputState| i.consume_key(Modifiers::NONE, Key::Delete) || i.consume_key(Modifiers::NONE, Key::Backspace);
        if meant && self.grip.is_none() && ui.input_mut(delete) {
            actions.push(Action::EditEvent(EventEdit::Delete { index }));
        }
    }
}

/// Least width of a day whose copies of events can be held, points: narrower, they lie on one another, and there are many.
const DAY_WIDTH: f64 = 24.0;

/// Whether days are wide enough for the mouse to take hold of events on each.
fn holdable(scene: &Scene<'_>, plot: Rect) -> bool {
    24.0 * f64::from(plot.width()) / scene.span.hours() >= DAY_WIDTH
}

/// Selects an event and gives it the keyboard: of its copies on several days, the first takes it.
fn take_keyboard(body: &Response, index: usize, actions: &mut Vec<Action>) {
    actions.push(Action::Select(Some(index)));
    if body.sense.is_focusable() {
        body.request_focus();
    } else {
        actions.push(Action::FocusSelected);
    }
}

/// One of the days that an event is drawn on.
#[derive(Clone, Copy, Debug)]
struct Place {
    /// The day, from 0.
    day: usize,
    /// Whether it is the first day seen: its copy is the one for keys and screen readers.
    first: bool,
}

/// Every event on every day seen.
fn copies<'a>(scene: &Scene<'_>, schedule: &'a [Event]) -> impl Iterator<Item = (Place, (usize, &'a Event))> {
    let days = scene.span.days().enumerate().map(|(i, day)| Place { day, first: i == 0 });
    days.flat_map(move |place| schedule.iter().enumerate().map(move |event| (place, event)))
}

/// The view's range: room above the largest event.
fn range(scenario: &Scenario, units: Units, height: f32) -> Chart {
    let most = scenario.schedule.iter().filter_map(Event::ml).fold(0.0, f64::max);
    let shown = Quantity::Millilitres.shown((1.25 * most).max(100.0), units);
    Chart::around(0.0, shown, f64::from(height / 36.0))
}

/// Where an event stands.
fn bar(scene: &Scene<'_>, plot: Rect, chart: &Chart, event: &Event, place: Place) -> Rect {
    let x = |s: f64| scene.span.x(plot, hours(place.day) + s / 3600.0);
    let (mut left, mut right) = (x(event.start_s()), x(event.end_s()));
    // Where several days stand side by side, bars of that width would run into one another.
    let least = if scene.span.hours() > 36.0 { 0.5 * BAR } else { BAR };
    if right - left < least {
        let middle = 0.5 * (left + right);
        (left, right) = (middle - 0.5 * least, middle + 0.5 * least);
    }
    let top = match event.give {
        Give::Drip { ml } => chart.y(plot, Quantity::Millilitres.shown(ml, scene.units)).max(plot.top()),
        Give::Flood { .. } => plot.bottom() - FLOOD * plot.height(),
    };
    Rect::from_min_max(pos2(left, top.min(plot.bottom() - 2.0)), pos2(right, plot.bottom()))
}

/// What an event gives, in the units shown.
fn gives(event: &Event, units: Units) -> String {
    match event.give {
        Give::Drip { ml } => Quantity::Millilitres.text(ml, units),
        Give::Flood { depth_cm } => format!("flood {}", Quantity::Length.text(depth_cm, units)),
    }
}

/// The two parts that can be held; the top edge lies over the body.
fn hold(ui: &Ui, plot: Rect, rect: Rect, index: usize, place: Place, event: &Event, units: Units) -> (Response, Response) {
    let id = if place.first { event_id(index) } else { event_id(index).with(place.day) };
    let hit =
        Rect::from_min_max(pos2(rect.left() - REACH, rect.top().min(plot.bottom() - 12.0)), pos2(rect.right() + REACH, rect.bottom()));
    // What is not seen cannot be held, but keys still reach it.
    let hit =
        if hit.intersects(plot) { hit.intersect(plot.expand2(vec2(REACH, 0.0))) } else { Rect::from_min_size(hit.min, vec2(0.0, 0.0)) };
    let sense = if place.first { Sense::click_and_drag() } else { Sense::CLICK | Sense::DRAG };
    let body = ui.interact(hit, id, sense);
    let words = format!("{}, {}", gives(event, units), lasting(event));
    let name = if place.first { format!("Event {}", event.start) } else { format!("Event {} on day {}", event.start, place.day + 1) };
    body.widget_info(|| egui::WidgetInfo::slider(true, event.ml().unwrap_or_default(), name.clone()));
    ui.ctx().accesskit_node_builder(id, |node| {
        node.set_value(words.clone());
        node.add_action(egui::accesskit::Action::Increment);
        node.add_action(egui::accesskit::Action::Decrement);
    });
    let edge = Rect::from_center_size(rect.center_top(), vec2(rect.width() + 2.0 * REACH, 2.0 * EDGE)).intersect(plot.expand(EDGE));
    // A flood has no volume per plant to be dragged; its edge lies where nothing can take it.
    let edge = if event.ml().is_some() && hit.width() > 0.0 { edge } else { Rect::NOTHING };
    let top = ui.interact(edge, id.with("top"), Sense::DRAG).on_hover_cursor(CursorIcon::ResizeVertical);
    (body.on_hover_cursor(CursorIcon::Grab), top)
}

fn paint(ui: &Ui, scene: &Scene<'_>, plot: Rect, rect: Rect, event: &Event, selected: bool, focused: bool) {
    let t = scene.t;
    let paint = ui.painter().with_clip_rect(plot.expand2(vec2(1.0, 6.0)));
    let fill = if selected { t.event_strong } else { t.event };
    let radius = CornerRadius { nw: 2, ne: 2, sw: 0, se: 0 };
    match event.give {
        Give::Drip { .. } => {
            paint.rect_filled(rect, radius, fill);
        }
        Give::Flood { depth_cm } => {
            paint.rect(rect, radius, t.band(fill), Stroke::new(1.5, fill), StrokeKind::Inside);
            let mut y = rect.top() + 5.0;
            while y < rect.bottom() - 2.0 {
                paint.hline(rect.left()..=rect.right(), y, Stroke::new(1.0, fill));
                y += 5.0;
            }
            let text = Quantity::Length.text(depth_cm, scene.units);
            paint.text(rect.center_top() - vec2(0.0, 2.0), Align2::CENTER_BOTTOM, text, theme::plain(10.0), t.quiet);
        }
    }
    if selected && event.ml().is_some() {
        let handle = Rect::from_center_size(rect.center_top(), vec2(rect.width() + 4.0, 5.0));
        paint.rect(handle, CornerRadius::same(2), t.card, Stroke::new(1.5, t.event_strong), StrokeKind::Inside);
    }
    if focused {
        let ring = rect.expand2(vec2(3.0, 0.0)).with_min_y(rect.top() - 5.0);
        paint.add(Shape::rect_stroke(ring, CornerRadius::same(3), Stroke::new(1.5, t.ink), StrokeKind::Outside));
    }
}

/// What has been given up to the time read.
fn so_far(ui: &Ui, scene: &Scene<'_>, plot: Rect) {
    let Some(hour) = scene.cursor else { return };
    let Some(words) = so_far_words(&scene.shown().scenario.schedule, hour, scene.units) else { return };
    label_beside(ui, scene.t, plot, scene.span.x(plot, hour), plot.top() + 9.0, scene.t.quiet, &words);
}

/// What has been given on its day up to an hour; `None` where nothing is given by volume.
pub(super) fn so_far_words(schedule: &[Event], hour: f64, units: Units) -> Option<String> {
    let now = (hour - hours(day_of(hour))) * 3600.0;
    let given = |e: &Event| Some(e.ml()? * ((now - e.start_s()) / f64::from(e.seconds.max(1))).clamp(0.0, 1.0));
    let drips = schedule.iter().filter(|e| e.ml().is_some()).count();
    let sum: f64 = schedule.iter().filter_map(given).sum();
    let how = if drips < schedule.len() { " by drip" } else { "" };
    (drips > 0).then(|| format!("{}{how} so far", Quantity::Millilitres.text(sum, units)))
}

/// What an event is, beside it.
fn reading(ui: &Ui, scene: &Scene<'_>, plot: Rect, rect: Rect, event: &Event) {
    let t = scene.t;
    let ec = event.ec.map_or_else(String::new, |ec| format!(" · EC {}", Quantity::Ec.text(ec, scene.units)));
    let text = format!("{} · {} · {}{ec}", event.start, gives(event, scene.units), lasting(event));
    let paint = ui.painter();
    let label = paint.layout_no_wrap(text, theme::plain(NOTE), t.chip_ink);
    let size = label.size() + vec2(14.0, 8.0);
    let right_of = rect.right() + 12.0;
    let left = if right_of + size.x > plot.right() { rect.left() - 12.0 - size.x } else { right_of };
    let top = (rect.top() - 0.5 * size.y).clamp(plot.top() - 2.0, plot.bottom() - size.y);
    let chip = Rect::from_min_size(pos2(left, top), size);
    paint.rect_filled(chip, CornerRadius::same(4), t.chip);
    paint.galley(chip.center() - 0.5 * label.size(), label, t.chip_ink);
}
