//! `--csv` beside `--json`: the same answer as a table, number by number, of the real binary as scripts run it.

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

type Row = std::collections::BTreeMap<String, String>;

fn slakeline(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_slakeline")).args(arguments).current_dir(folder).output().unwrap()
}

/// A bench of one lane or more for one day.
fn bench(folder: &Path, demo: usize, lanes: std::ops::Range<usize>) -> String {
    let mut bench = slakeline::scenario::presets::demos().remove(demo).1;
    bench.lanes = bench.lanes.drain(lanes).collect();
    bench.days = 1;
    // A name that a table has to quote.
    bench.lanes[0].name = "Bench 1, \"north\"\nside".replace('\n', " ");
    let file = folder.join("bench.ron");
    std::fs::write(&file, slakeline::scenario::file::to_text(&bench).unwrap()).unwrap();
    file.to_str().unwrap().to_owned()
}

/// The whole answer, and its table: the one on standard output, the other in a file, both ways round, with the same bytes.
fn both(folder: &Path, command: &[&str]) -> (Value, Vec<Row>) {
    let run = |more: &[&str]| {
        let out = slakeline(folder, &[command, more].concat());
        assert!(out.status.success(), "{command:?}: {}", String::from_utf8_lossy(&out.stderr));
        out.stdout
    };
    let read = |name: &str| std::fs::read(folder.join(name)).unwrap();
    let table = run(&["--json", "a.json", "--csv", "-"]);
    let whole = run(&["--json", "-", "--csv", "a.csv"]);
    assert_eq!((&table, &whole), (&read("a.csv"), &read("a.json")), "{command:?}");
    // With both in files what is read in a terminal stands on standard output, and neither document does.
    let told = run(&["--json", "b.json", "--csv", "b.csv"]);
    assert!(!told.is_empty() && told != table && told != whole);
    assert_eq!((read("b.csv"), read("b.json")), (table.clone(), whole.clone()), "the same bytes each time");
    let mut reader = csv::Reader::from_reader(&*table);
    let head = reader.headers().unwrap().clone();
    let rows: Vec<Row> =
        reader.records().map(|r| head.iter().map(str::to_owned).zip(r.unwrap().iter().map(str::to_owned)).collect()).collect();
    // Digit by digit: what reads JSON here rounds the last one of some numbers.
    let text = String::from_utf8(whole).unwrap();
    for (column, told) in rows.iter().flatten() {
        if let Ok(number) = told.parse::<f64>() {
            assert!(
                text.contains(serde_json::to_string(&number).unwrap().trim_end_matches(".0")),
                "{column}: {told} is not in the whole answer"
            );
        }
    }
    (serde_json::from_str(&text).unwrap(), rows)
}

/// A number of a table is that of the whole answer; an empty field is a null, or is not there.
fn agree(row: &Row, column: &str, value: &Value) {
    let told = row.get(column).unwrap_or_else(|| panic!("no column {column} in {row:?}"));
    match value.as_f64() {
        Some(number) => {
            let told: f64 = told.parse().unwrap();
            assert!((told - number).abs() <= 2.0 * f64::EPSILON * number.abs(), "{column}: {told} and {number}");
        }
        None => match value {
            Value::Null => assert_eq!(told, "", "{column}"),
            Value::Bool(is) => assert_eq!(*told, is.to_string(), "{column}"),
            Value::String(text) => assert_eq!(told, text, "{column}"),
            other => panic!("{column}: {other}"),
        },
    }
}

#[test]
fn grace_times_have_a_row_for_each_lane_fault_and_hour() {
    let folder = tempfile::tempdir().unwrap();
    let file = bench(folder.path(), 0, 0..2);
    let (whole, rows) = both(folder.path(), &["grace", &file]);
    let mut rows = rows.iter();
    for lane in whole["lanes"].as_array().unwrap() {
        for grace in lane["grace"].as_array().unwrap() {
            let row = rows.next().unwrap();
            agree(row, "lane", &lane["name"]);
            for key in ["fault", "hour", "hours_to_90", "hours_to_50", "hours_to_dry", "hours_to_airless"] {
                agree(row, key, &grace[key]);
            }
        }
    }
    assert!(rows.next().is_none() && whole["lanes"][0]["grace"].as_array().unwrap().len() >= 24);
}

