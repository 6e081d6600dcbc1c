//! *Water in*: events as bars that are moved, sized, added and deleted by mouse and keys.

use eframe::egui::{
    self, Align2, CornerRadius, CursorIcon, EventFilter, Id, Key, Modifiers, Pos2, Rect, Response, Sense, Shape, Stroke, StrokeKind, Ui,
    pos2, vec2,
};

use super::chart::{Chart, label_beside};
use super::grip::{Grip, Part};
use super::{Scene, Tracks, ground};
use crate::app::action::Action;
use crate::app::event_set::{self, SetEdit};
use crate::app::menu::{ALL, DUPLICATE};
use crate::app::schedule_edit::{EventEdit, SNAP_ML, SNAP_S, fresh, given, lasting, snapped};
use crate::app::theme::{self, NOTE};
use crate::scenario::{Event, Give, Scenario};

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
        let chart = range(document, plot.height());
        let key = "drag a bar to move it · its top edge for volume · double-click to add";
        ground(ui, scene, plot, ["Water in", "mL per plant", key], &chart);
        let transform = chart.plot(ui, "water in", plot, |_| {});
        let [per_hour, per_ml] = transform.dpos_dvalue();
        self.worth = (1.0 / per_hour.abs().max(1e-9), 1.0 / per_ml.abs().max(1e-9));
        self.empty_space(ui, plot, &chart, document, actions);
        let mut chip = None;
        for (index, original) in document.schedule.iter().enumerate() {
            let picked = scene.bench.picked().contains(&index);
            let held = self.grip.filter(|g| g.index == index || (g.group && picked));
            let event = held.and_then(|_| scene.bench.tried(index)).unwrap_or(*original);
            if held.is_some() {
                let ghost = bar(plot, &chart, original);
                ui.painter().rect_filled(ghost, CornerRadius::same(2), scene.t.ghost(scene.t.event));
            }
            let rect = bar(plot, &chart, &event);
            let (body, top, end) = hold(ui, plot, rect, index, &event);
            self.drag(ui, scene, index, original, [&body, &top, &end], actions);
            self.keys(ui, scene, index, original, &body, actions);
            let selected = picked || held.is_some();
            paint(ui, scene, plot, rect, &event, selected, body.has_focus());
            let hovered = body.hovered() || top.hovered() || end.hovered();
            if self.grip.is_some_and(|g| g.index == index) || (self.grip.is_none() && (hovered || body.has_focus())) {
                chip = Some((rect, event));
            }
            body.context_menu(|ui| {
                if ui.button("Give plain water (EC 0.3)").clicked() {
                    actions.extend([Action::Pick(together(scene, index)), Action::EditSet(SetEdit::Ec(Some(0.3)))]);
                }
                if ui.button("Give the feed").clicked() {
                    actions.extend([Action::Pick(together(scene, index)), Action::EditSet(SetEdit::Ec(None))]);
                }
                let (kind, give) = match original.give {
                    Give::Drip { .. } => ("Make it a flood of 3 cm", Give::Flood { depth_cm: 3.0 }),
                    Give::Flood { .. } => ("Make it a drip of 100 mL", Give::Drip { ml: 100.0 }),
                };
                if ui.button(kind).clicked() {
                    actions.extend([Action::Pick(together(scene, index)), Action::EditSet(SetEdit::Give(give))]);
                }
                let delete = ui.button(format!("Delete event {}", original.start));
                if delete.clicked() {
                    actions.push(Action::EditEvent(EventEdit::Delete { index }));
                }
            });
        }
        self.set_keys(ui, scene, actions);
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
    fn empty_space(&mut self, ui: &Ui, plot: Rect, chart: &Chart, document: &Scenario, actions: &mut Vec<Action>) {
        let worth = self.worth;
        let space = ui.interact(plot, Id::unique("water in, empty space"), Sense::CLICK | Sense::DRAG);
        let snap = !ui.input(|i| i.modifiers.alt);
        let fresh_at = |at: Pos2| {
            let start = snapped(f64::from(at.x - plot.left()) * worth.0 * 3600.0, SNAP_S, snap);
            let ml = snapped(f64::from(plot.bottom() - at.y) * worth.1, SNAP_ML, snap).max(SNAP_ML);
            fresh(&document.schedule, start, ml)
        };
        self.select_box(ui, &space, plot, chart, document, actions);
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
    fn drag(&mut self, ui: &Ui, scene: &Scene<'_>, index: usize, original: &Event, parts: [&Response; 3], actions: &mut Vec<Action>) {
        let [body, top, end] = parts;
        for (response, part) in [(body, Part::Body), (top, Part::Top), (end, Part::End)] {
            if response.drag_started()
                && let Some(press) = ui.input(|i| i.pointer.press_origin())
            {
                let group = part == Part::Body && scene.bench.picked().len() > 1 && scene.bench.picked().contains(&index);
                self.grip = Some(Grip { index, part, original: *original, group, press });
                if !group {
                    body.request_focus();
                    actions.push(Action::Select(Some(index)));
                }
            }
            if response.drag_stopped() && self.grip.take().is_some() {
                actions.extend([Action::Keep, Action::FocusSelected]);
            }
        }
        let several = scene.bench.picked().contains(&index) && scene.bench.picked().len() > 1;
        if body.clicked() {
            body.request_focus();
            let modifiers = ui.input(|i| i.modifiers);
            actions.push(Action::Pick(if modifiers.shift {
                let from = scene.bench.selected.unwrap_or(index);
                (from.min(index)..=from.max(index)).collect()
            } else if modifiers.command {
                let mut set = scene.bench.picked().to_vec();
                if several {
                    set.retain(|i| *i != index);
                } else {
                    set.push(index);
                }
                set
            } else {
                vec![index]
            }));
        } else if body.gained_focus() && self.grip.is_none() && !several && !ui.input(|i| i.pointer.any_down() || i.pointer.any_released())
        {
            actions.push(Action::Select(Some(index)));
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
        if steps.0 != 0.0 && scene.bench.picked().len() > 1 {
            actions.push(Action::EditSet(SetEdit::Move { by_s: steps.0 }));
        } else if steps.0 != 0.0 {
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
            actions.push(if scene.bench.picked().len() > 1 {
                Action::EditSet(SetEdit::Delete)
            } else {
                Action::EditEvent(EventEdit::Delete { index })
            });
        }
    }

    /// A box drawn over empty space selects the events it touches.
    fn select_box(&mut self, ui: &Ui, space: &Response, plot: Rect, chart: &Chart, document: &Scenario, actions: &mut Vec<Action>) {
        if space.drag_started() {
            self.box_from = ui.input(|i| i.pointer.press_origin());
        }
        let (Some(from), Some(to)) = (self.box_from, ui.input(|i| i.pointer.latest_pos())) else { return };
        let area = Rect::from_two_pos(from, to).intersect(plot);
        let t = theme::Tokens::now(ui.ctx());
        ui.painter().rect(area, CornerRadius::ZERO, t.band(t.event), Stroke::new(1.0, t.event_strong), StrokeKind::Inside);
        if space.drag_stopped() {
            self.box_from = None;
            let touched = document.schedule.iter().enumerate().filter(|(_, e)| bar(plot, chart, e).intersects(area));
            let mut set: Vec<usize> = touched.map(|(i, _)| i).collect();
            if set.is_empty() {
                actions.push(Action::Select(None));
                return;
            }
            set.sort_unstable();
            actions.extend([Action::Pick(set), Action::FocusSelected]);
        }
    }

    /// Keys that are about all selected events: select all, duplicate, copy, cut, paste.
    fn set_keys(&mut self, ui: &Ui, scene: &Scene<'_>, actions: &mut Vec<Action>) {
        // A field being typed in has its own.
        if ui.ctx().text_edit_focused() || self.grip.is_some() || egui::Popup::is_any_open(ui.ctx()) {
            return;
        }
        let schedule = &scene.bench.document().scenario().schedule;
        let chosen: Vec<Event> = scene.bench.picked().iter().filter_map(|i| schedule.get(*i).copied()).collect();
        let at = self.cursor.map(|hour| snapped(hour * 3600.0, SNAP_S, true));
        let mut copied = None;
        ui.input_mut(|i| {
            if i.consume_shortcut(&ALL) {
                actions.extend([Action::Pick((0..schedule.len()).collect()), Action::FocusSelected]);
            }
            if i.consume_shortcut(&DUPLICATE) {
                actions.push(Action::EditSet(SetEdit::Duplicate(SNAP_S)));
            }
            for event in &i.events {
                match event {
                    egui::Event::Copy | egui::Event::Cut if !chosen.is_empty() => {
                        copied = Some(event_set::to_text(&chosen));
                        if matches!(event, egui::Event::Cut) {
                            actions.push(Action::EditSet(SetEdit::Delete));
                        }
                    }
                    egui::Event::Paste(text) => actions.push(match event_set::from_text(text) {
                        Ok(events) => Action::EditSet(SetEdit::Paste(events, at)),
                        Err(why) => Action::Tell(why),
                    }),
                    _ => {}
                }
            }
        });
        if let Some(text) = copied {
            ui.ctx().copy_text(text);
        }
    }
}

/// The events that a menu opened on one of them is about: all selected ones if it is one of those.
fn together(scene: &Scene<'_>, index: usize) -> Vec<usize> {
    let picked = scene.bench.picked();
    if picked.contains(&index) { picked.to_vec() } else { vec![index] }
}

/// The view's range: room above the largest event.
fn range(scenario: &Scenario, height: f32) -> Chart {
    let most = scenario.schedule.iter().filter_map(Event::ml).fold(0.0, f64::max);
    Chart::around(0.0, (1.25 * most).max(100.0), f64::from(height / 36.0))
}

/// Where an event stands.
#[allow(clippy::cast_possible_truncation)]
fn bar(plot: Rect, chart: &Chart, event: &Event) -> Rect {
    let x = |s: f64| plot.left() + plot.width() * (s / 86_400.0) as f32;
    let (mut left, mut right) = (x(event.start_s()), x(event.end_s()));
    if right - left < BAR {
        let middle = 0.5 * (left + right);
        (left, right) = (middle - 0.5 * BAR, middle + 0.5 * BAR);
    }
    let top = match event.give {
        Give::Drip { ml } => chart.y(plot, ml).max(plot.top()),
        Give::Flood { .. } => plot.bottom() - FLOOD * plot.height(),
    };
    Rect::from_min_max(pos2(left, top.min(plot.bottom() - 2.0)), pos2(right, plot.bottom()))
}

/// The two parts that can be held; the top edge lies over the body.
fn hold(ui: &Ui, plot: Rect, rect: Rect, index: usize, event: &Event) -> (Response, Response, Response) {
    let id = event_id(index);
    let hit =
        Rect::from_min_max(pos2(rect.left() - REACH, rect.top().min(plot.bottom() - 12.0)), pos2(rect.right() + REACH, rect.bottom()));
    let body = ui.interact(hit, id, Sense::click_and_drag());
    let ec = event.ec.map_or_else(String::new, |ec| format!(", EC {ec}"));
    let words = format!("{}, {}{ec}", given(event), lasting(event));
    body.widget_info(|| egui::WidgetInfo::slider(true, event.ml().unwrap_or_default(), format!("Event {}", event.start)));
    ui.ctx().accesskit_node_builder(id, |node| {
        node.set_value(words.clone());
        node.add_action(egui::accesskit::Action::Increment);
        node.add_action(egui::accesskit::Action::Decrement);
    });
    let edge = Rect::from_center_size(rect.center_top(), vec2(rect.width() + 2.0 * REACH, 2.0 * EDGE)).intersect(plot.expand(EDGE));
    // A flood has no volume per plant to be dragged; its edge lies where nothing can take it.
    let edge = if event.ml().is_some() { edge } else { Rect::NOTHING };
    let top = ui.interact(edge, id.with("top"), Sense::DRAG).on_hover_cursor(CursorIcon::ResizeVertical);
    let side = Rect::from_center_size(rect.right_center(), vec2(REACH, rect.height()))
        .translate(vec2(0.5 * REACH, 0.0))
        .with_min_y(rect.top() + EDGE);
    let end = ui.interact(side, id.with("end"), Sense::DRAG).on_hover_cursor(CursorIcon::ResizeHorizontal);
    (body.on_hover_cursor(CursorIcon::Grab), top, end)
}

fn paint(ui: &Ui, scene: &Scene<'_>, plot: Rect, rect: Rect, event: &Event, selected: bool, focused: bool) {
    let t = scene.t;
    let paint = ui.painter().with_clip_rect(plot.expand(5.0));
    let fill = if selected { t.event_strong } else { t.event };
    let radius = CornerRadius { nw: 2, ne: 2, sw: 0, se: 0 };
    match event.give {
        // An event with an EC of its own is hollow.
        Give::Drip { .. } if event.ec.is_some() => {
            paint.rect(rect, radius, t.card, Stroke::new(2.0, fill), StrokeKind::Inside);
        }
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
            let text = format!("{depth_cm} cm");
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

/// What has been given up to the pointer's time.
fn so_far(ui: &Ui, scene: &Scene<'_>, plot: Rect) {
    let Some(hour) = scene.cursor else { return };
    let given = |e: &Event| e.ml().unwrap_or_default() * ((hour * 3600.0 - e.start_s()) / f64::from(e.seconds.max(1))).clamp(0.0, 1.0);
    let schedule = &scene.bench.shown().scenario.schedule;
    let drips = schedule.iter().filter(|e| e.ml().is_some()).count();
    if drips == 0 {
        return;
    }
    let sum: f64 = schedule.iter().map(given).sum();
    let how = if drips < schedule.len() { " by drip" } else { "" };
    #[allow(clippy::cast_possible_truncation)]
    let x = plot.left() + plot.width() * (hour / 24.0) as f32;
    label_beside(ui, scene.t, plot, x, plot.top() + 9.0, scene.t.quiet, &format!("{sum:.0} mL{how} so far"));
}

/// What an event is, beside it.
fn reading(ui: &Ui, scene: &Scene<'_>, plot: Rect, rect: Rect, event: &Event) {
    let t = scene.t;
    let ec = event.ec.map_or_else(String::new, |ec| format!(" · EC {ec}"));
    let text = format!("{} · {} · {}{ec}", event.start, given(event), lasting(event));
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
