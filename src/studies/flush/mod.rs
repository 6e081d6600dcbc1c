//! What it takes to rinse salt out of a root zone: litres, events and hours, run on the bench itself, and the two bounds between which any
//! rinsing lies.

mod bounds;
mod rinse;

use std::sync::Arc;

use rayon::prelude::*;
use serde::Serialize;

use self::bounds::Begins;
pub use self::rinse::Rinse;
use crate::engine::EngineError;
use crate::engine::column::State;
use crate::engine::run::simulation::{RunError, Simulation};
use crate::engine::run::{Ready, Workshop};
use crate::engine::supply::clock::EventClock;
use crate::engine::supply::timetable::{By, Call};
use crate::scenario::plan::on_day;
use crate::scenario::presets::Library;
use crate::scenario::{Clock, DAY_S, Event, Give, OnDays, Scenario};
use crate::studies::StudyError;
use crate::units::HOUR_S;

/// EC of plain water where none is named, mS/cm (judgement).
pub const PLAIN_WATER_EC: f64 = 0.3;
/// Share of what the root zone holds that one event gives (judgement).
const EVENT_SHARE: f64 = 0.1;
/// Rate of an emitter where the schedule tells none, mL/s: 2 L/h (common practice, no source).
const USUAL_RATE: f64 = 2000.0 / HOUR_S;
/// Pause after an event, s (judgement).
const PAUSE_S: f64 = HOUR_S / 6.0;
/// How long a flood stands, and the pause after it, s (judgement).
const FLOOD_S: u32 = 600;
const FLOOD_PAUSE_S: f64 = HOUR_S / 3.0;
/// Share of a bound by which a flush may miss it and still be told as on it: bounds know of no dispersion (judgement).
const ROUNDING: f64 = 0.03;
/// Nobody rinses for longer, h (judgement).
const LONGEST_H: f64 = 72.0;

/// One way of rinsing a lane.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Rinsed {
    /// Given per plant, L; what a flood left in the root zone and drained from it.
    pub litres_per_plant: f64,
    /// The same for all plants of the lane, L.
    pub litres_for_all: f64,
    /// Of that, drained per plant, L.
    pub drained_per_plant: f64,
    /// Events given.
    pub events: u32,
    /// From the first event on, h.
    pub hours: f64,
    /// Root-zone EC then, mS/cm.
    pub final_ec: f64,
    /// Whether it came down to what was wanted.
    pub reached: bool,
    /// EC that remains in each layer, base first: height of its centre, cm, and mS/cm.
    pub remains: Vec<(f64, f64)>,
}

/// What rinsing takes in a lane.
#[derive(Clone, Debug, Serialize)]
pub struct LaneFlush {
    /// The lane's name.
    pub name: String,
    /// Root-zone EC when it begins, mS/cm.
    pub start_ec: f64,
    /// From above.
    #[serde(flatten)]
    pub from_above: Rinsed,
    /// By flooding, where the bench floods.
    pub by_flooding: Option<Rinsed>,
    /// What it would take if the rinse mixed with all that is there, L per plant.
    pub well_mixed_litres: f64,
    /// What it would take if the rinse pushed out all that is there before it, L per plant.
    pub plug_flow_litres: f64,
    /// The medium takes salt up and gives it back: the same EC takes more.
    pub exchanges: bool,
    /// The run stopped before it was rinsed.
    pub stopped: Option<String>,
}

impl LaneFlush {
    /// What to say of a flush from above that takes less, or more, than either bound; `None` where it lies between them.
    #[must_use]
    pub fn beside_bounds(&self) -> Option<String> {
        let litres = self.from_above.litres_per_plant;
        let (least, most) = (self.plug_flow_litres.min(self.well_mixed_litres), self.plug_flow_litres.max(self.well_mixed_litres));
        let which = match litres {
            _ if self.from_above.events == 0 || !self.from_above.reached => return None,
            l if l > most * (1.0 + ROUNDING) => "more",
            l if l < least / (1.0 + ROUNDING) => "less",
            _ => return None,
        };
        Some(format!("That is {which} than either bound: they leave out what plants take up meanwhile, and how salt spreads as it moves."))
    }
}

/// Rinses every lane from the state that the bench's days leave it in, beginning with the next morning's first event or with the light.
/// `go_on` is asked before each lane; lanes after a no are left out.
///
/// # Errors
/// [`StudyError`] for the first lane that cannot be built or does not get there.
pub fn flush(
    scenario: &Scenario,
    library: &Library,
    rinse: Rinse,
    go_on: &(dyn Fn() -> bool + Sync),
) -> Result<Vec<LaneFlush>, StudyError> {
    let lanes = Workshop::default().ready(scenario, library)?.for_its_days();
    let one = |(index, ready): (usize, &Ready)| go_on().then(|| lane_flush(scenario, index, ready, rinse));
    let done: Vec<Option<Result<LaneFlush, StudyError>>> = lanes.par_iter().enumerate().map(one).collect();
    done.into_iter().flatten().collect()
}

