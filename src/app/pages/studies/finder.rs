//! The schedule finder: aims and equipment, the schedule proposed, what can be traded for what, and taking it.

use eframe::egui::{Button, ComboBox, Grid, Id, RichText, Sense, Stroke, StrokeKind, Ui, vec2};

use super::asking::{answered, title};
use super::fields::{bounded, clock, whole};
use super::plot::{Axis, Plot};
use crate::app::actions::action::{self, Action};
use crate::app::look::theme::{self, HEAD, NOTE, TEXT, Tokens};
use crate::app::look::widgets::lane_head;
use crate::app::state::bench::Bench;
use crate::app::state::bench::proposal::Proposal;
use crate::app::state::studies::{Inquiry, Question, Study};
use crate::scenario::{Event, Give};
use crate::studies::finder::{Asked, Found, Lean, Point, words};
use crate::units::{Quantity, Units};

/// What is asked, and which point is looked at.
#[derive(Default)]
pub struct Page {
    asked: Option<Asked>,
    /// The document that it was asked of.
    document: u64,
    lane: usize,
    point: Option<usize>,
}

const LEANS: [(Lean, &str); 3] = [(Lean::Vegetative, "Vegetative"), (Lean::Balanced, "Balanced"), (Lean::Generative, "Generative")];

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
        form(ui, t, asked);
        ui.add_space(4.0);
        let question = (Study::Schedule, "Find a schedule", Question::Schedule(*asked));
        let Some(found) = answered(ui, t, bench, inquiry, question, actions) else {
            self.point = None;
            return;
        };
        for sentence in words(found) {
            ui.label(sentence);
        }
        ui.add_space(6.0);
        ui.label(RichText::new("Proposed").font(theme::strong(HEAD)));
        day(ui, t, &found.events, bench.units);
        let name = format!("Take the schedule found, {} events", found.events.len());
        decide(ui, t, bench, proposal(found, name, &found.events, found.feed_ec), actions);
        ui.add_space(6.0);
        for (index, lane) in found.lanes.iter().enumerate() {
            lane_head(ui, t, index, &lane.lane);
            ui.label(RichText::new(&lane.told).size(NOTE).color(t.quiet));
            aims(ui, t, index, found, &lane.lane);
            ui.add_space(6.0);
        }
        self.traded(ui, t, bench, found, actions);
    }

    /// Drain against dry-back of all that settled, with the EC beside each.
    fn traded(&mut self, ui: &mut Ui, t: &Tokens, bench: &Bench, found: &Found, actions: &mut Vec<Action>) {
        if found.points.len() < 2 {
            return;
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
        ui.label(quiet(
            "Every schedule that settled. The number beside a point is its root-zone EC; larger rings are saltier. Filled: nothing else is \
             nearer to one aim without being further from another. Click a point, or step through them.",
        ));
        let place = |p: &Point| p.lanes.get(self.lane).and_then(|l| Some((l.drain_percent?, l.dry_back_points?, l.root_zone_ec)));
        let values: Vec<(usize, (f64, f64, f64))> = found.points.iter().enumerate().filter_map(|(i, p)| Some((i, place(p)?))).collect();
        let ends = |of: fn(&(f64, f64, f64)) -> f64| {
            let all = || values.iter().map(|(_, v)| of(v));
            let (low, high) = (all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max));
            let edge = 0.08 * (high - low).max(1e-3);
            (low - edge, high + edge)
        };
        if !values.is_empty() {
            let x = Axis::even("drained, % of what was given", ends(|v| v.0));
            let y = Axis::even("night dry-back, points of volume", ends(|v| v.1));
            let (plot, response) =
                Plot::axes(ui, t, 300.0, &x, &y, "Schedules that settled: drain against night dry-back, with root-zone EC");
            let salt = ends(|v| v.2);
            let mut written: Vec<eframe::egui::Pos2> = Vec::new();
            for (i, (drain, dry_back, ec)) in &values {
                let Some(point) = found.points.get(*i) else { continue };
                let at = plot.at(*drain, *dry_back);
                #[allow(clippy::cast_possible_truncation)]
                let radius = 3.0 + 6.0 * ((ec - salt.0) / (salt.1 - salt.0)) as f32;
                let colour = t.lane(self.lane);
                if point.on_edge {
                    ui.painter().circle_filled(at, radius, colour.gamma_multiply(0.6));
                }
                ui.painter().circle_stroke(at, radius, Stroke::new(1.3, colour));
                let chosen = self.point == Some(*i);
                if point.proposed || chosen {
                    let around = eframe::egui::Rect::from_center_size(at, vec2(2.0 * radius + 7.0, 2.0 * radius + 7.0));
                    ui.painter().rect_stroke(around, 2, Stroke::new(if chosen { 2.0 } else { 1.2 }, t.ink), StrokeKind::Middle);
                }
                // Where points crowd, only those that matter are told.
                let covers = |v: &(usize, (f64, f64, f64))| {
                    let other = plot.at(v.1.0, v.1.1);
                    v.0 != *i && (1.0..44.0).contains(&(other.x - at.x)) && (other.y - at.y).abs() < 10.0
                };
                let crowded = written.iter().any(|w| (w.x - at.x).abs() < 34.0 && (w.y - at.y).abs() < 12.0) || values.iter().any(covers);
                if point.proposed || chosen || !crowded {
                    written.push(at);
                    plot.word(ui, eframe::egui::pos2(at.x + radius, at.y), &format!("{ec:.2}"), t.ink);
                }
            }
            if let Some(click) = response.interact_pointer_pos().filter(|_| response.clicked()) {
                let far = |v: &(usize, (f64, f64, f64))| plot.at(v.1.0, v.1.1).distance(click);
                let nearest = values.iter().min_by(|a, b| far(a).total_cmp(&far(b)));
                self.point = nearest.filter(|v| far(v) < 24.0).map(|v| v.0);
            }
        }
        self.chosen(ui, t, bench, found, actions);
        // What is looked at stands over the tracks, too.
        if self.point != before {
            let point = self.point.and_then(|p| found.points.get(p));
            actions.push(Action::Propose(point.map(|point| Box::new(of_point(found, point)))));
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
                "{name}: dry-back {}, drain {}, EC {:.2} mS/cm, uptake met {:.0} %: {state}",
                number(lane.dry_back_points, " points"),
                number(lane.drain_percent, " %"),
                lane.root_zone_ec,
                100.0 * lane.uptake_met
            ));
        }
        day(ui, t, &point.events, bench.units);
        decide(ui, t, bench, of_point(found, point), actions);
    }
}

