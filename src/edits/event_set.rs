//! Changes of several events at once: moves, copies, series, pasted text. Pure: a schedule in, a schedule out.

use super::lengths::{self, given};
use super::refused::Refused;
use crate::scenario::{Clock, Event, Give, MAX_EVENTS, OnDays, ranges};
use crate::units::{WHOLE_DAY_S, signed};

/// Shortest and longest event, s, as validation allows.
#[allow(clippy::cast_possible_truncation)] // whole numbers
const LENGTHS: (i64, i64) = (ranges::EVENT_SECONDS.0 as i64, ranges::EVENT_SECONDS.1 as i64);
/// A whole day, s.
const DAY: i64 = WHOLE_DAY_S as i64;
/// Least volume that keys and the mouse make, mL per plant.
pub(super) const LEAST_ML: f64 = 1.0;

/// One change of the events that are picked.
#[derive(Clone, Debug, PartialEq)]
pub enum SetEdit {
    /// Moves all by as much, held where nothing overlaps or passes midnight.
    Move {
        /// Wanted way, s; later is positive.
        by_s: f64,
    },
    /// Adds to the volume of each drip and to the depth of each flood.
    Grow {
        /// More (or less) of a drip, mL per plant.
        ml: f64,
        /// More (or less) of a flood, cm.
        depth_cm: f64,
    },
    /// Adds to how long each lasts, held before the next event and midnight.
    Stretch {
        /// More (or less), s.
        by_s: f64,
    },
    /// Sets how long each lasts, held before the next event and midnight.
    Last {
        /// Wanted length, s.
        seconds: f64,
    },
    /// Sets what each gives.
    Give(Give),
    /// Sets the EC of each; none is the feed's.
    Ec(Option<f64>),
    /// Sets the days on which each comes.
    Days(OnDays),
    /// Deletes all.
    Delete,
    /// Puts copies at the nearest free place, a least way in seconds later, or earlier where that is nearer.
    Duplicate(f64),
    /// Adds events, the first one as near as may be to a start in seconds; without one at their own times, or after the
    /// last event.
    Paste(Vec<Event>, Option<f64>),
    /// Adds a series.
    Series(Series),
}

/// An event that comes again and again.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Series {
    /// The first event; the others are like it.
    pub first: Event,
    /// No event begins later.
    pub until: Clock,
    /// From start to start, s.
    pub every_s: u32,
    /// What gives way where the series meets events that are there.
    pub clash: Clash,
}

/// What gives way where a series meets events that are there.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Clash {
    /// The series: it leaves those times out.
    #[default]
    LeaveOut,
    /// The events it meets: they are taken out.
    Replace,
    /// Every event from its first to its last start.
    Clear,
}

/// A schedule after a change.
#[derive(Clone, Debug, PartialEq)]
pub struct Made {
    /// What was done, as the Edit menu shows it.
    pub name: String,
    /// In order of start, without overlaps.
    pub schedule: Vec<Event>,
    /// Where the events that were changed or added stand, in the order of their forerunners.
    pub picked: Vec<usize>,
}

