//! What the colours stand for: a scale with round ends and marks.

use eframe::egui::accesskit::Role;
use eframe::egui::{Align2, Rect, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

use super::raster::share;
use crate::app::look::ramp::Ramp;
use crate::app::look::theme::{self, NOTE, Tokens};

/// What the colours run over: round ends, and the steps between the marks.
#[derive(Clone, Copy)]
pub struct Scale {
    low: f64,
    high: f64,
    step: f64,
}

impl Scale {
    /// Most steps between marks.
    const MOST: f64 = 6.0;

    /// Opens a range to round ends. Without a range it is 0 to 1.
    #[must_use]
    pub fn over(low: f64, high: f64) -> Self {
        if low >= high || !(high - low).is_finite() {
            return Self { low: 0.0, high: 1.0, step: 0.5 };
        }
        let power = 10_f64.powf(((high - low) / Self::MOST).log10().floor());
        let opened = |times: f64| {
            let step = times * power;
            Self { low: (low / step).floor() * step, high: (high / step).ceil() * step, step }
        };
        let few = |s: &Self| (s.high - s.low) / s.step < Self::MOST + 0.5;
        [1.0, 2.0, 5.0, 10.0].map(opened).into_iter().find(few).unwrap_or_else(|| opened(20.0))
    }

    /// Its ends.
    #[must_use]
    pub fn ends(self) -> (f64, f64) {
        (self.low, self.high)
    }

    /// Decimals that tell the marks apart.
    #[must_use]
    pub fn decimals(self) -> usize {
        match self.step {
            s if s < 0.095 => 2,
            s if s < 0.95 => 1,
            _ => 0,
        }
    }

    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a handful
    fn marks(self) -> impl Iterator<Item = f64> {
        let count = ((self.high - self.low) / self.step).round() as u8;
        (0..=count).map(move |k| self.low + self.step * f64::from(k))
    }
}

/// The colours with what they stand for, in round steps. It begins `left` points in.
pub fn bar(ui: &mut Ui, t: &Tokens, left: f32, (unit, ramp): (&str, &Ramp), scale: Scale) {
    let (low, high) = scale.ends();
    let decimals = scale.decimals();
    let unit_at = ui.painter().layout_no_wrap(unit.to_owned(), theme::plain(NOTE), t.quiet);
    let (all, response) = ui.allocate_exact_size(vec2(264.0 + unit_at.size().x, 32.0), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, format!("Colours from {low:.decimals$} to {high:.decimals$} {unit}")));
    let bar = Rect::from_min_size(pos2(all.left() + left, all.top() + 3.0), vec2(200.0, 12.0));
    for k in 0..100_u8 {
        let left = bar.left() + 2.0 * f32::from(k);
        ui.painter().rect_filled(Rect::from_x_y_ranges(left..=left + 2.0, bar.y_range()), 0, ramp.at(f32::from(k) / 99.0));
    }
    ui.painter().rect_stroke(bar, 0, Stroke::new(1.0, t.rule), StrokeKind::Outside);
    for value in scale.marks() {
        let x = bar.left() + bar.width() * share(value, low, high);
        ui.painter().vline(x, bar.bottom()..=bar.bottom() + 3.0, Stroke::new(1.0, t.quiet));
        ui.painter().text(pos2(x, bar.bottom() + 3.0), Align2::CENTER_TOP, format!("{value:.decimals$}"), theme::plain(NOTE), t.quiet);
    }
    ui.painter().galley(pos2(bar.right() + 16.0, bar.top() - 1.0), unit_at, t.quiet);
}

#[cfg(test)]
mod tests {
    use super::Scale;

    #[test]
    fn scales_end_and_step_at_round_numbers() {
        for (low, high, ends) in [(1.2, 13.6, (0.0, 15.0)), (12.0, 99.0, (0.0, 100.0)), (0.31, 0.42, (0.3, 0.42)), (2.0, 2.0, (0.0, 1.0))] {
            let scale = Scale::over(low, high);
            assert!((scale.low - ends.0).abs() < 1e-9 && (scale.high - ends.1).abs() < 1e-9, "{low} to {high}: {:?}", scale.ends());
            let marks: Vec<f64> = scale.marks().collect();
            assert!((3..=8).contains(&marks.len()), "{marks:?}");
            assert!((marks[marks.len() - 1] - scale.high).abs() < 1e-9);
            let told: Vec<String> = marks.iter().map(|m| format!("{m:.*}", scale.decimals())).collect();
            let mut apart = told.clone();
            apart.dedup();
            assert_eq!(told, apart, "marks are told apart");
        }
        assert!(Scale::over(f64::INFINITY, f64::NEG_INFINITY).high > 0.0);
    }
}
