//! The search: a coarse look by days run from a guessed salt, then settled days of the best.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::asked::Asked;
use super::found::{FinderError, Found};
use super::judged::{AimTold, Figure, Judged, LaneSettled};
use super::plan::{Plan, Way};
use crate::engine::column::capacity::container_capacity;
use crate::engine::run::{Settled, Workshop, run};
use crate::scenario::presets::Library;
use crate::scenario::{Event, Give, Lane, Scenario, StartSalt, StartWater, Targets};
use crate::studies::daily_use;
use crate::units::HOUR_S;

/// Days of a coarse look: water settles within them.
const DAYS: u32 = 4;
/// Rounds of closing in, each with half the stride of the one before where nothing got better.
const ROUNDS: usize = 7;
/// Plans that are closed in on.
const BEST: usize = 3;
/// Plans that are run until they settle.
const SETTLED: usize = 3;
/// Rounds of improving the best on its settled day.
const POLISHED: usize = 3;
/// EC that a guess of the root zone's salt is held within, mS/cm.
const GUESS: (f64, f64) = (0.2, 20.0);

/// A plan with what it came to.
#[derive(Clone, Debug)]
struct Tried {
    plan: Plan,
    cost: f64,
    /// By lane; `None` where it stopped.
    lanes: Vec<Option<Judged>>,
}

/// What is searched.
pub(super) struct Search<'a> {
    scenario: &'a Scenario,
    library: &'a Library,
    asked: &'a Asked,
    way: Way,
    aims: Vec<Targets>,
    /// What the lanes use in a day, mL per plant.
    uses: Vec<f64>,
    /// EC that their plants take up.
    uptake_ec: Vec<f64>,
    begins: Plan,
    /// Least and most of each figure by lane, of plans that were run until they settled.
    reached: BTreeMap<(usize, Figure), (f64, f64)>,
    tried: usize,
    settled: usize,
    failed: usize,
}

impl<'a> Search<'a> {
    /// Set up for a bench.
    pub fn new(scenario: &'a Scenario, library: &'a Library, asked: &'a Asked) -> Result<Self, FinderError> {
        let bench = Workshop::default().ready(scenario, library)?;
        let columns: Vec<_> = bench.columns().cloned().collect();
        let lanes = || scenario.lanes.iter().zip(&columns);
        let uses: Vec<f64> = lanes().map(|(l, c)| 1000.0 * daily_use::litres(l, &c.crop, scenario)).collect();
        let holds: Vec<f64> = columns.iter().map(|c| container_capacity(c) * c.volume).collect();
        if uses.iter().all(|u| *u <= 0.0) {
            return Err(FinderError::NothingUsed);
        }
        let flood = given_on(scenario).iter().find_map(|e| match e.give {
            Give::Flood { depth_cm } => Some((e.seconds, depth_cm)),
            Give::Drip { .. } => None,
        });
        let length = asked.last.seconds() - asked.first.seconds();
        let (first_s, last_s) = (asked.first.seconds() + 0.1 * length, asked.first.seconds() + 0.8 * length);
        let per_dose = |(use_ml, lane): (&f64, &Lane)| use_ml / lane.dose;
        // As a draft would: what the thirstiest lane uses and a quarter more, in events of a twenty-fifth of the least root zone
        // (judgement; only where the search begins hangs on it).
        let amount = 1.25 * uses.iter().zip(&scenario.lanes).map(per_dose).fold(0.0, f64::max);
        let least = holds.iter().zip(&scenario.lanes).map(per_dose).fold(f64::INFINITY, f64::min);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let count = (amount / (0.04 * least)).ceil().clamp(3.0, 40.0) as usize;
        let feed_ec = scenario.feed.ec;
        let (way, begins) = match flood {
            Some((seconds, depth)) => (Way::Flood(seconds), Plan { amount: depth, count: 3, first_s, last_s, feed_ec }),
            None => (Way::Drip, Plan { amount, count, first_s, last_s, feed_ec }),
        };
        Ok(Self {
            scenario,
            library,
            asked,
            way,
            aims: scenario.lanes.iter().map(|l| asked.lean.of(&l.targets)).collect(),
            uses,
            uptake_ec: columns.iter().map(|c| c.crop.uptake_ec).collect(),
            begins,
            reached: BTreeMap::new(),
            tried: 0,
            settled: 0,
            failed: 0,
        })
    }

