//! The search: a coarse look by days run from a guessed salt, then settled days of the best.

use rayon::prelude::*;

use super::answers::{Answers, Tried};
use super::budget::Budget;
use super::found::Found;
use super::laid::Way;
use super::plan::Plan;
use super::setup::{DAYS, Setup};
use super::told::Telling;
use super::waiting::Waiting;
use crate::engine::run::{LOOK_AHEAD_DAYS, Settled};
use crate::studies::StudyError;

/// A search under way.
pub(super) struct Search<'a> {
    setup: Setup<'a>,
    answers: Answers,
}

impl<'a> Search<'a> {
    /// Before anything was run.
    pub fn new(setup: Setup<'a>) -> Self {
        Self { setup, answers: Answers::default() }
    }

    /// Looks, closes in, settles and proposes; `None` when `go_on` said no before anything had settled. `first` is told of a proposal that is
    /// not the best yet, as soon as there is one.
    pub fn run(mut self, budget: &Budget, waiting: Waiting<'_>) -> Result<Option<Found>, StudyError> {
        let Waiting { go_on, progress, first } = waiting;
        if budget.trade_off {
            // Where settling takes long, a few days of the best are something to look at.
            let quick = self.look(&self.setup.grid(&Budget::FIRST), &Budget::FIRST, go_on);
            if let Some(best) = quick.first().filter(|best| self.answers.settled.is_empty() && best.lanes.iter().all(Option::is_some)) {
                first(self.telling().found(best, &vec![Settled::NotWithin(DAYS); best.lanes.len()]));
            }
            self.settle(&quick.iter().map(|t| t.plan).collect::<Vec<_>>(), &Budget::FIRST, go_on);
            if let Some(found) = self.best_found() {
                first(found);
            }
        }
        self.close_in(budget, go_on, progress);
        if budget.trade_off
            && let Some(plan) = self.answers.best().map(|(tried, _)| tried.plan)
        {
            let traded = self.setup.traded(&plan);
            self.settle(&traded, budget, go_on);
        }
        progress(1.0);
        match self.best_found() {
            Some(found) => Ok(Some(found)),
            None if go_on() => Err(StudyError::AllStopped),
            None => Ok(None),
        }
    }

    /// Looks over a grid, closes in on the best by days run from a guessed salt, and from there on their settled days.
    fn close_in(&mut self, budget: &Budget, go_on: &(dyn Fn() -> bool + Sync), progress: &(dyn Fn(f64) + Sync)) {
        let mut best = self.look(&self.setup.grid(budget), budget, go_on);
        progress(0.3);
        let mut stride = 1.0;
        // Where each look is a settled day, there is less to close in on before those are improved.
        let budget = &if self.setup.looks_settled() { budget.of_settled_days() } else { *budget };
        for round in 0..budget.rounds {
            // What meets every aim can get no better by days that are only a guess.
            if !go_on() || best.first().is_none_or(|b| b.cost < MET) {
                break;
            }
            let before = best[0].cost;
            let around: Vec<Plan> = best.iter().flat_map(|t| self.setup.around(&t.plan, stride)).collect();
            let known: Vec<Plan> = best.iter().map(|t| t.plan).collect();
            best.extend(self.look(&around, budget, go_on));
            sort(&mut best);
            best.dedup_by(|a, b| a.plan == b.plan);
            best.truncate(budget.best);
            if best.iter().map(|t| t.plan).eq(known) || best[0].cost > 0.9 * before {
                stride *= 0.5;
            }
            #[allow(clippy::cast_precision_loss)]
            progress(0.3 + 0.3 * (round + 1) as f64 / budget.rounds as f64);
        }
        let candidates: Vec<Plan> = best.iter().take(budget.settled).map(|t| t.plan).collect();
        self.settle(&candidates, budget, go_on);
        progress(0.7);
        // What goes on changing is far from what settles.
        let goes_on = self.answers.best().is_some_and(|(_, when)| when.iter().any(|when| matches!(when, Settled::NotWithin(_))));
        let mut stride = if goes_on { 1.0 } else { 0.35 };
        for round in 0..budget.polished {
            if !self.improve((&mut stride, &|_| true), budget, go_on) {
                break;
            }
            #[allow(clippy::cast_precision_loss)]
            progress(0.7 + 0.2 * (round + 1) as f64 / budget.polished as f64);
        }
        if self.setup.way == Way::Flood {
            // Many floods may do without the rinse that fewer need, and no small step leads there.
            let (mut stride, bare) = (1.0, |plan: &Plan| plan.floods.rinse_ml == 0.0);
            let rounds = if self.answers.best().is_some_and(|(best, _)| bare(&best.plan)) { 0 } else { 2 * budget.polished };
            for _ in 0..rounds {
                if !self.improve((&mut stride, &bare), budget, go_on) {
                    break;
                }
            }
        }
    }

