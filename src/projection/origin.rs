//! Where on the tracks a figure comes from.

use super::Projection;
use super::lane_report::LaneReport;
use crate::figures::marks::WELL_SERVED;
use crate::scenario::DAY_S;
use crate::units::HOUR_S;

/// A figure whose origin can be shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Figure {
    /// Highest water content.
    Peak,
    /// The night's drop.
    DryBack,
    /// Share drained, and the drain's EC.
    Drain,
    /// Root-zone EC.
    RootZoneEc,
    /// Least air.
    LowestAir,
    /// Highest suction.
    Suction,
    /// Uptake met.
    Uptake,
    /// Hours outside the band.
    OutsideBand,
}

/// A figure of a lane whose origin is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Origin {
    /// The lane's index.
    pub lane: usize,
    /// The figure.
    pub figure: Figure,
}

impl Origin {
    /// Stretches of the day shown that it comes from, h; an instant begins and ends at once.
    #[must_use]
    pub fn stretches(self, shown: &Projection) -> Vec<(f64, f64)> {
        let (Some(Some(report)), Some(run)) = (shown.reports.get(self.lane), shown.run.lanes.get(self.lane)) else { return Vec::new() };
        let midnight = shown.midnight_s();
        let hour = |s: f64| ((s - midnight) / HOUR_S).clamp(0.0, 24.0);
        let samples = run.series.span(midnight, midnight + DAY_S);
        match self.figure {
            Figure::Peak => vec![(hour(report.figures.peak_at_s), hour(report.figures.peak_at_s))],
            Figure::LowestAir => vec![(hour(report.figures.lowest_air_at_s), hour(report.figures.lowest_air_at_s))],
            Figure::Suction => {
                let top = samples.iter().max_by(|a, b| a.suction_kpa.total_cmp(&b.suction_kpa));
                top.map(|s| (hour(s.time_s), hour(s.time_s))).into_iter().collect()
            }
            Figure::DryBack => night(report).map(|(a, b)| (hour(a), hour(b))).into_iter().collect(),
            Figure::RootZoneEc => vec![(0.0, 24.0)],
            Figure::Drain => joined(samples.windows(2).filter_map(|w| {
                let left = w[1].ledger.water.drained() - w[0].ledger.water.drained();
                // A drop an hour is not worth a mark: half a millilitre an hour.
                (left > 0.5 * (w[1].time_s - w[0].time_s) / HOUR_S).then(|| (hour(w[0].time_s), hour(w[1].time_s)))
            })),
            Figure::Uptake => joined(samples.windows(2).filter_map(|w| {
                let passed = w[1].ledger.since(&w[0].ledger).water;
                (passed.taken_up < WELL_SERVED * passed.demanded).then(|| (hour(w[0].time_s), hour(w[1].time_s)))
            })),
            Figure::OutsideBand => {
                let Some((low, high)) = report.aims.water_content.band() else { return Vec::new() };
                joined(samples.windows(2).filter_map(|w| {
                    let middle = 0.5 * (w[0].water_content + w[1].water_content);
                    (middle < low || middle > high).then(|| (hour(w[0].time_s), hour(w[1].time_s)))
                }))
            }
        }
    }
}

fn night(report: &LaneReport) -> Option<(f64, f64)> {
    report.figures.dry_back.map(|d| (d.from_s, d.to_s))
}

/// Neighbouring stretches as one.
fn joined(stretches: impl Iterator<Item = (f64, f64)>) -> Vec<(f64, f64)> {
    let mut out: Vec<(f64, f64)> = Vec::new();
    for (from, to) in stretches {
        match out.last_mut() {
            Some(last) if from - last.1 < 1e-6 => last.1 = to,
            _ => out.push((from, to)),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::joined;

    #[test]
    fn neighbours_join() {
        assert_eq!(joined([(0.0, 1.0), (1.0, 2.0), (3.0, 4.0)].into_iter()), [(0.0, 2.0), (3.0, 4.0)]);
    }
}
