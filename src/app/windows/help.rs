//! The help: one chapter at a time, with its links and the names of all chapters.

use eframe::egui::{Align, Frame, Label, Layout, RichText, ScrollArea, Ui, vec2};

use crate::app::look::theme::{self, HEAD, Tokens};
use crate::help::{Block, CHAPTERS, Span, target};

/// Draws a chapter, and changes which; tells whether the window is to be closed.
pub fn show(ui: &mut Ui, t: &Tokens, at: &mut usize) -> bool {
    let mut to = None;
    ui.horizontal_wrapped(|ui| {
        for (i, chapter) in CHAPTERS.iter().enumerate() {
            if ui.selectable_label(i == *at, chapter.title()).clicked() && i != *at {
                to = Some(i);
            }
        }
    });
    let height = (ui.ctx().content_rect().height() - 170.0).clamp(160.0, 590.0);
    let area = ScrollArea::vertical().id_salt(("help", *at)).min_scrolled_height(height).max_height(height).auto_shrink([false, false]);
    area.show(ui, |ui| {
        let blocks = CHAPTERS.get(*at).map(crate::help::Chapter::blocks).unwrap_or_default();
        let mut heads: Vec<&[Span<'_>]> = Vec::new();
        for block in &blocks {
            if !matches!(block, Block::Row(_)) {
                heads.clear();
            }
            match block {
                Block::Head(depth, words) => {
                    ui.add_space(if *depth == 1 { 0.0 } else { 6.0 });
                    ui.label(RichText::new(*words).font(theme::strong(if *depth == 1 { 16.0 } else { HEAD })));
                }
                Block::Text(spans) => to = line(ui, t, "", &[spans]).or(to),
                Block::Item(spans) => to = line(ui, t, "•  ", &[spans]).or(to),
                // Rows are read one after the other: the head of a table says what their cells are.
                Block::Row(cells) if heads.is_empty() => {
                    heads = cells.iter().map(Vec::as_slice).collect();
                    let names: Vec<&str> =
                        cells.iter().flatten().filter_map(|s| if let Span::Plain(p) = s { Some(*p) } else { None }).collect();
                    ui.label(RichText::new(names.join("  ·  ")).color(t.quiet));
                }
                Block::Row(cells) => to = line(ui, t, "", &cells.iter().map(Vec::as_slice).collect::<Vec<_>>()).or(to),
                Block::Code(lines) => {
                    Frame::new().fill(t.panel).inner_margin(6).corner_radius(4).show(ui, |ui| {
                        ui.add(Label::new(RichText::new(lines.join("\n")).monospace()).wrap());
                    });
                }
            }
        }
    });
    let close = ui.with_layout(Layout::right_to_left(Align::Center), |ui| ui.button("Close")).inner;
    if ui.memory(|m| m.focused().is_none()) {
        close.request_focus();
    }
    if let Some(to) = to {
        *at = to;
    }
    close.clicked()
}

/// Draws pieces one after the other, cells parted by a dot; gives the chapter that a link in it was followed to.
fn line(ui: &mut Ui, t: &Tokens, before: &str, cells: &[&[Span<'_>]]) -> Option<usize> {
    let mut to = None;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(0.0, 3.0);
        if !before.is_empty() {
            ui.label(before);
        }
        for (i, cell) in cells.iter().enumerate() {
            if i > 0 {
                ui.label(RichText::new("  ·  ").color(t.quiet));
            }
            for span in *cell {
                match *span {
                    Span::Plain(words) => _ = ui.label(words),
                    Span::Code(words) => _ = ui.label(RichText::new(words).monospace().color(t.ink)),
                    Span::Emphasis(words) => _ = ui.label(RichText::new(words).italics()),
                    Span::Strong(words) => _ = ui.label(RichText::new(words).font(theme::strong(theme::TEXT))),
                    Span::Link(words, link) => {
                        if ui.link(words).clicked() {
                            to = target(link);
                        }
                    }
                }
            }
        }
    });
    to
}
