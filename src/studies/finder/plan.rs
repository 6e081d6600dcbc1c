//! A plan: a few numbers that stand for a day's schedule.

use super::asked::Asked;
use super::budget::Budget;
use crate::scenario::{Event, Give, Scenario};
use crate::studies::first_schedule::by_light;
use crate::units::HOUR_S;

/// A day's schedule in a few numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Plan {
    /// Given in a day at a dose of 1, mL per plant; of floods their depth, cm.
    pub amount: f64,
    /// Events.
    pub count: usize,
    /// When the first begins, s after midnight.
    pub first_s: f64,
    /// When the last begins, s after midnight.
    pub last_s: f64,
    /// The feed's EC, mS/cm.
    pub feed_ec: f64,
}

/// A bench with events in place of a valve's schedule, rules and later plans, and with a feed of that EC (mS/cm): the bench's own where it has
/// but one valve, or else the valve's. A valve that is not there is left.
#[must_use]
pub fn laid_on(bench: &Scenario, valve: usize, events: Vec<Event>, feed_ec: f64) -> Scenario {
    let mut with = bench.clone();
    let (alone, fed) = (with.valves.len() == 1, bench.feed_ec(valve));
    let Some(at) = with.valves.get_mut(valve) else { return with };
    at.schedule = events;
    at.rules.clear();
    at.changes.clear();
    if fed.to_bits() != feed_ec.to_bits() {
        if alone && at.ec.is_none() {
            with.feed.ec = feed_ec;
        } else {
            at.ec = Some(feed_ec);
        }
    }
    with
}

/// What comes to the roots.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Way {
    /// By emitters.
    Drip,
    /// By floods that stand so long, s.
    Flood(u32),
}

impl Plan {
    /// Its events, as the equipment can give them; none where it cannot.
    pub fn events(&self, way: Way, asked: &Asked, scenario: &Scenario) -> Vec<Event> {
        #[allow(clippy::cast_precision_loss)]
        let count = self.count.clamp(1, asked.hardware.most_events);
        let event = match way {
            #[allow(clippy::cast_precision_loss)]
            Way::Drip => asked.hardware.event(self.amount / count as f64, scenario),
            Way::Flood(seconds) => {
                let depth_cm = (self.amount * 10.0).round() / 10.0;
                Some(Event { start: asked.first, seconds, give: Give::Flood { depth_cm }, ec: None })
            }
        };
        let Some(event) = event else { return Vec::new() };
        let grid = f64::from(asked.hardware.timer_step_s);
        // The grid may not lead out of the window.
        let inside = |s: f64| s.clamp((asked.first.seconds() / grid).ceil() * grid, (asked.last.seconds() / grid).floor() * grid);
        let (first, last) = (inside(self.first_s), inside(self.last_s.max(self.first_s)));
        let until = (asked.last.seconds() + f64::from(event.seconds)).min(86_400.0);
        let events = by_light(&scenario.light, (first, last), count, &event, grid, until);
        events.into_iter().filter(|e| (asked.first..=asked.last).contains(&e.start)).collect()
    }

    /// A bench with this plan in place of a valve's schedule, rules and later plans. `on_valve` is the bench that the plan was made for, with
    /// that valve's lanes alone.
    pub fn on(&self, way: Way, asked: &Asked, on_valve: &Scenario, bench: &Scenario, valve: usize) -> Scenario {
        laid_on(bench, valve, self.events(way, asked, on_valve), self.feed_ec)
    }

    /// Plans spread over what makes sense, this one first.
    pub fn grid(&self, budget: &Budget, most_events: usize) -> Vec<Self> {
        let length = self.last_s - self.first_s;
        let mut plans = vec![*self];
        for amount in budget.amounts {
            for count in budget.counts {
                for (first, last) in budget.windows {
                    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)]
                    plans.push(Self {
                        amount: self.amount * amount,
                        count: ((self.count as f64 * count).round() as usize).clamp(1, most_events),
                        first_s: self.first_s + first * length,
                        last_s: self.last_s + last * length,
                        feed_ec: self.feed_ec,
                    });
                }
            }
        }
        plans
    }

    /// Plans one step from this one in each of its numbers.
    pub fn around(&self, stride: f64, asked: &Asked) -> Vec<Self> {
        let p = self;
        let hour = 2.0 * HOUR_S * stride;
        let few = |count: usize, more: f64| {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)]
            let next = (count as f64 * more).round() as usize;
            let next = if next == count { if more > 1.0 { count + 1 } else { count.saturating_sub(1) } } else { next };
            next.clamp(1, asked.hardware.most_events)
        };
        let (more, less) = (1.0 + 0.2 * stride, 1.0 / (1.0 + 0.2 * stride));
        let mut plans = vec![
            Self { amount: p.amount * more, ..*p },
            Self { amount: p.amount * less, ..*p },
            Self { count: few(p.count, 1.0 + 0.4 * stride), ..*p },
            Self { count: few(p.count, 1.0 / (1.0 + 0.4 * stride)), ..*p },
            Self { first_s: p.first_s - hour, ..*p },
            Self { first_s: (p.first_s + hour).min(p.last_s), ..*p },
            Self { last_s: (p.last_s - hour).max(p.first_s), ..*p },
            Self { last_s: p.last_s + hour, ..*p },
            Self { first_s: p.first_s + 0.5 * hour, last_s: (p.last_s - 0.5 * hour).max(p.first_s + 0.5 * hour), ..*p },
            Self { amount: p.amount * more, last_s: (p.last_s - hour).max(p.first_s), ..*p },
            Self { amount: p.amount * less, last_s: p.last_s + hour, ..*p },
        ];
        if asked.feed_too {
            let ec = |share: f64| (p.feed_ec * share).clamp(0.2, 8.0);
            plans.push(Self { feed_ec: ec(1.0 + 0.15 * stride), ..*p });
            plans.push(Self { feed_ec: ec(1.0 / (1.0 + 0.15 * stride)), ..*p });
            plans.push(Self { feed_ec: ec(1.0 / (1.0 + 0.15 * stride)), amount: p.amount * less, ..*p });
        }
        let (low, high) = (asked.first.seconds(), asked.last.seconds());
        for plan in &mut plans {
            (plan.first_s, plan.last_s) = (plan.first_s.clamp(low, high), plan.last_s.clamp(low, high));
        }
        plans
    }

    /// Plans beside this one that trade dry-back for drain and salt: more or less water, which ends earlier or later.
    pub fn traded(&self, asked: &Asked) -> Vec<Self> {
        let (low, high) = (self.first_s, asked.last.seconds());
        let ends = [-3.0, -1.5, 0.0, 1.5].map(|hours| (self.last_s + hours * HOUR_S).clamp(low, high));
        let amounts = [0.85, 0.93, 1.1, 1.3];
        amounts.iter().flat_map(|by| ends.map(|last_s| Self { amount: self.amount * by, last_s, ..*self })).collect()
    }
}
