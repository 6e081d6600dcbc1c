//! SciPy on the same day, where `SLAKELINE_PYTHON` names a Python that has it: `tests/reference/day.py`, called by `scipy_day.py`.

use std::process::Command;

use slakeline::engine::column::layers::Column;

use crate::day::{self, Figures};

/// A run of SciPy.
pub struct Run {
    /// Its setting.
    pub setting: String,
    /// Time of the day, ms.
    pub ms: f64,
    /// Figures every ten minutes.
    pub figures: Vec<Figures>,
}

/// All runs; none without `SLAKELINE_PYTHON`.
///
/// # Errors
/// In words, when the Python named does not do what it should.
pub fn runs(column: &Column) -> Result<Vec<Run>, String> {
    let Ok(python) = std::env::var("SLAKELINE_PYTHON") else { return Ok(Vec::new()) };
    let script = day::root().join("tests/bench/peer/scipy_day.py");
    let output =
        Command::new(&python).arg(&script).output().map_err(|e| format!("SLAKELINE_PYTHON is \"{python}\", which does not start: {e}"))?;
    if !output.status.success() {
        let said = String::from_utf8_lossy(&output.stderr);
        return Err(format!("{} run by \"{python}\" stopped ({}): {}", script.display(), output.status, said.trim()));
    }
    let mut runs: Vec<Run> = Vec::new();
    for line in String::from_utf8_lossy(&output.stdout).lines() {
        let unexpected = || format!("{} said \"{line}\", which is neither a run nor its values", script.display());
        let mut words = line.split('\t');
        let first = words.next().unwrap_or_default();
        if first == "run" {
            let (setting, seconds) = (words.next().ok_or_else(unexpected)?, words.next().ok_or_else(unexpected)?);
            let seconds: f64 = seconds.parse().map_err(|_| unexpected())?;
            runs.push(Run { setting: setting.to_owned(), ms: 1e3 * seconds, figures: Vec::new() });
            continue;
        }
        let time: f64 = first.parse().map_err(|_| unexpected())?;
        let values: Vec<f64> = words.map(str::parse).collect::<Result<_, _>>().map_err(|_| unexpected())?;
        let n = column.len();
        if values.len() != 2 * n {
            return Err(format!("{} gave {} values at {time} s for {n} layers", script.display(), values.len()));
        }
        let run = runs.last_mut().ok_or_else(unexpected)?;
        run.figures.push(Figures::of(column, time, &values[..n], &values[n..]));
    }
    Ok(runs)
}
