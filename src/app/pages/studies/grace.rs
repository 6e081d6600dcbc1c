//! Grace time: hours that the plants go on, by the hour at which something fails.

use eframe::egui::{Grid, Id, RichText, Stroke, Ui};

use super::asking::{answered, title};
use super::fields::gap;
use super::plot::{Axis, Plot};
use crate::app::actions::action::Action;
use crate::app::look::theme::{NOTE, TEXT, Tokens};
use crate::app::look::widgets::lane_head;
use crate::app::state::bench::Bench;
use crate::app::state::studies::{Inquiry, Question, Study};
use crate::studies::grace::{Fault, Grace, LOOK_AHEAD_H, LaneGrace, worst_words};

/// What is shown.
pub struct Page {
    fault: Fault,
}

impl Default for Page {
    fn default() -> Self {
        Self { fault: Fault::PumpStops }
    }
}

impl Page {
    /// Draws the page.
    pub fn show(&mut self, ui: &mut Ui, t: &Tokens, bench: &Bench, inquiry: &Inquiry<Vec<LaneGrace>>, actions: &mut Vec<Action>) {
        title(ui, t, "Grace time", "From every full hour of the bench's last day: if something fails then, how long do the plants go on?");
        let asked = (Study::Grace, "Find out", Question::Grace);
        let Some(lanes) = answered(ui, t, bench, inquiry, asked, actions) else { return };
        ui.horizontal_wrapped(|ui| {
            for fault in Fault::ALL.into_iter().filter(|f| lanes.iter().any(|l| l.of(*f).next().is_some())) {
                ui.selectable_value(&mut self.fault, fault, capital(fault.words()));
            }
        });
        self.curves(ui, t, lanes);
        for (index, lane) in lanes.iter().enumerate() {
            lane_head(ui, t, index, &lane.name);
            ui.label(worst_words(lane));
            table(ui, t, index, lane);
            ui.add_space(8.0);
        }
    }

    /// Hours to 90 % over the hours of the day, a curve a lane.
    fn curves(&self, ui: &mut Ui, t: &Tokens, lanes: &[LaneGrace]) {
        let hours = |g: &Grace| if self.fault == Fault::DrainBlocked { g.hours_to_airless } else { g.hours_to_90 };
        let what = if self.fault == Fault::DrainBlocked { "hours until roots lack air" } else { "hours until uptake falls to 90 %" };
        let found = || lanes.iter().flat_map(|l| l.of(self.fault)).filter_map(hours);
        let most = found().fold(0.0_f64, f64::max);
        if found().next().is_none() {
            ui.label(RichText::new(format!("It does not come to that within {LOOK_AHEAD_H:.0} h, whatever the hour.")).color(t.quiet));
            return;
        }
        let told = format!("{what}, by the hour at which it happens: {}", capital(self.fault.words()));
        let (x, y) = (Axis::even("hour of the day at which it happens", (0.0, 24.0)), Axis::even(what, (0.0, most * 1.05)));
        let (plot, _) = Plot::axes(ui, t, 250.0, &x, &y, &told);
        for (index, lane) in lanes.iter().enumerate() {
            let points: Vec<Option<(f64, f64)>> = lane.of(self.fault).map(|g| Some((f64::from(g.hour), hours(g)?))).collect();
            plot.line(ui, &points, Stroke::new(2.0, t.lane(index)));
            let worst = lane.of(self.fault).filter_map(|g| Some((g.hour, hours(g)?))).min_by(|a, b| a.1.total_cmp(&b.1));
            if let Some((hour, h)) = worst {
                let at = plot.at(f64::from(hour), h);
                ui.painter().circle_stroke(at, 5.0, Stroke::new(1.5, t.ink));
                // Below the curve, which has its lowest place here, or above where there is no room.
                let by = if at.y + 20.0 < plot.rect.bottom() { 13.0 } else { -13.0 };
                plot.word(ui, eframe::egui::pos2(at.x, at.y + by), &format!("{hour:02}:00, {}", span(h)), t.ink);
            }
        }
        ui.label(
            RichText::new(format!(
                "A ring marks each lane's worst hour. Where a curve breaks off, it takes longer than {LOOK_AHEAD_H:.0} h."
            ))
            .size(NOTE)
            .color(t.quiet),
        );
        ui.add_space(6.0);
    }
}

/// The worst hour of each fault, and what it leads to.
fn table(ui: &mut Ui, t: &Tokens, index: usize, lane: &LaneGrace) {
    let gap = gap(ui);
    Grid::new(Id::unique("grace of a lane").with(index)).num_columns(6).spacing([gap, 3.0]).show(ui, |ui| {
        for words in ["", "worst hour", "to 90 %", "to half", "water used up", "roots lack air"] {
            ui.label(RichText::new(words).size(NOTE).color(t.quiet));
        }
        ui.end_row();
        for fault in Fault::ALL {
            if let Some(worst) = lane.worst(fault).or_else(|| lane.of(fault).next()) {
                ui.label(RichText::new(fault.words()).size(TEXT));
                let none = lane.worst(fault).is_none();
                ui.label(if none { "any".to_owned() } else { format!("{:02}:00", worst.hour) });
                for hours in [worst.hours_to_90, worst.hours_to_50, worst.hours_to_dry, worst.hours_to_airless] {
                    ui.label(hours.map_or_else(|| format!("over {LOOK_AHEAD_H:.0} h"), span));
                }
                ui.end_row();
            }
        }
    });
    for (fault, why) in &lane.left_out {
        ui.label(RichText::new(format!("{} is not told: {why}.", capital(fault.words()))).size(NOTE).color(t.quiet));
    }
    if lane.failed > 0 {
        ui.label(RichText::new(format!("{} runs did not converge and are left out.", lane.failed)).color(t.attention));
    }
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn span(hours: f64) -> String {
    if hours < 1.0 { format!("{:.0} min", hours * 60.0) } else { format!("{hours:.1} h") }
}
