//! The choice of a root zone: every medium and volume on one chart, and opening one as a lane beside the others.

use eframe::egui::{Color32, ComboBox, Grid, Id, Pos2, RichText, ScrollArea, Shape, Stroke, Ui, pos2};

use super::asking::{answered, title};
use super::plot::{Axis, Plot};
use crate::app::actions::action::Action;
use crate::app::look::theme::{NOTE, Tokens};
use crate::app::state::bench::Bench;
use crate::app::state::studies::{Inquiry, Question, Study};
use crate::edits::valves;
use crate::scenario::{MAX_LANES, Plan, Scenario};
use crate::studies::choose::{Asked, Point, called, missed, volume, words};
use crate::studies::finder;
use crate::units::{Quantity, Units};

/// What is shown.
#[derive(Default)]
pub struct Page {
    lane: usize,
    feed_too: bool,
    shows: Shows,
    chosen: Option<(String, u64)>,
}

/// What stands upright on the chart.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Shows {
    #[default]
    Grace,
    Events,
    DryBack,
    Drained,
    Salt,
    Swing,
    Weight,
}

const SHOWS: [(Shows, &str, &str); 7] = [
    (Shows::Grace, "Grace", "hours a stopped pump is borne, from the worst hour (72: longer)"),
    (Shows::Events, "Events", "events a day"),
    (Shows::DryBack, "Dry-back", "night dry-back, points of volume"),
    (Shows::Drained, "Drain", "drained, per plant and day"),
    (Shows::Salt, "EC", "root-zone EC"),
    (Shows::Swing, "EC swing", "highest less lowest EC of the day"),
    (Shows::Weight, "Weight", "filled, kg per plant"),
];

impl Shows {
    fn value(self, p: &Point) -> Option<f64> {
        match self {
            // What is borne for longer than is looked ahead stands at the top.
            Self::Grace => p.had.events_a_day.map(|_| p.had.grace_h.unwrap_or(72.0)),
            #[allow(clippy::cast_precision_loss)]
            Self::Events => p.had.events_a_day.map(|n| n as f64),
            Self::DryBack => p.had.dry_back_points,
            Self::Drained => p.had.drained_l,
            Self::Salt => p.had.ec,
            Self::Swing => p.had.ec_swing,
            Self::Weight => p.had.weight_kg,
        }
    }

    /// What it is shown in, where that hangs on the units.
    fn quantity(self) -> Option<Quantity> {
        match self {
            Self::Drained => Some(Quantity::Litres),
            Self::Salt | Self::Swing => Some(Quantity::Ec),
            _ => None,
        }
    }
}

/// A point's name among them.
fn key(p: &Point) -> (String, u64) {
    (format!("{} {}", p.medium, p.height_cm), p.litres.to_bits())
}

impl Page {
    /// Draws the page.
    pub fn show(&mut self, ui: &mut Ui, t: &Tokens, bench: &Bench, inquiry: &Inquiry<Vec<Point>>, actions: &mut Vec<Action>) {
        title(
            ui,
            t,
            "Choice of root zone",
            "Every medium in eight volumes, as a pot with straight walls, each under the schedule found for it, for one lane's crop, use and \
             aims.",
        );
        let scenario = bench.document().scenario();
        self.lane = self.lane.min(scenario.lanes.len().saturating_sub(1));
        let named = |i: usize| scenario.lanes.get(i).map_or("", |l| l.name.as_str());
        ui.horizontal(|ui| {
            let label = ui.label("In the place of");
            let shown = ComboBox::from_id_salt("lane chosen for").selected_text(named(self.lane)).show_ui(ui, |ui| {
                for i in 0..scenario.lanes.len() {
                    ui.selectable_value(&mut self.lane, i, named(i));
                }
            });
            shown.response.labelled_by(label.id);
        });
        ui.checkbox(&mut self.feed_too, "The feed's EC may change, too");
        let asked = Asked::of(scenario, self.lane);
        let question = Question::Choice(Asked { schedule: finder::Asked { feed_too: self.feed_too, ..asked.schedule }, ..asked });
        let Some(points) = answered(ui, t, bench, inquiry, (Study::Choice, "Hold them side by side", question), actions) else { return };
        if points.is_empty() {
            return;
        }
        ui.label(words(points, bench.units));
        ui.horizontal_wrapped(|ui| {
            for (shows, name, hover) in SHOWS {
                ui.selectable_value(&mut self.shows, shows, name).on_hover_text(hover);
            }
        });
        self.chart(ui, t, bench.units, points, &media(points, bench));
        self.told(ui, t, bench, points, actions);
        table(ui, t, bench.units, points);
    }