#[test]
fn a_flush_has_a_row_for_each_lane_and_way() {
    let folder = tempfile::tempdir().unwrap();
    // One drips, the other floods, too.
    for demo in [0, 1] {
        let file = bench(folder.path(), demo, 0..1);
        let (whole, rows) = both(folder.path(), &["flush", &file, "--to", "0.9", "--rinse", "0.2"]);
        let mut rows = rows.iter();
        for lane in whole["lanes"].as_array().unwrap() {
            for (way, done) in [("from_above", lane), ("by_flooding", &lane["by_flooding"])] {
                if done.is_null() {
                    continue;
                }
                let row = rows.next().unwrap();
                agree(row, "way", &way.into());
                for (column, of, key) in [
                    ("lane", lane, "name"),
                    ("start_ec_ms_cm", lane, "start_ec"),
                    ("litres_per_plant", done, "litres_per_plant"),
                    ("litres_for_all", done, "litres_for_all"),
                    ("drained_litres_per_plant", done, "drained_per_plant"),
                    ("events", done, "events"),
                    ("hours", done, "hours"),
                    ("final_ec_ms_cm", done, "final_ec"),
                    ("reached", done, "reached"),
                    ("plug_flow_litres_per_plant", lane, "plug_flow_litres"),
                    ("well_mixed_litres_per_plant", lane, "well_mixed_litres"),
                ] {
                    agree(row, column, &of[key]);
                }
            }
        }
        assert!(rows.next().is_none());
    }
}

#[test]
fn a_spread_has_a_row_for_each_lane_and_figure() {
    let folder = tempfile::tempdir().unwrap();
    let file = bench(folder.path(), 0, 0..2);
    let (whole, rows) = both(folder.path(), &["spread", &file, "--members", "40", "--seed", "3"]);
    let of = |lane: &Value| lane["bands"].as_object().unwrap().len();
    let lanes = whole["lanes"].as_array().unwrap();
    assert_eq!(rows.len(), lanes.iter().map(of).sum::<usize>());
    let aims = [("peak", "water_content"), ("drain_fraction", "drain_percent"), ("lowest", "")];
    for row in &rows {
        let lane = lanes.iter().find(|l| l["name"] == row["lane"]).unwrap();
        let figure = &*row["figure"];
        agree(row, "unit", &whole["units"][figure]);
        agree(row, "as_it_stands", &lane["as_it_stands"][figure]);
        for (i, column) in ["p10", "p50", "p90"].into_iter().enumerate() {
            agree(row, column, &lane["bands"][figure][i]);
        }
        let aim = aims.iter().find(|a| a.0 == figure).map_or(figure, |a| a.1);
        agree(row, "chance_of_aim", &lane["chance"][aim]);
    }
    assert!(rows.iter().any(|r| !r["chance_of_aim"].is_empty()));
}

#[test]
fn a_choice_has_a_row_for_each_root_zone() {
    let folder = tempfile::tempdir().unwrap();
    let file = bench(folder.path(), 0, 0..1);
    // The second has no schedule that meets what the first's meets.
    let (whole, rows) = both(folder.path(), &["choose", &file, "--medium", "coir pith", "--litres", "4,0.2", "--heights", "15"]);
    let points = whole["points"].as_array().unwrap();
    assert_eq!(rows.len(), points.len());
    for (row, point) in rows.iter().zip(points) {
        for (column, key) in [
            ("medium", "medium"),
            ("litres_per_plant", "litres"),
            ("height_cm", "height_cm"),
            ("met", "met"),
            ("events_a_day", "events_a_day"),
            ("feed_ec_ms_cm", "feed_ec"),
            ("grace_h", "grace_h"),
            ("worst_hour", "worst_hour"),
            ("dry_back_points", "dry_back_points"),
            ("dry_back_reach_points", "dry_back_reach_points"),
            ("given_litres_per_plant_and_day", "given_l"),
            ("drained_litres_per_plant_and_day", "drained_l"),
            ("ec_ms_cm", "ec"),
            ("ec_swing_ms_cm", "ec_swing"),
            ("uptake_met", "uptake_met"),
            ("weight_kg_per_plant", "weight_kg"),
        ] {
            agree(row, column, &point[key]);
        }
        assert_eq!(row["missed"].is_empty(), point["met"] == true);
    }
}

