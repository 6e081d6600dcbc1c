//! Scenario files that are cut, damaged, hostile or from the future: each ends in an error that names place and reason.

use std::path::PathBuf;
use std::time::{Duration, Instant};

use slakeline::scenario::file::{self, FileError};
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{Clock, Event, MediumChoice, Problem, Scenario, StartWater};

fn demo_texts() -> Vec<String> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("demo");
    let mut paths: Vec<_> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    paths.retain(|p| p.extension().is_some_and(|e| e == "ron"));
    paths.sort();
    paths.into_iter().map(|p| std::fs::read_to_string(p).unwrap()).collect()
}

fn first_demo() -> Scenario {
    demos().remove(0).1
}

/// Reads text the way a file is read.
fn read(text: &str) -> Result<Scenario, FileError> {
    file::read(text.as_bytes(), "test.ron", &Library::shipped())
}

fn problems_of(text: &str) -> Vec<Problem> {
    match read(text) {
        Err(FileError::Invalid { problems, .. }) => problems,
        other => panic!("expected problems, got {other:?}"),
    }
}

/// Cause and remedy are one line each and say something.
fn one_line_each(error: &FileError) {
    for line in [error.to_string().as_str(), error.remedy()] {
        assert!(line.len() > 10 && !line.chars().any(char::is_control), "{line:?}");
        assert!(line.chars().count() < 1000, "{line}");
    }
}

const SMALL: &str = r#"(
    format: 1,
    name: "small",
    days: 1,
    light: (on: "06:00", off: "20:00"),
    feed: (ec: 2.0),
    schedule: [(start: "08:00", seconds: 300, give: Drip(ml: 100))],
    lanes: [(
        name: "pot",
        container: (name: "pot", parts: [(name: "pot", height_cm: 20, shape: Round(diameter_cm: 20), medium: Preset("coir pith"))]),
        crop: Preset("basil"),
        demand: Measured(litres_per_day: 0.5),
    )],
)"#;

/// SMALL with one thing changed.
fn small_with(from: &str, to: &str) -> String {
    assert!(SMALL.contains(from), "{from}");
    SMALL.replacen(from, to, 1)
}

#[test]
fn the_small_one_is_fine() {
    assert_eq!(read(SMALL).unwrap().lanes[0].plants, 1);
    assert_eq!(read(&format!("\u{feff}{SMALL}")).unwrap().name, "small");
    assert_eq!(read(&SMALL.replace('\n', "\r\n")).unwrap().name, "small");
}

#[test]
fn a_file_cut_anywhere_is_told_with_its_place() {
    for text in demo_texts() {
        let whole = text.trim_end().len();
        for at in (0..whole).step_by(47).filter(|&at| text.is_char_boundary(at)) {
            let error = read(&text[..at]).unwrap_err();
            one_line_each(&error);
            match error {
                FileError::Empty { .. } => assert!(text[..at].trim().is_empty()),
                FileError::Syntax { line, column, .. } => {
                    assert!(line >= 1 && column >= 1 && line <= text.lines().count() + 1, "{line}:{column}");
                }
                other => panic!("cut at {at}: {other:?}"),
            }
        }
    }
}

#[test]
fn what_is_not_a_scenario_is_refused() {
    assert!(matches!(read(""), Err(FileError::Empty { .. })));
    assert!(matches!(read(" \n\t\u{feff}"), Err(FileError::Empty { .. }) | Err(FileError::Syntax { .. })));
    let binary: Vec<u8> = (0..=255).cycle().take(5000).collect();
    let library = Library::shipped();
    assert!(matches!(file::read(&binary[..], "b", &library), Err(FileError::NotText { at: 128, .. })));
    assert!(matches!(file::read(&[0_u8; 64][..], "b", &library), Err(FileError::Syntax { .. })));
    let endless = std::io::repeat(b' ');
    assert!(matches!(file::read(endless, "b", &library), Err(FileError::TooLarge { .. })));
    for text in ["null", "{}", "[]", "42", "\"text\"", "{\"format\": 1}", "<xml/>", "()", "(format: 1)", "// only a comment"] {
        let error = read(text).unwrap_err();
        assert!(matches!(error, FileError::Syntax { .. }), "{text}: {error}");
        one_line_each(&error);
    }
    let folder = file::load(&std::env::temp_dir(), &library).unwrap_err();
    assert!(matches!(folder, FileError::Read { .. }), "{folder}");
    let missing = file::load(&std::env::temp_dir().join("slakeline-no-such-file.ron"), &library).unwrap_err();
    assert!(matches!(missing, FileError::Read { .. }) && missing.to_string().contains("slakeline-no-such-file.ron"));
}

