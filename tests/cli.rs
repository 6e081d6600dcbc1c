//! The commands as a script meets them: exit codes, two lines on standard error, results on standard output or in files.

// A test stops where it fails.
#![allow(clippy::unwrap_used)]

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use slakeline::scenario::presets::Kind;

/// The program, away from the display and the presets of whoever runs the tests.
fn slakeline(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_slakeline"));
    command.args(arguments).stdin(Stdio::null());
    for name in ["DISPLAY", "WAYLAND_DISPLAY", "WAYLAND_SOCKET"] {
        command.env_remove(name);
    }
    let nowhere = std::env::temp_dir().join("slakeline-tests-no-presets");
    command.env("XDG_DATA_HOME", &nowhere).env("HOME", &nowhere);
    command
}

fn run(arguments: &[&str]) -> Output {
    slakeline(arguments).output().unwrap()
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn demo(name: &str) -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("demo").join(name).with_extension("ron");
    assert!(path.is_file(), "{}", path.display());
    path.to_str().unwrap().to_owned()
}

const AUBERGINE: &str = "1-aubergine-two-root-zones";

/// It failed with this code, said cause and remedy in a line each, and nothing else.
fn failed(output: &Output, code: i32, named: &str) {
    let text = err(output);
    assert_eq!(output.status.code(), Some(code), "{text}");
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(lines.len(), 2, "{text}");
    assert!(lines[0].starts_with("slakeline: ") && lines[0].contains(named), "{named}: {text}");
    assert!(lines[1].ends_with('.'), "{text}");
    assert!(!text.contains("panicked"), "{text}");
}

fn worked(output: &Output) {
    assert_eq!((output.status.code(), err(output).as_str()), (Some(0), ""));
}

#[test]
fn simulate_prints_figures_units_states_causes_and_closure() {
    let output = run(&["simulate", &demo(AUBERGINE)]);
    worked(&output);
    let text = out(&output);
    for part in [
        "Block on slab",
        "Round pot",
        "3 of 3",
        "% vol",
        "points",
        "mS/cm",
        "kPa",
        "drain fraction",
        "in range",
        "Drain began with the",
        "dry-back",
        "Closure (share of all handled): water ",
        "salt ",
        "Day after day like this: settled from about day ",
    ] {
        assert!(text.contains(part), "{part} is not in\n{text}");
    }
    assert!(text.lines().all(|l| l == l.trim_end()));
    let closure = text.lines().find(|l| l.starts_with("Closure")).unwrap();
    for word in ["water ", "salt "] {
        let number: f64 = closure.split(word).nth(1).unwrap().split(',').next().unwrap().parse().unwrap();
        assert!(number <= 1e-9, "{closure}");
    }
}

#[test]
fn days_may_be_given_and_keep_their_range() {
    let output = run(&["simulate", &demo(AUBERGINE), "--days", "1"]);
    worked(&output);
    assert!(out(&output).contains("1 of 1"));
    for days in ["0", "367", "10000", "-1"] {
        let output = run(&["simulate", &demo(AUBERGINE), "--days", days]);
        failed(&output, 2, &format!("--days is {days}; allowed: 1 to 366"));
        assert_eq!(out(&output), "");
    }
    assert_eq!(run(&["simulate", &demo(AUBERGINE), "--days", "many"]).status.code(), Some(2));
    assert_eq!(run(&["simulate"]).status.code(), Some(2));
    assert_eq!(run(&["simulate", "a", "--nonsense"]).status.code(), Some(2));
    assert_eq!(run(&["--help"]).status.code(), Some(0));
    assert_eq!(run(&["--version"]).status.code(), Some(0));
}

/// Rows of a series, as text by column.
fn rows(text: &str) -> Vec<csv::StringRecord> {
    csv::Reader::from_reader(text.as_bytes()).into_records().map(Result::unwrap).collect()
}