    fn chart(&mut self, ui: &mut Ui, t: &Tokens, units: Units, points: &[Point], media: &[&str]) {
        let quantity = self.shows.quantity();
        let shown = |value: f64| quantity.map_or(value, |q| q.shown(value, units));
        let mut values: Vec<(&Point, f64)> = points.iter().filter_map(|p| Some((p, shown(self.shows.value(p)?)))).collect();
        // They are found in any order.
        values.sort_by(|a, b| a.0.litres.total_cmp(&b.0.litres));
        let most = values.iter().map(|v| v.1).fold(0.0_f64, f64::max);
        if values.is_empty() {
            return;
        }
        // Volumes double from mark to mark.
        let x_of = |litres: f64| Quantity::Litres.shown(litres, units).max(1e-3).log2();
        let ends = |of: fn(f64, f64) -> f64, from: f64| values.iter().map(|v| x_of(v.0.litres)).fold(from, of);
        let (low, high) = (ends(f64::min, f64::INFINITY), ends(f64::max, f64::NEG_INFINITY));
        let what = SHOWS.iter().find(|s| s.0 == self.shows).map_or("", |s| s.2);
        let what = &quantity.map_or_else(|| what.to_owned(), |q| format!("{what}, {}", q.unit(units)));
        let title = format!("{} per plant, twice as many from mark to mark", Quantity::Litres.unit(units));
        let x = Axis { title: &title, ends: (low - 0.1, high + 0.1), doubles: true };
        let y = Axis::even(what, (0.0, 1.05 * most));
        let (plot, response) = Plot::axes(ui, t, 290.0, &x, &y, &format!("{what}, by medium and volume"));
        let mut written: Vec<Pos2> = Vec::new();
        for (m, medium) in media.iter().enumerate() {
            let of: Vec<&(&Point, f64)> = values.iter().filter(|v| v.0.medium == *medium).collect();
            for pair in of.windows(2) {
                let ends = [plot.at(x_of(pair[0].0.litres), pair[0].1), plot.at(x_of(pair[1].0.litres), pair[1].1)];
                let stroke = Stroke::new(1.0, t.lane(m).gamma_multiply(0.5));
                // Of two media of one colour the later has dashes.
                if (0..m).any(|k| t.lane(k) == t.lane(m)) {
                    ui.painter().extend(Shape::dashed_line(&ends, stroke, 6.0, 4.0));
                } else {
                    ui.painter().line_segment(ends, stroke);
                }
            }
            for (i, (point, value)) in of.iter().enumerate() {
                let at = plot.at(x_of(point.litres), *value);
                mark(ui, at, point.met, t.lane(m));
                if self.chosen.as_ref() == Some(&key(point)) {
                    ui.painter().circle_stroke(at, 9.0, Stroke::new(1.6, t.ink));
                }
                // Colours alone do not tell seven apart: letters do, each once at least at the end of its line.
                let mut beside = at;
                if i + 1 == of.len() {
                    beside = clear_of(&written, at, plot.rect.center().y);
                } else if crowded(&written, at) {
                    continue;
                }
                written.push(beside);
                if self.chosen.as_ref() == Some(&key(point)) {
                    beside.x += plot.side(beside) * 5.0;
                }
                plot.word(ui, beside, letter(m), t.ink);
            }
        }
        let is_there = |name: &str| points.iter().any(|p| p.medium == name);
        let legend: Vec<String> =
            media.iter().enumerate().filter(|(_, name)| is_there(name)).map(|(m, name)| format!("{} {name}", letter(m))).collect();
        let text = format!(
            "{}. A dot meets every aim; for a cross no schedule was found that does. Click a point to look at it.",
            legend.join(", ")
        );
        ui.label(RichText::new(text).size(NOTE).color(t.quiet));
        if let Some(click) = response.interact_pointer_pos().filter(|_| response.clicked()) {
            let far = |v: &(&Point, f64)| plot.at(x_of(v.0.litres), v.1).distance(click);
            let nearest = values.iter().min_by(|a, b| far(a).total_cmp(&far(b)));
            self.chosen = nearest.filter(|v| far(v) < 20.0).map(|v| key(v.0));
        }
    }

