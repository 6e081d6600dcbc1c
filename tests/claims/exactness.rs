//! How exact a bench is: the differences told are those of the runs, with their times; a bench on thick layers is told apart; what stops
//! half-way is told; it can be given up.

use crate::breaks;
use std::cell::{Cell, RefCell};
use std::path::Path;
use std::process::{Command, Output};

use slakeline::engine::run::simulation::Simulation;
use slakeline::engine::run::{Ready, Workshop};
use slakeline::figures::day::uptake_met;
use slakeline::scenario::file;
use slakeline::scenario::other_grid::refined;
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{DAY_S, Roots, Scenario, StartSalt, StartWater};
use slakeline::studies::exactness::aims;
use slakeline::studies::exactness::{Exactness, LaneExactness, exactness, words};
use slakeline::units::Units;

fn demo(number: usize) -> Scenario {
    demos().remove(number - 1).1
}

fn ready(scenario: &Scenario) -> Vec<Ready> {
    Workshop::default().ready(scenario, &Library::shipped()).unwrap().for_its_days()
}

fn exact(scenario: &Scenario) -> Exactness {
    assert_eq!(scenario.validate(&Library::shipped()), []);
    exactness(scenario, &Library::shipped(), &|| true, &|_| ()).unwrap().unwrap()
}

/// The same differences by another way: the bench's own run as it is kept and shown, and a finer one up to each of its instants.
#[test]
fn the_differences_are_those_of_the_run_shown_and_of_a_finer_one() {
    let mut scenario = demo(1);
    scenario.days = 2;
    let found = exact(&scenario);
    assert_eq!((found.thinner, found.tighter, found.lanes.len(), found.calls), (4, 10, 2, None));
    for ((own, finer), told) in ready(&scenario).iter().zip(ready(&refined(&scenario))).zip(&found.lanes) {
        assert_eq!((told.layers, told.finer_layers, &told.broken), (own.column.len(), 4 * own.column.len(), &None));
        let run = own.run(2);
        let mut fine = finer.simulation();
        let mut midnights = vec![*fine.ledger()];
        let (mut water, mut ec) = ((0.0, 0.0), (0.0, 0.0));
        let keep = |worst: &mut (f64, f64), by: f64, at_s: f64| {
            if by.abs() > worst.0 {
                *worst = (by.abs(), at_s);
            }
        };
        for sample in run.series.samples.iter().filter(|s| s.time_s <= 2.0 * DAY_S) {
            fine.advance_to(sample.time_s, |_| {}).unwrap();
            if sample.time_s > 0.0 && sample.time_s % DAY_S == 0.0 {
                midnights.push(*fine.ledger());
            }
            let whole = fine.ledger().water_stored / fine.column().volume;
            keep(&mut water, 100.0 * (sample.water_content - whole), sample.time_s);
            let root = |s: &Simulation| s.column().root_zone_ec(&s.state().theta, &s.state().ec);
            keep(&mut ec, 100.0 * (sample.root_zone_ec / root(&fine) - 1.0), sample.time_s);
        }
        assert!((told.water_points.by - water.0).abs() < 1e-9 && told.water_points.at_s == water.1, "{told:?} {water:?}");
        assert!((told.ec_percent.by - ec.0).abs() < 1e-9 && told.ec_percent.at_s == ec.1, "{told:?} {ec:?}");
        assert!(told.water_points.of_aim > 0.0 && (told.water_points.of_aim * aims::WATER_POINTS - told.water_points.by).abs() < 1e-12);
        let of_day = |day: usize| {
            let (a, b) = (run.day(day).unwrap(), midnights[day + 1].since(&midnights[day]));
            let share = |l: &slakeline::engine::run::ledger::Ledger| l.water.drained() / l.water.applied;
            [100.0 * (uptake_met(&a) - uptake_met(&b)), a.water.drained() - b.water.drained(), 100.0 * (share(&a) - share(&b))]
                .map(f64::abs)
        };
        let days = [of_day(0), of_day(1)];
        for (i, told) in [told.uptake_points, told.drained_ml, told.drain_points].into_iter().enumerate() {
            let most = days[0][i].max(days[1][i]);
            assert!((told.by - most).abs() < 1e-9, "{i}: {told:?} {days:?}");
            assert!((days[told.day - 1][i] - most).abs() < 1e-9, "{i}: {told:?} {days:?}");
        }
        // The part furthest off is at least as far off as the whole.
        assert!(told.part_water_points.apart.by >= told.water_points.by);
        let parts: Vec<&str> = own.column.parts.iter().map(|p| p.name.as_str()).collect();
        let part = told.part_water_points.part.as_str();
        assert!(if parts.len() > 1 { parts.contains(&part) } else { part.ends_with(" third") }, "{part} of {parts:?}");
    }
}