    /// Looks, closes in, settles and proposes.
    pub fn run(mut self, go_on: &(dyn Fn() -> bool + Sync), progress: &(dyn Fn(f64) + Sync)) -> Result<Option<Found>, FinderError> {
        let mut best = self.look(&self.grid(), go_on);
        progress(0.3);
        let mut stride = 1.0;
        for round in 0..ROUNDS {
            if !go_on() || best.is_empty() {
                break;
            }
            let before = best[0].cost;
            let around: Vec<Plan> = best.iter().flat_map(|t| self.around(&t.plan, stride)).collect();
            let known = best.clone();
            best.extend(self.look(&around, go_on));
            sort(&mut best);
            best.dedup_by(|a, b| a.plan == b.plan);
            best.truncate(BEST);
            if best == known || best[0].cost > 0.9 * before {
                stride *= 0.5;
            }
            #[allow(clippy::cast_precision_loss)]
            progress(0.3 + 0.3 * (round + 1) as f64 / ROUNDS as f64);
        }
        let candidates: Vec<Plan> = best.iter().take(SETTLED).map(|t| t.plan).collect();
        let mut settled = self.settle(&candidates, go_on);
        progress(0.75);
        let mut stride = 0.35;
        for _ in 0..POLISHED {
            let Some(first) = settled.first().filter(|s| go_on() && s.0.cost > 1e-9) else { break };
            let (cost, plan) = (first.0.cost, first.0.plan);
            settled.extend(self.settle(&self.around(&plan, stride), go_on));
            settled.sort_by(|a, b| a.0.cost.total_cmp(&b.0.cost));
            if settled[0].0.cost >= cost {
                stride *= 0.5;
            }
        }
        progress(1.0);
        let Some((found, when)) = settled.into_iter().next() else {
            return if go_on() { Err(FinderError::AllStopped) } else { Ok(None) };
        };
        Ok(Some(self.told(&found, &when)))
    }

