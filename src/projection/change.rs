//! What a change did to the figures of the day.

use super::Projection;
use super::lane_report::LaneReport;
use crate::units::{Quantity, Units, signed};

/// What a change did to one lane.
#[derive(Clone, Debug, PartialEq)]
pub struct LaneChange {
    /// The lane's index.
    pub lane: usize,
    /// Its name.
    pub name: String,
    /// The figures that both days have, and by how much each moved.
    moved: Vec<(&'static str, f64, Quantity)>,
}

impl LaneChange {
    /// What moved, or that nothing did.
    #[must_use]
    pub fn words(&self, units: Units) -> String {
        let one = |(name, by, quantity): &(&'static str, f64, Quantity)| {
            let decimals = quantity.decimals(units);
            let text = signed(quantity.difference(*by, units), decimals);
            // A figure stays in one piece when the line is broken.
            (text != signed(0.0, decimals)).then(|| format!("{name} {text} {}", quantity.unit(units)).replace(' ', "\u{a0}"))
        };
        let parts: Vec<String> = self.moved.iter().filter_map(one).collect();
        if parts.is_empty() { "no figure of this day moves".to_owned() } else { parts.join("\u{a0}· ") }
    }
}

/// A change and what it did.
#[derive(Clone, Debug, PartialEq)]
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
            lanes.push(LaneChange { lane, name, moved: moved(a, b) });
        }
        Self { title, what, lanes }
    }
}

fn moved(before: &LaneReport, after: &LaneReport) -> Vec<(&'static str, f64, Quantity)> {
    let (a, b) = (&before.figures, &after.figures);
    // A difference of percents is told in points: "drain −26 %" would be a quarter less.
    let points = Quantity::Plain("pt", 1);
    let both = |a: Option<f64>, b: Option<f64>| a.zip(b).map(|(a, b)| b - a);
    let figures = [
        ("peak", Some(100.0 * (b.peak - a.peak)), points),
        ("lowest water", Some(100.0 * (b.lowest - a.lowest)), points),
        ("dry-back", both(a.dry_back.map(|d| d.points), b.dry_back.map(|d| d.points)), points),
        ("drain", both(a.drain_fraction, b.drain_fraction).map(|d| 100.0 * d), points),
        ("EC", Some(b.root_zone_ec - a.root_zone_ec), Quantity::Ec),
        ("lowest air", Some(100.0 * (b.lowest_air - a.lowest_air)), points),
        ("uptake", Some(100.0 * (b.uptake_met - a.uptake_met)), points),
    ];
    figures.into_iter().filter_map(|(name, by, quantity)| Some((name, by?, quantity))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_are_told_as_points() {
        let points = Quantity::Plain("pt", 1);
        let change = LaneChange { lane: 0, name: String::new(), moved: vec![("drain", -26.04, points), ("uptake", 0.04, points)] };
        assert_eq!(change.words(Units::default()), "drain\u{a0}−26.0\u{a0}pt");
    }
}
