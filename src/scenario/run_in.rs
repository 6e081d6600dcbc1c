//! The days that lanes are run in by: the bench's first day, over and over.
//!
//! A lane that is run in begins its first day as so many days like it leave it: with the first day's schedules (events that do not
//! come every day on their days, counted back from the bench's first over the longest run-in) and rules, its light and its
//! air (of a climate log, the log's first day), and a tank that is held as it stands at the start. All lanes begin those days together, each from
//! its own water and salt; how many of them a lane goes through before its first day is its own.

use super::bench::Scenario;
use super::climate::{Climate, ClimateLog, LogRow};
use super::clock::DAY_S;

impl Scenario {
    /// Days that the lane which is run in the longest is run in; 0 where none is.
    #[must_use]
    pub fn run_in_days(&self) -> u32 {
        self.lanes.iter().filter_map(|lane| lane.start.run_in_days).max().unwrap_or(0)
    }

    /// The bench of the days that its lanes are run in by: every day is like the first, all lanes begin at rest, and what the tank gives has the EC
    /// that it has at the start. `None` where no lane is run in.
    #[must_use]
    pub fn run_in(&self) -> Option<Self> {
        let days = self.run_in_days();
        if days == 0 {
            return None;
        }
        let mut bench = Self { days, ..self.clone() };
        for valve in &mut bench.valves {
            valve.changes.clear();
            // What does not come every day goes on as it came before: the day after the longest run-in is the bench's first.
            for event in &mut valve.schedule {
                event.days.from = (event.days.from.max(1) - 1 + days) % event.days.every.max(1) + 1;
            }
        }
        if let Some(Climate::Log(log)) = &mut bench.climate {
            *log = log.first_day();
        }
        if let Some(tank) = bench.tank.take() {
            let ec = tank.start_ec.unwrap_or(bench.feed.ec);
            // A valve with an EC of its own draws nothing from it.
            for valve in bench.valves.iter_mut().filter(|valve| valve.ec.is_none()) {
                valve.schedule.iter_mut().for_each(|event| event.ec = event.ec.or(Some(ec)));
                valve.rules.iter_mut().for_each(|rule| rule.ec = rule.ec.or(Some(ec)));
            }
        }
        bench.lanes.iter_mut().for_each(|lane| lane.start.run_in_days = None);
        Some(bench)
    }
}

impl ClimateLog {
    /// Its first day alone.
    fn first_day(&self) -> Self {
        if self.days() <= 1 {
            return self.clone();
        }
        let rows = self.rows.partition_point(|row| row.time_s() < DAY_S);
        // A log whose first row comes later is as that row until then.
        let first = if rows > 0 { self.rows[..rows].into() } else { self.rows.first().map(LogRow::at_midnight).into_iter().collect() };
        Self { rows: first, ..self.clone() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::presets::demos;
    use crate::scenario::{Filled, PlanChange, Refill, Tank};

    #[test]
    fn every_day_is_like_the_first_and_the_tank_is_held() {
        let mut scenario = demos().remove(0).1;
        assert!(scenario.run_in().is_none());
        scenario.lanes[1].start.run_in_days = Some(5);
        scenario.valves[0].schedule[0].ec = Some(0.5);
        scenario.valves[0].changes = vec![PlanChange { from_day: 2, schedule: Vec::new(), rules: Vec::new() }];
        scenario.tank = Some(Tank { litres: 50.0, start_ec: Some(3.5), refill: Refill::Feed, filled: Filled::Never, drain_returns: true });
        let days = scenario.run_in().unwrap();
        assert_eq!((days.days, days.valves[0].changes.len(), days.tank), (5, 0, None));
        assert!(days.lanes.iter().all(|lane| lane.start.run_in_days.is_none()));
        let given = |s: &Scenario| s.valves[0].schedule.clone();
        assert_eq!((given(&days)[0].ec, given(&days)[1].ec), (Some(0.5), Some(3.5)));
        assert_eq!((days.feed, given(&days)[1].give), (scenario.feed, given(&scenario)[1].give));
        scenario.valves[0].ec = Some(1.0);
        assert_eq!(given(&scenario.run_in().unwrap()), given(&scenario), "what does not come from the tank has an EC of its own");
    }

    #[test]
    fn the_first_day_of_a_log_is_as_the_log_has_it() {
        let log = |rows: &[LogRow]| ClimateLog { name: "a log".to_owned(), source: String::new(), lamp: None, rows: rows.into() };
        let row = |s: u32, light: f32| LogRow(s, light, 20.0, 70.0);
        let two = log(&[row(3600, 10.0), row(40_000, 300.0), row(86_400, 5.0), row(100_000, 200.0)]);
        let first = two.first_day();
        assert_eq!((first.days(), first.rows.len()), (1, 2));
        assert!(
            (first.day_shortwave_mj(0) - two.day_shortwave_mj(0)).abs() < 1e-12 && first.day_shortwave_mj(7) == first.day_shortwave_mj(0)
        );
        let late = log(&[row(90_000, 10.0), row(100_000, 0.0)]);
        assert_eq!(late.first_day().days(), 1);
        assert!((late.first_day().day_shortwave_mj(3) - late.day_shortwave_mj(0)).abs() < 1e-12);
    }
}