    /// The point that is looked at, and opening it as a lane.
    fn told(&mut self, ui: &mut Ui, t: &Tokens, bench: &Bench, points: &[Point], actions: &mut Vec<Action>) {
        ui.horizontal(|ui| {
            let chosen = points.iter().find(|p| self.chosen.as_ref() == Some(&key(p)));
            let label = ui.label("Look closer at");
            let text = chosen.map_or_else(|| "one of them…".to_owned(), |p| called(p, bench.units));
            let list = ComboBox::from_id_salt("point chosen").selected_text(text).width(240.0).show_ui(ui, |ui| {
                for p in points {
                    ui.selectable_value(&mut self.chosen, Some(key(p)), called(p, bench.units));
                }
            });
            list.response.labelled_by(label.id);
        });
        let Some(point) = points.iter().find(|p| self.chosen.as_ref() == Some(&key(p))) else { return };
        let state = if point.met {
            "It meets every aim.".to_owned()
        } else {
            format!("No schedule was found that meets every aim: {}.", missed(point))
        };
        ui.label(RichText::new(state).color(if point.met { t.good } else { t.attention }));
        let Some((found, lane)) = point.bench.as_ref().and_then(|b| Some((b, b.lanes.first()?))) else { return };
        let full = bench.document().scenario().lanes.len() >= MAX_LANES;
        let hover =
            "On a valve of its own with the schedule found for it, so that it stands there as it is told here. Undo takes it away again.";
        if ui.add_enabled(!full, eframe::egui::Button::new("Open as a lane beside the others")).on_hover_text(hover).clicked() {
            let mut after = Scenario::clone(bench.document().scenario());
            valves::add_lane(&mut after, lane, found.events(Plan::first(0)).to_vec(), found.feed_ec(0));
            let told = "It stands on the bench as the last lane, on a valve of its own with the schedule found for it.";
            actions.push(Action::SetField(format!("Open {} as a lane", lane.name), Box::new(after)));
            actions.push(Action::Tell(told.to_owned()));
        }
    }
}

/// Height of a letter with its gap, points.
const LETTER: f32 = 11.0;

/// Whether a letter stands there already.
fn crowded(written: &[Pos2], at: Pos2) -> bool {
    written.iter().any(|w| (w.x - at.x).abs() < 12.0 && (w.y - at.y).abs() < LETTER)
}

/// The first place that is free from there towards the middle: beyond the nearer edge stand the numbers of the axis.
fn clear_of(written: &[Pos2], mut at: Pos2, middle: f32) -> Pos2 {
    let by = if at.y > middle { -LETTER } else { LETTER };
    while crowded(written, at) {
        at.y += by;
    }
    at
}

