//! What is said of how the books of a run close: quietly where they do, and where they do not, that the run failed.

use eframe::egui::{RichText, Ui};

use super::theme::{self, NOTE, Tokens};
use crate::engine::run::LaneRun;
use crate::engine::run::ledger::{CLOSES_TO, Closure, is_closed};

/// What to do with a run whose books do not close.
const ADVICE: &str = "The run failed: do not rely on its figures. The program is at fault, not the bench. Please report it with the \
    scenario file.";

/// The words of the status line: what came in went out or is still there. What does not close is told whatever the room.
pub fn in_status(ui: &mut Ui, t: &Tokens, closure: Closure, has_room: bool) {
    let books = [
        ("water", closure.water, "Water missing or too much, as a share of all water handled"),
        ("salt", closure.salt, "Salt missing or too much, as a share of all salt handled"),
    ];
    for (what, share, meaning) in books.into_iter().filter(|(_, share, _)| !is_closed(*share)) {
        let said = RichText::new(format!("{what} does not close: the run failed")).font(theme::strong(NOTE)).color(t.attention);
        ui.label(said).on_hover_text(format!("{meaning}: {share:.1e}, where {CLOSES_TO:.0e} would be rounding. {ADVICE}"));
    }
    let closed: Vec<_> = books.into_iter().filter(|(_, share, _)| is_closed(*share)).collect();
    if has_room && !closed.is_empty() {
        let names: Vec<&str> = closed.iter().map(|(what, ..)| *what).collect();
        let figures: Vec<String> = closed.iter().map(|(_, share, meaning)| format!("{meaning}: {}", part(*share))).collect();
        let hover = format!("What came in went out or is still there.\n{}", figures.join("\n"));
        ui.label(RichText::new(format!("balance closes: {}", names.join(" and "))).size(NOTE).color(t.quiet)).on_hover_text(hover);
    }
}

/// What stands above a lane's figures where they cannot be relied on.
pub fn in_figures(ui: &mut Ui, t: &Tokens, run: &LaneRun) {
    let closure = run.closure();
    if closure.closes() {
        return;
    }
    let said = format!("This run failed: {closure}. Do not rely on these figures.");
    let hover = format!(
        "Missing or too much, as a share of all handled: water {:.1e}, salt {:.1e}, where {CLOSES_TO:.0e} would be rounding. {ADVICE}",
        closure.water, closure.salt
    );
    ui.label(RichText::new(said).color(t.attention)).on_hover_text(hover);
}

/// A closure as a share: nothing at all is written so.
fn part(share: f64) -> String {
    if share == 0.0 { "0".to_owned() } else { format!("{share:.0e}") }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use eframe::egui::vec2;
    use egui_kittest::Harness;
    use egui_kittest::kittest::Queryable;

    use super::*;
    use crate::app::frame::status;
    use crate::app::pages::bench::figures;
    use crate::app::state::bench::Bench;
    use crate::app::state::disk::Disk;
    use crate::app::state::dismissed::Dismissed;
    use crate::edits::document::Document;
    use crate::engine::run::Run;
    use crate::scenario::presets::{Library, demos};
    use crate::units::Units;

    /// The status line and the figures of the first demo, its run spoilt, in a window so wide.
    fn drawn(width: f32, spoil: impl FnOnce(&mut Run)) -> Harness<'static, (Bench, bool)> {
        let mut bench = Bench::new(Library::shipped(), Document::opened(demos().remove(0).1));
        bench.spoil(spoil);
        let draw = |ui: &mut Ui, (bench, dressed): &mut (Bench, bool)| {
            if !*dressed {
                theme::install(ui.ctx());
                *dressed = true;
                return;
            }
            let t = Tokens::now(ui.ctx());
            status::show(ui, t, bench, (&Disk::default(), false), &mut Vec::new());
            figures::show(ui, t, bench, &Dismissed::default(), &mut Vec::new());
        };
        let mut harness = Harness::builder().with_size(vec2(width, 1400.0)).build_ui_state(draw, (bench, false));
        harness.run();
        harness
    }

    fn count(harness: &Harness<'static, (Bench, bool)>, part: &str) -> usize {
        harness.query_all_by_label_contains(part).count()
    }

    fn state(harness: &Harness<'static, (Bench, bool)>) -> String {
        harness.state().0.plain().day_summary(0).unwrap().state.words(2, Units::default())
    }

    #[test]
    fn what_closes_is_told_quietly() {
        let mut harness = drawn(900.0, |_| ());
        assert_eq!(["balance closes: water and salt", "closes to", "failed"].map(|p| count(&harness, p)), [1, 0, 0]);
        assert_ne!(state(&harness), "lane 2: run failed");
        // The figures stand in the tooltip.
        harness.get_by_label("balance closes: water and salt").hover();
        harness.run();
        assert_eq!((count(&harness, "Water missing or too much"), count(&harness, "Salt missing or too much")), (1, 1));
    }

    #[test]
    fn what_does_not_close_is_told_in_the_line_above_the_figures_and_on_the_strip() {
        let lose = |run: &mut Run| {
            let ledger = &mut Arc::make_mut(&mut run.lanes[1].series).samples.last_mut().unwrap().ledger;
            ledger.salt_stored -= 1e-3 * (ledger.salt_at_start + ledger.salt.applied);
        };
        // Also in a window too narrow to tell how well it closes.
        for width in [900.0, 420.0] {
            let mut harness = drawn(width, lose);
            assert_eq!(count(&harness, "salt does not close: the run failed"), 1);
            let closes = harness.query_all_by_label("balance closes: water").count();
            assert_eq!(closes, usize::from(width > 700.0), "the other book is told as closed only where it is");
            let said = "This run failed: 1 part in 1,000 of the salt is missing or too much. Do not rely on these figures.";
            assert_eq!(count(&harness, said), 1, "of one lane");
            assert!(harness.get_by_label(said).rect().top() > harness.get_by_label_contains("Lane 2 · ").rect().top());
            assert_eq!(state(&harness), "lane 2: run failed");
            // The figures stand in the tooltips.
            for label in ["salt does not close: the run failed", said] {
                harness.get_by_label(label).hover();
                harness.run();
                assert!(count(&harness, "1.0e-3") == 1 && count(&harness, "1e-9 would be rounding") == 1, "{label}");
            }
        }
    }

    #[test]
    fn water_that_does_not_close_is_told_likewise() {
        let harness = drawn(900.0, |run| run.lanes[0].midnights[1].water_stored += 3.0);
        assert_eq!(
            ["water does not close: the run failed", "balance closes: salt", "of the water is"].map(|p| count(&harness, p)),
            [1, 1, 1]
        );
        assert_eq!(state(&harness), "lane 1: run failed");
    }
}
