//! What can be said and allowed while a climate log is read, and what is done with it once it is taken.

use eframe::egui::{DragValue, RichText, TextEdit, Ui};

use super::ClimateForm;
use super::lanes::{Lanes, many};
use crate::app::look::theme::{NOTE, Tokens};
use crate::physics::light::Source;
use crate::readings::{Asks, Kind, Problem};
use crate::readings::{parse_zone, zone_text};
use crate::scenario::Scenario;
use crate::scenario::presets::Library;
use crate::units::HOUR_S;

/// The longest gap that can be allowed, h.
const LONGEST_GAP_H: f64 = 24.0;

impl ClimateForm {
    /// Draws what the file leaves unsaid and what may be done about its problems.
    pub(super) fn reading_choices(&mut self, ui: &mut Ui, t: &Tokens) {
        let Some(answer) = &self.answer else { return };
        let stands = |which: fn(&Problem) -> bool| answer.read.as_ref().is_err_and(|problems| problems.iter().any(which));
        let source = stands(|p| p.asks == Some(Asks::Source));
        let transmission = stands(|p| p.asks == Some(Asks::Transmission));
        let gap = stands(|p| p.kind == Kind::Gap);
        let (zone, settles) = (answer.read.as_ref().ok().and_then(|reading| reading.zone), answer.settles);
        if self.options.source.is_some() || source {
            self.source(ui);
        }
        if self.options.transmission.is_some() || transmission {
            self.transmission(ui, t);
        }
        if zone.is_some() || self.options.zone.is_some() || !self.zone.is_empty() {
            self.zone(ui, t, zone);
        }
        if self.options.skip_bad || settles.skip_bad > 0 {
            let text = format!("Leave bad rows out: settles {}", many(settles.skip_bad, "problem"));
            ui.checkbox(&mut self.options.skip_bad, text).on_hover_text(
                "Rows that cannot be read or believed, that stand twice or out of order; the second of an hour that stands twice; a \
                 first or last day that misses too much. What they leave may be a gap then.",
            );
        }
        if self.options.fill_gaps || settles.fill_gaps > 0 || gap {
            self.gaps(ui, settles.fill_gaps);
        }
    }

    fn source(&mut self, ui: &mut Ui) {
        ui.horizontal_wrapped(|ui| {
            ui.label("Light in µmol/m²/s comes from");
            let hover = "Photons of sun, LED and sodium lamps bring different heat, so they load the canopy differently.";
            for (source, name) in [(Source::Sun, "sun"), (Source::Led, "LED"), (Source::Sodium, "sodium lamps")] {
                ui.radio_value(&mut self.options.source, Some(source), name).on_hover_text(hover);
            }
        });
    }

    fn transmission(&mut self, ui: &mut Ui, t: &Tokens) {
        ui.horizontal_wrapped(|ui| {
            let label = ui.label("Share of the light outside that comes in");
            let mut percent = self.options.transmission.map_or(0.0, |share| 100.0 * share);
            let drag = DragValue::new(&mut percent)
                .range(1.0..=100.0)
                .clamp_existing_to_range(false)
                .speed(0.5)
                .max_decimals(1)
                .custom_formatter(|v, _| if v > 0.0 { format!("{v:.1} %") } else { "not said".to_owned() })
                .custom_parser(percent_of);
            if ui.add(drag).labelled_by(label.id).on_hover_text("1 to 100 %. Measure it, or ask who built the house.").changed() {
                self.options.transmission = (percent > 0.0).then_some(percent / 100.0);
            }
            ui.label(RichText::new("through glass, frame and screens").size(NOTE).color(t.quiet));
        });
    }

    fn zone(&mut self, ui: &mut Ui, t: &Tokens, told_by: Option<i32>) {
        ui.horizontal_wrapped(|ui| {
            let label = ui.label("Zone of the house");
            let hint = told_by.map_or_else(|| "+01:00".to_owned(), zone_text);
            let field =
                ui.add(TextEdit::singleline(&mut self.zone).desired_width(70.0).char_limit(9).hint_text(hint)).labelled_by(label.id);
            let field =
                field.on_hover_text("Days are told by this clock. Write it as +01:00, -05:00 or Z; empty is the zone of the first row.");
            if field.changed() {
                self.options.zone = parse_zone(self.zone.trim());
            }
            let note = if self.zone_is_wrong() { "Write it as +01:00, -05:00 or Z." } else { "for times that are written with one" };
            ui.label(RichText::new(note).size(NOTE).color(if self.zone_is_wrong() { t.attention } else { t.quiet }));
        });
    }

    /// Whether what was typed is no zone.
    pub(super) fn zone_is_wrong(&self) -> bool {
        !self.zone.trim().is_empty() && self.options.zone.is_none()
    }

    fn gaps(&mut self, ui: &mut Ui, settled: usize) {
        ui.horizontal_wrapped(|ui| {
            ui.checkbox(&mut self.options.fill_gaps, "Fill gaps by a straight line,")
                .on_hover_text("Between the rows around it. At the log's beginning and end the nearest row stands for what is missing.");
            let mut hours = f64::from(self.options.longest_gap_s) / HOUR_S;
            let label = ui.label("up to");
            let drag = DragValue::new(&mut hours).range(0.0..=LONGEST_GAP_H).speed(0.05).max_decimals(1).suffix(" h");
            if ui.add(drag).labelled_by(label.id).on_hover_text("The longest gap that is filled, 0 to 24 h").changed() {
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0 to 86,400
                let seconds = (hours * HOUR_S).round() as u32;
                self.options.longest_gap_s = seconds;
            }
            ui.label(format!("long: settles {}", many(settled, "gap")));
        });
    }

    /// Draws what else is done when the log is taken.
    pub(super) fn taking_choices(&mut self, ui: &mut Ui, t: &Tokens, scenario: &Scenario, library: &Library) {
        let Some(days) = self.reading().map(|reading| reading.days) else { return };
        if days != scenario.days {
            let text = format!("Run {}, as many as the log has", many(days as usize, "day"));
            let now = format!("The bench runs {} now. Many days take a while to compute.", many(scenario.days as usize, "day"));
            ui.checkbox(&mut self.run_days, text).on_hover_text(now);
        }
        let lanes = Lanes::of(scenario, library);
        if !lanes.can.is_empty() {
            let text = format!("Compute the plants' use from it, in {}", many(lanes.can.len(), "lane"));
            ui.checkbox(&mut self.compute_use, text)
                .on_hover_text("From light, air and leaf area, ±30 % until you scale it to what you measure. Else the use stays measured.");
        }
        if !lanes.cannot.is_empty() {
            let names = lanes.cannot.join(", ");
            let text = format!("Use stays measured in {names}: the crop has no canopy values.");
            ui.label(RichText::new(text).size(NOTE).color(t.quiet));
        }
        if lanes.computed == 0 && (lanes.can.is_empty() || !self.compute_use) {
            let text = "No lane's use follows the climate, so the log changes no curve until one does.";
            ui.label(RichText::new(text).size(NOTE).color(t.attention));
        }
    }
}

/// A share as it is typed, in percent or as 0.65.
fn percent_of(text: &str) -> Option<f64> {
    let text = text.trim().replace(',', ".");
    let number = text.trim_end_matches('%').trim().parse::<f64>().ok().filter(|v| v.is_finite())?;
    Some(if number <= 1.0 && !text.ends_with('%') { 100.0 * number } else { number })
}
