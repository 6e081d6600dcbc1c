//! What the pump is told on the days shown: a first schedule, rules, and another schedule from a later day on.

use eframe::egui::{Id, RichText, Ui};

use super::form::{Field, Form};
use super::use_form;
use crate::app::action::Action;
use crate::app::bench::Bench;
use crate::app::days::Days;
use crate::app::projection::Projection;
use crate::app::theme::{self, HEAD};
use crate::engine::timetable::frozen;
use crate::scenario::{Clock, Event, Give, LightSum, MAX_RULES, Probe, Rule, Scenario, When, ranges};
use crate::studies::first_schedule::first_schedule;
use crate::units::Quantity;

/// Draws the section.
pub fn show(form: &mut Form<'_>, ui: &mut Ui, bench: &Bench) {
    let shown = bench.shown();
    ui.label(RichText::new("Schedule").font(theme::strong(HEAD)));
    given(form, ui, shown);
    draft(form, ui, shown);
    let plan = form.plan;
    for index in 0..form.scenario.rules(plan).len() {
        let head = format!("Rule {} · {}", index + 1, told(&form.scenario.rules(plan)[index], form));
        form.fold(ui, Id::unique("rule").with((plan, index)), &head, false, |form, ui| rule(form, ui, index));
    }
    add_rule(form, ui);
    freeze(form, ui, shown);
    changes(form, ui, bench);
}

/// What is given on the day shown.
fn given(form: &Form<'_>, ui: &mut Ui, shown: &Projection) {
    let events = shown.events(shown.day);
    let drips = events.iter().filter_map(Event::ml);
    let sum = Quantity::Millilitres.text(drips.clone().sum(), form.units);
    let text = match events.len() - drips.count() {
        0 => format!("{sum} a plant"),
        n if n == events.len() => "by flood".to_owned(),
        _ => format!("{sum} and floods"),
    };
    super::fact(form, ui, "Given that day", &text);
    super::fact(form, ui, "Events that day", &events.len().to_string());
}

/// A first schedule that suits one of the lanes, in place of the events there are.
fn draft(form: &mut Form<'_>, ui: &mut Ui, shown: &Projection) {
    let menu = ui.menu_button("Draft a schedule…", |ui| {
        for (index, lane, run) in shown.lanes() {
            if ui.button(format!("for lane {} · {}", index + 1, lane.name)).clicked() {
                ui.close();
                let holds = shown.capacities.get(index).copied().unwrap_or_default() * run.column.volume;
                let uses = 1000.0 * use_form::litres(lane, &run.column.crop, form.scenario);
                let events = first_schedule(uses, holds, lane.dose, &form.scenario.light);
                let plan = form.plan;
                if events.is_empty() {
                    form.actions.push(Action::Say(format!("The plants of lane {} use no water, so there is nothing to give.", index + 1)));
                } else {
                    form.set(format!("Draft a schedule for lane {}", index + 1), |s| *s.events_mut(plan) = events);
                }
            }
        }
    });
    let hover = "Something to begin from, in place of the events there are: what the plants of a lane use and a fifth more to drain, \
        in events of a twenty-fifth of what it holds, the closer together the more light there is (common practice, no source). \
        Undo brings the old events back.";
    menu.response.on_hover_text(hover);
}

/// A rule in a few words.
fn told(rule: &Rule, form: &Form<'_>) -> String {
    match &rule.when {
        When::Light(LightSum::Joules(sum)) => format!("every {sum:.0} J/cm²"),
        When::Light(LightSum::Moles(sum)) => format!("every {sum:.1} mol/m²"),
        When::Dry { lane, falls_to, .. } => {
            let number = form.scenario.lanes.iter().position(|l| l.name == *lane).map_or(0, |i| i + 1);
            format!("probe {number} at {:.1} %", 100.0 * falls_to)
        }
    }
}

/// One of the kinds of rule, as it is begun.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Joules,
    Moles,
    Probe(usize),
}