fn form(ui: &mut Ui, t: &Tokens, asked: &mut Asked) {
    clock(ui, t, ("First event not before", ""), &mut asked.first);
    clock(ui, t, ("Last event begins by", ""), &mut asked.last);
    let hardware = &mut asked.hardware;
    whole(ui, t, ("Timer's step", "starts stand on this grid"), &mut hardware.timer_step_s, (1, 3600), "s");
    whole(ui, t, ("Shortest on-time", "of the valve"), &mut hardware.shortest_s, (1, 86_400), "s");
    let mut most = u32::try_from(hardware.most_events).unwrap_or(u32::MAX);
    whole(ui, t, ("Most events a day", ""), &mut most, (1, 1000), "");
    hardware.most_events = most as usize;
    bounded(
        ui,
        t,
        ("Emitters of one plant give", "without it, events last five minutes"),
        &mut hardware.emitter_l_per_h,
        2.0,
        (0.01, 1000.0),
        "L/h",
    );
    bounded(
        ui,
        t,
        ("Pump gives, for all plants", "without it, as much as is asked for"),
        &mut hardware.pump_l_per_h,
        200.0,
        (0.01, 1e6),
        "L/h",
    );
    ui.horizontal(|ui| {
        ui.label("Lean");
        for (lean, name) in LEANS {
            ui.radio_value(&mut asked.lean, lean, name);
        }
        ui.label(RichText::new("which half of the dry-back range (common practice, no source)").size(NOTE).color(t.quiet));
    });
    ui.checkbox(&mut asked.feed_too, "The feed's EC may change, too");
}

