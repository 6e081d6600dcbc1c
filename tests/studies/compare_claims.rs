//! What Compare tells is so, over random pairs of benches that coincide in much: each difference is one (taken over, it and no other is gone),
//! none is left out (with all of them taken over, both are the same), and each figure is that of a plain run.
//!
//! `SLAKELINE_COMPARED=1000` draws as many pairs.

use std::collections::BTreeSet;
use std::sync::Arc;

use fastrand::Rng;
use rayon::prelude::*;
use serde_json::{Value, from_value, to_value};
use slakeline::engine::run::Workshop;
use slakeline::figures::{Measured, verdicts};
use slakeline::scenario::presets::Library;
use slakeline::scenario::*;
use slakeline::studies::compare::differences::text;
use slakeline::studies::compare::schedules::plans;
use slakeline::studies::compare::setup::setup;
use slakeline::studies::compare::{Comparison, Waiting, compare, places::places};
use slakeline::studies::told::{AIM_KEYS, FIGURES, Told as Figures, values};

use crate::benches;

fn pick<T: Clone>(rng: &mut Rng, from: &[T]) -> T {
    from[rng.usize(..from.len())].clone()
}

/// A bench of one to three lanes, on one valve or two, with a rule, a tank, a pump, aims and a later plan now and then.
fn bench(rng: &mut Rng, seed: u64, library: &Library) -> Scenario {
    let mut bench = benches::bench(seed, library);
    for k in 0..rng.u64(0..3) {
        bench.lanes.push(benches::bench(seed + 5000 * (k + 1), library).lanes.remove(0));
    }
    for (lane, name) in bench.lanes.iter_mut().zip(["a", "b", "c \"] d.e"]) {
        name.clone_into(&mut lane.name);
        lane.dose = pick(rng, &[1.0, 1.0, 1.25]);
        lane.targets.drain_percent = pick(rng, &[None, Some((10.0, 20.0)), Some((0.0, 20.0))]);
    }
    if bench.lanes.len() > 1 && rng.bool() {
        second_valve(&mut bench, rng);
    }
    if rng.u8(..3) == 0 {
        later_plan(&mut bench, rng);
    }
    bench
}

fn second_valve(bench: &mut Scenario, rng: &mut Rng) {
    if bench.valves.len() > 1 || bench.lanes.len() < 2 {
        return;
    }
    let schedule = if rng.bool() { bench.valves[0].schedule.clone() } else { Vec::new() };
    bench.valves.push(Valve { name: "Valve 2".to_owned(), ec: pick(rng, &[None, Some(0.0), Some(2.0)]), ..Valve::only(schedule) });
    bench.lanes.last_mut().unwrap().valve = 1;
}

/// Another plan from a later day on: often the same as before, which is none.
fn later_plan(bench: &mut Scenario, rng: &mut Rng) {
    let valve = rng.usize(..bench.valves.len());
    let plan = bench.change_from(valve, pick(rng, &[1, 2, 5]));
    if rng.u8(..3) > 0 {
        let few = rng.usize(..4);
        bench.events_mut(plan).unwrap().truncate(few);
    }
}

