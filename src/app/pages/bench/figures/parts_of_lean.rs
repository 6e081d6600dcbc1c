//! The lean of a day by its parts, or why there is none to tell.

use eframe::egui::accesskit::Role;
use eframe::egui::{Align2, CollapsingHeader, Rect, RichText, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use crate::app::look::theme::{self, NOTE, Tokens};
use crate::projection::LaneReport;

/// Width of the marks.
const STATE: f32 = 78.0;

/// Draws its word, folded over its parts.
pub fn show(ui: &mut Ui, t: &Tokens, report: &LaneReport) {
    let lean = &report.lean;
    let word = lean.word();
    let text = if lean.sum.is_some() {
        format!("Lean: {}", word.strip_prefix("leans ").unwrap_or(word))
    } else {
        format!("Lean: none to tell, {}", lean.why)
    };
    let head = RichText::new(text).size(NOTE + 0.5).color(t.quiet);
    let hover = "Whether the day pushes the plant towards leaf or towards fruit, by its parts. Common practice.";
    if lean.sum.is_none() {
        ui.label(head).on_hover_text(hover);
        return;
    }
    let fold = CollapsingHeader::new(head).id_salt("lean").show_unindented(ui, |ui| parts(ui, t, report));
    fold.header_response.on_hover_text(hover);
}

/// Each part of the lean as a mark between vegetative (left) and generative (right).
fn parts(ui: &mut Ui, t: &Tokens, report: &LaneReport) {
    for part in &report.lean.parts {
        let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 15.0), Sense::hover());
        let side = if part.push < -0.05 {
            "vegetative"
        } else if part.push > 0.05 {
            "generative"
        } else {
            "neither way"
        };
        let words = format!("{}, {}: {side}", part.name, part.value);
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &words));
        response.on_hover_text(format!("{words}. Left of the middle is vegetative (leaf), right is generative (fruit)."));
        let paint = ui.painter();
        let bar = Rect::from_min_max(pos2(rect.right() - STATE, rect.top()), pos2(rect.right(), rect.bottom()));
        let name = paint.layout(part.name.to_owned(), theme::plain(NOTE), t.quiet, f32::INFINITY);
        paint.galley(pos2(rect.left() + 8.0, rect.center().y - 0.5 * name.size().y), name, t.quiet);
        paint.hline(bar.x_range(), bar.center().y, Stroke::new(1.0, t.rule));
        paint.vline(bar.center().x, bar.shrink2(vec2(0.0, 4.0)).y_range(), Stroke::new(1.0, t.quiet));
        #[allow(clippy::cast_possible_truncation)]
        let x = bar.center().x + 0.5 * (bar.width() - 8.0) * part.push as f32;
        paint.circle_filled(pos2(x, bar.center().y), 3.5, t.ink);
    }
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 13.0), Sense::hover());
    let ends = [(rect.right() - STATE - 6.0, Align2::LEFT_TOP, "leaf"), (rect.right(), Align2::RIGHT_TOP, "fruit")];
    for (x, align, word) in ends {
        ui.painter().text(pos2(x, rect.top()), align, word, theme::plain(NOTE - 1.0), t.quiet);
    }
}
