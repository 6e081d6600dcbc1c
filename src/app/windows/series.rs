//! The small window that adds a series of events, and shows on the tracks what it would do.

use eframe::egui::{self, Align, Align2, Area, Color32, DragValue, Frame, Id, Layout, Modal, Order, RichText, TextEdit, Ui, vec2};

use crate::app::look::form::row;
use crate::app::look::theme::{self, NOTE, Tokens};
use crate::app::state::bench::Bench;
use crate::edits::event_set::{Clash, Series, SetEdit};
use crate::edits::lengths::lasting;
use crate::edits::lengths::length_s;
use crate::scenario::{Clock, Event, Give, OnDays, ranges};
use crate::units::{Quantity, Units};

/// What a first event gives where nothing tells: mL per plant, and cm of a flood.
const USUAL_ML: f64 = 120.0;
const USUAL_CM: f64 = 3.0;

/// What has been typed so far.
#[derive(Clone, Debug, PartialEq)]
pub struct SeriesForm {
    from: String,
    until: String,
    every: String,
    lasts: String,
    give: Give,
    ec: Option<f64>,
    clash: Clash,
    fresh: bool,
}

/// What the window asks for.
#[derive(Clone, Debug, PartialEq)]
pub enum Asked {
    /// Show what it would do, or nothing where it cannot be done.
    Show(Option<SetEdit>),
    /// Do it.
    Add,
    /// Close.
    Cancel,
}

impl SeriesForm {
    /// A start that suits the bench: like the selected event, or like the first one.
    #[must_use]
    pub fn from(bench: &Bench) -> Self {
        let scenario = bench.document().scenario();
        let schedule = bench.schedule();
        let like = bench.selected.and_then(|i| schedule.get(i)).or(schedule.first());
        let give = like.map_or(Give::Drip { ml: USUAL_ML }, |e| e.give);
        let lasts = like.map_or_else(|| "5 min".to_owned(), lasting);
        let light = scenario.usual_light();
        let (on, off) = (light.on.hours().ceil() + 2.0, light.off.hours().floor() - 4.0);
        let (from, until) = if off > on { (on, off) } else { (8.0, 16.0) };
        Self {
            from: Clock::from_hours(from).to_string(),
            until: Clock::from_hours(until).to_string(),
            every: "45 min".to_owned(),
            lasts,
            give,
            ec: like.and_then(|e| e.ec),
            clash: Clash::LeaveOut,
            fresh: true,
        }
    }

    /// The series that has been typed.
    ///
    /// # Errors
    /// What is wrong with it, in words.
    pub fn series(&self) -> Result<Series, String> {
        let clock = |name: &str, text: &str| text.trim().parse::<Clock>().map_err(|e| format!("{name}: {e}"));
        let length = |name: &str, text: &str| length_s(text).map_err(|e| format!("{name}: {e}"));
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 5 to 43,200
        let whole = |seconds: f64| seconds as u32;
        let start = clock("From", &self.from)?;
        let seconds = whole(length("Lasts", &self.lasts)?);
        let first = Event { start, seconds, give: self.give, ec: self.ec, days: OnDays::ALL };
        if first.end_s() > crate::scenario::DAY_S {
            return Err("From: the first event would run past midnight.".to_owned());
        }
        let every_s = whole(length("Every", &self.every)?);
        Ok(Series { first, until: clock("Until", &self.until)?, every_s, clash: self.clash })
    }

