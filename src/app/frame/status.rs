//! The line at the bottom: whether the books close, how long the run took, what is being computed, and whether a file holds it.

use std::time::Duration;

use eframe::egui::{Align, Label, Layout, ProgressBar, RichText, Ui};

use crate::app::actions::action::Action;
use crate::app::look::books;
use crate::app::look::theme::{NOTE, Tokens};
use crate::app::state::bench::Bench;
use crate::app::state::disk::Disk;
use crate::app::state::waking::LOOKS;
use crate::jobs::Underway;

/// Width from which how the books close is told, points.
const CLOSURES: f32 = 700.0;
/// The same while something is being computed.
const CLOSURES_BESIDE: f32 = 1180.0;
/// Width from which the caution is told whole, points.
const CAUTION: f32 = 820.0;
/// What takes no longer is not told: it would only flicker.
const SOON: Duration = Duration::from_millis(250);
/// Width of the bar of progress, points.
const BAR: f32 = 110.0;
/// Height of what stands in the line, points.
const HIGH: f32 = 16.0;

/// Draws the line.
pub fn show(ui: &mut Ui, t: &Tokens, bench: &Bench, (disk, is_saving): (&Disk, bool), actions: &mut Vec<Action>) {
    let (shown, path) = (bench.shown(), disk.path.as_deref());
    let room = ui.available_width();
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 18.0;
        let quiet = |text: String| RichText::new(text).size(NOTE).color(t.quiet);
        let busy = computing(ui, t, bench, disk, actions);
        books::in_status(ui, t, shown.run.closure(), room > if busy { CLOSURES_BESIDE } else { CLOSURES });
        let (lanes, days) = (shown.run.lanes.len(), shown.days_run());
        if room > 960.0 && !busy && lanes > 0 {
            let took = format!("{} × {} in {}", counted(lanes, "lane"), counted(days, "day"), lasted(shown.millis));
            ui.label(quiet(took)).on_hover_text("What the run shown took");
        }
        let (word, hover) = match (bench.document().is_changed(), path) {
            _ if is_saving => ("saving…", "The file is being written"),
            _ if disk.elsewhere.is_some() => {
                ("changed elsewhere", "Another program, or another window, has changed the file. Save asks what counts")
            }
            (true, _) => ("not saved", "There are changes that no file holds yet"),
            (false, Some(_)) => ("saved", "The file holds everything"),
            (false, None) => ("nothing to save", "Nothing was changed yet"),
        };
        let saved = ui.label(RichText::new(word).size(NOTE).color(if matches!(word, "not saved" | "changed elsewhere") {
            t.attention
        } else {
            t.quiet
        }));
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

/// What is being computed beside the frames, with how far it is and a button that gives it up. Tells whether there is anything to tell.
fn computing(ui: &mut Ui, t: &Tokens, bench: &Bench, disk: &Disk, actions: &mut Vec<Action>) -> bool {
    if let Some((name, underway)) = disk.opening.underway() {
        let words = if underway.words.is_empty() { "Getting ready".to_owned() } else { underway.words.clone() };
        let hover = format!("{name} is being opened. The bench from before is shown until it is there.");
        return progress(ui, t, (&format!("Opening {name}: {}", lower(&words)), &hover), &underway, Action::CancelOpening, actions);
    }
    if let Some((results, underway)) = disk.exporting.underway() {
        let words = format!("Exporting the {}", results.words().0);
        let hover = "You can go on meanwhile. Cancel writes no file.";
        return progress(ui, t, (&words, hover), &underway, Action::CancelExport, actions);
    }
    if let Some(running) = bench.running() {
        let partly = !bench.plain().is_whole() && !bench.plain().is_waiting();
        let hover = if bench.is_behind() && bench.plain().begins_as_before {
            "The day shown begins as before the change until its run-in is done. Cancel takes the change back; Redo makes it again."
        } else if bench.is_behind() && partly {
            "The day shown is there, those after it follow. Cancel takes the change back; Redo makes it again."
        } else if bench.is_behind() {
            "The curves and figures are those of before until it is done. Cancel takes the change back; Redo makes it again."
        } else {
            "You can go on meanwhile. Cancel leaves the bench as it was."
        };
        let words = if running.underway.words.is_empty() { "Getting ready" } else { &running.underway.words };
        return progress(ui, t, (words, hover), &running.underway, Action::CancelComputing(running.what), actions);
    }
    if bench.shown().is_waiting() {
        ui.label(RichText::new("not computed").size(NOTE).color(t.attention)).on_hover_text("There are no curves and figures yet");
        if ui.small_button("Compute").clicked() {
            actions.push(Action::Compute);
        }
        return true;
    }
    false
}

fn progress(ui: &mut Ui, t: &Tokens, (words, hover): (&str, &str), underway: &Underway, cancel: Action, actions: &mut Vec<Action>) -> bool {
    ui.ctx().request_repaint_after(LOOKS);
    if underway.waited < SOON {
        return false;
    }
    // What is still to be done is seen on the panel, too.
    ui.visuals_mut().extreme_bg_color = t.night;
    #[allow(clippy::cast_possible_truncation)]
    let bar = ProgressBar::new(underway.share as f32).desired_width(BAR).desired_height(HIGH);
    ui.spacing_mut().item_spacing.x = 8.0;
    ui.add(bar.text(RichText::new(format!("{:.0} %", 100.0 * underway.share)).size(NOTE).color(t.ink)));
    ui.label(RichText::new(words).size(NOTE).color(t.ink)).on_hover_text(hover);
    if ui.small_button("Cancel").on_hover_text(hover).clicked() {
        actions.push(cancel);
    }
    ui.spacing_mut().item_spacing.x = 18.0;
    true
}

/// Words within a sentence.
fn lower(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |first| first.to_lowercase().chain(chars).collect())
}

/// A time that a run took.
fn lasted(millis: f64) -> String {
    if millis < 1000.0 { format!("{millis:.1} ms") } else { format!("{:.1} s", millis / 1000.0) }
}

fn counted(n: usize, one: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") }
}
