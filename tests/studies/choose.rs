//! Root zones beside each other: what is told of each is what a plain run gives.

use slakeline::engine::run::Workshop;
use slakeline::figures::day_figures;
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{Demand, Scenario};
use slakeline::studies::StudyError;
use slakeline::studies::choose::{Asked, Point, choose, missed, words};
use slakeline::studies::finder::Figure;
use slakeline::units::Units;

fn bench() -> Scenario {
    let mut scenario = demos().remove(0).1;
    scenario.lanes.truncate(1);
    scenario
}

fn asked(scenario: &Scenario, media: &[&str], litres: &[f64]) -> Asked {
    Asked { media: media.iter().map(|m| (*m).to_owned()).collect(), litres: litres.to_vec(), ..Asked::of(scenario, 0) }
}

fn told(scenario: &Scenario, asked: &Asked) -> Vec<Point> {
    choose(scenario, &Library::shipped(), asked, &|| true, &|_| ()).unwrap()
}

/// The figures of a point are those of its bench run until it settles, and a larger root zone bears a stopped pump for longer.
#[test]
fn a_point_is_what_a_run_of_its_bench_gives() {
    let scenario = bench();
    let before = scenario.clone();
    let points = told(&scenario, &asked(&scenario, &["coir pith", "stone wool, slab"], &[3.0, 12.0]));
    assert_eq!(scenario, before);
    let named: Vec<(&str, f64)> = points.iter().map(|p| (p.medium.as_str(), p.litres)).collect();
    assert_eq!(named, [("coir pith", 3.0), ("coir pith", 12.0), ("stone wool, slab", 3.0), ("stone wool, slab", 12.0)]);
    for point in &points {
        let bench = point.bench.as_ref().unwrap();
        assert_eq!(bench.validate(&Library::shipped()), [], "{point:?}");
        assert!((bench.lanes[0].container.volume_per_plant_ml() / 1000.0 - point.litres).abs() < 1e-6);
        let days = Workshop::default().ready(bench, &Library::shipped()).unwrap().settled_days(&|| true).unwrap();
        let figures = day_figures(&days[0].1, &bench.lanes[0], 0).unwrap();
        assert_eq!(point.had.ec, Some(figures.root_zone_ec));
        assert_eq!(point.had.drained_l, Some(figures.drained_ml / 1000.0));
        assert_eq!(point.had.dry_back_points, figures.dry_back.map(|d| d.points));
        assert_eq!(point.had.events_a_day, Some(bench.valves[0].schedule.len()));
        // At the fullest of the day: medium and water.
        assert!(point.had.weight_kg.unwrap() > figures.peak * point.litres);
        assert_eq!(point.met, missed(point).is_empty());
    }
    for pair in points.chunks(2) {
        let hours = |p: &Point| p.had.grace_h.unwrap_or(72.0);
        assert!(hours(&pair[0]) < hours(&pair[1]), "{:?} {:?}", pair[0].had, pair[1].had);
        assert!(pair[0].had.weight_kg < pair[1].had.weight_kg && pair[0].had.dry_back_reach_points > pair[1].had.dry_back_reach_points);
    }
}

/// What cannot be had stands there all the same, with what it misses; a plant that uses nothing is told as such.
#[test]
fn what_cannot_be_had_is_told() {
    let mut scenario = bench();
    scenario.lanes[0].targets.root_zone_ec = Some((0.4, 0.5));
    let question = asked(&scenario, &["coarse perlite"], &[5.0]);
    let points = told(&scenario, &question);
    assert!(!points[0].met && points[0].missed.iter().any(|a| a.figure == Figure::RootZoneEc), "{points:?}");
    assert!(missed(&points[0]).contains("root-zone EC high") && words(&points, Units::default()).starts_with("None of 1 root zones"));
    scenario.lanes[0].demand = Demand::Measured { litres_per_day: 0.0, steady_share: 0.5 };
    let points = told(&scenario, &question);
    assert!(points[0].why_not.as_ref().is_some_and(|why| why.contains("use any water")) && points[0].had.events_a_day.is_none());
}

#[test]
fn what_is_asked_for_is_checked_by_name_and_a_no_ends_it() {
    let scenario = bench();
    let library = Library::shipped();
    let good = asked(&scenario, &["pumice"], &[4.0]);
    assert_eq!(choose(&scenario, &library, &good, &|| false, &|_| ()).unwrap(), []);
    for (wrong, field) in [
        (Asked { lane: 1, ..good.clone() }, "--lane"),
        (asked(&scenario, &["nothing"], &[4.0]), "--medium"),
        (asked(&scenario, &["pumice"], &[0.0]), "--litres"),
        (asked(&scenario, &["pumice"], &[f64::NAN]), "--litres"),
        (asked(&scenario, &["pumice"], &[5.0; 401]), "--litres"),
        (Asked { heights_cm: vec![-1.0], ..good.clone() }, "--heights"),
    ] {
        let refused = choose(&scenario, &library, &wrong, &|| true, &|_| ());
        assert!(matches!(&refused, Err(StudyError::Asked(p)) if p.field == field), "{field}: {refused:?}");
    }
    // Eight volumes of every medium, unless others are named.
    assert_eq!(Asked::of(&scenario, 0).zones(&scenario, &library).len(), 8 * library.media.len());
}

/// A feed too strong for a root zone at any drain it aims for is no reason to leave that out: with an EC of its own it meets every aim, and
/// simulated it is fed that.
#[test]
fn with_a_feed_of_its_own_a_root_zone_can_meet_what_it_could_not() {
    let mut scenario = demos().remove(0).1;
    scenario.lanes.truncate(1);
    let own = asked(&scenario, &["stone wool, slab"], &[4.0]);
    let free = Asked { schedule: slakeline::studies::finder::Asked { feed_too: true, ..own.schedule }, ..own.clone() };
    let [as_fed, fed_anew] = [own, free].map(|question| told(&scenario, &question).remove(0));
    assert!(as_fed.had.feed_ec == Some(2.4) && as_fed.missed.iter().any(|a| a.figure == Figure::RootZoneEc), "{as_fed:?}");
    let bench = fed_anew.bench.clone().unwrap();
    assert!(fed_anew.met && fed_anew.had.feed_ec == Some(bench.feed_ec(0)) && bench.feed_ec(0) < 2.4, "{fed_anew:?}");
}
