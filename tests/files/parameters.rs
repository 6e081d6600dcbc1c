//! Every number that may vary, by its name: on every demo each path is found, read and written, and what cannot be is refused by name.

use std::collections::HashSet;

use proptest::prelude::*;
use slakeline::edits::fit::fit;
use slakeline::scenario::parameter::Spread;
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{
    Component, LightSum, MediumChoice, Parameter, ParameterError, PlanChange, Probe, Refill, Rule, Scenario, StartSalt, StartWater, Tank,
    When, file,
};

/// All demos, and one that has what none of them has.
fn benches() -> Vec<(String, Scenario)> {
    let mut all = demos();
    let mut odd = all[0].1.clone();
    let climate = all.iter().find_map(|(_, s)| s.climate.clone()).unwrap();
    odd.climate = Some(climate);
    odd.tank = Some(Tank {
        litres: 200.0,
        start_ec: Some(2.0),
        refill: Refill::Water { ec: 0.3 },
        filled: slakeline::scenario::Filled::Never,
        drain_returns: true,
    });
    let event = odd.valves[0].schedule[0];
    let rule = |when| Rule {
        when,
        first: slakeline::scenario::Clock::hm(8, 0),
        last: slakeline::scenario::Clock::hm(16, 0),
        seconds: 300,
        give: event.give,
        ec: Some(1.0),
    };
    odd.lanes[0].probe = Some(Probe { height_cm: 4.0, length_cm: 3.0 });
    let dry = When::Dry { lane: odd.lanes[0].name.clone(), falls_to: 0.6, pause_s: 600 };
    odd.valves[0].rules = vec![rule(When::Light(LightSum::Joules(100.0))), rule(When::Light(LightSum::Moles(2.0))), rule(dry)];
    odd.days = 4;
    odd.valves[0].changes = vec![PlanChange { from_day: 2, schedule: vec![event], rules: odd.valves[0].rules.clone() }];
    odd.lanes[0].start.water = StartWater::Mean(0.6);
    odd.lanes[0].start.salt = StartSalt::Ec(2.5);
    odd.lanes[1].start.water = StartWater::Head(-20.0);
    odd.lanes[1].start.run_in_days = Some(3);
    let mix = |name: &str, percent| Component { medium: name.to_owned(), percent };
    odd.lanes[1].container.parts[0].medium = MediumChoice::Mix(vec![mix("coir pith", 70.0), mix("coarse perlite", 30.0)]);
    assert_eq!(odd.validate(&Library::shipped()), [], "the odd bench is sound");
    all.push(("odd".to_owned(), odd));
    all
}

#[test]
fn every_path_is_found_once_and_reads_what_the_list_says() {
    let library = Library::shipped();
    let mut names = HashSet::new();
    for (name, bench) in benches() {
        let all = bench.parameters(&library);
        assert!(all.len() > 50, "{name} has {} numbers", all.len());
        let paths: HashSet<&str> = all.iter().map(|p| p.path.as_str()).collect();
        assert_eq!(paths.len(), all.len(), "{name}: a path stands twice");
        for p in &all {
            assert_eq!(bench.parameter(&p.path, &library).as_ref(), Ok(p), "{name}");
            assert!((p.range.0..=p.range.1).contains(&p.value), "{name}: {p:?} is outside its own range");
            assert!(!p.label.is_empty() && p.range.0 < p.range.1, "{name}: {p:?}");
            if let Some(prior) = p.prior {
                let first = prior.provenance.split([' ', ':', ';']).next().unwrap();
                assert!(["judgement", "memory", "published"].contains(&first), "{}: {}", p.path, prior.provenance);
                assert!(matches!(prior.spread, Spread::Factor(f) if f > 1.0) || matches!(prior.spread, Spread::Amount(a) if a > 0.0));
            }
            names.insert(p.path.replace(|c: char| c.is_ascii_digit(), ""));
        }
    }
    // What a stranger would look for is there.
    for path in [
        "feed.ec",
        "tank.litres",
        "valves[].schedule[].give.ml",
        "valves[].rules[].when.falls_to",
        "valves[].changes[].schedule[].seconds",
        "lanes[].dose",
        "lanes[].demand.litres_per_day",
        "lanes[].demand.scale",
        "lanes[].container.parts[].medium.curve.alpha_per_cm",
        "lanes[].container.parts[].medium[].percent",
        "lanes[].container.parts[].medium.channelling",
        "lanes[].crop.stress.begins_cm",
        "lanes[].targets.drain_percent.",
        "climate.by_day.celsius",
        "solver.tolerance",
    ] {
        assert!(names.contains(path), "{path} is not among {names:?}");
    }
}

#[test]
fn every_number_is_read_as_it_was_written_and_its_ends_can_be() {
    let library = Library::shipped();
    let mut ends = 0;
    for (name, bench) in benches() {
        for p in bench.parameters(&library) {
            let middle = 0.5 * (p.range.0 + p.range.1);
            for wanted in [p.range.0, p.range.1, if p.whole { middle.round() } else { middle }] {
                let wanted = if p.whole { wanted.floor().max(p.range.0.ceil()) } else { wanted };
                let mut after = bench.clone();
                after.set_parameter(&p.path, wanted, &library).unwrap_or_else(|e| panic!("{name}: {e}"));
                assert_eq!(after.parameter(&p.path, &library).unwrap().value, wanted, "{name}: {}", p.path);
                let problems = after.validate(&library);
                // What hangs on other values follows by hand; events that then overlap are told by their starts.
                fit(&mut after, &library);
                let left = after.validate(&library);
                let of_events = |field: &str| field.contains(".schedule[") && field.ends_with("start");
                let own = left.iter().find(|q| !of_events(&q.field));
                assert!(own.is_none(), "{name}: {} = {wanted}: {own:?}, before it was fitted {problems:?}", p.path);
                ends += 1;
            }
        }
    }
    assert!(ends > 1000, "{ends} values were tried");
}

