//! The commands that ask questions of a bench: what they write, and what they refuse.

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

fn slakeline(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_slakeline")).args(arguments).current_dir(env!("CARGO_MANIFEST_DIR")).output().unwrap()
}

fn json(arguments: &[&str]) -> Value {
    let out = slakeline(arguments);
    assert!(out.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&out.stderr));
    serde_json::from_slice(&out.stdout).unwrap()
}

fn demo(number: u32) -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo");
    let starts = |name: &str| name.starts_with(&format!("{number}-"));
    let names = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().to_string_lossy().into_owned());
    format!("demo/{}", names.into_iter().find(|n| starts(n)).unwrap())
}

#[test]
fn grace_and_flush_write_what_scripts_read() {
    let grace = json(&["grace", &demo(1), "--json", "-"]);
    let lane = &grace["lanes"][0];
    assert!(lane["worst_hour"].is_u64() && lane["name"] == "Block on slab", "{lane}");
    let one = &lane["grace"][0];
    assert!(one["hour"].is_u64() && one["fault"] == "pump_stops" && one["hours_to_90"].is_f64(), "{one}");
    assert!(one.get("hours_to_50").is_some() && one.get("hours_to_dry").is_some());

    let flush = json(&["flush", &demo(1), "--to", "2", "--rinse", "0.5", "--json", "-"]);
    let lane = &flush["lanes"][0];
    for key in ["litres_per_plant", "hours", "final_ec", "well_mixed_litres", "plug_flow_litres"] {
        assert!(lane[key].as_f64().is_some_and(f64::is_finite), "{key}: {lane}");
    }
    assert!(lane["events"].is_u64() && lane["name"] == "Block on slab");
}

#[test]
fn a_spread_writes_what_scripts_read() {
    let told = json(&["spread", &demo(1), "--members", "120", "--seed", "5", "--days", "1", "--json", "-"]);
    assert_eq!((&told["seed"], &told["members"], &told["failed"]), (&5.into(), &120.into(), &0.into()));
    let lane = &told["lanes"][0];
    assert!(lane["chance"].as_object().unwrap().values().all(|c| c.as_f64().is_some_and(|c| (0.0..=1.0).contains(&c))), "{lane}");
    let band: Vec<f64> = lane["bands"]["root_zone_ec"].as_array().unwrap().iter().map(|v| v.as_f64().unwrap()).collect();
    assert!(band.len() == 3 && band[0] < band[1] && band[1] < band[2]);
    let shares = lane["shares"].as_object().unwrap();
    assert!(shares.contains_key("emitter flow") && shares.values().all(|s| s[0].is_f64() && s[1].is_f64()), "{shares:?}");
    assert_eq!(told, json(&["spread", &demo(1), "--members", "120", "--seed", "5", "--days", "1", "--json", "-"]));
}

/// The bench that is saved can be opened and run, and its schedule is the one that was told.
#[test]
fn a_schedule_found_is_saved_as_a_bench_that_runs() {
    let folder = tempfile::tempdir().unwrap();
    let saved = folder.path().join("found.ron");
    let saved = saved.to_str().unwrap();
    // One lane alone, so that it settles soon.
    let mut bench = slakeline::scenario::presets::demos().remove(2).1;
    bench.lanes.remove(0);
    let file = folder.path().join("bench.ron");
    std::fs::write(&file, slakeline::scenario::file::to_text(&bench).unwrap()).unwrap();
    let found = json(&["find-schedule", file.to_str().unwrap(), "--save", saved, "--json", "-", "--most-events", "12"]);
    let events = found["events"].as_array().unwrap();
    assert!(!events.is_empty() && events.len() <= 12);
    assert!(found["lanes"][0]["settled"]["root_zone_ec"].is_f64());
    for aim in found["aims"].as_array().unwrap() {
        assert!(aim["met"].is_boolean() && aim["aim"].is_array() && aim["lane"].is_string() && aim["figure"].is_string(), "{aim}");
    }
    assert!(slakeline(&["check", saved]).status.success());
    let run = json(&["simulate", saved, "--figures", "-"]);
    assert_eq!(run["closed"], true);
    assert!(String::from_utf8(std::fs::read(saved).unwrap()).unwrap().matches("Drip").count() >= events.len());
}

