//! The workshop: makes the lanes of a scenario ready to run, and keeps what is dear to make of those that did not change.

use std::sync::Arc;

use super::dawn::RunIn;
use super::feedback::{self, Until};
use super::lane::Ready;
use super::run_in::{Days, GoOn, RunIns};
use crate::engine::column::layers::{BuildError, Column};
use crate::engine::column::made_from::MadeFrom;
use crate::engine::column::start;
use crate::engine::demand;
use crate::engine::demand::load::Load;
use crate::engine::supply::clock::EventClock;
use crate::engine::supply::timetable::Timetable;
use crate::scenario::presets::Library;
use crate::scenario::{Canopy, Climate, Demand, Lane, Light, Scenario};

/// Makes lanes ready, keeping the columns and loads of lanes that did not change. A column takes 0.5 to 0.6 ms, where a day's run takes 1.7 to
/// 3 ms, and the load of a week of minutes 0.12 ms; with all of them kept, a bench of two lanes is ready in 0.05 ms (`cargo bench --bench
/// day`, the first demo, two shared cores under load).
///
/// A column is kept as long as everything that it is made from stays, as the library has it now: a medium or crop that is changed under
/// its old name makes a new column, and a change of demand, plants, targets, dose or start makes none.
#[derive(Clone, Default)]
pub struct Workshop {
    columns: Vec<(MadeFrom, Arc<Column>)>,
    loads: Vec<(Asked, Arc<dyn Load>)>,
}

/// What a lane's load hangs on.
#[derive(Clone, PartialEq)]
struct Asked {
    demand: Demand,
    canopy: Option<Canopy>,
    light: Light,
    evaporation_mm_per_day: f64,
    climate: Option<Climate>,
}

impl Workshop {
    /// Makes a scenario ready.
    ///
    /// # Errors
    /// [`BuildError`] for the first lane that cannot be built. A scenario that passed validation always can.
    pub fn ready(&mut self, scenario: &Scenario, library: &Library) -> Result<ReadyBench, BuildError> {
        let (mut columns, mut loads) = (Vec::new(), Vec::new());
        let mut lanes = Vec::with_capacity(scenario.lanes.len());
        for lane in &scenario.lanes {
            let feed_ec = scenario.feed_ec(lane.valve);
            let column = self.column(lane, scenario, library, &mut columns)?;
            let load = self.load(lane, &column, scenario, &mut loads);
            lanes.push(Ready {
                name: lane.name.clone(),
                timetable: Arc::default(),
                clock: Arc::new(EventClock::silent()),
                load,
                feed_ec,
                start: start::state(&column, &lane.start, feed_ec),
                run_in: None,
                round: scenario.round_days(),
                fed_back: feedback::needed(scenario),
                column,
            });
        }
        let before = scenario.run_in().map(|bench| self.run_in(scenario, bench, &lanes, &mut loads));
        (self.columns, self.loads) = (columns, loads);
        let begun = before.map_or_else(|| Begun::with(RunIns::default()), |days| Begun::NotYet(Box::new(days)));
        Ok(ReadyBench { scenario: scenario.clone(), lanes, begun })
    }

    /// The days that a scenario's lanes are run in by, with the same columns.
    fn run_in(&self, scenario: &Scenario, bench: Scenario, lanes: &[Ready], loads: &mut Vec<(Asked, Arc<dyn Load>)>) -> Days {
        let of = |(ready, lane): (&Ready, &Lane)| Ready {
            load: self.load(lane, &ready.column, &bench, loads),
            round: bench.round_days(),
            fed_back: feedback::needed(&bench),
            ..ready.clone()
        };
        let lanes = lanes.iter().zip(&bench.lanes).map(of).collect();
        let count = scenario.lanes.iter().map(|lane| lane.start.run_in_days.unwrap_or(0)).collect();
        Days { scenario: bench, lanes, count }
    }

    /// Has every lane that asks for as much as one of the last scenario break off: the program itself is not to have one that does.
    #[cfg(test)]
    pub(crate) fn spoil(&mut self) {
        use crate::engine::demand::load::Potential;
        struct Gone;
        impl Load for Gone {
            fn transpiration_ml(&self, _: f64, _: f64) -> f64 {
                panic!("the demand is gone")
            }
            fn evaporation_cm(&self, _: f64, _: f64) -> Potential {
                panic!("the demand is gone")
            }
            fn next_bend(&self, _: f64) -> Option<f64> {
                None
            }
        }
        self.loads.iter_mut().for_each(|(_, load)| *load = Arc::new(Gone));
    }