impl Kind {
    fn of(rule: &Rule, scenario: &Scenario) -> Self {
        match &rule.when {
            When::Light(LightSum::Joules(_)) => Self::Joules,
            When::Light(LightSum::Moles(_)) => Self::Moles,
            When::Dry { lane, .. } => Self::Probe(scenario.lanes.iter().position(|l| l.name == *lane).unwrap_or(0)),
        }
    }

    fn all(scenario: &Scenario) -> Vec<Self> {
        [Self::Joules, Self::Moles].into_iter().chain((0..scenario.lanes.len()).map(Self::Probe)).collect()
    }

    fn name(self, scenario: &Scenario) -> String {
        match self {
            Self::Joules => "light falls, J/cm²".to_owned(),
            Self::Moles => "light falls, mol/m²".to_owned(),
            Self::Probe(lane) => format!("probe of lane {} dries · {}", lane + 1, scenario.lanes[lane].name),
        }
    }

    /// What it calls at first: a common light sum, or the probe a little below what it reads in the morning.
    fn when(self, scenario: &mut Scenario, reads: impl Fn(usize) -> f64) -> When {
        match self {
            Self::Joules => When::Light(LightSum::Joules(100.0)),
            Self::Moles => When::Light(LightSum::Moles(2.0)),
            Self::Probe(lane) => {
                let lane_data = &mut scenario.lanes[lane];
                let height = lane_data.container.height_cm();
                lane_data.probe.get_or_insert(usual_probe(height));
                let falls_to = ((reads(lane) - 0.03).clamp(0.05, 0.95) * 200.0).round() / 200.0;
                When::Dry { lane: lane_data.name.clone(), falls_to, pause_s: 900 }
            }
        }
    }
}

/// A probe in the middle of the lower half.
pub fn usual_probe(container_cm: f64) -> Probe {
    let tenths = |v: f64| (v * 10.0).floor() / 10.0;
    let length_cm = tenths(container_cm.min(6.0) * 0.9).max(ranges::LEAST_PROBE);
    Probe { height_cm: tenths(0.3 * container_cm).max(0.5 * length_cm), length_cm }
}

/// The mean water content of a lane at midday of the day shown.
fn at_midday(shown: &Projection, lane: usize) -> f64 {
    let noon = shown.midnight_s() + 43_200.0;
    let sample = shown.run.lanes.get(lane).and_then(|run| run.series.at(noon));
    sample.map_or(0.5, |s| s.probe.unwrap_or(s.water_content))
}

fn add_rule(form: &mut Form<'_>, ui: &mut Ui) {
    let (plan, scenario) = (form.plan, form.scenario);
    if scenario.rules(plan).len() >= MAX_RULES {
        form.note(ui, "There are as many rules as a schedule takes.");
        return;
    }
    let menu = ui.menu_button("Add a rule…", |ui| {
        for kind in Kind::all(scenario) {
            if ui.button(format!("an event when {}", kind.name(scenario))).clicked() {
                ui.close();
                start(form, kind);
            }
        }
    });
    menu.response.on_hover_text(
        "Besides the clock, light or dryness can call for an event: one each time so much light has fallen, or when a probe reads that dry",
    );
}

fn start(form: &mut Form<'_>, kind: Kind) {
    let (plan, scenario) = (form.plan, form.scenario);
    if scenario.climate.is_none() && !matches!(kind, Kind::Probe(_)) {
        let why = "How much light falls is known from the climate, and this bench has none. Choose one under Light and climate first.";
        form.actions.push(Action::Say(why.to_owned()));
        return;
    }
    let light = scenario.light;
    let ml = scenario.events(plan).iter().filter_map(Event::ml).fold(0.0, f64::max);
    let give = Give::Drip { ml: if ml > 0.0 { ml } else { 100.0 } };
    let last = light.off.hours() - (0.15 * light.seconds() / 3600.0).min(2.0);
    let first = light.on.hours() + (0.1 * light.seconds() / 3600.0).min(1.0);
    let (first, last) = (Clock::from_hours((first * 4.0).round() / 4.0), Clock::from_hours((last * 4.0).round() / 4.0));
    let reads = form.reads.clone();
    form.set(format!("Add a rule: {}", kind.name(scenario)), |s| {
        let when = kind.when(s, |lane| reads.get(lane).copied().unwrap_or(0.5));
        s.rules_mut(plan).push(Rule { when, first, last, seconds: 300, give, ec: None });
    });
}

