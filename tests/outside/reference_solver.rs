//! Check 12: the same discretised equations, written a second time and integrated by SciPy's BDF (`tests/reference/day.py`).

use crate::common::{advance, case, ready, require};
use slakeline::engine::run::simulation::Simulation;

/// The other solver's table, a row per ten minutes.
struct Table {
    header: Vec<String>,
    rows: Vec<Vec<f64>>,
}

impl Table {
    fn read() -> Self {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/day.csv");
        let mut reader = csv::Reader::from_path(path).unwrap();
        let header = reader.headers().unwrap().iter().map(str::to_owned).collect();
        let rows: Vec<Vec<f64>> = reader.records().map(|r| r.unwrap().iter().map(|v| v.parse().unwrap()).collect()).collect();
        assert_eq!(rows.len(), 145);
        Self { header, rows }
    }

    fn column(&self, name: &str) -> Vec<f64> {
        let at = self.header.iter().position(|h| h == name).unwrap();
        self.rows.iter().map(|r| r[at]).collect()
    }
}

/// The engine's values in the order of the table's columns after the first.
fn values(simulation: &Simulation) -> Vec<f64> {
    let (column, state, ledger) = (simulation.column(), simulation.state(), simulation.ledger());
    let mean = |values: &[f64], part: usize| {
        let range = column.parts[part].layers.clone();
        let volume: f64 = range.clone().map(|i| column.layers[i].volume).sum();
        range.map(|i| values[i] * column.layers[i].volume).sum::<f64>() / volume
    };
    let (theta, ec, last) = (&state.theta, &state.ec, column.len() - 1);
    let (water, salt) = (ledger.water, ledger.salt);
    vec![
        column.mean(theta),
        mean(theta, 0),
        mean(theta, 1),
        theta[0],
        theta[last],
        column.root_zone_ec(theta, ec),
        mean(ec, 0),
        mean(ec, 1),
        ec[0],
        ec[last],
        water.drained(),
        salt.drained(),
        water.taken_up,
        salt.taken_up,
        water.evaporated,
    ]
}

/// The engine every ten minutes of the day, by the table's columns; `marks` makes steps land there, else the values between
/// steps are the program's own straight lines (only what a sample holds: mean water content, root-zone EC, amounts).
fn compare(tolerance: Option<f64>) -> (Vec<f64>, Table, f64) {
    let mut scenario = case("reference-day");
    if let Some(tolerance) = tolerance {
        scenario.solver.tolerance = tolerance;
    }
    let lane = &ready(&scenario)[0];
    assert_eq!(lane.column.len(), 35);
    let table = Table::read();
    let mut simulation = lane.simulation();
    let mut worst = vec![0.0_f64; table.header.len()];
    for row in &table.rows {
        advance(&mut simulation, row[0]);
        for (i, (own, other)) in values(&simulation).into_iter().zip(&row[1..]).enumerate() {
            let name = table.header[i + 1].as_str();
            // EC relatively, everything else as it is.
            let off = if name.contains("ec") { (own / other - 1.0).abs() } else { (own - other).abs() };
            worst[i + 1] = worst[i + 1].max(off);
        }
    }
    (worst, table, lane.column.volume)
}

/// Tolerances: 0.1 point of water content for the container and its parts, 0.5 % of EC for the root
/// zone and the parts; amounts that left: drain and uptake within 0.1 point of the container's volume, salt likewise in
/// 0.5 % of what drained or was taken up. At the program's default tolerance.
#[test]
fn agrees_through_the_day() {
    let (worst, table, volume) = compare(None);
    let of = |name: &str| worst[table.header.iter().position(|h| h == name).unwrap()];
    for name in ["theta", "theta_slab", "theta_block"] {
        require("12 Other solver", name, 100.0 * of(name), 0.1, "points");
    }
    for name in ["root_zone_ec", "ec_slab", "ec_block"] {
        require("12 Other solver", name, 100.0 * of(name), 0.5, "%");
    }
    for name in ["drain_ml", "uptake_ml", "evaporation_ml"] {
        require("12 Other solver", name, 100.0 * of(name) / volume, 0.1, "points");
    }
    for name in ["drain_salt", "uptake_salt"] {
        let whole = table.column(name)[144];
        require("12 Other solver", name, 100.0 * of(name) / whole, 0.5, "% of the day's");
    }
    for name in ["theta_base", "theta_top"] {
        println!("| 12 Other solver | {name} (single layer, told only) | {:.3e} | | points |", 100.0 * of(name));
    }
    for name in ["ec_base", "ec_top"] {
        println!("| 12 Other solver | {name} (single layer, told only) | {:.3e} | | % |", 100.0 * of(name));
    }
}

/// With a tight tolerance the two solvers meet layer by layer: what is left at the default is step error, not another
/// equation. Tolerances: 0.01 points, 0.02 % of EC.
#[test]
fn meets_it_when_the_steps_are_small() {
    let (worst, table, _) = compare(Some(1e-6));
    for (name, off) in table.header.iter().zip(&worst) {
        if name.starts_with("theta") {
            require("12 Other solver, tight", name, 100.0 * off, 0.01, "points");
        } else if name.contains("ec") && name != "seconds" {
            require("12 Other solver, tight", name, 100.0 * off, 0.02, "%");
        }
    }
}

/// What the program shows between its own steps, without landing on the table's instants: the same tolerances.
#[test]
fn agrees_as_shown() {
    let run = ready(&case("reference-day"))[0].run(1);
    assert!(run.error.is_none());
    let table = Table::read();
    let (mut water, mut ec) = (0.0_f64, 0.0_f64);
    for (row, (theta, salt)) in table.rows.iter().zip(table.column("theta").into_iter().zip(table.column("root_zone_ec"))) {
        let shown = run.series.at(row[0]).unwrap();
        water = water.max((shown.water_content - theta).abs());
        ec = ec.max((shown.root_zone_ec / salt - 1.0).abs());
    }
    require("12 Other solver", "as shown, water content", 100.0 * water, 0.1, "points");
    require("12 Other solver", "as shown, root-zone EC", 100.0 * ec, 0.5, "%");
    println!("| 12 Other solver | steps of the day | {} | | |", run.stats.steps);
}
