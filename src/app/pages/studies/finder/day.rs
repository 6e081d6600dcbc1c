//! The events of a day that is proposed.

use eframe::egui::{RichText, Sense, Stroke, StrokeKind, Ui, vec2};

use crate::app::look::theme::{self, NOTE, Tokens};
use crate::scenario::{Event, Give};
use crate::units::{Quantity, Units};

/// The events of a day, to scale and in words.
pub fn show(ui: &mut Ui, t: &Tokens, events: &[Event], units: Units) {
    // Drips and floods each by the most of their kind: millilitres and centimetres have no scale in common.
    let most = |ml: f64, cm: f64, e: &Event| match e.give {
        Give::Drip { ml: given } => (ml.max(given), cm),
        Give::Flood { depth_cm } => (ml, cm.max(depth_cm)),
    };
    let (most_ml, most_cm) = events.iter().fold((0.0, 0.0), |(ml, cm), e| most(ml, cm, e));
    let height = |e: &Event| match e.give {
        Give::Drip { ml } => ml / most_ml,
        Give::Flood { depth_cm } => depth_cm / most_cm,
    };
    let width = ui.available_width().min(860.0);
    let (rect, response) = ui.allocate_exact_size(vec2(width, 40.0), Sense::hover());
    let told: Vec<String> = events.iter().map(|e| in_words(e, units)).collect();
    response.widget_info(|| eframe::egui::WidgetInfo::labeled(eframe::egui::accesskit::Role::Label, true, told.join("; ")));
    let paint = ui.painter();
    paint.rect(rect, 0, t.card, Stroke::new(1.0, t.rule), StrokeKind::Inside);
    #[allow(clippy::cast_possible_truncation)]
    let x = |s: f64| rect.left() + rect.width() * (s / 86_400.0) as f32;
    for hour in (0..=24_u8).step_by(4) {
        let at = x(f64::from(hour) * 3600.0);
        paint.vline(at, rect.y_range(), Stroke::new(1.0, t.grid));
        let align = if hour == 24 { eframe::egui::Align2::RIGHT_TOP } else { eframe::egui::Align2::LEFT_TOP };
        paint.text(eframe::egui::pos2(at + 2.0, rect.top() + 1.0), align, format!("{hour:02}"), theme::plain(NOTE), t.quiet);
    }
    for event in events {
        #[allow(clippy::cast_possible_truncation)]
        let up = 24.0 * height(event).min(1.0) as f32;
        let bar = eframe::egui::Rect::from_min_max(
            eframe::egui::pos2(x(event.start_s()), rect.bottom() - up),
            eframe::egui::pos2(x(event.end_s()).max(x(event.start_s()) + 2.0), rect.bottom()),
        );
        paint.rect_filled(bar, 0, t.event_strong);
    }
    response.on_hover_text(told.join("\n"));
    if let (Some(first), Some(last)) = (told.first(), told.last()) {
        ui.label(RichText::new(format!("{} events: the first {first}, the last {last}", events.len())).size(NOTE).color(t.quiet));
    }
}

fn in_words(event: &Event, units: Units) -> String {
    let days = if event.days.are_all() { String::new() } else { format!(", {}", event.days) };
    match event.give {
        Give::Drip { ml } => format!("{} {} in {} s{days}", event.start, Quantity::Millilitres.text(ml, units), event.seconds),
        Give::Flood { depth_cm } => {
            format!("{} flood {} for {} s{days}", event.start, Quantity::Length.text(depth_cm, units), event.seconds)
        }
    }
}