    /// Draws the window below the tracks of water, so that these can be seen.
    pub fn show(&mut self, ctx: &egui::Context, schedule: &[Event], feed_ec: f64, units: Units) -> Asked {
        let t = Tokens::now(ctx);
        let made = self.series().and_then(|s| Ok((s, SetEdit::Series(s).made(schedule, &[]).map_err(|e| e.to_string())?)));
        let mut asked = Asked::Show(made.as_ref().ok().map(|(s, _)| SetEdit::Series(*s)));
        let frame = Frame::popup(&ctx.global_style()).inner_margin(16).corner_radius(8).fill(t.card);
        let id = Id::unique("series");
        let area = Area::new(id).kind(egui::UiKind::Modal).order(Order::Foreground).anchor(Align2::CENTER_BOTTOM, vec2(0.0, -44.0));
        let modal = Modal::new(id).area(area).backdrop_color(Color32::TRANSPARENT).frame(frame);
        let response = modal.show(ctx, |ui| {
            ui.set_width(560.0);
            ui.spacing_mut().item_spacing.y = 6.0;
            ui.label(RichText::new("Add a series of events").font(theme::strong(16.0)));
            let mut entered = false;
            ui.spacing_mut().item_spacing.x = 28.0;
            ui.columns(2, |columns| {
                for column in &mut *columns {
                    column.spacing_mut().item_spacing.x = 8.0;
                }
                if let [left, right] = columns {
                    entered = self.times(left) | self.gift(right, feed_ec, units);
                }
            });
            ui.spacing_mut().item_spacing.x = 8.0;
            if let Ok(series) = self.series() {
                self.clashes(ui, t, &series, schedule);
            }
            let (text, colour) = match &made {
                Ok((series, made)) => (summary(series, made.picked.len(), units), t.ink),
                Err(why) => (why.clone(), t.attention),
            };
            ui.label(RichText::new(text).color(colour));
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let add = ui.add_enabled(made.is_ok(), egui::Button::new("Add"));
                if add.clicked() || (entered && made.is_ok()) {
                    asked = Asked::Add;
                }
                if ui.button("Cancel").clicked() {
                    asked = Asked::Cancel;
                }
                ui.label(RichText::new("The tracks above show the day with it.").size(NOTE).color(t.quiet));
            });
        });
        if response.should_close() { Asked::Cancel } else { asked }
    }

    /// When. Tells whether Enter was pressed in a field.
    fn times(&mut self, ui: &mut Ui) -> bool {
        let mut entered = false;
        let fresh = std::mem::take(&mut self.fresh);
        for (i, (label, hover, text)) in [
            ("From", "Start of the first event, as 08:00", &mut self.from),
            ("Until", "No event starts later, as 16:00", &mut self.until),
            ("Every", "From start to start: 45 min, 1 h 30 min", &mut self.every),
        ]
        .into_iter()
        .enumerate()
        {
            let field = field(ui, label, hover, text);
            if i == 0 && fresh {
                field.request_focus();
            }
            entered |= is_entered(ui, &field);
        }
        entered
    }

    /// What. Tells whether Enter was pressed in a field.
    fn gift(&mut self, ui: &mut Ui, feed_ec: f64, units: Units) -> bool {
        self.kind(ui);
        let (label, q, value, range) = match &mut self.give {
            Give::Drip { ml } => ("Volume", Quantity::Millilitres, ml, ranges::EVENT_ML),
            Give::Flood { depth_cm } => ("Depth", Quantity::Length, depth_cm, ranges::FLOOD_CM),
        };
        let mut shown = q.shown(*value, units);
        row(ui, label, |ui, id| {
            let drag = DragValue::new(&mut shown).range(q.shown(range.0, units)..=q.shown(range.1, units));
            ui.spacing_mut().interact_size.x = 110.0;
            let drag = drag.max_decimals(q.decimals(units)).suffix(format!(" {}", q.unit(units))).speed(0.5);
            if ui.add(drag).labelled_by(id).on_hover_text("Of each event").changed() {
                *value = q.data(shown, units).clamp(range.0, range.1);
            }
        });
        let lasts = field(ui, "Lasts", "Each event: 5 min, 90 s", &mut self.lasts);
        let entered = is_entered(ui, &lasts);
        let mut own = self.ec.is_some();
        let words = format!("Own EC, not the feed's {}", Quantity::Ec.text(feed_ec, units));
        ui.horizontal(|ui| {
            if ui.checkbox(&mut own, words).on_hover_text("0 is a rinse with plain water").changed() {
                self.ec = own.then_some(0.0);
            }
            if let Some(ec) = &mut self.ec {
                let q = Quantity::Ec;
                let mut shown = q.shown(*ec, units);
                let drag = DragValue::new(&mut shown).range(0.0..=q.shown(20.0, units)).max_decimals(q.decimals(units)).speed(0.01);
                let drag = drag.suffix(format!(" {}", q.unit(units)));
                let label = ui.label("EC").id;
                if ui.add(drag).labelled_by(label).changed() {
                    *ec = q.data(shown, units).clamp(0.0, 20.0);
                }
            }
        });
        entered
    }

    fn kind(&mut self, ui: &mut Ui) {
        let drips = matches!(self.give, Give::Drip { .. });
        row(ui, "Kind", |ui, _| {
            let hover = "A drip gives every plant a volume from above. A flood stands around the base for as long as it lasts.";
            if ui.radio(!drips, "flood").on_hover_text(hover).clicked() && drips {
                self.give = Give::Flood { depth_cm: USUAL_CM };
            }
            if ui.radio(drips, "drip").on_hover_text(hover).clicked() && !drips {
                self.give = Give::Drip { ml: USUAL_ML };
            }
        });
    }

    fn clashes(&mut self, ui: &mut Ui, t: &Tokens, series: &Series, schedule: &[Event]) {
        let met = series.clashes(schedule);
        let between = schedule.iter().filter(|e| e.start >= series.first.start && e.start <= series.until).count();
        if met == 0 && between == 0 {
            return;
        }
        let text = match met {
            0 => "It meets no event that is there.".to_owned(),
            1 => "It meets 1 event that is there.".to_owned(),
            n => format!("It meets {n} events that are there."),
        };
        ui.label(RichText::new(text).color(if met == 0 { t.quiet } else { t.attention }));
        ui.horizontal_wrapped(|ui| {
            let mut choice = |ui: &mut Ui, clash, text: String| ui.radio_value(&mut self.clash, clash, text);
            choice(ui, Clash::LeaveOut, "Leave those times out".to_owned());
            choice(ui, Clash::Replace, "Replace those it meets".to_owned());
            choice(ui, Clash::Clear, format!("Replace all {between} from {} to {}", series.first.start, series.until));
        });
    }
}

fn is_entered(ui: &Ui, field: &egui::Response) -> bool {
    field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter))
}

fn field(ui: &mut Ui, label: &str, hover: &str, text: &mut String) -> egui::Response {
    let mut out = None;
    row(ui, label, |ui, id| {
        let edit = ui.add(TextEdit::singleline(text).desired_width(110.0).char_limit(40));
        out = Some(edit.labelled_by(id).on_hover_text(hover));
    });
    out.unwrap_or_else(|| ui.label(""))
}

fn summary(series: &Series, count: usize, units: Units) -> String {
    let many = if count == 1 { "1 event".to_owned() } else { format!("{count} events") };
    match series.first.give {
        Give::Drip { ml } => {
            #[allow(clippy::cast_precision_loss)]
            let sum = ml * count as f64;
            format!("Adds {many}, {} a plant in all.", Quantity::Millilitres.text(sum, units))
        }
        Give::Flood { depth_cm } => format!("Adds {many} of {}.", Quantity::Length.text(depth_cm, units)),
    }
}