#[test]
fn deep_nesting_ends_in_an_error_and_not_in_a_crash() {
    for open in ["(", "[", "{", "Some(", "(a:", "[[(", "{1:", "/*"] {
        let deep = open.repeat(200_000);
        one_line_each(&read(&deep).unwrap_err());
        one_line_each(&read(&small_with("days: 1", &format!("days: {deep}"))).unwrap_err());
        one_line_each(&read(&small_with("days: 1", &format!("unknown: {deep}"))).unwrap_err());
        one_line_each(&read(&small_with("Preset(\"basil\")", &deep)).unwrap_err());
    }
}

#[test]
fn a_newer_format_is_told_whatever_it_holds() {
    for text in [
        "(format: 3, greenhouses: [1, 2], name: \"future\")",
        "(format: 3, name: \"future\", lanes: Cloud(of: { \"a\": (1, 2) }))",
        "#![enable(extension_of_the_future)]\n(\n    format: 7,\n    what: <<<>>>\n)",
        "// A scenario.\n(\n  format : 99999999999999999999999,\n  days: 1)",
    ] {
        let error = read(text).unwrap_err();
        assert!(matches!(error, FileError::Newer { found, .. } if found > 2), "{text}: {error}");
        one_line_each(&error);
    }
    let old = problems_of(&small_with("format: 1", "format: 0"));
    assert_eq!((old[0].field.as_str(), old[0].value.as_str(), old[0].allowed.as_str()), ("format", "0", "2"));
    let error = read(&small_with("format: 1,", "")).unwrap_err();
    assert!(error.to_string().contains("format"), "{error}");
}

#[test]
fn unknown_double_and_missing_fields_are_named_with_their_line() {
    for (from, to, named, at) in [
        ("days: 1,", "days: 1,\n    colour: \"blue\",", "colour", 5),
        ("ec: 2.0", "ec: 2.0, ph: 5.8", "ph", 6),
        ("seconds: 300", "seconds: 300, minutes: 5", "minutes", 7),
        ("Drip(ml: 100)", "Mist(ml: 100)", "Mist", 7),
        ("Drip(ml: 100)", "Drip(litres: 0.1)", "litres", 7),
        ("Round(diameter_cm: 20)", "Round(diameter: 20)", "diameter", 10),
        ("litres_per_day: 0.5", "liters_per_day: 0.5", "liters_per_day", 12),
        ("days: 1,", "days: 1,\n    days: 2,", "days", 5),
        ("feed: (ec: 2.0),", "", "feed", 0),
        ("demand: Measured(litres_per_day: 0.5),", "", "demand", 0),
        ("days: 1", "days: -1", "days: -1", 4),
        ("days: 1", "days: 10000000000", "days: 10000000000", 4),
        ("days: 1", "days: 1.5", "days: 1.5", 4),
        ("\"08:00\"", "\"25:00\"", "25:00", 7),
        ("\"08:00\"", "\"08:\\n00\"", "time of day", 7),
        ("\"08:00\"", "800", "800", 7),
    ] {
        let error = read(&small_with(from, to)).unwrap_err();
        one_line_each(&error);
        let FileError::Syntax { line, ref cause, .. } = error else { panic!("{to}: {error}") };
        assert!(cause.contains(named), "{to}: {error}");
        assert!(at == 0 || line == at, "{to}: line {line}, expected {at}: {error}");
    }
}

