//! What can be traded for what: every schedule that settled, as a point; the one looked at stands over the tracks, too.

use eframe::egui::{ComboBox, Pos2, Rect, RichText, Stroke, StrokeKind, Ui, pos2, vec2};

use super::{day, proposed};
use crate::app::actions::action::Action;
use crate::app::look::theme::{self, HEAD, NOTE, Tokens};
use crate::app::pages::studies::plot::{Axis, Plot};
use crate::app::state::bench::Bench;
use crate::studies::finder::{Found, Point};
use crate::units::{Quantity, Units};

/// What is looked at.
#[derive(Default)]
pub struct TradeOff {
    lane: usize,
    point: Option<usize>,
    /// How many points there were: when there are others, its place among them means another one.
    of: usize,
}

/// Where a lane that was looked at (by its place among them) stands on the bench.
pub fn place_on_bench(found: &Found, place: usize) -> usize {
    let name = found.lanes.get(place).map(|l| &l.lane);
    found.scenario.lanes.iter().position(|lane| Some(&lane.name) == name).unwrap_or(place)
}

/// What the points are told by: for emitters drain, night dry-back and EC; for floods the rinse, EC and night dry-back.
#[derive(Clone, Copy)]
struct Told {
    floods: bool,
    lane: usize,
    units: Units,
}

impl Told {
    /// Across, upright, and the number beside a point; `None` where the day has no such figure.
    fn place(self, point: &Point) -> Option<[f64; 3]> {
        let lane = point.lanes.get(self.lane)?;
        if self.floods {
            let rinse = Quantity::Millilitres.shown(point.rinse_ml?, self.units);
            return Some([rinse, Quantity::Ec.shown(lane.root_zone_ec, self.units), lane.dry_back_points.unwrap_or(0.0)]);
        }
        Some([lane.drain_percent?, lane.dry_back_points?, Quantity::Ec.shown(lane.root_zone_ec, self.units)])
    }

    fn across(self) -> String {
        if self.floods {
            return format!("rinse from above, {} per plant and day", Quantity::Millilitres.unit(self.units));
        }
        "drained, % of what was given".to_owned()
    }

    fn upright(self) -> String {
        if self.floods {
            return format!("root-zone EC, {}", Quantity::Ec.unit(self.units));
        }
        "night dry-back, points of volume".to_owned()
    }

    fn key(self) -> String {
        let number = if self.floods {
            "night dry-back; larger rings dry more".to_owned()
        } else {
            format!("root-zone EC, {}; larger rings are saltier", Quantity::Ec.unit(self.units))
        };
        format!(
            "Every schedule that settled. The number beside a point is its {number}. Filled: nothing else is nearer to one aim without being \
            further from another. Click a point, or step through them."
        )
    }

    fn beside(self, value: f64) -> String {
        let decimals = if self.floods { 1 } else { Quantity::Ec.decimals(self.units) };
        format!("{value:.decimals$}")
    }
}

impl TradeOff {
    /// Looks at nothing any more.
    pub fn forget(&mut self) {
        self.point = None;
    }

    /// Drain against dry-back of all that settled, with the EC beside each.
    pub fn show(&mut self, ui: &mut Ui, t: &Tokens, bench: &Bench, found: &Found, actions: &mut Vec<Action>) {
        if found.points.len() < 2 {
            return;
        }
        if self.of != found.points.len() {
            (self.of, self.point) = (found.points.len(), None);
        }
        let before = self.point;
        self.lane = self.lane.min(found.lanes.len().saturating_sub(1));
        ui.horizontal(|ui| {
            ui.label(RichText::new("What can be traded for what").font(theme::strong(HEAD)));
            if found.lanes.len() > 1 {
                let named = |i: usize| found.lanes.get(i).map_or("", |l| l.lane.as_str());
                ComboBox::from_id_salt("lane traded").selected_text(named(self.lane)).show_ui(ui, |ui| {
                    for i in 0..found.lanes.len() {
                        ui.selectable_value(&mut self.lane, i, named(i));
                    }
                });
            }
        });
        let quiet = |text: &str| RichText::new(text).size(NOTE).color(t.quiet);
        let told = Told { floods: found.points.iter().any(|p| p.rinse_ml.is_some()), lane: self.lane, units: bench.units };
        ui.label(quiet(&told.key()));
        let values: Vec<(usize, [f64; 3])> = found.points.iter().enumerate().filter_map(|(i, p)| Some((i, told.place(p)?))).collect();
        if !values.is_empty() {
            self.plot(ui, t, found, told, &values);
        }
        self.chosen(ui, t, bench, found, actions);
        // What is looked at stands over the tracks, too.
        if self.point != before {
            let point = self.point.and_then(|p| found.points.get(p));
            actions.push(Action::Propose(point.map(|point| Box::new(proposed::of_point(found, point)))));
        }
    }

