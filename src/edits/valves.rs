//! Lanes put on valves. A valve without a lane goes: what nobody gets is not drawn.

use super::lanes;
use crate::scenario::{Event, Lane, MAX_LANES, MAX_VALVES, Scenario, Start, Valve, When};

/// A name that no valve has yet: the wanted one, or the wanted one with a number.
#[must_use]
fn free_name(scenario: &Scenario) -> String {
    let taken = |name: &String| scenario.valves.iter().any(|v| v.name.trim() == name);
    (1..=MAX_VALVES + 1).map(|n| format!("Valve {n}")).find(|name| !taken(name)).unwrap_or_else(|| Valve::ONLY.to_owned())
}

/// Puts a lane on a valve that is there.
pub fn put(scenario: &mut Scenario, lane: usize, valve: usize) {
    if valve < scenario.valves.len()
        && let Some(lane) = scenario.lanes.get_mut(lane)
    {
        lane.valve = valve;
        drop_empty(scenario);
    }
}

/// Whether a lane can have a valve of its own: it shares one.
#[must_use]
pub fn shares(scenario: &Scenario, lane: usize) -> bool {
    scenario.lanes_on(scenario.valve_of(lane)).count() > 1
}

/// Puts a lane on a valve of its own, which gives what its valve gave.
pub fn put_on_own(scenario: &mut Scenario, lane: usize) {
    if shares(scenario, lane) {
        let at = copied(scenario, lane);
        put(scenario, lane, at);
    }
}

/// Copies a lane to the place after it, on a valve of its own: the same root zone, to be given another schedule. Rules that listen to the
/// lane's probe listen to the copy's there.
pub fn duplicate_on_own(scenario: &mut Scenario, lane: usize) {
    if scenario.lanes.len() >= MAX_LANES || lane >= scenario.lanes.len() {
        return;
    }
    let at = copied(scenario, lane);
    lanes::duplicate(scenario, lane);
    let [name, copy] = [lane, lane + 1].map(|i| scenario.lanes[i].name.clone());
    scenario.lanes[lane + 1].valve = at;
    for rule in scenario.valves[at].all_rules_mut() {
        if let When::Dry { lane, .. } = &mut rule.when
            && *lane == name
        {
            lane.clone_from(&copy);
        }
    }
}

/// Puts a lane on the bench as its last, run in, on a valve of its own that gives a schedule of an EC, mS/cm.
pub fn add_lane(scenario: &mut Scenario, lane: &Lane, schedule: Vec<Event>, ec: f64) {
    let own = (ec != scenario.feed.ec).then_some(ec);
    scenario.valves.push(Valve { name: free_name(scenario), ec: own, ..Valve::only(schedule) });
    let (name, valve) = (lanes::free_name(scenario, &lane.name), scenario.valves.len() - 1);
    scenario.lanes.push(Lane { name, valve, start: Start::run_in(), ..lane.clone() });
}

/// Adds a copy of a lane's valve, and returns its index.
fn copied(scenario: &mut Scenario, lane: usize) -> usize {
    let name = free_name(scenario);
    let of = scenario.valves.get(scenario.valve_of(lane)).cloned();
    let copy = Valve { name, ..of.unwrap_or_else(|| Valve::only(Vec::new())) };
    scenario.valves.push(copy);
    scenario.valves.len() - 1
}

/// Takes a lane away, and its valve where it was the only one on it.
pub fn remove_lane(scenario: &mut Scenario, index: usize) {
    if index < scenario.lanes.len() {
        scenario.lanes.remove(index);
        drop_empty(scenario);
    }
}

/// Takes out the valves that no lane is on. One always stays.
fn drop_empty(scenario: &mut Scenario) {
    for valve in (0..scenario.valves.len()).rev() {
        if scenario.valves.len() > 1 && scenario.lanes_on(valve).next().is_none() {
            scenario.valves.remove(valve);
            scenario.lanes.iter_mut().filter(|l| l.valve > valve).for_each(|l| l.valve -= 1);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::presets::{Library, demos};
    use crate::scenario::{Clock, Give, Plan, Rule};

    fn bench() -> Scenario {
        demos().remove(0).1
    }

    #[test]
    fn a_lane_moves_to_a_copy_of_its_valve_and_back() {
        let (before, library) = (bench(), Library::shipped());
        let mut s = before.clone();
        put_on_own(&mut s, 1);
        assert_eq!((s.valves.len(), s.valve_of(0), s.valve_of(1)), (2, 0, 1));
        assert_eq!(s.events(Plan::first(1)), s.events(Plan::first(0)));
        assert_eq!(s.validate(&library), []);
        put_on_own(&mut s, 1);
        assert_eq!(s.valves.len(), 2, "it has one already");
        put(&mut s, 1, 0);
        assert_eq!(s, before);
        // The first valve goes when its last lane leaves it, and the other takes its place.
        put_on_own(&mut s, 1);
        s.valves[1].schedule.push(Event::drip(Clock::hm(23, 0), 5, 50.0));
        put(&mut s, 0, 1);
        assert_eq!((s.valves.len(), s.valve_of(0), s.valve_of(1), s.valves[0].name.as_str()), (1, 0, 0, "Valve 2"));
        assert_eq!(s.validate(&library), []);
    }

    #[test]
    fn a_duplicate_on_its_own_valve_listens_to_its_own_probe() {
        let mut s = bench();
        s.lanes[0].probe = Some(crate::scenario::Probe { height_cm: 4.0, length_cm: 3.0 });
        let dry = |lane: &str| When::Dry { lane: lane.to_owned(), falls_to: 0.6, pause_s: 900 };
        let rule =
            |when| Rule { when, first: Clock::hm(7, 0), last: Clock::hm(17, 0), seconds: 300, give: Give::Drip { ml: 80.0 }, ec: None };
        s.valves[0].rules = vec![rule(dry("Block on slab"))];
        assert_eq!(s.lanes[0].name, "Block on slab");
        duplicate_on_own(&mut s, 0);
        assert_eq!((s.lanes.len(), s.valves.len(), s.lanes[1].valve, s.lanes[2].valve), (3, 2, 1, 0));
        assert_eq!(s.valves[0].rules[0].when, dry("Block on slab"));
        assert_eq!(s.valves[1].rules[0].when, dry("Block on slab copy"));
        assert_eq!(s.validate(&Library::shipped()), []);
        // Taken away again, its valve goes too.
        remove_lane(&mut s, 1);
        assert_eq!((s.lanes.len(), s.valves.len()), (2, 1));
    }
}
