//! What may fail, and how a lane goes on with it.

use std::sync::Arc;

use serde::Serialize;

use crate::engine::column::Column;
use crate::engine::run::Ready;
use crate::engine::run::simulation::{RunError, Simulation};
use crate::engine::supply::clock::EventClock;
use crate::scenario::plan::on_day;
use crate::scenario::{DAY_S, Event, Give, Scenario};

/// What fails.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Fault {
    /// The pump stops for good.
    PumpStops,
    /// The plant's emitter clogs: half of every event still comes.
    HalfFlow,
    /// The next event is missed, all others come.
    OneEventMissed,
    /// The tank is not filled any more: events come until it is empty.
    TankRunsOut,
    /// Nothing drains any more: what is given stays.
    DrainBlocked,
}

impl Fault {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::PumpStops, Self::HalfFlow, Self::OneEventMissed, Self::TankRunsOut, Self::DrainBlocked];

    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::PumpStops => "pump stops",
            Self::HalfFlow => "emitter gives half",
            Self::OneEventMissed => "one event is missed",
            Self::TankRunsOut => "tank runs out",
            Self::DrainBlocked => "drain is blocked",
        }
    }

    /// Why it has no meaning for a lane; `None` where it has.
    fn pointless(self, scenario: &Scenario, (valve, ready): (usize, &Ready)) -> Option<&'static str> {
        let floods = ready.timetable.days().iter().flat_map(|d| &d.events).any(|e| e.give.is_flood());
        let silent = ready.timetable.days().iter().all(|d| d.events.is_empty());
        match self {
            Self::PumpStops => None,
            _ if silent => Some("nothing is given here"),
            Self::HalfFlow if floods => Some("a flood has no emitters"),
            Self::DrainBlocked if floods => Some("a table that does not drain is another case: the flood stands on"),
            Self::TankRunsOut if scenario.tank.is_none() => Some("there is no tank on this bench"),
            Self::TankRunsOut if scenario.valves.get(valve).is_some_and(|v| v.ec.is_some()) => {
                Some("its valve does not draw from the tank")
            }
            Self::TankRunsOut if floods => Some("what a flood takes from the tank hangs on how long it stands"),
            _ => None,
        }
    }
}

/// The faults that mean something for a lane on a valve.
pub(super) fn told(scenario: &Scenario, ready: (usize, &Ready)) -> Vec<Fault> {
    Fault::ALL.into_iter().filter(|f| f.pointless(scenario, ready).is_none()).collect()
}

/// The others, each with why.
pub(super) fn left_out(scenario: &Scenario, ready: (usize, &Ready)) -> Vec<(Fault, &'static str)> {
    Fault::ALL.into_iter().filter_map(|f| Some((f, f.pointless(scenario, ready)?))).collect()
}

/// The bench that is struck, and the lane that is looked at.
#[derive(Clone, Copy)]
pub(super) struct Struck<'a> {
    pub scenario: &'a Scenario,
    pub lanes: &'a [Ready],
    pub lane: usize,
    /// The lane's column with its outlet closed.
    pub closed: &'a Arc<Column>,
}

impl Struck<'_> {
    /// Runs a lane on from now to `until_s` with a fault. Events that a probe calls for come as they do without
    /// the fault.
    pub fn run(self, mut now: Simulation, fault: Fault, until_s: f64, mut seen: impl FnMut(&Simulation) -> bool) -> Result<(), RunError> {
        let ready = &self.lanes[self.lane];
        match fault {
            Fault::PumpStops => now.follow(Arc::new(EventClock::silent())),
            Fault::HalfFlow => now.follow(Arc::new(EventClock::new(&ready.timetable, 0.5 * self.scenario.lanes[self.lane].dose))),
            Fault::DrainBlocked => now.stand_in(Arc::clone(self.closed)),
            Fault::OneEventMissed => {
                if let Some((_, event)) = events_from(ready, now.time_s()).next() {
                    let over = on_day((event.0 / DAY_S).floor() as usize, 0.0) + event.1.end_s();
                    now.follow(Arc::new(EventClock::silent()));
                    let mut goes_on = true;
                    now.advance_while(over.min(until_s), |s| {
                        goes_on = seen(s);
                        goes_on
                    })?;
                    if !goes_on {
                        return Ok(());
                    }
                    now.follow(Arc::clone(&ready.clock));
                }
            }
            Fault::TankRunsOut => {
                let empty = self.empty_at(now.time_s());
                let mut goes_on = true;
                now.advance_while(empty.min(until_s), |s| {
                    goes_on = seen(s);
                    goes_on
                })?;
                if !goes_on {
                    return Ok(());
                }
                now.follow(Arc::new(EventClock::silent()));
            }
        }
        now.advance_while(until_s, seen)
    }

    /// When the tank has given its last, with no more filled in from `from_s` on.
    fn empty_at(self, from_s: f64) -> f64 {
        let ready = &self.lanes[self.lane];
        let Some(mut litres) = ready.timetable.tank.as_ref().and_then(|t| t.at(from_s)).map(|p| p.litres) else { return f64::INFINITY };
        // What every valve draws, in the order of its beginning.
        let mut draws: Vec<(f64, f64, Event)> = Vec::new();
        for valve in (0..self.scenario.valves.len()).filter(|v| self.scenario.valves[*v].ec.is_none()) {
            let plants: f64 = self.scenario.lanes_on(valve).map(|(_, l)| f64::from(l.plants) * l.dose).sum();
            let Some((first, _)) = self.scenario.lanes_on(valve).next() else { continue };
            let of_valve = events_from(&self.lanes[first], from_s).map(|(_, (start, event))| (start, plants, event));
            draws.extend(of_valve);
        }
        draws.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (start, plants, event) in draws {
            let Give::Drip { ml } = event.give else { continue };
            let wanted = plants * ml * 1e-3;
            if event.ec.is_none() && wanted > 0.0 {
                if wanted >= litres {
                    return start + f64::from(event.seconds) * litres / wanted;
                }
                litres -= wanted;
            }
        }
        f64::INFINITY
    }
}

/// The events of a lane that begin at a time or later, each with its start in seconds since the first midnight; numbered.
fn events_from(ready: &Ready, from_s: f64) -> impl Iterator<Item = (usize, (f64, Event))> + '_ {
    let first = (from_s / DAY_S).floor() as usize;
    let of_day = move |day: usize| ready.timetable.events(day).iter().map(move |e| (on_day(day, e.start_s()), *e));
    (first..first + 400).flat_map(of_day).filter(move |(start, _)| *start >= from_s - 1e-6).enumerate()
}
