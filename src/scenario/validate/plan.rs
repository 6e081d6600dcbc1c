//! Checks of what the pump is told: valves with their events, rules and changes from a later day on, the pump itself, and the tank.

use std::collections::HashSet;

use super::check::{Check, Number, quoted};
use crate::scenario::bench::{MAX_DAYS, MAX_EVENTS, MAX_LANES, MAX_RULES, Scenario};
use crate::scenario::clock::DAY_S;
use crate::scenario::lane::Probe;
use crate::scenario::parameter::bench::{EVENT, PUMP, RULE, TANK, VALVE};
use crate::scenario::plan::PlanChange;
use crate::scenario::presets::library::Library;
use crate::scenario::ranges;
use crate::scenario::rule::{Rule, When};
use crate::scenario::schedule::Event;
use crate::scenario::tank::{Filled, Tank};
use crate::scenario::text::printable;
use crate::scenario::valve::{MAX_VALVES, Valve};

pub(super) fn check_plans(check: &mut Check<'_>, scenario: &Scenario, library: &Library) {
    if check.count("valves", scenario.valves.len(), 1, MAX_VALVES, "each lane is on a valve, and each valve has one") {
        let mut names = HashSet::new();
        for (i, valve) in scenario.valves.iter().enumerate() {
            let mut at = check.item("valves", i);
            check_valve(&mut at, valve, scenario, library);
            if !names.insert(valve.name.trim()) {
                at.fail("name", quoted(&valve.name), "a name no other valve has", "schedules are told apart by it");
            }
            if scenario.lanes_on(i).next().is_none() && !scenario.lanes.is_empty() {
                let why = "what no lane gets is not drawn; put a lane on it, or take it out";
                at.fail("name", quoted(&valve.name), format!("a valve that a lane is on (`valve: {}`)", i + 1), why);
            }
        }
        for (i, lane) in scenario.lanes.iter().enumerate().take(MAX_LANES) {
            if lane.valve >= scenario.valves.len() {
                // Zero, which is none, stands below the first.
                let number = lane.valve.wrapping_add(1);
                let allowed = format!("1 to {}", scenario.valves.len());
                check.item("lanes", i).fail("valve", number, allowed, "the number of its valve, counted from 1");
            }
        }
    }
    if let Some(pump) = &scenario.pump {
        check.at("pump").numbers(pump, PUMP, library);
    }
    if let Some(tank) = &scenario.tank {
        check_tank(&mut check.at("tank"), tank, library);
    }
}

fn check_valve(check: &mut Check<'_>, valve: &Valve, scenario: &Scenario, library: &Library) {
    check.name(&valve.name);
    check.numbers(valve, VALVE, library);
    check_schedule(check, &valve.schedule, library);
    check_rules(check, &valve.rules, scenario, library);
    if !check.count("changes", valve.changes.len(), 0, MAX_DAYS as usize, "one change of schedule on a day") {
        return;
    }
    let mut before = 1;
    for (i, change) in valve.changes.iter().enumerate() {
        let mut at = check.item("changes", i);
        check_change(&mut at, change, before, scenario, library);
        before = change.from_day;
    }
}

fn check_change(check: &mut Check<'_>, change: &PlanChange, before: u32, scenario: &Scenario, library: &Library) {
    if change.from_day <= before || change.from_day > MAX_DAYS {
        let allowed = format!("{} to {MAX_DAYS}", before.saturating_add(1));
        check.fail("from_day", change.from_day, allowed, "changes follow one another, and the first day goes by `schedule`");
    }
    check_schedule(check, &change.schedule, library);
    check_rules(check, &change.rules, scenario, library);
}

pub(super) fn check_schedule(check: &mut Check<'_>, schedule: &[Event], library: &Library) {
    if !check.count("schedule", schedule.len(), 0, MAX_EVENTS, "events of one day") {
        return;
    }
    for (i, event) in schedule.iter().enumerate() {
        let mut at = check.item("schedule", i);
        at.numbers(event, EVENT, library);
        if event.days.from > event.days.every {
            let allowed = format!("1 to {}", event.days.every);
            at.fail("days.from", event.days.from, allowed, "the first of its days is among the first `every`");
        }
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
                "a valve gives one event at a time",
            );
        }
    }
}

fn check_rules(check: &mut Check<'_>, rules: &[Rule], scenario: &Scenario, library: &Library) {
    if !check.count("rules", rules.len(), 0, MAX_RULES, "rules of one schedule") {
        return;
    }
    for (i, rule) in rules.iter().enumerate() {
        let mut at = check.item("rules", i);
        at.numbers(rule, RULE, library);
        if rule.last < rule.first || rule.last.seconds() + f64::from(rule.seconds) > DAY_S {
            let both = format!("{} to {}", rule.first, rule.last);
            at.fail("last", both, "`first` before `last`, and an end by 24:00", "its events begin and end on one day");
        }
        match &rule.when {
            When::Light(_) if scenario.climate.is_none() => {
                at.fail("when", "Light", "Dry, or a climate for the bench", "how much light falls is known from the bench's climate");
            }
            When::Light(_) => {}
            When::Dry { lane, .. } => match scenario.lanes.iter().find(|l| l.name == *lane) {
                None => {
                    let known: Vec<String> = scenario.lanes.iter().take(MAX_LANES).map(|l| printable(&l.name, 80)).collect();
                    at.fail("when.lane", quoted(lane), known.join(", "), "the lane whose probe is read");
                }
                Some(found) if found.probe.is_none() => {
                    at.fail("when.lane", quoted(lane), "a lane that has a `probe`", "the rule goes by what a probe reads");
                }
                Some(_) => {}
            },
        }
    }
}

fn check_tank(check: &mut Check<'_>, tank: &Tank, library: &Library) {
    check.numbers(tank, TANK, library);
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