#[test]
fn values_that_cannot_be_are_named_with_field_value_range_and_reason() {
    let custom = |from: &str, to: &str| {
        let medium = r#"Custom((name: "own", porosity: 0.9, curve: VanGenuchten(theta_s: 0.85, theta_r: 0.05, alpha_per_cm: 0.1, n: 2.0, ks_cm_per_day: 1000)))"#;
        assert!(medium.contains(from), "{from}");
        small_with("Preset(\"coir pith\")", &medium.replacen(from, to, 1))
    };
    assert!(read(&custom("own", "own")).is_ok());
    let crop = |fields: &str| small_with("Preset(\"basil\")", &format!("Custom((name: \"own\", uptake_ec: 1.2, {fields}))"));
    for fine in ["", "uptake_rise: 0.1, uptake_rises_above: 2", "uptake_rise: 0.1, guide_root_zone_ec: 2", "uptake_rises_above: 2"] {
        assert!(read(&crop(fine)).is_ok(), "{fine}");
    }
    let nowhere = problems_of(&crop("uptake_rise: 0.1")).remove(0).to_string();
    assert!(
        nowhere.contains("uptake_rises_above") && nowhere.contains("guide_root_zone_ec") && nowhere.contains("from which EC"),
        "{nowhere}"
    );
    let stage = |roots: &str| crop(&format!("stages: [(name: \"young\", leaf_area_index: 1, roots: {roots})]"));
    let roots = "lanes[0].crop.stages[0].roots".to_owned();
    for fine in ["Uniform", "Tapering(halves_every_cm: 5)", "ByHeight([(0, 0), (1200, 1)])", "PerLayer([0, 1])"] {
        assert!(read(&stage(fine)).is_ok(), "{fine}");
    }
    let part = "lanes[0].container.parts[0]";
    let cases: Vec<(String, String, &str)> = vec![
        (small_with("days: 1", "days: 0"), "days".into(), "0"),
        (small_with("days: 1", "days: 10000"), "days".into(), "10000"),
        (small_with("ec: 2.0", "ec: -1"), "feed.ec".into(), "-1"),
        (small_with("ec: 2.0", "ec: NaN"), "feed.ec".into(), "NaN"),
        (small_with("ec: 2.0", "ec: inf"), "feed.ec".into(), "inf"),
        (small_with("ec: 2.0", "ec: 1e999"), "feed.ec".into(), "inf"),
        (small_with("ec: 2.0", "ec: 1e300"), "feed.ec".into(), "1e300"),
        (small_with("on: \"06:00\"", "on: \"21:00\""), "light".into(), "21:00 to 20:00"),
        (small_with("height_cm: 20", "height_cm: -20"), format!("{part}.height_cm"), "-20"),
        (small_with("height_cm: 20", "height_cm: 0"), format!("{part}.height_cm"), "0"),
        (small_with("height_cm: 20", "height_cm: NaN"), format!("{part}.height_cm"), "NaN"),
        (small_with("diameter_cm: 20", "diameter_cm: -3"), format!("{part}.shape.diameter_cm"), "-3"),
        (small_with("diameter_cm: 20", "diameter_cm: 1e12"), format!("{part}.shape.diameter_cm"), "1e12"),
        (small_with("parts: [", "outlet_height_cm: 25, parts: ["), "lanes[0].container.outlet_height_cm".into(), "25"),
        (small_with("parts: [", "outlet_height_cm: -0.5, parts: ["), "lanes[0].container.outlet_height_cm".into(), "-0.5"),
        (custom("n: 2.0", "n: 1.0"), format!("{part}.medium.curve.n"), "1"),
        (custom("n: 2.0", "n: 0.5"), format!("{part}.medium.curve.n"), "0.5"),
        (custom("n: 2.0", "n: NaN"), format!("{part}.medium.curve.n"), "NaN"),
        (custom("theta_r: 0.05", "theta_r: 0.85"), format!("{part}.medium.curve.theta_r"), "0.85"),
        (custom("theta_r: 0.05", "theta_r: 0.9"), format!("{part}.medium.curve.theta_r"), "0.9"),
        (custom("theta_r: 0.05", "theta_r: -0.1"), format!("{part}.medium.curve.theta_r"), "-0.1"),
        (custom("porosity: 0.9", "porosity: 0.5"), format!("{part}.medium.porosity"), "0.5"),
        (custom("alpha_per_cm: 0.1", "alpha_per_cm: 0"), format!("{part}.medium.curve.alpha_per_cm"), "0"),
        (custom("ks_cm_per_day: 1000", "ks_cm_per_day: inf"), format!("{part}.medium.curve.ks_cm_per_day"), "inf"),
        (custom("porosity: 0.9", "porosity: 0.9, channel_pick_up: 1.5"), format!("{part}.medium.channel_pick_up"), "1.5"),
        (custom("porosity: 0.9", "porosity: 0.9, channel_pick_up: NaN"), format!("{part}.medium.channel_pick_up"), "NaN"),
        (stage("ByHeight([(0, 1), (3, 1), (2, 1)])"), roots.clone(), "[(0.0, 1.0), (3.0, 1.0), (2.0, 1.0)]"),
        (stage("ByHeight([(0, 1), (1300, 1)])"), roots.clone(), "[(0.0, 1.0), (1300.0, 1.0)]"),
        (stage("ByHeight([(0, 0), (10, 0)])"), roots.clone(), "[(0.0, 0.0), (10.0, 0.0)]"),
        (stage("ByHeight([(0, 1)])"), roots.clone(), "1"),
        (stage("PerLayer([1, NaN])"), roots.clone(), "a list with other values"),
        (stage("Tapering(halves_every_cm: 0.1)"), format!("{roots}.halves_every_cm"), "0.1"),
        (crop("uptake_rise: 0.6, uptake_rises_above: 3"), "lanes[0].crop.uptake_rise".into(), "0.6"),
        (crop("uptake_rise: -0.1"), "lanes[0].crop.uptake_rise".into(), "-0.1"),
        (crop("uptake_rise: 0.1"), "lanes[0].crop.uptake_rise".into(), "0.1"),
        (crop("uptake_rise: 0.1, uptake_rises_above: 25"), "lanes[0].crop.uptake_rises_above".into(), "25"),
        (small_with("Preset(\"coir pith\")", "Preset(\"unobtainium\")"), format!("{part}.medium"), "\"unobtainium\""),
        (small_with("Preset(\"basil\")", "Preset(\"a\\u{1b}[2Jb\")"), "lanes[0].crop".into(), "\"a\\u{1b}[2Jb\""),
        (small_with("litres_per_day: 0.5", "litres_per_day: -0.5"), "lanes[0].demand.litres_per_day".into(), "-0.5"),
        (small_with("crop:", "plants: 0, crop:"), "lanes[0].plants".into(), "0"),
        (small_with("crop:", "start: (water: Mean(0.99)), crop:"), "lanes[0].start.water".into(), "0.99"),
        (small_with("crop:", "start: (salt: Ec(-2)), crop:"), "lanes[0].start.salt".into(), "-2"),
        (small_with("crop:", "targets: (drain_percent: (30, 10)), crop:"), "lanes[0].targets.drain_percent".into(), "30 to 10"),
        (small_with("crop:", "roots: ByHeight([(0, 1)]), crop:"), "lanes[0].roots".into(), "1"),
        (small_with("name: \"small\"", "name: \"\""), "name".into(), "\"\""),
        (small_with("name: \"small\"", "name: \"bell \\u{7}\""), "name".into(), "\"bell \\u{7}\""),
        (small_with("name: \"small\"", "name: \"turned \\u{202e}\""), "name".into(), "\"turned \\u{202e}\""),
        (small_with("seconds: 300", "seconds: 0"), "schedule[0].seconds".into(), "0"),
        (small_with("seconds: 300", "seconds: 90000"), "schedule[0].seconds".into(), "90000"),
        (small_with("\"08:00\"", "\"23:58\""), "schedule[0].start".into(), "23:58 for 300 s"),
        (small_with("ml: 100", "ml: -1"), "schedule[0].give.ml".into(), "-1"),
        (small_with("ml: 100", "ml: 1e9"), "schedule[0].give.ml".into(), "1e9"),
    ];
    for (text, field, value) in cases {
        let problems = problems_of(&text);
        let found = problems.iter().find(|p| p.field == field).unwrap_or_else(|| panic!("{field} not among {problems:?}"));
        assert_eq!(found.value, value, "{field}");
        assert!(!found.allowed.is_empty() && !found.why.is_empty(), "{found}");
        one_line_each(&FileError::Invalid { path: "test.ron".into(), problems });
    }
}