/// One change; often one that changes nothing.
fn change(bench: &mut Scenario, rng: &mut Rng, seed: u64, library: &Library) {
    let lane = rng.usize(..bench.lanes.len());
    match rng.u8(..28) {
        0 => bench.feed.ec = pick(rng, &[bench.feed.ec, 0.0, 2.2]),
        1 => bench.days = pick(rng, &[bench.days, 1, 3]),
        2 => bench.lanes[lane].name = pick(rng, &["a", "b", "another", "B"]).to_owned(),
        3 => bench.lanes.reverse(),
        4 => {
            let to = rng.usize(..bench.lanes.len());
            let names = [bench.lanes[lane].name.clone(), bench.lanes[to].name.clone()];
            [bench.lanes[to].name, bench.lanes[lane].name] = names;
        }
        5 if bench.lanes.len() > 1 => drop(bench.lanes.remove(lane)),
        6 if bench.lanes.len() < 4 => {
            let mut other = benches::bench(seed + 900, library).lanes.remove(0);
            pick(rng, &["d", "b", "a"]).clone_into(&mut other.name);
            bench.lanes.insert(lane, other);
        }
        7 => second_valve(bench, rng),
        8 if bench.valves.len() > 1 => bench.lanes[lane].valve = rng.usize(..2),
        9 => later_plan(bench, rng),
        10..=14 => events(bench, rng),
        15 => rules(bench, rng),
        16 => bench.pump = pick(rng, &[None, Some(Pump { litres_per_hour: 500.0 }), bench.pump]),
        17 => bench.tank = None,
        18 => bench.name = pick(rng, &[bench.name.clone(), "another bench".to_owned()]),
        19 => bench.note = pick(rng, &["", "short", &"long ".repeat(40), &"long ".repeat(41)]).to_owned(),
        20 => bench.lanes[lane].targets.drain_percent = pick(rng, &[None, Some((10.0, 20.0)), Some((10.0, 25.0))]),
        21 => bench.lanes[lane].start.water = pick(rng, &[StartWater::AsWetted, StartWater::AtCapacity, StartWater::Head(-10.0)]),
        22 => bench.lanes[lane].start.salt = pick(rng, &[StartSalt::Feed, StartSalt::Ec(0.0), StartSalt::Ec(3.0)]),
        23 => {
            let demand = Demand::Measured { litres_per_day: pick(rng, &[0.0, 0.3]), steady_share: pick(rng, &[0.0, 0.08]) };
            bench.lanes[lane].demand = demand;
        }
        24 => media(&mut bench.lanes[lane], rng, library),
        25 => climate(bench, rng),
        26 => bench.lanes[lane].container = benches::bench(seed + 77, library).lanes.remove(0).container,
        _ => bench.lanes[lane].dose = pick(rng, &[1.0, 1.25]),
    }
}

fn events(bench: &mut Scenario, rng: &mut Rng) {
    let plan = pick(rng, &bench.plans());
    let events = bench.events_mut(plan).unwrap();
    if events.is_empty() {
        return;
    }
    let at = rng.usize(..events.len());
    match rng.u8(..7) {
        0 => events[at].ec = pick(rng, &[None, Some(0.0)]),
        6 => events[at].days = pick(rng, &[OnDays::ALL, OnDays { every: 3, from: 1 }, OnDays { every: 3, from: 2 }]),
        1 => drop(events.remove(at)),
        // Hardly another: it may read the same.
        2 => {
            if let Give::Drip { ml } = &mut events[at].give {
                *ml = pick(rng, &[*ml, *ml + 1e-3]);
            }
        }
        3 => events[at].seconds -= 1,
        4 => events.reverse(),
        _ => events[at].start = Clock::from_seconds(events[at].start_s() as u32 + pick(rng, &[0, 60])),
    }
    bench.sort_schedule();
}

fn rules(bench: &mut Scenario, rng: &mut Rng) {
    let plan = pick(rng, &bench.plans());
    let light = When::Light(LightSum::Joules(pick(rng, &[150.0, 200.0])));
    let give = Give::Drip { ml: pick(rng, &[50.0, 80.0]) };
    let rule = Rule { when: light, first: Clock::hm(9, 0), last: Clock::hm(15, 0), seconds: 120, give, ec: None };
    let rules = bench.rules_mut(plan).unwrap();
    match rules.len() {
        0 => rules.push(rule),
        1 => rules[0] = rule,
        _ => rules.clear(),
    }
}

/// A mix, one of one's own that is as the preset, another preset.
fn media(lane: &mut Lane, rng: &mut Rng, library: &Library) {
    let part = rng.usize(..lane.container.parts.len());
    let name = || "coir pith".to_owned();
    lane.container.parts[part].medium = match rng.u8(..3) {
        0 => MediumChoice::Preset(name()),
        1 => {
            let mut own = resolve::medium(&MediumChoice::Preset(name()), library).unwrap();
            own.porosity = pick(rng, &[own.porosity, own.porosity + 1e-4]);
            MediumChoice::Custom(Box::new(own))
        }
        _ => {
            let share = pick(rng, &[50.0, 70.0]);
            let component = |medium: &str, percent| Component { medium: medium.to_owned(), percent };
            MediumChoice::Mix(vec![component("coir pith", share), component("coarse perlite", 100.0 - share)])
        }
    };
}