#[test]
fn the_series_has_its_columns_and_adds_up() {
    let output = run(&["simulate", &demo(AUBERGINE), "--days", "2", "--series", "-"]);
    worked(&output);
    let text = out(&output);
    assert_eq!(
        text.lines().next().unwrap(),
        "time_h,lane,water_content,container_capacity,air_space,suction_kpa,root_zone_ec,applied_ml,drained_ml,drain_ec,transpired_ml,evaporated_ml,uptake_met"
    );
    let rows = rows(&text);
    let slab: Vec<_> = rows.iter().filter(|r| &r[1] == "Block on slab").collect();
    assert_eq!(rows.len(), 2 * slab.len());
    let number = |row: &csv::StringRecord, column: usize| row[column].parse::<f64>().unwrap();
    // Every five minutes over two days; all events begin and end on such a mark but the one that starts at 15:40, which does too.
    assert_eq!(slab.len(), 2 * 288 + 1);
    assert!((number(slab[slab.len() - 1], 0) - 48.0).abs() < 1e-9);
    assert!((number(slab[slab.len() - 1], 7) - 2.0 * 1850.0).abs() < 1e-3);
    for pair in slab.windows(2) {
        assert!(number(pair[1], 0) > number(pair[0], 0));
        for cumulative in [7, 8, 10] {
            assert!(number(pair[1], cumulative) >= number(pair[0], cumulative) - 1e-4);
        }
        let drained = number(pair[1], 8) - number(pair[0], 8);
        assert_eq!(pair[1][9].is_empty(), drained < 1.05e-3, "{:?}", pair[1]);
    }
    // What came in is what left, what was taken up, what evaporated (20 mL a day from the block's top) and what stayed.
    let (first, last) = (slab[0], slab[slab.len() - 1]);
    let stayed = (number(last, 2) - number(first, 2)) * 4750.0;
    let balance = number(last, 7) - number(last, 8) - number(last, 10) - stayed;
    assert!((balance - 40.0).abs() < 1.0, "{balance}");
    let noon = slab.iter().find(|r| (number(r, 0) - 12.0).abs() < 1e-6).unwrap();
    assert!((number(noon, 2) + number(noon, 4) - 0.97).abs() < 1e-5, "air and water fill the pores");
}

#[test]
fn the_series_has_rows_at_event_edges() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("odd.ron");
    let text = std::fs::read_to_string(demo(AUBERGINE)).unwrap();
    let odd = text.replace(r#"(start: "08:15", seconds: 300"#, r#"(start: "08:16:40", seconds: 77"#);
    assert_ne!(odd, text);
    std::fs::write(&path, odd).unwrap();
    let output = run(&["simulate", path.to_str().unwrap(), "--days", "2", "--series", "-"]);
    worked(&output);
    let rows = rows(&out(&output));
    for day in [0.0, 24.0] {
        let start = day + 8.0 + 16.0 / 60.0 + 40.0 / 3600.0;
        for (edge, given) in [(start, 0.0), (start + 77.0 / 3600.0, 120.0)] {
            let at: Vec<_> = rows.iter().filter(|r| (r[0].parse::<f64>().unwrap() - edge).abs() < 1e-5).collect();
            assert_eq!(at.len(), 2, "{edge}");
            let applied: f64 = at[0][7].parse().unwrap();
            assert!((applied - given - 1850.0 * day / 24.0).abs() < 1e-3, "{edge}: {applied}");
        }
    }
}

#[test]
fn figures_have_units_states_lean_and_closure() {
    let output = run(&["simulate", &demo(AUBERGINE), "--figures", "-"]);
    worked(&output);
    let figures: serde_json::Value = serde_json::from_str(&out(&output)).unwrap();
    assert!(figures["closure"]["water"].as_f64().unwrap() <= 1e-9);
    assert!(figures["closure"]["salt"].as_f64().unwrap() <= 1e-9);
    assert_eq!(figures["lanes"].as_array().unwrap().len(), 2);
    for lane in figures["lanes"].as_array().unwrap() {
        assert_eq!(lane["days"].as_array().unwrap().len(), 3);
        assert!(lane["settled"].is_string());
        for (i, day) in lane["days"].as_array().unwrap().iter().enumerate() {
            assert_eq!(day["day"], i + 1);
            assert!(day["verdicts"]["drain"]["word"].is_string());
            assert!(!day["lean"]["parts"].as_array().unwrap().is_empty());
            assert!(!day["causes"].as_array().unwrap().is_empty());
            for (key, value) in day["figures"].as_object().unwrap() {
                let unit = |key: &str| figures["units"].get(key).is_some();
                let known = match value.as_object() {
                    Some(inner) => inner.keys().all(|k| unit(&format!("{key}.{k}"))),
                    None => unit(key) || key == "dry_back",
                };
                assert!(known, "{key} has no unit");
            }
        }
    }
}

