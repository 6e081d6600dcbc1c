//! The worst hour in words.

use super::answer::{LOOK_AHEAD_H, LaneGrace};
use super::fault::Fault;

/// One sentence on the hour at which a lane may least be left without its pump.
#[must_use]
pub fn worst_words(lane: &LaneGrace) -> String {
    if lane.of(Fault::PumpStops).next().is_none() {
        return "No hour could be run.".to_owned();
    }
    let Some(worst) = lane.worst(Fault::PumpStops) else {
        return format!("Whenever the pump stops, uptake stays above 90 % for {LOOK_AHEAD_H:.0} h.");
    };
    let after = |hours: Option<f64>| hours.map_or_else(|| format!("not within {LOOK_AHEAD_H:.0} h"), |h| format!("after {}", span(h)));
    let to_90 = worst.hours_to_90.unwrap_or_default();
    if to_90 < 1.0 / 60.0 {
        return format!("At {:02}:00 the plant already gets no more than 90 % of what is asked of it, with the pump running.", worst.hour);
    }
    format!(
        "The worst hour is {:02}:00: if the pump stops then, uptake falls to 90 % after {} and to half {}.",
        worst.hour,
        span(to_90),
        after(worst.hours_to_50)
    )
}

/// A time in hours, in minutes where it is short.
fn span(hours: f64) -> String {
    if hours < 1.0 { format!("{:.0} min", hours * 60.0) } else { format!("{hours:.1} h") }
}