/// Another air by night, or a log as long as may be told by its length alone.
fn climate(bench: &mut Scenario, rng: &mut Rng) {
    if let Some(Climate::Typical(day)) = &mut bench.climate
        && rng.bool()
    {
        day.by_night.celsius = pick(rng, &[day.by_night.celsius, 0.0, 18.0]);
        return;
    }
    let odd = rng.u32(..60);
    let row = |i: u32| LogRow(i * 1800, if i == odd { 300.0 } else { 200.0 }, 20.5, 70.0);
    let log = ClimateLog { name: "log".to_owned(), source: String::new(), lamp: None, rows: (0..60).map(row).collect::<Vec<_>>().into() };
    bench.climate = Some(Climate::Log(log));
}

/// The second of a pair: the first with some changes.
fn pair(seed: u64, library: &Library) -> (Scenario, Scenario) {
    let mut rng = Rng::with_seed(seed);
    let a = bench(&mut rng, seed, library);
    let mut b = a.clone();
    for _ in 0..pick(&mut rng, &[0, 1, 1, 2, 5, 12]) {
        let before = b.clone();
        change(&mut b, &mut rng, seed, library);
        // What no file may hold is none.
        if !b.validate(library).is_empty() {
            b = before;
        }
    }
    if rng.bool() { (a, b) } else { (b, a) }
}

/// What is told to differ, each by its place: fields of the setup, then times and rules of plans.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Told {
    Setup(String),
    Event(usize, usize, Clock),
    Rule(usize, usize, String),
}

fn told(a: &Scenario, b: &Scenario, library: &Library) -> BTreeSet<Told> {
    let both = [a, b];
    let mut out: BTreeSet<Told> = setup(&both, &places(&both), library).into_iter().map(|d| Told::Setup(d.field)).collect();
    for plan in plans(&both) {
        let (valve, day) = (plan.valve - 1, plan.from_day - 1);
        out.extend(plan.events.iter().map(|e| Told::Event(valve, day, e.start)));
        out.extend(plan.rules.iter().map(|r| Told::Rule(valve, day, r.field.clone())));
    }
    out
}

/// The value at a path as it is told; the longest name that fits is taken.
fn at<'v>(value: &'v Value, path: &str) -> Option<&'v Value> {
    let path = path.trim_start_matches('.');
    if path.is_empty() {
        return Some(value);
    }
    if let Some((index, rest)) = path.strip_prefix('[').and_then(|p| p.split_once(']')) {
        return at(value.get(index.parse::<usize>().ok()?)?, rest);
    }
    let fields = value.as_object()?;
    let name = fields.keys().filter(|k| path.starts_with(k.as_str())).max_by_key(|k| k.len())?;
    at(&fields[name], &path[name.len()..])
}

/// Puts a value at a path, or takes it out.
fn put(value: &mut Value, path: &str, to: Option<&Value>, other: &Value) {
    let path = path.trim_start_matches('.');
    if path.is_empty() {
        value.clone_from(to.unwrap_or(&Value::Null));
        return;
    }
    if let Some((index, rest)) = path.strip_prefix('[').and_then(|p| p.split_once(']')) {
        let index = index.parse::<usize>().unwrap();
        return put(&mut value[index], rest, to, &other[index]);
    }
    let fields = value.as_object_mut().unwrap();
    let keys = || fields.keys().chain(other.as_object().into_iter().flat_map(|o| o.keys()));
    let name = keys().filter(|k| path.starts_with(k.as_str())).max_by_key(|k| k.len()).unwrap().clone();
    let rest = &path[name.len()..];
    if rest.is_empty() && to.is_none() {
        fields.remove(&name);
    } else {
        put(fields.entry(name.clone()).or_insert(Value::Null), rest, to, &other[&name]);
    }
}

