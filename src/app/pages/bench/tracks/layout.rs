//! Where the tracks stand within the room there is, and the boundaries between them, which mouse and keys move.

use eframe::egui::accesskit::Role;
use eframe::egui::{CursorIcon, EventFilter, Id, Key, Modifiers, Rect, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use super::measures::{CLOCK, GUTTER, LEAST, MARGIN, TITLE};
use crate::app::look::theme::Tokens;
use crate::app::state::track_layout::{BOUNDS, Layout, Track};

/// Height that an arrow key gives or takes, points.
const STEP: f32 = 10.0;

impl Layout {
    /// Height that the tracks need at least.
    #[must_use]
    #[allow(clippy::cast_precision_loss)]
    pub fn least_height(&self) -> f32 {
        CLOCK + self.tracks().count() as f32 * (TITLE + LEAST) + 6.0
    }

    /// Where the plots stand within the room for all tracks.
    #[must_use]
    pub fn plots(&self, all: Rect) -> Vec<(Track, Rect)> {
        let heights = self.heights(all.height());
        let mut top = all.top() + CLOCK;
        let place = |(track, height): (Track, f32)| {
            let from = pos2(all.left() + GUTTER, top + TITLE);
            let to = pos2(all.right() - MARGIN, top + TITLE + height);
            top = to.y;
            (track, Rect::from_min_max(from.round(), to.round()))
        };
        heights.into_iter().map(place).collect()
    }

    /// Heights of the plots within a height for all: by share, but none below the least as long as there is room.
    #[allow(clippy::cast_precision_loss)]
    fn heights(&self, all: f32) -> Vec<(Track, f32)> {
        let tracks: Vec<Track> = self.tracks().collect();
        let room = (all - CLOCK - 6.0 - TITLE * tracks.len() as f32).max(0.0);
        let least = LEAST.min(room / tracks.len().max(1) as f32);
        let mut low = vec![false; tracks.len()];
        loop {
            let held = low.iter().filter(|l| **l).count() as f32 * least;
            let free: f32 = tracks.iter().zip(&low).filter(|t| !t.1).map(|t| self.shares[*t.0]).sum();
            let height = |i: usize| if low[i] { least } else { (room - held) * self.shares[tracks[i]] / free.max(1e-6) };
            match (0..tracks.len()).find(|&i| !low[i] && height(i) < least - 1e-3) {
                Some(i) => low[i] = true,
                None => return tracks.iter().enumerate().map(|(i, t)| (*t, height(i))).collect(),
            }
        }
    }

    /// Moves the boundary below a track by some points, within a height for all.
    fn moved(mut self, below: usize, by: f32, all: f32) -> Self {
        let mut heights = self.heights(all);
        let total: f32 = heights.iter().map(|h| h.1).sum();
        let (Some(upper), Some(lower)) = (heights.get(below).map(|h| h.1), heights.get(below + 1).map(|h| h.1)) else { return self };
        let by = by.clamp((LEAST - upper).min(0.0), (lower - LEAST).max(0.0));
        heights[below].1 += by;
        heights[below + 1].1 -= by;
        let sum: f32 = heights.iter().map(|h| self.shares[h.0]).sum();
        for (track, height) in heights {
            self.shares[track] = (sum * height / total.max(1.0)).clamp(BOUNDS.0, BOUNDS.1);
        }
        self
    }

    /// Lets the boundaries between tracks be moved by mouse and keys. Gives the layout back when it is to be kept.
    pub fn boundaries(&mut self, ui: &Ui, t: &Tokens, plots: &[(Track, Rect)], all: Rect) -> Option<Self> {
        let mut keep = None;
        for (below, pair) in plots.windows(2).enumerate() {
            let ((upper, plot), (lower, _)) = (pair[0], pair[1]);
            let strip = Rect::from_min_max(pos2(all.left(), plot.bottom() - 1.0), pos2(plot.right(), plot.bottom() + 5.0));
            let response = ui.interact(strip, Id::unique("boundary").with(below), Sense::click_and_drag());
            let name = format!("Boundary between {} and {}", upper.name(), lower.name());
            response.widget_info(|| WidgetInfo::labeled(Role::Splitter, true, &name));
            let response = response.on_hover_cursor(CursorIcon::ResizeVertical);
            if response.double_clicked() {
                self.shares = Self::default().shares;
                keep = Some(*self);
            } else if response.dragged() {
                *self = self.moved(below, ui.input(|i| i.pointer.delta().y), all.height());
            }
            if response.drag_stopped() {
                keep = Some(*self);
            }
            if response.has_focus() {
                let filter = EventFilter { vertical_arrows: true, ..EventFilter::default() };
                ui.memory_mut(|m| m.set_focus_lock_filter(response.id, filter));
                let by = ui.input_mut(|i| {
                    let mut count = |key| f32::from(u8::try_from(i.count_and_consume_key(Modifiers::NONE, key)).unwrap_or(u8::MAX));
                    STEP * (count(Key::ArrowDown) - count(Key::ArrowUp))
                });
                if by != 0.0 {
                    *self = self.moved(below, by, all.height());
                    keep = Some(*self);
                }
            }
            if response.hovered() || response.dragged() || response.has_focus() {
                let line = Rect::from_center_size(pos2(plot.center().x, plot.bottom() + 2.0), vec2(plot.width(), 0.0));
                ui.painter().hline(line.x_range(), line.center().y, Stroke::new(2.0, t.quiet));
            }
        }
        keep
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::state::track_layout::ByTrack;

    #[test]
    fn heights_fill_the_room_and_none_is_too_low() {
        let all = CLOCK + 4.0 * TITLE + 6.0 + 400.0;
        let heights = Layout::default().heights(all);
        assert_eq!(heights.len(), 4);
        assert!((heights.iter().map(|h| h.1).sum::<f32>() - 400.0).abs() < 0.01);
        let low =
            Layout { shares: ByTrack::of(|track| if track == Track::Content { 4.0 } else { 0.02 }), ..Layout::default() }.heights(all);
        assert!(low.iter().all(|h| h.1 >= LEAST - 0.01), "{low:?}");
    }

    #[test]
    fn a_boundary_moves_between_its_two_tracks_only() {
        let all = CLOCK + 4.0 * TITLE + 6.0 + 500.0;
        let (before, after) = (Layout::default().heights(all), Layout::default().moved(0, 20.0, all).heights(all));
        let by: Vec<f32> = before.iter().zip(&after).map(|(a, b)| (b.1 - a.1).round()).collect();
        assert_eq!(by, [20.0, -20.0, 0.0, 0.0]);
        let far = Layout::default().moved(0, 1e6, all).heights(all);
        assert!((far[1].1 - LEAST).abs() < 0.5, "{far:?}");
    }
}
