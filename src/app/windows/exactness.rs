//! The small window that tells how exact the bench is, beside it: it can be worked on meanwhile.

use std::time::Duration;

use eframe::egui::{self, Button, Grid, Id, ProgressBar, RichText, ScrollArea, Ui, Window, pos2};

use crate::app::actions::action::Action;
use crate::app::look::theme::{NOTE, TEXT, Tokens};
use crate::app::look::widgets::lane_head;
use crate::app::state::bench::Bench;
use crate::app::state::exactness::Known;
use crate::studies::exactness::{Exactness, LaneExactness, words};
use crate::units::Units;

/// What it is called, in the menu as well.
pub const TITLE: &str = "How exact is this bench?";

/// Widest that it is, points.
const WIDTH: f32 = 560.0;
/// What stands around what scrolls: the bar above, the line below, and its own head and foot.
const AROUND: f32 = 300.0;
/// How often it looks how far it is.
const LOOKS: Duration = Duration::from_millis(100);

const WHAT: &str = "The same bench is run with thinner layers and a tighter tolerance. How far its figures are from that is the error of the \
    computation. What is not known of media, plants and emitters is more.";

/// Draws the window where it was asked for.
pub fn show(ctx: &egui::Context, bench: &Bench, actions: &mut Vec<Action>) {
    let Some(known) = bench.exactness() else { return };
    let t = Tokens::now(ctx);
    let mut open = true;
    let frame = egui::Frame::window(&ctx.global_style()).fill(t.card);
    let room = ctx.content_rect();
    let window = Window::new(TITLE).id(Id::unique("exactness")).frame(frame).open(&mut open);
    let window = window.collapsible(false).resizable(false).default_pos(pos2(room.center().x - 0.5 * WIDTH, room.top() + 110.0));
    window.show(ctx, |ui| {
        ui.set_width(WIDTH.min(room.width() - 60.0));
        ui.label(RichText::new(WHAT).color(t.quiet));
        ui.add_space(4.0);
        match known {
            Known::Running(share) => running(ui, t, share, actions),
            Known::Found(exactness) => found(ui, t, exactness, bench.units),
            Known::Failed(why) => {
                ui.label(RichText::new(format!("It cannot be told: {why}.")).color(t.attention));
            }
            Known::Outdated => {
                ui.label("The bench has changed since. What was known of it no longer holds.");
                if ui.button("Find out again").clicked() {
                    actions.push(Action::Exactness);
                }
            }
        }
    });
    if !open {
        actions.push(Action::CloseExactness);
    }
}

fn running(ui: &mut Ui, t: &Tokens, share: f32, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        // What is still to be done is seen on the card, too.
        ui.visuals_mut().extreme_bg_color = t.night;
        ui.add(ProgressBar::new(share).desired_width(ui.available_width() - 84.0).show_percentage());
        if ui.add_sized([72.0, 20.0], Button::new("Cancel")).clicked() {
            actions.push(Action::CloseExactness);
        }
    });
    ui.ctx().request_repaint_after(LOOKS);
}

fn found(ui: &mut Ui, t: &Tokens, exactness: &Exactness, units: Units) {
    ui.label(format!("{}:", words::head(exactness)));
    ui.add_space(2.0);
    let height = (ui.ctx().content_rect().height() - AROUND).max(120.0);
    ScrollArea::vertical().max_height(height).auto_shrink([false, true]).show(ui, |ui| {
        for (index, lane) in exactness.lanes.iter().enumerate() {
            of_lane(ui, t, index, lane, units);
        }
    });
    let quiet = |text: String| RichText::new(text).size(NOTE).color(t.quiet);
    if let Some(calls) = &exactness.calls {
        ui.label(quiet(words::calls(calls)));
    }
    ui.label(quiet(words::aim()));
}

fn of_lane(ui: &mut Ui, t: &Tokens, index: usize, lane: &LaneExactness, units: Units) {
    lane_head(ui, t, index, &lane.lane);
    ui.label(RichText::new(format!("{} layers, {} in the finer run", lane.layers, lane.finer_layers)).size(NOTE).color(t.quiet));
    if let Some(broken) = &lane.broken {
        ui.label(RichText::new(words::sentence(broken)).color(t.attention));
    }
    Grid::new(Id::unique("exactness of a lane").with(index)).num_columns(4).spacing([14.0, 3.0]).show(ui, |ui| {
        for line in words::lines(lane, units) {
            ui.label(RichText::new(&line.what).size(TEXT));
            ui.label(RichText::new(&line.by).size(TEXT));
            ui.label(RichText::new(&line.when).size(NOTE).color(t.quiet));
            let colour = if line.within_aim == Some(false) { t.attention } else { t.good };
            ui.label(RichText::new(line.aim()).size(NOTE).color(colour));
            ui.end_row();
        }
    });
    ui.add_space(6.0);
}

#[cfg(test)]
mod tests {
    use egui_kittest::Harness;
    use egui_kittest::kittest::Queryable;

    use super::*;
    use crate::app::look::theme;
    use crate::edits::document::Document;
    use crate::scenario::presets::{Library, demos};

    #[test]
    fn a_bench_that_cannot_be_projected_is_told_so_at_once() {
        let mut scenario = demos().remove(0).1;
        scenario.lanes[0].demand = crate::scenario::Demand::Measured { litres_per_day: -1.0, steady_share: 0.1 };
        let bench = Bench::new(Library::shipped(), Document::opened(scenario));
        let draw = |ui: &mut Ui, (bench, dressed): &mut (Bench, bool)| {
            if std::mem::replace(dressed, true) {
                bench.follow(ui.ctx());
                show(ui.ctx(), bench, &mut Vec::new());
            } else {
                theme::install(ui.ctx());
                bench.find_exactness(ui.ctx());
            }
        };
        let mut harness = Harness::builder().build_ui_state(draw, (bench, false));
        harness.run();
        harness.get_by_label("It cannot be told: the bench cannot be projected as it stands.");
    }
}
