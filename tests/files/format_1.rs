//! What format 1 wrote opens and means what it meant: every demo and preset of that time, and the demos as one valve.

use std::path::{Path, PathBuf};

use slakeline::engine::run::run_scenario;
use slakeline::scenario::presets::Library;
use slakeline::scenario::{FORMAT, Scenario, file};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases/format-1")
}

fn demos() -> Vec<PathBuf> {
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder()).unwrap().map(|e| e.unwrap().path()).collect();
    paths.retain(|p| p.extension().is_some_and(|e| e == "ron"));
    paths.sort();
    paths
}

/// The same in format 2, by moving lines of text: what stood in the open and is now the valve's is put into one.
fn moved(text: &str) -> String {
    let (mut valve, mut rest, mut open) = (String::new(), Vec::new(), 0_i64);
    let mut within = false;
    for line in text.lines() {
        let code = line.split("//").next().unwrap_or_default();
        let begins = ["schedule:", "rules:", "changes:"].iter().any(|f| line.strip_prefix("    ").is_some_and(|l| l.starts_with(f)));
        within |= begins;
        if within {
            valve += line;
            valve.push('\n');
            let count = |c: &[char]| i64::try_from(code.matches(c).count()).unwrap();
            open += count(&['(', '[']) - count(&[')', ']']);
            within = open > 0;
        } else {
            rest.push(line.replace("format: 1,", "format: 2,"));
        }
    }
    let last = rest.iter().rposition(|l| l.trim_end() == ")").unwrap();
    rest.insert(last, format!("    valves: [(name: \"Valve 1\",\n{valve}    )],"));
    rest.join("\n")
}

#[test]
fn every_demo_of_format_1_opens_as_one_valve_and_runs_to_the_bit_as_format_2() {
    let library = Library::shipped();
    let demos = demos();
    assert!(demos.len() >= 10, "{demos:?}");
    for path in demos {
        let text = std::fs::read_to_string(&path).unwrap();
        assert!(text.contains("format: 1,"), "{}", path.display());
        let migrated = file::load(&path, &library).unwrap_or_else(|e| panic!("{e}"));
        assert_eq!((migrated.format, migrated.valves.len(), migrated.pump), (FORMAT, 1, None));
        assert!(migrated.lanes.iter().all(|l| l.valve == 0));
        let by_hand: Scenario = file::parse(&moved(&text)).unwrap_or_else(|e| panic!("{}: {e}\n{}", path.display(), moved(&text)));
        assert_eq!(migrated, by_hand, "{}", path.display());
        // What is saved is of the new format, and nothing of it is lost.
        let saved = file::to_text(&migrated).unwrap();
        assert!(saved.contains("format: 2,"));
        let again = file::read(saved.as_bytes(), "again", &library).unwrap();
        assert_eq!(again, migrated);
        let (a, b) = (run_scenario(&migrated, &library).unwrap(), run_scenario(&again, &library).unwrap());
        for (a, b) in a.lanes.iter().zip(&b.lanes) {
            assert_eq!((&a.series, &a.midnights), (&b.series, &b.midnights), "{}", path.display());
        }
    }
}

#[test]
fn every_preset_of_format_1_opens_among_a_users_own() {
    let library = Library::with_user_presets(&folder().join("presets"));
    assert_eq!(library.warnings, Vec::<String>::new());
    let files = |kind: &str| std::fs::read_dir(folder().join("presets").join(kind)).unwrap().count();
    let counts = [library.media.len(), library.containers.len(), library.crops.len(), library.climates.len(), library.setups.len()];
    let kinds = ["media", "containers", "crops", "climates", "setups"];
    for (kind, count) in kinds.into_iter().zip(counts) {
        assert!(files(kind) > 0 && count >= files(kind), "{kind}: {count} of {}", files(kind));
    }
    // A preset per crop, which holds a lane and a schedule, makes a bench that runs.
    for setup in &library.setups {
        let bench = setup.alone();
        assert_eq!((bench.validate(&library), bench.valves[0].schedule.clone()), (Vec::new(), setup.schedule.clone()));
    }
}
