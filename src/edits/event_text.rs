//! Events as text on the clipboard, and back: a RON list, as scenario files have it. What comes back is checked; it may be anything.

use super::event_set::{end, start};
use super::refused::Refused;
use crate::scenario::ranges::{EVENT_ML, EVENT_SECONDS, EVERY_DAYS, FEED_EC, FLOOD_CM, Range};
use crate::scenario::{Event, Give, MAX_EVENTS, file};
use crate::units::WHOLE_DAY_S;

/// Longest text that is read as events, bytes: a thousand events need a tenth of it.
const MOST_TEXT: usize = 1_000_000;

/// Events as text for the clipboard: a RON list.
///
/// # Errors
/// [`Refused`] when they cannot be copied.
pub fn to_text(events: &[Event]) -> Result<String, Refused> {
    let written = file::options().to_string_pretty(events, ron::ser::PrettyConfig::default());
    written.map_err(|e| format!("These events cannot be copied as text: {}.", file::printable(&e.to_string(), 120)).into())
}

/// Events from text.
///
/// # Errors
/// [`Refused`] when the text is no list of events that could be a schedule.
pub fn from_text(text: &str) -> Result<Vec<Event>, Refused> {
    let no = |why: String| Refused::from(format!("What was copied is not a list of events: {why}."));
    if text.len() > MOST_TEXT {
        return Err(no("it is too long".to_owned()));
    }
    let read = file::options().from_str::<Vec<Event>>(text.trim());
    let mut events = read.map_err(|e| no(file::printable(e.code.to_string().trim_end_matches('.'), 120)))?;
    if events.is_empty() || events.len() > MAX_EVENTS {
        return Err(no(format!("it has {} of them, and 1 to {MAX_EVENTS} can be pasted", events.len())));
    }
    events.sort_by_key(|e| e.start);
    for e in &events {
        let within = |value: f64, (low, high): Range| (low..=high).contains(&value);
        let gives = match e.give {
            Give::Drip { ml } => within(ml, EVENT_ML),
            Give::Flood { depth_cm } => within(depth_cm, FLOOD_CM),
        };
        let comes = within(f64::from(e.days.every), EVERY_DAYS) && (1..=e.days.every).contains(&e.days.from);
        let lasts = within(f64::from(e.seconds), EVENT_SECONDS);
        if !gives || !lasts || !comes || e.ec.is_some_and(|ec| !within(ec, FEED_EC)) || end(e) > i64::from(WHOLE_DAY_S) {
            return Err(no(format!("the event {} is out of range", e.start)));
        }
    }
    if events.windows(2).any(|w| end(&w[0]) > start(&w[1])) {
        return Err(no("two of them overlap".to_owned()));
    }
    Ok(events)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::scenario::Clock;

    fn day() -> Vec<Event> {
        [(8, 0), (9, 0)].map(|(h, m)| Event::drip(Clock::hm(h, m), 5, 100.0)).to_vec()
    }

    #[test]
    fn what_is_copied_can_be_pasted_and_nonsense_cannot() {
        let events = from_text(&to_text(&day()).unwrap()).unwrap();
        assert_eq!(events, day());
        assert!(from_text(&"[".repeat(2_000_000)).unwrap_err().to_string().contains("too long"));
        assert!(from_text(&"[".repeat(900_000)).is_err(), "no depth of brackets brings it down");
        assert!(!from_text("[(\u{202e}evil\u{7}: 1)]").unwrap_err().to_string().contains(['\u{202e}', '\u{7}']));
        let own = [Event { ec: Some(0.3), ..day()[0] }];
        assert_eq!(from_text(&to_text(&own).unwrap()).unwrap(), own);
        let weekly = [Event { days: crate::scenario::OnDays { every: 7, from: 3 }, ..own[0] }];
        assert_eq!(from_text(&to_text(&weekly).unwrap()).unwrap(), weekly);
        for text in [
            "",
            "hello",
            "[(start:\"08:00\",seconds:60,give:Drip(ml:NaN))]",
            "[]",
            "[(start:\"08:00\",seconds:1,give:Drip(ml:5))]",
            "[(start:\"08:00\",seconds:60,give:Drip(ml:-5))]",
            "[(start:\"08:00\",seconds:60,give:Drip(ml:5),days:(every:15))]",
            "[(start:\"08:00\",seconds:60,give:Drip(ml:5),days:(every:2,from:3))]",
            "[(start:\"08:00\",seconds:60,give:Drip(ml:5),days:(every:0,from:0))]",
        ] {
            assert!(from_text(text).unwrap_err().to_string().starts_with("What was copied is not a list of events"), "{text}");
        }
    }
}
