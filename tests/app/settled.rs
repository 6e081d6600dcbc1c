//! Whether a day repeats itself is asked in one way: table, JSON and window tell the same day, however late.

use std::process::Command;
use std::time::{Duration, Instant};

use slakeline::engine::run::Settled;
use slakeline::engine::run::settled::LOOK_AHEAD_DAYS;
use slakeline::scenario::presets::demos;
use slakeline::scenario::{Clock, Demand, Event, Scenario, file};

use crate::hand::{choose, open};

/// A pot that drains so little that its salt takes months, a slab that takes days, and a pot that never drains.
fn slow() -> Scenario {
    let mut scenario = demos().remove(0).1;
    scenario.schedule = vec![Event::drip(Clock::hm(9, 0), 300, 600.0)];
    for lane in &mut scenario.lanes {
        lane.demand = Demand::Measured { litres_per_day: 0.4, steady_share: 0.1 };
    }
    scenario.lanes[1].dose = 1.5;
    let mut never = scenario.lanes[1].clone();
    (never.name, never.dose) = ("Never".to_owned(), 0.15);
    never.demand = Demand::Measured { litres_per_day: 0.09, steady_share: 0.1 };
    scenario.lanes.push(never);
    scenario
}

#[test]
fn table_json_and_window_tell_the_same_day_however_late() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("slow.ron");
    file::save(&slow(), &path).unwrap();
    let simulate = |options: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_slakeline"));
        command.arg("simulate").arg(&path).args(options).env("XDG_DATA_HOME", folder.path()).env("HOME", folder.path());
        let output = command.output().unwrap();
        assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8(output.stdout).unwrap()
    };
    let mut window = open(folder.path());
    assert!(window.state_mut().open(&path));
    window.run();
    choose(&mut window, "Showing", "settled day");
    let began = Instant::now();
    while window.state().run().settled.is_none() {
        assert!(began.elapsed() < Duration::from_secs(120), "it did not settle within two minutes");
        std::thread::sleep(Duration::from_millis(5));
        window.step();
    }
    let settled = window.state().run().settled.clone().unwrap();
    let days: Vec<Option<u32>> = settled.iter().map(|s| if let Settled::OnDay(day) = s { Some(*day) } else { None }).collect();
    // One soon, one past what one would look ahead for a day's answer, one never.
    assert!(days[0].is_some_and(|d| d < 60) && days[1].is_some_and(|d| d > 60) && days[2].is_none(), "{days:?}");
    assert_eq!(settled[2], Settled::NotWithin(LOOK_AHEAD_DAYS));
    let words: Vec<String> = days
        .iter()
        .map(|d| d.map_or_else(|| format!("not settled in {LOOK_AHEAD_DAYS} days"), |day| format!("settled from about day {day} on")))
        .collect();
    let table = simulate(&[]);
    let told: Vec<&str> = table.lines().filter_map(|l| l.trim().strip_prefix("Day after day like this: ")).collect();
    assert_eq!(told, words.iter().map(|w| format!("{w}.")).collect::<Vec<_>>());
    let json: serde_json::Value = serde_json::from_str(&simulate(&["--figures", "-"])).unwrap();
    for ((lane, day), words) in json["lanes"].as_array().unwrap().iter().zip(&days).zip(&words) {
        assert_eq!((lane["settled_on_day"].as_u64(), lane["settled"].as_str()), (day.map(u64::from), Some(words.as_str())));
    }
}