#[test]
fn a_number_changes_itself_alone() {
    let library = Library::shipped();
    // What follows another number by its nature.
    let follows = |set: &str, other: &str| {
        let within = |part: &str| set.contains(part) && other.contains(part);
        // Mixes are refitted, their shares sum to 100; a probe stays within its container; a rise begins somewhere.
        (set.ends_with("].percent") && (other.ends_with("].percent") || other.contains(".medium.")))
            || (set.contains(".medium.") && other.ends_with("].percent"))
            || (within(".probe.") && set.ends_with("length_cm"))
            || (set.ends_with("uptake_ec") || set.ends_with("guide_root_zone_ec") || set.ends_with("uptake_rise"))
                && other.ends_with("uptake_rises_above")
            || (set.contains(".crop.canopy.") && other.contains(".demand."))
            || (set.ends_with("curve.n") && other.ends_with("capillary_height_cm"))
            || (set.contains(".medium.curve.") && other.contains(".medium.curve."))
    };
    for (name, bench) in benches() {
        let before = bench.parameters(&library);
        for p in &before {
            let mut after = bench.clone();
            let to = if p.value == p.range.0 { p.range.1 } else { p.range.0 };
            after.set_parameter(&p.path, if p.whole { to.ceil().min(p.range.1.floor()) } else { to }, &library).unwrap();
            for other in before.iter().filter(|o| o.path != p.path && !follows(&p.path, &o.path)) {
                if let Ok(now) = after.parameter(&other.path, &library) {
                    assert_eq!(now.value, other.value, "{name}: {} moved {}", p.path, other.path);
                }
            }
        }
    }
}

#[test]
fn what_cannot_be_is_refused_by_name_and_changes_nothing() {
    let library = Library::shipped();
    for (name, bench) in benches() {
        for p in bench.parameters(&library) {
            let over = |x: f64| x + (1e-9 * x.abs()).max(1e-12);
            for wanted in [over(p.range.1), -over(-p.range.0), f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
                let mut after = bench.clone();
                let refused = after.set_parameter(&p.path, wanted, &library).unwrap_err();
                assert!(matches!(&refused, ParameterError::OutOfRange { path, .. } if *path == p.path), "{name}: {refused}");
                assert!(refused.to_string().contains(&p.path) && !refused.remedy().is_empty(), "{refused}");
                assert_eq!(after, bench);
            }
            if p.whole {
                let mut after = bench.clone();
                let half = (p.range.0 + 0.5).min(p.range.1 - 0.5);
                assert!(matches!(after.set_parameter(&p.path, half, &library), Err(ParameterError::NotWhole { .. })), "{name}: {}", p.path);
            }
        }
    }
}

#[test]
fn names_that_are_none_are_refused() {
    let (library, mut bench) = (Library::shipped(), demos().remove(0).1);
    for path in [
        "",
        "ec",
        "lanes",
        "lanes[0]",
        "lanes[0].",
        "lanes[99].dose",
        "lanes[-1].dose",
        "lanes[+0].dose",
        "lanes[00000000000000000000000].dose",
        "lanes[0].container.parts[7].height_cm",
        "lanes[0].container.parts[0].medium.curve.gamma",
        "valves[0].schedule[9999].give.ml",
        "valves[0].changes[0].schedule[0].give.ml",
        "valves[0].changes[18446744073709551615].schedule[0].give.ml",
        "feed.ec ",
        "valves[0].rules[0].when",
        "\u{1b}[31m",
    ] {
        let refused = bench.set_parameter(path, 1.0, &library).unwrap_err();
        assert!(matches!(refused, ParameterError::Unknown(_)), "{path}: {refused}");
        assert!(!refused.to_string().contains('\u{1b}'));
    }
    assert_eq!(bench, demos().remove(0).1);
}

fn named() -> impl Strategy<Value = (usize, usize, f64)> {
    (0..11_usize, 0..1000_usize, prop_oneof![Just(0.0), Just(1.0), 0.0..1.0])
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]

    /// Many numbers one after the other: each is read as it was written, and the whole is read back from its file.
    #[test]
    fn numbers_written_one_after_the_other_are_read_and_kept(steps in prop::collection::vec(named(), 1..12)) {
        let library = Library::shipped();
        let mut all = benches();
        let at = steps[0].0 % all.len();
        let mut bench = all.swap_remove(at).1;
        for (_, which, share) in steps {
            let list: Vec<Parameter> = bench.parameters(&library);
            let p = &list[which % list.len()];
            let wanted = p.range.0 + share * (p.range.1 - p.range.0);
            let wanted = if p.whole { wanted.round().clamp(p.range.0.ceil(), p.range.1.floor()) } else { wanted.clamp(p.range.0, p.range.1) };
            bench.set_parameter(&p.path, wanted, &library).unwrap();
            prop_assert_eq!(bench.parameter(&p.path, &library).unwrap().value, wanted, "{}", p.path);
        }
        let back = file::parse(&file::to_text(&bench).unwrap()).unwrap();
        bench.sort_schedule();
        prop_assert_eq!(back, bench);
    }
}
