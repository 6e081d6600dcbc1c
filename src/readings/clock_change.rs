//! Summer time: where a clock that follows it was put forward or back, an hour is missing or stands twice.

use super::findings::{Consent, Findings, Kind, Problem};
use super::rows::{Row, usual_step};
use super::stamp::told;
use crate::units::WHOLE_HOUR_S;

/// An hour, s.
const HOUR: i64 = WHOLE_HOUR_S as i64;
/// Clocks are put forward and back between these hours.
const NIGHT_H: (i64, i64) = (23, 4);

/// The remedy that needs no consent.
const BETTER: &str = "Log without summer time, or write the zone with each time (+01:00)";

/// Leaves out the second of an hour that stands twice.
pub(super) fn without_doubled_hours(rows: Vec<Row>, findings: &mut Findings) -> Vec<Row> {
    let Some(step) = usual_step(&rows) else { return rows };
    let mut kept: Vec<Row> = Vec::with_capacity(rows.len());
    let mut i = 0;
    while i < rows.len() {
        let end = kept.last().map_or(i, |last| doubled(&rows, i, *last, step));
        if end == i {
            kept.push(rows[i]);
            i += 1;
            continue;
        }
        let (first, last) = (told(rows[i].time, true), told(rows[end - 1].time, true));
        let what =
            format!("the hour from {first} stands twice, up to {last} in line {}: it seems the clock was put back", rows[end - 1].line);
        let remedy = format!("{BETTER}, or let the second of the two be left out.");
        findings.note(Problem::of(Kind::ClockChange, Some(rows[i].line), what, remedy).unless(Consent::SkipBad), "Left out.");
        i = end;
    }
    kept
}

/// Where the second of a doubled hour ends that begins at row `i` after `last`; `i` itself where none begins.
fn doubled(rows: &[Row], i: usize, last: Row, step: i64) -> usize {
    let back = last.time - rows[i].time;
    let by_an_hour = (back - (HOUR - step)).abs() <= step / 4;
    if !by_an_hour || !at_night(rows[i].time) {
        return i;
    }
    let end = i + rows[i..].iter().take_while(|row| row.time <= last.time && row.time >= rows[i].time).count();
    let (found, expected) = (end - i, HOUR / step);
    if found as u64 * 4 >= expected.unsigned_abs() * 3 { end } else { i }
}

/// Whether a gap is an hour that a clock put forward left out.
pub(super) fn is_missing_hour(from: i64, to: i64, step: i64) -> bool {
    (to - from - HOUR - step).abs() <= step / 4 && at_night(from + step)
}

/// What to say of such a gap.
pub(super) fn missing_hour(line: u64, from: i64, to: i64) -> Problem {
    let (from, to) = (told(from, true), told(to, true));
    let what = format!("an hour is missing between {from} and {to}: rows are missing, or the clock was put forward");
    Problem::of(Kind::ClockChange, Some(line), what, format!("{BETTER}, or let gaps be filled.")).unless(Consent::FillGaps)
}

fn at_night(time: i64) -> bool {
    let hour = time.rem_euclid(24 * HOUR) / HOUR;
    hour >= NIGHT_H.0 || hour < NIGHT_H.1
}