#[test]
fn long_names_are_cut_in_the_message() {
    let problems = problems_of(&small_with("name: \"small\"", &format!("name: \"{}\"", "x".repeat(100_000))));
    assert_eq!(problems[0].field, "name");
    assert!(problems[0].value.chars().count() < 90);
    let error = read(&small_with("days: 1,", &format!("days: 1, {}: 1,", "y".repeat(100_000)))).unwrap_err();
    one_line_each(&error);
}

#[test]
fn every_problem_is_listed_and_not_only_the_first() {
    let text = small_with("days: 1", "days: 0").replace("height_cm: 20", "height_cm: -1").replace("ml: 100", "ml: 0");
    let fields: Vec<String> = problems_of(&text).into_iter().map(|p| p.field).collect();
    for field in ["days", "schedule[0].give.ml", "lanes[0].container.parts[0].height_cm"] {
        assert!(fields.iter().any(|f| f == field), "{fields:?}");
    }
}

#[test]
fn events_overlap_only_with_an_error_that_names_both() {
    let two = r#"(start: "10:00", seconds: 60, give: Drip(ml: 10)), (start: "08:04", seconds: 300, give: Drip(ml: 100)), (start: "08:00""#;
    let problems = problems_of(&small_with(r#"(start: "08:00""#, two));
    assert_eq!(problems.len(), 1, "{problems:?}");
    // The places are those of the file, which need not be in order.
    assert_eq!((problems[0].field.as_str(), problems[0].value.as_str()), ("schedule[1].start", "08:04"));
    assert!(problems[0].allowed.contains("schedule[2]") && problems[0].allowed.contains("08:00"), "{}", problems[0]);
    // One may begin as the other ends, and a file's order does not matter.
    let text = small_with(r#"(start: "08:00""#, r#"(start: "08:05", seconds: 300, give: Drip(ml: 100)), (start: "08:00""#);
    let starts: Vec<Clock> = read(&text).unwrap().valves[0].schedule.iter().map(|e| e.start).collect();
    assert_eq!(starts, [Clock::hm(8, 0), Clock::hm(8, 5)]);
}

#[test]
fn masses_of_things_are_refused_at_once() {
    let began = Instant::now();
    let mut many = first_demo();
    many.valves[0].schedule = (0..10_000).map(|i| Event { seconds: 5, ..Event::drip(Clock::from_seconds(i * 8), 1, 1.0) }).collect();
    assert_eq!(many.validate(&Library::shipped())[0].value, "10000");
    let mut lanes = first_demo();
    let mut bad = lanes.lanes[0].clone();
    bad.plants = 0;
    lanes.lanes = vec![bad; 20_000];
    let problems = lanes.validate(&Library::shipped());
    assert_eq!(problems[0].field, "lanes");
    assert!(problems.len() < 100, "{}", problems.len());
    let mut parts = first_demo();
    parts.lanes[0].container.parts = vec![parts.lanes[0].container.parts[0].clone(); 10_000];
    assert!(parts.validate(&Library::shipped()).iter().any(|p| p.field == "lanes[0].container.parts" && p.value == "10000"));
    let mut mix = first_demo();
    let component = slakeline::scenario::Component { medium: "pumice".into(), percent: f64::NAN };
    mix.lanes[0].container.parts[0].medium = MediumChoice::Mix(vec![component; 100_000]);
    assert!(mix.validate(&Library::shipped()).len() < 10);
    let mut start = first_demo();
    start.lanes[0].start.water = StartWater::Layers(vec![f64::NAN; 1_000_000]);
    start.lanes[0].start.salt = slakeline::scenario::StartSalt::Layers(vec![-1.0; 1_000_000]);
    assert!(start.validate(&Library::shipped()).len() < 10);
    assert!(began.elapsed() < Duration::from_secs(20), "{:?}", began.elapsed());
}

#[test]
fn zero_demand_is_a_fine_thing_to_ask() {
    let scenario = read(&small_with("litres_per_day: 0.5", "litres_per_day: 0")).unwrap();
    let run = slakeline::engine::run::run_scenario(&scenario, &Library::shipped()).unwrap();
    assert_eq!(run.lanes[0].error, None);
    assert_eq!(run.lanes[0].ledger().water.taken_up, 0.0);
    let figures = slakeline::figures::day_figures(&run.lanes[0], &scenario.lanes[0], 0).unwrap();
    assert_eq!(figures.uptake_met, 1.0);
}

/// A small generator of our own (xorshift), so that every run sees the same files.
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % n.max(1) as u64) as usize
    }
}

