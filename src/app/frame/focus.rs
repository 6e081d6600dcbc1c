//! Where the keyboard is: a ring around what has it, and the sides scroll so that it can be seen.

use eframe::egui::{Context, CornerRadius, Event, Id, Key, Rect, Response, Stroke, StrokeKind, Ui, vec2};

use crate::app::look::theme::Tokens;

/// Room kept around what is scrolled to, points.
const AROUND: f32 = 24.0;

/// Whether a control was reached by keys: whoever points with the mouse needs no ring.
#[derive(Clone, Copy, Debug, Default)]
pub struct Ring {
    by_keys: bool,
}

impl Ring {
    /// A key has carried the keyboard to a control.
    pub fn carried(&mut self) {
        self.by_keys = true;
    }

    /// Takes note of what this frame was asked with.
    pub fn follow(&mut self, ctx: &Context) {
        ctx.input(|i| {
            for event in &i.events {
                match event {
                    Event::Key { key: Key::Tab, pressed: true, .. } => self.by_keys = true,
                    Event::PointerButton { pressed: true, .. } => self.by_keys = false,
                    _ => {}
                }
            }
        });
    }

    /// Draws the ring. Events and fields that are typed in have marks of their own.
    pub fn show(self, ctx: &Context, marked: bool) {
        if !self.by_keys || marked || ctx.text_edit_focused() {
            return;
        }
        let Some(has_it) = focused(ctx) else { return };
        let seen = has_it.interact_rect;
        if seen.width() > 1.0 && seen.height() > 1.0 {
            let ring = has_it.rect.expand2(vec2(3.0, 1.0));
            let paint = ctx.layer_painter(has_it.layer_id).with_clip_rect(seen.expand(5.0));
            paint.rect_stroke(ring, CornerRadius::same(4), Stroke::new(1.5, Tokens::now(ctx).ink), StrokeKind::Outside);
        }
    }
}

fn focused(ctx: &Context) -> Option<Response> {
    ctx.memory(eframe::egui::Memory::focused).and_then(|id| ctx.read_response(id))
}

/// Scrolls to what has just got the keyboard, if it stands in this scrolled side. Called at the side's end.
pub fn bring_into_view(ui: &Ui, side: &str) {
    let key = Id::unique("brought into view").with(side);
    let Some(has_it) = focused(ui.ctx()) else {
        ui.data_mut(|d| d.remove::<Id>(key));
        return;
    };
    let before = ui.data(|d| d.get_temp::<Id>(key));
    if before == Some(has_it.id) || has_it.layer_id != ui.layer_id() {
        return;
    }
    ui.data_mut(|d| d.insert_temp(key, has_it.id));
    let column: Rect = ui.min_rect();
    let inside = column.x_range().contains(has_it.rect.center().x);
    let hidden = !ui.clip_rect().y_range().contains(has_it.rect.top()) || !ui.clip_rect().y_range().contains(has_it.rect.bottom());
    if inside && hidden {
        ui.scroll_to_rect(has_it.rect.expand(AROUND), None);
    }
}
