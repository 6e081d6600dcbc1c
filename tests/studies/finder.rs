//! The schedule finder: what it proposes is simulated again, and what the equipment cannot do is not proposed.

use slakeline::engine::run::{EachDay, LaneRun, Recorder, Workshop};
use slakeline::figures::day_figures;
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{Clock, Demand, Event, Give, Scenario};
use slakeline::studies::StudyError;
use slakeline::studies::finder::{Asked, Budget, Figure, Found, Hardware, Waiting, find, words};
use slakeline::units::Units;

/// A bare block alone: it settles within days.
fn block() -> Scenario {
    let mut scenario = demos().remove(2).1;
    scenario.lanes.remove(0);
    scenario
}

fn found(scenario: &Scenario, asked: &Asked) -> Found {
    find(scenario, &Library::shipped(), asked, &Budget::WHOLE, Waiting::NOBODY).unwrap().unwrap()
}

/// The figures it gives are those of a run of the schedule it gives, an aim is met exactly where the figure lies within it, and a bench with
/// rules is told that it does without them.
#[test]
fn what_is_proposed_is_what_a_run_of_it_gives() {
    let scenario = block();
    let before = scenario.clone();
    let found = found(&scenario, &Asked::within_the_light(&scenario));
    assert_eq!(scenario, before);
    assert!(found.scenario.validate(&Library::shipped()).is_empty());
    let bench = Workshop::default().ready(&found.scenario, &Library::shipped()).unwrap();
    let days = bench.settled_days(&|| true).unwrap();
    for (lane, (_, run)) in found.scenario.lanes.iter().zip(&days) {
        let figures = day_figures(run, lane, 0).unwrap();
        for told in found.aims.iter().filter(|a| a.lane == lane.name) {
            let value = told.figure.value(&figures);
            assert_eq!(value, told.value, "{:?}", told.figure);
            assert_eq!(told.met, value.is_some_and(|v| (told.aim.0..=told.aim.1).contains(&v)), "{told:?}");
        }
    }
    // Running the proposal on comes to the same.
    let said = words(&found, Units::default());
    for (at, lane) in found.lanes.iter().enumerate().filter(|(_, lane)| lane.repeats()) {
        let ready =
            &Workshop::default().ready(&Scenario { days: 366, ..found.scenario.clone() }, &Library::shipped()).unwrap().for_its_days()[at];
        let mut days = EachDay::of(ready, |run: &LaneRun, day| day_figures(run, &found.scenario.lanes[at], day).map(|f| f.root_zone_ec));
        ready.run_with(500, &mut days, &|| true).unwrap();
        let (now, later) = (lane.settled["root_zone_ec"].unwrap(), days.kept()[499].unwrap());
        assert!((now / later - 1.0).abs() < 2e-3, "{lane:?}: {later}");
    }
    assert_eq!(said.iter().any(|s| s.starts_with("Every aim is met")), found.aims.iter().all(|a| a.met), "{said:?}");
    assert_eq!(said.iter().any(|s| s.contains("rules")), scenario.all_rules().next().is_some() || !scenario.valves[0].changes.is_empty());
}

/// A timer of five minutes, two minutes at least, two emitters of 2 L/h, ten events, a small pump and a window of hours.
#[test]
fn the_equipment_can_give_it() {
    let scenario = block();
    let plants: f64 = scenario.lanes.iter().map(|l| f64::from(l.plants) * l.dose).sum();
    let hardware =
        Hardware { timer_step_s: 300, shortest_s: 120, emitter_l_per_h: Some(4.0), most_events: 10, pump_l_per_h: Some(3.0 * plants) };
    let asked = Asked { first: Clock::hm(9, 0), last: Clock::hm(15, 0), hardware, ..Asked::within_the_light(&scenario) };
    let found = found(&scenario, &asked);
    assert!((1..=10).contains(&found.events.len()));
    for event in &found.events {
        let Give::Drip { ml } = event.give else { panic!("{event:?}") };
        assert!(event.start >= asked.first && event.start <= asked.last && event.seconds >= 120, "{event:?}");
        assert_eq!(event.start_s() % 300.0, 0.0, "{event:?}");
        // The pump bounds what the emitter gives.
        assert!((ml / f64::from(event.seconds) - 3000.0 / 3600.0).abs() < 1e-9, "{event:?}");
    }
    assert!(found.events.windows(2).all(|w| w[0].end_s() < w[1].start_s()));
}