impl SetEdit {
    /// The schedule after the change of its `picked` events (places in ascending order).
    ///
    /// # Errors
    /// [`Refused`] when it cannot be made.
    pub fn made(&self, schedule: &[Event], picked: &[usize]) -> Result<Made, Refused> {
        let (chosen, others) = apart(schedule, picked);
        let adds = matches!(self, Self::Paste(..) | Self::Series(_));
        if chosen.is_empty() && !adds {
            return Err("No event is selected.".into());
        }
        let whose = named(&chosen);
        match self {
            Self::Move { by_s } => {
                let by = nearest_way(&chosen, &others, whole(*by_s));
                let moved = chosen.iter().map(|e| shifted(e, by)).collect();
                let way = if by < 0 { "earlier" } else { "later" };
                joined(format!("Move {whose} {} {way}", length(by.abs())), others, moved)
            }
            Self::Grow { ml, depth_cm } => {
                let grown: Vec<Event> = chosen.iter().map(|e| Event { give: grown(e.give, *ml, *depth_cm), ..*e }).collect();
                let name = match grown.as_slice() {
                    [one] => format!("Set {whose} to {}", given(one)),
                    many if many.iter().all(|e| e.ml().is_some()) => format!("Give {whose} {} mL", signed(*ml, 0)),
                    _ => format!("Give {whose} {}", if *ml > 0.0 { "more" } else { "less" }),
                };
                joined(name, others, grown)
            }
            Self::Stretch { by_s } => {
                let stretched: Vec<Event> = chosen.iter().map(|e| lasting(e, i64::from(e.seconds) + whole(*by_s), schedule)).collect();
                let name = match stretched.as_slice() {
                    [one] => format!("Let {whose} last {}", length(i64::from(one.seconds))),
                    _ => format!("Let {whose} last {} {}", length(whole(*by_s).abs()), if *by_s > 0.0 { "longer" } else { "less" }),
                };
                joined(name, others, stretched)
            }
            Self::Last { seconds } => {
                let name = format!("Let {whose} last {}", length(whole(*seconds).clamp(LENGTHS.0, LENGTHS.1)));
                joined(name, others, chosen.iter().map(|e| lasting(e, whole(*seconds), schedule)).collect())
            }
            Self::Give(give) => {
                let what = match give {
                    Give::Drip { ml } => format!("{ml:.0} mL"),
                    Give::Flood { depth_cm } => format!("flood {depth_cm} cm"),
                };
                joined(format!("Set {whose} to {what}"), others, chosen.iter().map(|e| Event { give: *give, ..*e }).collect())
            }
            Self::Ec(ec) => {
                let what = match ec {
                    None => "the bench's feed".to_owned(),
                    Some(0.0) => "plain water".to_owned(),
                    Some(ec) => format!("EC {ec:.1}"),
                };
                joined(format!("Give {whose} {what}"), others, chosen.iter().map(|e| Event { ec: *ec, ..*e }).collect())
            }
            Self::Days(days) => {
                let name = format!("Let {whose} come {days}");
                joined(name, others, chosen.iter().map(|e| Event { days: *days, ..*e }).collect())
            }
            Self::Delete => Ok(Made { name: format!("Delete {whose}"), schedule: others, picked: Vec::new() }),
            Self::Duplicate(least) => {
                let by = way_beside(&chosen, schedule, whole(*least).max(1)).ok_or(NO_ROOM)?;
                joined(format!("Duplicate {whose}"), schedule.to_vec(), chosen.iter().map(|e| shifted(e, by)).collect())
            }
            Self::Paste(events, at) => {
                let first = events.first().ok_or("There is no event to paste.")?;
                // Without a place, their own times if those are free, else after the last event.
                let own = barred(events, schedule).iter().all(|(low, high)| !(low + 1..*high).contains(&0));
                let after = || if own { start(first) } else { schedule.last().map_or(0, |e| end(e) + 300) };
                let by = checked_way(events, schedule, at.map_or_else(after, whole) - start(first)).ok_or(NO_ROOM)?;
                joined(format!("Paste {}", named(events)), schedule.to_vec(), events.iter().map(|e| shifted(e, by)).collect())
            }
            Self::Series(series) => series.made(schedule),
        }
    }
}

/// Why an event cannot be placed.
const NO_ROOM: &str = "There is no room for that: a valve gives one event at a time.";

impl Series {
    /// The events of the series alone, in order.
    #[must_use]
    pub fn events(&self) -> Vec<Event> {
        let step = i64::from(self.every_s.max(1));
        let last = whole(self.until.seconds()).min(DAY - i64::from(self.first.seconds));
        let mut out = Vec::new();
        let mut at = start(&self.first);
        while at <= last && out.len() < MAX_EVENTS {
            out.push(shifted(&self.first, at - start(&self.first)));
            at += step;
        }
        out
    }

    /// How many events that are there the series meets.
    #[must_use]
    pub fn clashes(&self, schedule: &[Event]) -> usize {
        let events = self.events();
        schedule.iter().filter(|o| meets(o, &events)).count()
    }