fn lane_flush(scenario: &Scenario, index: usize, ready: &Ready, rinse: Rinse) -> Result<LaneFlush, StudyError> {
    let lane = &scenario.lanes[index];
    let mut simulation = ready.simulation();
    let days = scenario.days as usize;
    let morning = ready.timetable.first_start(days).unwrap_or(scenario.light.on.seconds());
    let stopped = |cause: RunError| EngineError::ran(&lane.name, cause);
    simulation.advance_to(on_day(days, morning), |_| {}).map_err(stopped)?;
    simulation.follow(Arc::new(EventClock::silent()));
    let begins = Begins::of(&simulation, &ready.column);
    let depth = ready.timetable.events(days).iter().find_map(|e| match e.give {
        Give::Flood { depth_cm } => Some(depth_cm),
        Give::Drip { .. } => None,
    });
    let (from_above, wettest, error) = rinsed(simulation.clone(), Way::Above(rate(ready, lane.dose)), rinse, lane.plants);
    let flooded = depth.map(|depth| rinsed(simulation, Way::Flood(depth), rinse, lane.plants).0);
    let (well_mixed, plug_flow) = begins.bounds(&wettest, rinse);
    Ok(LaneFlush {
        name: lane.name.clone(),
        start_ec: begins.ec,
        from_above,
        by_flooding: flooded,
        well_mixed_litres: well_mixed / 1000.0,
        plug_flow_litres: plug_flow / 1000.0,
        exchanges: begins.holds(),
        stopped: error.map(|e| e.to_string()),
    })
}

/// mL/s per plant of the schedule's drips, the mean of them by volume.
fn rate(ready: &Ready, dose: f64) -> f64 {
    let drips = || ready.timetable.days().iter().flat_map(|d| &d.events).filter_map(|e| Some((e.ml()?, f64::from(e.seconds))));
    let (ml, seconds) = drips().fold((0.0, 0.0), |(a, b), (ml, s)| (a + ml, b + s));
    if ml > 0.0 { dose * ml / seconds } else { USUAL_RATE }
}

/// How the rinse comes.
#[derive(Clone, Copy)]
enum Way {
    /// By emitters, mL/s per plant.
    Above(f64),
    /// By a flood, cm deep.
    Flood(f64),
}

/// Gives event after event until the EC is reached. In its second place the water content of each layer when the root zone
/// held most.
fn rinsed(mut simulation: Simulation, way: Way, rinse: Rinse, plants: u32) -> (Rinsed, Vec<f64>, Option<RunError>) {
    let column = Arc::clone(simulation.column());
    let (began, before) = (simulation.time_s(), *simulation.ledger());
    let ec = |s: &Simulation| column.root_zone_ec(&s.state().theta, &s.state().ec);
    let (mut most_water, mut wettest) = (before.water_stored, simulation.state().theta.clone());
    let mut reached = ec(&simulation) <= rinse.to;
    let (mut events, mut error) = (0, None);
    let ml = EVENT_SHARE * before.water_stored.max(0.5 * column.volume);
    while !reached && error.is_none() && simulation.time_s() < began + LONGEST_H * HOUR_S {
        let (seconds, give, pause) = match way {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            Way::Above(rate) => {
                // Never faster than the emitter gives.
                let seconds = (ml / rate).clamp(60.0, 6.0 * HOUR_S).round();
                (seconds as u32, Give::Drip { ml: rate * seconds }, PAUSE_S)
            }
            Way::Flood(depth_cm) => (FLOOD_S, Give::Flood { depth_cm }, FLOOD_PAUSE_S),
        };
        let midnight = (simulation.time_s() / DAY_S).floor() * DAY_S;
        let within = simulation.time_s() - midnight;
        if within + f64::from(seconds) > DAY_S - 1.0 {
            // No event lasts over midnight.
            error = simulation.advance_to(midnight + DAY_S, |_| {}).err();
            continue;
        }
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let start = Clock::from_seconds(within.ceil() as u32);
        let event = Event { start, seconds, give, ec: Some(rinse.with), days: OnDays::ALL };
        let call = Call { event, wanted: event, ec: rinse.with, by: By::Clock(0), waited: false, cut: false };
        simulation.follow(Arc::new(EventClock::only(&call, 1.0)));
        events += 1;
        let over = midnight + event.end_s();
        let mut watch = |s: &Simulation| {
            if s.ledger().water_stored > most_water {
                most_water = s.ledger().water_stored;
                wettest.clone_from(&s.state().theta);
            }
            reached = ec(s) <= rinse.to;
            !reached
        };
        error = simulation.advance_while(over, &mut watch).err();
        simulation.follow(Arc::new(EventClock::silent()));
        if !reached && error.is_none() {
            let mut watch = |s: &Simulation| {
                reached = ec(s) <= rinse.to;
                !reached
            };
            error = simulation.advance_while(over + pause, &mut watch).err();
        }
    }
    let passed = simulation.ledger().since(&before);
    let litres = passed.water.applied / 1000.0;
    let State { ec: left, .. } = simulation.state();
    let done = Rinsed {
        litres_per_plant: litres,
        litres_for_all: litres * f64::from(plants),
        drained_per_plant: passed.water.drained() / 1000.0,
        events,
        hours: (simulation.time_s() - began) / HOUR_S,
        final_ec: ec(&simulation),
        reached,
        remains: column.layers.iter().zip(left).map(|(l, ec)| (l.z, *ec)).collect(),
    };
    (done, wettest, error)
}
