//! Rows brought into order of time: duplicates and rows that run backwards are noted and left out.

use std::collections::HashMap;

use super::clock_change;
use super::findings::{Consent, Findings, Kind, Problem};
use super::rows::Row;
use super::stamp::told;

/// The rows that are in order of time; the fewest are left out. None where most run backwards. Lines of rows whose time is to be
/// corrected are added to `bad`.
pub(super) fn in_order(rows: Vec<Row>, dated: bool, may_jump: bool, bad: &mut Vec<u64>, findings: &mut Findings) -> Vec<Row> {
    let backwards = rows.windows(2).filter(|pair| pair[1].time < pair[0].time).count();
    if rows.len() > 2 && 2 * backwards > rows.len() {
        let line = rows.get(1).map(|r| r.line);
        let what = "the rows run backwards in time";
        findings.note(Problem::of(Kind::Order, line, what, "Sort them by time, oldest first."), "");
        return Vec::new();
    }
    let rows = if may_jump { clock_change::without_doubled_hours(rows, findings) } else { rows };
    rising(once(rows, dated, findings), dated, bad, findings)
}

/// The rows whose time did not stand there before.
fn once(rows: Vec<Row>, dated: bool, findings: &mut Findings) -> Vec<Row> {
    let mut seen: HashMap<i64, u64> = HashMap::with_capacity(rows.len());
    let mut kept = Vec::with_capacity(rows.len());
    for row in rows {
        if let Some(first) = seen.get(&row.time) {
            let what = format!("time {} stands in line {first} already", told(row.time, dated));
            let remedy = "Delete one of the two, or let the later be left out.";
            findings.note(Problem::of(Kind::Duplicate, Some(row.line), what, remedy).unless(Consent::SkipBad), "Left out.");
        } else {
            seen.insert(row.time, row.line);
            kept.push(row);
        }
    }
    kept
}

/// The longest run of rows that rise in time. The rest is noted: a row that stands too early as well as one that stands too late.
fn rising(rows: Vec<Row>, dated: bool, bad: &mut Vec<u64>, findings: &mut Findings) -> Vec<Row> {
    // ends[k] is the row with the least time that ends a rising run of k + 1 rows.
    let mut ends: Vec<usize> = Vec::new();
    let mut before: Vec<Option<usize>> = Vec::with_capacity(rows.len());
    for (i, row) in rows.iter().enumerate() {
        let k = ends.partition_point(|&j| rows[j].time < row.time);
        before.push(k.checked_sub(1).map(|k| ends[k]));
        if k == ends.len() {
            ends.push(i);
        } else {
            ends[k] = i;
        }
    }
    let mut keep = vec![false; rows.len()];
    let mut at = ends.last().copied();
    while let Some(i) = at {
        keep[i] = true;
        at = before[i];
    }
    let mut kept = Vec::with_capacity(ends.len());
    for (row, keep) in rows.into_iter().zip(keep) {
        if keep {
            kept.push(row);
            continue;
        }
        bad.push(row.line);
        let what = format!("time {} is out of order among its neighbours", told(row.time, dated));
        let remedy = "Correct the time or move the row, or let bad rows be left out.";
        findings.note(Problem::of(Kind::Order, Some(row.line), what, remedy).unless(Consent::SkipBad), "Left out.");
    }
    kept
}