/// A dot for what meets every aim, a cross for what does not.
fn mark(ui: &Ui, at: Pos2, met: bool, colour: Color32) {
    if met {
        ui.painter().circle_filled(at, 5.0, colour);
        return;
    }
    for (a, b) in [(-4.0, -4.0), (-4.0, 4.0)] {
        ui.painter().line_segment([pos2(at.x + a, at.y + b), pos2(at.x - a, at.y - b)], Stroke::new(1.6, colour));
    }
}

/// The media by name: all that there are, so that a letter and a colour stay one medium's while others are still looked at.
fn media<'a>(points: &'a [Point], bench: &'a Bench) -> Vec<&'a str> {
    let mut media: Vec<&str> =
        bench.library().media.iter().map(|m| m.name.as_str()).chain(points.iter().map(|p| p.medium.as_str())).collect();
    media.sort_unstable();
    media.dedup();
    media
}

/// A letter for each of the first so many media as there are letters.
fn letter(index: usize) -> &'static str {
    "ABCDEFGHIJKLMNOPQRSTUVWXYZ".get(index..=index).unwrap_or("+")
}

fn table(ui: &mut Ui, t: &Tokens, units: Units, points: &[Point]) {
    let mut sorted: Vec<&Point> = points.iter().collect();
    sorted.sort_by(|a, b| a.medium.cmp(&b.medium).then(a.litres.total_cmp(&b.litres)));
    // In a narrow window its last column is scrolled to.
    ScrollArea::horizontal().id_salt("root zones, sideways").show(ui, |ui| grid(ui, t, units, &sorted));
}

fn grid(ui: &mut Ui, t: &Tokens, units: Units, sorted: &[&Point]) {
    let (litres, ec) = (Quantity::Litres.unit(units), Quantity::Ec.unit(units));
    let (drain, salt) = (format!("drain, {litres}"), format!("EC, {ec}"));
    Grid::new(Id::unique("root zones")).num_columns(10).spacing([14.0, 2.0]).striped(true).show(ui, |ui| {
        for words in ["medium", "volume", "events", "feed", "grace, h", "dry-back, points", &drain, &salt, "kg", "aims"] {
            ui.label(RichText::new(words).size(NOTE).color(t.quiet));
        }
        ui.end_row();
        for p in sorted {
            let cell = |value: Option<f64>, decimals: usize| value.map_or_else(|| "–".to_owned(), |v| format!("{v:.decimals$}"));
            ui.label(&p.medium);
            ui.label(volume(p.litres, units));
            ui.label(p.had.events_a_day.map_or_else(|| "–".to_owned(), |n| n.to_string()));
            ui.label(cell(p.had.feed_ec.map(|ec| Quantity::Ec.shown(ec, units)), Quantity::Ec.decimals(units)));
            ui.label(match (p.had.grace_h, p.had.events_a_day) {
                (None, Some(_)) => "over 72".to_owned(),
                (hours, _) => cell(hours, 1),
            });
            ui.label(cell(p.had.dry_back_points, 1));
            ui.label(cell(p.had.drained_l.map(|l| Quantity::Litres.shown(l, units)), 2));
            ui.label(cell(p.had.ec.map(|ec| Quantity::Ec.shown(ec, units)), Quantity::Ec.decimals(units)));
            ui.label(cell(p.had.weight_kg, 1));
            let (text, colour) = if p.met { ("all met".to_owned(), t.good) } else { (missed(p), t.attention) };
            ui.label(RichText::new(text).size(NOTE).color(colour));
            ui.end_row();
        }
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_of_points_on_one_place_stand_apart_and_within_the_chart() {
        let (top, bottom) = (100.0, 300.0);
        for y in [top, top + 3.0, 199.0, 201.0, bottom - 3.0, bottom] {
            let mut written = Vec::new();
            for _ in 0..9 {
                let at = clear_of(&written, pos2(50.0, y), 0.5 * (top + bottom));
                assert!((top..=bottom).contains(&at.y) && !crowded(&written, at), "{at:?} {written:?}");
                written.push(at);
            }
        }
    }
}
