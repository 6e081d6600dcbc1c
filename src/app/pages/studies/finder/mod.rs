//! The schedule finder: aims and equipment, the schedule proposed, what can be traded for what, and taking it.

mod day;
mod form;
mod proposed;
mod trade_off;

use eframe::egui::{ComboBox, Grid, Id, RichText, Ui};

use self::trade_off::{TradeOff, place_on_bench};
use super::asking::{answered, title};
use super::fields::gap;
use crate::app::actions::action::Action;
use crate::app::look::theme::{self, HEAD, NOTE, TEXT, Tokens};
use crate::app::look::widgets::lane_head;
use crate::app::state::bench::Bench;
use crate::app::state::studies::{Inquiry, Question, Study};
use crate::studies::finder::{Asked, Found, band, usual_rinse, words};
use crate::units::Units;

/// What is asked, and which point is looked at.
#[derive(Default)]
pub struct Page {
    asked: Option<Asked>,
    /// The document that it was asked of.
    document: u64,
    trade_off: TradeOff,
}

impl Page {
    /// Draws the page.
    pub fn show(&mut self, ui: &mut Ui, t: &Tokens, bench: &Bench, inquiry: &Inquiry<Found>, actions: &mut Vec<Action>) {
        title(
            ui,
            t,
            "Schedule finder",
            "A clock schedule that meets the lanes' aims on the day that repeats itself, as far as one schedule can. Aims stand under \
             Targets in the setup.",
        );
        if self.document != bench.documents() {
            *self = Self { document: bench.documents(), ..Self::default() };
        }
        let asked = self.asked.get_or_insert_with(|| Asked::within_the_light(bench.document().scenario()));
        let valves = &bench.document().scenario().valves;
        let before = asked.valve;
        asked.valve = asked.valve.min(valves.len().saturating_sub(1));
        if valves.len() > 1 {
            ui.horizontal(|ui| {
                let label = ui.label("For the lanes of");
                let named = |v: usize| valves.get(v).map_or("", |valve| valve.name.as_str());
                let shown = ComboBox::from_id_salt("valve asked for").selected_text(named(asked.valve)).show_ui(ui, |ui| {
                    for v in 0..valves.len() {
                        ui.selectable_value(&mut asked.valve, v, named(v));
                    }
                });
                shown.response.labelled_by(label.id);
            });
        }
        if asked.valve != before {
            asked.rinse_ec = Some(usual_rinse(bench.document().scenario(), asked.valve));
        }
        form::show(ui, t, bench, asked);
        ui.add_space(4.0);
        let question = (Study::Schedule, "Find a schedule", Question::Schedule(*asked));
        let Some(found) = answered(ui, t, bench, inquiry, question, actions) else {
            self.trade_off.forget();
            return;
        };
        for sentence in words(found, bench.units) {
            ui.label(sentence);
        }
        ui.add_space(6.0);
        ui.label(RichText::new("Proposed").font(theme::strong(HEAD)));
        day::show(ui, t, &found.events, bench.units);
        let name = format!("Take the schedule found, {} events", found.events.len());
        proposed::decide(ui, t, bench, proposed::of(found, name, &found.events, found.feed_ec), actions);
        ui.add_space(6.0);
        for (index, lane) in found.lanes.iter().enumerate() {
            lane_head(ui, t, place_on_bench(found, index), &lane.lane);
            ui.label(RichText::new(&lane.told).size(NOTE).color(t.quiet));
            aims(ui, t, (bench.units, index), found, &lane.lane);
            ui.add_space(6.0);
        }
        self.trade_off.show(ui, t, bench, found, actions);
    }
}

/// Every aim of a lane and what it comes to.
fn aims(ui: &mut Ui, t: &Tokens, (units, index): (Units, usize), found: &Found, lane: &str) {
    let gap = gap(ui);
    Grid::new(Id::unique("aims of a lane found").with(index)).num_columns(4).spacing([gap, 3.0]).show(ui, |ui| {
        for told in found.aims.iter().filter(|a| a.lane == lane) {
            let (figure, unit) = (told.figure, told.figure.unit(units));
            ui.label(RichText::new(figure.name()).size(TEXT));
            ui.label(told.value.map_or_else(|| "–".to_owned(), |v| format!("{} {unit}", figure.number(v, units))));
            ui.label(RichText::new(format!("aim {}", band(figure, told.aim, units))).size(NOTE).color(t.quiet));
            let (word, colour) = if told.met { ("met", t.good) } else { ("missed", t.attention) };
            ui.label(RichText::new(word).color(colour));
            ui.end_row();
        }
    });
}
