//! The engine beside a general solver of differential equations, `diffsol`, on the same equations and the same day.
//!
//! Run it from the project's folder:
//!
//! ```text
//! cargo run --release --manifest-path tests/bench/peer/Cargo.toml
//! cargo run --release --manifest-path tests/bench/peer/Cargo.toml -- --plot work-precision.svg
//! ```
//!
//! With `SLAKELINE_PYTHON` set to a Python that has numpy and scipy (see `tests/reference/day.py`), SciPy runs the day as well.
//!
//! The day is `tests/cases/reference-day.ron`: a block on a slab, eleven drips, no hysteresis, since a curve that forks where a layer
//! turns is no differential equation that a general solver could be given. The engine looks after its turns all the same. Both
//! solvers have the same layers, tables, boundaries and demand; before anything is timed the flows of water are held against the
//! engine's own, and in the end both, run tightly, must meet.
//!
//! Errors are the largest through the day at the ends of each solver's own steps (SciPy's: every ten minutes), against one reference:
//! `diffsol` run tightly. Times are of a whole day on one core without keeping anything, the settings taking turns, so that a busy
//! machine is busy for all of them.

mod agreement;
mod day;
mod equations;
mod faces;
mod peer;
mod plot;
mod scipy;
mod work;

use std::process::ExitCode;
use std::rc::Rc;
use std::time::Instant;

use slakeline::engine::run::Ready;
use slakeline::scenario::{DAY_S, Scenario};

use day::{Errors, Figures};
use equations::{Equations, Stretch};
use peer::{Problem, Settings, System};
use work::Row;

/// Tolerances of the engine besides its default, loosest first.
const ENGINE: [f64; 8] = [8e-3, 4e-3, 2e-3, 1e-3, 5e-4, 2e-4, 1e-4, 2e-5];
/// Relative tolerances of the peer.
const AS_IT_COMES: [f64; 5] = [1e-3, 1e-4, 3e-5, 1e-5, 1e-6];
const TUNED: [f64; 7] = [1e-2, 3e-3, 1e-3, 3e-4, 1e-4, 3e-5, 1e-5];
/// The reference's relative tolerance, and the tolerance of the engine that is to meet it.
const REFERENCE: f64 = 1e-9;
const ENGINE_TIGHT: f64 = 1e-7;
/// How closely they have to meet: points and percent. Ten times closer than any row of the table is looked at.
const MEET: f64 = 1e-3;
/// How often every setting is timed, and for how long at least, ms: as many days as fill that, so that a short day is disturbed as often
/// as a long one.
const ROUNDS: usize = 31;
const TURN_MS: f64 = 25.0;

/// One setting to be measured.
struct Candidate<'a> {
    solver: String,
    setting: String,
    figures: Vec<Figures>,
    default: bool,
    steps: usize,
    day: Box<dyn FnMut() + 'a>,
    ms: Vec<f64>,
}

impl Candidate<'_> {
    /// A turn: the mean time of as many days as fill it.
    fn time(&mut self) {
        let begun = Instant::now();
        let mut days = 0.0;
        loop {
            (self.day)();
            days += 1.0;
            let ms = begun.elapsed().as_secs_f64() * 1e3;
            if ms >= TURN_MS {
                self.ms.push(ms / days);
                return;
            }
        }
    }
}

fn engine(scenario: &Scenario, tolerance: f64) -> Result<(Ready, Vec<Figures>), String> {
    let mut scenario = scenario.clone();
    scenario.solver.tolerance = tolerance;
    let lane = day::lane(&scenario)?;
    let mut figures = Vec::new();
    lane.simulation().advance_to(DAY_S, |s| figures.push(Figures::of_engine(s))).map_err(|e| e.to_string())?;
    Ok((lane, figures))
}

fn engine_candidates<'a>(scenario: &Scenario) -> Result<Vec<Candidate<'a>>, String> {
    let candidate = |&tolerance: &f64| {
        let (lane, figures) = engine(scenario, tolerance)?;
        #[allow(clippy::float_cmp)]
        let default = tolerance == scenario.solver.tolerance;
        let (setting, steps) = (format!("{tolerance:.0e}{}", if default { " (default)" } else { "" }), figures.len());
        let day = Box::new(move || drop(lane.simulation().advance_to(DAY_S, |_| {})));
        Ok(Candidate { solver: "engine".to_owned(), setting, figures, default, steps, day, ms: Vec::new() })
    };
    let mut tolerances = ENGINE.to_vec();
    tolerances.push(scenario.solver.tolerance);
    tolerances.sort_by(|a, b| b.total_cmp(a));
    tolerances.dedup();
    tolerances.iter().map(candidate).collect()
}