    /// A lane's column: one of this scenario or of the last that was made from the same, or a new one.
    fn column(
        &self,
        lane: &Lane,
        scenario: &Scenario,
        library: &Library,
        kept: &mut Vec<(MadeFrom, Arc<Column>)>,
    ) -> Result<Arc<Column>, BuildError> {
        let solver = &scenario.solver;
        if let Some((_, column)) = kept.iter().find(|(from, _)| from.is(lane, solver, library)) {
            return Ok(Arc::clone(column));
        }
        let made = match self.columns.iter().find(|(from, _)| from.is(lane, solver, library)) {
            Some(known) => known.clone(),
            None => {
                let column = Arc::new(Column::build(lane, solver, library)?);
                let unresolved = |cause| BuildError::Unresolved { lane: lane.name.clone(), cause };
                (MadeFrom::of(lane, solver, library).map_err(unresolved)?, column)
            }
        };
        let column = Arc::clone(&made.1);
        kept.push(made);
        Ok(column)
    }

    /// A lane's load, found or made likewise.
    fn load(&self, lane: &Lane, column: &Column, scenario: &Scenario, kept: &mut Vec<(Asked, Arc<dyn Load>)>) -> Arc<dyn Load> {
        let asked = Asked {
            demand: lane.demand.clone(),
            canopy: column.crop.canopy,
            light: scenario.light,
            evaporation_mm_per_day: scenario.evaporation_mm_per_day,
            climate: scenario.climate.clone(),
        };
        if let Some((_, load)) = kept.iter().find(|(a, _)| *a == asked) {
            return Arc::clone(load);
        }
        let known = self.loads.iter().find(|(a, _)| *a == asked).map(|(_, load)| Arc::clone(load));
        let load = known.unwrap_or_else(|| demand::of(&lane.demand, &column.crop, scenario));
        kept.push((asked, Arc::clone(&load)));
        load
    }
}

/// A scenario whose lanes are ready, but for the timetable: what the pump does may hang on how long they run.
#[derive(Clone)]
pub struct ReadyBench {
    scenario: Scenario,
    lanes: Vec<Ready>,
    begun: Begun,
}

/// Whether the lanes stand where they begin.
#[derive(Clone)]
enum Begun {
    /// Some of them are to be run in.
    NotYet(Box<Days>),
    /// They do. In it what was run for it; `None` where that was run for another bench.
    Here(Option<RunIns>),
}

impl Begun {
    fn with(run_ins: RunIns) -> Self {
        Self::Here(Some(run_ins))
    }
}

impl ReadyBench {
    /// The columns of the lanes.
    pub fn columns(&self) -> impl Iterator<Item = &Arc<Column>> {
        self.lanes.iter().map(|l| &l.column)
    }

    /// Whether lanes are to be run in before they stand where they begin.
    #[must_use]
    pub fn is_to_run_in(&self) -> bool {
        matches!(self.begun, Begun::NotYet(_))
    }

    /// What was run for its lanes to begin with; `None` where that was run for another bench.
    pub(super) fn run_ins(&self) -> Option<&RunIns> {
        if let Begun::Here(found) = &self.begun { found.as_ref() } else { None }
    }

    /// The same with its lanes run in, side by side, except for what is known already. `go_on` is asked before each day of each lane; `None` when
    /// it said no.
    #[must_use]
    pub fn run_in_beside(&self, known: &RunIns, go_on: &(dyn Fn() -> bool + Sync)) -> Option<Self> {
        self.run_in_by(known, GoOn::Beside(go_on))
    }

    /// The same by one thread.
    pub(super) fn run_in(&self, known: &RunIns, go_on: &dyn Fn() -> bool) -> Option<Self> {
        self.run_in_by(known, GoOn::Here(go_on))
    }

    fn run_in_by(&self, known: &RunIns, go_on: GoOn<'_>) -> Option<Self> {
        let Begun::NotYet(days) = &self.begun else { return Some(self.clone()) };
        let (run_ins, of_lanes) = known.run(days, go_on)?;
        Some(self.beginning(of_lanes, Some(run_ins)))
    }

