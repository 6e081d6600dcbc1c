//! Checks of a climate: a typical day or a log.

use super::check::Check;
use crate::scenario::bench::MAX_DAYS;
use crate::scenario::climate::{Air, Climate, ClimateLog, TypicalDay};
use crate::scenario::parameter::bench::{AIRS, LEVEL};
use crate::scenario::presets::library::Library;
use crate::scenario::ranges;
use crate::units::WHOLE_DAY_S;

/// Most rows of a log: 138 days of minutes.
const MOST_ROWS: usize = 200_000;

pub(super) fn check_climate(check: &mut Check<'_>, climate: &Climate, library: &Library) {
    match climate {
        Climate::Typical(day) => check_day(check, day, library),
        Climate::Log(log) => check_log(check, log),
    }
}

pub(super) fn check_day(check: &mut Check<'_>, day: &TypicalDay, library: &Library) {
    check.name(&day.name);
    check.text("source", &day.source);
    check.numbers(day, LEVEL, library);
    for air in &AIRS {
        check.numbers(day, air, library);
    }
}

fn check_air(check: &mut Check<'_>, air: &Air) {
    check.range("celsius", air.celsius, ranges::LOG_CELSIUS, "°C above the canopy");
    check.range("humidity_percent", air.humidity_percent, ranges::PERCENT, "percent of relative humidity");
}

fn check_log(check: &mut Check<'_>, log: &ClimateLog) {
    check.name(&log.name);
    check.text("source", &log.source);
    if !check.count("rows", log.rows.len(), 1, MOST_ROWS, "rows of a climate log") {
        return;
    }
    let mut before = None;
    for (i, row) in log.rows.iter().enumerate() {
        let mut at = check.at(&format!("rows[{i}]"));
        let problems = at.problems.len();
        if before.is_some_and(|time| row.0 <= time) || row.0 >= MAX_DAYS * WHOLE_DAY_S {
            at.fail("0", row.0, "later than the row before, within 366 days", "rows stand in order of time");
        }
        at.range("1", row.shortwave(), ranges::LOG_LIGHT, "W/m² of shortwave radiation");
        check_air(&mut at, &row.air());
        if at.problems.len() > problems {
            // One row tells what is wrong; a log in other units would tell it ten thousand times.
            return;
        }
        before = Some(row.0);
    }
}
