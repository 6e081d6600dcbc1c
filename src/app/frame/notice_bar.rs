//! Draws the notice that tells what just happened. It lies over the bench, away from the pointer: nothing moves when it comes or goes.

use std::time::Duration;

use eframe::egui::{Align2, Area, Context, Frame, Id, Margin, Order, Stroke, vec2};

use crate::app::actions::action::Action;
use crate::app::look::theme::Tokens;
use crate::app::state::notice::Notice;

/// Widest that a notice is, points.
const WIDEST: f32 = 760.0;
/// Room kept around it, points.
const AROUND: f32 = 10.0;
/// Height of the part at the bottom of the window that a pointer keeps free of it, points.
const NEAR: f32 = 150.0;

/// Where a notice lies: it stays there as long as it is shown.
#[derive(Clone, Copy, Default, PartialEq)]
enum Place {
    #[default]
    Bottom,
    Top,
}

/// Draws the notice, if there is one, between the bar at the top and the line at the bottom, whose heights are given, and lets it go when its
/// time is over.
pub fn show(ctx: &Context, t: &Tokens, kept: &mut Option<Notice>, generation: u64, bars: (f32, f32), actions: &mut Vec<Action>) {
    let place_id = Id::unique("place of the notice");
    let Some(notice) = kept else {
        ctx.data_mut(|d| d.remove_temp::<(String, Place)>(place_id));
        return;
    };
    let (now, pressed) = ctx.input(|i| (i.time, i.pointer.any_down()));
    if let Some(left) = notice.left_s(now, generation) {
        if left <= 0.0 && !pressed {
            *kept = None;
            return;
        }
        ctx.request_repaint_after(Duration::from_secs_f64(left.max(0.5)));
    }
    let notice = notice.clone();
    let window = ctx.content_rect();
    let before = ctx.data(|d| d.get_temp::<(String, Place)>(place_id)).filter(|(text, _)| *text == notice.text);
    let place = before.map_or_else(
        || {
            let is_near = ctx.pointer_latest_pos().is_some_and(|at| at.y > window.bottom() - NEAR);
            if is_near { Place::Top } else { Place::Bottom }
        },
        |(_, place)| place,
    );
    ctx.data_mut(|d| d.insert_temp(place_id, (notice.text.clone(), place)));
    let (align, offset) = match place {
        Place::Bottom => (Align2::CENTER_BOTTOM, vec2(0.0, -bars.1 - AROUND)),
        Place::Top => (Align2::CENTER_TOP, vec2(0.0, bars.0 + AROUND)),
    };
    let area = Area::new(Id::unique("notice")).order(Order::Foreground).anchor(align, offset);
    area.show(ctx, |ui| {
        let frame = Frame::popup(ui.style()).fill(t.day).stroke(Stroke::new(1.0, t.rule)).inner_margin(Margin::symmetric(12, 6));
        frame.show(ui, |ui| {
            ui.set_max_width(WIDEST.min(window.width() - 4.0 * AROUND));
            ui.horizontal_wrapped(|ui| {
                ui.label(&notice.text);
                for choice in notice.choices {
                    if ui.button(choice.word()).clicked() {
                        actions.push(Action::Elsewhere(*choice));
                        *kept = None;
                    }
                }
                if notice.offers_use {
                    let hover =
                        "Computed from light, air and leaf area; ±30 % until it is scaled to what you measure. One undo takes it back.";
                    if ui.button("Compute the use from it, too").on_hover_text(hover).clicked() {
                        actions.push(Action::ComputeUse);
                    }
                }
                if ui.button("Dismiss").clicked() {
                    *kept = None;
                }
            });
        });
    });
}
