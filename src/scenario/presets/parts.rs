//! What all lanes of a bench share, or one aims for, as presets: a feed, targets, the events of a day.

use serde::{Deserialize, Serialize};

use crate::scenario::clock::Clock;
use crate::scenario::schedule::{Event, Light};
use crate::scenario::targets::Targets;
use crate::units::{DAY_S, HOUR_S};

/// A nutrient solution.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FeedPreset {
    /// The name growers see.
    pub name: String,
    /// Where the value comes from.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
    /// EC at 25 °C, mS/cm, 0–20.
    pub ec: f64,
    /// What it is for.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// What a grower aims for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TargetsPreset {
    /// The name growers see.
    pub name: String,
    /// Where the values come from.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
    /// What to aim for.
    pub targets: Targets,
}

/// The events of a day.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SchedulePreset {
    /// The name growers see.
    pub name: String,
    /// Where the values come from.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
    /// The light it was written for: under another its events move with the light. Without it they stand by the clock.
    #[serde(default)]
    pub light: Option<Light>,
    /// Events, as in a scenario's schedule.
    pub events: Vec<Event>,
}

/// Starts that were moved stand on this grid, s.
const GRID_S: f64 = 60.0;

impl SchedulePreset {
    /// The events under a bench's light, in order of their start. Those that lay within the preset's own light keep their share of it;
    /// those before and after keep their distance from it. Where a shorter day brings two together, the later waits for the earlier.
    ///
    /// # Errors
    /// In words: an event would run past midnight, or begin before it.
    pub fn under(&self, light: &Light) -> Result<Vec<Event>, String> {
        let mut events = self.events.clone();
        events.sort_by_key(|e| (e.start, e.seconds));
        let Some(own) = self.light.filter(|own| (own.on, own.off) != (light.on, light.off) && own.seconds() > 0.0) else {
            return Ok(events);
        };
        let mut free_s = 0.0;
        for event in &mut events {
            let moved = moved(event.start_s(), &own, light);
            let start = ((moved / GRID_S).round() * GRID_S).max(free_s);
            if moved < 0.0 || start + f64::from(event.seconds) > DAY_S {
                return Err(format!(
                    "The event at {} does not fit into a day with light from {} to {}: it would pass midnight.",
                    event.start, light.on, light.off
                ));
            }
            event.start = Clock::from_hours(start / HOUR_S);
            free_s = event.end_s();
        }
        Ok(events)
    }
}

/// Where a time goes when the light moves, s.
fn moved(start_s: f64, own: &Light, light: &Light) -> f64 {
    if start_s < own.on.seconds() {
        return start_s - own.on.seconds() + light.on.seconds();
    }
    if start_s > own.off.seconds() {
        return start_s - own.off.seconds() + light.off.seconds();
    }
    light.on.seconds() + (start_s - own.on.seconds()) * light.seconds() / own.seconds()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::scenario::LightShape;

    fn light(on: u32, off: u32) -> Light {
        Light { on: Clock::hm(on, 0), off: Clock::hm(off, 0), shape: LightShape::Lamps }
    }

    fn schedule(light: Option<Light>, starts: &[(u32, u32)]) -> SchedulePreset {
        let events = starts.iter().map(|(h, m)| Event::drip(Clock::hm(*h, *m), 5, 100.0)).collect();
        SchedulePreset { name: "a".to_owned(), source: String::new(), light, events }
    }

    fn starts(events: &[Event]) -> Vec<String> {
        events.iter().map(|e| e.start.to_string()).collect()
    }

    #[test]
    fn events_move_with_the_light_or_stand_by_the_clock() {
        let times = [(5, 0), (6, 0), (12, 0), (18, 0), (19, 0)];
        let by_light = schedule(Some(light(6, 18)), &times);
        assert_eq!(starts(&by_light.under(&light(6, 18)).unwrap()), ["05:00", "06:00", "12:00", "18:00", "19:00"]);
        assert_eq!(starts(&by_light.under(&light(4, 22)).unwrap()), ["03:00", "04:00", "13:00", "22:00", "23:00"]);
        assert_eq!(starts(&schedule(None, &times).under(&light(4, 22)).unwrap()), ["05:00", "06:00", "12:00", "18:00", "19:00"]);
    }

    #[test]
    fn what_does_not_fit_is_refused_and_what_meets_waits() {
        assert!(schedule(Some(light(6, 18)), &[(1, 0)]).under(&light(0, 12)).unwrap_err().contains("pass midnight"));
        assert!(schedule(Some(light(6, 18)), &[(23, 0)]).under(&light(10, 24)).unwrap_err().contains("pass midnight"));
        let close = schedule(Some(light(0, 24)), &[(12, 0), (12, 10), (12, 20)]).under(&light(8, 10)).unwrap();
        assert!(close.windows(2).all(|w| w[0].end_s() <= w[1].start_s()), "{:?}", starts(&close));
    }
}