#[test]
fn thick_layers_are_told_apart() {
    let mut scenario = demo(1);
    scenario.days = 1;
    let usual = exact(&scenario).lanes.remove(0);
    (scenario.solver.layer_cm, scenario.solver.min_layers) = (2.5, 2);
    let thick = exact(&scenario).lanes.remove(0);
    let part = |lane: &LaneExactness| lane.part_water_points.apart;
    assert!(part(&thick).by > aims::WATER_POINTS && part(&thick).of_aim > 1.0, "{thick:?}");
    assert!(part(&thick).by > 2.0 * part(&usual).by && thick.water_points.by > 2.0 * usual.water_points.by, "{usual:?} {thick:?}");
}

#[test]
fn less_is_asked_while_a_flood_stands_and_ten_minutes_after() {
    let mut scenario = demo(2);
    scenario.lanes.truncate(1);
    scenario.days = 1;
    // Thick layers, so that there is something to see during the floods and besides.
    (scenario.solver.layer_cm, scenario.solver.min_layers) = (2.0, 2);
    let lane = &exact(&scenario).lanes[0];
    let (whole, floods) = (lane.water_points, scenario.valves[0].schedule.iter().filter(|e| e.give.is_flood()));
    let during = floods.map(|e| (e.start_s(), e.end_s() + 600.0)).any(|(from, to)| (from..=to).contains(&whole.at_s));
    let plain = whole.by / aims::WATER_POINTS;
    assert!(if during { whole.of_aim < plain } else { whole.of_aim == plain }, "{whole:?}, during a flood: {during}");
    assert!(lane.part_water_points.apart.of_aim >= lane.part_water_points.apart.by / aims::MOVING_WATER_POINTS - 1e-12);
}

#[test]
fn what_is_given_layer_by_layer_is_the_same_bench_on_thinner_layers() {
    let mut scenario = demo(1);
    scenario.lanes.truncate(1);
    scenario.days = 1;
    scenario.valves[0].schedule.clear();
    // Layers that go up in both parts, so that each thin one lies in one thick one.
    (scenario.solver.layer_cm, scenario.solver.min_layers) = (0.5, 12);
    let own = ready(&scenario).remove(0);
    // The rest state and salt of each layer, by hand, and roots in the lower half.
    let lane = &mut scenario.lanes[0];
    lane.start.water = StartWater::Layers(own.start.theta.iter().map(|t| t - 1e-6).collect());
    lane.start.salt = StartSalt::Layers((0..own.column.len()).map(|i| 2.0 + if i % 2 == 0 { 0.5 } else { 0.0 }).collect());
    lane.roots = Roots::PerLayer((0..own.column.len()).map(|i| f64::from(u8::from(i < own.column.len() / 2))).collect());
    let [own, finer] = [&scenario, &refined(&scenario)].map(|s| ready(s).remove(0).simulation());
    let of = |s: &Simulation| (s.ledger().water_stored, s.ledger().salt_stored, s.column().root_zone_ec(&s.state().theta, &s.state().ec));
    let (a, b) = (of(&own), of(&finer));
    assert!((a.0 - b.0).abs() < 1e-9 * a.0 && (a.1 - b.1).abs() < 1e-9 * a.1 && (a.2 - b.2).abs() < 1e-9, "{a:?} {b:?}");
    assert!(exact(&scenario).lanes[0].broken.is_none());
}

