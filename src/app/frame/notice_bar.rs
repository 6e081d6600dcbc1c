//! Draws the line under the menu bar that tells what just happened.

use std::time::Duration;

use eframe::egui::{Frame, Margin, Panel, Ui};

use crate::app::App;
use crate::app::actions::action::{Action, Next};
use crate::app::look::theme::Tokens;

impl App {
    /// Draws the notice, if there is one, and lets it go when its time is over.
    pub(in crate::app) fn notice_bar(&mut self, ui: &mut Ui, t: &Tokens, actions: &mut Vec<Action>) {
        let generation = self.bench.document().generation();
        let Some(notice) = &mut self.notice else { return };
        let (now, pressed) = ui.input(|i| (i.time, i.pointer.any_down()));
        if let Some(left) = notice.left_s(now, generation) {
            // What the mouse holds must not move under it.
            if left <= 0.0 && !pressed {
                self.notice = None;
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
                    self.notice = None;
                }
            });
        });
    }
}
