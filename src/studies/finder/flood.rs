//! The day of a flood table: floods as deep and as long, and a rinse from above, every day or every so many, that carries out what floods leave at
//! the top.

use super::asked::Asked;
use super::plan::{Floods, Plan, few, spread};
use crate::scenario::{Event, Give, OnDays, Scenario, ranges};
use crate::units::HOUR_S;

/// From the end of a rinse to the first flood, and from the end of the last flood to the rinse, s (judgement): by then most has drained.
const APART_S: f64 = 1800.0;
/// How long a flood stands at least and at most, s (judgement).
const STANDS_S: (f64, f64) = (120.0, 2.0 * HOUR_S);
/// Share of a pot's height that a flood may reach (judgement): it never runs in over the rim.
const UP_TO: f64 = 0.9;
/// Rinses that a search begins with, as shares of what the thirstiest lane uses (judgement).
const RINSES: [f64; 3] = [0.3, 0.7, 1.4];
/// Days from one rinse to the next that a search looks at, where none are asked for (judgement).
const EVERY: [u32; 4] = [1, 2, 3, 7];
/// A rinse below this is none, mL (judgement).
const LEAST_ML: f64 = 1.0;

/// The events of a plan; none where the equipment or the hours do not let them be.
pub(super) fn events(plan: &Plan, asked: &Asked, scenario: &Scenario) -> Vec<Event> {
    let grid = f64::from(asked.hardware.timer_step_s);
    let seconds = ((plan.floods.seconds / 60.0).round() * 60.0).clamp(STANDS_S.0, STANDS_S.1).max(f64::from(asked.hardware.shortest_s));
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let flood = Event {
        start: asked.first,
        seconds: seconds as u32,
        give: Give::Flood { depth_cm: depth(plan, scenario) },
        ec: None,
        days: OnDays::ALL,
    };
    let (first, last) = (plan.inside(plan.first_s, asked), plan.inside(plan.last_s.max(plan.first_s), asked));
    let Some(ec) = asked.rinse_ec.filter(|_| plan.floods.rinse_ml >= LEAST_ML) else {
        let count = plan.count.clamp(1, asked.hardware.most_events);
        return spread(asked, scenario, (first, last), count, &flood);
    };
    let Some(rinse) = asked.hardware.event(plan.floods.rinse_ml, scenario) else { return Vec::new() };
    let every = plan.floods.rinse_every.max(1);
    let rinse = Event { ec: Some(ec), days: OnDays { every, from: 1 }, ..rinse };
    // One of the events is the rinse.
    let Some(count) = asked.hardware.most_events.checked_sub(1).filter(|most| *most > 0).map(|most| plan.count.clamp(1, most)) else {
        return Vec::new();
    };
    let up = |s: f64| (s / grid).ceil() * grid;
    let at = |event: Event, s: f64| Event { start: crate::scenario::Clock::from_hours(s / HOUR_S), ..event };
    let (low, high) = (plan.inside(0.0, asked), plan.inside(86_400.0, asked));
    let mut events;
    if plan.floods.rinse_last {
        let before = up(seconds + APART_S);
        let until = high - before;
        events = spread(asked, scenario, (first.min(until), last.min(until)), count, &flood);
        let Some(rinse_s) = events.last().map(|e| up(e.end_s() + APART_S)) else { return Vec::new() };
        events.push(at(rinse, rinse_s));
    } else {
        let before = up(f64::from(rinse.seconds) + APART_S);
        let from = first.max(low + before);
        events = spread(asked, scenario, (from, last.max(from)), count, &flood);
        let Some(first_s) = events.first().map(Event::start_s) else { return Vec::new() };
        events.insert(0, at(rinse, first_s - before));
    }
    let fits = |e: &Event| (low..=high).contains(&e.start_s()) && e.end_s() <= 86_400.0 && e.start_s() % grid == 0.0;
    if events.iter().all(fits) { events } else { Vec::new() }
}

/// How deep, to a millimetre, and never over the rim of the lowest pot.
fn depth(plan: &Plan, scenario: &Scenario) -> f64 {
    let lowest = scenario.lanes.iter().map(|lane| lane.container.height_cm()).fold(ranges::FLOOD_CM.1, f64::min);
    ((plan.amount.min(UP_TO * lowest) * 10.0).floor() / 10.0).max(ranges::FLOOD_CM.0)
}

/// Where a search begins: as the valve floods now, if it does; `None` where it does not. Counts are those of the valve's own floods.
pub(super) fn begins(given: &[Event], plan: Plan) -> Option<Plan> {
    let floods = || given.iter().filter(|e| e.give.is_flood());
    let Event { seconds, give: Give::Flood { depth_cm }, .. } = *floods().next()? else { return None };
    let floods = Floods { seconds: f64::from(seconds), ..Floods::default() };
    Some(Plan { amount: depth_cm, count: given.iter().filter(|e| e.give.is_flood()).count(), floods, ..plan })
}

/// Plans to begin with, where the thirstiest lane uses so much (mL a day at a dose of 1).
pub(super) fn grid(plan: &Plan, asked: &Asked, uses_ml: f64, coarse: bool) -> Vec<Plan> {
    // Rinses that come seldom are tried beside the best of those that come every day (`around`).
    let every = asked.rinse_every.unwrap_or(EVERY[0]);
    let plan = &Plan { floods: Floods { rinse_every: every, ..plan.floods }, ..*plan };
    let rinses = asked.rinse_ec.iter().flat_map(|_| RINSES).map(|share| share * uses_ml * at_once(every));
    let rinses: Vec<f64> = std::iter::once(0.0).chain(rinses).collect();
    let (depths, counts): (&[f64], &[usize]) = if coarse { (&[1.0], &[2]) } else { (&[0.6, 1.0, 1.6], &[1, 3]) };
    let mut plans = vec![*plan];
    for by in depths {
        for count in counts {
            for rinse_ml in &rinses {
                let count = (*count).min(asked.hardware.most_events);
                plans.push(Plan { amount: plan.amount * by, count, floods: Floods { rinse_ml: *rinse_ml, ..plan.floods }, ..*plan });
            }
        }
    }
    plans.dedup();
    plans
}