#[test]
fn the_timetables_of_a_probe_are_compared_too() {
    let mut scenario = demo(10);
    scenario.days = 2;
    let calls = exact(&scenario).calls.unwrap();
    let [own, finer] = [&scenario, &refined(&scenario)].map(|s| ready(s).remove(0).timetable);
    let as_many: Vec<usize> = (0..2).filter(|d| own.events(*d).len() == finer.events(*d).len()).collect();
    assert_eq!(calls.other_number.is_none(), as_many.len() == 2);
    let shifts = as_many.iter().flat_map(|d| own.events(*d).iter().zip(finer.events(*d)).map(|(a, b)| (a.start_s() - b.start_s()).abs()));
    assert_eq!(calls.shifted_s.by, shifts.fold(0.0, f64::max));
}

#[test]
fn a_finer_run_that_stops_is_told_with_its_time() {
    let (_, found) = breaks::when_refined().expect("one of these tolerances lies between");
    let (lane, broken) = found.failed().unwrap();
    let words = broken.to_string();
    assert!(words.starts_with("the finer run stopped at ") && words.contains(", day 1, in layer "), "{words}");
    let json = serde_json::to_value(&found).unwrap();
    let told = json["lanes"].as_array().unwrap().iter().find(|l| l["lane"] == lane.lane.as_str()).unwrap();
    assert_eq!(told["broken"], words.as_str());
}

#[test]
fn a_bench_that_stops_itself_is_told_so() {
    let mut scenario = demo(1);
    scenario.days = 1;
    (scenario.solver.min_step_s, scenario.solver.convergence, scenario.solver.tolerance) = (1.0, 1e-9, 1e-8);
    let found = exact(&scenario);
    let words = found.lanes[0].broken.as_ref().unwrap().to_string();
    assert!(words.starts_with("the bench's own run stopped at "), "{words}");
    assert!(found.failed().is_none(), "that is told as the run's own failure");
}

#[test]
fn it_tells_how_far_it_is_and_can_be_given_up_at_any_step() {
    let mut scenario = demo(1);
    scenario.days = 2;
    let (library, asked, told) = (Library::shipped(), Cell::new(0_u32), RefCell::new(Vec::new()));
    let counted = || {
        asked.set(asked.get() + 1);
        true
    };
    assert!(exactness(&scenario, &library, &counted, &|share| told.borrow_mut().push(share)).unwrap().is_some());
    assert_eq!(*told.borrow(), [0.25, 0.5, 0.75, 1.0]);
    let all = asked.get();
    assert!(all > 400, "asked {all} times");
    for last in [0, 1, all / 2, all - 1] {
        let left = Cell::new(last);
        let go_on = || left.get() > 0 && left.replace(left.get() - 1) > 0;
        assert!(exactness(&scenario, &library, &go_on, &|_| ()).unwrap().is_none(), "given up after {last} steps");
    }
}