/// An aim that nothing can meet is told with its figure, and is not met by any of a grid of schedules either.
#[test]
fn an_aim_out_of_reach_is_told_and_truly_is() {
    let mut scenario = block();
    scenario.lanes[0].targets.root_zone_ec = Some((0.4, 0.5));
    let found = found(&scenario, &Asked::within_the_light(&scenario));
    let told = found.aims.iter().find(|a| a.figure == Figure::RootZoneEc).unwrap();
    assert!(!told.met && !found.meets_all());
    assert!(
        words(&found, Units::default())
            .iter()
            .any(|s| s.contains("root-zone EC is") && s.contains("None of those that settled came below")),
        "{:?}",
        words(&found, Units::default())
    );
    for (count, ml) in [(4, 60.0), (8, 60.0), (8, 150.0), (16, 200.0)] {
        let mut with = scenario.clone();
        with.valves[0].rules.clear();
        with.valves[0].changes.clear();
        with.valves[0].schedule = (0..count).map(|k| Event::drip(Clock::hm(8 + k / 2, 30 * (k % 2)), 5, ml)).collect();
        let days = Workshop::default().ready(&with, &Library::shipped()).unwrap().settled_days(&|| true).unwrap();
        assert!(day_figures(&days[0].1, &with.lanes[0], 0).unwrap().root_zone_ec > 0.5);
    }
}

#[test]
fn what_cannot_be_is_refused_and_a_no_ends_it() {
    let library = Library::shipped();
    let mut scenario = block();
    let asked = Asked::within_the_light(&scenario);
    assert!(find(&scenario, &library, &asked, &Budget::WHOLE, Waiting { go_on: &|| false, ..Waiting::NOBODY }).unwrap().is_none());
    for (hardware, field) in [
        (Hardware { most_events: 0, ..Hardware::default() }, "--most-events"),
        (Hardware { timer_step_s: 0, ..Hardware::default() }, "--timer-step"),
        (Hardware { pump_l_per_h: Some(0.0), ..Hardware::default() }, "--pump"),
        (Hardware { emitter_l_per_h: Some(f64::NAN), ..Hardware::default() }, "--emitter"),
    ] {
        let refused = find(&scenario, &library, &Asked { hardware, ..asked }, &Budget::WHOLE, Waiting::NOBODY);
        assert!(matches!(&refused, Err(StudyError::Asked(p)) if p.field == field), "{field}");
    }
    let backwards = Asked { first: asked.last, last: asked.first, ..asked };
    assert!(
        matches!(find(&scenario, &library, &backwards, &Budget::WHOLE, Waiting::NOBODY), Err(StudyError::Asked(p)) if p.field == "--last")
    );
    scenario.lanes[0].demand = Demand::Measured { litres_per_day: 0.0, steady_share: 0.5 };
    assert!(matches!(find(&scenario, &library, &asked, &Budget::WHOLE, Waiting::NOBODY), Err(StudyError::NothingUsed)));
}

/// An aubergine's block on a slab alone, and the same with another aim.
fn slab(dry_back: (f64, f64)) -> Scenario {
    let mut scenario = demos().remove(0).1;
    scenario.lanes.truncate(1);
    scenario.lanes[0].targets.dry_back_points = Some(dry_back);
    scenario
}

/// What a schedule costs, settled: the sum of squares of what is missed of the aims that fit, uptake four times.
fn cost(bench: &Scenario, schedule: Vec<Event>) -> f64 {
    let with = Scenario { valves: vec![slakeline::scenario::Valve::only(schedule)], days: 1, ..bench.clone() };
    let days = Workshop::default().ready(&with, &Library::shipped()).unwrap().settled_days(&|| true).unwrap();
    let one = |((_, run), lane): (&(_, LaneRun), &slakeline::scenario::Lane)| {
        let measured = slakeline::figures::Measured::of(&with, lane, run, 0).unwrap();
        let misses = slakeline::figures::misses_against(&measured.figures, &measured.aims);
        let squares: f64 = misses.all().into_iter().flatten().map(|m| m * m).sum();
        // An aim whose figure the day has not counts as one that is a width away.
        let none = [(measured.aims.dry_back_points, misses.dry_back), (measured.aims.drain_percent, misses.drain)];
        let missing = none.iter().filter(|(aim, miss)| aim.band().is_some() && miss.is_none()).count();
        squares + 3.0 * misses.uptake_met.unwrap().powi(2) + missing as f64
    };
    days.iter().zip(&with.lanes).map(one).sum()
}

