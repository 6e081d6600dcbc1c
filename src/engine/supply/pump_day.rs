//! What a valve gives on a day, and what called for it.

use crate::scenario::{Event, Plan, Scenario};

/// What called for an event.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// The clock: its place in the plan's schedule.
    Clock(usize),
    /// A rule: its place among the plan's rules.
    Rule(usize),
}

/// One event of a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Call {
    /// When, how long, how much. Less than was asked for where the tank ran out.
    pub event: Event,
    /// What was asked for.
    pub wanted: Event,
    /// mS/cm.
    pub ec: f64,
    /// What called for it.
    pub by: By,
    /// It came later than it was due: the pump had too little left.
    pub waited: bool,
    /// The pump cannot give as much as was asked for.
    pub cut: bool,
}

impl Call {
    /// An event of a valve as it is asked for.
    #[must_use]
    pub fn new(event: Event, scenario: &Scenario, valve: usize, by: By) -> Self {
        Self { event, wanted: event, ec: scenario.event_ec(valve, &event), by, waited: false, cut: false }
    }
}

/// The events that a valve gives on a day, in order of their start; they never overlap.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PumpDay {
    /// The plan in force.
    pub plan: Plan,
    /// What was given, with what called for it.
    pub calls: Vec<Call>,
    /// The same events alone.
    pub events: Vec<Event>,
    /// What the tank could give nothing of.
    pub missed: Vec<Call>,
    /// What the pump had no time for before midnight.
    pub too_late: Vec<Call>,
    /// Events that the tank gave less than they asked for, or nothing.
    pub short: u32,
    /// More was called for than a day takes: the rest is left out.
    pub overfull: bool,
    /// When steps end though this valve does nothing, s after midnight: the tank was filled by the clock, or another valve opened or shut while it
    /// was being found out what is given.
    pub stops_s: Vec<f64>,
}

impl PumpDay {
    /// Events that came later than they were due, or not at all, because the pump had too little left.
    #[must_use]
    pub fn waited(&self) -> usize {
        self.calls.iter().chain(&self.missed).filter(|c| c.waited).count() + self.too_late.len()
    }

    /// Events that got less than they asked for because the pump cannot give as much.
    #[must_use]
    pub fn cut(&self) -> usize {
        self.calls.iter().filter(|c| c.cut).count()
    }

    /// Adds an event that was given, after all others.
    pub fn push(&mut self, call: Call) {
        self.events.push(call.event);
        self.calls.push(call);
    }
}
