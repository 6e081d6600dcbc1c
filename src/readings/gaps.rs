//! The step of a log, and what is missing in it: between rows, before the first and after the last.

use super::clock_change;
use super::findings::{Consent, Findings, Kind, Problem};
use super::options::Options;
use super::rows::{MAX_ROWS, Row, length, midnight};
use super::stamp::told;
use crate::units::WHOLE_DAY_S;

/// How times are told and gaps judged.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pace {
    /// The usual step between rows, s.
    pub(super) step: i64,
    pub(super) dated: bool,
    /// Whether the clock may follow summer time.
    pub(super) may_jump: bool,
}

impl Pace {
    /// Longer than one and a half steps.
    fn is_gap(self, seconds: i64) -> bool {
        2 * seconds > 3 * self.step
    }
}

/// Leaves a last row out that stands at midnight alone: it ends the day before and is no day of its own.
pub(super) fn without_closing_row(rows: &mut Vec<Row>, findings: &mut Findings) {
    if let [.., before, last] = rows.as_slice()
        && last.time == midnight(last.time)
        && before.time < last.time
    {
        findings.tell(format!("The last row (line {}) stands at midnight: it closes the day before it and is not counted.", last.line));
        rows.pop();
    }
}

/// Notes or fills what is missing in the first and last day; a day that misses too much is left out where bad rows may be.
pub(super) fn mend_ends(mut rows: Vec<Row>, pace: Pace, options: &Options, findings: &mut Findings) -> Vec<Row> {
    for end in [End::First, End::Last] {
        let Some((row, missing)) = end.missing(&rows, pace) else { continue };
        let what = match end {
            End::First => format!("the log begins at {}, {} after midnight", told(row.time, pace.dated), length(missing)),
            End::Last => format!("the log ends at {}, {} before midnight", told(row.time, pace.dated), length(missing)),
        };
        let (short, other_days) =
            (missing <= i64::from(options.longest_gap_s), midnight(rows[0].time) != midnight(rows[rows.len() - 1].time));
        let problem = |remedy: &str| Problem::of(Kind::Gap, Some(row.line), what.clone(), remedy);
        if short && (options.fill_gaps || !(options.skip_bad && other_days)) {
            let remedy = "Log whole days, or let gaps be filled.";
            let done = format!("Filled with the values of line {}.", row.line);
            findings.note(problem(remedy).unless(Consent::FillGaps), &done);
        } else if other_days {
            findings.note(
                problem("Log whole days, or let bad rows be left out, that day with them.").unless(Consent::SkipBad),
                "That day is left out.",
            );
            if options.skip_bad {
                rows.retain(|r| midnight(r.time) != midnight(row.time));
            }
        } else {
            let remedy = format!("Log a whole day; up to {} can be filled.", length(options.longest_gap_s.into()));
            findings.note(problem(&remedy), "");
        }
    }
    rows
}

#[derive(Clone, Copy, Debug)]
enum End {
    First,
    Last,
}

impl End {
    /// The outermost row, and how long the log misses there, s.
    fn missing(self, rows: &[Row], pace: Pace) -> Option<(Row, i64)> {
        let (row, missing) = match self {
            Self::First => rows.first().map(|r| (*r, r.time - midnight(r.time)))?,
            Self::Last => rows.last().map(|r| (*r, midnight(r.time) + i64::from(WHOLE_DAY_S) - r.time))?,
        };
        pace.is_gap(missing).then_some((row, missing))
    }
}

/// Has the log begin at midnight, with the values of its first row.
pub(super) fn from_midnight(rows: &mut Vec<Row>) {
    if let Some(first) = rows.first().copied().filter(|first| first.time > midnight(first.time)) {
        rows.insert(0, Row { line: 0, time: midnight(first.time), ..first });
    }
}

/// Notes or fills gaps between rows. `bad` are the lines of rows that are to be corrected, in order: what they leave is no gap of
/// its own.
pub(super) fn mend(rows: Vec<Row>, bad: &[u64], pace: Pace, options: &Options, findings: &mut Findings) -> Vec<Row> {
    let mut mended: Vec<Row> = Vec::with_capacity(rows.len());
    let mut last_line = 0;
    for row in rows {
        let since = std::mem::replace(&mut last_line, row.line);
        let Some(last) = mended.last().copied().filter(|last| pace.is_gap(row.time - last.time)) else {
            mended.push(row);
            continue;
        };
        let seconds = row.time - last.time;
        let corrected = bad.partition_point(|&line| line < row.line) - bad.partition_point(|&line| line <= since);
        if corrected > 0 && !pace.is_gap(seconds / (i64::try_from(corrected).unwrap_or(i64::MAX - 1) + 1)) {
            mended.push(row);
            continue;
        }
        let fills = seconds <= i64::from(options.longest_gap_s);
        findings.note(gap(last, row, pace, fills, options), "Filled with a straight line.");
        // Rows that will be refused for their number are not made.
        if fills && options.fill_gaps && mended.len() <= MAX_ROWS {
            line(last, row, pace.step, &mut mended);
        }
        mended.push(row);
    }
    mended
}

fn gap(last: Row, row: Row, pace: Pace, fills: bool, options: &Options) -> Problem {
    if fills && pace.may_jump && clock_change::is_missing_hour(last.time, row.time, pace.step) {
        return clock_change::missing_hour(row.line, last.time, row.time);
    }
    let what =
        format!("{} without rows, from {} to {}", length(row.time - last.time), told(last.time, pace.dated), told(row.time, pace.dated));
    let gap = |remedy: String| Problem::of(Kind::Gap, Some(row.line), what.clone(), remedy);
    if fills {
        gap("Add the rows, or let gaps be filled.".to_owned()).unless(Consent::FillGaps)
    } else {
        let most = length(options.longest_gap_s.into());
        gap(format!("Add the rows, cut the log there, or let longer gaps be filled: now it is up to {most}."))
    }
}

/// Rows on a straight line between two.
fn line(from: Row, to: Row, step: i64, rows: &mut Vec<Row>) {
    let mut time = from.time + step;
    while 2 * (to.time - time) > step {
        #[allow(clippy::cast_precision_loss)]
        let share = (time - from.time) as f64 / (to.time - from.time) as f64;
        let values = std::array::from_fn(|i| from.values[i] + share * (to.values[i] - from.values[i]));
        rows.push(Row { line: 0, time, values });
        time += step;
    }
}