/// How much larger a rinse is that comes every so many days than one that comes every day and keeps the salt as low, about (judgement; only where
/// a search begins hangs on it).
fn at_once(every: u32) -> f64 {
    f64::from(every).powf(0.7)
}

/// The same with rinses that come a little more or less often.
fn other_days(p: &Plan, asked: &Asked) -> Vec<Plan> {
    if asked.rinse_every.is_some() {
        return Vec::new();
    }
    let now = p.floods.rinse_every.max(1);
    let at = EVERY.partition_point(|every| *every < now);
    let beside = [at.checked_sub(1), Some(at + 1)].into_iter().flatten().filter_map(|i| EVERY.get(i));
    let with = |every: &u32| {
        let rinse_ml = p.floods.rinse_ml * at_once(*every) / at_once(now);
        Plan { floods: Floods { rinse_ml, rinse_every: *every, ..p.floods }, ..*p }
    };
    beside.map(with).collect()
}

/// Plans one step from a plan in each of its numbers.
pub(super) fn around(p: &Plan, stride: f64, asked: &Asked, uses_ml: f64) -> Vec<Plan> {
    let hour = 2.0 * HOUR_S * stride;
    let (more, less) = (1.0 + 0.4 * stride, 1.0 / (1.0 + 0.4 * stride));
    let with = |floods: Floods| Plan { floods, ..*p };
    let count = |by: f64| few(p.count, by, asked.hardware.most_events);
    let mut plans = vec![
        Plan { amount: p.amount * more, ..*p },
        Plan { amount: p.amount * less, ..*p },
        Plan { count: count(more), ..*p },
        Plan { count: count(less), ..*p },
        Plan { amount: p.amount * less, count: count(more), ..*p },
        Plan { amount: p.amount * more, count: count(less), ..*p },
        with(Floods { seconds: p.floods.seconds * more * more, ..p.floods }),
        with(Floods { seconds: p.floods.seconds * less * less, ..p.floods }),
        Plan { first_s: (p.first_s + hour).min(p.last_s), ..*p },
        Plan { first_s: p.first_s - hour, ..*p },
        Plan { last_s: (p.last_s - hour).max(p.first_s), ..*p },
        Plan { last_s: p.last_s + hour, ..*p },
    ];
    if asked.rinse_ec.is_some() {
        let rinse = |rinse_ml: f64| with(Floods { rinse_ml, ..p.floods });
        if p.floods.rinse_ml > 0.0 {
            plans.extend([rinse(p.floods.rinse_ml * (1.0 + 0.6 * stride)), rinse(p.floods.rinse_ml / (1.0 + 0.6 * stride)), rinse(0.0)]);
            plans.push(with(Floods { rinse_last: !p.floods.rinse_last, ..p.floods }));
            // Drier and rinsed more: what one undoes of an aim the other mends.
            plans.push(Plan { amount: p.amount * less, ..rinse(p.floods.rinse_ml * more) });
            plans.extend(other_days(p, asked));
        } else {
            plans.push(rinse(RINSES[0] * uses_ml * at_once(p.floods.rinse_every.max(1))));
        }
    }
    plans.extend(p.other_feeds(stride, asked));
    for plan in &mut plans {
        (plan.first_s, plan.last_s) = (plan.inside(plan.first_s, asked), plan.inside(plan.last_s, asked));
    }
    plans
}

/// Plans beside one that show what a rinse does, and what fewer and more floods do.
pub(super) fn traded(p: &Plan, asked: &Asked, uses_ml: f64) -> Vec<Plan> {
    let scale = uses_ml * at_once(p.floods.rinse_every.max(1));
    let rinses = asked.rinse_ec.iter().flat_map(|_| [0.15, 0.3, 0.5, 0.8, 1.2, 1.8]).map(|share| share * scale);
    let rinsed = std::iter::once(0.0).chain(rinses).map(|rinse_ml| Plan { floods: Floods { rinse_ml, ..p.floods }, ..*p });
    let less = [0.9, 0.8].map(|by| Plan { floods: Floods { rinse_ml: by * p.floods.rinse_ml, ..p.floods }, ..*p });
    let counts = [1, 2, 3, 5].map(|count| Plan { count: count.min(asked.hardware.most_events), ..*p });
    let seldom = EVERY.into_iter().filter(|_| p.floods.rinse_ml > 0.0 && asked.rinse_every.is_none()).map(|every| {
        let rinse_ml = p.floods.rinse_ml * at_once(every) / at_once(p.floods.rinse_every.max(1));
        Plan { floods: Floods { rinse_ml, rinse_every: every, ..p.floods }, ..*p }
    });
    // How low many floods alone can hold the salt.
    let bare = [2, 4, 8, 12].map(|count| {
        let floods = Floods { rinse_ml: 0.0, ..p.floods };
        Plan { count: count.min(asked.hardware.most_events), floods, ..*p }
    });
    rinsed.chain(less).chain(counts).chain(seldom).chain(bare).collect()
}