    fn made(&self, schedule: &[Event]) -> Result<Made, Refused> {
        if self.every_s < self.first.seconds {
            return Err("Each event would begin before the one before it has ended: let them last less, or be further apart.".into());
        }
        if self.until < self.first.start {
            return Err("The series ends before it begins.".into());
        }
        let mut events = self.events();
        let mut kept = schedule.to_vec();
        match self.clash {
            Clash::LeaveOut => events.retain(|e| !meets(e, schedule)),
            Clash::Replace => kept.retain(|o| !meets(o, &events)),
            Clash::Clear => kept.retain(|o| !meets(o, &events) && (o.start < self.first.start || o.start > self.until)),
        }
        if events.is_empty() {
            return Err("No event of the series finds room.".into());
        }
        let gone = schedule.len() - kept.len();
        let instead = if gone > 0 { format!(" in place of {gone}") } else { String::new() };
        let many = if events.len() == 1 { "1 event".to_owned() } else { format!("{} events", events.len()) };
        let name = format!("Add {many} from {} every {}{instead}", self.first.start, length(i64::from(self.every_s)));
        joined(name, kept, events)
    }
}

fn meets(event: &Event, others: &[Event]) -> bool {
    others.iter().any(|o| start(event) < end(o) && start(o) < end(event))
}

fn grown(give: Give, more_ml: f64, more_cm: f64) -> Give {
    match give {
        Give::Drip { ml } => Give::Drip { ml: (ml + more_ml).clamp(LEAST_ML.min(ml), ranges::EVENT_ML.1) },
        // Tenths of a millimetre: no trace of the addition is left in a file.
        Give::Flood { depth_cm } => {
            Give::Flood { depth_cm: ((100.0 * (depth_cm + more_cm)).round() / 100.0).clamp(ranges::FLOOD_CM.0, ranges::FLOOD_CM.1) }
        }
    }
}

/// The event with another length, held before the next event and midnight.
fn lasting(event: &Event, seconds: i64, schedule: &[Event]) -> Event {
    let next = schedule.iter().find(|o| o.start > event.start).map_or(DAY, start);
    let most = (next - start(event)).clamp(LENGTHS.0, LENGTHS.1);
    Event { seconds: u32::try_from(seconds.clamp(LENGTHS.0, most)).unwrap_or(event.seconds), ..*event }
}

fn apart(schedule: &[Event], picked: &[usize]) -> (Vec<Event>, Vec<Event>) {
    let mut chosen = Vec::new();
    let mut others = Vec::new();
    for (i, event) in schedule.iter().enumerate() {
        if picked.contains(&i) { chosen.push(*event) } else { others.push(*event) }
    }
    (chosen, others)
}

fn joined(name: String, others: Vec<Event>, changed: Vec<Event>) -> Result<Made, Refused> {
    if others.len() + changed.len() > MAX_EVENTS {
        return Err(format!("A day has at most {MAX_EVENTS} events.").into());
    }
    let mut all: Vec<(Event, bool)> = others.into_iter().map(|e| (e, false)).chain(changed.into_iter().map(|e| (e, true))).collect();
    all.sort_by_key(|(e, _)| e.start);
    let picked = all.iter().enumerate().filter_map(|(i, (_, mine))| mine.then_some(i)).collect();
    Ok(Made { name, schedule: all.into_iter().map(|(e, _)| e).collect(), picked })
}

/// The ways (s) that would make an event overlap an other: open spans, merged, in order.
fn barred(chosen: &[Event], others: &[Event]) -> Vec<(i64, i64)> {
    let mut spans: Vec<_> = chosen.iter().flat_map(|c| others.iter().map(|o| (start(o) - end(c), end(o) - start(c)))).collect();
    spans.sort_unstable();
    let mut merged: Vec<(i64, i64)> = Vec::new();
    for (low, high) in spans {
        match merged.last_mut() {
            Some(last) if low < last.1 => last.1 = last.1.max(high),
            _ => merged.push((low, high)),
        }
    }
    merged
}

