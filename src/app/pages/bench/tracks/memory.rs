//! What the tracks remember between frames, and how the mouse changes it before anything is drawn.

use eframe::egui::{Context, Key, LayerId, Modifiers, Pos2, Rect, vec2};

use super::grip::{self, Grip};
use super::measures::TITLE;
use super::span::Span;
use super::{curves, scene};
use crate::app::actions::action::Action;
use crate::app::state::bench::Bench;
use crate::app::state::track_layout::Layout as TrackLayout;
use crate::edits::steps::Steps;
use crate::units::HOUR_S;

/// What the tracks remember between frames: what is held by the mouse, the time read, and the time seen.
#[derive(Debug, Default)]
pub struct Tracks {
    pub(super) grip: Option<Grip>,
    /// The plots of the last frame, from the top one's top to the lowest one's base.
    pub(super) plots: Option<(LayerId, Rect)>,
    /// Whether the last frame had to scroll them.
    pub(super) scrolls: bool,
    /// What a point of the mouse's way is worth in *Water in*.
    pub(super) worth: grip::Worth,
    /// The time read, hours since the first midnight of what is shown.
    pub(super) cursor: Option<f64>,
    /// All the time there was to see in the last frame.
    pub(super) whole: Span,
    /// The part of it that is seen, hours since its start; all of it without one.
    pub(super) visible: Option<Span>,
    /// The time read by keys, hours since the start of the whole.
    pub(super) marker: Option<f64>,
    pub(super) axis_focused: bool,
    /// Which tracks are shown, and how high.
    pub layout: TrackLayout,
    /// Where the pointer was when the menu for adding was opened.
    pub(super) menu_at: Option<Pos2>,
    /// Where a box that selects events was begun.
    pub(super) box_from: Option<Pos2>,
    /// The selected event takes the keyboard when it is next drawn: a move may have changed its place in the list.
    pub(super) follow_focus: bool,
}

impl Tracks {
    /// The time that the tracks are read at, hours since the midnight before the day that the figures are of.
    #[must_use]
    pub fn cursor(&self, bench: &Bench) -> Option<f64> {
        self.cursor.map(|hour| hour - bench.shown().midnight_s() / HOUR_S)
    }

    /// The day that the tracks are read on, from 0, and the time of that day, s.
    #[must_use]
    pub fn read_at(&self) -> Option<(usize, f64)> {
        let hour = self.cursor?;
        let day = scene::day_of(hour);
        Some((day, (hour - curves::hours(day)) * HOUR_S))
    }

    /// The time seen, hours since the first midnight of what is shown.
    #[must_use]
    pub fn span(&self) -> Span {
        let from_h = self.whole.from_h;
        self.visible.map_or(self.whole, |v| Span::new(v.from_h + from_h, v.to_h + from_h).within(self.whole))
    }

    /// Forgets what the mouse holds.
    pub fn let_go(&mut self) {
        self.grip = None;
    }

    /// The selected event takes the keyboard when it is next drawn.
    pub fn focus_selected(&mut self, is_some: bool) {
        self.follow_focus = is_some;
    }

    /// Follows the mouse before anything is drawn, so that every panel of this frame shows what the mouse asks for.
    pub fn follow(&mut self, ctx: &Context, steps: Steps) -> Option<Action> {
        let under = self.hour_under(ctx);
        if self.grip.is_none()
            && let Some(hour) = under
        {
            self.wheel(ctx, hour);
        }
        let marked = self.marker.filter(|_| self.axis_focused).map(|m| m + self.whole.from_h);
        // The wheel may have moved what lies under the pointer.
        self.cursor = self.hour_under(ctx).or(marked);
        let grip = self.grip?;
        if ctx.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape)) {
            ctx.stop_dragging();
            self.grip = None;
            return Some(Action::Drop);
        }
        let pointer = ctx.input(|i| i.pointer.latest_pos())?;
        let steps = (!ctx.input(|i| i.modifiers.alt)).then_some(steps);
        Some(grip.edit(pointer, self.worth, steps))
    }

    /// The time under the pointer, if it is over the plots.
    pub(super) fn hour_under(&self, ctx: &Context) -> Option<f64> {
        let (layer, plots) = self.plots?;
        let pointer = ctx.input(|i| i.pointer.hover_pos())?;
        let free = ctx.layer_id_at(pointer).is_none_or(|over| over == layer);
        let over = plots.expand2(vec2(1.0, TITLE)).contains(pointer);
        let span = self.span();
        (free && over).then(|| span.hour(plots, pointer.x).clamp(span.from_h, span.to_h))
    }
}