#[test]
fn results_go_to_files_and_the_table_still_shows() {
    let folder = tempfile::tempdir().unwrap();
    let place = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let (series, figures) = (place("series.csv"), place("figures.json"));
    let output = run(&["simulate", &demo(AUBERGINE), "--series", &series, "--figures", &figures]);
    worked(&output);
    assert!(out(&output).contains("root-zone EC"));
    assert!(std::fs::read_to_string(&series).unwrap().starts_with("time_h,lane,"));
    assert!(std::fs::read_to_string(&figures).unwrap().starts_with('{'));
    // Once more, over the old ones.
    worked(&run(&["simulate", &demo(AUBERGINE), "--days", "1", "--series", &series]));
    let output = run(&["simulate", &demo(AUBERGINE), "--series", &place("no/folder.csv")]);
    failed(&output, 1, "no/folder.csv: cannot be saved: there is no folder");
    // Neither over one another nor over the scenario.
    failed(&run(&["simulate", &demo(AUBERGINE), "--series", "-", "--figures", "-"]), 2, "standard output");
    failed(&run(&["simulate", &demo(AUBERGINE), "--series", &series, "--figures", &series]), 2, "--series and --figures");
    let own = place("own.ron");
    std::fs::copy(demo(AUBERGINE), &own).unwrap();
    failed(&run(&["simulate", &own, "--series", &own]), 2, "overwrite");
    assert_eq!(std::fs::read(&own).unwrap(), std::fs::read(demo(AUBERGINE)).unwrap());
}

#[test]
fn check_says_ok_or_lists_every_problem() {
    let output = run(&["check", &demo(AUBERGINE)]);
    worked(&output);
    let text = out(&output);
    assert_eq!(text.lines().count(), 1);
    assert!(text.contains(": ok: ") && text.contains("2 lanes (Block on slab, Round pot)") && text.contains("11 events"), "{text}");
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bad.ron");
    let bad = std::fs::read_to_string(demo(AUBERGINE)).unwrap().replace("days: 3", "days: 0").replace("plants: 12", "plants: 0");
    std::fs::write(&path, bad).unwrap();
    let output = run(&["check", path.to_str().unwrap()]);
    failed(&output, 2, "days is 0; allowed: 1 to 366");
    let text = out(&output);
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(lines.len(), 2, "{text}");
    assert!(lines[0].starts_with("days is 0; ") && lines[1].starts_with("lanes[1].plants is 0; allowed: 1 to 1000000"), "{text}");
    assert!(err(&output).contains("(and 1 more)"));
}

#[test]
fn check_says_of_which_water_it_tells() {
    let bench = slakeline::scenario::file::parse(&std::fs::read_to_string(demo(AUBERGINE)).unwrap()).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bench.ron");
    let told = |bench: &slakeline::scenario::Scenario| {
        std::fs::write(&path, slakeline::scenario::file::to_text(bench).unwrap()).unwrap();
        let output = run(&["check", path.to_str().unwrap()]);
        worked(&output);
        out(&output)
    };
    let plain = told(&bench);
    assert!(plain.contains(" mL per plant and day, 3 days"), "{plain}");
    let rule = "(when: Light(Joules(140)), first: \"08:00\", last: \"17:00\", seconds: 300, give: Drip(ml: 100.0))";
    let mut ruled = bench.clone();
    let day = slakeline::scenario::presets::Library::shipped().climates.remove(0).climate;
    ruled.climate = Some(slakeline::scenario::Climate::Typical(day));
    ruled.valves[0].rules = vec![slakeline::scenario::file::options().from_str(rule).unwrap()];
    let text = told(&ruled);
    assert!(text.contains(" mL per plant and day by the clock, 1 rule, 3 days"), "{text}");
    let mut changed = bench;
    changed.change_from(0, 1);
    let text = told(&changed);
    assert!(text.contains(" mL per plant and day until the first change, 1 change of schedule, 3 days"), "{text}");
}