    fn plot(&mut self, ui: &mut Ui, t: &Tokens, found: &Found, told: Told, values: &[(usize, [f64; 3])]) {
        let ends = |of: usize| {
            let all = || values.iter().map(|(_, v)| v[of]);
            let (low, high) = (all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max));
            let edge = 0.08 * (high - low).max(1e-3);
            // Of nothing there is no less.
            (if low < 0.0 { low - edge } else { (low - edge).max(0.0) }, high + edge)
        };
        let (across, upright) = (told.across(), told.upright());
        let (x, y) = (Axis::even(&across, ends(0)), Axis::even(&upright, ends(1)));
        let (plot, response) = Plot::axes(ui, t, 300.0, &x, &y, &format!("Schedules that settled: {across} against {upright}"));
        let third = ends(2);
        let colour = t.lane(place_on_bench(found, self.lane));
        #[allow(clippy::cast_possible_truncation)]
        let radius = |beside: f64| 3.0 + 6.0 * ((beside - third.0) / (third.1 - third.0)) as f32;
        let mut written: Vec<Pos2> = Vec::new();
        for (i, [along, up, beside]) in values {
            let Some(point) = found.points.get(*i) else { continue };
            let (at, radius) = (plot.at(*along, *up), radius(*beside));
            if point.on_edge {
                ui.painter().circle_filled(at, radius, colour.gamma_multiply(0.6));
            }
            ui.painter().circle_stroke(at, radius, Stroke::new(1.3, colour));
            let chosen = self.point == Some(*i);
            if point.proposed || chosen {
                let around = Rect::from_center_size(at, vec2(2.0 * radius + 7.0, 2.0 * radius + 7.0));
                ui.painter().rect_stroke(around, 2, Stroke::new(if chosen { 2.0 } else { 1.2 }, t.ink), StrokeKind::Middle);
            }
        }
        // Words stand over every mark; those of the points that matter first, and on a ground of their own.
        let matters = |i: usize| self.point == Some(i) || found.points.get(i).is_some_and(|p| p.proposed);
        let (first, others): (Vec<&(usize, [f64; 3])>, Vec<_>) = values.iter().partition(|v| matters(v.0));
        for (i, [along, up, beside]) in first.into_iter().chain(others) {
            let at = plot.at(*along, *up);
            // Where points crowd, only those that matter are told.
            let covers = |v: &(usize, [f64; 3])| {
                let other = plot.at(v.1[0], v.1[1]);
                v.0 != *i && (1.0..44.0).contains(&(other.x - at.x)) && (other.y - at.y).abs() < 10.0
            };
            let near = |w: &Pos2| (w.x - at.x).abs() < 34.0 && (w.y - at.y).abs() < 12.0;
            if written.iter().any(near) || (!matters(*i) && values.iter().any(covers)) {
                continue;
            }
            written.push(at);
            let (at, text) = (pos2(at.x + plot.side(at) * radius(*beside), at.y), told.beside(*beside));
            if matters(*i) {
                plot.word_over(ui, at, &text, (t.ink, t.card));
            } else {
                plot.word(ui, at, &text, t.ink);
            }
        }
        if let Some(click) = response.interact_pointer_pos().filter(|_| response.clicked()) {
            let far = |v: &(usize, [f64; 3])| plot.at(v.1[0], v.1[1]).distance(click);
            let nearest = values.iter().min_by(|a, b| far(a).total_cmp(&far(b)));
            self.point = nearest.filter(|v| far(v) < 24.0).map(|v| v.0);
        }
    }

    /// The point that is looked at, in words, and taking it.
    fn chosen(&mut self, ui: &mut Ui, t: &Tokens, bench: &Bench, found: &Found, actions: &mut Vec<Action>) {
        let count = found.points.len();
        ui.horizontal(|ui| {
            if ui.button("Before").clicked() {
                self.point = Some(self.point.map_or(0, |p| (p + count - 1) % count));
            }
            if ui.button("Next").clicked() {
                self.point = Some(self.point.map_or(0, |p| (p + 1) % count));
            }
            ui.label(RichText::new("Points, the nearest to all aims first").size(NOTE).color(t.quiet));
        });
        let Some(point) = self.point.and_then(|p| found.points.get(p)) else { return };
        let given = point.given_ml.map_or_else(String::new, |ml| format!(", {} a plant", Quantity::Millilitres.text(ml, bench.units)));
        ui.label(format!("{} events{given}:", point.events_a_day));
        for (index, lane) in point.lanes.iter().enumerate() {
            let number = |value: Option<f64>, unit: &str| value.map_or_else(|| "–".to_owned(), |v| format!("{v:.1}{unit}"));
            let name = found.lanes.get(index).map_or("", |l| l.lane.as_str());
            let state = if lane.met { "every aim met" } else { "not every aim met" };
            ui.label(format!(
                "{name}: dry-back {}, drain {}, EC {}, uptake met {:.0} %: {state}",
                number(lane.dry_back_points, " points"),
                number(lane.drain_percent, " %"),
                Quantity::Ec.text(lane.root_zone_ec, bench.units),
                100.0 * lane.uptake_met
            ));
        }
        day::show(ui, t, &point.events, bench.units);
        proposed::decide(ui, t, bench, proposed::of_point(found, point), actions);
    }
}
