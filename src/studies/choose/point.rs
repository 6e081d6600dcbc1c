//! One root zone under the schedule found for it.

use serde::Serialize;

use super::asked::{Asked, Zone};
use crate::edits::fit::fit;
use crate::engine::run::{LaneRun, Workshop};
use crate::figures::day::dries_points;
use crate::scenario::presets::Library;
use crate::scenario::{Container, Event, Give, Part, Roots, Scenario, Shape, Start, StartSalt, StartWater, Valve, Walls};
use crate::studies::StudyError;
use crate::studies::finder::{self, AimTold, Budget, Waiting};
use crate::studies::grace::{Fault, grace_of};

/// A root zone, and what it asks for.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Point {
    /// Its medium.
    pub medium: String,
    /// Litres per plant.
    pub litres: f64,
    /// Its height, cm.
    pub height_cm: f64,
    /// Whether its schedule meets every aim, on a day that repeats itself.
    pub met: bool,
    /// What it comes to under the schedule that comes nearest; nulls where there is none.
    #[serde(flatten)]
    pub had: Had,
    /// Aims that no schedule found meets.
    pub missed: Vec<AimTold>,
    /// Why there is no schedule, where there is none.
    pub why_not: Option<String>,
    /// The bench with this root zone in the lane's place, under its schedule.
    #[serde(skip)]
    pub bench: Option<Scenario>,
}

/// A root zone's settled day.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Had {
    /// Events a day.
    pub events_a_day: Option<usize>,
    /// EC of the feed that it is given, mS/cm.
    pub feed_ec: Option<f64>,
    /// Hours from a stopped pump until uptake falls to 90 %, from the worst full hour; `None` also where that is not within 72 h.
    pub grace_h: Option<f64>,
    /// That hour.
    pub worst_hour: Option<u32>,
    /// Night dry-back, points of volume.
    pub dry_back_points: Option<f64>,
    /// What the longest night that growers keep could dry it by, points.
    pub dry_back_reach_points: Option<f64>,
    /// Given, L per plant and day.
    pub given_l: Option<f64>,
    /// Drained, L per plant and day: feed that is wasted where it is not caught.
    pub drained_l: Option<f64>,
    /// Root-zone EC, mean of the day, mS/cm.
    pub ec: Option<f64>,
    /// Highest less lowest root-zone EC of the day, mS/cm.
    pub ec_swing: Option<f64>,
    /// Uptake met, 0–1.
    pub uptake_met: Option<f64>,
    /// Weight of the filled container per plant at the day's fullest, kg: medium and water.
    pub weight_kg: Option<f64>,
}

/// What all points have in common.
pub(super) struct Bench<'a> {
    /// One lane, whose container is exchanged.
    scenario: Scenario,
    library: &'a Library,
    /// What the finder is asked, of the only valve.
    schedule: finder::Asked,
}

impl<'a> Bench<'a> {
    /// Of a bench; the lane asked for is there.
    pub fn of(scenario: &Scenario, library: &'a Library, asked: &Asked) -> Self {
        let mut scenario = scenario.clone();
        let mut valve = scenario.valves.get(scenario.valve_of(asked.lane)).cloned().unwrap_or_else(|| Valve::only(Vec::new()));
        valve.rules.clear();
        valve.changes.clear();
        scenario.valves = vec![valve];
        scenario.lanes = scenario.lanes.into_iter().skip(asked.lane).take(1).collect();
        (scenario.tank, scenario.pump) = (None, None);
        let fed = scenario.feed_ec(0);
        for lane in &mut scenario.lanes {
            (lane.probe, lane.valve) = (None, 0);
            // Near where a good schedule ends, so that days settle soon.
            let ec = lane.targets.root_zone_ec.map_or(fed, |(low, high)| 0.5 * (low + high));
            lane.start = Start { water: StartWater::AtCapacity, salt: StartSalt::Ec(ec), run_in_days: None };
            // Roots that are entered by height are those of another container.
            if matches!(lane.roots, Roots::ByHeight(_) | Roots::PerLayer(_)) {
                lane.roots = Roots::Uniform;
            }
            lane.targets.water_content = None;
        }
        Self { scenario, library, schedule: finder::Asked { valve: 0, ..asked.schedule } }
    }

