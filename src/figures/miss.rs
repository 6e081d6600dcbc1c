//! How far a day's figures are from what the grower aims for.

use serde::Serialize;

use super::aims::{Aim, Aims};
use super::day::DayFigures;
use super::marks::{SUFFERS, WELL_SERVED};
use crate::scenario::Targets;

/// How far each figure is from its aim, signed and scaled: 0 within the aim, below 0 under it, above 0 over it. A band is missed by
/// its own width at 1 or −1. `None` without an aim, or where the day has no such figure.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Misses {
    /// Highest water content against its band.
    pub peak: Option<f64>,
    /// Night dry-back against its range.
    pub dry_back: Option<f64>,
    /// Share drained against its range.
    pub drain: Option<f64>,
    /// Root-zone EC against its range.
    pub root_zone_ec: Option<f64>,
    /// Lowest air against what is worth keeping: −1 where there is none left. More is never a miss.
    pub lowest_air: Option<f64>,
    /// Uptake met against a plant that is well served: −1 where it begins to suffer. An aim that is always set.
    pub uptake_met: Option<f64>,
}

impl Misses {
    /// All of them, in the order of the figures.
    #[must_use]
    pub fn all(&self) -> [Option<f64>; 6] {
        [self.peak, self.dry_back, self.drain, self.root_zone_ec, self.lowest_air, self.uptake_met]
    }

    /// The largest of them, without its sign; 0 where every aim is met.
    #[must_use]
    pub fn largest(&self) -> f64 {
        self.all().into_iter().flatten().map(f64::abs).fold(0.0, f64::max)
    }
}

/// Width a band counts as at least, as a share of its upper end: where low and high are one number, a hair's breadth past it is
/// not endlessly far (judgement).
const LEAST_WIDTH: f64 = 0.05;

/// How far a value is from a band, in widths of the band.
fn past((low, high): (f64, f64), value: f64) -> f64 {
    let width = (high - low).max(LEAST_WIDTH * high.abs()).max(f64::MIN_POSITIVE);
    if value < low {
        (value - low) / width
    } else if value > high {
        (value - high) / width
    } else {
        0.0
    }
}

/// How far a day's figures are from what is aimed for.
///
/// ```
/// use slakeline::figures::{day_figures, misses};
/// use slakeline::scenario::presets::{Library, demos};
///
/// let bench = demos().remove(0).1;
/// let run = slakeline::engine::run::run_scenario(&bench, &Library::shipped())?;
/// let figures = day_figures(&run.lanes[0], &bench.lanes[0], 0).expect("the day was reached");
/// let mut aims = bench.lanes[0].targets;
/// aims.water_content = Some((figures.peak + 0.1, figures.peak + 0.2));
/// let peak = misses(&figures, &aims).peak.expect("there is an aim");
/// assert!((peak + 1.0).abs() < 1e-9, "a band's width too dry");
/// # Ok::<(), slakeline::engine::column::layers::BuildError>(())
/// ```
#[must_use]
pub fn misses(figures: &DayFigures, aims: &Targets) -> Misses {
    misses_against(figures, &Aims::set(aims))
}

/// How far a day's figures are from what is aimed for, as far as it can be met: a target that cannot be is not missed.
#[must_use]
pub fn misses_against(figures: &DayFigures, aims: &Aims) -> Misses {
    let band = |aim: Aim, value: Option<f64>| Some(past(aim.band()?, value?));
    // Where nothing is too little, nothing can be missed.
    let least = |least: f64, value: f64| if value < least { (value - least) / least } else { 0.0 };
    Misses {
        peak: band(aims.water_content, Some(figures.peak)),
        dry_back: band(aims.dry_back_points, figures.dry_back.map(|d| d.points)),
        drain: band(aims.drain_percent, figures.drain_fraction.map(|d| 100.0 * d)),
        root_zone_ec: band(aims.root_zone_ec, Some(figures.root_zone_ec)),
        lowest_air: aims.lowest_air.band().map(|(air, _)| least(air, figures.lowest_air)),
        uptake_met: Some(if figures.uptake_met >= WELL_SERVED {
            0.0
        } else {
            (figures.uptake_met - WELL_SERVED) / (WELL_SERVED - SUFFERS)
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_miss_has_a_sign_and_counts_in_widths() {
        for (value, off) in [(1.0, -1.5), (2.0, -1.0), (4.0, 0.0), (5.0, 0.0), (6.0, 0.0), (7.0, 0.5), (10.0, 2.0)] {
            assert_eq!(past((4.0, 6.0), value), off, "{value}");
        }
        // A band of one number counts as a twentieth of it, and one at nothing stays finite for what is in it.
        assert!((past((4.0, 4.0), 4.2) - 1.0).abs() < 1e-12);
        assert_eq!(past((0.0, 0.0), 0.0), 0.0);
    }
}