/// The free way nearest to a wanted one; `None` if there is none within the day.
fn checked_way(chosen: &[Event], others: &[Event], wanted: i64) -> Option<i64> {
    let least = -chosen.iter().map(start).min()?;
    let most = DAY - chosen.iter().map(end).max()?;
    let wanted = wanted.clamp(least, most.max(least));
    let spans = barred(chosen, others);
    let free = |by: &i64| (least..=most).contains(by) && !spans.iter().any(|(low, high)| (low + 1..*high).contains(by));
    std::iter::once(wanted).chain(spans.iter().flat_map(|(low, high)| [*low, *high])).filter(free).min_by_key(|by| (by - wanted).abs())
}

/// The same for events that stand free already: at worst they stay.
fn nearest_way(chosen: &[Event], others: &[Event], wanted: i64) -> i64 {
    checked_way(chosen, others, wanted).unwrap_or(0)
}

/// The shortest free way later or earlier by at least so much, on its grid, so that copies keep to the timer's step; of two, the later.
fn way_beside(chosen: &[Event], others: &[Event], least: i64) -> Option<i64> {
    let ways = -chosen.iter().map(start).min()?..=DAY - chosen.iter().map(end).max()?;
    let spans = barred(chosen, others);
    let free = |by: &i64| ways.contains(by) && !spans.iter().any(|(low, high)| (low + 1..*high).contains(by));
    (1..=DAY / least).flat_map(|step| [step * least, -step * least]).find(free)
}

pub(super) fn start(event: &Event) -> i64 {
    whole(event.start_s())
}

pub(super) fn end(event: &Event) -> i64 {
    whole(event.end_s())
}

#[allow(clippy::cast_possible_truncation)] // saturates: what is held within the day anyway
fn whole(seconds: f64) -> i64 {
    seconds.clamp(-1e6, 1e6).round() as i64
}

fn shifted(event: &Event, by: i64) -> Event {
    Event { start: Clock::from_seconds(u32::try_from((start(event) + by).max(0)).unwrap_or(0)), ..*event }
}

fn named(events: &[Event]) -> String {
    match events {
        [one] => format!("event {}", one.start),
        many => format!("{} events", many.len()),
    }
}

