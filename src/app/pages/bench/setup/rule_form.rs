//! Rules: events that light or a probe calls for.

use eframe::egui::{Id, Ui};

use super::probe_form::usual_probe;
use crate::app::actions::action::Action;
use crate::app::look::form::{Field, Form};
use crate::app::state::bench::Bench;
use crate::edits::lengths::any_length_s;
use crate::edits::lengths::length;
use crate::edits::plan_edit;
use crate::projection::probe_mark::MayCall;
use crate::scenario::parameter::bench::RULE;
use crate::scenario::{Clock, DAY_S, Event, Give, LightSum, MAX_RULES, Plan, Rule, Scenario, When, ranges};
use crate::units::HOUR_S;

/// A new rule's events last so long, and a probe's wait so long after any event, s.
const LASTS_S: u32 = 300;
const PAUSE_S: u32 = 900;
/// Where a probe's mark stands while nothing of the day is drawn, m³/m³.
const UNKNOWN_MARK: f64 = 0.5;

/// When a rule of a probe on a valve may call that is in force from one time to another.
fn may_call(valve: usize, first: Clock, last: Clock, lasts_s: u32) -> MayCall {
    MayCall { valve, window: (first.seconds(), last.seconds()), pause_s: f64::from(PAUSE_S), lasts_s: f64::from(lasts_s) }
}

/// Draws the rules of the plan on show, and the menu that adds one.
pub fn show(form: &mut Form<'_>, ui: &mut Ui) {
    let plan = form.plan;
    for (index, rule) in form.scenario.rules(plan).iter().enumerate() {
        let head = format!("Rule {} · {}", index + 1, told(rule, form));
        form.fold(ui, fold_id(plan, index), &head, false, |form, ui| fields(form, ui, index));
    }
    add_rule(form, ui);
}

fn fold_id(plan: Plan, index: usize) -> Id {
    Id::unique("rule").with((plan, index))
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
            Self::Joules => "by light, J/cm²".to_owned(),
            Self::Moles => "by light, mol/m²".to_owned(),
            Self::Probe(lane) => format!("by the probe of lane {} · {}", lane + 1, scenario.lanes[lane].name),
        }
    }

    /// What it calls at first: a common light sum, or the probe at a mark that it passes on the day shown.
    fn when(self, scenario: &mut Scenario, bench: &Bench, may: MayCall) -> When {
        match self {
            Self::Joules => When::Light(LightSum::Joules(100.0)),
            Self::Moles => When::Light(LightSum::Moles(2.0)),
            Self::Probe(lane) => {
                let lane_data = &mut scenario.lanes[lane];
                let height = lane_data.container.height_cm();
                let probe = *lane_data.probe.get_or_insert(usual_probe(height));
                let drawn = bench.lane_drawn(lane).and_then(|lane| bench.shown().probe_mark(lane, &probe, may));
                When::Dry { lane: lane_data.name.clone(), falls_to: drawn.unwrap_or(UNKNOWN_MARK), pause_s: PAUSE_S }
            }
        }
    }
}

fn add_rule(form: &mut Form<'_>, ui: &mut Ui) {
    let (plan, scenario) = (form.plan, form.scenario);
    if scenario.rules(plan).len() >= MAX_RULES {
        form.note(ui, "There are as many rules as a schedule takes.");
        return;
    }
    let menu = ui.menu_button("Add a rule…", |ui| {
        for kind in Kind::all(scenario) {
            if ui.button(format!("events {}", kind.name(scenario))).clicked() {
                ui.close();
                start(form, ui, kind);
            }
        }
    });
    menu.response.on_hover_text(
        "Besides the clock, light or dryness can call for an event: one each time so much light has come in, or when a probe reads that dry",
    );
}