#[test]
fn bad_files_end_with_code_2_and_two_lines() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bad\nname.ron");
    let good = std::fs::read(demo(AUBERGINE)).unwrap();
    let cases: Vec<(Vec<u8>, &str)> = vec![
        (Vec::new(), "the file is empty"),
        (vec![0xff, 0xd8, 0xff, 0xe0], "not a text file"),
        (good[..good.len() / 2].to_vec(), ":"),
        (b"(format: 3, what: \"is to come\")".to_vec(), "format 3"),
        (b"(".repeat(100_000), ":1:"),
        (String::from_utf8(good.clone()).unwrap().replace("days: 3", "days: 3, colour: 1").into_bytes(), "colour"),
    ];
    for (bytes, named) in cases {
        std::fs::write(&path, bytes).unwrap();
        for command in ["simulate", "check"] {
            let output = run(&[command, path.to_str().unwrap()]);
            failed(&output, 2, named);
            assert_eq!(out(&output), "");
        }
        failed(&run(&[path.to_str().unwrap()]), 2, named);
    }
    failed(&run(&["simulate", "no-such-file.ron"]), 2, "no-such-file.ron: cannot be read");
    failed(&run(&["simulate", folder.path().to_str().unwrap()]), 2, "cannot be read");
}

#[test]
fn standard_input_is_a_file_too() {
    for command in ["simulate", "check"] {
        let mut child = slakeline(&[command, "-"]).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        child.stdin.take().unwrap().write_all(&std::fs::read(demo(AUBERGINE)).unwrap()).unwrap();
        worked(&child.wait_with_output().unwrap());
    }
    failed(&run(&["check", "-"]), 2, "standard input: the file is empty");
    failed(&run(&["-"]), 2, "standard input");
}

/// A shell gives a command the output of another as a pipe with a name.
#[cfg(unix)]
#[test]
fn a_pipe_with_a_name_is_read_to_its_end() {
    let mut child =
        slakeline(&["check", "/dev/stdin"]).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    child.stdin.take().unwrap().write_all(&std::fs::read(demo(AUBERGINE)).unwrap()).unwrap();
    worked(&child.wait_with_output().unwrap());
}

#[test]
fn a_climate_log_is_told_day_by_day() {
    let week = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/climate-week-under-glass.csv");
    let output = run(&["climate", week]);
    worked(&output);
    let text = out(&output);
    for part in ["climate-week-under-glass", "7 days, 1008 rows, one every 10 min", "MJ/m²", "VPD kPa", "mean by night"] {
        assert!(text.contains(part), "{part} is not in\n{text}");
    }
    assert!(text.lines().all(|l| l == l.trim_end()));
    let days: Vec<Vec<f64>> = text.lines().skip(5).map(|l| l.split_whitespace().map(|n| n.parse().unwrap()).collect()).collect();
    assert_eq!(days.len(), 7);
    // The light sum of the third day, from the rows themselves.
    let rows = rows(&std::fs::read_to_string(week).unwrap());
    let joules: f64 = rows.iter().filter(|r| r[0].starts_with("2026-04-15")).map(|r| r[1].parse::<f64>().unwrap() * 600.0).sum();
    assert_eq!((days[2][0], days[2].len()), (3.0, 7));
    assert!((days[2][1] - joules * 1e-6).abs() < 0.0051, "{:?}", days[2]);
}

