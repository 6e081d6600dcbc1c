//! `slakeline check`: every value that cannot be, or a line that says all is well.

use std::path::Path;

use super::failure::Failure;
use super::output;
use crate::engine::run::Workshop;
use crate::scenario::file::FileError;
use crate::scenario::{Scenario, Valve};

/// Runs the command. The problems are its result and go to standard output, one a line.
pub fn run(path: &Path) -> Result<(), Failure> {
    let library = super::input::library();
    match super::input::load(path, &library) {
        Ok(scenario) => {
            Workshop::default().ready(&scenario, &library)?;
            // What it finds is told by its exit code as well.
            output::to_standard_or_beside(true, |out| writeln!(out, "{}: ok: {}", path.display(), summary(&scenario)))
        }
        Err(error) => {
            if let FileError::Invalid { problems, .. } = &error {
                output::to_standard_or_beside(true, |out| problems.iter().try_for_each(|p| writeln!(out, "{p}")))?;
            }
            Err(error.into())
        }
    }
}

fn count(n: usize, one: &str) -> String {
    format!("{n} {one}{}", if n == 1 { "" } else { "s" })
}

/// What a valve gives in a day.
fn given(valve: &Valve) -> String {
    let dripped: f64 = valve.schedule.iter().filter_map(crate::scenario::Event::daily_ml).sum();
    let rules = valve.all_rules().count();
    let mut given = if dripped > 0.0 { format!(" giving {dripped:.0} mL per plant and day") } else { String::new() };
    if !given.is_empty() {
        // Rules add to it, and another schedule takes its place.
        given += if rules > 0 { " by the clock" } else { "" };
        given += if valve.changes.is_empty() { "" } else { " until the first change" };
    }
    let mut told = vec![count(valve.schedule.len(), "event") + &given];
    told.extend((rules > 0).then(|| count(rules, "rule")));
    told.extend((!valve.changes.is_empty()).then(|| count(valve.changes.len(), "change") + " of schedule"));
    told.join(", ")
}

/// The scenario in a line.
fn summary(scenario: &Scenario) -> String {
    let lanes: Vec<&str> = scenario.lanes.iter().map(|l| l.name.as_str()).collect();
    let several = scenario.valves.len() > 1;
    let mut told: Vec<String> =
        scenario.valves.iter().map(|v| if several { format!("{}: {}", v.name, given(v)) } else { given(v) }).collect();
    told.extend(scenario.pump.map(|p| format!("a pump of {} L/h", p.litres_per_hour)));
    told.extend(scenario.tank.map(|t| format!("a tank of {} L", t.litres)));
    format!(
        "\"{}\", {} ({}), {}, {}",
        scenario.name,
        count(lanes.len(), "lane"),
        lanes.join(", "),
        told.join(", "),
        count(scenario.days as usize, "day")
    )
}