/// A length in words, held at what a `u32` counts.
fn length(seconds: i64) -> String {
    lengths::length(u32::try_from(seconds).unwrap_or(0))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn day() -> Vec<Event> {
        [(8, 0), (9, 0), (10, 0), (12, 0)].map(|(h, m)| Event::drip(Clock::hm(h, m), 5, 100.0)).to_vec()
    }

    fn starts(made: &Made) -> Vec<String> {
        made.schedule.iter().map(|e| e.start.to_string()).collect()
    }

    #[test]
    fn a_group_is_held_by_others_and_midnight() {
        let made = SetEdit::Move { by_s: 3600.0 }.made(&day(), &[0, 1]).unwrap();
        assert_eq!(starts(&made), ["08:55", "09:55", "10:00", "12:00"]);
        let made = SetEdit::Move { by_s: 1e9 }.made(&day(), &[0, 1]).unwrap();
        assert_eq!(starts(&made), ["10:00", "12:00", "22:55", "23:55"]);
        assert_eq!(made.picked, [2, 3]);
        let made = SetEdit::Move { by_s: -1e9 }.made(&day(), &[0, 3]).unwrap();
        assert_eq!(starts(&made), ["00:00", "04:00", "09:00", "10:00"]);
    }

    #[test]
    fn lengths_end_before_the_next_event() {
        let made = SetEdit::Last { seconds: 1e5 }.made(&day(), &[0, 3]).unwrap();
        assert_eq!((made.schedule[0].seconds, made.schedule[3].seconds), (3600, 43_200));
        let made = SetEdit::Last { seconds: -5.0 }.made(&day(), &[0]).unwrap();
        assert_eq!(made.schedule[0].seconds, 5);
    }

    #[test]
    fn copies_go_beside() {
        let made = SetEdit::Duplicate(300.0).made(&day(), &[0]).unwrap();
        assert_eq!(starts(&made), ["08:00", "08:05", "09:00", "10:00", "12:00"]);
        assert_eq!(made.picked, [1]);
        // Where what comes after is taken, or the day ends, a copy goes before.
        let dense = [0, 5, 10, 15].map(|m| Event::drip(Clock::hm(8, m), 5, 100.0));
        let made = SetEdit::Duplicate(300.0).made(&dense, &[1]).unwrap();
        assert_eq!((starts(&made)[0].as_str(), made.picked.as_slice()), ("07:55", [0].as_slice()));
        let late = [Event::drip(Clock::hm(23, 55), 5, 9.0)];
        assert_eq!(starts(&SetEdit::Duplicate(300.0).made(&late, &[0]).unwrap()), ["23:50", "23:55"]);
        let full = [Event::drip(Clock::MIDNIGHT, 720, 9.0), Event::drip(Clock::hm(12, 0), 720, 9.0)];
        assert!(SetEdit::Duplicate(300.0).made(&full, &[0]).is_err());
    }

    #[test]
    fn a_series_adds_or_replaces() {
        let first = Event::drip(Clock::hm(8, 0), 5, 120.0);
        let series = Series { first, until: Clock::hm(16, 0), every_s: 2700, clash: Clash::LeaveOut };
        assert_eq!(series.events().len(), 11);
        let made = SetEdit::Series(series).made(&day(), &[]).unwrap();
        assert_eq!(made.schedule.len(), 4 + 11 - 1, "08:00 is taken");
        assert_eq!(series.clashes(&day()), 1);
        let made = SetEdit::Series(Series { clash: Clash::Replace, ..series }).made(&day(), &[]).unwrap();
        assert_eq!((made.schedule.len(), made.name.as_str()), (14, "Add 11 events from 08:00 every 45 min in place of 1"));
        let made = SetEdit::Series(Series { clash: Clash::Clear, ..series }).made(&day(), &[]).unwrap();
        assert_eq!(made.schedule.len(), 11);
        assert!(SetEdit::Series(Series { until: Clock::hm(7, 0), ..series }).made(&day(), &[]).is_err());
        assert!(SetEdit::Series(Series { every_s: 60, ..series }).made(&day(), &[]).is_err());
    }

    #[test]
    fn pasted_events_go_to_a_place_or_to_their_own_times() {
        let events = day()[..2].to_vec();
        let made = SetEdit::Paste(events.clone(), None).made(&day(), &[]).unwrap();
        assert_eq!(starts(&made)[4..], ["12:10", "13:10"], "their own times are taken");
        let made = SetEdit::Paste(events.clone(), None).made(&day()[3..], &[]).unwrap();
        assert_eq!(starts(&made), ["08:00", "09:00", "12:00"], "their own times are free");
        let made = SetEdit::Paste(events, Some(3600.0)).made(&day(), &[]).unwrap();
        assert_eq!(starts(&made)[..2], ["01:00", "02:00"]);
    }

    #[test]
    fn a_group_grows_and_stretches_within_bounds() {
        let made = SetEdit::Grow { ml: -500.0, depth_cm: 0.0 }.made(&day(), &[0, 1]).unwrap();
        assert_eq!((made.schedule[0].ml(), made.schedule[2].ml()), (Some(1.0), Some(100.0)));
        let made = SetEdit::Grow { ml: 5.0, depth_cm: 0.1 }.made(&day(), &[0, 1]).unwrap();
        assert_eq!((made.schedule[1].ml(), made.name.as_str()), (Some(105.0), "Give 2 events +5 mL"));
        let made = SetEdit::Stretch { by_s: 60.0 }.made(&day(), &[2]).unwrap();
        assert_eq!((made.schedule[2].seconds, made.name.as_str()), (360, "Let event 10:00 last 6 min"));
        let made = SetEdit::Stretch { by_s: -1e9 }.made(&day(), &[2, 3]).unwrap();
        assert_eq!((made.schedule[2].seconds, made.schedule[3].seconds), (5, 5));
    }

    #[test]
    fn kind_and_ec_apply_to_all_that_are_picked() {
        let made = SetEdit::Ec(Some(0.3)).made(&day(), &[1, 2]).unwrap();
        assert_eq!(made.schedule.iter().filter(|e| e.ec == Some(0.3)).count(), 2);
        let made = SetEdit::Give(Give::Flood { depth_cm: 3.0 }).made(&day(), &[0]).unwrap();
        assert_eq!(made.schedule[0].ml(), None);
        assert!(SetEdit::Delete.made(&day(), &[]).is_err());
    }
}