#[test]
fn damaged_bytes_never_panic() {
    let library = Library::shipped();
    let words: [&[u8]; 14] =
        [b"NaN", b"-inf", b"1e999", b"-1", b"0", b"((((", b"]]", b"None", b"\"", b"99999999999999999999", b"\xff", b"/*", b"r#\"", b"\0"];
    let mut dice = Dice(0x5eed_1234_abcd_0001);
    let (mut good, mut bad) = (0, 0);
    for text in demo_texts() {
        for _ in 0..600 {
            let mut bytes = text.clone().into_bytes();
            for _ in 0..=dice.below(3) {
                let at = dice.below(bytes.len());
                match dice.below(5) {
                    0 => bytes[at] = dice.below(256) as u8,
                    1 => drop(bytes.drain(at..(at + dice.below(40)).min(bytes.len()))),
                    2 => drop(bytes.splice(at..at, words[dice.below(words.len())].iter().copied())),
                    3 => bytes[at] = b"0123456789.-e"[dice.below(13)],
                    _ => {
                        let (from, to) = (dice.below(bytes.len()), dice.below(bytes.len()));
                        let piece: Vec<u8> = bytes[from.min(to)..from.max(to)].iter().take(200).copied().collect();
                        drop(bytes.splice(at..at, piece));
                    }
                }
                if bytes.is_empty() {
                    bytes.push(b'(');
                }
            }
            match file::read(&bytes[..], "damaged.ron", &library) {
                Ok(_) => good += 1,
                Err(error) => {
                    one_line_each(&error);
                    bad += 1;
                }
            }
        }
    }
    // Some changes hit comments or digits and leave a valid file; most do not.
    assert!(good > 50 && bad > 1000, "{good} good, {bad} bad");
}
