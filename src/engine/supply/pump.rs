//! The pump that valves share: who waits for whom.
//!
//! A valve's event goes on for its whole length once it has begun. Drips ask for what all plants on the valve get together; a flood takes the
//! pump whole, for how fast a table fills is not known (judgement). What finds too little left waits until enough has ended, the one that was
//! due first before others; what the pump cannot give even alone is cut to what it gives in that time.

use super::pump_day::{Call, PumpDay};
use crate::scenario::{Clock, DAY_S, Event, Give, Scenario};
use crate::units::HOUR_S;

/// More than it gives by no more than this share is not more.
const ROUNDING: f64 = 1e-9;

/// What the pump gives at an instant, and how much it could.
#[derive(Clone, Debug)]
pub struct PumpLoad {
    /// L/s at most; `None` where nothing is known of it.
    most: Option<f64>,
    /// Plants of each valve, each as often as its dose says.
    shares: Vec<f64>,
    /// What is open: until when (s), and how much it takes (L/s).
    open: Vec<(f64, f64)>,
}

impl PumpLoad {
    /// The pump of a scenario, at rest.
    #[must_use]
    pub fn new(scenario: &Scenario) -> Self {
        let share = |valve: usize| scenario.lanes_on(valve).map(|(_, lane)| f64::from(lane.plants) * lane.dose).sum();
        Self {
            most: scenario.pump.map(|p| p.litres_per_hour / HOUR_S),
            shares: (0..scenario.valves.len()).map(share).collect(),
            open: Vec::new(),
        }
    }

    /// L/s that an event of a valve takes; 0 where nothing is known of the pump.
    fn takes(&self, valve: usize, event: &Event) -> f64 {
        let Some(most) = self.most else { return 0.0 };
        match event.give {
            Give::Drip { ml } => (self.shares[valve] * ml * 1e-3 / f64::from(event.seconds)).min(most),
            Give::Flood { .. } => most,
        }
    }

    /// The earliest time from one on, s, at which there is enough left for an event.
    #[must_use]
    pub fn free_from(&self, valve: usize, event: &Event, from_s: f64) -> f64 {
        let Some(most) = self.most else { return from_s };
        let takes = self.takes(valve, event);
        let left = |at: f64| most * (1.0 + ROUNDING) - self.open.iter().filter(|(end, _)| *end > at).map(|o| o.1).sum::<f64>();
        let ends = self.open.iter().map(|o| o.0).filter(|end| *end > from_s);
        std::iter::once(from_s).chain(ends).filter(|at| left(*at) >= takes).min_by(f64::total_cmp).unwrap_or(from_s)
    }

    /// An event begins at a time (s) and ends at another. A drip that asks for more than the pump gives at all is cut.
    pub fn begin(&mut self, valve: usize, call: &mut Call, [from_s, until_s]: [f64; 2]) {
        let Some(most) = self.most else { return };
        let takes = self.takes(valve, &call.event);
        if let Give::Drip { ml } = &mut call.event.give {
            let wanted = self.shares[valve] * *ml * 1e-3 / f64::from(call.event.seconds);
            if wanted > most * (1.0 + ROUNDING) {
                *ml *= most / wanted;
                call.cut = true;
            }
        }
        self.open.retain(|(end, _)| *end > from_s);
        self.open.push((until_s, takes));
    }
}

/// An event that begins later than it was due, at a time of its day (s); `None` where it would not end on that day.
#[must_use]
pub fn put_off(call: &Call, at_s: f64) -> Option<Call> {
    if at_s <= call.event.start_s() {
        return Some(*call);
    }
    // A time within a day fits.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let start = Clock::from_seconds(at_s.clamp(0.0, DAY_S).ceil() as u32);
    let event = Event { start, ..call.event };
    (event.end_s() <= DAY_S).then_some(Call { event, waited: true, ..*call })
}

/// The days of all valves, each as its clock and the light call for, as the pump can give them.
#[must_use]
pub fn shared(scenario: &Scenario, called: Vec<PumpDay>) -> Vec<PumpDay> {
    if scenario.pump.is_none() {
        return called;
    }
    let mut load = PumpLoad::new(scenario);
    let mut given: Vec<PumpDay> = called.iter().map(|day| PumpDay { calls: Vec::new(), events: Vec::new(), ..day.clone() }).collect();
    let mut next = vec![0; called.len()];
    // From when on the next of each valve may begin.
    let mut from_s = vec![0.0_f64; called.len()];
    let due = |next: &[usize], from_s: &[f64]| {
        let of = |v: usize| called[v].calls.get(next[v]).map(|c| (from_s[v].max(c.event.start_s()), c.event.start, v));
        (0..called.len()).filter_map(of).min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)).then(a.2.cmp(&b.2)))
    };
    while let Some((at, _, valve)) = due(&next, &from_s) {
        let call = &called[valve].calls[next[valve]];
        let free = load.free_from(valve, &call.event, at);
        if free > at {
            from_s[valve] = free;
            continue;
        }
        next[valve] += 1;
        match put_off(call, at) {
            Some(mut call) => {
                let end = call.event.end_s();
                load.begin(valve, &mut call, [at, end]);
                from_s[valve] = end;
                given[valve].push(call);
            }
            None => given[valve].too_late.push(*call),
        }
    }
    given
}
