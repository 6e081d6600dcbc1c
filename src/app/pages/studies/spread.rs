//! Spread: bands of the figures and of the day, the chance of each aim, and which unknown matters most.

use eframe::egui::{Grid, Id, RichText, Sense, Stroke, StrokeKind, Ui, vec2};

use super::asking::{answered, title};
use super::fields::{Shown, gap, number, whole};
use super::figure_words;
use super::plot::{Axis, Plot};
use crate::app::actions::action::Action;
use crate::app::look::theme::{self, HEAD, NOTE, TEXT, Tokens};
use crate::app::look::widgets::lane_head;
use crate::app::state::bench::Bench;
use crate::app::state::studies::{Inquiry, Question, Study};
use crate::studies::spread::{Ask, Band, CurveBands, EMITTER_CV, LaneSpread, MEMBERS, Spread};
use crate::studies::told::{AIM_KEYS, FIGURES};
use crate::units::{Quantity, Units};

/// What is asked.
pub struct Page {
    ask: Ask,
    on_tracks: bool,
}

impl Default for Page {
    fn default() -> Self {
        Self { ask: Ask::default(), on_tracks: true }
    }
}

/// Unknowns that are listed; the others are of little account.
const LISTED: usize = 6;

impl Page {
    /// Whether the bands stand on the tracks, too.
    #[must_use]
    pub fn on_tracks(&self) -> bool {
        self.on_tracks
    }

    /// Draws the page.
    pub fn show(&mut self, ui: &mut Ui, t: &Tokens, bench: &Bench, inquiry: &Inquiry<Spread>, actions: &mut Vec<Action>) {
        title(
            ui,
            t,
            "Spread",
            "The bench's days, run for many plants, each with a use, media and an emitter of its own, as they may be. Bands hold eight of ten of them.",
        );
        let units = bench.units;
        let emitters = ("Scatter of emitters (Cv)", "below 0.05 excellent, to 0.07 average, to 0.11 marginal (ASAE EP405, from memory)");
        number(ui, t, emitters, &mut self.ask.emitter_cv, EMITTER_CV, Shown::of(Quantity::Plain("", 3), units));
        whole(ui, t, ("Plants tried", "more take longer and are a little surer"), &mut self.ask.members, MEMBERS, "");
        let asked = (Study::Spread, "Find out", Question::Spread(self.ask));
        let Some(found) = answered(ui, t, bench, inquiry, asked, actions) else { return };
        let of = if found.ran < found.members as usize { format!(" of {}", found.members) } else { String::new() };
        ui.label(format!("{}{of} plants, on day {}.", found.ran, found.days));
        let words = format!("Bands on the tracks of day {}, too", found.days);
        ui.checkbox(&mut self.on_tracks, words).on_hover_text("Behind water content and salt, until the bench is changed");
        if let Some(why) = &found.first_failure {
            ui.label(RichText::new(format!("{} failed and are left out. The first: {why}.", found.failed)).color(t.attention));
        }
        for (index, lane) in found.lanes.iter().enumerate() {
            ui.add_space(6.0);
            lane_head(ui, t, index, &lane.name);
            curves(ui, t, index, ("water content", Shown::of(Quantity::Share, units)), &lane.curves, |c| &c.water_content);
            curves(ui, t, index, ("root-zone EC", Shown::of(Quantity::Ec, units)), &lane.curves, |c| &c.root_zone_ec);
            chances(ui, t, index, lane);
            matters(ui, t, index, lane);
            figures(ui, t, (units, index), lane);
            tenths(ui, units, lane);
        }
        ui.add_space(6.0);
        let last = "What all plants share is not in it: the model itself. How far each number may be off stands in the command's answer, with its source.";
        ui.label(RichText::new(last).size(NOTE).color(t.quiet));
    }
}

/// A day's band with its middle.
fn curves(ui: &mut Ui, t: &Tokens, index: usize, (name, shown): (&str, Shown), bands: &CurveBands, of: fn(&CurveBands) -> &Vec<Band>) {
    let band = of(bands);
    if band.is_empty() {
        return;
    }
    let what = &format!("{name}, {}", shown.quantity.unit(shown.units));
    let scale = shown.quantity.shown(1.0, shown.units);
    let all = || band.iter().flatten().map(|v| scale * v);
    let (low, high) = (all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max));
    let (x, y) = (Axis::even("hour of the last day", (0.0, 24.0)), Axis::even(what, (low, high)));
    let (plot, _) = Plot::axes(ui, t, 150.0, &x, &y, &format!("{what} over the last day: eight of ten plants lie within the band"));
    let points: Vec<(f64, f64, f64)> = bands.hours.iter().zip(band).map(|(h, b)| (*h, scale * b[0], scale * b[2])).collect();
    plot.band(ui, &points, t.lane(index).gamma_multiply(0.3));
    for pair in bands.hours.windows(2).zip(band.windows(2)) {
        let ([a, b], [low, high]) = pair else { continue };
        ui.painter().line_segment([plot.at(*a, scale * low[1]), plot.at(*b, scale * high[1])], Stroke::new(1.8, t.lane(index)));
    }
}

