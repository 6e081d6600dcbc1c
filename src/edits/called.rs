//! What a feed, aims, a stage and a schedule are called: they bear no name of their own, so they are called after the preset whose values
//! they have, and "changed from" it once they were changed by hand. What they were changed from stands in the scenario, with its file.

use std::borrow::Cow;
use std::collections::BTreeMap;

use crate::scenario::presets::{FeedPreset, Library};
use crate::scenario::{Demand, Event, Lane, Plan, Scenario, Stage, Targets, naming, resolve};

/// Something that is called after a preset.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Called {
    /// The bench's feed.
    Feed,
    /// What a lane aims for.
    Aims(usize),
    /// The stage of growth of a lane's crop.
    Stage(usize),
    /// The events of a plan.
    Schedule(Plan),
}

impl Called {
    /// All that a bench has.
    fn all(scenario: &Scenario) -> Vec<Self> {
        let lanes = (0..scenario.lanes.len()).flat_map(|i| [Self::Aims(i), Self::Stage(i)]);
        [Self::Feed].into_iter().chain(lanes).chain(scenario.plans().into_iter().map(Self::Schedule)).collect()
    }

    /// Where the scenario keeps what it was changed from.
    fn key(self, scenario: &Scenario) -> String {
        let lane = |i: usize| scenario.lanes.get(i).map_or("", |l| l.name.as_str());
        match self {
            Self::Feed => "feed".to_owned(),
            Self::Aims(i) => format!("aims of {}", lane(i)),
            Self::Stage(i) => format!("stage of {}", lane(i)),
            Self::Schedule(plan) => {
                let valve = scenario.valves.get(plan.valve).map_or("", |v| v.name.as_str());
                format!("schedule of {valve} from day {}", scenario.plan_begins(plan) + 1)
            }
        }
    }

    /// The preset that it is now.
    #[must_use]
    pub fn preset<'a>(self, scenario: &'a Scenario, library: &'a Library) -> Option<Cow<'a, str>> {
        match self {
            Self::Feed => feed(scenario, library).map(|f| Cow::from(f.name.as_str())),
            Self::Aims(i) => aims(scenario.lanes.get(i)?, library),
            Self::Stage(i) => {
                let lane = scenario.lanes.get(i)?;
                let crop = resolve::crop(&lane.crop, library).ok()?;
                crop.stages.into_iter().find(|stage| stands(lane, stage)).map(|stage| Cow::from(stage.name))
            }
            Self::Schedule(plan) => {
                let is_it = |events: Result<Vec<Event>, String>| events.is_ok_and(|events| events == scenario.events(plan));
                library.schedules.iter().find(|p| is_it(p.under(&scenario.usual_light()))).map(|p| Cow::from(p.name.as_str()))
            }
        }
    }

    /// What it is called: after its preset, or as changed from one; `None` where it never was one.
    #[must_use]
    pub fn name(self, scenario: &Scenario, library: &Library) -> Option<String> {
        let changed = || scenario.changed_from.get(&self.key(scenario)).map(|from| naming::changed_from(from));
        self.preset(scenario, library).map(Cow::into_owned).or_else(changed)
    }

    /// The same in the scenario that another one was made from; `None` where it is new, or was put in place of the one there was.
    fn before(self, after: &Scenario, before: &Scenario, library: &Library) -> Option<Self> {
        let lane = |i: usize| {
            let name = &after.lanes.get(i)?.name;
            let renamed = (after.lanes.len() == before.lanes.len()).then_some(i);
            before.lanes.iter().position(|l| l.name == *name).or(renamed)
        };
        match self {
            Self::Feed => Some(self),
            Self::Aims(i) => lane(i).map(Self::Aims).filter(|_| after.lanes[i].targets != Targets::default()),
            Self::Stage(i) => {
                let crop = |s: &Scenario, i: usize| resolve::crop(&s.lanes[i].crop, library).ok().map(|crop| crop.stages);
                lane(i).filter(|was| crop(before, *was) == crop(after, i)).map(Self::Stage)
            }
            Self::Schedule(plan) => {
                let name = &after.valves.get(plan.valve)?.name;
                let renamed = (after.valves.len() == before.valves.len()).then_some(plan.valve);
                let valve = before.valves.iter().position(|v| v.name == *name).or(renamed)?;
                let begins = after.plan_begins(plan);
                // A schedule that is new from a day on began as the one in force there before.
                let was = before.plan_on(valve, begins);
                is_change(before.events(was), after.events(plan)).then_some(Self::Schedule(was))
            }
        }
    }
}

/// The feed's preset. A guide of another crop that happens to have this EC is not what the grower chose.
fn feed<'l>(scenario: &Scenario, library: &'l Library) -> Option<&'l FeedPreset> {
    let grown: Vec<String> = scenario.lanes.iter().filter_map(|l| Some(resolve::crop(&l.crop, library).ok()?.name)).collect();
    let other = |f: &FeedPreset| {
        let mut named = library.crops.iter().filter(|c| f.name.contains(&c.name)).peekable();
        named.peek().is_some() && !named.any(|c| grown.contains(&c.name))
    };
    library.feeds.iter().find(|f| f.ec.to_bits() == scenario.feed.ec.to_bits() && !other(f))
}

/// The preset of a lane's aims, or the stage of its crop that has them.
fn aims<'l>(lane: &Lane, library: &'l Library) -> Option<Cow<'l, str>> {
    if lane.targets == Targets::default() {
        return None;
    }
    let preset = library.targets.iter().find(|p| p.targets == lane.targets).map(|p| Cow::from(p.name.as_str()));
    preset.or_else(|| {
        let crop = resolve::crop(&lane.crop, library).ok()?;
        let stage = crop.stages.into_iter().find(|stage| stage.targets == lane.targets)?;
        Some(Cow::from(format!("{}, {}", crop.name, stage.name)))
    })
}

/// Whether a lane stands as a stage sets it.
#[must_use]
pub fn stands(lane: &Lane, stage: &Stage) -> bool {
    let leaves = match lane.demand {
        Demand::Climate { leaf_area_index, .. } => leaf_area_index == Some(stage.leaf_area_index),
        Demand::Measured { .. } => true,
    };
    leaves && lane.roots == stage.roots && lane.targets == stage.targets
}

/// Whether events are others changed by hand, and not put in their place: as many of them, or half of them begin when one of the others does
/// (judgement).
fn is_change(before: &[Event], after: &[Event]) -> bool {
    let common = after.iter().filter(|e| before.iter().any(|b| b.start == e.start)).count();
    !after.is_empty() && (before.len() == after.len() || 2 * common >= before.len().min(after.len()))
}

/// Notes what was changed from a preset. `before` is the scenario that the change was made from.
pub fn follow(scenario: &mut Scenario, before: &Scenario, library: &Library) {
    let mut changed_from = BTreeMap::new();
    for called in Called::all(scenario) {
        if called.preset(scenario, library).is_some() {
            continue;
        }
        let Some(was) = called.before(scenario, before, library) else { continue };
        let noted = || before.changed_from.get(&was.key(before)).cloned();
        if let Some(from) = was.preset(before, library).map(Cow::into_owned).or_else(noted) {
            changed_from.insert(called.key(scenario), from);
        }
    }
    scenario.changed_from = changed_from;
}
