//! The small window in which the selected events are typed: start, length, kind, amount and feed. It follows the selection.

use eframe::egui::{self, Id, Pos2, RichText, Ui, Window, pos2};

use crate::app::actions::action::Action;
use crate::app::look::form::{self, Field, Form, row};
use crate::app::look::theme::{self, HEAD, Tokens};
use crate::app::pages::bench::tracks::Tracks;
use crate::app::state::bench::Bench;
use crate::edits::event_set::SetEdit;
use crate::edits::lengths::{lasting, length_s};
use crate::scenario::{Clock, Event, Give, OnDays, Plan, Scenario, ranges};
use crate::units::Quantity;

/// Most characters of a time or a length.
const MOST: usize = 40;

/// Whether the window is open, and where it came up.
#[derive(Clone, Copy, Debug, Default)]
pub struct EventEditor {
    at: Option<Pos2>,
    fresh: bool,
}

impl EventEditor {
    /// Opens beside the selected event; with none selected it stays shut.
    pub fn open(&mut self, ctx: &egui::Context, bench: &Bench) {
        let Some(index) = bench.selected else { return };
        let bar = Tracks::bar_of(ctx, index).unwrap_or(ctx.content_rect());
        let most = ctx.content_rect().right() - 560.0;
        self.at = self.at.or(Some(pos2((bar.right() + 24.0).min(most.max(0.0)), bar.bottom() + 28.0)));
        self.fresh = true;
    }

    /// Whether it is open.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.at.is_some()
    }

    /// Shuts it; tells whether it was open.
    pub fn close(&mut self) -> bool {
        self.at.take().is_some()
    }

    /// Draws it, if it is open.
    pub fn show(&mut self, ctx: &egui::Context, bench: &Bench, actions: &mut Vec<Action>) {
        let Some(at) = self.at else { return };
        let scenario = &**bench.scenario();
        let picked = bench.picked();
        let events: Vec<Event> = picked.iter().filter_map(|i| scenario.events(bench.plan()).get(*i).copied()).collect();
        let Some(first) = events.first() else {
            self.at = None;
            return;
        };
        let title = if events.len() == 1 { format!("Event {}", first.start) } else { format!("{} events", events.len()) };
        let t = Tokens::now(ctx);
        let fresh = std::mem::take(&mut self.fresh);
        let frame = egui::Frame::window(&ctx.global_style()).fill(t.card).inner_margin(12);
        let window = Window::new("Edit event").id(Id::unique("event editor")).frame(frame).title_bar(false);
        window.default_pos(at).resizable(false).fixed_size([264.0, 0.0]).show(ctx, |ui| {
            ui.spacing_mut().item_spacing.y = 4.0;
            ui.label(RichText::new(&title).font(theme::strong(HEAD)));
            let mut form = Form::new(bench, t, Vec::new(), actions);
            fields(&mut form, ui, &events, picked, fresh);
            ui.add_space(2.0);
            ui.horizontal(|ui| {
                if ui.button("Duplicate").clicked() {
                    form.actions.push(Action::DuplicateSelected);
                }
                if ui.button("Delete").clicked() {
                    form.actions.push(Action::DeleteSelected);
                }
                if ui.button("Done").on_hover_text("Escape does the same").clicked() {
                    form.actions.push(Action::Escape);
                }
            });
        });
    }
}

fn fields(form: &mut Form<'_>, ui: &mut Ui, events: &[Event], picked: &[usize], fresh: bool) {
    let Some(first) = events.first() else { return };
    let one = events.len() == 1;
    let whose = if one { format!("event {}", first.start) } else { format!("{} events", events.len()) };
    let start_id = Id::unique("event start").with(picked.first());
    typed(
        form,
        ui,
        start_id,
        [if one { "Starts" } else { "First starts" }, "Time of day, as 08:15 or 08:15:30. Others keep their distance."],
        &first.start.to_string(),
        |text| {
            let start = text.parse::<Clock>().map_err(|e| e.to_string())?;
            Ok(SetEdit::Move { by_s: start.seconds() - first.start_s() })
        },
    );
    if fresh {
        ui.memory_mut(|m| m.request_focus(start_id));
    }
    let same_length = events.iter().all(|e| e.seconds == first.seconds);
    let length = if same_length { lasting(first) } else { "various".to_owned() };
    typed(
        form,
        ui,
        Id::unique("event length").with(picked.first()),
        ["Lasts", "5 min, 90 s, 1 min 30 s, or 1:30; 5 s to 12 h"],
        &length,
        |text| Ok(SetEdit::Last { seconds: length_s(text).map_err(|e| e.to_string())? }),
    );
    kind(form, ui, first, events.iter().all(|e| e.ml().is_some() == first.ml().is_some()));
    amount(form, ui, first, picked, &whose);
    if events.iter().any(|e| e.give != first.give) {
        form.note(ui, "They differ; what you set here, all get.");
    }
    feed(form, ui, first, events, picked, &whose);
    days(form, ui, first, events, picked, &whose);
}

/// A text that becomes an edit of the selected events when it is left.
fn typed(form: &mut Form<'_>, ui: &mut Ui, id: Id, words: [&str; 2], now: &str, read: impl Fn(&str) -> Result<SetEdit, String>) {
    row(ui, words[0], |ui, label| {
        let typed = form::typed(ui, id, form.document, now, (label, words[1]), MOST);
        if typed.entered {
            form.actions.push(match read(&typed.text) {
                Ok(edit) => Action::EditSetQuietly(edit),
                Err(why) => Action::Say(format!("{}: {why}", words[0])),
            });
        }
    });
}

