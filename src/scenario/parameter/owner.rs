//! Whose number a path names: `lanes[0].container.parts[1].medium` before `.curve.n`.

use std::fmt;

use crate::scenario::bench::Scenario;
use crate::scenario::climate::Climate;
use crate::scenario::medium::MediumChoice;
use crate::scenario::plans::Plan;

/// Where a number stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Owner {
    Bench,
    Solver,
    Day,
    Pump,
    Tank,
    Valve(usize),
    /// Of a plan.
    Event(Plan, usize),
    /// Of a plan.
    Rule(Plan, usize),
    Lane(usize),
    Crop(usize),
    Probe(usize),
    Targets(usize),
    /// Of a lane.
    Part(usize, usize),
    /// Of a lane's part.
    Medium(usize, usize),
    /// Of the mix in a lane's part.
    Component(usize, usize, usize),
}

impl fmt::Display for Owner {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let plan = |f: &mut fmt::Formatter<'_>, plan: Plan| {
            write!(f, "valves[{}].", plan.valve)?;
            plan.number.checked_sub(1).map_or(Ok(()), |change| write!(f, "changes[{change}]."))
        };
        match *self {
            Self::Bench => Ok(()),
            Self::Solver => f.write_str("solver."),
            Self::Day => f.write_str("climate."),
            Self::Pump => f.write_str("pump."),
            Self::Tank => f.write_str("tank."),
            Self::Valve(v) => write!(f, "valves[{v}]."),
            Self::Event(p, i) => plan(f, p).and_then(|()| write!(f, "schedule[{i}].")),
            Self::Rule(p, i) => plan(f, p).and_then(|()| write!(f, "rules[{i}].")),
            Self::Lane(l) => write!(f, "lanes[{l}]."),
            Self::Crop(l) => write!(f, "lanes[{l}].crop."),
            Self::Probe(l) => write!(f, "lanes[{l}].probe."),
            Self::Targets(l) => write!(f, "lanes[{l}].targets."),
            Self::Part(l, p) => write!(f, "lanes[{l}].container.parts[{p}]."),
            Self::Medium(l, p) => write!(f, "lanes[{l}].container.parts[{p}].medium."),
            Self::Component(l, p, c) => write!(f, "lanes[{l}].container.parts[{p}].medium[{c}]."),
        }
    }
}

/// `name[3].rest` as 3 and `rest`.
fn item<'p>(path: &'p str, name: &str) -> Option<(usize, &'p str)> {
    let (index, rest) = path.strip_prefix(name)?.strip_prefix('[')?.split_once("].")?;
    let plain = !index.is_empty() && index.bytes().all(|b| b.is_ascii_digit());
    Some((index.parse().ok().filter(|_| plain)?, rest))
}

impl Owner {
    /// Whose number a path names, and the name that it has there.
    pub(super) fn of(path: &str) -> (Self, &str) {
        let planned = |plan: Plan, rest: &'_ str| -> Option<(Self, usize)> {
            let (made, name): (fn(Plan, usize) -> Self, &str) =
                if rest.starts_with("schedule") { (Self::Event, "schedule") } else { (Self::Rule, "rules") };
            let (i, left) = item(rest, name)?;
            Some((made(plan, i), left.len()))
        };
        if let Some((valve, rest)) = item(path, "valves") {
            let first = Plan::first(valve);
            let (plan, within) = match item(rest, "changes") {
                Some((change, within)) => (Plan { number: change.saturating_add(1), ..first }, within),
                None => (first, rest),
            };
            return match planned(plan, within) {
                Some((owner, left)) => (owner, &within[within.len() - left..]),
                None => (Self::Valve(valve), rest),
            };
        }
        if let Some((l, rest)) = item(path, "lanes") {
            if let Some((p, rest)) = item(rest, "container.parts") {
                return match (item(rest, "medium"), rest.strip_prefix("medium.")) {
                    (Some((c, rest)), _) => (Self::Component(l, p, c), rest),
                    (None, Some(rest)) => (Self::Medium(l, p), rest),
                    (None, None) => (Self::Part(l, p), rest),
                };
            }
            let within: [(&str, Self); 3] = [("crop.", Self::Crop(l)), ("probe.", Self::Probe(l)), ("targets.", Self::Targets(l))];
            let found = within.into_iter().find_map(|(name, owner)| Some((owner, rest.strip_prefix(name)?)));
            return found.unwrap_or((Self::Lane(l), rest));
        }
        let alone = [("solver.", Self::Solver), ("climate.", Self::Day), ("pump.", Self::Pump), ("tank.", Self::Tank)];
        alone.into_iter().find_map(|(name, owner)| Some((owner, path.strip_prefix(name)?))).unwrap_or((Self::Bench, path))
    }

    /// All that a scenario has, in the order of its file.
    pub(super) fn all(scenario: &Scenario) -> Vec<Self> {
        let mut all = vec![Self::Bench];
        all.extend(matches!(scenario.climate, Some(Climate::Typical(_))).then_some(Self::Day));
        for plan in scenario.plans() {
            all.extend((plan.number == 0).then_some(Self::Valve(plan.valve)));
            all.extend((0..scenario.events(plan).len()).map(|i| Self::Event(plan, i)));
            all.extend((0..scenario.rules(plan).len()).map(|i| Self::Rule(plan, i)));
        }
        all.extend(scenario.pump.map(|_| Self::Pump));
        all.extend(scenario.tank.map(|_| Self::Tank));
        for (l, lane) in scenario.lanes.iter().enumerate() {
            all.push(Self::Lane(l));
            for (p, part) in lane.container.parts.iter().enumerate() {
                all.push(Self::Part(l, p));
                if let MediumChoice::Mix(components) = &part.medium {
                    all.extend((0..components.len()).map(|c| Self::Component(l, p, c)));
                }
                all.push(Self::Medium(l, p));
            }
            all.push(Self::Crop(l));
            all.extend(lane.probe.map(|_| Self::Probe(l)));
            all.push(Self::Targets(l));
        }
        all.push(Self::Solver);
        all
    }
}
