//! What a climate log sums up to: an amount that runs on from row to row, and from the log's beginning again when it has run out.

use std::sync::Arc;

use crate::scenario::{ClimateLog, DAY_S, LogRow};

/// An amount summed over a log.
#[derive(Clone, Debug, PartialEq)]
pub struct RunningSum {
    /// When each row begins, s, from 0; and the end of the last day.
    times: Arc<[f64]>,
    /// The amount up to then.
    amounts: Arc<[f64]>,
}

impl RunningSum {
    /// Sums what each row adds a second. Before its first row the log is as that row.
    #[must_use]
    pub fn of(log: &ClimateLog, a_second: impl Fn(&LogRow) -> f64) -> Self {
        let end = f64::from(log.days()) * DAY_S;
        let (mut times, mut amounts) = (Vec::with_capacity(log.rows.len() + 1), Vec::with_capacity(log.rows.len() + 1));
        let mut sum = 0.0;
        for (i, row) in log.rows.iter().enumerate() {
            let from = if i == 0 { 0.0 } else { row.time_s() };
            let to = log.rows.get(i + 1).map_or(end, LogRow::time_s);
            times.push(from);
            amounts.push(sum);
            sum += (to - from) * a_second(row);
        }
        times.push(end);
        amounts.push(sum);
        Self { times: times.into(), amounts: amounts.into() }
    }

    /// How long the log is, s, and what it sums up to.
    #[must_use]
    pub fn whole(&self) -> (f64, f64) {
        (self.times.last().copied().unwrap_or(DAY_S), self.amounts.last().copied().unwrap_or(0.0))
    }

    /// The amount from the first midnight up to a time, s; it does not fall where no row takes away.
    #[must_use]
    pub fn up_to(&self, t_s: f64) -> f64 {
        let (seconds, sum) = self.whole();
        let rounds = (t_s / seconds).floor();
        let within = t_s - rounds * seconds;
        let after = self.times.partition_point(|t| *t <= within).clamp(1, self.times.len() - 1);
        let (from, to) = (self.times[after - 1], self.times[after]);
        let x = ((within - from) / (to - from)).clamp(0.0, 1.0);
        rounds * sum + self.amounts[after - 1] + x * (self.amounts[after] - self.amounts[after - 1])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_runs_on_and_begins_anew() {
        let row = |second: u32, light: f32| LogRow(second, light, 20.0, 70.0);
        let rows = [row(3600, 1.0), row(7200, 3.0), row(10_800, 0.0)];
        let log = ClimateLog { name: "a log".to_owned(), source: String::new(), lamp: None, rows: rows.into() };
        let sum = RunningSum::of(&log, LogRow::shortwave);
        assert_eq!(sum.whole(), (DAY_S, 7200.0 + 3.0 * 3600.0));
        let at = [0.0, 1800.0, 7200.0, 9000.0, 10_800.0, 80_000.0, DAY_S, DAY_S + 7200.0];
        let expected = [0.0, 1800.0, 7200.0, 12_600.0, 18_000.0, 18_000.0, 18_000.0, 25_200.0];
        assert_eq!(at.map(|t| sum.up_to(t)), expected);
    }
}
