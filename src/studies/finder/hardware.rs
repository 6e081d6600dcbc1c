//! What timer, emitters and pump can do.

use crate::scenario::{DAY_S, Event, Give, MAX_EVENTS, OnDays, Problem, Scenario, ranges};
use crate::units::HOUR_S;

/// The equipment of a valve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hardware {
    /// Starts stand on this grid, s, 1–3600.
    pub timer_step_s: u32,
    /// Shortest time a valve is open, s, 1–86,400.
    pub shortest_s: u32,
    /// What one plant's emitters give, L/h; `None` where events of any volume last five minutes.
    pub emitter_l_per_h: Option<f64>,
    /// Most events of a day, 1–1000.
    pub most_events: usize,
    /// What the pump gives for all plants, L/h; `None` for as much as is asked for.
    pub pump_l_per_h: Option<f64>,
}

impl Default for Hardware {
    fn default() -> Self {
        Self { timer_step_s: 60, shortest_s: 30, emitter_l_per_h: None, most_events: 48, pump_l_per_h: None }
    }
}

/// Longest event, s.
const LONGEST_S: f64 = 43_200.0;
/// How long an event lasts where no emitter says, s (judgement).
const USUAL_S: f64 = 300.0;

impl Hardware {
    /// What cannot be, each by name.
    #[must_use]
    pub fn problems(&self) -> Vec<Problem> {
        let mut problems = Vec::new();
        let mut check = |field: &str, value: f64, (low, high): (f64, f64), unit: &str, why: &str| {
            if !(low..=high).contains(&value) {
                problems.push(Problem {
                    field: field.to_owned(),
                    value: value.to_string(),
                    allowed: format!("{low} to {high} {unit}"),
                    why: why.to_owned(),
                });
            }
        };
        check("--timer-step", f64::from(self.timer_step_s), (1.0, HOUR_S), "s", "starts stand on this grid");
        check("--shortest", f64::from(self.shortest_s), (1.0, 86_400.0), "s", "the shortest time that a valve is open");
        #[allow(clippy::cast_precision_loss)]
        check("--most-events", self.most_events as f64, (1.0, MAX_EVENTS as f64), "events a day", "without an event nothing is given");
        if let Some(flow) = self.emitter_l_per_h {
            check("--emitter", flow, (0.01, 1000.0), "L/h", "what the emitters of one plant give");
        }
        if let Some(flow) = self.pump_l_per_h {
            check("--pump", flow, (0.01, 1e6), "L/h", "what the pump gives for all plants of the bench");
        }
        problems
    }

    /// What one plant's emitters give at a dose of 1 with this pump, mL/s; infinite where nothing bounds it.
    fn rate(&self, scenario: &Scenario) -> f64 {
        let flow = self.emitter_l_per_h.map_or(f64::INFINITY, |l| l * 1000.0 / HOUR_S);
        // The pump feeds all plants at once: it bounds what one of them gets.
        let plants: f64 = scenario.lanes.iter().map(|l| f64::from(l.plants) * l.dose).sum();
        flow.min(self.pump_l_per_h.map_or(f64::INFINITY, |l| l * 1000.0 / HOUR_S / plants))
    }

    /// The most that a plant can get at a dose of 1 between two times, the starts of the first and the last event, mL; infinite where nothing
    /// bounds it.
    #[must_use]
    pub fn most_ml(&self, first_s: f64, last_s: f64, scenario: &Scenario) -> f64 {
        // The valve closes for at least a step of the timer between events, and no event lasts over midnight or longer than half a day.
        let open =
            (last_s - first_s - f64::from(self.timer_step_s)).max(0.0) + f64::from(self.shortest_s).max(LONGEST_S.min(DAY_S - last_s));
        #[allow(clippy::cast_precision_loss)]
        let by_count = LONGEST_S * self.most_events as f64;
        self.rate(scenario) * open.min(by_count)
    }

    /// An event of about `ml` per plant (at a dose of 1) as the equipment can give it; its start is not set. `None` where no event that the
    /// emitters and the pump can give within a day comes near it.
    #[must_use]
    pub fn event(&self, ml: f64, scenario: &Scenario) -> Option<Event> {
        let rate = self.rate(scenario);
        // A pump gives no more for a volume being rounded up.
        let (ml, least) = if self.emitter_l_per_h.is_some() { (ml, 0.0) } else { (rounded(ml), USUAL_S) };
        let seconds = (ml / rate).max(least).ceil().max(f64::from(self.shortest_s));
        if !(1.0..=LONGEST_S).contains(&seconds) {
            return None;
        }
        // An emitter gives what it gives; a pump too small for it gives less.
        let ml = if self.emitter_l_per_h.is_some() { rate * seconds } else { ml };
        if !(ranges::EVENT_ML.0..=ranges::EVENT_ML.1).contains(&ml) {
            return None;
        }
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let seconds = seconds as u32;
        Some(Event { start: crate::scenario::Clock::MIDNIGHT, seconds, give: Give::Drip { ml }, ec: None, days: OnDays::ALL })
    }
}

/// A volume as people set it: to five millilitres, small ones to a tenth.
fn rounded(ml: f64) -> f64 {
    if ml >= 50.0 {
        (ml / 5.0).round() * 5.0
    } else if ml >= 10.0 {
        ml.round()
    } else {
        (ml * 10.0).round().max(1.0) / 10.0
    }
}
