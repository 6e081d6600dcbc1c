//! What the fields of a card work with: a change is one step of the edit list; menus, switches, notes and folds.

use eframe::egui::{CollapsingHeader, ComboBox, Frame, Id, Margin, Response, RichText, Stroke, Ui};

use super::rows::{fitting, row};
use crate::app::actions::action::Action;
use crate::app::look::theme::{NOTE, Tokens};
use crate::app::state::bench::Bench;
use crate::edits::{fit, naming};
use crate::scenario::presets::Library;
use crate::scenario::{Plan, Scenario};
use crate::units::Units;

/// What the fields of a card work with.
pub struct Form<'a> {
    /// The scenario that fields speak of: changes start from it.
    pub scenario: &'a Scenario,
    /// The scenario after what was set so far in this frame: what is set next starts from it.
    so_far: Option<Scenario>,
    /// The presets at hand.
    pub library: &'a Library,
    /// The units shown.
    pub units: Units,
    /// The colours.
    pub t: &'a Tokens,
    /// Counts the documents: what is typed into one of them is not for the next.
    pub document: u64,
    /// What is asked for.
    pub actions: &'a mut Vec<Action>,
    /// A key for each lane that follows it when lanes change places.
    pub keys: Vec<u64>,
    /// How many folds deep the next field stands.
    pub depth: usize,
    /// The plan on show, which events and rules are those of.
    pub plan: Plan,
    /// What is drawn of the bench.
    pub bench: &'a Bench,
}

/// Told when an edit of one field moved what had been entered in another.
const FITTED: &str = "Start, roots, outlet or probe of a lane no longer fitted and were carried over to its new height, layers or media; \
    rules whose probe or climate is gone are gone, too. Undo brings all back.";

impl<'a> Form<'a> {
    /// A form on what stands on the bench.
    #[must_use]
    pub fn new(bench: &'a Bench, t: &'a Tokens, keys: Vec<u64>, actions: &'a mut Vec<Action>) -> Self {
        let scenario = &**bench.scenario();
        Self {
            scenario,
            so_far: None,
            library: bench.library(),
            units: bench.units,
            t,
            document: bench.documents(),
            actions,
            keys,
            depth: 0,
            plan: bench.plan(),
            bench,
        }
    }
}

impl Form<'_> {
    /// Makes a change under a name, as one step.
    pub fn set(&mut self, name: impl Into<String>, change: impl FnOnce(&mut Scenario)) {
        let (after, moved) = self.changed(change);
        self.actions.push(Action::SetField(name.into(), Box::new(after.clone())));
        self.so_far = Some(after);
        if moved {
            self.actions.push(Action::Tell(FITTED.to_owned()));
        }
    }

    /// Tells what else a change did, after what has been told of it.
    pub fn also(&mut self, text: &str) {
        match self.actions.last_mut() {
            Some(Action::Tell(told)) => *told = format!("{told} {text}"),
            _ => self.actions.push(Action::Tell(text.to_owned())),
        }
    }

    /// The scenario with what was set so far in this frame.
    #[must_use]
    pub fn now(&self) -> &Scenario {
        self.so_far.as_ref().unwrap_or(self.scenario)
    }

    /// The scenario after a change, and whether anything else had to follow it.
    pub(super) fn changed(&self, change: impl FnOnce(&mut Scenario)) -> (Scenario, bool) {
        let mut after = self.now().clone();
        change(&mut after);
        naming::follow(&mut after, self.now(), self.library);
        let moved = fit::fit(&mut after, self.library);
        (after, moved)
    }

    /// What a lane's fold or field is known by: it stays the lane's when lanes change places.
    #[must_use]
    pub fn id(&self, lane: usize, what: impl std::hash::Hash + std::fmt::Debug) -> Id {
        Id::unique((self.keys.get(lane).copied().unwrap_or(u64::MAX), what))
    }

    /// A menu of choices. Returns the one just chosen.
    pub fn choice(&mut self, ui: &mut Ui, id: Id, words: [&str; 2], now: &str, choices: &[String]) -> Option<usize> {
        let mut chosen = None;
        row(ui, words[0], |ui, label| {
            let width = ui.available_width().min(170.0);
            let menu = ComboBox::from_id_salt(id).width(width).height(420.0).truncate().selected_text(now).show_ui(ui, |ui| {
                for (i, choice) in choices.iter().enumerate() {
                    if ui.selectable_label(choice == now, choice).clicked() && choice != now {
                        chosen = Some(i);
                        // Enter, unlike a click, leaves the list open.
                        ui.close();
                    }
                }
            });
            // A long name is cut in the field and told whole here.
            menu.response.labelled_by(label).on_hover_text(format!("{now}\n{}", words[1]));
        });
        chosen
    }

    /// A switch.
    pub fn switch(&mut self, ui: &mut Ui, words: [&str; 2], now: bool) -> bool {
        let mut on = now;
        ui.checkbox(&mut on, words[0]).on_hover_text(words[1]).changed()
    }

    /// A fact that is only shown.
    pub fn fact(&self, ui: &mut Ui, name: &str, value: &str) {
        row(ui, name, |ui, _: Id| {
            ui.label(RichText::new(value).color(self.t.quiet));
        });
    }

    /// A quiet line.
    pub fn note(&self, ui: &mut Ui, text: &str) -> Response {
        ui.label(RichText::new(text).size(NOTE).color(self.t.quiet))
    }

    /// What belongs to the line above stands a little in, along a line of its own.
    pub fn inset(&mut self, ui: &mut Ui, body: impl FnOnce(&mut Self, &mut Ui)) {
        let margin = Margin { left: 8, ..Margin::ZERO };
        let within = Frame::new().inner_margin(margin).show(ui, |ui| body(self, ui)).response.rect;
        ui.painter().vline(within.left() + 2.0, within.y_range(), Stroke::new(1.0, self.t.rule));
    }

    /// Unfolds a part, or folds it away, when it is drawn next.
    pub fn unfold(ui: &Ui, id: Id, open: bool) {
        ui.data_mut(|d| d.insert_temp(id.with("unfold"), open));
    }

    /// A part that is folded away until it is wanted.
    pub fn fold(&mut self, ui: &mut Ui, id: Id, head: &str, open: bool, body: impl FnOnce(&mut Self, &mut Ui)) {
        let fits = fitting(ui, head);
        let fold = CollapsingHeader::new(RichText::new(&fits).color(self.t.ink)).id_salt(id).default_open(open);
        let fold = fold.open(ui.data_mut(|d| d.remove_temp::<bool>(id.with("unfold"))));
        let inset = self.depth > 0;
        self.depth += 1;
        let shown = fold.show_unindented(ui, |ui| {
            if inset {
                self.inset(ui, body);
            } else {
                body(self, ui);
            }
            ui.add_space(4.0);
        });
        self.depth -= 1;
        if fits != head {
            shown.header_response.on_hover_text(head);
        }
    }
}

/// A label within a sentence: names in capitals keep them.
#[must_use]
pub fn lower(label: &str) -> String {
    let mut chars = label.chars();
    let (first, second) = (chars.next(), chars.clone().next());
    match first {
        Some(c) if !second.is_some_and(char::is_uppercase) => c.to_lowercase().chain(chars).collect(),
        _ => label.to_owned(),
    }
}
