//! What a change did to the figures of the day.

use super::projection::{LaneReport, Projection};

/// What a change did to one lane.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LaneChange {
    /// The lane's index.
    pub lane: usize,
    /// Its name.
    pub name: String,
    /// What moved, or that nothing did.
    pub words: String,
}

/// A change and what it did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// The head: what was grabbed, or the last change's name.
    pub title: String,
    /// What was done, if the head does not say it.
    pub what: String,
    /// Per lane.
    pub lanes: Vec<LaneChange>,
}

impl Change {
    /// Compares the figures of the same day before and after.
    #[must_use]
    pub fn between(title: String, what: String, before: &Projection, after: &Projection) -> Self {
        let mut lanes = Vec::new();
        for (lane, (a, b)) in before.reports.iter().zip(&after.reports).enumerate() {
            let (Some(a), Some(b)) = (a, b) else { continue };
            let name = after.scenario.lanes.get(lane).map(|l| l.name.clone()).unwrap_or_default();
            lanes.push(LaneChange { lane, name, words: words(a, b) });
        }
        Self { title, what, lanes }
    }
}

fn words(before: &LaneReport, after: &LaneReport) -> String {
    let (a, b) = (&before.figures, &after.figures);
    let mut parts = Vec::new();
    let mut part = |name: &str, from: Option<f64>, to: Option<f64>, decimals: usize, unit: &str| {
        if let (Some(from), Some(to)) = (from, to) {
            let text = signed(to - from, decimals);
            if text != signed(0.0, decimals) {
                // A figure stays in one piece when the line is broken.
                parts.push(format!("{name} {text}{unit}").replace(' ', "\u{a0}"));
            }
        }
    };
    part("peak", Some(100.0 * a.peak), Some(100.0 * b.peak), 1, " pt");
    part("lowest water", Some(100.0 * a.lowest), Some(100.0 * b.lowest), 1, " pt");
    part("dry-back", a.dry_back.map(|d| d.points), b.dry_back.map(|d| d.points), 1, " pt");
    part("drain", a.drain_fraction.map(|d| 100.0 * d), b.drain_fraction.map(|d| 100.0 * d), 1, " %");
    part("EC", Some(a.root_zone_ec), Some(b.root_zone_ec), 2, "");
    part("lowest air", Some(100.0 * a.lowest_air), Some(100.0 * b.lowest_air), 1, " pt");
    part("uptake", Some(100.0 * a.uptake_met), Some(100.0 * b.uptake_met), 1, " %");
    if parts.is_empty() { "no figure moves".to_owned() } else { parts.join(" · ") }
}

/// A number with its sign, and a true minus.
#[must_use]
pub fn signed(value: f64, decimals: usize) -> String {
    let text = format!("{:.decimals$}", value.abs());
    if text.bytes().all(|b| matches!(b, b'0' | b'.')) {
        text
    } else if value < 0.0 {
        format!("−{text}")
    } else {
        format!("+{text}")
    }
}

#[cfg(test)]
mod tests {
    use super::signed;

    #[test]
    fn signs() {
        assert_eq!([signed(0.31, 1), signed(-0.3, 1), signed(-0.04, 1)], ["+0.3", "−0.3", "0.0"]);
    }
}
