//! Where each panel stands in the window.

use eframe::egui::{self, CentralPanel, Frame, Margin, Panel, ScrollArea, Ui, ViewportCommand};

use super::{focus, menu, status};
use crate::app::App;
use crate::app::actions::action::{Action, Page};
use crate::app::look::theme::Tokens;
use crate::app::pages::bench::{figures, setup};
use crate::app::state::sides::{Side, Sides};

impl App {
    pub(in crate::app) fn show_title(&mut self, ctx: &egui::Context) {
        let document = self.bench.document();
        let edited = if document.is_changed() { " (edited)" } else { "" };
        let title = format!("{}{edited} · Slakeline", document.scenario().name);
        if title != self.title {
            ctx.send_viewport_cmd(ViewportCommand::Title(title.clone()));
            self.title = title;
        }
    }

    /// Draws every panel and gathers what they ask for.
    pub(in crate::app) fn panels(&mut self, ui: &mut Ui) -> Vec<Action> {
        let t = Tokens::now(ui.ctx());
        let mut actions = Vec::new();
        let bar = Frame::new().fill(t.panel).inner_margin(Margin::symmetric(12, 6));
        let panels = (self.page, self.sides, self.strip.wanted.shown);
        let menu = |ui: &mut Ui| menu::show(ui, t, &self.bench, &self.tracks, &self.recent, panels, &mut actions);
        Panel::top("menu").frame(bar).resizable(false).show(ui, menu);
        Panel::bottom("status").frame(bar).resizable(false).show(ui, |ui| status::show(ui, t, &self.bench, self.path.as_deref()));
        self.notice_bar(ui, t, &mut actions);
        if self.page == Page::Depth {
            let frame = Frame::new().fill(t.paper).inner_margin(Margin::symmetric(14, 10));
            CentralPanel::default().frame(frame).show(ui, |ui| self.depth.show(ui, t, self.bench.shown(), self.bench.units));
            return actions;
        }
        let side = Frame::new().fill(t.paper).inner_margin(Margin::symmetric(10, 8));
        let width = ui.ctx().content_rect().width();
        let (left, right) = Sides::widths(width);
        if self.sides.shows(Side::Setup, width) {
            // The bar that scrolls stands beside the fields, not over them.
            let outer = side.inner_margin(Margin { left: 10, right: 4, top: 8, bottom: 8 });
            let inner = Frame::new().inner_margin(Margin { right: 8, ..Margin::ZERO });
            let hour = self.tracks.cursor(&self.bench);
            Panel::left("setup").frame(outer).resizable(false).exact_size(left).show(ui, |ui| {
                ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                    inner.show(ui, |ui| setup::show(ui, t, &self.bench, hour, &mut actions));
                    focus::bring_into_view(ui, "setup");
                });
            });
        }
        if self.sides.shows(Side::Figures, width) {
            Panel::right("figures").frame(side).resizable(false).exact_size(right).show(ui, |ui| {
                let base = Frame::new().inner_margin(Margin { left: 0, right: 0, top: 8, bottom: 0 });
                Panel::bottom("change")
                    .frame(base)
                    .resizable(false)
                    .min_size(86.0)
                    .show(ui, |ui| figures::change_block(ui, t, &self.bench));
                ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                    figures::show(ui, t, &self.bench, &mut actions);
                    focus::bring_into_view(ui, "figures");
                });
            });
        }
        let centre = Frame::new().fill(t.paper).inner_margin(Margin::symmetric(10, 6));
        CentralPanel::default().frame(centre).show(ui, |ui| {
            self.strip.show(ui, t, &self.bench, &mut actions);
            self.tracks.show(ui, t, &self.bench, &mut actions);
        });
        actions
    }
}