    /// Plans spread over what makes sense.
    fn grid(&self) -> Vec<Plan> {
        let b = &self.begins;
        let length = b.last_s - b.first_s;
        let mut plans = vec![*b];
        for amount in [0.75, 0.9, 1.0, 1.15, 1.4, 1.8] {
            for count in [0.5, 1.0, 2.0] {
                for (first, last) in [(0.0, 0.0), (0.25, 0.0), (0.0, -0.25), (0.2, -0.2), (-0.1, 0.15)] {
                    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)]
                    plans.push(Plan {
                        amount: b.amount * amount,
                        count: ((b.count as f64 * count).round() as usize).clamp(1, self.asked.hardware.most_events),
                        first_s: b.first_s + first * length,
                        last_s: b.last_s + last * length,
                        feed_ec: b.feed_ec,
                    });
                }
            }
        }
        plans
    }

    /// Plans one step from another in each of its numbers.
    fn around(&self, p: &Plan, stride: f64) -> Vec<Plan> {
        let hour = 2.0 * HOUR_S * stride;
        let few = |count: usize, more: f64| {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)]
            let next = (count as f64 * more).round() as usize;
            let next = if next == count { if more > 1.0 { count + 1 } else { count.saturating_sub(1) } } else { next };
            next.clamp(1, self.asked.hardware.most_events)
        };
        let (more, less) = (1.0 + 0.2 * stride, 1.0 / (1.0 + 0.2 * stride));
        let mut plans = vec![
            Plan { amount: p.amount * more, ..*p },
            Plan { amount: p.amount * less, ..*p },
            Plan { count: few(p.count, 1.0 + 0.4 * stride), ..*p },
            Plan { count: few(p.count, 1.0 / (1.0 + 0.4 * stride)), ..*p },
            Plan { first_s: p.first_s - hour, ..*p },
            Plan { first_s: (p.first_s + hour).min(p.last_s), ..*p },
            Plan { last_s: (p.last_s - hour).max(p.first_s), ..*p },
            Plan { last_s: p.last_s + hour, ..*p },
            Plan { first_s: p.first_s + 0.5 * hour, last_s: (p.last_s - 0.5 * hour).max(p.first_s + 0.5 * hour), ..*p },
            Plan { amount: p.amount * more, last_s: (p.last_s - hour).max(p.first_s), ..*p },
            Plan { amount: p.amount * less, last_s: p.last_s + hour, ..*p },
        ];
        if self.asked.feed_too {
            let ec = |share: f64| (p.feed_ec * share).clamp(0.2, 8.0);
            plans.push(Plan { feed_ec: ec(1.0 + 0.15 * stride), ..*p });
            plans.push(Plan { feed_ec: ec(1.0 / (1.0 + 0.15 * stride)), ..*p });
            plans.push(Plan { feed_ec: ec(1.0 / (1.0 + 0.15 * stride)), amount: p.amount * less, ..*p });
        }
        let (low, high) = (self.asked.first.seconds(), self.asked.last.seconds());
        for plan in &mut plans {
            (plan.first_s, plan.last_s) = (plan.first_s.clamp(low, high), plan.last_s.clamp(low, high));
        }
        plans
    }

    /// Runs plans for a few days each, side by side; the best of them first.
    fn look(&mut self, plans: &[Plan], go_on: &(dyn Fn() -> bool + Sync)) -> Vec<Tried> {
        let this = &*self;
        let mut tried: Vec<Tried> = plans.par_iter().filter_map(|plan| go_on().then(|| this.coarse(plan)).flatten()).collect();
        self.tried += plans.len();
        self.failed += tried.iter().filter(|t| t.lanes.iter().any(Option::is_none)).count();
        sort(&mut tried);
        tried.truncate(BEST);
        tried
    }

    /// A few days of a plan, from the salt that the drain's closed form leads to and water as at rest; `None` for a plan without events.
    fn coarse(&self, plan: &Plan) -> Option<Tried> {
        let mut with = plan.on(self.way, self.asked, self.scenario);
        if given_on(&with).is_empty() {
            return None;
        }
        with.days = DAYS;
        let given: f64 = given_on(&with).iter().filter_map(Event::ml).sum();
        for (i, lane) in with.lanes.iter_mut().enumerate() {
            // The guess of the salt stands in for a run-in.
            (lane.start.water, lane.start.run_in_days) = (StartWater::AtCapacity, None);
            if given > 0.0 {
                // What stays takes its salt along at the plants' uptake EC, the rest leaves (closed form, FAO-29's balance).
                let given = given * lane.dose;
                let drains = (1.0 - self.uses[i] / given).clamp(0.03, 1.0);
                let ec = (plan.feed_ec - (1.0 - drains) * self.uptake_ec[i]) / drains;
                lane.start.salt = StartSalt::Ec(((0.5 * (ec + plan.feed_ec)).min(ec.max(plan.feed_ec))).clamp(GUESS.0, GUESS.1));
            }
        }
        let bench = Workshop::default().ready(&with, self.library).ok()?;
        let run = run(&bench.for_its_days(), DAYS);
        let lanes = run.lanes.iter().zip(&with.lanes).map(|(r, l)| Judged::of(r, l, DAYS as usize - 1, self.asked.lean)).collect();
        Some(self.judged(*plan, lanes, given_on(&with).len()))
    }

    fn judged(&self, plan: Plan, lanes: Vec<Option<Judged>>, events: usize) -> Tried {
        let cost: f64 = lanes.iter().zip(&self.aims).map(|(j, aims)| j.as_ref().map_or(1e6, |j| j.cost(aims))).sum();
        // Of two that meet as much, the one with fewer events.
        #[allow(clippy::cast_precision_loss)]
        let cost = cost + 1e-6 * events as f64;
        Tried { plan, cost, lanes }
    }

    /// Runs plans until they settle; the best of them first.
    fn settle(&mut self, plans: &[Plan], go_on: &(dyn Fn() -> bool + Sync)) -> Vec<(Tried, Vec<Settled>)> {
        let this = &*self;
        let one = |plan: &Plan| {
            let mut with = plan.on(this.way, this.asked, this.scenario);
            if given_on(&with).is_empty() || !go_on() {
                return None;
            }
            with.days = 1;
            let bench = Workshop::default().ready(&with, this.library).ok()?;
            let days = bench.settled_days(go_on)?;
            let lanes = days.iter().zip(&with.lanes).map(|((_, r), l)| Judged::of(r, l, 0, this.asked.lean)).collect();
            Some((this.judged(*plan, lanes, given_on(&with).len()), days.iter().map(|d| d.0).collect()))
        };
        let mut done: Vec<(Tried, Vec<Settled>)> = plans.par_iter().filter_map(one).collect();
        self.settled += done.len();
        self.failed += done.iter().filter(|d| d.0.lanes.iter().any(Option::is_none)).count();
        done.retain(|d| d.0.lanes.iter().all(Option::is_some));
        for (t, _) in &done {
            remember(&mut self.reached, &t.lanes);
        }
        done.sort_by(|a, b| a.0.cost.total_cmp(&b.0.cost));
        done
    }

    fn told(&self, found: &Tried, when: &[Settled]) -> Found {
        let scenario = found.plan.on(self.way, self.asked, self.scenario);
        let mut aims = Vec::new();
        let mut lanes = Vec::new();
        for (i, (lane, judged)) in self.scenario.lanes.iter().zip(&found.lanes).enumerate() {
            let Some(judged) = judged else { continue };
            let figures = Figure::ALL.into_iter().map(|f| (name(f), f.value(&judged.figures)));
            let given = [("applied_ml", Some(judged.figures.applied_ml)), ("drained_ml", Some(judged.figures.drained_ml))];
            lanes.push(LaneSettled {
                lane: lane.name.clone(),
                settled: figures.chain(given).collect(),
                when: when[i],
                told: when[i].to_string(),
            });
            for figure in Figure::ALL {
                let Some(aim) = figure.aim(&self.aims[i]) else { continue };
                let miss = figure.miss(&judged.misses);
                aims.push(AimTold {
                    lane: lane.name.clone(),
                    figure,
                    aim,
                    value: figure.value(&judged.figures),
                    met: miss == Some(0.0),
                    reached: self.reached.get(&(i, figure)).copied(),
                });
            }
        }
        Found {
            events: given_on(&scenario).to_vec(),
            feed_ec: scenario.feed.ec,
            lanes,
            aims,
            tried: self.tried,
            settled: self.settled,
            failed: self.failed,
            leaves_out_rules: self.scenario.all_rules().next().is_some() || self.scenario.last_plans_begin() > 0,
            scenario,
        }
    }
}