/// Even events of a day: so much in so many between two hours.
fn even(ml: f64, count: u32, from_h: f64, to_h: f64) -> Vec<Event> {
    let at = |k: u32| from_h + (to_h - from_h) * f64::from(k) / f64::from(count - 1);
    (0..count).map(|k| Event::drip(Clock::from_hours((at(k) * 60.0).round() / 60.0), 5, ml / f64::from(count))).collect()
}

/// No schedule of a grid misses less than the one proposed; and what it tells of its own cost is so.
#[test]
fn a_grid_finds_nothing_better() {
    let mut drier = block();
    drier.lanes[0].targets.dry_back_points = Some((14.0, 20.0));
    for (case, bench) in [block(), drier, slab((5.0, 9.0))].into_iter().enumerate() {
        let found = found(&bench, &Asked::within_the_light(&bench));
        let uses = slakeline::studies::daily_use::litres(
            &bench.lanes[0],
            &slakeline::scenario::resolve::crop(&bench.lanes[0].crop, &Library::shipped()).unwrap(),
            &bench,
        ) * 1000.0;
        let mut grid = Vec::new();
        for share in [0.9, 1.05, 1.2, 1.5] {
            for count in [4, 9, 18] {
                for (from, to) in [(6.5, 18.0), (8.0, 16.0), (9.5, 19.0)] {
                    grid.push(even(uses * share, count, from, to));
                }
            }
        }
        use rayon::prelude::*;
        let best = grid.into_par_iter().map(|schedule| cost(&bench, schedule)).min_by(f64::total_cmp).unwrap();
        assert!(found.cost <= best + 1e-9, "case {case}: {} beside {best} of the grid: {:?}", found.cost, words(&found, Units::default()));
        assert!((cost(&bench, found.events.clone()) - found.cost).abs() < 1e-9, "case {case}");
    }
}

/// What goes in goes out with the drain or into the plant: EC of the drain = (EC of the feed − (1 − LF)·EC taken up)/LF (closed form, FAO-29's
/// balance), where nothing evaporates and the EC taken up stands still.
#[test]
fn the_drain_of_the_settled_day_carries_what_stays() {
    let mut bench = slab((5.0, 9.0));
    bench.evaporation_mm_per_day = 0.0;
    let library = Library::shipped();
    let mut crop = slakeline::scenario::resolve::crop(&bench.lanes[0].crop, &library).unwrap();
    (crop.uptake_rise, crop.uptake_ec) = (0.0, 1.5);
    bench.lanes[0].crop = slakeline::scenario::CropChoice::Custom(Box::new(crop));
    let found = found(&bench, &Asked::within_the_light(&bench));
    let of = |key: &str| found.lanes[0].settled[key].unwrap();
    let share = of("drain_percent") / 100.0;
    let closed = (bench.feed.ec - (1.0 - share) * 1.5) / share;
    assert!((of("drain_ec") / closed - 1.0).abs() < 0.01, "{} beside {closed} at {share}", of("drain_ec"));
}

#[test]
fn a_pump_that_cannot_deliver_is_told_with_what_it_gives() {
    let scenario = slab((5.0, 9.0));
    let plants: f64 = scenario.lanes.iter().map(|l| f64::from(l.plants) * l.dose).sum();
    let asked =
        Asked { hardware: Hardware { pump_l_per_h: Some(0.05 * plants), ..Hardware::default() }, ..Asked::within_the_light(&scenario) };
    let refused = find(&scenario, &Library::shipped(), &asked, &Budget::WHOLE, Waiting::NOBODY);
    assert!(matches!(&refused, Err(StudyError::TooLittle { gives_l, uses_l, .. }) if gives_l < uses_l), "{refused:?}");
    // One that can just do is not refused.
    let just = Asked { hardware: Hardware { pump_l_per_h: Some(0.3 * plants), ..asked.hardware }, ..asked };
    assert!(find(&scenario, &Library::shipped(), &just, &Budget::COARSE, Waiting::NOBODY).unwrap().is_some());
}