fn rule(form: &mut Form<'_>, ui: &mut Ui, index: usize) {
    let (plan, scenario) = (form.plan, form.scenario);
    let Some(now) = scenario.rules(plan).get(index).cloned() else { return };
    let of = format!("rule {}", index + 1);
    let kinds = Kind::all(scenario);
    let names: Vec<String> = kinds.iter().map(|k| k.name(scenario)).collect();
    let at = kinds.iter().position(|k| *k == Kind::of(&now, scenario)).unwrap_or(0);
    let words = ["When", "What calls for an event. Probes read a stretch of height of their lane; give a lane one in its card."];
    if let Some(chosen) = form.choice(ui, Id::unique(("rule when", plan, index)), words, &names[at], &names) {
        let reads = form.reads.clone();
        form.set(format!("Let {of} go by: {}", names[chosen]), |s| {
            let when = kinds[chosen].when(s, |lane| reads.get(lane).copied().unwrap_or(0.5));
            s.rules_mut(plan)[index].when = when;
        });
    }
    called_by(form, ui, index, &now, &of);
    gives(form, ui, index, &now, &of);
    let times = [
        ("First", "From then on light is counted, and no event comes earlier. Write it as 08:00.", now.first),
        ("Last", "No event begins later. The later it is, the less the night dries back. Write it as 17:00.", now.last),
    ];
    for (is_last, (label, hover, at)) in times.into_iter().enumerate() {
        let read = |text: &str| text.parse::<Clock>().map_err(|e| e.to_string());
        let refuse = |text: &str| match read(text) {
            Err(why) => Some(why),
            Ok(at) if is_last == 0 && at > now.last => Some(format!("The first event comes before the last, at {}.", now.last)),
            Ok(at) if is_last == 1 && at < now.first => Some(format!("The last event comes after the first, at {}.", now.first)),
            Ok(at) if at.seconds() + f64::from(now.seconds) > crate::scenario::DAY_S => {
                Some("Its events end on the day they begin, by 24:00.".to_owned())
            }
            Ok(_) => None,
        };
        let id = Id::unique(("rule time", plan, index, is_last));
        form.text(ui, id, [label, hover], &at.to_string(), refuse, |form, text| {
            if let Ok(at) = read(&text) {
                form.set(format!("Set {} start of {of} to {at}", label.to_lowercase()), |s| {
                    let rule = &mut s.rules_mut(plan)[index];
                    *(if is_last == 1 { &mut rule.last } else { &mut rule.first }) = at;
                });
            }
        });
    }
    if ui.button("Remove this rule").clicked() {
        form.set(format!("Remove {of}"), |s| {
            s.rules_mut(plan).remove(index);
        });
    }
}