fn share_bar(ui: &mut Ui, t: &Tokens, index: usize, share: f64) {
    let (rect, _) = ui.allocate_exact_size(vec2(120.0, 10.0), Sense::hover());
    ui.painter().rect(rect, 2, t.night, Stroke::new(1.0, t.rule), StrokeKind::Inside);
    #[allow(clippy::cast_possible_truncation)]
    let filled = eframe::egui::Rect::from_min_size(rect.min, vec2(rect.width() * share.clamp(0.0, 1.0) as f32, rect.height()));
    ui.painter().rect_filled(filled, 2, t.lane(index));
}

fn chances(ui: &mut Ui, t: &Tokens, index: usize, lane: &LaneSpread) {
    ui.label(RichText::new("Chance that a plant meets each aim").font(theme::strong(TEXT)));
    Grid::new(Id::unique("chances of a lane").with(index)).num_columns(3).spacing([14.0, 3.0]).show(ui, |ui| {
        for aim in AIM_KEYS {
            let Some(chance) = lane.chance.get(aim) else { continue };
            ui.label(figure_words::words(aim));
            share_bar(ui, t, index, *chance);
            ui.label(format!("{:.0} %", 100.0 * chance));
            ui.end_row();
        }
    });
}

fn matters(ui: &mut Ui, t: &Tokens, index: usize, lane: &LaneSpread) {
    ui.label(RichText::new("Which unknown makes the scatter").font(theme::strong(TEXT)));
    if lane.shares.is_empty() {
        ui.label(RichText::new("It cannot be told: too few members, or nothing scatters.").color(t.quiet));
        return;
    }
    let mut sorted: Vec<_> = lane.shares.iter().collect();
    sorted.sort_by(|a, b| b.1.0.total_cmp(&a.1.0));
    Grid::new(Id::unique("shares of a lane").with(index)).num_columns(3).spacing([14.0, 3.0]).show(ui, |ui| {
        for (unknown, (share, error)) in sorted.into_iter().take(LISTED) {
            ui.label(unknown);
            share_bar(ui, t, index, *share);
            ui.label(format!("{:.0} % ± {:.0}", 100.0 * share, 100.0 * error));
            ui.end_row();
        }
    });
}

fn figures(ui: &mut Ui, t: &Tokens, (units, index): (Units, usize), lane: &LaneSpread) {
    ui.label(RichText::new("Figures of the last day").font(theme::strong(HEAD)));
    let gap = gap(ui);
    Grid::new(Id::unique("bands of a lane").with(index)).num_columns(5).spacing([gap, 3.0]).show(ui, |ui| {
        for words in ["", "as is", "a tenth below", "half", "nine tenths"] {
            ui.label(RichText::new(words).size(NOTE).color(t.quiet));
        }
        ui.end_row();
        for figure in &FIGURES {
            let Some(band) = lane.bands.get(figure.key) else { continue };
            ui.label(format!("{}, {}", figure_words::words(figure.key), figure_words::unit(figure.key, units)));
            ui.label(figure_words::value(figure.key, lane.as_it_stands.get(figure.key).copied(), units));
            for value in band {
                ui.label(figure_words::value(figure.key, Some(*value), units));
            }
            ui.end_row();
        }
    });
}

fn tenths(ui: &mut Ui, units: Units, lane: &LaneSpread) {
    // Who gets least is mostly both.
    let both = lane.driest_tenth == lane.saltiest_tenth;
    let told = if both {
        vec![("driest and saltiest", lane.driest_tenth)]
    } else {
        vec![("driest", lane.driest_tenth), ("saltiest", lane.saltiest_tenth)]
    };
    for (what, tenth) in told {
        let Some(tenth) = tenth else { continue };
        ui.label(format!(
            "By emitters alone, the {what} tenth of the plants gets {:.0} % of the mean: lowest water content {:.1} %, root-zone EC {}, \
             uptake met {:.0} %.",
            100.0 * tenth.flow,
            100.0 * tenth.lowest,
            Quantity::Ec.text(tenth.root_zone_ec, units),
            100.0 * tenth.uptake_met
        ));
    }
}
