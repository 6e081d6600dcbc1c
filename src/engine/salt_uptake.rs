//! The salt that leaves with the water the roots take up, as pieces of straight lines by the EC of a layer.
//!
//! A layer weaker than the crop's uptake EC gives its water with all the salt there is; a stronger one gives it with the uptake
//! EC. Within a step each layer is solved on one straight line, and looked at again: did it end where that line holds?

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
}

const PIECES: usize = 2;

/// Share of a bend by which a layer must have passed it to be solved on the other line: less is rounding, and where two lines
/// meet both carry the same.
const ROUNDING: f64 = 1e-12;

impl SaltUptake {
    /// Uptake that carries an EC (mS/cm), or all there is where that is less.
    #[must_use]
    pub fn new(uptake_ec: f64) -> Self {
        Self { bends: [uptake_ec], lines: [Line { slope: 1.0, constant: 0.0 }, Line { slope: 0.0, constant: uptake_ec }] }
    }

    /// The piece that an EC lies on; at a bend, the weaker one.
    #[must_use]
    pub fn piece(&self, ec: f64) -> usize {
        self.bends.iter().filter(|bend| ec > **bend).count()
    }

    /// The piece to solve on after a solve on `piece` gave an EC: the same one, unless the EC is past its end by more than
    /// rounding.
    #[must_use]
    pub fn next_piece(&self, piece: usize, ec: f64) -> usize {
        let under = piece.checked_sub(1).is_some_and(|low| ec < self.bends[low] * (1.0 - ROUNDING));
        let over = self.bends.get(piece).is_some_and(|high| ec > high * (1.0 + ROUNDING));
        if under || over { self.piece(ec) } else { piece }
    }

    /// The line of a piece.
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

    #[test]
    fn carries_what_there_is_and_no_more_than_the_crop_takes() {
        let uptake = SaltUptake::new(1.5);
        for (ec, carried) in [(0.0, 0.0), (0.7, 0.7), (1.5, 1.5), (1.6, 1.5), (20.0, 1.5)] {
            assert_eq!(uptake.carried(ec), carried);
            let line = uptake.steepest_at(ec);
            assert!((line.slope * ec + line.constant - carried).abs() < 1e-15 && line.constant <= 0.0);
        }
    }

    #[test]
    fn rounding_at_a_bend_is_no_reason_to_leave_a_line() {
        let uptake = SaltUptake::new(1.5);
        for piece in [0, 1] {
            for ec in [1.5, 1.5 * (1.0 + 1e-14), 1.5 * (1.0 - 1e-14)] {
                assert_eq!(uptake.next_piece(piece, ec), piece);
            }
            assert_eq!(uptake.next_piece(piece, 1.500_001), 1);
            assert_eq!(uptake.next_piece(piece, 1.499_999), 0);
        }
        // With nothing taken up, what is not nothing is on the second piece.
        let none = SaltUptake::new(0.0);
        assert_eq!([none.piece(0.0), none.next_piece(0, 0.0), none.next_piece(0, 1e-300)], [0, 0, 1]);
    }
}
