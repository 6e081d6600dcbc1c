//! Changes of the schedule that the mouse and the keyboard make: snapped, held in free places, and named.

use super::event_set::LEAST_ML;
use super::lengths::given;
use crate::scenario::{Clock, DAY_S, Event, Give, OnDays, ranges};
use crate::units::HOUR_S;

/// One change of one event. Indices are those of the scenario the change starts from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum EventEdit {
    /// Moves an event to the free place nearest to a start.
    Move {
        /// Which event.
        index: usize,
        /// Wanted start, s after midnight.
        start_s: f64,
    },
    /// Sets the volume of a drip.
    Volume {
        /// Which event.
        index: usize,
        /// mL per plant.
        ml: f64,
    },
    /// Adds an event at the free place nearest to its start.
    Add(Event),
    /// Deletes an event.
    Delete {
        /// Which event.
        index: usize,
    },
}

impl EventEdit {
    /// The change made to a schedule in order of start, and where the event then stands; `None` if it cannot be made.
    #[must_use]
    pub fn made(&self, schedule: &[Event]) -> Option<(Vec<Event>, Option<usize>)> {
        let mut others = schedule.to_vec();
        let event = match *self {
            Self::Delete { index } => {
                let _gone = (index < others.len()).then(|| others.remove(index))?;
                return Some((others, None));
            }
            Self::Volume { index, ml } => {
                let mut event = (index < others.len()).then(|| others.remove(index))?;
                event.ml()?;
                event.give = Give::Drip { ml: ml.clamp(LEAST_ML, ranges::EVENT_ML.1) };
                event
            }
            Self::Move { index, start_s } => {
                let event = (index < others.len()).then(|| others.remove(index))?;
                placed(event, start_s, &others)?
            }
            Self::Add(event) => placed(event, event.start_s(), &others)?,
        };
        let at = others.partition_point(|e| e.start < event.start);
        others.insert(at, event);
        Some((others, Some(at)))
    }

    /// What the change is called in the Edit menu.
    #[must_use]
    pub fn name(&self, before: &[Event], after: &[Event], at: Option<usize>) -> String {
        let old = |index: usize| before.get(index).map_or_else(String::new, |e| e.start.to_string());
        let new = at.and_then(|i| after.get(i));
        let start = new.map_or_else(String::new, |e| e.start.to_string());
        match *self {
            Self::Move { index, .. } => format!("Move event {} to {start}", old(index)),
            Self::Volume { index, .. } => format!("Set event {} to {}", old(index), new.map_or_else(String::new, given)),
            Self::Add(_) => format!("Add event {start}"),
            Self::Delete { index } => format!("Delete event {}", old(index)),
        }
    }

    /// What the change does, in words that follow the event's name.
    #[must_use]
    pub fn what(&self, before: &[Event], after: &[Event], at: Option<usize>) -> String {
        let new = at.and_then(|i| after.get(i));
        match (*self, new) {
            (Self::Move { index, .. }, Some(new)) => match before.get(index) {
                Some(old) if old.start == new.start => "not moved yet".to_owned(),
                Some(old) => format!("moved {} to {}", old.start, new.start),
                None => String::new(),
            },
            (Self::Volume { index, .. }, Some(new)) => match before.get(index) {
                Some(old) if old.give == new.give => "not changed yet".to_owned(),
                Some(old) => format!("from {} to {}", given(old), given(new)),
                None => String::new(),
            },
            (Self::Add(_), _) => "added".to_owned(),
            _ => "deleted".to_owned(),
        }
    }
}

/// An event as double-clicking makes it: like its nearest neighbour in length, at a start and a volume, and coming every day.
#[must_use]
pub fn fresh(schedule: &[Event], start_s: f64, ml: f64) -> Event {
    let away = |e: &&Event| (e.start_s() - start_s).abs();
    let near = schedule.iter().min_by(|a, b| away(a).total_cmp(&away(b)));
    let start = clock(start_s);
    match near {
        Some(near) if near.ml().is_none() => Event { start, days: OnDays::ALL, ..*near },
        Some(near) => Event { start, give: Give::Drip { ml }, days: OnDays::ALL, ..*near },
        None => Event { start, seconds: 300, give: Give::Drip { ml }, ec: None, days: OnDays::ALL },
    }
}

/// A time of day from seconds, held within the day.
fn clock(start_s: f64) -> Clock {
    Clock::from_hours(start_s / HOUR_S)
}

/// The event at the start nearest to a wanted one where it overlaps no other and ends by midnight; `None` if there is no room.
fn placed(event: Event, start_s: f64, others: &[Event]) -> Option<Event> {
    let length = f64::from(event.seconds);
    let mut gap_start = 0.0;
    let mut best: Option<f64> = None;
    let ends = others.iter().map(|e| (e.start_s(), e.end_s())).chain(std::iter::once((DAY_S, DAY_S)));
    for (next_start, next_end) in ends {
        if next_start - gap_start >= length {
            let start = start_s.clamp(gap_start, next_start - length);
            if best.is_none_or(|b| (start - start_s).abs() < (b - start_s).abs()) {
                best = Some(start);
            }
        }
        gap_start = next_end;
    }
    best.map(|start| Event { start: clock(start), ..event })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day() -> Vec<Event> {
        vec![Event::drip(Clock::hm(8, 0), 5, 100.0), Event::drip(Clock::hm(9, 0), 5, 120.0)]
    }

    #[test]
    fn an_event_is_held_where_it_overlaps_none() {
        let moved = |start_s| EventEdit::Move { index: 1, start_s }.made(&day()).unwrap();
        let (schedule, at) = moved(8.0 * 3600.0 + 60.0);
        assert_eq!((schedule[1].start, at), (Clock::hm(8, 5), Some(1)));
        let (schedule, at) = moved(7.0 * 3600.0 + 57.0 * 60.0);
        assert_eq!((schedule[0].start, at), (Clock::hm(7, 55), Some(0)));
        let (schedule, _) = moved(1e9);
        assert_eq!(schedule[1].end_s(), DAY_S);
        let (schedule, _) = moved(-1e9);
        assert_eq!(schedule[0].start, Clock::MIDNIGHT);
    }

    #[test]
    fn a_full_day_has_no_room() {
        let full = vec![Event::drip(Clock::MIDNIGHT, 720, 9.0), Event::drip(Clock::hm(12, 0), 720, 9.0)];
        assert_eq!(EventEdit::Add(Event::drip(Clock::hm(3, 0), 5, 50.0)).made(&full), None);
    }

    #[test]
    fn what_is_not_there_is_not_changed() {
        assert_eq!(EventEdit::Delete { index: 9 }.made(&day()), None);
        assert_eq!(EventEdit::Volume { index: 9, ml: 1.0 }.made(&day()), None);
        let flood = vec![Event { start: Clock::hm(8, 0), seconds: 600, give: Give::Flood { depth_cm: 3.0 }, ec: None, days: OnDays::ALL }];
        assert_eq!(EventEdit::Volume { index: 0, ml: 50.0 }.made(&flood), None);
    }
}
