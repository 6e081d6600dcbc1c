//! A first schedule for a root zone: something sensible to begin from, not the best there is.
//!
//! The rules are common practice without a source: what the plants use and a fifth more than that drains; events of a small share of
//! what the root zone holds; between an hour or two after the light comes and two hours before it goes; the closer together, the more
//! light there is.

use super::daily_use;
use crate::engine::column::capacity::container_capacity;
use crate::engine::column::layers::Column;
use crate::engine::demand::light_curve::light_so_far;
use crate::scenario::presets::Library;
use crate::scenario::{Clock, Event, Give, Light, LightShape, OnDays, Scenario};
use crate::units::HOUR_S;

/// Share of the given water that is to drain (judgement).
const DRAIN: f64 = 0.2;
/// Size of an event, as a share of what the root zone holds at container capacity (judgement).
const SHARE: f64 = 0.04;
/// Fewest and most events of a day.
const COUNT: (f64, f64) = (3.0, 40.0);
/// How long an event lasts, s.
const LASTS_S: u32 = 300;
/// Starts stand on this grid, s; a pump needs its pause.
const GRID_S: f64 = 300.0;
/// From the light's beginning to the first event under the sun, and under lamps; and from the last to its end, s.
const AFTER_SUNRISE_S: f64 = 7200.0;
const AFTER_LAMPS_S: f64 = HOUR_S;
const BEFORE_DARK_S: f64 = 7200.0;

/// Events for a plant that uses `uses_ml` a day in a root zone that holds `holds_ml` (both mL, > 0) and gets `dose` times what is
/// scheduled. They never overlap and lie within the light. None where the plant uses nothing.
#[must_use]
pub fn first_schedule(uses_ml: f64, holds_ml: f64, dose: f64, light: &Light) -> Vec<Event> {
    let total = uses_ml / (1.0 - DRAIN);
    if total.is_nan() || total <= 0.0 || holds_ml.is_nan() || holds_ml <= 0.0 {
        return Vec::new();
    }
    let after = if light.shape == LightShape::Sun { AFTER_SUNRISE_S } else { AFTER_LAMPS_S };
    let (on, length) = (light.on.seconds(), light.seconds());
    // Short days keep the same proportions.
    let first = on + after.min(0.15 * length);
    let last = on + length - BEFORE_DARK_S.min(0.2 * length);
    let room = ((last - first) / (2.0 * GRID_S)).floor().max(1.0);
    let count = (total / (SHARE * holds_ml)).ceil().clamp(COUNT.0, COUNT.1).min(room);
    let each = (total / (count * dose)).max(0.1);
    let ml = if each >= 20.0 { (each / 5.0).round() * 5.0 } else { (each * 10.0).round() / 10.0 };
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let count = count as usize;
    let event = Event { start: Clock::MIDNIGHT, seconds: LASTS_S, give: Give::Drip { ml }, ec: None, days: OnDays::ALL };
    by_light(light, (first, last), count, &event, GRID_S, light.off.seconds())
}

/// So many events between two times (s after midnight, the start of the first and of the last), each as `event` but for its start: each
/// answers the same share of the light, on a grid of `grid_s`, at least that long after the one before, and over before `until_s`. Those that
/// find no room are left out.
#[must_use]
pub(super) fn by_light(light: &Light, (first, last): (f64, f64), count: usize, event: &Event, grid_s: f64, until_s: f64) -> Vec<Event> {
    let shares = (light_so_far(light, first), light_so_far(light, last));
    let mut events: Vec<Event> = Vec::new();
    for k in 0..count {
        #[allow(clippy::cast_precision_loss)]
        let share = shares.0 + (shares.1 - shares.0) * if count > 1 { k as f64 / (count - 1) as f64 } else { 0.0 };
        let start = (when(light, share, first, last) / grid_s).round() * grid_s;
        let earliest = events.last().map_or(0.0, |e| ((e.end_s() + grid_s) / grid_s).ceil() * grid_s);
        let start = start.max(earliest);
        if start + f64::from(event.seconds) <= until_s {
            events.push(Event { start: Clock::from_hours(start / HOUR_S), ..*event });
        }
    }
    events
}

/// When a share of the day's light has fallen, between two times: by halving, to the second.
fn when(light: &Light, share: f64, from: f64, to: f64) -> f64 {
    let (mut low, mut high) = (from, to);
    while high - low > 1.0 {
        let middle = 0.5 * (low + high);
        if light_so_far(light, middle) < share {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// A first schedule for a lane of a bench that has not been run yet.
///
/// # Errors
/// In words: the lane cannot be built, or its plants use nothing.
pub fn for_lane(scenario: &Scenario, index: usize, library: &Library) -> Result<Vec<Event>, String> {
    let lane = scenario.lanes.get(index).ok_or("That lane is not there any more.")?;
    let column = Column::build(lane, &scenario.solver, library).map_err(|e| e.to_string())?;
    let uses = 1000.0 * daily_use::litres(lane, &column.crop, scenario);
    let events = first_schedule(uses, container_capacity(&column) * column.volume, lane.dose, &scenario.usual_light());
    if events.is_empty() { Err(format!("The plants of lane {} use no water, so there is nothing to give.", index + 1)) } else { Ok(events) }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn day(shape: LightShape, on: u32, off: u32) -> Light {
        Light { on: Clock::hm(on, 0), off: Clock::hm(off, 0), shape }
    }

    #[test]
    fn gives_what_is_used_and_a_fifth_to_drain() {
        for (uses, holds, light) in [
            (1600.0, 4100.0, day(LightShape::Sun, 6, 20)),
            (1270.0, 9000.0, day(LightShape::Lamps, 6, 18)),
            (90.0, 500.0, day(LightShape::Sun, 8, 16)),
            (5000.0, 600.0, day(LightShape::Lamps, 0, 24)),
        ] {
            let events = first_schedule(uses, holds, 1.0, &light);
            let given: f64 = events.iter().filter_map(Event::ml).sum();
            assert!((given / (uses / 0.8) - 1.0).abs() < 0.1, "{uses}: {given}");
            assert!(events.windows(2).all(|w| w[0].end_s() < w[1].start_s()));
            assert!(events[0].start_s() > light.on.seconds() && events.last().unwrap().end_s() < light.off.seconds());
        }
    }

    #[test]
    fn events_crowd_where_the_light_is() {
        let events = first_schedule(2000.0, 2500.0, 1.0, &day(LightShape::Sun, 6, 20));
        let gaps: Vec<f64> = events.windows(2).map(|w| w[1].start_s() - w[0].start_s()).collect();
        assert!(gaps[gaps.len() / 2] < gaps[0], "{gaps:?}");
    }

    #[test]
    fn nothing_is_given_to_what_uses_nothing() {
        let light = day(LightShape::Sun, 6, 20);
        assert_eq!(first_schedule(0.0, 4000.0, 1.0, &light), []);
        assert_eq!(first_schedule(f64::NAN, 4000.0, 1.0, &light), []);
    }
}
