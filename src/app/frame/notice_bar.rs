//! Draws the line under the menu bar that tells what just happened.

use std::time::Duration;

use eframe::egui::{Frame, Margin, Panel, Ui};

use crate::app::actions::action::{Action, Next};
use crate::app::look::theme::Tokens;
use crate::app::state::notice::Notice;

/// Draws the notice, if there is one, and lets it go when its time is over.
pub fn show(ui: &mut Ui, t: &Tokens, kept: &mut Option<Notice>, generation: u64, actions: &mut Vec<Action>) {
    let Some(notice) = kept else { return };
    let (now, pressed) = ui.input(|i| (i.time, i.pointer.any_down()));
    if let Some(left) = notice.left_s(now, generation) {
        // What the mouse holds must not move under it.
        if left <= 0.0 && !pressed {
            *kept = None;
            return;
        }
        ui.ctx().request_repaint_after(Duration::from_secs_f64(left.max(0.5)));
    }
    let notice = notice.clone();
    let frame = Frame::new().fill(t.day).inner_margin(Margin::symmetric(12, 5));
    Panel::top("notice").frame(frame).resizable(false).show(ui, |ui| {
        ui.horizontal_wrapped(|ui| {
            ui.label(&notice.text);
            if let Some(path) = &notice.offer {
                let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
                if ui.button(format!("Open {name} instead…")).clicked() {
                    actions.push(Action::Leave(Next::Open(path.clone())));
                }
            }
            if ui.button("Dismiss").clicked() {
                *kept = None;
            }
        });
    });
}
