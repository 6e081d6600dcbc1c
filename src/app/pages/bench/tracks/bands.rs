//! Bands that are aimed for, behind the curves of a track.

use eframe::egui::{Align2, Rect, Ui, pos2};

use super::chart::{Chart, note};
use super::scene::Scene;
use crate::app::look::theme::Tokens;
use crate::projection::Projection;
use crate::projection::aim_words;
use crate::projection::origin::Figure;

/// A band: its ends in the unit of the lane's targets, and whose it is: no lane's own where all lanes share it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// Its lower end.
    pub low: f64,
    /// Its upper end.
    pub high: f64,
    /// The lane's index.
    pub lane: Option<usize>,
}

/// What the day shown is held against in a figure: one band where all lanes share it, else one per lane that has one.
#[must_use]
pub fn of(shown: &Projection, figure: Figure) -> Vec<Band> {
    let aimed = |report: &Option<crate::projection::LaneReport>| aim_words::of(&report.as_ref()?.aims, figure)?.band();
    let all: Vec<Option<(f64, f64)>> = shown.reports.iter().map(aimed).collect();
    match all.first() {
        Some(Some((low, high))) if all.iter().all(|b| *b == all[0]) => vec![Band { low: *low, high: *high, lane: None }],
        _ => all.iter().enumerate().filter_map(|(i, b)| b.map(|(low, high)| Band { low, high, lane: Some(i) })).collect(),
    }
}

/// Draws bands; `at` turns an end into what the chart shows.
pub fn draw(ui: &Ui, t: &Tokens, plot: Rect, chart: &Chart, bands: &[Band], at: &dyn Fn(f64) -> f64) {
    for band in bands {
        chart.band(ui, plot, (at(band.low), at(band.high)), t.band(band.lane.map_or(t.good, |i| t.lane(i))));
    }
}

/// Height of a name and the gap below it.
const PITCH: f32 = 15.0;

/// Whether names stand on the right: where the tracks are read near them, they give way to what is read there. `read` is where that is, as a
/// share of the width.
fn is_right(wanted: bool, read: Option<f32>) -> bool {
    const NEAR: f32 = 0.6;
    match read {
        Some(share) if wanted => share < NEAR,
        Some(share) => share < 1.0 - NEAR,
        None => wanted,
    }
}

/// Writes into the upper corner of each band what it is, on the left or on the right; names that would meet stand below one another.
pub fn name(ui: &Ui, scene: &Scene<'_>, plot: Rect, chart: &Chart, (figure, right): (Figure, bool), at: &dyn Fn(f64) -> f64) {
    let shown = scene.shown();
    let mut names: Vec<(f32, String)> = Vec::new();
    for band in of(shown, figure) {
        let report = band.lane.map_or_else(|| shown.reports.first(), |i| shown.reports.get(i));
        let Some(words) = report.and_then(Option::as_ref).and_then(|r| aim_words::short(&r.aims, figure, scene.units)) else { continue };
        let whose = band.lane.map_or_else(String::new, |i| format!(", lane {}", i + 1));
        names.push((chart.y(plot, at(band.high)) + 2.0, format!("{words}{whose}")));
    }
    names.sort_by(|a, b| a.0.total_cmp(&b.0));
    let right = is_right(right, scene.cursor.map(|hour| (scene.span.x(plot, hour) - plot.left()) / plot.width()));
    let mut free = plot.top();
    let count = names.len();
    for (k, (wanted, words)) in names.into_iter().enumerate() {
        let top = wanted.max(free);
        // The last line that has room tells of those that have none; the figures tell every lane's aim.
        let is_full = top + 2.0 * PITCH > plot.bottom() && k + 1 < count;
        let words = if is_full { format!("{} more aims", count - k) } else { words };
        if top + PITCH > plot.bottom() + 1.0 {
            break;
        }
        free = top + PITCH;
        let (x, align) = if right { (plot.right() - 5.0, Align2::RIGHT_TOP) } else { (plot.left() + 5.0, Align2::LEFT_TOP) };
        note(ui, scene.t, pos2(x, top), align, &words, scene.t.quiet);
        if is_full {
            break;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::is_right;

    #[test]
    fn names_give_way_to_what_is_read_beside_them() {
        assert_eq!([None, Some(0.1), Some(0.5), Some(0.7)].map(|read| is_right(true, read)), [true, true, true, false]);
        assert_eq!([None, Some(0.1), Some(0.5), Some(0.9)].map(|read| is_right(false, read)), [false, true, false, false]);
    }
}