/// A bench's own plans from each of these days on: it runs as before.
fn split(bench: &mut Scenario, begins: &BTreeSet<(usize, usize)>) {
    let valves = bench.valves.len();
    for &(valve, day) in begins.iter().filter(|b| b.0 < valves) {
        bench.change_from(valve, day);
    }
}

fn begins(benches: &[&Scenario]) -> BTreeSet<(usize, usize)> {
    benches.iter().flat_map(|s| s.plans().into_iter().map(|p| (p.valve, s.plan_begins(p))).collect::<Vec<_>>()).collect()
}

/// `a` with one thing taken over from `b`.
fn taken_over(a: &Scenario, b: &Scenario, what: &Told) -> Scenario {
    let mut out = a.clone();
    match what {
        Told::Setup(field) if field == "lanes" => {
            let rows = places(&[a, b]);
            let there = |own: usize| rows.iter().find(|p| p[0] == Some(own)).and_then(|p| p[1]).unwrap_or(usize::MAX);
            let mut order: Vec<usize> = (0..a.lanes.len()).collect();
            order.sort_by_key(|own| there(*own));
            out.lanes = order.into_iter().map(|own| a.lanes[own].clone()).collect();
            out
        }
        Told::Setup(field) if field == "valves" => {
            let mut valves: Vec<Valve> =
                b.valves.iter().map(|v| Valve { name: v.name.clone(), ec: v.ec, ..Valve::only(Vec::new()) }).collect();
            for (new, own) in valves.iter_mut().zip(&a.valves) {
                *new = Valve { name: new.name.clone(), ec: new.ec, ..own.clone() };
            }
            Scenario { valves, ..out }
        }
        Told::Setup(field) => set_up(a, b, field),
        Told::Event(valve, day, start) => {
            split(&mut out, &begins(&[a, b]));
            let plan = out.plan_on(*valve, *day);
            let events = out.events_mut(plan).unwrap();
            events.retain(|e| e.start != *start);
            events.extend(b.events(b.plan_on(*valve, *day)).iter().filter(|e| e.start == *start));
            out.sort_schedule();
            out
        }
        Told::Rule(valve, day, field) => {
            split(&mut out, &begins(&[a, b]));
            let plan = out.plan_on(*valve, *day);
            let of = |s: &Scenario, plan: Plan| serde_json::json!({ "rules": s.rules(plan) });
            let (mut own, other) = (of(&out, plan), of(b, b.plan_on(*valve, *day)));
            put(&mut own, field, at(&other, field), &other);
            *out.rules_mut(plan).unwrap() = from_value(own["rules"].take()).unwrap();
            out
        }
    }
}

fn set_up(a: &Scenario, b: &Scenario, field: &str) -> Scenario {
    let (mut own, other) = (to_value(a).unwrap(), to_value(b).unwrap());
    let row = places(&[a, b]).into_iter().map(|p| (p[0], p[1])).find_map(|(x, y)| {
        let first = x.map(|x| &a.lanes[x]).or_else(|| y.map(|y| &b.lanes[y]))?;
        Some((field.strip_prefix(&format!("lanes[\"{}\"]", first.name))?.to_owned(), x, y))
    });
    match row {
        None => put(&mut own, field, at(&other, field), &other),
        Some((rest, Some(x), Some(y))) => {
            let there = &other["lanes"][y];
            put(&mut own["lanes"][x], &rest, at(there, &rest), there);
        }
        Some((_, Some(x), None)) => drop(own["lanes"].as_array_mut().unwrap().remove(x)),
        Some((_, None, y)) => {
            // After those that come before it there.
            let y = y.unwrap();
            let before: Vec<usize> = places(&[a, b]).into_iter().filter_map(|p| p[0].filter(|_| p[1].is_some_and(|at| at < y))).collect();
            let place = before.into_iter().max().map_or(0, |last| last + 1);
            own["lanes"].as_array_mut().unwrap().insert(place, other["lanes"][y].clone());
        }
    }
    from_value(own).unwrap()
}

/// The same without plans that are as the one before, and without what stands beside the data.
fn plainly(scenario: &Scenario) -> Scenario {
    let mut out = scenario.clone();
    for valve in &mut out.valves {
        let (mut events, mut rules) = (valve.schedule.clone(), valve.rules.clone());
        valve.changes.retain(|change| {
            let other = (&change.schedule, &change.rules) != (&events, &rules);
            (events, rules) = (change.schedule.clone(), change.rules.clone());
            other
        });
    }
    out
}

