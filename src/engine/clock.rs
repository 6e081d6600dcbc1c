//! The event clock: what the pump does at an instant, and when that changes next.

use crate::scenario::{DAY_S, Event, Give, Scenario};

/// What the pump does between two changes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Supply {
    /// Nothing.
    Off,
    /// Drip: mL/s per plant, EC in mS/cm.
    Drip {
        /// mL/s per plant.
        rate: f64,
        /// mS/cm.
        ec: f64,
    },
    /// Flood: depth above the base in cm, EC in mS/cm.
    Flood {
        /// cm above the base.
        depth: f64,
        /// mS/cm.
        ec: f64,
    },
}

/// The daily schedule as one lane receives it, repeated every day.
#[derive(Clone, Debug, PartialEq)]
pub struct EventClock {
    spans: Vec<(f64, f64, Supply)>,
}

impl EventClock {
    /// The scenario's schedule for a lane that gets `dose` times the scheduled volume.
    #[must_use]
    pub fn new(scenario: &Scenario, dose: f64) -> Self {
        let mut spans: Vec<_> = scenario.schedule.iter().map(|e| (e.start_s(), e.end_s(), supply(e, scenario.event_ec(e), dose))).collect();
        spans.sort_by(|a, b| a.0.total_cmp(&b.0));
        Self { spans }
    }

    /// What the pump does from an instant (seconds since the first midnight) on, and until when.
    #[must_use]
    pub fn at(&self, t_s: f64) -> (Supply, f64) {
        // Steps land on changes to within rounding: a change closer than this has come.
        const NOW: f64 = 1e-6;
        let midnight = (t_s / DAY_S + 1e-12).floor() * DAY_S;
        let within = t_s - midnight;
        for &(start, end, supply) in &self.spans {
            if within < start - NOW {
                return (Supply::Off, midnight + start);
            }
            if within < end - NOW {
                return (supply, midnight + end);
            }
        }
        (Supply::Off, midnight + DAY_S)
    }
}

fn supply(event: &Event, ec: f64, dose: f64) -> Supply {
    match event.give {
        Give::Drip { ml } => Supply::Drip { rate: ml * dose / f64::from(event.seconds), ec },
        Give::Flood { depth_cm } => Supply::Flood { depth: depth_cm, ec },
    }
}