fn kind(form: &mut Form<'_>, ui: &mut Ui, first: &Event, same: bool) {
    let kinds = ["drip, from above", "flood, from below"].map(str::to_owned);
    let now = match (same, first.give) {
        (false, _) => "various",
        (_, Give::Drip { .. }) => &kinds[0],
        _ => &kinds[1],
    };
    let words = ["Kind", "A drip gives every plant a volume from above. A flood stands around the base for as long as it lasts."];
    match form.choice(ui, Id::unique("event kind"), words, now, &kinds) {
        Some(0) => form.actions.push(Action::EditSetQuietly(SetEdit::Give(Give::Drip { ml: first.ml().unwrap_or(100.0) }))),
        Some(_) => form.actions.push(Action::EditSetQuietly(SetEdit::Give(match first.give {
            Give::Drip { .. } => Give::Flood { depth_cm: 3.0 },
            flood => flood,
        }))),
        None => {}
    }
}

fn amount(form: &mut Form<'_>, ui: &mut Ui, first: &Event, picked: &[usize], whose: &str) {
    let (label, hover, quantity, range, value) = match first.give {
        Give::Drip { ml } => ("Volume", "For each plant", Quantity::Millilitres, ranges::EVENT_ML, ml),
        Give::Flood { depth_cm } => ("Depth", "Above the base of the container", Quantity::Length, ranges::FLOOD_CM, depth_cm),
    };
    let (drip, plan) = (first.ml().is_some(), form.plan);
    form.number(ui, &Field::new(label, whose, quantity, range, hover), value, |s, v| {
        let give = if drip { Give::Drip { ml: v } } else { Give::Flood { depth_cm: v } };
        changed(s, plan, picked, &SetEdit::Give(give));
    });
}

fn feed(form: &mut Form<'_>, ui: &mut Ui, first: &Event, events: &[Event], picked: &[usize], whose: &str) {
    let bench = form.scenario.feed_ec(form.plan.valve);
    let choices =
        [format!("the bench's, {}", Quantity::Ec.text(bench, form.units)), "plain water".to_owned(), "an EC of its own".to_owned()];
    let same = events.iter().all(|e| e.ec == first.ec);
    let now = match (same, first.ec) {
        (false, _) => "various",
        (_, None) => &choices[0],
        (_, Some(0.0)) => &choices[1],
        _ => &choices[2],
    };
    let words = ["Feed", "Plain water rinses salt out. An EC of its own holds for these events whatever the bench's feed is."];
    let chosen = form.choice(ui, Id::unique("event feed"), words, now, &choices);
    if let Some(chosen) = chosen {
        let ec = [None, Some(0.0), Some(if bench > 0.0 { bench } else { 1.0 })][chosen];
        form.actions.push(Action::EditSetQuietly(SetEdit::Ec(ec)));
    }
    if let (true, Some(ec)) = (same, first.ec) {
        let plan = form.plan;
        let hover = "EC of what these events give. 0 is plain water without any salt; tap water is nearer 0.3 mS/cm.";
        form.number(ui, &Field::new("EC", whose, Quantity::Ec, ranges::FEED_EC, hover), ec, |s, v| {
            changed(s, plan, picked, &SetEdit::Ec(Some(v)));
        });
    }
}

fn days(form: &mut Form<'_>, ui: &mut Ui, first: &Event, events: &[Event], picked: &[usize], whose: &str) {
    let (now, plan) = (first.days, form.plan);
    let hover = "Days from this event to the same event again: 1 is every day, 7 once a week. A rinse need not come every day.";
    let every = Field::new("Interval", whose, Quantity::Plain("days", 0), ranges::EVERY_DAYS, hover)
        .shown_as("Comes every")
        .singular(Quantity::Plain("day", 0));
    form.number(ui, &every, f64::from(now.every), |s, v| {
        let every = whole(v);
        changed(s, plan, picked, &SetEdit::Days(OnDays { every, from: now.from.clamp(1, every.max(1)) }));
    });
    if !now.are_all() {
        let hover = "The first day on which it comes, counted from the bench's first; later schedules do not begin a new count.";
        let range = (1.0, f64::from(now.every));
        form.number(
            ui,
            &Field::new("First day", whose, Quantity::Plain("", 0), range, hover).shown_as("First on day"),
            f64::from(now.from),
            |s, v| {
                changed(s, plan, picked, &SetEdit::Days(OnDays { from: whole(v), ..now }));
            },
        );
    }
    if events.iter().any(|e| e.days != now) {
        form.note(ui, "They come on different days; what you set here, all get.");
    }
}

/// A number of days as a field holds it.
fn whole(days: f64) -> u32 {
    // Fields hold a few days.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let whole = days.round().max(0.0) as u32;
    whole
}

fn changed(scenario: &mut Scenario, plan: Plan, picked: &[usize], edit: &SetEdit) {
    // What is set here never moves an event: it cannot be refused.
    if let Ok(made) = edit.made(scenario.events(plan), picked) {
        scenario.set_events(plan, made.schedule);
    }
}
