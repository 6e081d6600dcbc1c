//! The mark that a new rule of a probe begins with: one that the probe passes on the day shown, at an instant at which the rule may call.

use super::Projection;
use crate::engine::column::layers::probe_shares;
use crate::scenario::{Event, Probe};

/// When a rule may call.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MayCall {
    /// The valve that it opens.
    pub valve: usize,
    /// The earliest and the latest start of an event, s after midnight.
    pub window: (f64, f64),
    /// Least time from the end of an event to the next, s.
    pub pause_s: f64,
    /// How long its events last, s.
    pub lasts_s: f64,
}

/// Marks are written with so many steps to a whole: tenths of a percent.
const STEPS: f64 = 1000.0;
/// So much above the lowest a mark lies at least, m³/m³: between two steps a reading is known no better (judgement).
const NEAR: f64 = 5e-4;

impl Projection {
    /// A mark for a probe in a lane that a rule may call by, m³/m³: midway between the highest and the lowest that the probe reads on the day
    /// shown while the rule is in force, so that the rule calls on that day at the latest. The lowest is taken of the instants at which it may
    /// call: not too soon after an event, and with time before the next. `None` where the day's layers are not known.
    #[must_use]
    pub fn probe_mark(&self, lane: usize, probe: &Probe, may: MayCall) -> Option<f64> {
        let readings = self.probe_readings(lane, probe, may.window)?;
        let events = self.events(may.valve, self.day);
        let all = || readings.iter().map(|r| r.1);
        let peak = all().reduce(f64::max)?;
        let lowest = readings.iter().filter(|(at, _)| is_free(events, *at, may)).map(|r| r.1).reduce(f64::min);
        // Where events leave it no room, it calls between none of them, whatever its mark.
        let lowest = lowest.or_else(|| all().reduce(f64::min))?;
        let midway = (0.5 * (peak + lowest) * STEPS).round() / STEPS;
        let least = lowest + NEAR;
        Some(if midway >= least { midway } else { (least * STEPS).ceil() / STEPS }.clamp(0.0, 1.0))
    }

    /// What a probe in a lane reads at each step of a stretch of the day shown (s after midnight) and at its ends, whether the lane has it or not.
    fn probe_readings(&self, lane: usize, probe: &Probe, (from, to): (f64, f64)) -> Option<Vec<(f64, f64)>> {
        let run = self.run.lanes.get(lane)?;
        let shares = probe_shares(&run.column.layers, Some(probe));
        let (profiles, midnight) = (&run.series.profiles, self.midnight_s());
        let read = |row: usize| -> Option<(f64, f64)> {
            let theta = profiles.theta.get(row * profiles.layers..(row + 1) * profiles.layers)?;
            Some((profiles.time_s.get(row)? - midnight, shares.iter().map(|(i, share)| share * f64::from(theta[*i])).sum()))
        };
        let row_at = |time: f64| profiles.time_s.partition_point(|t| *t < midnight + time);
        // Between two steps on a straight line.
        let at = |time: f64| {
            let after = row_at(time);
            let (then, now) = (read(after.checked_sub(1).unwrap_or(after))?, read(after)?);
            let x = if now.0 > then.0 { (time - then.0) / (now.0 - then.0) } else { 0.0 };
            Some((time, then.1 + x * (now.1 - then.1)))
        };
        let within = (row_at(from)..row_at(to)).filter_map(read);
        let readings: Vec<(f64, f64)> = at(from).into_iter().chain(within).chain(at(to)).collect();
        (!readings.is_empty() && !shares.is_empty()).then_some(readings)
    }
}

/// Whether a rule may call at an instant of a day, s after midnight.
fn is_free(events: &[Event], at: f64, may: MayCall) -> bool {
    let clear = |e: &Event| at >= e.end_s() + may.pause_s || at + may.lasts_s <= e.start_s();
    events.iter().all(clear)
}