fn start(form: &mut Form<'_>, ui: &Ui, kind: Kind) {
    let (plan, scenario) = (form.plan, form.scenario);
    if scenario.climate.is_none() && !matches!(kind, Kind::Probe(_)) {
        let why =
            "How much light comes in is known from the climate, and this bench has none. Choose one first, at Climate under All lanes.";
        form.actions.push(Action::Say(why.to_owned()));
        return;
    }
    let light = scenario.usual_light();
    let ml = scenario.events(plan).iter().filter_map(Event::ml).fold(0.0, f64::max);
    let give = Give::Drip { ml: if ml > 0.0 { ml } else { 100.0 } };
    let last = light.off.hours() - (0.15 * light.seconds() / HOUR_S).min(2.0);
    let first = light.on.hours() + (0.1 * light.seconds() / HOUR_S).min(1.0);
    let (first, last) = (Clock::from_hours((first * 4.0).round() / 4.0), Clock::from_hours((last * 4.0).round() / 4.0));
    let (bench, may) = (form.bench, may_call(plan.valve, first, last, LASTS_S));
    form.set(plan_edit::of_plan(scenario, plan, format!("Add a rule: events {}", kind.name(scenario))), |s| {
        let when = kind.when(s, bench, may);
        if let Some(rules) = s.rules_mut(plan) {
            rules.push(Rule { when, first, last, seconds: LASTS_S, give, ec: None });
        }
    });
    // What it calls for, how much and until when is what one sets next.
    Form::unfold(ui, fold_id(plan, scenario.rules(plan).len()), true);
}

/// What a rule is called in the edit list.
fn called(form: &Form<'_>, index: usize) -> String {
    plan_edit::of_plan(form.scenario, form.plan, format!("rule {}", index + 1))
}

