//! Times of rows: dates with or without zone, or clock times of one day.

use jiff::SignedDuration;
use jiff::civil::{Date, DateTime, date};
use jiff::fmt::temporal::Pieces;
use jiff::tz::Offset;

use super::findings::{Findings, Kind, Problem};
use crate::scenario::file::printable;
use crate::units::WHOLE_HOUR_S;

/// A time as it is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Stamp {
    /// Seconds since midnight.
    Clock(i64),
    /// Seconds since 1970 by the clock that wrote it.
    Local(i64),
    /// The same, with that clock's offset from UTC, s.
    Zoned(i64, i32),
}

/// Reads the times of a log, all written in one way.
#[derive(Debug)]
pub(super) struct Timekeeper {
    /// The first time read: the others are written like it.
    first: Option<Stamp>,
    /// Offset of the clock that times are told by, s from UTC, if the grower named one.
    zone: Option<i32>,
    offset_before: Option<i32>,
    changes: Vec<(u64, i32, i32)>,
}

impl Timekeeper {
    pub(super) fn new(zone: Option<i32>) -> Self {
        Self { first: None, zone, offset_before: None, changes: Vec::new() }
    }

    /// Whether rows have dates.
    pub(super) fn dated(&self) -> bool {
        !matches!(self.first, Some(Stamp::Clock(_)))
    }

    /// Whether rows are written by a clock that summer time may move.
    pub(super) fn may_jump(&self) -> bool {
        matches!(self.first, Some(Stamp::Local(_)))
    }

    /// Offset from UTC, s, of the clock that times are told by; none where they are written without zones.
    pub(super) fn told_by(&self) -> Option<i32> {
        if let Some(Stamp::Zoned(_, first)) = self.first { Some(self.zone.unwrap_or(first)) } else { None }
    }

    /// Seconds since a midnight, of a time as it is written.
    pub(super) fn seconds(&mut self, line: u64, cell: &str) -> Result<i64, Problem> {
        let wrong = |what: &str, remedy: &str| {
            Problem::of(Kind::Unreadable, Some(line), format!("time \"{}\" {what}", printable(cell, 40)), remedy)
        };
        let Some(stamp) = parse(cell) else {
            return Err(wrong(
                "cannot be read",
                "Write it as 2026-03-02T08:15, with the zone if you like (+01:00), or as 08:15 for a log of one day.",
            ));
        };
        match (*self.first.get_or_insert(stamp), stamp) {
            (Stamp::Clock(_), Stamp::Clock(s)) | (Stamp::Local(_), Stamp::Local(s)) => Ok(s),
            (Stamp::Zoned(_, first), Stamp::Zoned(s, offset)) => {
                if let Some(before) = self.offset_before.replace(offset).filter(|&b| b != offset) {
                    self.changes.push((line, before, offset));
                }
                Ok(s - i64::from(offset) + i64::from(self.zone.unwrap_or(first)))
            }
            (Stamp::Clock(_), _) | (_, Stamp::Clock(_)) => {
                Err(wrong("is written unlike those before it", "Give every row a date, or none: a log of clock times is of one day."))
            }
            _ => Err(wrong("is written unlike those before it", "Give every row its zone (+01:00), or none.")),
        }
    }

    /// Tells what was taken for granted about zones.
    pub(super) fn tell(&self, findings: &mut Findings) {
        let Some(Stamp::Zoned(_, first)) = self.first else { return };
        let base = self.zone.unwrap_or(first);
        if let Some(&(line, before, after)) = self.changes.first() {
            findings.tell(format!(
                "line {line}: the zone changes from {} to {}. Times are told by {} throughout.",
                zone(before),
                zone(after),
                zone(base)
            ));
        }
        if self.zone.is_none() && first == 0 {
            findings.tell("Times are in UTC, and are taken for the clock of the house. Name its zone if it is another.".to_owned());
        }
    }
}

/// Whether a cell is a time.
pub(super) fn reads(cell: &str) -> bool {
    parse(cell).is_some()
}

fn parse(cell: &str) -> Option<Stamp> {
    if let Some(seconds) = clock(cell) {
        return Some(Stamp::Clock(seconds));
    }
    let pieces = Pieces::parse(cell).ok()?;
    let local = pieces.date().to_datetime(pieces.time()?).duration_since(EPOCH.to_datetime(jiff::civil::Time::midnight())).as_secs();
    Some(pieces.offset().map_or(Stamp::Local(local), |o| Stamp::Zoned(local, o.to_numeric_offset().seconds())))
}

/// An hour of an offset, s.
const HOUR: i32 = WHOLE_HOUR_S.cast_signed();

const EPOCH: Date = date(1970, 1, 1);

/// Seconds since midnight of `8:15`, `08:15` or `08:15:00`.
fn clock(cell: &str) -> Option<i64> {
    let digits = |p: &str| matches!(p.len(), 1 | 2) && p.bytes().all(|b| b.is_ascii_digit());
    let mut parts = cell.split(':').map(|p| if digits(p) { p.parse::<i64>().ok() } else { None });
    let (hours, minutes) = (parts.next()??, parts.next()??);
    let seconds = parts.next().unwrap_or(Some(0))?;
    (parts.next().is_none() && hours < 24 && minutes < 60 && seconds < 60)
        .then_some(hours * i64::from(WHOLE_HOUR_S) + minutes * 60 + seconds)
}

/// The day of a time in seconds since 1970.
pub(super) fn date_of(time: i64) -> Option<Date> {
    EPOCH.to_datetime(jiff::civil::Time::midnight()).checked_add(SignedDuration::from_secs(time)).ok().map(DateTime::date)
}

/// A zone as it is written, `+01:00`.
#[must_use]
pub fn zone(offset: i32) -> String {
    let sign = if offset < 0 { '-' } else { '+' };
    let minutes = offset.abs() / 60;
    format!("{sign}{:02}:{:02}", minutes / 60, minutes % 60)
}

/// The offset from UTC, s, of a zone as it is written: `Z`, `+01:00` or `-05`.
#[must_use]
pub fn parse_zone(text: &str) -> Option<i32> {
    if text == "Z" {
        return Some(0);
    }
    let sign = text.starts_with('-');
    let (hours, minutes) = text.strip_prefix(['+', '-'])?.split_once(':').unwrap_or((text.get(1..)?, "00"));
    let whole = |t: &str| if t.len() == 2 && t.bytes().all(|b| b.is_ascii_digit()) { t.parse::<i32>().ok() } else { None };
    let seconds = whole(hours)? * HOUR + whole(minutes).filter(|m| *m < 60)? * 60;
    let offset = Offset::from_seconds(if sign { -seconds } else { seconds }).ok()?;
    Some(offset.seconds())
}

/// A time as a grower reads it.
pub(super) fn told(time: i64, dated: bool) -> String {
    let midnight = EPOCH.to_datetime(jiff::civil::Time::midnight());
    let at: DateTime = midnight.checked_add(SignedDuration::from_secs(time)).unwrap_or(midnight);
    let clock = format!("{:02}:{:02}", at.hour(), at.minute());
    let clock = if at.second() == 0 { clock } else { format!("{clock}:{:02}", at.second()) };
    if dated { format!("{} {clock}", at.date()) } else { clock }
}