#[test]
fn a_climate_log_is_refused_by_line_and_taken_with_consent() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("log.csv");
    let week = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/demo/climate-week-under-glass.csv")).unwrap();
    let mut lines: Vec<&str> = week.lines().collect();
    let spoilt = lines[100].replace("T16:30,", "T16:30,2000");
    assert_ne!(spoilt, lines[100]);
    lines[100] = &spoilt;
    std::fs::write(&path, lines.join("\n")).unwrap();
    let file = path.to_str().unwrap();
    let output = run(&["climate", file]);
    failed(&output, 2, "log.csv: line 101: light_w_m2 is 2000");
    assert!(err(&output).contains("lux") && err(&output).contains("--skip-bad"), "{}", err(&output));
    failed(&run(&["climate", file, "--skip-bad"]), 2, "line 102: 20 min without rows");
    let output = run(&["climate", file, "--skip-bad", "--fill-gaps"]);
    worked(&output);
    assert!(out(&output).contains("1008 rows") && out(&output).contains("Left out.") && out(&output).contains("straight line"));
    failed(&run(&["climate", file, "--skip-bad", "--fill-gaps", "--longest-gap", "0.1"]), 2, "20 min without rows");
    // Several stand one a line above the two that sum them up.
    lines.remove(500);
    lines.remove(300);
    std::fs::write(&path, lines.join("\n")).unwrap();
    let output = run(&["climate", file]);
    let text = err(&output);
    let told: Vec<&str> = text.lines().collect();
    assert_eq!((output.status.code(), told.len(), out(&output).as_str()), (Some(2), 5, ""), "{text}");
    assert!(told[0].starts_with("line 101: ") && told[1].starts_with("line 301: ") && told[2].starts_with("line 500: "), "{text}");
    assert!(told[3].contains("3 problems") && told[4].contains("--skip-bad") && told[4].contains("--fill-gaps"), "{text}");
    // Where it cannot be a log at all, and options that cannot be.
    failed(&run(&["climate", "-"]), 2, "standard input: the file is empty");
    failed(&run(&["climate", &demo(AUBERGINE)]), 2, "line 1: the first line names no column");
    failed(&run(&["climate", file, "--zone", "noon"]), 2, "--zone");
    failed(&run(&["climate", file, "--longest-gap", "-1"]), 2, "--longest-gap");
}

#[test]
fn a_climate_log_goes_into_a_scenario() {
    let folder = tempfile::tempdir().unwrap();
    let place = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let week = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/climate-week-under-glass.csv");
    let saved = place("week.ron");
    let output = run(&["climate", week, "--into", &demo(AUBERGINE), "--save", &saved]);
    worked(&output);
    for part in [
        "has this climate now",
        "measured and stays as it is in: Block on slab, Round pot. To follow the log,",
        "The log has 7 days, the scenario runs 3.",
    ] {
        assert!(out(&output).contains(part), "{part} is not in\n{}", out(&output));
    }
    worked(&run(&["check", &saved]));
    let text = std::fs::read_to_string(&saved).unwrap();
    assert!(text.contains("climate-week-under-glass"));
    // Under it, lanes whose use is computed use more on a bright day than on an overcast one.
    let computed = text
        .replace("Measured", "Climate")
        .lines()
        .filter(|l| !l.contains("litres_per_day") && !l.contains("steady_share"))
        .collect::<Vec<_>>()
        .join("\n");
    let computed = computed.replace("days: 3,", "days: 7,");
    std::fs::write(&saved, &computed).unwrap();
    let output = run(&["simulate", &saved, "--figures", "-"]);
    worked(&output);
    let figures: serde_json::Value = serde_json::from_str(&out(&output)).unwrap();
    let used = |day: usize| figures["lanes"][0]["days"][day]["figures"]["taken_up_ml"].as_f64().unwrap();
    assert!(used(4) > 2.0 * used(0), "{} and {}", used(0), used(4));

    let output = run(&["climate", week, "--into", &demo(AUBERGINE), "--save", "-"]);
    worked(&output);
    assert_eq!(out(&output), text);
    assert_eq!(run(&["climate", week, "--into", &demo(AUBERGINE)]).status.code(), Some(2));
    // Never over the log, and nothing where it is refused.
    let log = place("log.csv");
    std::fs::copy(week, &log).unwrap();
    failed(&run(&["climate", &log, "--into", &demo(AUBERGINE), "--save", &log]), 2, "overwrite");
    assert_eq!(std::fs::read(&log).unwrap(), std::fs::read(week).unwrap());
    std::fs::write(&log, "time,light_w_m2\n").unwrap();
    assert_eq!(run(&["climate", &log, "--into", &demo(AUBERGINE), "--save", &place("none.ron")]).status.code(), Some(2));
    assert!(!Path::new(&place("none.ron")).exists());
}

