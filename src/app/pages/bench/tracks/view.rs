//! Which part of the time is seen: the wheel, the keys and the menu that change it.

use eframe::egui::{self, Button, Context, RichText, Ui, vec2};

use super::memory::Tracks;
use super::span::Span;
use crate::app::actions::action::{Action, Zoom};
use crate::app::look::widgets::{item, staying_menu};
use crate::app::state::bench::Bench;
use crate::app::state::track_layout::{Layout, Track};

/// How much nearer a key goes.
const FACTOR: f64 = 1.5;
/// Share of the time seen that a point of wheel moves it by.
const PER_POINT: f64 = 1.0 / 600.0;

impl Tracks {
    /// Takes note of all the time there is to see.
    pub(super) fn see(&mut self, whole: Span) {
        if (whole.hours() - self.whole.hours()).abs() > 1e-6 {
            self.visible = None;
            self.marker = None;
        }
        self.whole = whole;
    }

    /// Sees a stretch of time, hours since the first midnight.
    pub(super) fn look_at(&mut self, span: Span) {
        let span = span.within(self.whole);
        let part = span.hours() < self.whole.hours() - 1e-6;
        self.visible = part.then(|| Span::new(span.from_h - self.whole.from_h, span.to_h - self.whole.from_h));
    }

    /// Sees a longer or a shorter stretch, about the time read.
    pub fn zoom(&mut self, zoom: Zoom) {
        let span = self.span();
        let about = self.cursor.unwrap_or(span.middle());
        match zoom {
            Zoom::In => self.look_at(span.zoomed(FACTOR, about, self.whole)),
            Zoom::Out => self.look_at(span.zoomed(1.0 / FACTOR, about, self.whole)),
            Zoom::Whole => self.visible = None,
        }
    }

    /// Ctrl and the wheel zoom about the pointer; the wheel alone moves along.
    pub(super) fn wheel(&mut self, ctx: &Context, hour: f64) {
        let (factor, scroll, shift) = ctx.input(|i| (f64::from(i.zoom_delta()), i.smooth_scroll_delta(), i.modifiers.shift));
        let span = self.span();
        if (factor - 1.0).abs() > 1e-6 {
            self.look_at(span.zoomed(factor, hour, self.whole));
        } else if self.visible.is_some() {
            // Where the tracks themselves have to be scrolled, the plain wheel does that.
            let along = if self.scrolls && !shift { scroll.x } else { scroll.x + scroll.y };
            if along != 0.0 {
                self.look_at(span.moved(-f64::from(along) * PER_POINT * span.hours(), self.whole));
                ctx.input_mut(|i| i.smooth_scroll_delta = vec2(0.0, if self.scrolls && !shift { scroll.y } else { 0.0 }));
            }
        }
    }
}

/// The part of the View menu that is about the tracks.
pub fn view_menu(ui: &mut Ui, tracks: &Tracks, bench: &Bench, actions: &mut Vec<Action>) {
    let near = tracks.visible.is_some();
    item(ui, "Zoom in", Action::Zoom(Zoom::In), true, actions);
    item(ui, "Zoom out", Action::Zoom(Zoom::Out), near, actions);
    item(ui, "All of the time", Action::Zoom(Zoom::Whole), near, actions);
    ui.separator();
    item(ui, "Pin this state", Action::Pin, !bench.shown().run.lanes.is_empty(), actions);
    item(ui, "Unpin", Action::Unpin, bench.pinned().is_some(), actions);
    ui.separator();
    staying_menu(ui, "Tracks", |ui| tracks_menu(ui, tracks, actions));
}

fn tracks_menu(ui: &mut Ui, tracks: &Tracks, actions: &mut Vec<Action>) {
    ui.set_min_width(150.0);
    let layout = tracks.layout;
    let only = layout.tracks().count() == 1;
    for track in Track::ALL {
        let mut on = layout.shown[track];
        let check = ui.add_enabled(!(on && only), egui::Checkbox::new(&mut on, track.name()));
        if check.changed() {
            actions.push(Action::Layout(layout.with(track, on)));
        }
    }
    ui.separator();
    let usual = Layout::default();
    if ui.add_enabled(layout != usual, Button::new("As at first")).clicked() {
        actions.push(Action::Layout(usual));
    }
    ui.label(RichText::new("Drag the gap between two\ntracks to resize them.").weak().size(11.5));
}