    /// The bench with a root zone in the lane's place.
    fn with(&self, zone: &Zone) -> Scenario {
        let mut scenario = self.scenario.clone();
        let part = Part {
            name: "pot".to_owned(),
            height_cm: zone.height_cm,
            shape: Shape::Round { diameter_cm: zone.diameter_cm() },
            shared_by: 1,
            medium: zone.filling(),
            walls: Walls::Wrapped,
            top_exposed: Some(1.0),
            wall_exposed: None,
        };
        let name = format!("{}, {} L, {} cm high", zone.medium, zone.litres, zone.height_cm);
        for lane in &mut scenario.lanes {
            lane.name.clone_from(&name);
            lane.container = Container { name: name.clone(), source: String::new(), parts: vec![part.clone()], outlet_height_cm: 0.0 };
        }
        // A flood is no higher than the pot.
        for event in scenario.valves.iter_mut().flat_map(|v| &mut v.schedule) {
            if let Give::Flood { depth_cm } = &mut event.give {
                *depth_cm = depth_cm.min(0.9 * zone.height_cm);
            }
        }
        scenario
    }

    /// A root zone under the schedule found for it; `None` when `go_on` said no before there was one.
    pub fn point(&self, zone: &Zone, budget: &Budget, go_on: &(dyn Fn() -> bool + Sync)) -> Option<Point> {
        let mut point = Point {
            medium: zone.medium.clone(),
            litres: zone.litres,
            height_cm: zone.height_cm,
            met: false,
            had: Had::default(),
            missed: Vec::new(),
            why_not: None,
            bench: None,
        };
        let waiting = Waiting { go_on, ..Waiting::NOBODY };
        let found = match finder::find(&self.with(zone), self.library, &self.schedule, budget, waiting) {
            Ok(found) => found?,
            Err(why) => {
                point.why_not = Some(told(&why));
                return Some(point);
            }
        };
        point.met = found.meets_all();
        point.missed = found.aims.iter().filter(|a| !a.met).cloned().collect();
        let days = Workshop::default().ready(&found.scenario, self.library).ok()?.settled_days(go_on)?;
        let (_, run) = days.first()?;
        point.had = self.had(&found.scenario, run, go_on)?;
        point.had.events_a_day = Some(found.events.iter().filter(|e: &&Event| e.seconds > 0).count());
        point.bench = Some(found.scenario);
        Some(point)
    }

    /// What a settled day comes to.
    fn had(&self, scenario: &Scenario, run: &LaneRun, go_on: &(dyn Fn() -> bool + Sync)) -> Option<Had> {
        let lane = scenario.lanes.first()?;
        let figures = crate::figures::day_figures(run, lane, 0)?;
        let day = run.series.span(0.0, crate::scenario::DAY_S);
        let ends = day.iter().fold((f64::INFINITY, 0.0_f64), |(low, high), s| (low.min(s.root_zone_ec), high.max(s.root_zone_ec)));
        let column = &run.column;
        let dry = |layer: &crate::engine::column::layers::Layer| column.parts[layer.part].medium.bulk_density_kg_m3 * layer.volume * 1e-6;
        let dry_kg: f64 = column.layers.iter().map(dry).sum();
        let worst = self.worst(scenario, run, go_on)?;
        Some(Had {
            events_a_day: None,
            feed_ec: Some(scenario.feed_ec(0)),
            grace_h: worst.map(|w| w.1),
            worst_hour: worst.map(|w| w.0),
            dry_back_points: figures.dry_back.map(|d| d.points),
            dry_back_reach_points: Some(dries_points(run, &figures, &scenario.lit(run.first_day))),
            given_l: Some(figures.applied_ml / 1000.0),
            drained_l: Some(figures.drained_ml / 1000.0),
            ec: Some(figures.root_zone_ec),
            ec_swing: Some(ends.1 - ends.0),
            uptake_met: Some(figures.uptake_met),
            weight_kg: Some(dry_kg + figures.peak * column.volume / 1000.0),
        })
    }

    /// The hour of a settled day at which a stopped pump is felt soonest, and after how many hours; the outer `None` when `go_on` said no.
    fn worst(&self, scenario: &Scenario, run: &LaneRun, go_on: &(dyn Fn() -> bool + Sync)) -> Option<Option<(u32, f64)>> {
        let mut settled = scenario.clone();
        // A day more, after which the layers have gone through wetting and drying as they do.
        settled.days = 2;
        let n = run.series.profiles.layers;
        let first = |values: &[f32]| values.iter().take(n).map(|v| f64::from(*v)).collect::<Vec<f64>>();
        for lane in &mut settled.lanes {
            lane.start.water = StartWater::Layers(first(&run.series.profiles.theta));
            lane.start.salt = StartSalt::Layers(first(&run.series.profiles.ec));
        }
        // Rounded values stay what the media can hold.
        fit(&mut settled, self.library);
        let lanes = grace_of(&settled, self.library, &[Fault::PumpStops], go_on).ok()??;
        Some(lanes.first().and_then(|l| l.worst(Fault::PumpStops)).and_then(|g| Some((g.hour, g.hours_to_90?))))
    }
}

/// Why there is no schedule, in words.
fn told(why: &StudyError) -> String {
    why.to_string()
}
