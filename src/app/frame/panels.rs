//! Where each panel stands in the window.

use eframe::egui::{CentralPanel, Frame, Margin, Panel, ScrollArea, Ui};

use super::{Shell, focus, menu, notice_bar, status};
use crate::app::actions::action::{Action, Page};
use crate::app::look::theme::Tokens;
use crate::app::pages::Pages;
use crate::app::pages::bench::{about, figures, setup};
use crate::app::state::bench::Bench;
use crate::app::state::disk::Disk;
use crate::app::state::sides::{Side, Sides};
use crate::app::state::studies::Studies;

/// Draws every panel and gathers what they ask for.
pub fn show(ui: &mut Ui, shell: &mut Shell, pages: &mut Pages, (bench, studies): (&Bench, &Studies), disk: &Disk) -> Vec<Action> {
    let t = Tokens::now(ui.ctx());
    let mut actions = Vec::new();
    let bar = Frame::new().fill(t.panel).inner_margin(Margin::symmetric(12, 6));
    let panels = (pages.page, pages.sides, pages.strip.wanted.shown, shell.text_size);
    let is_saving = shell.saving.is_underway();
    let menu = |ui: &mut Ui| menu::show(ui, t, bench, &pages.tracks, disk, panels, &mut actions);
    let top = Panel::top("menu").frame(bar).resizable(false).show(ui, menu).response.rect.height();
    let line = Panel::bottom("status").frame(bar).resizable(false);
    let base = line.show(ui, |ui| status::show(ui, t, bench, (disk, is_saving), &mut actions)).response.rect.height();
    notice_bar::show(ui.ctx(), t, &mut shell.notice, bench.document().generation(), (top, base), &mut actions);
    if pages.page == Page::Depth {
        let frame = Frame::new().fill(t.paper).inner_margin(Margin::symmetric(14, 10));
        CentralPanel::default().frame(frame).show(ui, |ui| pages.depth.show(ui, t, bench.shown(), bench.units));
        return actions;
    }
    if pages.page == Page::Studies {
        let frame = Frame::new().fill(t.paper).inner_margin(Margin::symmetric(14, 10));
        CentralPanel::default().frame(frame).show(ui, |ui| pages.studies.show(ui, t, bench, studies, &mut actions));
        return actions;
    }
    let side = Frame::new().fill(t.paper).inner_margin(Margin::symmetric(10, 8));
    let width = ui.ctx().content_rect().width();
    let (left, right) = Sides::widths(width);
    if pages.sides.shows(Side::Setup, width) {
        // The bar that scrolls stands beside the fields, not over them.
        let outer = side.inner_margin(Margin { left: 10, right: 4, top: 8, bottom: 8 });
        let inner = Frame::new().inner_margin(Margin { right: 8, ..Margin::ZERO });
        let hour = pages.tracks.cursor(bench);
        Panel::left("setup").frame(outer).resizable(false).exact_size(left).show(ui, |ui| {
            // Another bench begins at the top, with fields of its own.
            ui.push_id(bench.documents(), |ui| {
                ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                    inner.show(ui, |ui| setup::show(ui, t, bench, hour, &mut actions));
                    focus::bring_into_view(ui, "setup");
                });
            });
        });
    }
    if pages.sides.shows(Side::Figures, width) {
        Panel::right("figures").frame(side).resizable(false).exact_size(right).show(ui, |ui| {
            let base = Frame::new().inner_margin(Margin { left: 0, right: 0, top: 8, bottom: 0 });
            Panel::bottom("change").frame(base).resizable(false).min_size(86.0).show(ui, |ui| figures::change_block(ui, t, bench));
            ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                figures::show(ui, t, bench, &disk.dismissed, &mut actions);
                focus::bring_into_view(ui, "figures");
            });
        });
    }
    let centre = Frame::new().fill(t.paper).inner_margin(Margin::symmetric(10, 6));
    CentralPanel::default().frame(centre).show(ui, |ui| {
        let note = &bench.shown().scenario.note;
        if !note.is_empty() && !disk.dismissed.holds(note) {
            about::first(ui, t, note, &mut actions);
        }
        pages.strip.show(ui, t, bench, &mut actions);
        let spread = studies.spread_of((bench.documents(), bench.document().generation())).filter(|_| pages.studies.shows_spread());
        pages.tracks.show(ui, t, (bench, spread), &mut actions);
    });
    actions
}
