//! What the pump could not do on a day, in words.

use crate::engine::supply::timetable::PumpDay;

/// What a valve's day lacks because all valves share one pump; empty where nothing does.
#[must_use]
pub fn sentences(day: &PumpDay) -> Vec<String> {
    let never = day.too_late.len();
    let late = day.waited() - never;
    let events = |n: usize| if n == 1 { "1 event".to_owned() } else { format!("{n} events") };
    let mut out = Vec::new();
    if late > 0 {
        out.push(format!("The pump was busy: {} came later than set.", events(late)));
    }
    if never > 0 {
        out.push(format!("The pump was busy up to midnight: {} did not come.", events(never)));
    }
    if day.cut() > 0 {
        out.push(format!("The pump is too small: {} got less than set.", events(day.cut())));
    }
    out
}