/// What the finder says a lane comes to is what `simulate` says of the last of many days of the bench it saved; and every aim that it calls
/// met is met there.
#[test]
fn simulate_says_of_a_schedule_found_what_the_finder_said() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    // A block, a slab with a pot beside it on one pump, a table that floods, and a pot with a night's dry-back.
    for (number, lanes, most) in [(2, 1..2, "20"), (0, 0..2, "48"), (1, 0..1, "6"), (5, 0..1, "30")] {
        let mut bench = slakeline::scenario::presets::demos().remove(number).1;
        bench.lanes = bench.lanes.drain(lanes).collect();
        let (file, saved) = (path("bench.ron"), path("found.ron"));
        std::fs::write(&file, slakeline::scenario::file::to_text(&bench).unwrap()).unwrap();
        let found = json(&["find-schedule", &file, "--save", &saved, "--json", "-", "--most-events", most]);
        let run = json(&["simulate", &saved, "--days", "250", "--figures", "-"]);
        for (lane, simulated) in found["lanes"].as_array().unwrap().iter().zip(run["lanes"].as_array().unwrap()) {
            let figures = &simulated["days"].as_array().unwrap().last().unwrap()["figures"];
            let value = |figure: &str| match figure {
                "dry_back_points" => figures["dry_back"]["points"].as_f64(),
                "drain_percent" => figures["drain_fraction"].as_f64().map(|f| 100.0 * f),
                other => figures[other].as_f64(),
            };
            for aim in found["aims"].as_array().unwrap().iter().filter(|a| a["lane"] == lane["lane"]) {
                let (figure, said) = (aim["figure"].as_str().unwrap(), aim["value"].as_f64());
                let simulated = value(figure);
                match (said, simulated) {
                    (Some(said), Some(simulated)) => {
                        assert!((said - simulated).abs() < 0.01 * said.abs() + 0.02, "{number}, {aim}: {simulated}");
                    }
                    (said, simulated) => assert_eq!(said, simulated, "{number}, {aim}"),
                }
                let (low, high) = (aim["aim"][0].as_f64().unwrap(), aim["aim"][1].as_f64().unwrap_or(f64::INFINITY));
                if aim["met"] == true {
                    assert!(simulated.is_some_and(|v| (low..=high).contains(&v)), "{number}, {aim}: {simulated:?}");
                }
            }
        }
    }
}

#[test]
fn root_zones_beside_each_other_are_written_for_scripts() {
    let told = json(&["choose", &demo(1), "--medium", "coir pith", "--litres", "4,8", "--heights", "15", "--json", "-"]);
    let points = told["points"].as_array().unwrap();
    assert_eq!((points.len(), &told["lane"]), (2, &"Block on slab".into()));
    for (point, litres) in points.iter().zip([4.0, 8.0]) {
        assert_eq!((&point["medium"], &point["litres"], &point["height_cm"]), (&"coir pith".into(), &litres.into(), &15.0.into()));
        assert!(point["events_a_day"].is_u64() && point["met"].is_boolean() && point.get("grace_h").is_some(), "{point}");
        for key in ["dry_back_points", "drained_l", "ec", "ec_swing", "weight_kg", "given_l"] {
            assert!(point[key].as_f64().is_some_and(|v| v >= 0.0), "{key}: {point}");
        }
    }
}

#[test]
fn bad_input_is_told_by_name_and_no_scenario_is_overwritten() {
    let folder = tempfile::tempdir().unwrap();
    let bench = folder.path().join("bench.ron");
    std::fs::copy(Path::new(env!("CARGO_MANIFEST_DIR")).join(demo(1)), &bench).unwrap();
    let (before, bench) = (std::fs::read(&bench).unwrap(), bench.to_str().unwrap().to_owned());
    let refused: [(&[&str], &str); 13] = [
        (&["choose", &bench, "--lane", "9"], "--lane"),
        (&["choose", &bench, "--medium", "nothing"], "--medium"),
        (&["find-schedule", &bench, "--pump", "0.5"], "at most"),
        (&["spread", &bench, "--members", "0"], "--members"),
        (&["spread", &bench, "--members", "10000000"], "--members"),
        (&["spread", &bench, "--json", &bench], "is the scenario itself"),
        (&["flush", &bench, "--to", "0.2"], "--to"),
        (&["flush", &bench, "--to", "2", "--rinse", "-1"], "--rinse"),
        (&["flush", &bench, "--to", "2", "--json", &bench], "is the scenario itself"),
        (&["grace", &bench, "--json", &bench], "is the scenario itself"),
        (&["find-schedule", &bench, "--save", &bench], "is the scenario itself"),
        (&["find-schedule", &bench, "--save", "-", "--json", "-"], "would both go to standard output"),
        (&["find-schedule", &bench, "--most-events", "0"], "--most-events"),
    ];
    for (arguments, said) in refused {
        let out = slakeline(arguments);
        let told = String::from_utf8_lossy(&out.stderr).into_owned();
        assert!(out.status.code() == Some(2) && told.contains(said) && told.lines().count() == 2, "{arguments:?}: {told}");
        assert!(out.stdout.is_empty());
    }
    assert_eq!(std::fs::read(&bench).unwrap(), before);
}

#[test]
fn benches_side_by_side_tell_what_differs() {
    let folder = tempfile::tempdir().unwrap();
    let mut other = slakeline::scenario::presets::demos().remove(0).1;
    other.feed.ec = 2.9;
    let file = folder.path().join("other.ron");
    std::fs::write(&file, slakeline::scenario::file::to_text(&other).unwrap()).unwrap();
    let told = json(&["compare", &demo(1), file.to_str().unwrap(), "--json", "-"]);
    assert!(told.to_string().contains("feed.ec"), "{told}");
    let twins = json(&["compare", &demo(1), &demo(1), "--json", "-"]);
    assert!(!twins.to_string().contains("feed.ec"), "{twins}");
    assert_eq!(slakeline(&["compare", &demo(1)]).status.code(), Some(2));
}