/// The events of a day, to scale and in words.
fn day(ui: &mut Ui, t: &Tokens, events: &[Event], units: Units) {
    let height = |e: &Event| match e.give {
        Give::Drip { ml } => ml,
        Give::Flood { depth_cm } => depth_cm,
    };
    let most = events.iter().map(height).fold(0.0_f64, f64::max);
    let width = ui.available_width().min(860.0);
    let (rect, response) = ui.allocate_exact_size(vec2(width, 40.0), Sense::hover());
    let told: Vec<String> = events.iter().map(|e| in_words(e, units)).collect();
    response.widget_info(|| eframe::egui::WidgetInfo::labeled(eframe::egui::accesskit::Role::Label, true, told.join("; ")));
    let paint = ui.painter();
    paint.rect(rect, 0, t.card, Stroke::new(1.0, t.rule), StrokeKind::Inside);
    #[allow(clippy::cast_possible_truncation)]
    let x = |s: f64| rect.left() + rect.width() * (s / 86_400.0) as f32;
    for hour in (0..=24_u8).step_by(4) {
        let at = x(f64::from(hour) * 3600.0);
        paint.vline(at, rect.y_range(), Stroke::new(1.0, t.grid));
        let align = if hour == 24 { eframe::egui::Align2::RIGHT_TOP } else { eframe::egui::Align2::LEFT_TOP };
        paint.text(eframe::egui::pos2(at + 2.0, rect.top() + 1.0), align, format!("{hour:02}"), theme::plain(NOTE), t.quiet);
    }
    for event in events {
        #[allow(clippy::cast_possible_truncation)]
        let up = 24.0 * (height(event) / most.max(1e-9)) as f32;
        let bar = eframe::egui::Rect::from_min_max(
            eframe::egui::pos2(x(event.start_s()), rect.bottom() - up),
            eframe::egui::pos2(x(event.end_s()).max(x(event.start_s()) + 2.0), rect.bottom()),
        );
        paint.rect_filled(bar, 0, t.event_strong);
    }
    response.on_hover_text(told.join("\n"));
    if let (Some(first), Some(last)) = (told.first(), told.last()) {
        ui.label(RichText::new(format!("{} events: the first {first}, the last {last}", events.len())).size(NOTE).color(t.quiet));
    }
}

fn in_words(event: &Event, units: Units) -> String {
    match event.give {
        Give::Drip { ml } => format!("{} {} in {} s", event.start, Quantity::Millilitres.text(ml, units), event.seconds),
        Give::Flood { depth_cm } => format!("{} flood {} for {} s", event.start, Quantity::Length.text(depth_cm, units), event.seconds),
    }
}

/// Every aim of a lane and what it comes to.
fn aims(ui: &mut Ui, t: &Tokens, index: usize, found: &Found, lane: &str) {
    Grid::new(Id::unique("aims of a lane found").with(index)).num_columns(4).spacing([18.0, 3.0]).show(ui, |ui| {
        for told in found.aims.iter().filter(|a| a.lane == lane) {
            let ((what, unit), scale) = (told.figure.words(), told.figure.scale());
            ui.label(RichText::new(what).size(TEXT));
            ui.label(told.value.map_or_else(|| "–".to_owned(), |v| format!("{:.1} {unit}", scale * v)));
            let (low, high) = (scale * told.aim.0, scale * told.aim.1);
            let band = if high.is_finite() { format!("aim {low:.1} to {high:.1}") } else { format!("aim at least {low:.1}") };
            ui.label(RichText::new(band).size(NOTE).color(t.quiet));
            let (word, colour) = if told.met { ("met", t.good) } else { ("missed", t.attention) };
            ui.label(RichText::new(word).color(colour));
            ui.end_row();
        }
    });
}

/// A point that is looked at, as a proposal.
fn of_point(found: &Found, point: &Point) -> Proposal {
    proposal(found, format!("Take a schedule of {} events", point.events.len()), &point.events, point.feed_ec)
}

/// What is proposed, to be drawn over the tracks or taken.
fn proposal(found: &Found, name: String, events: &[Event], feed_ec: f64) -> Proposal {
    // A lane that was given usual aims keeps them.
    let aims = found.scenario.lanes.iter().filter(|lane| found.starting_aims.contains(&lane.name));
    let aims = aims.map(|lane| (lane.name.clone(), lane.targets)).collect();
    Proposal { name, valve: found.valve - 1, events: events.to_vec(), feed_ec, aims }
}

/// Takes what is proposed, or shows it on the tracks before.
fn decide(ui: &mut Ui, t: &Tokens, bench: &Bench, proposal: Proposal, actions: &mut Vec<Action>) {
    let is_drawn = bench.proposal() == Some(&proposal);
    ui.horizontal(|ui| {
        let hover = "In place of the valve's schedule, rules and later schedules, as one change. Undo brings them back.";
        if ui.add(Button::new("Take this schedule")).on_hover_text(hover).clicked() {
            actions.push(Action::TakeProposal(Box::new(proposal.clone())));
        }
        let hover = "Its settled day over the bench's own curves, in dots and dashes with the mark P, until it is taken or dismissed.";
        if ui.add(Button::new("See it on the tracks")).on_hover_text(hover).clicked() {
            actions.extend([Action::Propose(Some(Box::new(proposal))), Action::Show(action::Page::Bench)]);
        }
        if is_drawn {
            if ui.add(Button::new("Dismiss")).clicked() {
                actions.push(Action::Propose(None));
            }
            ui.label(RichText::new("Drawn over the tracks of the bench with the mark P: proposed, not taken.").size(NOTE).color(t.quiet));
        }
    });
}
