//! A plan: a few numbers that stand for a day's schedule.

use super::asked::Asked;
use super::budget::Budget;
use crate::scenario::{DAY_S, Event, Scenario};
use crate::studies::first_schedule::by_light;
use crate::units::HOUR_S;

/// Least and most EC of a feed that is proposed, mS/cm (judgement).
const FEEDS: (f64, f64) = (0.2, 8.0);

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
    /// What else a flood table's day has.
    pub floods: Floods,
}

/// What the day of a flood table has besides; nothing of it counts where emitters give the water.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Floods {
    /// How long each flood stands, s.
    pub seconds: f64,
    /// Rinse from above, mL per plant at a dose of 1; 0 for none.
    pub rinse_ml: f64,
    /// It comes after the last flood, onto what that has filled; else before the first.
    pub rinse_last: bool,
    /// Days from one rinse to the next; 1 or less is every day.
    pub rinse_every: u32,
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

impl Plan {
    /// Its events by emitters, as the equipment can give them; none where it cannot.
    pub fn drips(&self, asked: &Asked, scenario: &Scenario) -> Vec<Event> {
        let count = self.count.clamp(1, asked.hardware.most_events);
        #[allow(clippy::cast_precision_loss)]
        let Some(event) = asked.hardware.event(self.amount / count as f64, scenario) else { return Vec::new() };
        let (first, last) = (self.inside(self.first_s, asked), self.inside(self.last_s.max(self.first_s), asked));
        spread(asked, scenario, (first, last), count, &event)
    }

    /// A time held within the hours asked for; the timer's grid may not lead out of them.
    pub fn inside(&self, s: f64, asked: &Asked) -> f64 {
        let grid = f64::from(asked.hardware.timer_step_s);
        let (low, high) = ((asked.first.seconds() / grid).ceil() * grid, (asked.last.seconds() / grid).floor() * grid);
        s.max(low).min(high.max(low))
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
                        ..*self
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
        let few = |count: usize, more: f64| few(count, more, asked.hardware.most_events);
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
        plans.extend(p.other_feeds(stride, asked));
        if asked.feed_too {
            plans.push(Self { feed_ec: p.fed(1.0 / (1.0 + 0.15 * stride)), amount: p.amount * less, ..*p });
        }
        let (low, high) = (asked.first.seconds(), asked.last.seconds());
        for plan in &mut plans {
            (plan.first_s, plan.last_s) = (plan.first_s.clamp(low, high), plan.last_s.clamp(low, high));
        }
        plans
    }

    /// The same with a little more and a little less in the feed, where that may change.
    pub fn other_feeds(&self, stride: f64, asked: &Asked) -> Vec<Self> {
        let by = [1.0 + 0.15 * stride, 1.0 / (1.0 + 0.15 * stride)];
        by.iter().filter(|_| asked.feed_too).map(|share| Self { feed_ec: self.fed(*share), ..*self }).collect()
    }

    fn fed(&self, share: f64) -> f64 {
        (self.feed_ec * share).clamp(FEEDS.0, FEEDS.1)
    }

    /// Plans beside this one that trade dry-back for drain and salt: more or less water, which ends earlier or later.
    pub fn traded(&self, asked: &Asked) -> Vec<Self> {
        let (low, high) = (self.first_s, asked.last.seconds());
        let ends = [-3.0, -1.5, 0.0, 1.5].map(|hours| (self.last_s + hours * HOUR_S).clamp(low, high));
        let amounts = [0.85, 0.93, 1.1, 1.3];
        amounts.iter().flat_map(|by| ends.map(|last_s| Self { amount: self.amount * by, last_s, ..*self })).collect()
    }
}

/// So many more events, or fewer: at least one, where there is room.
pub(super) fn few(count: usize, more: f64, most: usize) -> usize {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)]
    let next = (count as f64 * more).round() as usize;
    let next = if next == count { if more > 1.0 { count + 1 } else { count.saturating_sub(1) } } else { next };
    next.clamp(1, most)
}

/// So many events like one between two times, as the light runs, on the timer's grid and within the hours asked for.
pub(super) fn spread(asked: &Asked, scenario: &Scenario, between: (f64, f64), count: usize, event: &Event) -> Vec<Event> {
    let until = (asked.last.seconds() + f64::from(event.seconds)).min(DAY_S);
    let events = by_light(&scenario.light, between, count, event, f64::from(asked.hardware.timer_step_s), until);
    events.into_iter().filter(|e| (asked.first..=asked.last).contains(&e.start)).collect()
}