fn peer_candidates<'a>(system: &System, stretches: &[Stretch]) -> Result<Vec<Candidate<'a>>, String> {
    let name = format!("diffsol {} BDF", version());
    let settings = AS_IT_COMES.iter().map(|&t| (Settings::AsItComes, t)).chain(TUNED.iter().map(|&t| (Settings::Tuned, t)));
    let candidate = |(settings, rtol)| {
        let problem = Problem::new(system, stretches, settings, rtol).map_err(|e| e.to_string())?;
        let (figures, steps) = problem.figures(None).map_err(|e| format!("diffsol at {rtol:.0e}: {e}"))?;
        let how = if settings == Settings::Tuned { "tuned" } else { "as it comes" };
        let day = Box::new(move || drop(problem.run(None, &mut |_, _| {})));
        Ok(Candidate {
            solver: format!("{name}, {how}"),
            setting: format!("{rtol:.0e}"),
            figures,
            default: false,
            steps,
            day,
            ms: Vec::new(),
        })
    };
    settings.map(candidate).collect()
}

/// The peer's version, as it stands in the lock file.
fn version() -> &'static str {
    let after = include_str!("../Cargo.lock").split("name = \"diffsol\"\nversion = \"").nth(1);
    after.and_then(|rest| rest.split('"').next()).unwrap_or_default()
}

/// The reference at the instants of a run.
fn at_instants_of<'r>(reference: &'r [Figures], run: &[Figures]) -> Vec<&'r Figures> {
    run.iter().map(|f| &reference[reference.partition_point(|r| r.time < f.time).min(reference.len() - 1)]).collect()
}

/// Everything; what is wrong in words.
fn measure(picture: Option<&str>) -> Result<(), String> {
    let scenario = day::case()?;
    let lane = day::lane(&scenario)?;
    let equations = Rc::new(Equations::new(&lane)?);
    agreement::check(&lane, &equations)?;
    let start = equations.unknowns(&lane.start.head, &lane.start.ec);
    let system = System::new(Rc::clone(&equations), start);
    let stretches = day::stretches(&lane);
    println!("{}: {} layers, {} events, {} stretches.", scenario.name, lane.column.len(), day::events(&stretches), stretches.len());

    let mut candidates = engine_candidates(&scenario)?;
    candidates.extend(peer_candidates(&system, &stretches)?);
    let scipy = scipy::runs(&lane.column);
    let (_, tight) = engine(&scenario, ENGINE_TIGHT)?;

    let runs = || candidates.iter().map(|c| &c.figures).chain(scipy.iter().flatten().map(|r| &r.figures)).chain([&tight]);
    let mut instants: Vec<f64> = runs().flatten().map(|f| f.time).collect();
    instants.sort_by(f64::total_cmp);
    instants.dedup();
    let reference = Problem::new(&system, &stretches, Settings::Tuned, REFERENCE).and_then(|p| p.figures(Some(&instants)));
    let (reference, _) = reference.map_err(|e| format!("the reference: {e}"))?;
    let errors = |run: &[Figures]| Errors::between(run, &at_instants_of(&reference, run));
    let off = errors(&tight);
    println!(
        "Run tightly, the two differ by {:.1e} points (container), {:.1e} points (worst part), {:.1e} % of EC.",
        off.container, off.part, off.ec
    );
    if off.container.max(off.part).max(off.ec) > MEET {
        return Err(format!("so they do not solve the same equations (limit {MEET:.0e}); see equations.rs for what is written down twice"));
    }

    for _ in 0..ROUNDS {
        candidates.iter_mut().for_each(Candidate::time);
    }
    let mut rows: Vec<Row> = candidates
        .into_iter()
        .map(|mut c| {
            c.ms.sort_by(f64::total_cmp);
            let (median_ms, shortest_ms) = (c.ms[c.ms.len() / 2], c.ms[0]);
            let (errors, steps) = (errors(&c.figures), Some(c.steps));
            Row { solver: c.solver, setting: c.setting, default: c.default, median_ms, shortest_ms, steps, errors }
        })
        .collect();
    for run in scipy.iter().flatten() {
        let (solver, setting) = ("SciPy BDF (timed once)".to_owned(), run.setting.clone());
        let (ms, errors) = (run.ms, errors(&run.figures));
        rows.push(Row { solver, setting, default: false, median_ms: ms, shortest_ms: ms, steps: None, errors });
    }
    print!("{}{}", work::table(&rows), work::beside(&rows));
    if let Some(path) = picture {
        let title = format!(
            "{}, {} layers, {} events: what a day takes for how large an error",
            scenario.name,
            lane.column.len(),
            day::events(&stretches)
        );
        std::fs::write(path, plot::svg(&rows, &title)).map_err(|e| format!("{path} cannot be written: {e}"))?;
        println!("Drawn in {path}.");
    }
    if scipy.as_ref().is_ok_and(Vec::is_empty) {
        println!("SciPy left out: set SLAKELINE_PYTHON to a Python that has numpy and scipy.");
    }
    scipy.map(|_| ())
}

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip(1);
    let picture = match (arguments.next().as_deref(), arguments.next(), arguments.next()) {
        (None, ..) => None,
        (Some("--plot"), Some(path), None) => Some(path),
        _ => {
            eprintln!("Usage: slakeline-peer [--plot FILE]");
            return ExitCode::from(2);
        }
    };
    match measure(picture.as_deref()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(words) => {
            eprintln!("{words}");
            ExitCode::FAILURE
        }
    }
}