/// How much light, or how dry.
fn called_by(form: &mut Form<'_>, ui: &mut Ui, index: usize, now: &Rule, of: &str) {
    let plan = form.plan;
    match &now.when {
        When::Light(sum) => {
            let (unit, range, value) = match *sum {
                LightSum::Joules(v) => ("J/cm²", ranges::LIGHT_JOULES, v),
                LightSum::Moles(v) => ("mol/m²", ranges::LIGHT_MOLES, v),
            };
            let hover = "An event each time so much light has fallen above the canopy. Less gives more, smaller steps.";
            let joules = matches!(sum, LightSum::Joules(_));
            let field = Field::new("Each", of, Quantity::Plain(unit, usize::from(!joules)), range, hover);
            form.number(ui, &field, value, |s, v| {
                s.rules_mut(plan)[index].when = When::Light(if joules { LightSum::Joules(v) } else { LightSum::Moles(v) });
            });
        }
        When::Dry { falls_to, pause_s, .. } => {
            let hover = "The water content at the probe that calls for an event. Lower dries further between events.";
            let field = Field::new("Falls to", of, Quantity::Share, ranges::SHARE, hover);
            form.number(ui, &field, *falls_to, |s, v| {
                if let When::Dry { falls_to, .. } = &mut s.rules_mut(plan)[index].when {
                    *falls_to = v;
                }
            });
            let hover = "Least time from the end of any event to the next of this rule: water needs it to reach the probe.";
            let field = Field::new("Pause", of, Quantity::Plain("s", 0), ranges::PAUSE, hover);
            form.number(ui, &field, f64::from(*pause_s), |s, v| {
                if let When::Dry { pause_s, .. } = &mut s.rules_mut(plan)[index].when {
                    *pause_s = super::container_form::whole(v);
                }
            });
        }
    }
}

/// What its events give, for how long, with which EC.
fn gives(form: &mut Form<'_>, ui: &mut Ui, index: usize, now: &Rule, of: &str) {
    let plan = form.plan;
    match now.give {
        Give::Drip { ml } => {
            let field = Field::new("Volume", of, Quantity::Millilitres, ranges::EVENT_ML, "What each of its events gives a plant");
            form.number(ui, &field, ml, |s, v| s.rules_mut(plan)[index].give = Give::Drip { ml: v });
        }
        Give::Flood { depth_cm } => {
            let field = Field::new("Depth", of, Quantity::Length, ranges::FLOOD_CM, "How deep each of its events floods the table");
            form.number(ui, &field, depth_cm, |s, v| s.rules_mut(plan)[index].give = Give::Flood { depth_cm: v });
        }
    }
    let floods = now.give.is_flood();
    if form.switch(ui, ["Flood the table", "Each of its events floods from below instead of dripping from above"], floods) {
        let give = if floods { Give::Drip { ml: 100.0 } } else { Give::Flood { depth_cm: 3.0 } };
        form.set(format!("Let {of} {}", if floods { "drip" } else { "flood" }), |s| s.rules_mut(plan)[index].give = give);
    }
    let most = ranges::EVENT_SECONDS.1.min(crate::scenario::DAY_S - now.last.seconds());
    let field = Field::new("Lasts", of, Quantity::Plain("s", 0), (ranges::EVENT_SECONDS.0, most), "How long each of its events lasts");
    form.number(ui, &field, f64::from(now.seconds), |s, v| s.rules_mut(plan)[index].seconds = super::container_form::whole(v));
    if form.switch(ui, ["Own EC", "Its events have an EC of their own, not the feed's"], now.ec.is_some()) {
        let ec = if now.ec.is_some() { None } else { Some(form.scenario.feed.ec) };
        let name = if ec.is_some() { format!("Give {of} an EC of its own") } else { format!("Give {of} the feed's EC") };
        form.set(name, |s| s.rules_mut(plan)[index].ec = ec);
    }
    if let Some(ec) = now.ec {
        let field = Field::new("EC", of, Quantity::Ec, ranges::FEED_EC, "EC of what its events give; tap water is near 0.3 mS/cm");
        form.number(ui, &field, ec, |s, v| s.rules_mut(plan)[index].ec = Some(v));
    }
}

