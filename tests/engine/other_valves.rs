//! Random valves beside the first, and pumps that cannot feed all at once.

use proptest::collection::vec;
use proptest::prelude::*;
use slakeline::scenario::*;

use crate::scenarios::{event, laid_out};

/// A valve beside the first: what it gives compared with that.
#[derive(Clone, Debug)]
pub struct OtherValve {
    /// The same events, so that two begin at one instant; later by so many seconds, so that they overlap or meet; or its own.
    later: Option<u32>,
    events: Vec<(u32, Event)>,
    ec: Option<f64>,
}

pub fn other_valve() -> impl Strategy<Value = OtherValve> {
    let later = prop_oneof![Just(Some(0)), Just(Some(1)), Just(Some(300)), (2_u32..3600).prop_map(Some), Just(None)];
    (later, vec(event(), 0..8), prop_oneof![2 => Just(None), 1 => (0.0..4.0).prop_map(Some)]).prop_map(|(later, events, ec)| OtherValve {
        later,
        events,
        ec,
    })
}

impl OtherValve {
    /// Puts a lane on it. It listens to the same probe.
    pub fn onto(self, scenario: &mut Scenario, lane: usize) {
        let first = scenario.valves[0].clone();
        let later = |e: &Event, by: u32| Event { start: Clock::from_seconds(e.start.seconds() as u32 + by), ..*e };
        let schedule = match self.later {
            Some(by) => first.schedule.iter().map(|e| later(e, by)).filter(|e| e.end_s() <= DAY_S).collect(),
            None => laid_out(self.events),
        };
        scenario.valves.push(Valve { name: "other".to_owned(), ec: self.ec, schedule, ..first });
        scenario.lanes[lane].valve = scenario.valves.len() - 1;
    }
}

/// What a pump gives, as a share of what all drips of a bench ask for that could be open at once.
pub fn pump_share() -> impl Strategy<Value = f64> {
    prop_oneof![Just(1.0), Just(0.5), 0.1..2.0]
}

/// Limits the pump to a share of the most that one event of each valve asks for together.
pub fn limit_pump(scenario: &mut Scenario, share: f64) {
    let most = |(valve, v): (usize, &Valve)| {
        let plants: f64 = scenario.lanes_on(valve).map(|(_, l)| f64::from(l.plants) * l.dose).sum();
        plants * v.schedule.iter().filter_map(|e| Some(3.6 * e.ml()? / f64::from(e.seconds))).fold(0.0, f64::max)
    };
    let all: f64 = scenario.valves.iter().enumerate().map(most).sum();
    scenario.pump = Some(Pump { litres_per_hour: (share * all).clamp(1.0, 1e6) });
}