    /// The same with its lanes run in, where all that takes is known already.
    #[must_use]
    pub fn run_in_as_known(&self, known: &RunIns) -> Option<Self> {
        let Begun::NotYet(days) = &self.begun else { return Some(self.clone()) };
        let (run_ins, of_lanes) = known.all_known(days)?;
        Some(self.beginning(of_lanes, Some(run_ins)))
    }

    /// The same with its lanes beginning as those of another bench do, lane by lane: what they would be run in by is left out of account.
    /// `None` where a lane stands in another column there, or begins at rest.
    #[must_use]
    pub fn beginning_as<'a>(&self, others: impl Iterator<Item = &'a Ready>) -> Option<Self> {
        let Begun::NotYet(days) = &self.begun else { return Some(self.clone()) };
        let mut others = others.map(Some).chain(std::iter::repeat(None));
        let lent = |(lane, count): (&Ready, &u32)| {
            let other = others.next().flatten();
            if *count == 0 {
                return Some(None);
            }
            let other = other.filter(|other| Arc::ptr_eq(&other.column, &lane.column))?;
            other.run_in.clone().map(Some)
        };
        let of_lanes: Option<Vec<_>> = self.lanes.iter().zip(&days.count).map(lent).collect();
        Some(self.beginning(of_lanes?, None))
    }

    fn beginning(&self, of_lanes: Vec<Option<Arc<RunIn>>>, run_ins: Option<RunIns>) -> Self {
        let lanes = self.lanes.iter().zip(of_lanes).map(|(lane, run_in)| Ready { run_in, ..lane.clone() }).collect();
        Self { scenario: self.scenario.clone(), lanes, begun: Begun::Here(run_ins) }
    }

    /// The lanes where they begin, to which nothing is given; where they are still [to be run in](Self::is_to_run_in), at rest.
    #[must_use]
    pub fn untimed(&self) -> &[Ready] {
        &self.lanes
    }

    /// The scenario that it was made ready from.
    #[must_use]
    pub fn scenario(&self) -> &Scenario {
        &self.scenario
    }

    /// Days of the scenario.
    #[must_use]
    pub fn days(&self) -> u32 {
        self.scenario.days
    }

    /// The lanes, run in, with the timetable of some days. `go_on` is asked now and then; `None` when it said no.
    #[must_use]
    pub fn timed(&self, until: Until, go_on: &dyn Fn() -> bool) -> Option<Vec<Ready>> {
        if self.is_to_run_in() {
            return self.run_in(&RunIns::default(), go_on)?.timed(until, go_on);
        }
        let timetables = if feedback::needed(&self.scenario) {
            feedback::timetable(&self.scenario, &self.lanes, until, go_on)?
        } else {
            Timetable::foreseen(&self.scenario)
        };
        Some(self.timed_by(&timetables))
    }

    /// The lanes with the timetables of their valves.
    #[must_use]
    pub fn timed_by(&self, timetables: &[Arc<Timetable>]) -> Vec<Ready> {
        let timed = |(ready, lane): (&Ready, &Lane)| {
            let timetable = timetables.get(lane.valve).cloned().unwrap_or_default();
            Ready { clock: Arc::new(EventClock::new(&timetable, lane.dose)), timetable, ..ready.clone() }
        };
        self.lanes.iter().zip(&self.scenario.lanes).map(timed).collect()
    }

    /// The lanes with the timetable of the scenario's own days.
    #[must_use]
    pub fn for_its_days(&self) -> Vec<Ready> {
        self.timed(Until { days: self.scenario.days, settled: false }, &|| true).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::presets::demos;
    use crate::scenario::{Component, CropChoice, MediumChoice, StartSalt, Targets};

    fn demo() -> Scenario {
        demos().remove(0).1
    }

    fn columns(workshop: &mut Workshop, scenario: &Scenario, library: &Library) -> Vec<Arc<Column>> {
        workshop.ready(scenario, library).unwrap().columns().cloned().collect()
    }

    /// Whether a lane's column was taken over.
    fn kept(a: &[Arc<Column>], b: &[Arc<Column>], lane: usize) -> bool {
        Arc::ptr_eq(&a[lane], &b[lane])
    }

    /// The presets with one medium changed under its name.
    fn with_medium(name: &str, change: impl Fn(&mut crate::scenario::Medium)) -> Library {
        let mut library = Library::shipped();
        change(library.media.iter_mut().find(|m| m.name == name).unwrap());
        library
    }

    /// The names of the first lane's medium at the base and of its crop.
    fn named(scenario: &Scenario) -> (String, String) {
        let lane = &scenario.lanes[0];
        let (MediumChoice::Preset(medium), CropChoice::Preset(crop)) = (&lane.container.parts[0].medium, &lane.crop) else {
            panic!("the demo names presets: {lane:?}")
        };
        (medium.clone(), crop.clone())
    }

    #[test]
    fn what_no_column_is_made_from_costs_no_column() {
        let (library, mut workshop, mut scenario) = (Library::shipped(), Workshop::default(), demo());
        let before = columns(&mut workshop, &scenario, &library);
        scenario.days += 1;
        scenario.feed.ec += 0.5;
        scenario.valves[0].schedule.truncate(3);
        for lane in &mut scenario.lanes {
            lane.name.push('!');
            lane.plants += 7;
            lane.dose *= 1.5;
            lane.demand = Demand::Measured { litres_per_day: 0.7, steady_share: 0.2 };
            lane.targets = Targets { root_zone_ec: Some((2.0, 3.0)), ..Targets::default() };
            lane.start.salt = StartSalt::Ec(4.0);
        }
        let ready = workshop.ready(&scenario, &library).unwrap();
        let after: Vec<Arc<Column>> = ready.columns().cloned().collect();
        assert!(kept(&before, &after, 0) && kept(&before, &after, 1));
        // What was changed is in force all the same.
        for (lane, ready) in scenario.lanes.iter().zip(ready.for_its_days()) {
            assert_eq!((&ready.name, ready.feed_ec), (&lane.name, scenario.feed.ec));
            assert!((ready.load.transpiration_ml(0.0, 86_400.0) - 700.0).abs() < 1e-9);
            assert!(ready.start.ec.iter().all(|ec| *ec == 4.0));
        }
    }

    #[test]
    fn lanes_that_change_places_keep_their_columns_and_twins_share_one() {
        let (library, mut workshop, mut scenario) = (Library::shipped(), Workshop::default(), demo());
        let before = columns(&mut workshop, &scenario, &library);
        scenario.lanes.reverse();
        scenario.lanes.push(Lane { name: "twin".to_owned(), ..scenario.lanes[0].clone() });
        let after = columns(&mut workshop, &scenario, &library);
        assert!(Arc::ptr_eq(&before[0], &after[1]) && Arc::ptr_eq(&before[1], &after[0]) && Arc::ptr_eq(&after[0], &after[2]));
    }

    #[test]
    fn a_medium_changed_under_its_name_is_seen_where_it_is_used() {
        let (shipped, mut workshop, scenario) = (Library::shipped(), Workshop::default(), demo());
        let (name, _) = named(&scenario);
        let before = columns(&mut workshop, &scenario, &shipped);
        assert!(kept(&before, &columns(&mut workshop, &scenario, &Library::shipped()), 0), "a library read again changes nothing");
        let changed = with_medium(&name, |m| m.channelling += 0.01);
        let after = columns(&mut workshop, &scenario, &changed);
        assert!(!kept(&before, &after, 0) && after[0].parts[0].medium == *changed.medium(&name).unwrap());
        // The other lane has none of it.
        assert!(kept(&before, &after, 1));
    }

    #[test]
    fn a_crop_changed_under_its_name_is_seen() {
        let (shipped, mut workshop, mut scenario) = (Library::shipped(), Workshop::default(), demo());
        scenario.lanes.truncate(1);
        let (_, name) = named(&scenario);
        let before = columns(&mut workshop, &scenario, &shipped);
        let mut changed = Library::shipped();
        let crop = changed.crops.iter_mut().find(|c| c.name == name).unwrap();
        crop.uptake_ec += 0.1;
        crop.stress.air_floor *= 0.5;
        let crop = crop.clone();
        let after = columns(&mut workshop, &scenario, &changed);
        assert!(!kept(&before, &after, 0) && after[0].crop == crop && before[0].crop != crop);
    }

    #[test]
    fn a_component_of_a_mix_changed_under_its_name_is_seen() {
        let (shipped, mut workshop, mut scenario) = (Library::shipped(), Workshop::default(), demo());
        scenario.lanes.truncate(1);
        let (name, _) = named(&scenario);
        let component = |medium: &str, percent| Component { medium: medium.to_owned(), percent };
        let mix = |p| MediumChoice::Mix(vec![component(&name, p), component("coir pith", 100.0 - p)]);
        scenario.lanes[0].container.parts[0].medium = mix(60.0);
        let before = columns(&mut workshop, &scenario, &shipped);
        assert!(kept(&before, &columns(&mut workshop, &scenario, &shipped), 0));
        let changed = with_medium("coir pith", |m| m.dispersivity_cm *= 2.0);
        let after = columns(&mut workshop, &scenario, &changed);
        assert!(after[0].parts[0].medium.dispersivity_cm > before[0].parts[0].medium.dispersivity_cm);
        scenario.lanes[0].container.parts[0].medium = mix(50.0);
        assert!(!kept(&after, &columns(&mut workshop, &scenario, &changed), 0), "other shares of the same media");
    }

    #[test]
    fn a_mix_of_one_medium_alone_is_not_taken_for_that_medium() {
        let (library, mut workshop, mut scenario) = (Library::shipped(), Workshop::default(), demo());
        scenario.lanes.truncate(1);
        let (name, _) = named(&scenario);
        let before = columns(&mut workshop, &scenario, &library);
        scenario.lanes[0].container.parts[0].medium = MediumChoice::Mix(vec![Component { medium: name.clone(), percent: 100.0 }]);
        let after = columns(&mut workshop, &scenario, &library);
        // A mix is fitted anew and called by its shares.
        assert!(before[0].parts[0].medium.name == name && after[0].parts[0].medium.name == format!("{name} 100 %"));
    }

    #[test]
    fn every_part_of_what_a_column_is_made_from_makes_another() {
        let (library, scenario) = (Library::shipped(), demo());
        type Change = fn(&mut Scenario);
        let changes: [(&str, Change); 8] = [
            ("layers", |s| s.solver.layer_cm *= 0.8),
            ("tolerance", |s| s.solver.tolerance *= 0.5),
            ("outlet", |s| s.lanes[0].container.outlet_height_cm += 1.0),
            ("height", |s| s.lanes[0].container.parts[0].height_cm += 1.0),
            ("roots", |s| s.lanes[0].roots = crate::scenario::Roots::Tapering { halves_every_cm: 3.0 }),
            ("probe", |s| s.lanes[0].probe = Some(crate::scenario::Probe { height_cm: 4.0, length_cm: 3.0 })),
            ("exchange", |s| s.lanes[0].exchange = !s.lanes[0].exchange),
            ("edges", |s| s.lanes[0].boundaries.base = crate::scenario::Base::Closed),
        ];
        for (what, change) in changes {
            let mut workshop = Workshop::default();
            let before = columns(&mut workshop, &scenario, &library);
            let mut changed = scenario.clone();
            change(&mut changed);
            assert!(!kept(&before, &columns(&mut workshop, &changed, &library), 0), "{what}");
        }
    }

    #[test]
    fn the_load_of_a_canopy_changed_under_its_crops_name_is_made_anew() {
        let (shipped, mut workshop, mut scenario) = (Library::shipped(), Workshop::default(), demo());
        scenario.lanes.truncate(1);
        let climate = shipped.climates[0].clone();
        (scenario.light, scenario.climate) = (climate.light, Some(Climate::Typical(climate.climate)));
        scenario.lanes[0].demand = Demand::Climate { leaf_area_index: None, plants_per_m2: None, scale: 1.0 };
        let load = |w: &mut Workshop, s: &Scenario, l: &Library| Arc::clone(&w.ready(s, l).unwrap().for_its_days()[0].load);
        let before = load(&mut workshop, &scenario, &shipped);
        scenario.lanes[0].plants += 1;
        assert!(Arc::ptr_eq(&before, &load(&mut workshop, &scenario, &shipped)));
        let mut changed = Library::shipped();
        let (_, name) = named(&scenario);
        let crop = changed.crops.iter_mut().find(|c| c.name == name).unwrap();
        crop.canopy.as_mut().unwrap().light_share *= 0.5;
        let after = load(&mut workshop, &scenario, &changed);
        assert!(after.transpiration_ml(0.0, 86_400.0) < 0.9 * before.transpiration_ml(0.0, 86_400.0));
    }
}