#[test]
fn a_closed_pipe_is_no_failure() {
    for arguments in [
        &["simulate", "F", "--days", "30", "--series", "-"][..],
        &["simulate", "F", "--figures", "-"],
        &["check", "F"],
        &["presets"],
        &["--help"],
    ] {
        let file = demo(AUBERGINE);
        let arguments: Vec<&str> = arguments.iter().map(|&a| if a == "F" { file.as_str() } else { a }).collect();
        let mut child = slakeline(&arguments).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        drop(child.stdout.take());
        worked(&child.wait_with_output().unwrap());
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_told() {
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let output = slakeline(&["simulate", &demo(AUBERGINE), "--series", "-"]).stdout(full).stderr(Stdio::piped()).spawn().unwrap();
    failed(&output.wait_with_output().unwrap(), 1, "standard output: cannot be written");
    failed(&run(&["simulate", &demo(AUBERGINE), "--series", "/dev/full"]), 1, "/dev/full: cannot be saved");
    assert!(Path::new("/dev/full").exists());
}

#[cfg(target_os = "linux")]
#[test]
fn without_a_display_the_figures_come_as_a_table() {
    for arguments in [&[][..], &[demo(AUBERGINE).as_str()]] {
        let output = run(arguments);
        let text = err(&output);
        assert_eq!(output.status.code(), Some(0), "{text}");
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines.len(), 2, "{text}");
        assert!(lines[0].contains("no display") && lines[0].contains("DISPLAY"), "{text}");
        assert!(lines[1].contains("libegl1") && lines[1].contains("libxkbcommon-x11-0"), "{text}");
        assert!(out(&output).contains("drain fraction"));
    }
    let output = run(&["no-such-file.ron"]);
    failed(&output, 2, "no-such-file.ron");
}

#[cfg(target_os = "linux")]
#[test]
fn a_display_that_does_not_answer_is_told_without_a_trace() {
    let output = slakeline(&[&demo(AUBERGINE)]).env("DISPLAY", ":4242").stderr(Stdio::piped()).stdout(Stdio::piped()).output().unwrap();
    let text = err(&output);
    assert_eq!(output.status.code(), Some(0), "{text}");
    assert!(text.contains("the window cannot be opened") && !text.contains("panicked") && !text.contains("RUST_BACKTRACE"), "{text}");
    assert!(out(&output).contains("drain fraction"));
}

#[test]
fn presets_are_listed_and_printed() {
    let output = run(&["presets"]);
    worked(&output);
    for part in
        ["media", "  coir pith", "containers", "  block on slab, 3 plants", "crops", "  basil", "demos", "  1-aubergine-two-root-zones"]
    {
        assert!(out(&output).lines().any(|l| l == part), "{part}");
    }
    worked(&run(&["presets", "crops"]));
    let help = run(&["presets", "--help"]);
    worked(&help);
    let words: Vec<String> = out(&help).split_whitespace().map(|word| word.trim_end_matches(',').to_owned()).collect();
    for kind in Kind::ALL.into_iter().map(Kind::folder).chain(["demos"]) {
        assert!(words.iter().any(|word| word == kind), "{kind} is not in {words:?}");
    }
    for (kind, name) in [
        ("feeds", "plain water"),
        ("targets", "coir, balanced"),
        ("schedules", "flood table, two floods"),
        ("setups", "basil, flood table, spring"),
        ("media", "pumice"),
        ("containers", "block alone, open walls"),
        ("crops", "basil"),
        ("demos", AUBERGINE),
    ] {
        let output = run(&["presets", kind, name]);
        worked(&output);
        assert!(out(&output).starts_with("// "), "{name}");
    }
    failed(&run(&["presets", "stones"]), 2, "stones");
    failed(&run(&["presets", "media", "moon dust"]), 2, "moon dust");
}

#[test]
fn a_bad_preset_of_the_user_is_a_warning() {
    let folder = tempfile::tempdir().unwrap();
    let media = folder.path().join("slakeline/presets/media");
    if cfg!(target_os = "linux") {
        std::fs::create_dir_all(&media).unwrap();
        std::fs::write(media.join("bad.ron"), "(name: 1)").unwrap();
        let output = slakeline(&["check", &demo(AUBERGINE)]).env("XDG_DATA_HOME", folder.path()).output().unwrap();
        assert_eq!(output.status.code(), Some(0));
        assert!(err(&output).starts_with("warning: Preset ") && err(&output).lines().count() == 1, "{}", err(&output));
    }
}
