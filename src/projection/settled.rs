//! The settled day of a bench as a projection of its own.

use std::sync::Arc;
use std::time::Instant;

use super::Projection;
use crate::engine::run::{LOOK_AHEAD_DAYS, ReadyBench, Run, Settled};
use crate::scenario::Scenario;

/// Runs a bench until its day repeats itself, lane by lane, so that a core is left for a window. `at` is told the share of all days that could be
/// needed, and what is being done. `None` as soon as `go_on` says so.
pub fn settle(scenario: Arc<Scenario>, bench: &ReadyBench, go_on: &dyn Fn() -> bool, at: &dyn Fn(f64, &str)) -> Option<Projection> {
    let began = Instant::now();
    let days = std::cell::Cell::new(0_u32);
    let most = f64::from(LOOK_AHEAD_DAYS) * scenario.lanes.len().max(1) as f64;
    let next = || {
        days.set(days.get() + 1);
        at(f64::from(days.get()) / most, &format!("Looking for the day that repeats itself: {} days so far", days.get()));
        go_on()
    };
    let (settled, lanes) = bench.settled_days(&next)?.into_iter().unzip();
    let millis = began.elapsed().as_secs_f64() * 1e3;
    Some(Projection::of_settled(scenario, Run { lanes }, settled, millis))
}

/// When each lane settled, and which day is shown where a log of several days repeats.
#[must_use]
pub fn told(shown: &Projection) -> String {
    let lanes = shown.settled.as_deref().unwrap_or_default();
    let round = shown.scenario.round_days();
    let one = |(i, settled): (usize, &Settled)| match settled {
        Settled::OnDay(day) => format!("lane {} from about day {day}", i + 1),
        Settled::NotWithin(days) => format!("lane {} did not settle within {days} days (the last is shown)", i + 1),
    };
    let told: Vec<String> = lanes.iter().enumerate().map(one).collect();
    let told = told.join(", ");
    if round > 1 {
        let day = shown.day_of_bench(0) % round + 1;
        let of = if shown.scenario.round_of_events() == 1 { "the log" } else { "them" };
        let all = lanes.iter().all(|l| matches!(l, Settled::OnDay(_)));
        let repeats = if all { " repeats" } else { "" };
        return format!("The round of {round} days{repeats}: {told}. Shown is day {day} of {of}.");
    }
    format!("Settled day: {told}.")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::{Climate, ClimateLog, LogRow};

    #[test]
    fn what_did_not_settle_is_said() {
        let mut scenario = crate::scenario::presets::demos().remove(0).1;
        let text = |scenario: &Scenario, settled: &[Settled]| {
            told(&Projection::of_settled(Arc::new(scenario.clone()), Run::default(), settled.to_vec(), 0.0))
        };
        let settled = [Settled::OnDay(9), Settled::NotWithin(60)];
        let one = text(&scenario, &settled);
        assert!(one.contains("lane 1 from about day 9, lane 2 did not settle within 60 days"), "{one}");
        // Under a log of some days it is their round that repeats, where it does.
        let rows = [LogRow(0, 0.0, 20.0, 70.0), LogRow(2 * 86_400, 0.0, 20.0, 70.0)];
        let log = ClimateLog { name: "a log".to_owned(), source: String::new(), lamp: None, rows: rows.as_slice().into() };
        scenario.climate = Some(Climate::Log(log));
        let begins = |settled: &[Settled], with: &str| {
            let text = text(&scenario, settled);
            assert!(text.starts_with(with) && text.ends_with("of the log."), "{text}");
        };
        begins(&settled, "The round of 3 days: lane 1 from about day 9, lane 2 did not settle");
        begins(&settled[..1], "The round of 3 days repeats: lane 1 from about day 9. ");
    }
}