#[test]
fn a_schedule_found_has_a_row_for_each_event() {
    let folder = tempfile::tempdir().unwrap();
    let file = bench(folder.path(), 2, 1..2);
    let (whole, rows) = both(folder.path(), &["find-schedule", &file, "--most-events", "12"]);
    let events = whole["events"].as_array().unwrap();
    assert_eq!(rows.len(), events.len());
    for (i, (row, event)) in rows.iter().zip(events).enumerate() {
        assert_eq!(row["event"], (i + 1).to_string());
        agree(row, "valve", &whole["valve"]);
        agree(row, "start", &event["start"]);
        agree(row, "duration_s", &event["seconds"]);
        agree(row, "drip_ml_per_plant", &event["give"]["Drip"]["ml"]);
        agree(row, "flood_depth_cm", &event["give"]["Flood"]["depth_cm"]);
        agree(row, "feed_ec_ms_cm", if event["ec"].is_null() { &whole["feed_ec"] } else { &event["ec"] });
    }
}

#[test]
fn a_comparison_has_a_row_for_each_thing_and_a_column_for_each_bench() {
    let folder = tempfile::tempdir().unwrap();
    let file = bench(folder.path(), 0, 0..2);
    let mut other = slakeline::scenario::file::load(Path::new(&file), &slakeline::scenario::presets::Library::shipped()).unwrap();
    (other.feed.ec, other.days) = (2.9, 2);
    other.valves[0].schedule[0].start = slakeline::scenario::Clock::hm(7, 5);
    other.lanes.remove(1);
    std::fs::write(folder.path().join("other.ron"), slakeline::scenario::file::to_text(&other).unwrap()).unwrap();
    let (whole, rows) = both(folder.path(), &["compare", "bench.ron", "other.ron"]);
    assert_eq!(whole["ran"], serde_json::json!([true, true]));
    let files = ["bench.ron", "other.ron"];
    let mut figures = rows.iter().filter(|r| r["part"] == "figure");
    for lane in whole["lanes"].as_array().unwrap() {
        let of = lane["figures"].as_object().unwrap();
        let here = of.iter().filter(|(_, values)| values.as_array().unwrap().iter().any(|v| !v.is_null()));
        for _ in 0..here.count() {
            let row = figures.next().unwrap();
            agree(row, "unit", &whole["units"][&row["what"]]);
            for (i, name) in files.into_iter().enumerate() {
                agree(row, name, &of[&row["what"]][i]);
            }
        }
    }
    assert!(figures.next().is_none());
    let setup: Vec<&Row> = rows.iter().filter(|r| r["part"] == "setup").collect();
    assert_eq!(setup.len(), whole["setup"].as_array().unwrap().len());
    let feed = setup.iter().find(|r| r["what"] == "feed.ec").unwrap();
    assert_eq!((&*feed["unit"], &*feed["other.ron"]), ("mS/cm", "2.9"));
    // What the pump is told stands once, under the schedule.
    assert!(setup.iter().all(|r| !r["what"].contains("schedule")), "{setup:?}");
    assert!(rows.iter().any(|r| r["part"] == "schedule" && r["what"].ends_with("at 07:05") && r["bench.ron"].is_empty()));
}

#[test]
fn two_documents_never_go_to_one_place_and_no_scenario_is_overwritten() {
    let folder = tempfile::tempdir().unwrap();
    let file = bench(folder.path(), 0, 0..1);
    let before = std::fs::read(&file).unwrap();
    let commands: [&[&str]; 6] = [
        &["find-schedule", &file],
        &["grace", &file],
        &["flush", &file, "--to", "1"],
        &["spread", &file],
        &["choose", &file],
        &["compare", &file, &file],
    ];
    for command in commands {
        for (documents, said) in [
            (["--json", "-", "--csv", "-"], "--json and --csv would both go to standard output"),
            (["--json", "one", "--csv", "one"], "--json and --csv would both go to one"),
            (["--json", "two", "--csv", &file], "is the scenario itself"),
        ] {
            let out = slakeline(folder.path(), &[command, &documents].concat());
            let told = String::from_utf8_lossy(&out.stderr).into_owned();
            assert!(out.status.code() == Some(2) && told.contains(said) && told.lines().count() == 2, "{command:?}: {told}");
            assert!(out.stdout.is_empty() && !folder.path().join("one").exists() && !folder.path().join("two").exists());
        }
        // A place that cannot be written is told; what was asked for besides is not half there.
        let out = slakeline(folder.path(), &[command, &["--help"]].concat());
        assert!(String::from_utf8_lossy(&out.stdout).contains("--csv"), "{command:?}");
    }
    let out = slakeline(folder.path(), &["find-schedule", &file, "--save", "-", "--csv", "-"]);
    assert_eq!(out.status.code(), Some(2));
    assert_eq!(std::fs::read(&file).unwrap(), before);
}
