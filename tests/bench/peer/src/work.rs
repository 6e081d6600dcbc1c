//! Work and precision: what each setting of each solver takes and misses, and the time that another takes for the same error.

use std::fmt::Write as _;

use crate::day::Errors;

/// One setting of one solver.
#[derive(Clone, Debug)]
pub struct Row {
    /// The solver.
    pub solver: String,
    /// Its tolerance, as it is written.
    pub setting: String,
    /// Median time of a day, ms.
    pub median_ms: f64,
    /// Shortest time of a day, ms.
    pub shortest_ms: f64,
    /// Whether this is the engine as the program runs it.
    pub default: bool,
    /// Steps of the day, where they are told.
    pub steps: Option<usize>,
    /// What it misses.
    pub errors: Errors,
}

/// What is measured of an error.
pub type Measure = fn(&Errors) -> f64;

/// The three errors: name, unit and where to find it.
pub const MEASURES: [(&str, &str, Measure); 3] =
    [("container", "points", |e| e.container), ("worst part", "points", |e| e.part), ("EC", "%", |e| e.ec)];

/// How a time compares with another solver's at the same error.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Ratio {
    /// So many times as long.
    Times(f64),
    /// At least so many times: the other is more exact even at its loosest.
    AtLeast(f64),
    /// The other was not run as exactly.
    Unknown,
}

impl std::fmt::Display for Ratio {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let text = match self {
            Self::Times(x) => rounded(*x),
            Self::AtLeast(x) => format!("> {}", rounded(*x)),
            Self::Unknown => "–".to_owned(),
        };
        f.pad(&text)
    }
}

fn rounded(x: f64) -> String {
    if x < 100.0 { format!("{x:.1}") } else { format!("{x:.0}") }
}

/// How many times as long `ms` is as what the solver with these points (error, ms) takes for `error`. Between two points times are read
/// off a straight line of logarithms; points that cost more and miss more than another are left out.
pub fn ratio(points: &[(f64, f64)], error: f64, ms: f64) -> Ratio {
    let mut useful: Vec<(f64, f64)> = points.iter().copied().filter(|p| !points.iter().any(|q| q.0 < p.0 && q.1 < p.1)).collect();
    useful.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (Some(first), Some(last)) = (useful.first(), useful.last()) else { return Ratio::Unknown };
    if error < first.0 {
        return Ratio::Unknown;
    }
    if error > last.0 {
        return Ratio::AtLeast(ms / last.1);
    }
    let above = useful.partition_point(|p| p.0 < error);
    if above == 0 {
        return Ratio::Times(ms / first.1);
    }
    let (low, high) = (useful[above - 1], useful[above]);
    let x = (error / low.0).ln() / (high.0 / low.0).ln();
    Ratio::Times(ms / (low.1.ln() + x * (high.1 / low.1).ln()).exp())
}

/// The table: every row, with the time at the same errors of the solver of the first row.
pub fn table(rows: &[Row]) -> String {
    let mut out = String::new();
    let Some(first) = rows.first() else { return out };
    let own: Vec<&Row> = rows.iter().filter(|r| r.solver == first.solver).collect();
    let name = rows.iter().map(|r| r.solver.chars().count()).max().unwrap_or(0);
    let _ = writeln!(
        out,
        "{:<name$} | {:>15} | {:>6} | {:>9} | {:>9} | {:>9} | {:>9} | {:>9} | times the engine's ms at the same error",
        "", "tolerance", "steps", "median ms", "shortest", "container", "part", "EC %"
    );
    let _ = writeln!(
        out,
        "{:<name$} | {:>15} | {:>6} | {:>9} | {:>9} | {:>9} | {:>9} | {:>9} | container, part, EC by median (by shortest)",
        "", "", "", "", "", "points", "points", ""
    );
    for row in rows {
        let steps = row.steps.map_or_else(|| "–".to_owned(), |s| s.to_string());
        let e = &row.errors;
        let _ = write!(
            out,
            "{:<name$} | {:>15} | {steps:>6} | {:>9.2} | {:>9.2} | {:>9.2e} | {:>9.2e} | {:>9.2e} |",
            row.solver, row.setting, row.median_ms, row.shortest_ms, e.container, e.part, e.ec
        );
        if row.solver != first.solver {
            let against = |time: fn(&Row) -> f64| {
                MEASURES.map(|(_, _, of)| {
                    let points: Vec<(f64, f64)> = own.iter().map(|r| (of(&r.errors), time(r))).collect();
                    ratio(&points, of(e), time(row))
                })
            };
            let ([a, b, c], [d, f, g]) = (against(|r| r.median_ms), against(|r| r.shortest_ms));
            let _ = write!(out, " {a:>7}, {b:>7}, {c:>7} ({d:>7}, {f:>7}, {g:>7})");
        }
        out.push('\n');
    }
    out
}

/// How many times as long as the engine's default every other solver takes for the very errors of that default, in words.
pub fn beside(rows: &[Row]) -> String {
    let mut out = String::new();
    let Some(engine) = rows.iter().find(|r| r.default) else { return out };
    let mut solvers: Vec<&str> = rows.iter().map(|r| r.solver.as_str()).filter(|s| *s != engine.solver).collect();
    solvers.dedup();
    for solver in solvers {
        let own: Vec<&Row> = rows.iter().filter(|r| r.solver == solver).collect();
        let times = MEASURES.map(|(name, unit, of)| {
            let error = of(&engine.errors);
            let times = |time: fn(&Row) -> f64| {
                let points: Vec<(f64, f64)> = own.iter().map(|r| (of(&r.errors), time(r))).collect();
                match ratio(&points, error, time(engine)) {
                    Ratio::Times(share) => rounded(1.0 / share),
                    // Even at its loosest it is more exact than the engine's default, or it was not run as exactly.
                    Ratio::AtLeast(share) => format!("at most {}", rounded(1.0 / share)),
                    Ratio::Unknown => "–".to_owned(),
                }
            };
            format!("{name} {error:.3} {unit}: {} times by median, {} by shortest", times(|r| r.median_ms), times(|r| r.shortest_ms))
        });
        let _ = writeln!(out, "{solver} for the errors of the engine's default: {}.", times.join("; "));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ratio_is_read_off_between_the_useful_points() {
        // The third point costs more and misses more than the first.
        let points = [(0.01, 2.0), (1.0, 0.5), (0.02, 9.0)];
        assert_eq!(ratio(&points, 0.01, 20.0), Ratio::Times(10.0));
        assert_eq!(ratio(&points, 1.0, 20.0), Ratio::Times(40.0));
        let Ratio::Times(between) = ratio(&points, 0.1, 20.0) else { panic!("it lies between") };
        assert!((between - 20.0).abs() < 1e-9, "half way in logarithms: {between}");
        assert_eq!(ratio(&points, 2.0, 20.0), Ratio::AtLeast(40.0));
        assert_eq!(ratio(&points, 0.001, 20.0), Ratio::Unknown);
        assert_eq!(ratio(&[], 0.1, 20.0), Ratio::Unknown);
    }
}