impl PartialEq for Tried {
    fn eq(&self, other: &Self) -> bool {
        self.plan == other.plan
    }
}

/// What the valve that is looked at gives by the clock.
fn given_on(scenario: &Scenario) -> &[Event] {
    scenario.valves.first().map_or(&[], |v| &v.schedule)
}

/// A figure's name in files.
fn name(figure: Figure) -> &'static str {
    match figure {
        Figure::Peak => "peak",
        Figure::DryBackPoints => "dry_back_points",
        Figure::DrainPercent => "drain_percent",
        Figure::RootZoneEc => "root_zone_ec",
        Figure::LowestAir => "lowest_air",
        Figure::UptakeMet => "uptake_met",
    }
}

fn sort(tried: &mut [Tried]) {
    tried.sort_by(|a, b| a.cost.total_cmp(&b.cost));
}

fn remember(reached: &mut BTreeMap<(usize, Figure), (f64, f64)>, lanes: &[Option<Judged>]) {
    for (i, judged) in lanes.iter().enumerate() {
        let Some(judged) = judged else { continue };
        for figure in Figure::ALL {
            let Some(value) = figure.value(&judged.figures) else { continue };
            let (low, high) = reached.entry((i, figure)).or_insert((value, value));
            (*low, *high) = (low.min(value), high.max(value));
        }
    }
}
