//! A plan: a few numbers that stand for a day's schedule.

use super::asked::Asked;
use crate::scenario::{Event, Give, Scenario, Valve};
use crate::studies::first_schedule::by_light;

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

    /// The bench with this plan in place of its own schedule, rules and later plans.
    pub fn on(&self, way: Way, asked: &Asked, scenario: &Scenario) -> Scenario {
        let mut with = scenario.clone();
        if let Some(valve) = with.valves.first_mut() {
            *valve = Valve { schedule: self.events(way, asked, scenario), rules: Vec::new(), changes: Vec::new(), ..valve.clone() };
        }
        with.feed.ec = self.feed_ec;
        with
    }
}