/// What is told of a pair and is not so, if anything; and of how many differences it is told.
fn wrong(seed: u64, library: &Library) -> (usize, Option<String>) {
    let (a, b) = pair(seed, library);
    let all = told(&a, &b, library);
    let wrong = untold(&a, &b, &all, library).or_else(|| values_told(&a, &b, library)).or_else(|| figures_told(&a, &b, library));
    (all.len(), wrong.map(|why| format!("pair {seed}: {why}")))
}

/// Each difference is one, and with all of them taken over there is none.
fn untold(a: &Scenario, b: &Scenario, all: &BTreeSet<Told>, library: &Library) -> Option<String> {
    if all.is_empty() != (plainly(a) == plainly(b)) {
        return Some(format!("told are {all:?}, and the benches are the same: {}", plainly(a) == plainly(b)));
    }
    for one in all {
        // A lane's name decides which it stands beside, and a valve that is not there yet has no schedule: these come first or last.
        let is_apart = |t: &Told| matches!(t, Told::Setup(f) if f == "valves" || f == "lanes" || f.ends_with("\"].name"));
        if is_apart(one) {
            continue;
        }
        if let Told::Event(valve, ..) | Told::Rule(valve, ..) = one
            && *valve >= a.valves.len().min(b.valves.len())
        {
            continue;
        }
        let left = told(&taken_over(a, b, one), b, library);
        let mut expected = all.clone();
        expected.remove(one);
        if left != expected {
            return Some(format!("without {one:?} there is {left:?} in place of {expected:?}"));
        }
    }
    // All of them, one after another; each takes at least itself away.
    let mut now = a.clone();
    for round in 0..=all.len() {
        let left = told(&now, b, library);
        // Valves first: lanes and schedules stand on them.
        let next = left.iter().min_by_key(|t| !matches!(t, Told::Setup(f) if f == "valves"));
        let Some(next) = next else {
            let same = plainly(&now) == plainly(b);
            return (!same).then(|| format!("all {round} taken over, and still {:?} is not {:?}", plainly(&now), plainly(b)));
        };
        now = taken_over(&now, b, next);
        if told(&now, b, library).contains(next) {
            return Some(format!("{next:?} was taken over and is told again"));
        }
    }
    Some(format!("{all:?} were taken over, and left is {:?}", told(&now, b, library)))
}

/// What each difference says of a bench stands there.
fn values_told(a: &Scenario, b: &Scenario, library: &Library) -> Option<String> {
    let both = [a, b];
    let rows = places(&both);
    for difference in setup(&both, &rows, library) {
        if difference.values[0] == difference.values[1] {
            return Some(format!("{difference:?} is none"));
        }
        for (i, bench) in both.into_iter().enumerate() {
            let there = to_value(bench).unwrap();
            let field = &difference.field;
            let lane = rows.iter().find_map(|places| {
                let first = places[0].map(|x| &a.lanes[x]).or_else(|| places[1].map(|y| &b.lanes[y]))?;
                Some((field.strip_prefix(&format!("lanes[\"{}\"]", first.name))?, places[i]))
            });
            let value = match lane {
                Some(("", place)) => place.map(|p| Value::String(bench.lanes[p].name.clone())),
                Some((rest, place)) => at(&there["lanes"][place.unwrap()], rest).cloned(),
                None if field == "lanes" || field == "valves" => continue,
                None => at(&there, field).cloned(),
            };
            let value = value.unwrap_or(Value::Null);
            let told = &difference.values[i];
            let long = value.as_array().map(|l| (l.len(), 40)).or_else(|| value.as_str().map(|s| (s.chars().count(), 80)));
            let is_so = match long.filter(|(count, most)| count > most) {
                Some((count, _)) => text(told).starts_with(&format!("{count} ")),
                None => *told == value,
            };
            if !is_so {
                return Some(format!("{field} of {i}: {told} is told, and there is {value}"));
            }
            // What has words has the number's own.
            let index = lane.and_then(|l| l.1).map(|p| format!("lanes[{p}]."));
            if let (Some(words), Some(number)) = (difference.words, told.as_f64())
                && let Some(path) = field.rsplit("\"].").next().map(|own| index.unwrap_or_default() + own)
                && let Ok(parameter) = bench.parameter(&path, library)
                && (parameter.label, parameter.value) != (words, number)
            {
                return Some(format!("{difference:?} beside {parameter:?}"));
            }
        }
    }
    None
}

