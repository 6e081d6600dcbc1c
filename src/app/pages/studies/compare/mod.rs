//! Compare: the bench as it stands with states and files beside it.

mod answer;
mod states;
mod values;

use std::sync::Arc;

use eframe::egui::{RichText, Ui};

use super::asking::{answered, title};
use crate::app::actions::action::Action;
use crate::app::look::theme::Tokens;
use crate::app::state::bench::Bench;
use crate::app::state::studies::{Compared, Inquiry, Question, Study};
use crate::studies::compare::{Comparison, FILES};

/// The bench's letter.
const BENCH: char = 'A';

/// What is typed.
#[derive(Default)]
pub struct Page {
    /// The name that the bench is to be kept under.
    name: String,
}

impl Page {
    /// Draws the page.
    pub fn show(&mut self, ui: &mut Ui, t: &Tokens, bench: &Bench, inquiry: &Inquiry<Comparison>, actions: &mut Vec<Action>) {
        title(
            ui,
            t,
            "Compare",
            "What differs between the bench as it stands and states or files beside it: setup, schedule, and the figures of each one's last day.",
        );
        states::show(ui, t, bench, (BENCH, &mut self.name), actions);
        ui.add_space(6.0);
        let compared: Vec<Compared> = bench.others.compared().map(|o| (o.letter, o.name.clone(), Arc::clone(&o.scenario))).collect();
        let is_asked = inquiry.share().is_some() || inquiry.answer().is_some();
        if compared.is_empty() && !is_asked {
            let text = format!("Keep a state or add a file, and tick it to compare: up to {} beside the bench.", FILES.1 - 1);
            ui.label(RichText::new(text).color(t.quiet));
            return;
        }
        let is_as_asked = asked_of(inquiry).is_some_and(|asked| alike(asked, &compared));
        let question = Question::Compare(compared.clone());
        let found = ui.add_enabled_ui(!compared.is_empty() || inquiry.share().is_some(), |ui| {
            answered(ui, t, bench, inquiry, (Study::Compare, "Compare", question), actions)
        });
        let (Some(found), Some(asked)) = (found.inner, asked_of(inquiry)) else { return };
        if !is_as_asked {
            ui.label(RichText::new("What is ticked above has changed since: this is of what was ticked then.").color(t.attention));
        }
        let letters: Vec<char> = std::iter::once(BENCH).chain(asked.iter().map(|c| c.0)).collect();
        answer::show(ui, t, bench.units, (found, &letters));
    }
}

/// The states that the answer is of.
fn asked_of(inquiry: &Inquiry<Comparison>) -> Option<&[Compared]> {
    match &inquiry.asked()?.0 {
        Question::Compare(asked) => Some(asked),
        _ => None,
    }
}

fn alike(a: &[Compared], b: &[Compared]) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| (a.0, &a.1) == (b.0, &b.1) && Arc::ptr_eq(&a.2, &b.2))
}
