//! The studies: questions asked of the bench as it stands, one page each. They are worked on beside the frames; where parts are
//! found one by one, those are on show, and what is proposed is laid back as one named change.

mod asking;
mod choice;
mod compare;
mod fields;
mod figure_words;
mod finder;
mod flush;
mod grace;
mod plot;
mod spread;

use eframe::egui::{Button, RichText, ScrollArea, Ui, vec2};

use crate::app::actions::action::Action;
use crate::app::look::theme::{self, HEAD, NOTE, Tokens};
use crate::app::state::bench::Bench;
use crate::app::state::studies::{self, Study};

/// What the pages remember between frames.
#[derive(Default)]
pub struct Studies {
    study: Study,
    grace: grace::Page,
    finder: finder::Page,
    flush: flush::Page,
    spread: spread::Page,
    choice: choice::Page,
    compare: compare::Page,
}

/// Each study: its name, and the question it answers.
const STUDIES: [(Study, &str, &str); 6] = [
    (Study::Grace, "Grace time", "How long have I got when the pump fails?"),
    (Study::Schedule, "Schedule finder", "What should I set?"),
    (Study::Flush, "Flush", "How much does it take to rinse salt out?"),
    (Study::Spread, "Spread", "How sure is it?"),
    (Study::Choice, "Choice of root zone", "Small slab or large pot?"),
    (Study::Compare, "Compare", "What differs from another state, or a file?"),
];

/// Width of the list: in a page narrower than the second it has the third, for what is told needs the room.
const LIST: [f32; 3] = [200.0, 720.0, 146.0];

impl Studies {
    /// Whether the bands of the spread are wanted on the tracks, too.
    #[must_use]
    pub fn shows_spread(&self) -> bool {
        self.spread.on_tracks()
    }

    /// Draws the list and the study chosen.
    pub fn show(&mut self, ui: &mut Ui, t: &Tokens, bench: &Bench, known: &studies::Studies, actions: &mut Vec<Action>) {
        let list = if ui.available_width() < LIST[1] { LIST[2] } else { LIST[0] };
        ui.horizontal_top(|ui| {
            ui.vertical(|ui| {
                ui.set_width(list);
                for (study, name, question) in STUDIES {
                    let chosen = self.study == study;
                    let text = RichText::new(name).font(theme::strong(HEAD));
                    if ui.add(Button::selectable(chosen, text).min_size(vec2(list, 24.0))).clicked() {
                        self.study = study;
                    }
                    ui.indent(name, |ui| ui.label(RichText::new(question).size(NOTE).color(t.quiet)));
                    ui.add_space(8.0);
                }
            });
            ui.separator();
            ui.vertical(|ui| {
                ScrollArea::vertical().id_salt(self.study as u8).auto_shrink(false).show(ui, |ui| match self.study {
                    Study::Grace => self.grace.show(ui, t, bench, &known.grace, actions),
                    Study::Schedule => self.finder.show(ui, t, bench, &known.schedule, actions),
                    Study::Flush => self.flush.show(ui, t, bench, &known.flush, actions),
                    Study::Spread => self.spread.show(ui, t, bench, &known.spread, actions),
                    Study::Choice => self.choice.show(ui, t, bench, &known.choice, actions),
                    Study::Compare => self.compare.show(ui, t, bench, &known.compare, actions),
                });
            });
        });
    }
}