/// Each figure, each word and each failure is that of a plain run of the whole bench.
fn figures_told(a: &Scenario, b: &Scenario, library: &Library) -> Option<String> {
    let benches = [("a".to_owned(), Arc::new(a.clone())), ("b".to_owned(), Arc::new(b.clone()))];
    let waiting = Waiting { go_on: &|| true, progress: &|_| (), so_far: &|_| () };
    let found: Comparison = match compare(&benches, library, &waiting) {
        Ok(found) => found,
        Err(why) => return Some(why.to_string()),
    };
    if found.ran != [true, true] || found.days != [a.days, b.days] {
        return Some(format!("ran {:?}, days {:?}", found.ran, found.days));
    }
    for (i, bench) in [a, b].into_iter().enumerate() {
        let runs = Workshop::default().ready(bench, library).unwrap().for_its_days();
        for (lane, ready) in bench.lanes.iter().zip(&runs) {
            let mut of = found.lanes.iter().filter(|l| l.names[i].as_ref() == Some(&lane.name));
            let (Some(told), None) = (of.next(), of.next()) else { return Some(format!("{} does not stand once", lane.name)) };
            let run = ready.run(bench.days);
            let measured = Measured::of(bench, lane, &run, bench.days as usize - 1);
            let expected = measured.as_ref().map(|m| values(&Figures { figures: &m.figures, hours_outside_band: m.hours_outside_band }));
            for (k, figure) in FIGURES.iter().enumerate() {
                let expected = expected.map(|e| e[k]).filter(|v| v.is_finite());
                if told.figures[figure.key][i].map(f64::to_bits) != expected.map(f64::to_bits) {
                    return Some(format!("{}: {} is told as {:?}, run {expected:?}", lane.name, figure.key, told.figures[figure.key][i]));
                }
            }
            let verdicts = measured.as_ref().map(|m| verdicts(&m.figures, &m.aims));
            let words = verdicts.map(|v| [v.peak, v.dry_back, v.drain, v.root_zone_ec, v.lowest_air, v.uptake_met].map(|v| v.word));
            for (k, aim) in AIM_KEYS.iter().enumerate() {
                let said = told.words.get(aim).and_then(|w| w[i]);
                if said != words.map(|w| w[k]).filter(|w| !w.is_empty()) {
                    return Some(format!("{}: {aim} is told as {said:?}, run {:?}", lane.name, words.map(|w| w[k])));
                }
            }
            if told.failed[i] != run.failure().map(|f| f.to_string()) {
                return Some(format!("{}: {:?}", lane.name, told.failed[i]));
            }
        }
    }
    None
}

#[test]
fn what_is_told_of_random_pairs_is_so_and_whole() {
    let library = Library::shipped();
    let count = std::env::var("SLAKELINE_COMPARED").ok().and_then(|n| n.parse().ok()).unwrap_or(80_u64);
    let done: Vec<(usize, Option<String>)> = (0..count).into_par_iter().map(|seed| wrong(seed, &library)).collect();
    let wrong: Vec<&String> = done.iter().filter_map(|d| d.1.as_ref()).collect();
    let (same, many) = (done.iter().filter(|d| d.0 == 0).count(), done.iter().filter(|d| d.0 > 5).count());
    println!("{count} pairs, {} differences; {same} pairs without, {many} with more than five", done.iter().map(|d| d.0).sum::<usize>());
    assert!(wrong.is_empty(), "{} of {count}: {wrong:#?}", wrong.len());
    assert!(same * 20 > done.len() && many * 10 > done.len(), "{same} and {many} of {count}");
}