fn fields(form: &mut Form<'_>, ui: &mut Ui, index: usize) {
    let (plan, scenario) = (form.plan, form.scenario);
    let Some(now) = scenario.rules(plan).get(index).cloned() else { return };
    let of = called(form, index);
    let kinds = Kind::all(scenario);
    let names: Vec<String> = kinds.iter().map(|k| k.name(scenario)).collect();
    let at = kinds.iter().position(|k| *k == Kind::of(&now, scenario)).unwrap_or(0);
    let words = ["Called", "What calls for an event. Probes read a stretch of height of their lane; give a lane one in its card."];
    if let Some(chosen) = form.choice(ui, Id::unique(("rule when", plan, index)), words, &names[at], &names) {
        let (bench, may) = (form.bench, may_call(plan.valve, now.first, now.last, now.seconds));
        form.set(format!("Let {of} call {}", names[chosen]), |s| {
            let when = kinds[chosen].when(s, bench, may);
            if let Some(rule) = s.rule_mut(plan, index) {
                rule.when = when;
            }
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
            Ok(at) if at.seconds() + f64::from(now.seconds) > DAY_S => Some("Its events end on the day they begin, by 24:00.".to_owned()),
            Ok(_) => None,
        };
        let id = Id::unique(("rule time", plan, index, is_last));
        form.text(ui, id, [label, hover], &at.to_string(), refuse, |form, text| {
            if let Ok(at) = read(&text) {
                form.set(format!("Set {} start of {of} to {at}", label.to_lowercase()), |s| {
                    if let Some(rule) = s.rule_mut(plan, index) {
                        *(if is_last == 1 { &mut rule.last } else { &mut rule.first }) = at;
                    }
                });
            }
        });
    }
    if ui.button("Remove this rule").clicked() {
        form.set(format!("Remove {of}"), |s| {
            if let Some(rules) = s.rules_mut(plan) {
                rules.remove(index);
            }
        });
        // The rule that moves up does not take the place of its fields and its button under the mouse.
        Form::unfold(ui, fold_id(plan, index), false);
    }
}

/// How much light, or how dry.
fn called_by(form: &mut Form<'_>, ui: &mut Ui, index: usize, now: &Rule, of: &str) {
    match &now.when {
        When::Light(_) => rule_entry(form, ui, index, now, of, "when", Some("Every")),
        When::Dry { pause_s, .. } => {
            rule_entry(form, ui, index, now, of, "when.falls_to", Some("Falls to"));
            let hover = "Least time from the end of any event to the next of this rule: water needs it to reach the probe.";
            lasts(form, ui, (index, of), ["Pause", hover], *pause_s, ranges::PAUSE, |rule, seconds| {
                if let When::Dry { pause_s, .. } = &mut rule.when {
                    *pause_s = seconds;
                }
            });
        }
    }
}

/// What its events give, for how long, with which EC.
fn gives(form: &mut Form<'_>, ui: &mut Ui, index: usize, now: &Rule, of: &str) {
    let plan = form.plan;
    for name in ["give.ml", "give.depth_cm"] {
        rule_entry(form, ui, index, now, of, name, None);
    }
    let floods = now.give.is_flood();
    if form.switch(ui, ["Flood the table", "Each of its events floods from below instead of dripping from above"], floods) {
        let give = if floods { Give::Drip { ml: 100.0 } } else { Give::Flood { depth_cm: 3.0 } };
        form.set(format!("Let {of} {}", if floods { "drip" } else { "flood" }), |s| {
            if let Some(rule) = s.rule_mut(plan, index) {
                rule.give = give;
            }
        });
    }
    let most = ranges::EVENT_SECONDS.1.min(DAY_S - now.last.seconds());
    let words = ["Lasts", "How long each of its events lasts"];
    lasts(form, ui, (index, of), words, now.seconds, (ranges::EVENT_SECONDS.0, most), |rule, seconds| rule.seconds = seconds);
    if form.switch(ui, ["Own EC", "Its events have an EC of their own, not the feed's"], now.ec.is_some()) {
        let ec = if now.ec.is_some() { None } else { Some(form.scenario.feed_ec(plan.valve)) };
        let name = if ec.is_some() { format!("Give {of} an EC of its own") } else { format!("Give {of} the feed's EC") };
        form.set(name, |s| {
            if let Some(rule) = s.rule_mut(plan, index) {
                rule.ec = ec;
            }
        });
    }
    rule_entry(form, ui, index, now, of, "ec", None);
}

/// A number of a rule, where it has it.
fn rule_entry(form: &mut Form<'_>, ui: &mut Ui, index: usize, now: &Rule, of: &str, name: &str, shown: Option<&str>) {
    let plan = form.plan;
    for entry in RULE.iter().filter(|e| e.name == name) {
        let Some(value) = (entry.get)(now, form.library) else { continue };
        let field = Field::of(entry, of, now, form.library);
        let field = match shown {
            Some(shown) => field.shown_as(shown),
            None => field,
        };
        form.number(ui, &field, value, |s, v| {
            if let Some(rule) = s.rule_mut(plan, index) {
                (entry.set)(rule, v);
            }
        });
    }
}

/// A length of time, written as in the events: 5 min, 90 s.
fn lasts(
    form: &mut Form<'_>,
    ui: &mut Ui,
    (index, of): (usize, &str),
    [label, hover]: [&str; 2],
    now: u32,
    range: ranges::Range,
    set: impl FnOnce(&mut Rule, u32),
) {
    let plan = form.plan;
    let whole = crate::scenario::parameter::entry::whole;
    let least_most = format!("{} to {}", length(whole(range.0)), length(whole(range.1)));
    let refuse = |text: &str| match any_length_s(text) {
        Some(seconds) if (range.0..=range.1).contains(&seconds) => None,
        _ => Some(format!("{label}: \"{text}\" is refused. Write 5 min, 90 s or 1:30, {least_most}.")),
    };
    let hover = format!("{hover}\nWrite 5 min, 90 s or 1:30; {least_most}.");
    let text = length(now);
    form.text(ui, Id::unique(("rule length", plan, index, label)), [label, &hover], &text, refuse, |form, text| {
        if let Some(seconds) = any_length_s(&text).map(whole) {
            let name = if label == "Lasts" { format!("Let events of {of} last") } else { format!("Set pause of {of} to") };
            form.set(format!("{name} {}", length(seconds)), |s| {
                if let Some(rule) = s.rule_mut(plan, index) {
                    set(rule, seconds);
                }
            });
        }
    });
}