/// The events of the rules as events of the clock.
fn freeze(form: &mut Form<'_>, ui: &mut Ui, shown: &Projection) {
    let (plan, scenario) = (form.plan, form.scenario);
    let Some(day) = shown.pump_day(shown.day).filter(|_| !scenario.rules(plan).is_empty()) else { return };
    let hover = "Writes what the rules called for on the day shown into the schedule, as events you can drag, and takes the rules out";
    if ui.button("Freeze into clock events").on_hover_text(hover).clicked() {
        let events = frozen(scenario.events(plan), day);
        if events.len() > crate::scenario::MAX_EVENTS {
            form.actions.push(Action::Say("The rules call for more events than a schedule takes. Let them call less often first.".to_owned()));
            return;
        }
        form.set(format!("Freeze the rules as on day {}", shown.day + 1), |s| {
            *s.events_mut(plan) = events;
            s.rules_mut(plan).clear();
        });
    }
}

/// From when on the schedule on show is in force, and another one from the day shown.
fn changes(form: &mut Form<'_>, ui: &mut Ui, bench: &Bench) {
    let (plan, scenario) = (form.plan, form.scenario);
    if scenario.days < 2 && scenario.changes.is_empty() {
        return;
    }
    let until = scenario.changes.get(plan).map(|c| c.from_day - 1);
    let from = scenario.plan_begins(plan) + 1;
    let text = match until {
        Some(last) if last == from as u32 => format!("on day {from}"),
        Some(last) => format!("days {from} to {last}"),
        None if plan == 0 => "every day".to_owned(),
        None => format!("from day {from} on"),
    };
    super::fact(form, ui, "In force", &text);
    match bench.days() {
        Days::One(day) if day > 0 && scenario.plan_begins(plan) != day => {
            let hover = "From this day on the events are edited apart; the days before stay as they are";
            if ui.button(format!("Another schedule from day {}", day + 1)).on_hover_text(hover).clicked() {
                form.set(format!("Let another schedule begin on day {}", day + 1), |s| {
                    s.change_from(day);
                });
            }
        }
        Days::One(_) => {}
        _ => {
            form.note(ui, "Show a later day to let another schedule begin on it.");
        }
    }
    if plan > 0 {
        let hover = "The days from here on go by the schedule before it again";
        if ui.button("Drop this schedule").on_hover_text(hover).clicked() {
            form.set(format!("Drop the schedule from day {from} on"), |s| s.without_change(plan));
        }
    }
}

/// What each lane's probe, or else its container, reads at midday.
pub fn readings(shown: &Projection) -> Vec<f64> {
    (0..shown.run.lanes.len()).map(|lane| at_midday(shown, lane)).collect()
}

/// A lane's probe.
pub fn probe(form: &mut Form<'_>, ui: &mut Ui, index: usize) {
    let Some(lane) = form.scenario.lanes.get(index) else { return };
    let height = lane.container.height_cm();
    let of = format!("lane {}", index + 1);
    let words = ["Probe", "A probe of water content in this root zone: its reading is a thin line on the track, and rules can go by it"];
    if form.switch(ui, words, lane.probe.is_some()) {
        let next = if lane.probe.is_some() { None } else { Some(usual_probe(height)) };
        let name = if next.is_some() { format!("Put a probe into {of}") } else { format!("Take the probe out of {of}") };
        form.set(name, |s| s.lanes[index].probe = next);
    }
    let Some(now) = lane.probe else { return };
    let hover = "Height of the probe's middle above the base. Lower it reads wetter, and answers later to an event.";
    let field = Field::new("Probe height", &of, Quantity::Length, (0.5 * now.length_cm, height - 0.5 * now.length_cm), hover);
    form.number(ui, &field, now.height_cm, |s, v| {
        if let Some(probe) = &mut s.lanes[index].probe {
            probe.height_cm = v;
        }
    });
    let hover = "Height that it reads over; the reading is the mean of that stretch.";
    let field = Field::new("Probe length", &of, Quantity::Length, (ranges::LEAST_PROBE, height), hover);
    form.number(ui, &field, now.length_cm, |s, v| {
        if let Some(probe) = &mut s.lanes[index].probe {
            probe.length_cm = v;
            probe.height_cm = probe.height_cm.max(0.5 * v).min(height - 0.5 * v);
        }
    });
}

