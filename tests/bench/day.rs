//! How long a projected day takes. Run with `cargo bench --bench day`.
//!
//! Prints medians, since machines are noisy, and what they are to be compared with in the same run: the accuracy that is
//! bought, and, where `SLAKELINE_PYTHON` names a Python with SciPy (see `tests/reference/day.py`), that solver on the same day.

use std::path::Path;
use std::process::Command;
use std::time::Instant;

use slakeline::engine::column::layers::Column;
use slakeline::engine::demand;
use slakeline::engine::run::{LaneRun, Ready, Workshop, run};
use slakeline::figures::day_figures;
use slakeline::scenario::other_grid::refined;
use slakeline::scenario::presets::{self, Library};
use slakeline::scenario::resolve;
use slakeline::scenario::{
    Climate, ClimateLog, Clock, DAY_S, Demand, Filled, Give, LogRow, Probe, Refill, Rule, Scenario, Tank, When, file,
};

/// Runs a job many times and returns the median and the shortest time in ms.
fn time(times: usize, mut job: impl FnMut()) -> (f64, f64) {
    let mut taken: Vec<f64> = (0..times)
        .map(|_| {
            let begun = Instant::now();
            job();
            begun.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    taken.sort_by(f64::total_cmp);
    (taken[taken.len() / 2], taken[0])
}

fn ready(scenario: &Scenario, library: &Library) -> Vec<Ready> {
    Workshop::default().ready(scenario, library).expect("the scenario is valid").for_its_days()
}

/// One lane, one day, without keeping the series.
fn one_day(lane: &Ready) -> f64 {
    let mut simulation = lane.simulation();
    simulation.advance_to(DAY_S, |_| {}).expect("the day converges");
    let (steps, iterations, layers) = (simulation.stats().steps, simulation.stats().iterations, lane.column.len());
    let (median, least) = time(400, || {
        let mut simulation = lane.simulation();
        simulation.advance_to(DAY_S, |_| {}).expect("the day converges");
    });
    #[allow(clippy::cast_precision_loss)]
    let per = |count: u64| median * 1e6 / (count as f64 * layers as f64);
    println!(
        "  {:<16} {layers} layers: median {median:.3} ms a day (shortest {least:.3}); {steps} steps, {:.0} ns per layer-step; {iterations} iterations, {:.0} ns per layer-iteration",
        lane.name,
        per(steps),
        per(iterations)
    );
    median
}

/// Largest differences through the day: water content in points, EC in percent.
fn differences(a: &LaneRun, b: &LaneRun) -> (f64, f64) {
    let mut worst = (0.0_f64, 0.0_f64);
    for s in &a.series.samples {
        let Some(r) = b.series.at(s.time_s) else { continue };
        worst.0 = worst.0.max(100.0 * (s.water_content - r.water_content).abs());
        worst.1 = worst.1.max(100.0 * (s.root_zone_ec / r.root_zone_ec - 1.0).abs());
    }
    worst
}

fn accuracy(scenario: &Scenario, library: &Library) {
    for (coarse, fine) in ready(scenario, library).iter().zip(ready(&refined(scenario), library)) {
        let (water, ec) = differences(&coarse.run(1), &fine.run(1));
        println!("  {:<16} {water:.3} points of water content, {ec:.3} % of EC", coarse.name);
    }
}

/// The bench as it is recomputed while an event is dragged: every lane, every day, all figures; columns are kept.
fn recompute(scenario: &Scenario, library: &Library) {
    let mut workshop = Workshop::default();
    let mut shifted = scenario.clone();
    let mut later = 0;
    let (median, least) = time(200, || {
        later = (later + 1) % 60;
        shifted.valves[0].schedule[5].start = Clock::hm(12, later);
        let lanes = workshop.ready(&shifted, library).expect("the scenario is valid").for_its_days();
        let run = run(&lanes, shifted.days);
        for (lane, described) in run.lanes.iter().zip(&shifted.lanes) {
            for day in 0..lane.days() {
                std::hint::black_box(day_figures(lane, described, day));
            }
        }
    });
    println!("  {} lanes x {} days with figures: median {median:.2} ms (shortest {least:.2})", scenario.lanes.len(), scenario.days);
}

/// What the workshop saves: a column, and the load of a week of minutes.
fn made_ready(scenario: &Scenario, library: &Library) {
    for lane in &scenario.lanes {
        let (median, least) = time(60, || {
            std::hint::black_box(Column::build(lane, &scenario.solver, library)).expect("the lane is valid");
        });
        println!("  a column of {}: median {median:.2} ms (shortest {least:.2})", lane.name);
    }
    let week = week_of_minutes(scenario);
    let lane = &week.lanes[0];
    let crop = resolve::crop(&lane.crop, library).expect("the crop is known");
    let (median, least) = time(60, || {
        std::hint::black_box(demand::of(&lane.demand, &crop, &week));
    });
    println!("  the load of a week of minutes: median {median:.2} ms (shortest {least:.2})");
    for (what, scenario) in [("this bench", scenario), ("three lanes under a week of minutes", &week)] {
        let mut workshop = Workshop::default();
        let mut other = scenario.clone();
        let (median, least) = time(200, || {
            other.lanes[0].plants = 1 + other.lanes[0].plants % 100;
            std::hint::black_box(workshop.ready(&other, library)).expect("the scenario is valid");
        });
        println!("  {what} again with other plants: median {median:.3} ms (shortest {least:.3})");
    }
}

/// Three lanes under a week of a climate logged every minute, their use computed from it.
fn week_of_minutes(scenario: &Scenario) -> Scenario {
    let rows = (0..7 * 1440).map(|minute| {
        let hour = f64::from(minute % 1440) / 60.0;
        let cloud = 0.6 + 0.4 * (f64::from(minute) / 37.0).sin();
        let light = 500.0 * cloud * (std::f64::consts::PI * (hour - 6.0) / 14.0).sin().max(0.0);
        #[allow(clippy::cast_possible_truncation)]
        LogRow(minute * 60, if (6.0..20.0).contains(&hour) { light as f32 } else { 0.0 }, 22.0, 70.0)
    });
    let rows: Vec<LogRow> = rows.collect();
    let mut scenario = scenario.clone();
    scenario.days = 7;
    scenario.climate =
        Some(Climate::Log(ClimateLog { name: "a week of minutes".to_owned(), source: String::new(), lamp: None, rows: rows.into() }));
    let third = slakeline::scenario::Lane { name: "Third".to_owned(), ..scenario.lanes[0].clone() };
    scenario.lanes.push(third);
    for lane in &mut scenario.lanes {
        lane.demand = Demand::Climate { leaf_area_index: None, plants_per_m2: None, scale: 1.0 };
    }
    scenario
}

/// A week of a climate logged every minute, for three lanes, on one core.
fn week(scenario: &Scenario, library: &Library) {
    let mut scenario = week_of_minutes(scenario);
    let lanes = ready(&scenario, library);
    let (median, least) = time(30, || {
        for lane in &lanes {
            let mut simulation = lane.simulation();
            simulation.advance_to(7.0 * DAY_S, |_| {}).expect("the week converges");
        }
    });
    println!("  {} lanes x 7 days of 1-minute climate, one core: median {median:.1} ms (shortest {least:.1})", lanes.len());
    let one_core = rayon::ThreadPoolBuilder::new().num_threads(1).build().expect("a thread");
    let whole = |what: &str, scenario: &Scenario| {
        let mut workshop = Workshop::default();
        let (median, least) = time(30, || {
            one_core.install(|| {
                let bench = workshop.ready(scenario, library).expect("the scenario is valid");
                std::hint::black_box(run(&bench.for_its_days(), scenario.days));
            });
        });
        println!("  the same {what}: median {median:.1} ms (shortest {least:.1})");
    };
    whole("with timetable and every step kept", &scenario);
    let tank = Tank { litres: 500.0, start_ec: None, refill: Refill::Feed, filled: Filled::Always, drain_returns: true };
    whole("from a tank that drain comes back to", &Scenario { tank: Some(tank), ..scenario.clone() });
    scenario.lanes[0].probe = Some(Probe { height_cm: 4.0, length_cm: 5.0 });
    let when = When::Dry { lane: scenario.lanes[0].name.clone(), falls_to: 0.85, pause_s: 900 };
    let (first, last) = (Clock::hm(7, 0), Clock::hm(18, 0));
    scenario.valves[0].rules.push(Rule { when, first, last, seconds: 300, give: Give::Drip { ml: 100.0 }, ec: None });
    whole("called for by a probe besides", &scenario);
}

/// SciPy's BDF at its default tolerances on the same equations, and this engine on the same day.
fn against_scipy(library: &Library) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let Ok(python) = std::env::var("SLAKELINE_PYTHON") else {
        println!("  left out: set SLAKELINE_PYTHON to a Python that has numpy and scipy");
        return;
    };
    let scenario = file::load(&root.join("tests/cases/reference-day.ron"), library).expect("the case is valid");
    let engine = one_day(&ready(&scenario, library)[0]);
    let output = Command::new(python).arg(root.join("tests/reference/day.py")).output().expect("Python starts");
    for line in String::from_utf8_lossy(&output.stdout).lines().filter(|l| l.contains("s a day")) {
        let seconds: Option<f64> =
            line.split_whitespace().zip(line.split_whitespace().skip(1)).find(|(_, unit)| *unit == "s").and_then(|(v, _)| v.parse().ok());
        let ratio = seconds.map_or_else(String::new, |s| format!(" = {:.0} times this engine's day", s * 1e3 / engine));
        println!("  SciPy BDF, {line}{ratio}");
    }
}

fn main() {
    let library = Library::shipped();
    let (name, scenario) = presets::demos().into_iter().next().expect("there is a demo");
    println!("One day of {name}, {} events, one core:", scenario.valves[0].schedule.len());
    for lane in ready(&scenario, &library) {
        one_day(&lane);
    }
    println!("Against a quarter of the layer thickness and a tenth of the tolerance:");
    accuracy(&scenario, &library);
    println!("Made ready:");
    made_ready(&scenario, &library);
    println!("While dragging:");
    recompute(&scenario, &library);
    println!("A week:");
    week(&scenario, &library);
    println!("Against another solver:");
    against_scipy(&library);
}
