//! What a search is set up with: the lanes of its valve, where it begins, and how one plan is run.

use std::sync::Arc;

use super::answers::Tried;
use super::asked::Asked;
use super::budget::Budget;
use super::flood;
use super::judged::Judged;
use super::laid::Way;
use super::plan::{Floods, Plan};
use crate::engine::column::Column;
use crate::engine::column::capacity::container_capacity;
use crate::engine::run::{LaneRun, Settled, Workshop, run};
use crate::scenario::presets::Library;
use crate::scenario::{Event, Lane, Scenario, StartSalt, StartWater, Targets};
use crate::studies::{StudyError, daily_use};

/// Days of a coarse look: water settles within them.
pub(super) const DAYS: u32 = 4;
/// EC that a guess of the root zone's salt is held within, mS/cm.
const GUESS: (f64, f64) = (0.2, 20.0);
/// Share that is to drain where no aim says (judgement).
const USUAL_DRAIN: f64 = 0.2;
/// Fewest and most events that a search begins with (judgement).
const COUNTS: (f64, f64) = (3.0, 40.0);
/// Times what a search would begin with that surely keeps walls wet (judgement).
const PLENTY: f64 = 2.0;
/// A lane that gets so little of what is given does not say how much is (judgement).
const LEAST_DOSE: f64 = 0.1;
/// What a plant must get at least of what it uses for a search to be worth while.
const ENOUGH: f64 = 0.98;

/// What is searched.
pub(super) struct Setup<'a> {
    /// The lanes of the valve alone, with the aims that are searched for.
    pub scenario: Scenario,
    /// What is proposed stands on this one: the whole bench, with the lanes' own aims.
    pub proposed_on: Scenario,
    /// Lanes that were given aims.
    pub starting_aims: Vec<String>,
    library: &'a Library,
    pub asked: &'a Asked,
    pub way: Way,
    /// What the lanes use in a day, mL per plant.
    uses: Vec<f64>,
    /// What goes up from wet walls and tops in a day, mL per plant, as far as it is known.
    evaporates: Vec<f64>,
    /// EC that their plants take up.
    uptake_ec: Vec<f64>,
    /// What the thirstiest of them uses in a day, mL per plant at a dose of 1.
    most_used: f64,
    /// Where the search begins.
    pub begins: Plan,
}

impl<'a> Setup<'a> {
    /// Set up for a bench.
    pub fn new(bench: &Scenario, library: &'a Library, asked: &'a Asked) -> Result<Self, StudyError> {
        let mut proposed_on = bench.clone();
        let columns: Vec<_> = Workshop::default().ready(bench, library)?.columns().cloned().collect();
        let mut starting_aims = Vec::new();
        for (lane, column) in proposed_on.lanes.iter_mut().zip(&columns).filter(|(lane, _)| lane.valve == asked.valve) {
            if lane.targets == Targets::default()
                && let Some(targets) = asked.lean.starting(column, library)
            {
                lane.targets = targets;
                starting_aims.push(lane.name.clone());
            }
        }
        let (mut scenario, columns) = on_valve(&proposed_on, asked.valve, columns);
        for lane in &mut scenario.lanes {
            // Starting aims have the lean in them.
            if !starting_aims.contains(&lane.name) {
                lane.targets = asked.lean.of(&lane.targets);
            }
        }
        let lanes = || scenario.lanes.iter().zip(&columns);
        let uses: Vec<f64> = lanes().map(|(l, c)| 1000.0 * daily_use::litres(l, &c.crop, &scenario)).collect();
        if uses.iter().all(|u| *u <= 0.0) {
            return Err(StudyError::NothingUsed);
        }
        let (first, last) = (asked.first.seconds(), asked.last.seconds());
        let length = last - first;
        let (first_s, last_s) = (first + 0.1 * length, first + 0.8 * length);
        let per_dose = |(ml, lane): (f64, &Lane)| ml / lane.dose;
        // Events of a twenty-fifth of the least root zone (judgement; only where the search begins hangs on it).
        let amount = wanted(&scenario, &uses);
        let holds = lanes().map(|(lane, c)| per_dose((container_capacity(c) * c.volume, lane)));
        let least = holds.fold(f64::INFINITY, f64::min);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let count = (amount / (0.04 * least)).ceil().clamp(COUNTS.0, COUNTS.1) as usize;
        let drips = Plan { amount, count, first_s, last_s, feed_ec: scenario.feed_ec(0), floods: Floods::default() };
        let (way, begins) = match flood::begins(given_on(&scenario), drips) {
            Some(floods) => (Way::Flood, floods),
            None => (Way::Drip, drips),
        };
        if way == Way::Drip {
            enough(&scenario, asked, &uses)?;
        }
        let evaporates = vec![0.0; uses.len()];
        Ok(Self {
            evaporates,
            uptake_ec: columns.iter().map(|c| c.crop.uptake_ec).collect(),
            most_used: uses.iter().zip(&scenario.lanes).map(|(ml, lane)| ml / lane.dose.max(LEAST_DOSE)).fold(0.0, f64::max),
            scenario,
            proposed_on,
            starting_aims,
            library,
            asked,
            way,
            uses,
            begins,
        }
        .with_evaporation())
    }

