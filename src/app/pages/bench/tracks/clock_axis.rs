//! The clock axis above the tracks: the hours, and the time that all tracks are read at. The mouse pans it, keys move the time.

use eframe::egui::accesskit::Action as Asked;
use eframe::egui::{
    Align2, CornerRadius, CursorIcon, EventFilter, Id, Key, Modifiers, Rect, Sense, Shape, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2,
};

use super::memory::Tracks;
use super::scene::Scene;
use super::span::{Span, time_of_day};
use crate::app::look::theme::{self, NOTE};

/// Hours that an arrow key moves the time, and that it moves it with Shift.
const STEPS: (f64, f64) = (5.0 / 60.0, 1.0);

const HINT: &str = "Ctrl and the wheel over a track, or Page Up and Page Down, show less or more of the time. Drag here to move along; double-click \
    here or press Shift-Page Down for all of it. Click to read the tracks by keys: left and right move the time.";

/// The widget of the clock axis.
#[must_use]
pub fn axis_id() -> Id {
    Id::unique("clock axis")
}

impl Tracks {
    /// Draws the axis; `words` is what all tracks say at the time shown.
    pub(super) fn clock_axis(&mut self, ui: &Ui, scene: &Scene<'_>, axis: Rect, words: &str) {
        let id = axis_id();
        let response = ui.interact(axis.expand2(vec2(14.0, 0.0)), id, Sense::click_and_drag());
        let hour = self.marker.unwrap_or_default();
        response.widget_info(|| WidgetInfo::slider(true, hour, "Time that the tracks are read at"));
        ui.ctx().accesskit_node_builder(id, |node| {
            node.set_value(words.to_owned());
            node.add_action(Asked::Increment);
            node.add_action(Asked::Decrement);
        });
        if response.double_clicked() {
            self.visible = None;
        } else if response.dragged() {
            let per_point = scene.span.hours() / f64::from(axis.width().max(1.0));
            self.look_at(scene.span.moved(-f64::from(response.drag_delta().x) * per_point, self.whole));
        } else if response.clicked() {
            response.request_focus();
            self.marker = response.interact_pointer_pos().map(|p| scene.span.hour(axis, p.x) - self.whole.from_h);
        }
        let focused = response.has_focus();
        if focused && self.marker.is_none() {
            self.marker = Some(scene.cursor.unwrap_or(scene.span.middle()) - self.whole.from_h);
        }
        let steps = asked_steps(ui, id, focused);
        if steps != 0.0 {
            self.move_marker(scene, steps);
        }
        if self.axis_focused != focused || steps != 0.0 {
            self.axis_focused = focused;
            ui.ctx().request_repaint();
        }
        let cursor = if self.visible.is_some() { CursorIcon::Grab } else { CursorIcon::Default };
        response.on_hover_cursor(cursor).on_hover_text(HINT);
        hours(ui, scene, axis);
        if focused {
            let ring = Rect::from_min_max(axis.min - vec2(14.0, 1.0), axis.max + vec2(14.0, 0.0));
            ui.painter().add(Shape::rect_stroke(ring, CornerRadius::same(3), Stroke::new(1.0, scene.t.quiet), StrokeKind::Inside));
        }
    }

    /// Moves the time read by some hours, and the view after it.
    fn move_marker(&mut self, scene: &Scene<'_>, by_h: f64) {
        let now = self.marker.map_or(scene.span.middle(), |m| m + self.whole.from_h);
        // Onto the grid of five minutes, so that what the mouse left between two marks does not stay there.
        let to = ((now + by_h) * 12.0).round() / 12.0;
        let to = to.clamp(self.whole.from_h, self.whole.to_h);
        self.marker = Some(to - self.whole.from_h);
        if !scene.span.holds(to) {
            let by = if to > scene.span.to_h { to - scene.span.to_h } else { to - scene.span.from_h };
            self.look_at(scene.span.moved(by, self.whole));
        }
    }
}

/// Hours that keys and screen readers ask the time to be moved by.
fn asked_steps(ui: &Ui, id: Id, focused: bool) -> f64 {
    if focused {
        let filter = EventFilter { horizontal_arrows: true, ..EventFilter::default() };
        ui.memory_mut(|m| m.set_focus_lock_filter(id, filter));
    }
    ui.input_mut(|i| {
        let count = |n: usize| f64::from(u32::try_from(n).unwrap_or(0));
        let asked = |action| count(i.num_accesskit_action_requests(id, action));
        let mut steps = STEPS.0 * (asked(Asked::Increment) - asked(Asked::Decrement));
        if focused {
            for (modifiers, by) in [(Modifiers::SHIFT, STEPS.1), (Modifiers::NONE, STEPS.0)] {
                let mut key = |key| count(i.count_and_consume_key(modifiers, key));
                steps += by * (key(Key::ArrowRight) - key(Key::ArrowLeft));
            }
        }
        steps
    })
}

fn hours(ui: &Ui, scene: &Scene<'_>, axis: Rect) {
    let (t, span) = (scene.t, scene.span);
    let under = scene.cursor.map(|c| span.x(axis, c));
    let hidden = if scene.whole.hours() > 24.5 { 62.0 } else { 42.0 };
    for hour in span.marks(span.step(axis.width())) {
        let x = span.x(axis, hour);
        // The time under the pointer takes the place of the hours beside it.
        if under.is_some_and(|u| (u - x).abs() < hidden) {
            continue;
        }
        ui.painter().text(pos2(x, axis.top()), Align2::CENTER_TOP, mark(hour, scene.whole), theme::plain(NOTE), t.quiet);
    }
}

/// What is written at an hour: the day at midnights between days, else the time of day.
fn mark(hour: f64, whole: Span) -> String {
    let midnight = (hour / 24.0 - (hour / 24.0).round()).abs() < 1e-6;
    match midnight {
        true if whole.hours() > 24.5 && hour < whole.to_h - 1e-6 => format!("day {:.0}", hour / 24.0 + 1.0),
        true if hour > whole.from_h + 1e-6 => "24:00".to_owned(),
        _ => time_of_day(hour).to_string(),
    }
}

/// One line through all tracks at the time they are read at, with the time at its head.
pub fn cursor_line(ui: &Ui, scene: &Scene<'_>, plots: impl Iterator<Item = Rect>, axis: Rect) {
    let Some(hour) = scene.cursor else { return };
    let t = scene.t;
    let x = scene.span.x(axis, hour);
    for plot in plots {
        ui.painter().vline(x, plot.y_range(), Stroke::new(1.0, t.ink.gamma_multiply(0.75)));
    }
    let label = ui.painter().layout_no_wrap(scene.when(hour), theme::strong(NOTE), t.chip_ink);
    let chip = Rect::from_center_size(pos2(x, axis.top() + 0.5 * label.size().y), label.size() + vec2(10.0, 2.0));
    ui.painter().rect_filled(chip, 3, t.chip);
    ui.painter().galley(chip.center() - 0.5 * label.size(), label, t.chip_ink);
}
