//! Why a drag stops where it does: another event, midnight, or the longest that an event lasts.

use super::event_set::SetEdit;
use super::schedule_edit::EventEdit;
use crate::scenario::{DAY_S, Event, ranges};
use crate::units::HOUR_S;

/// What is nearer than this is met, s.
const MET_S: f64 = 0.5;

/// Why an event that is moved is not where it was wanted, in words; `None` where it is, or for any other change.
#[must_use]
pub fn why_event(edit: &EventEdit, schedule: &[Event]) -> Option<String> {
    let EventEdit::Move { index, start_s } = *edit else { return None };
    let (after, at) = edit.made(schedule)?;
    let event = after.get(at?)?;
    let late = start_s - event.start_s();
    (late.abs() > MET_S).then(|| stopped(&[*event], &without(&after, &[at.unwrap_or(index)]), late > 0.0))
}

/// Why the selected events are not where, or do not last as long as, was wanted; `None` where they do, or for any other change.
#[must_use]
pub fn why_set(edit: &SetEdit, schedule: &[Event], picked: &[usize]) -> Option<String> {
    let made = edit.made(schedule, picked).ok()?;
    let pairs = || picked.iter().zip(&made.picked).filter_map(|(from, to)| Some((schedule.get(*from)?, made.schedule.get(*to)?)));
    match *edit {
        SetEdit::Move { by_s } => {
            let (before, after) = pairs().next()?;
            let late = by_s.round() - (after.start_s() - before.start_s());
            let moved: Vec<Event> = pairs().map(|(_, after)| *after).collect();
            (late.abs() > MET_S).then(|| stopped(&moved, &without(&made.schedule, &made.picked), late > 0.0))
        }
        SetEdit::Last { seconds } => {
            let (_, event) = pairs().find(|(_, after)| seconds - f64::from(after.seconds) > MET_S)?;
            let most = ranges::EVENT_SECONDS.1;
            if f64::from(event.seconds) >= most {
                return Some(format!("An event lasts {:.0} h at most.", most / HOUR_S));
            }
            Some(stopped(&[*event], &made.schedule, true))
        }
        _ => None,
    }
}

/// All but some.
fn without(schedule: &[Event], places: &[usize]) -> Vec<Event> {
    schedule.iter().enumerate().filter(|(i, _)| !places.contains(i)).map(|(_, e)| *e).collect()
}

/// What events that would go on, later or earlier, stand against.
fn stopped(events: &[Event], others: &[Event], later: bool) -> String {
    let edge = |e: &Event| if later { e.end_s() } else { e.start_s() };
    let met = |e: &Event| others.iter().find(|o| ((if later { o.start_s() } else { o.end_s() }) - edge(e)).abs() < MET_S);
    if let Some(other) = events.iter().find_map(met) {
        return format!("The event at {} stops it: a valve gives one event at a time.", other.start);
    }
    let is_midnight = |e: &Event| (edge(e) - if later { DAY_S } else { 0.0 }).abs() < MET_S;
    if events.iter().any(is_midnight) {
        return "Midnight stops it: a schedule is that of one day.".to_owned();
    }
    "There is no room there: a valve gives one event at a time.".to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::Clock;

    fn day() -> Vec<Event> {
        [(8, 0), (9, 0), (10, 0), (12, 0)].map(|(h, m)| Event::drip(Clock::hm(h, m), 5, 100.0)).to_vec()
    }

    #[test]
    fn what_stops_an_event_is_told_and_nothing_where_nothing_does() {
        let why = |index, start_s: f64| why_event(&EventEdit::Move { index, start_s }, &day());
        assert_eq!(why(1, 9.5 * 3600.0), None);
        assert_eq!(why(1, 9.92 * 3600.0).as_deref(), Some("The event at 10:00 stops it: a valve gives one event at a time."));
        assert_eq!(why(1, 8.05 * 3600.0).as_deref(), Some("The event at 08:00 stops it: a valve gives one event at a time."));
        let midnight = Some("Midnight stops it: a schedule is that of one day.");
        assert_eq!((why(3, 1e9).as_deref(), why(0, -60.0).as_deref()), (midnight, midnight));
        // Right before the next one it stands where it was wanted.
        assert_eq!(why(1, 9.0 * 3600.0 + 55.0 * 60.0), None);
    }

    #[test]
    fn what_stops_several_events_or_an_end_is_told() {
        let why = |by_s, picked: &[usize]| why_set(&SetEdit::Move { by_s }, &day(), picked);
        assert_eq!(why(1800.0, &[0, 1]), None);
        assert_eq!(why(3400.0, &[0, 1]).as_deref(), Some("The event at 10:00 stops it: a valve gives one event at a time."));
        assert_eq!(why(-1e5, &[0, 3]).as_deref(), Some("Midnight stops it: a schedule is that of one day."));
        let last = |seconds, place| why_set(&SetEdit::Last { seconds }, &day(), &[place]);
        assert_eq!(last(1800.0, 0), None);
        assert_eq!(last(4000.0, 0).as_deref(), Some("The event at 09:00 stops it: a valve gives one event at a time."));
        assert_eq!(last(1e5, 3).as_deref(), Some("An event lasts 12 h at most."));
        let late = vec![Event::drip(Clock::hm(22, 0), 5, 9.0)];
        assert_eq!(
            why_set(&SetEdit::Last { seconds: 9000.0 }, &late, &[0]).as_deref(),
            Some("Midnight stops it: a schedule is that of one day.")
        );
    }
}