/// `slakeline simulate` on a scenario, away from the presets of whoever runs the tests.
fn simulate(folder: &Path, scenario: &Scenario, options: &[&str]) -> Output {
    let path = folder.join("bench.ron");
    file::save(scenario, &path).unwrap();
    let mut command = Command::new(env!("CARGO_BIN_EXE_slakeline"));
    command.arg("simulate").arg(path).args(options).current_dir(folder);
    command.env("XDG_DATA_HOME", folder).env("HOME", folder).output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

#[test]
fn the_command_tells_it_in_the_table_and_in_the_json() {
    let folder = tempfile::tempdir().unwrap();
    let mut scenario = demo(10);
    scenario.days = 1;
    let output = simulate(folder.path(), &scenario, &["--refine", "--figures", "out.json"]);
    assert_eq!((output.status.code(), text(&output.stderr).as_str()), (Some(0), ""));
    let (table, found) = (text(&output.stdout), exact(&scenario));
    assert!(table.contains("Largest differences from the same bench with layers 1/4 as thick and 1/10 of the tolerance"), "{table}");
    for lane in &found.lanes {
        let from = table.split(&format!("  {} ({} layers, {} in the finer run)", lane.lane, lane.layers, lane.finer_layers)).nth(1);
        let lines: Vec<&str> = from.unwrap_or_else(|| panic!("{table}")).lines().skip(1).collect();
        for (line, told) in words::lines(lane, Units::default()).iter().zip(lines) {
            let cells: Vec<&str> = told.split("  ").map(str::trim).filter(|c| !c.is_empty()).collect();
            let wanted: Vec<&str> = [line.what.as_str(), &line.by, &line.when, line.aim()].into_iter().filter(|c| !c.is_empty()).collect();
            assert_eq!(cells, wanted, "{table}");
        }
    }
    assert!(table.contains(&words::calls(&found.calls.unwrap())) && table.contains(&words::aim()), "{table}");
    let json: serde_json::Value = serde_json::from_slice(&std::fs::read(folder.path().join("out.json")).unwrap()).unwrap();
    // Written and read again, a number may lose its last digit.
    let number = |path: &str| json["refined"].pointer(path).unwrap_or_else(|| panic!("{path} in {}", json["refined"])).as_f64().unwrap();
    for (i, lane) in found.lanes.iter().enumerate() {
        let told = |name: &str| number(&format!("/lanes/{i}/{name}"));
        for (name, by) in [
            ("water_points/by", lane.water_points.by),
            ("water_points/at_s", lane.water_points.at_s),
            ("part_water_points/by", lane.part_water_points.apart.by),
            ("ec_percent/of_aim", lane.ec_percent.of_aim),
            ("uptake_points/by", lane.uptake_points.by),
            ("drained_ml/by", lane.drained_ml.by),
            ("drain_points/by", lane.drain_points.by),
        ] {
            assert!((told(name) - by).abs() <= 1e-12 * by.abs(), "{name}: {} and {by}", told(name));
        }
    }
    assert_eq!(json["refined"]["thinner"], 4);
    let plain = simulate(folder.path(), &scenario, &["--figures", "-"]);
    let plain: serde_json::Value = serde_json::from_slice(&plain.stdout).unwrap();
    assert!(plain.get("refined").is_none(), "it is only there when asked for");
    // The bench's own figures are those of the plain run.
    assert_eq!(plain["lanes"], json["lanes"]);
}

#[test]
fn a_finer_run_that_stops_fails_the_command_and_the_figures_stand() {
    let folder = tempfile::tempdir().unwrap();
    let (scenario, found) = breaks::when_refined().expect("one of these tolerances lies between");
    let output = simulate(folder.path(), &scenario, &["--refine"]);
    let (table, errors) = (text(&output.stdout), text(&output.stderr));
    let lines: Vec<&str> = errors.lines().collect();
    let broken = found.lanes[0].broken.as_ref().unwrap().to_string();
    assert_eq!((output.status.code(), lines.len()), (Some(1), 2), "{errors}");
    assert!(
        lines[0].starts_with("slakeline: lane \"Block on slab\": the finer run stopped at ") && lines[0].ends_with(&broken),
        "{errors}"
    );
    assert!(table.contains("The finer run stopped at ") && table.contains("drain fraction"), "{table}");
    let plain = simulate(folder.path(), &scenario, &[]);
    assert_eq!((plain.status.code(), text(&plain.stderr).as_str()), (Some(0), ""));
}

#[test]
fn where_it_would_be_told_nowhere_it_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let output = simulate(folder.path(), &demo(1), &["--refine", "--series", "-"]);
    assert_eq!((output.status.code(), text(&output.stdout).as_str()), (Some(2), ""));
    let errors = text(&output.stderr);
    assert!(errors.starts_with("slakeline: --refine is told in the table and in --figures, and neither is written\n"), "{errors}");
    assert_eq!(errors.lines().count(), 2);
}
