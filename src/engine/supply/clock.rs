//! The event clock: what the pump does at an instant, and when that changes next.

use std::sync::Arc;

use super::timetable::{Call, PumpDay, Timetable, place};
use crate::scenario::plan::on_day;
use crate::scenario::{DAY_S, Event, Give};

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

/// From when to when, s after midnight, the pump does something; or nothing, where it could have and steps end all the same.
type Spell = (f64, f64, Supply);

/// Where two clocks part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Parting {
    /// The first instant at which one of them does what the other does not, s since the first midnight.
    pub at_s: f64,
    /// The last instant up to then on which both change, or midnight, s: up to here their changes were the same all along, too.
    pub common_s: f64,
}

/// The timetable as one lane receives it.
#[derive(Clone, Debug, PartialEq)]
pub struct EventClock {
    /// Days in order; the last round of them stands for all that follow.
    days: Vec<Arc<[Spell]>>,
    /// Where a day stands among them.
    round: usize,
}

impl EventClock {
    /// A timetable for a lane that gets `dose` times the scheduled volume.
    #[must_use]
    pub fn new(timetable: &Timetable, dose: f64) -> Self {
        let mut days: Vec<Arc<[Spell]>> = Vec::with_capacity(timetable.days().len());
        for (i, day) in timetable.days().iter().enumerate() {
            // Days that are one and the same stay so.
            match i.checked_sub(1).filter(|before| Arc::ptr_eq(&timetable.days()[*before], day)) {
                Some(before) => days.push(Arc::clone(&days[before])),
                None => days.push(spells(day, dose)),
            }
        }
        Self { days, round: timetable.days().len() - timetable.steady_from() }
    }

    /// One event and nothing else, on every day.
    #[must_use]
    pub fn only(call: &Call, dose: f64) -> Self {
        Self { days: vec![Arc::new([spell(call, dose)])], round: 1 }
    }

    /// Nothing at all.
    #[must_use]
    pub fn silent() -> Self {
        Self { days: Vec::new(), round: 1 }
    }

    fn spells(&self, day: usize) -> Option<&Arc<[Spell]>> {
        self.days.get(place(day, self.days.len(), self.round))
    }

    /// Where it parts from another clock within some days; `None` if it does not.
    #[must_use]
    pub fn parts_from(&self, other: &Self, days: usize) -> Option<Parting> {
        (0..days).find_map(|day| {
            let (a, b) = (self.spells(day), other.spells(day));
            if a.zip(b).is_some_and(|(a, b)| Arc::ptr_eq(a, b)) {
                return None;
            }
            let [a, b] = [a, b].map(|spells| spells.map_or(&[][..], |s| &**s));
            let same = a.iter().zip(b).take_while(|(a, b)| a == b).count();
            let within = parting(a.get(same), b.get(same))?;
            let common = within.common_s.max(same.checked_sub(1).map_or(0.0, |last| a[last].1));
            let midnight = on_day(day, 0.0);
            Some(Parting { at_s: midnight + within.at_s, common_s: midnight + common })
        })
    }

    /// What the pump does from an instant (seconds since the first midnight) on, and until when.
    #[must_use]
    pub fn at(&self, t_s: f64) -> (Supply, f64) {
        // Steps land on changes to within rounding: a change closer than this has come.
        const NOW: f64 = 1e-6;
        let day = (t_s / DAY_S + 1e-12).floor();
        let midnight = day * DAY_S;
        let within = t_s - midnight;
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let spells = self.spells(day as usize);
        for &(start, end, supply) in spells.into_iter().flat_map(|s| s.iter()) {
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

/// Where two spells that are not the same part, within their day; `None` where there is none of either.
fn parting(a: Option<&Spell>, b: Option<&Spell>) -> Option<Parting> {
    match (a, b) {
        (Some(a), Some(b)) if a.0 == b.0 => Some(Parting { at_s: if a.2 == b.2 { a.1.min(b.1) } else { a.0 }, common_s: a.0 }),
        (Some(a), Some(b)) => Some(Parting { at_s: a.0.min(b.0), common_s: 0.0 }),
        (Some(only), None) | (None, Some(only)) => Some(Parting { at_s: only.0, common_s: 0.0 }),
        (None, None) => None,
    }
}

/// A day's spells. Where the tank had nothing to give, where it was filled, and where another valve opened or shut, steps end as they do at an
/// event: that is how it was found out.
fn spells(day: &PumpDay, dose: f64) -> Arc<[Spell]> {
    // Two stops, not one spell: others may lie between them.
    let missed = day.missed.iter().flat_map(|c| [c.event.start_s(), c.event.end_s()]);
    let stops = missed.chain(day.stops_s.iter().copied()).map(|at| (at, at, Supply::Off));
    let mut spells: Vec<Spell> = day.calls.iter().map(|c| spell(c, dose)).chain(stops).collect();
    spells.sort_by(|a, b| a.0.total_cmp(&b.0));
    spells.into()
}

fn spell(call: &Call, dose: f64) -> Spell {
    (call.event.start_s(), call.event.end_s(), supply(&call.event, call.ec, dose))
}

fn supply(event: &Event, ec: f64, dose: f64) -> Supply {
    match event.give {
        Give::Drip { ml } => Supply::Drip { rate: ml * dose / f64::from(event.seconds), ec },
        Give::Flood { depth_cm } => Supply::Flood { depth: depth_cm, ec },
    }
}