    /// Runs what lies around the best plan of a kind until it settles; the stride is halved where nothing of that kind got better. `false` where
    /// there is nothing to improve: every aim is met, no such plan has settled, or `go_on` said no.
    fn improve(&mut self, (stride, kind): (&mut f64, &dyn Fn(&Plan) -> bool), budget: &Budget, go_on: &(dyn Fn() -> bool + Sync)) -> bool {
        let best = |answers: &Answers| answers.settled.iter().map(|(t, _)| (t.cost, t.plan)).find(|(_, plan)| kind(plan));
        let is_met = self.answers.best().is_some_and(|(t, _)| t.cost < MET);
        let Some((cost, plan)) = best(&self.answers).filter(|_| !is_met && go_on()) else { return false };
        let mut around = self.setup.around(&plan, *stride);
        around.retain(kind);
        self.settle(&around, budget, go_on);
        if best(&self.answers).is_some_and(|(now, _)| now >= cost) {
            *stride *= 0.5;
        }
        true
    }

    /// Runs plans for a few days each, side by side; the best of them first.
    fn look(&mut self, plans: &[Plan], budget: &Budget, go_on: &(dyn Fn() -> bool + Sync)) -> Vec<Tried> {
        if self.setup.looks_settled() {
            // No closed form tells the salt that floods, or drain that comes back, lead to: they are run until it stands.
            self.settle(plans, budget, go_on);
            let best = self.answers.settled.iter().filter(|(t, _)| plans.contains(&t.plan));
            return best.take(budget.best).map(|(t, _)| t.clone()).collect();
        }
        let setup = &self.setup;
        let mut tried: Vec<Tried> = plans
            .par_iter()
            .with_min_len(at_once(plans.len(), budget))
            .filter_map(|plan| go_on().then(|| setup.coarse(plan)).flatten())
            .collect();
        self.answers.tried += tried.len();
        self.answers.failed += tried.iter().filter(|t| t.lanes.iter().any(Option::is_none)).count();
        sort(&mut tried);
        tried.truncate(budget.best);
        tried
    }

    /// Runs plans that were not yet until they settle, side by side, and keeps what comes of them. What does not settle soon is run as long as is
    /// looked ahead only where it looks better than all that did.
    fn settle(&mut self, plans: &[Plan], budget: &Budget, go_on: &(dyn Fn() -> bool + Sync)) {
        let (setup, answers) = (&self.setup, &self.answers);
        let fresh: Vec<&Plan> = plans.iter().filter(|plan| !answers.knows(plan)).collect();
        let run = |plans: &[&Plan], days: u32| -> Vec<(Tried, Vec<Settled>)> {
            plans.par_iter().with_min_len(at_once(plans.len(), budget)).filter_map(|plan| setup.settled(plan, days, go_on)).collect()
        };
        let is_open = |(tried, when): &(Tried, Vec<Settled>)| {
            tried.lanes.iter().all(Option::is_some) && when.iter().any(|when| matches!(when, Settled::NotWithin(_)))
        };
        let (open, settled) = run(&fresh, SOON).into_iter().partition::<Vec<_>, _>(is_open);
        let mut open: Vec<Tried> = open.into_iter().map(|(tried, _)| tried).collect();
        sort(&mut open);
        let best =
            settled.iter().map(|(tried, _)| tried.cost).chain(answers.best().map(|(tried, _)| tried.cost)).fold(f64::INFINITY, f64::min);
        let worth: Vec<&Plan> = open.iter().take_while(|tried| tried.cost < best).take(RUN_ON).map(|tried| &tried.plan).collect();
        let ran_on = run(&worth, LOOK_AHEAD_DAYS);
        self.answers.add(settled);
        self.answers.add_ran_on(ran_on);
        self.answers.left.extend(open.iter().map(|tried| tried.plan));
    }

    /// The best that settled, told.
    fn best_found(&self) -> Option<Found> {
        let (tried, when) = self.answers.best()?;
        Some(self.telling().found(tried, when))
    }

    fn telling(&self) -> Telling<'_> {
        Telling { setup: &self.setup, answers: &self.answers }
    }
}

/// Days run by which nearly all that settles has been found to (judgement: of 60 random flood tables' plans).
const SOON: u32 = 60;
/// Of what has not settled by then, how many are run on at once.
const RUN_ON: usize = 2;
/// Cost below which every aim is met: all that is left counts events.
const MET: f64 = 1e-4;

/// How many of so many plans one thread takes at least.
fn at_once(plans: usize, budget: &Budget) -> usize {
    if budget.in_turn { plans.max(1) } else { 1 }
}

fn sort(tried: &mut [Tried]) {
    tried.sort_by(|a, b| a.cost.total_cmp(&b.cost));
}