    /// The same begun with what wet walls and tops give to the air, too: of a large bag of fabric that is more than a small plant uses.
    fn with_evaporation(mut self) -> Self {
        if self.way == Way::Flood {
            return self;
        }
        // Wet as a plan with plenty keeps it, then as the plan that follows from that does.
        let mut plan = Plan { amount: PLENTY * self.begins.amount, ..self.begins };
        for _ in 0..2 {
            let Some(tried) = self.coarse(&plan) else { break };
            for (known, judged) in self.evaporates.iter_mut().zip(&tried.lanes) {
                *known = judged.as_ref().map_or(*known, |j| known.max(j.last_day().evaporated_ml));
            }
            let goes: Vec<f64> = self.uses.iter().zip(&self.evaporates).map(|(uses, evaporates)| uses + evaporates).collect();
            let amount = wanted(&self.scenario, &goes);
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)]
            let count = (self.begins.count as f64 * amount / self.begins.amount).round().min(COUNTS.1) as usize;
            plan = Plan { amount, count: count.max(self.begins.count), ..self.begins };
        }
        self.begins = plan;
        self
    }

    /// Whether plans are looked at on their settled days alone: of floods, and where a tank gives its EC to the lanes.
    pub fn looks_settled(&self) -> bool {
        self.way == Way::Flood || self.scenario.tank.is_some()
    }

    /// Plans to begin with.
    pub fn grid(&self, budget: &Budget) -> Vec<Plan> {
        let mut plans = match self.way {
            Way::Drip => {
                let budget = if self.looks_settled() { budget.of_few() } else { *budget };
                self.begins.grid(&budget, self.asked.hardware.most_events)
            }
            Way::Flood => flood::grid(&self.begins, self.asked, self.most_used, budget.rounds < Budget::WHOLE.rounds),
        };
        // The grid has the plan in it that it is spread around.
        let mut at = 0..;
        plans.retain(|plan| at.next() == Some(0) || *plan != self.begins);
        plans
    }

    /// Plans one step from a plan.
    pub fn around(&self, plan: &Plan, stride: f64) -> Vec<Plan> {
        match self.way {
            Way::Drip => plan.around(stride, self.asked),
            Way::Flood => flood::around(plan, stride, self.asked, self.most_used),
        }
    }

    /// Plans beside one that show what is traded for what.
    pub fn traded(&self, plan: &Plan) -> Vec<Plan> {
        match self.way {
            Way::Drip => plan.traded(self.asked),
            Way::Flood => flood::traded(plan, self.asked, self.most_used),
        }
    }

    /// A few days of a plan, from the salt that the drain's closed form leads to and water as at rest; `None` for a plan without events.
    pub fn coarse(&self, plan: &Plan) -> Option<Tried> {
        let mut with = self.way.on(plan, self.asked, &self.scenario, &self.scenario, 0);
        if given_on(&with).is_empty() {
            return None;
        }
        with.days = DAYS;
        let given: f64 = given_on(&with).iter().filter_map(Event::ml).sum();
        for (i, lane) in with.lanes.iter_mut().enumerate() {
            // The guess of the salt stands in for a run-in.
            (lane.start.water, lane.start.run_in_days) = (StartWater::AtCapacity, None);
            if given > 0.0 {
                // What plants take they take along at their uptake EC, what evaporates leaves its salt, the rest drains (closed form, FAO-29's
                // balance).
                let given = given * lane.dose;
                let drains = (1.0 - (self.uses[i] + self.evaporates[i]) / given).clamp(0.03, 1.0);
                let taken = (self.uses[i] / given).min(1.0 - drains);
                let ec = (plan.feed_ec - taken * self.uptake_ec[i]) / drains;
                lane.start.salt = StartSalt::Ec(((0.5 * (ec + plan.feed_ec)).min(ec.max(plan.feed_ec))).clamp(GUESS.0, GUESS.1));
            }
        }
        let bench = Workshop::default().ready(&with, self.library).ok()?;
        let run = run(&bench.for_its_days(), DAYS);
        let lanes = run.lanes.iter().zip(&with.lanes).map(|(r, l)| Judged::of(&with, l, r, DAYS as usize - 1)).collect();
        Some(Tried::of(*plan, lanes, given_on(&with)))
    }

    /// A plan run until it settles, or for so many days at most, and when each lane did; `None` for a plan without events, or when `go_on` said no.
    pub fn settled(&self, plan: &Plan, run_days: u32, go_on: &dyn Fn() -> bool) -> Option<(Tried, Vec<Settled>)> {
        let mut with = self.way.on(plan, self.asked, &self.scenario, &self.scenario, 0);
        if given_on(&with).is_empty() || !go_on() {
            return None;
        }
        with.days = 1;
        let ready = Workshop::default().ready(&with, self.library).ok()?;
        let judged = |lane: usize, run: &LaneRun, day: usize| Judged::of(&with, &with.lanes[lane], run, day);
        let (when, lanes): (Vec<Settled>, Vec<_>) = if with.round_of_events() == 1 {
            // Of a log the day that is found.
            let days = ready.settled_days_within(run_days, go_on)?;
            days.iter().enumerate().map(|(i, (when, run))| (*when, judged(i, run, 0))).unzip()
        } else {
            let rounds = ready.settled_rounds(judged, run_days, go_on)?;
            rounds.into_iter().map(|(when, days)| (when, Judged::together(days))).unzip()
        };
        Some((Tried::of(*plan, lanes, given_on(&with)), when))
    }
}