/// A first proposal comes before the end, simulated like the last, and is no better; the points show what is traded, the proposal among them.
#[test]
fn a_first_proposal_comes_early_and_points_show_what_is_traded() {
    let bench = slab((5.0, 9.0));
    let first = std::sync::Mutex::new(None);
    let keep = |found: Found| *first.lock().unwrap() = Some(found);
    let waiting = Waiting { first: &keep, ..Waiting::NOBODY };
    let last = find(&bench, &Library::shipped(), &Asked::within_the_light(&bench), &Budget::WHOLE, waiting).unwrap().unwrap();
    let first = first.into_inner().unwrap().unwrap();
    assert!(first.cost >= last.cost && first.tried < last.tried && !first.events.is_empty());
    assert!((cost(&bench, first.events.clone()) - first.cost).abs() < 1e-9);
    assert_eq!(last.points.iter().filter(|p| p.proposed).count(), 1);
    assert!(last.points.len() >= 12, "{}", last.points.len());
    let spread = |of: fn(&slakeline::studies::finder::PointLane) -> f64| {
        let values = last.points.iter().map(|p| of(&p.lanes[0]));
        values.clone().fold(f64::NEG_INFINITY, f64::max) - values.fold(f64::INFINITY, f64::min)
    };
    assert!(spread(|l| l.drain_percent.unwrap_or(0.0)) > 10.0 && spread(|l| l.dry_back_points.unwrap_or(0.0)) > 1.0);
    let proposed = last.points.iter().find(|p| p.proposed).unwrap();
    assert!(proposed.events == last.events && last.points.iter().all(|p| p.cost >= proposed.cost - 1e-6));
    // Any point is what a run of it gives.
    let other = last.points.iter().find(|p| !p.proposed).unwrap();
    assert!((cost(&bench, other.events.clone()) - other.cost).abs() < 1e-9);
}

/// A lane that aims for nothing gets usual aims of the growth leaned to, and keeps them with the schedule.
#[test]
fn a_lane_without_aims_starts_with_usual_ones() {
    use slakeline::studies::finder::Lean;
    let mut bench = block();
    bench.lanes[0].targets = slakeline::scenario::Targets::default();
    let dry_back = |lean| {
        let asked = Asked { lean, ..Asked::within_the_light(&bench) };
        let found = find(&bench, &Library::shipped(), &asked, &Budget::COARSE, Waiting::NOBODY).unwrap().unwrap();
        assert_eq!(found.starting_aims, [bench.lanes[0].name.clone()]);
        found.scenario.lanes[0].targets.dry_back_points.unwrap()
    };
    assert!(dry_back(Lean::Vegetative).1 < dry_back(Lean::Generative).1);
}

/// On a bench of two valves one is looked at: only its lanes are told, only its schedule is another, and the feed's EC is its own.
#[test]
fn one_valve_is_looked_at_and_the_other_stays_as_it_is() {
    let mut bench = demos().remove(0).1;
    bench.valves.push(slakeline::scenario::Valve { name: "second".to_owned(), ..bench.valves[0].clone() });
    bench.lanes[1].valve = 1;
    let asked = Asked { valve: 1, feed_too: true, ..Asked::within_the_light(&bench) };
    let found = find(&bench, &Library::shipped(), &asked, &Budget::COARSE, Waiting::NOBODY).unwrap().unwrap();
    assert_eq!(found.lanes.iter().map(|l| l.lane.as_str()).collect::<Vec<_>>(), [bench.lanes[1].name.as_str()]);
    assert_eq!((found.valve, found.scenario.valves[0] == bench.valves[0], found.scenario.feed.ec), (2, true, bench.feed.ec));
    assert!(found.scenario.valves[1].schedule == found.events && found.scenario.feed_ec(1) == found.feed_ec);
    assert!(
        found.feed_ec != bench.feed.ec && words(&found, Units::default()).iter().any(|s| s.contains("Other valves")),
        "{:?}",
        found.feed_ec
    );
    assert_eq!(found.scenario.validate(&Library::shipped()), []);
    for valve in [2, usize::MAX] {
        let refused = find(&bench, &Library::shipped(), &Asked { valve, ..asked }, &Budget::COARSE, Waiting::NOBODY);
        assert!(matches!(&refused, Err(StudyError::Asked(p)) if p.field == "--valve"));
    }
}
