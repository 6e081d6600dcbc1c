//! What settled, told.

use super::answers::{Answers, Tried};
use super::found::{Found, Point, PointLane};
use super::judged::{AimTold, Figure, Judged, LaneSettled};
use super::setup::Setup;
use crate::engine::run::Settled;
use crate::figures::Aim;
use crate::scenario::Event;

/// A search as it stands.
#[derive(Clone, Copy)]
pub(super) struct Telling<'a> {
    pub setup: &'a Setup<'a>,
    pub answers: &'a Answers,
}

impl Telling<'_> {
    /// A proposal.
    pub fn found(self, found: &Tried, when: &[Settled]) -> Found {
        let valve = self.setup.asked.valve;
        let scenario = self.setup.way.on(&found.plan, self.setup.asked, &self.setup.scenario, &self.setup.proposed_on, valve);
        let (mut aims, mut lanes) = (Vec::new(), Vec::new());
        for (i, (lane, judged)) in self.setup.scenario.lanes.iter().zip(&found.lanes).enumerate() {
            let Some(judged) = judged else { continue };
            lanes.push(settled(&lane.name, judged, when[i]));
            for figure in Figure::ALL {
                let Aim::Band(aim, _) = judged.aim(figure) else { continue };
                aims.push(AimTold {
                    lane: lane.name.clone(),
                    figure,
                    aim,
                    value: judged.value(figure),
                    met: judged.miss(figure) == Some(0.0),
                    reached: self.answers.reached.get(&(i, figure)).copied(),
                });
            }
        }
        Found {
            valve: valve + 1,
            events: scenario.valves.get(valve).map_or_else(Vec::new, |v| v.schedule.clone()),
            feed_ec: scenario.feed_ec(valve),
            lanes,
            aims,
            cost: found.lanes.iter().flatten().map(Judged::cost).sum(),
            points: self.points(found),
            tried: self.answers.tried,
            settled: self.answers.settled.len(),
            failed: self.answers.failed,
            starting_aims: self.setup.starting_aims.clone(),
            leaves_out_rules: self.setup.scenario.all_rules().next().is_some() || self.setup.scenario.last_plans_begin() > 0,
            leaves_out_valves: self.setup.proposed_on.valves.len() > 1,
            scenario,
        }
    }

    /// Everything that settled.
    fn points(self, proposed: &Tried) -> Vec<Point> {
        let misses: Vec<Vec<f64>> = self.answers.settled.iter().map(|(t, _)| missed(t)).collect();
        let point = |(at, (tried, _)): (usize, &(Tried, Vec<Settled>))| {
            let events = self.setup.way.events(&tried.plan, self.setup.asked, &self.setup.scenario);
            let drips: f64 = events.iter().filter_map(Event::daily_ml).sum();
            let lane = |judged: &Judged| PointLane {
                dry_back_points: judged.value(Figure::DryBackPoints),
                drain_percent: judged.value(Figure::DrainPercent),
                root_zone_ec: judged.value(Figure::RootZoneEc).unwrap_or(judged.last_day().root_zone_ec),
                uptake_met: judged.value(Figure::UptakeMet).unwrap_or(judged.last_day().uptake_met),
                met: judged.meets_all(),
            };
            Point {
                events_a_day: events.len(),
                given_ml: (drips > 0.0).then_some(drips),
                rinse_ml: events.iter().any(|e| e.give.is_flood()).then_some(drips),
                feed_ec: tried.plan.feed_ec,
                lanes: tried.lanes.iter().flatten().map(lane).collect(),
                cost: tried.lanes.iter().flatten().map(Judged::cost).sum(),
                on_edge: !misses.iter().any(|other| nearer(other, &misses[at])),
                proposed: tried.plan == proposed.plan,
                events,
            }
        };
        self.answers.settled.iter().enumerate().map(point).collect()
    }
}

/// By how much every aim of every lane is missed.
fn missed(tried: &Tried) -> Vec<f64> {
    let lane = |judged: &Judged| Figure::ALL.map(|f| judged.miss(f).map_or(0.0, f64::abs));
    tried.lanes.iter().flatten().flat_map(lane).collect()
}

/// Whether one is nowhere further off than another, and somewhere nearer.
fn nearer(one: &[f64], other: &[f64]) -> bool {
    let pairs = || one.iter().zip(other);
    pairs().all(|(a, b)| a <= b) && pairs().any(|(a, b)| a < b)
}

fn settled(name: &str, judged: &Judged, when: Settled) -> LaneSettled {
    let figures = Figure::ALL.into_iter().map(|f| (f.key(), judged.value(f)));
    let f = judged.last_day();
    let more = [
        ("applied_ml", Some(f.applied_ml)),
        ("drained_ml", Some(f.drained_ml)),
        ("drain_ec", f.drain_ec),
        ("channelled_ml", Some(f.channelled_ml)),
        ("evaporated_ml", Some(f.evaporated_ml)),
        ("lowest", Some(f.lowest)),
    ];
    LaneSettled {
        lane: name.to_owned(),
        settled: figures.chain(more).collect(),
        when,
        told: when.to_string(),
        not_judged: judged.not_judged(),
    }
}
