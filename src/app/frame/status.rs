//! The line at the bottom: whether the books close, how long the run took, and whether a file holds it.

use std::path::Path;

use eframe::egui::{Align, Label, Layout, RichText, Ui};

use crate::app::look::books;
use crate::app::look::theme::{NOTE, Tokens};
use crate::app::state::bench::Bench;

/// Width from which how the books close is told, points.
const CLOSURES: f32 = 700.0;
/// Width from which the caution is told whole, points.
const CAUTION: f32 = 820.0;

/// Draws the line.
pub fn show(ui: &mut Ui, t: &Tokens, bench: &Bench, path: Option<&Path>) {
    let shown = bench.shown();
    let room = ui.available_width();
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 18.0;
        let quiet = |text: String| RichText::new(text).size(NOTE).color(t.quiet);
        books::in_status(ui, t, shown.run.closure(), room > CLOSURES);
        let (lanes, days) = (shown.run.lanes.len(), shown.days_run());
        if room > 960.0 {
            let took = format!("{} × {} in {:.1} ms", counted(lanes, "lane"), counted(days, "day"), shown.millis);
            ui.label(quiet(took)).on_hover_text("What the run shown took");
        }
        let (word, hover) = match (bench.document().is_changed(), path) {
            (true, _) => ("not saved", "There are changes that no file holds yet"),
            (false, Some(_)) => ("saved", "The file holds everything"),
            (false, None) => ("nothing to save", "Nothing was changed yet"),
        };
        let saved = ui.label(RichText::new(word).size(NOTE).color(if word == "not saved" { t.attention } else { t.quiet }));
        match path {
            Some(path) => saved.on_hover_text(format!("{hover}: {}", path.display())),
            None => saved.on_hover_text(hover),
        };
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let whole = "A projection to think with. Check with a scale, a probe and the drain.";
            let words = if room > CAUTION { whole } else { "A projection: check the plant and the drain." };
            ui.add(Label::new(quiet(words.to_owned())).truncate()).on_hover_text(whole);
        });
    });
}

fn counted(n: usize, one: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") }
}
