//! The settled day itself: the first day of a lane that repeats the day before, as a run of one day.

use std::sync::Arc;

use super::run::{LaneRun, Ready, Settled, stores};
use super::series::{Sample, Series};
use super::simulation::Simulation;
use crate::scenario::DAY_S;

impl Ready {
    /// Runs on like [`Ready::settle`] and keeps the day found, with its clock set back so that it begins at 0 s; without a settled
    /// day, the last one run. It goes on to the next morning's first event, as [`Ready::run`] does. A run that stops carries its
    /// error. `go_on` is asked before each day; `None` when it said no.
    #[must_use]
    pub fn settled_day(&self, most_days: u32, go_on: impl Fn() -> bool) -> Option<(Settled, LaneRun)> {
        let mut simulation = self.simulation();
        let mut settled = Settled::NotWithin(most_days);
        let mut stored = vec![stores(&simulation)];
        let mut day = 1;
        let (mut series, midnights, error) = loop {
            if !go_on() {
                return None;
            }
            let mut series = Series::default();
            record(&mut series, &simulation);
            let dawn = *simulation.ledger();
            let done = simulation.advance_to(f64::from(day) * DAY_S, |s| record(&mut series, s));
            if let Err(error) = done {
                break (series, vec![dawn], Some(error));
            }
            stored.push(stores(&simulation));
            let found = self.settles(&stored);
            if found {
                settled = Settled::OnDay(day);
            }
            if found || day >= most_days {
                let midnights = vec![dawn, *simulation.ledger()];
                let morning = self.timetable.first_start(day as usize).map(|first| f64::from(day) * DAY_S + first);
                let tail = morning.and_then(|at| simulation.advance_to(at, |s| record(&mut series, s)).err());
                break (series, midnights, tail);
            }
            day += 1;
        };
        let begin = f64::from(day - 1) * DAY_S;
        for sample in &mut series.samples {
            sample.time_s -= begin;
        }
        let (name, column) = (self.name.clone(), Arc::clone(&self.column));
        let timetable = Arc::new(self.timetable.of_day(day as usize - 1));
        Some((settled, LaneRun { name, column, timetable, series, midnights, stats: simulation.stats(), error }))
    }
}

fn record(series: &mut Series, simulation: &Simulation) {
    series.samples.push(Sample::of(simulation));
    series.profiles.push(simulation);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::run::Workshop;
    use crate::scenario::presets::{Library, demos};

    #[test]
    fn the_settled_day_is_the_day_that_settle_finds() {
        let scenario = demos().remove(0).1;
        let ready = Workshop::default().ready(&scenario, &Library::shipped()).unwrap().for_its_days();
        for lane in &ready {
            let (settled, run) = lane.settled_day(400, || true).unwrap();
            assert_eq!(settled, lane.settle(400).unwrap());
            let Settled::OnDay(day) = settled else { panic!("{settled:?}") };
            let long = lane.run(day);
            assert_eq!(run.day(0), long.day(day as usize - 1));
            let (first, last) = (run.series.samples[0], run.series.samples[run.series.samples.len() - 1]);
            assert_eq!((first.time_s, last.time_s), (0.0, DAY_S + lane.timetable.first_start(0).unwrap()));
            assert_eq!(run.series.profiles.theta.len(), run.series.samples.len() * run.series.profiles.layers);
        }
        assert!(ready[0].settled_day(60, || false).is_none());
        assert_eq!(ready[0].settled_day(1, || true).unwrap().0, Settled::NotWithin(1));
    }
}