/// What is given in a day at a dose of 1 so that the lane which asks for most of it has what goes from it (mL per plant) and the middle of its
/// drain more.
fn wanted(scenario: &Scenario, goes: &[f64]) -> f64 {
    let drains = |lane: &Lane| lane.targets.drain_percent.map_or(USUAL_DRAIN, |(low, high)| 0.005 * (low + high)).clamp(0.0, 0.9);
    goes.iter().zip(&scenario.lanes).map(|(ml, lane)| ml / (1.0 - drains(lane)) / lane.dose).fold(0.0, f64::max)
}

/// The bench with the lanes of one valve alone, and their columns.
fn on_valve(bench: &Scenario, valve: usize, columns: Vec<Arc<Column>>) -> (Scenario, Vec<Arc<Column>>) {
    let mut scenario = bench.clone();
    scenario.valves = bench.valves.get(valve).cloned().into_iter().collect();
    // What the pump gives is asked for with the equipment; rules that listen to a lane of another valve go with all rules.
    scenario.pump = None;
    let of_valve = |lane: &Lane| lane.valve == valve;
    let columns = bench.lanes.iter().zip(columns).filter(|(lane, _)| of_valve(lane)).map(|(_, column)| column).collect();
    scenario.lanes.retain(of_valve);
    scenario.lanes.iter_mut().for_each(|lane| lane.valve = 0);
    if bench.valves.len() > 1 {
        // Who else draws from it, and what comes back, is not looked at.
        scenario.tank = None;
    }
    (scenario, columns)
}

/// What the valve that is looked at gives by the clock.
pub(super) fn given_on(scenario: &Scenario) -> &[Event] {
    scenario.valves.first().map_or(&[], |v| &v.schedule)
}

/// Whether the equipment can give every lane what it uses.
fn enough(scenario: &Scenario, asked: &Asked, uses: &[f64]) -> Result<(), StudyError> {
    let most = asked.hardware.most_ml(asked.first.seconds(), asked.last.seconds(), scenario);
    match scenario.lanes.iter().zip(uses).find(|(lane, ml)| most * lane.dose < ENOUGH * **ml) {
        Some((lane, ml)) => Err(StudyError::TooLittle { lane: lane.name.clone(), gives_l: most * lane.dose / 1000.0, uses_l: ml / 1000.0 }),
        None => Ok(()),
    }
}
