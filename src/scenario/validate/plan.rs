//! Checks of what the pump is told: events, rules, changes from a later day on, and the tank.

use super::check::{Check, Number, quoted};
use crate::scenario::bench::{MAX_DAYS, MAX_EVENTS, MAX_LANES, MAX_RULES, Scenario};
use crate::scenario::clock::DAY_S;
use crate::scenario::lane::Probe;
use crate::scenario::plan::PlanChange;
use crate::scenario::ranges;
use crate::scenario::rule::{LightSum, Rule, When};
use crate::scenario::schedule::{Event, Give};
use crate::scenario::tank::{Filled, Refill, Tank};
use crate::scenario::text::printable;

pub(super) fn check_plans(check: &mut Check<'_>, scenario: &Scenario) {
    check_schedule(check, &scenario.schedule);
    check_rules(check, &scenario.rules, scenario);
    if !check.count("changes", scenario.changes.len(), 0, MAX_DAYS as usize, "one change of schedule on a day") {
        return;
    }
    let mut before = 1;
    for (i, change) in scenario.changes.iter().enumerate() {
        let mut at = check.item("changes", i);
        check_change(&mut at, change, before, scenario);
        before = change.from_day;
    }
    if let Some(tank) = &scenario.tank {
        check_tank(&mut check.at("tank"), tank);
    }
}

fn check_change(check: &mut Check<'_>, change: &PlanChange, before: u32, scenario: &Scenario) {
    if change.from_day <= before || change.from_day > MAX_DAYS {
        let allowed = format!("{} to {MAX_DAYS}", before.saturating_add(1));
        check.fail("from_day", change.from_day, allowed, "changes follow one another, and the first day goes by `schedule`");
    }
    check_schedule(check, &change.schedule);
    check_rules(check, &change.rules, scenario);
}

pub(super) fn check_schedule(check: &mut Check<'_>, schedule: &[Event]) {
    if !check.count("schedule", schedule.len(), 0, MAX_EVENTS, "events of one day") {
        return;
    }
    for (i, event) in schedule.iter().enumerate() {
        let mut at = check.item("schedule", i);
        check_given(&mut at, event.seconds, event.give, event.ec);
        if event.end_s() > DAY_S {
            let span = format!("{} for {} s", event.start, event.seconds);
            at.fail("start", span, "an end by 24:00", "a daily schedule repeats at midnight; split the event in two");
        }
    }
    let mut order: Vec<usize> = (0..schedule.len()).collect();
    order.sort_by_key(|&i| schedule[i].start);
    for pair in order.windows(2) {
        let (first, second) = (&schedule[pair[0]], &schedule[pair[1]]);
        if second.start_s() < first.end_s() {
            check.item("schedule", pair[1]).fail(
                "start",
                second.start,
                format!("after schedule[{}] ends ({} and {} s)", pair[0], first.start, first.seconds),
                "one pump gives one event at a time",
            );
        }
    }
}

fn check_given(at: &mut Check<'_>, seconds: u32, give: Give, ec: Option<f64>) {
    at.whole("seconds", seconds, ranges::EVENT_SECONDS, "an event lasts from 5 seconds to 12 hours");
    match give {
        Give::Drip { ml } => at.range("give.ml", ml, ranges::EVENT_ML, "mL per plant of one event"),
        Give::Flood { depth_cm } => at.range("give.depth_cm", depth_cm, ranges::FLOOD_CM, "cm of flood above the container's base"),
    }
    if let Some(ec) = ec {
        at.range("ec", ec, ranges::FEED_EC, "mS/cm; plain water is about 0.3");
    }
}

fn check_rules(check: &mut Check<'_>, rules: &[Rule], scenario: &Scenario) {
    if !check.count("rules", rules.len(), 0, MAX_RULES, "rules of one schedule") {
        return;
    }
    for (i, rule) in rules.iter().enumerate() {
        let mut at = check.item("rules", i);
        check_given(&mut at, rule.seconds, rule.give, rule.ec);
        if rule.last < rule.first || rule.last.seconds() + f64::from(rule.seconds) > DAY_S {
            let both = format!("{} to {}", rule.first, rule.last);
            at.fail("last", both, "`first` before `last`, and an end by 24:00", "its events begin and end on one day");
        }
        match &rule.when {
            When::Light(sum) => check_light_sum(&mut at, *sum, scenario),
            When::Dry { lane, falls_to, pause_s } => {
                at.range("when.falls_to", *falls_to, ranges::SHARE, "m³/m³ at the probe");
                at.whole("when.pause_s", *pause_s, ranges::PAUSE, "s between two events");
                match scenario.lanes.iter().find(|l| l.name == *lane) {
                    None => {
                        let known: Vec<String> = scenario.lanes.iter().take(MAX_LANES).map(|l| printable(&l.name, 80)).collect();
                        at.fail("when.lane", quoted(lane), known.join(", "), "the lane whose probe is read");
                    }
                    Some(found) if found.probe.is_none() => {
                        at.fail("when.lane", quoted(lane), "a lane that has a `probe`", "the rule goes by what a probe reads");
                    }
                    Some(_) => {}
                }
            }
        }
    }
}

fn check_light_sum(at: &mut Check<'_>, sum: LightSum, scenario: &Scenario) {
    match sum {
        LightSum::Joules(amount) => at.range("when", amount, ranges::LIGHT_JOULES, "J/cm² of light for an event"),
        LightSum::Moles(amount) => at.range("when", amount, ranges::LIGHT_MOLES, "mol/m² of light for an event"),
    }
    if scenario.climate.is_none() {
        at.fail("when", "Light", "Dry, or a climate for the bench", "how much light falls is known from the bench's climate");
    }
}

fn check_tank(check: &mut Check<'_>, tank: &Tank) {
    check.range("litres", tank.litres, ranges::TANK, "litres when it is full");
    if let Some(ec) = tank.start_ec {
        check.range("start_ec", ec, ranges::FEED_EC, "mS/cm");
    }
    if let Refill::Water { ec } = tank.refill {
        check.range("refill.ec", ec, ranges::FEED_EC, "mS/cm; plain water is about 0.3");
    }
    if let Filled::At(time) = tank.filled
        && time.seconds() >= DAY_S
    {
        check.fail("filled", time, "00:00 to 23:59:59", "a time of every day");
    }
}

/// Checks that a probe lies within its container.
pub(super) fn check_probe(check: &mut Check<'_>, probe: &Probe, container_cm: f64) {
    check.range("length_cm", probe.length_cm, (ranges::LEAST_PROBE, container_cm), "cm of height that it reads over");
    let (low, high) = probe.ends();
    if low.is_nan() || low < -1e-9 || high > container_cm + 1e-9 {
        let span = format!("{} to {} cm", Number(low), Number(high));
        check.fail("height_cm", span, format!("0 to {} cm", Number(container_cm)), "all of it is in the container");
    }
}
