//! The salt that leaves with the water the roots take up, as pieces of straight lines by the EC of a layer.
//!
//! A layer weaker than the crop's uptake EC gives its water with all the salt there is; a stronger one gives it with the uptake
//! EC, which rises with the layer's own from the crop's guide on. Within a step each layer is solved on one straight line, and
//! looked at again: did it end where that line holds?

use crate::scenario::Crop;

/// Salt carried per water taken up: `slope`·c + `constant`, mS/cm, at the EC c of the layer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// By the layer's EC.
    pub slope: f64,
    /// mS/cm.
    pub constant: f64,
}

/// What is carried, for every EC.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SaltUptake {
    /// Where one piece ends and the next begins, mS/cm, rising.
    bends: [f64; PIECES - 1],
    lines: [Line; PIECES],
    /// From where to where a layer stays on each line once it is solved on it: a little past its ends.
    stays: [[f64; 2]; PIECES],
}

/// All there is; the uptake EC; the uptake EC and its rise.
const PIECES: usize = 3;

/// Share of a bend by which a layer must have passed it to be solved on the other line: less is rounding, and where two lines
/// meet both carry the same.
const ROUNDING: f64 = 1e-12;

impl SaltUptake {
    /// The uptake of a crop: [`uptake_ec`](crate::physics::salinity::uptake_ec()), or all there is where that is less.
    #[must_use]
    pub fn new(crop: &Crop) -> Self {
        let held = crop.uptake_ec;
        let all = Line { slope: 1.0, constant: 0.0 };
        let even = Line { slope: 0.0, constant: held };
        let above = match crop.rises_above() {
            Some(above) if crop.uptake_rise > 0.0 => above,
            _ => return Self::of([held, f64::INFINITY], [all, even, even]),
        };
        let rising = Line { slope: crop.uptake_rise, constant: held - crop.uptake_rise * above };
        // Where it rises from an EC that is less than the uptake EC itself, all there is goes on to where the rising line meets it.
        let meets = if held <= above { held } else { rising.constant / (1.0 - rising.slope) };
        Self::of([meets, above.max(meets)], [all, even, rising])
    }

    fn of(bends: [f64; PIECES - 1], lines: [Line; PIECES]) -> Self {
        let [low, high] = bends;
        let (under, over) = (|bend: f64| bend * (1.0 - ROUNDING), |bend: f64| bend * (1.0 + ROUNDING));
        let stays = [[f64::NEG_INFINITY, over(low)], [under(low), over(high)], [under(high), f64::INFINITY]];
        Self { bends, lines, stays }
    }

    /// The piece that an EC lies on; at a bend, the weaker one.
    #[must_use]
    pub fn piece(&self, ec: f64) -> usize {
        self.bends.iter().filter(|bend| ec > **bend).count()
    }

    /// The piece to solve on after a solve on `piece` gave an EC: the same one, unless the EC is past its end by more than
    /// rounding.
    #[inline]
    #[must_use]
    pub fn next_piece(&self, piece: usize, ec: f64) -> usize {
        let [low, high] = self.stays[piece];
        if ec < low || ec > high { self.piece(ec) } else { piece }
    }

    /// The line of a piece.
    #[inline]
    #[must_use]
    pub fn line(&self, piece: usize) -> Line {
        self.lines[piece]
    }

    /// Salt carried per water at an EC, mS/cm.
    #[must_use]
    pub fn carried(&self, ec: f64) -> f64 {
        let line = self.lines[self.piece(ec)];
        line.slope * ec + line.constant
    }

    /// The line of slope 1 through what is carried at an EC. Nothing carries more salt for more EC than that, so that solving on
    /// it over and over closes in on the solution, whatever pieces there are, and never takes more than there is.
    #[must_use]
    pub fn steepest_at(&self, ec: f64) -> Line {
        Line { slope: 1.0, constant: self.carried(ec) - ec }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::salinity;
    use crate::scenario::Stress;

    fn crop(uptake_ec: f64, uptake_rise: f64, uptake_rises_above: Option<f64>) -> Crop {
        Crop {
            name: "of a test".to_owned(),
            source: String::new(),
            uptake_ec,
            uptake_rise,
            uptake_rises_above,
            stress: Stress::default(),
            guide_feed_ec: None,
            guide_root_zone_ec: Some(3.0),
            canopy: None,
            stages: Vec::new(),
        }
    }

    /// What is carried is the lesser of what there is and the uptake EC of the formula, whichever way the values stand to each
    /// other, and the lines meet where one ends and the next begins.
    #[test]
    fn the_lines_are_the_formula() {
        let crops =
            [(1.6, 0.08, None), (1.6, 0.5, Some(1.6)), (2.0, 0.3, Some(0.5)), (4.0, 0.5, None), (0.0, 0.2, Some(0.0)), (0.0, 0.0, None)];
        for (held, rise, above) in crops {
            let crop = crop(held, rise, above);
            let uptake = SaltUptake::new(&crop);
            let bends = uptake.bends.into_iter().filter(|b| b.is_finite());
            for ec in (0..400).map(|k| 0.05 * f64::from(k)).chain([held, 3.0]).chain(bends.clone()) {
                let formula = ec.min(salinity::uptake_ec(ec, held, rise, crop.rises_above().unwrap()));
                assert!((uptake.carried(ec) - formula).abs() < 1e-14, "{held} {rise} {above:?} at {ec}");
            }
            for bend in bends {
                let at = [bend * (1.0 - 1e-9), bend * (1.0 + 1e-9)].map(|ec| uptake.carried(ec));
                assert!((at[0] - at[1]).abs() <= 1e-8 * bend, "{at:?}");
            }
        }
    }

    #[test]
    fn carries_what_there_is_and_no_more_than_the_crop_takes() {
        let uptake = SaltUptake::new(&crop(1.5, 0.0, None));
        for (ec, carried) in [(0.0, 0.0), (0.7, 0.7), (1.5, 1.5), (1.6, 1.5), (20.0, 1.5)] {
            assert_eq!(uptake.carried(ec), carried);
            let line = uptake.steepest_at(ec);
            assert!((line.slope * ec + line.constant - carried).abs() < 1e-15 && line.constant <= 0.0);
        }
    }

    #[test]
    fn rounding_at_a_bend_is_no_reason_to_leave_a_line() {
        let uptake = SaltUptake::new(&crop(1.5, 0.0, None));
        for piece in [0, 1] {
            for ec in [1.5, 1.5 * (1.0 + 1e-14), 1.5 * (1.0 - 1e-14)] {
                assert_eq!(uptake.next_piece(piece, ec), piece);
            }
            assert_eq!(uptake.next_piece(piece, 1.500_001), 1);
            assert_eq!(uptake.next_piece(piece, 1.499_999), 0);
        }
        let rising = SaltUptake::new(&crop(1.5, 0.1, None));
        assert_eq!([1, 2].map(|piece| rising.next_piece(piece, 3.0 * (1.0 + 1e-14))), [1, 2]);
        assert_eq!([(0, 3.1), (1, 3.1), (2, 2.9), (2, 0.2)].map(|(piece, ec)| rising.next_piece(piece, ec)), [2, 2, 1, 0]);
        // With nothing taken up, what is not nothing is on the second piece.
        let none = SaltUptake::new(&crop(0.0, 0.0, None));
        assert_eq!([none.piece(0.0), none.next_piece(0, 0.0), none.next_piece(0, 1e-300)], [0, 0, 1]);
    }
}
